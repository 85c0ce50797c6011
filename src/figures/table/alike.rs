//! The figures that hold one assembly against the others of its job, and against what can be of such an assembly. This
//! module must not know how a figure is computed.

use super::{BELIEVED, CAVITY, COUNT, DENSITY, DURATION, LENGTH, LOG, PERCENT, one_list, row, whether};
use crate::figures::Direction::{Down, Free, Up};
use crate::figures::{Direction, FigureId, FigureKind, FigureSpec, Parameter};
use crate::record::FactKey;
use crate::record::catalogue::{assembly, job as whole, stages};
use crate::units::Dimension;
use crate::vocabulary::Subject::Assembly;

/// What shows whether two tyres are of one size.
const SIZE: &[(FactKey, Direction)] = &[(assembly::TYRE_SIZE, Free), (assembly::TYRE_CONSTRUCTION, Free)];
/// What shows their strength.
const STRENGTH: &[(FactKey, Direction)] = &[(assembly::TYRE_PLY_RATING, Free), (assembly::TYRE_LOAD_RANGE, Free)];
const MAXIMUM: &[(FactKey, Direction)] =
    &[(assembly::TYRE_SIDEWALL_MAXIMUM, Free), (assembly::TYRE_PUBLISHED_MAXIMUM, Free)];

/// The rows, in the order of [`FigureId`].
pub(super) const ROWS: &[FigureSpec] = &[
    row(
        FigureId::MaximumOfAlike,
        Assembly,
        "maximum_of_alike",
        PERCENT,
        (
            "How far the tyre's highest pressure is from that of another tyre of this job of the same size, construction and strength; 100 % where there is none.",
            "greater / lesser of the two that differ most",
        ),
        &one_list::<_, 6>(&[MAXIMUM, SIZE, STRENGTH]),
        &[],
    ),
    row(
        FigureId::MaximumByPlies,
        Assembly,
        "maximum_by_plies",
        PERCENT,
        (
            "How far the tyre's highest pressure for one ply is from that of another tyre of this job of the same size and construction; 100 % where there is none.",
            "greater / lesser of highest pressure / ply rating",
        ),
        &one_list::<_, 6>(&[MAXIMUM, STRENGTH, SIZE]),
        &[],
    ),
    row(
        FigureId::VolumeOfAlike,
        Assembly,
        "volume_of_alike",
        PERCENT,
        (
            "How far the recorded inside volume is from that of another tyre of this job of the same size and construction; 100 % where there is none.",
            "greater / lesser of the two that differ most",
        ),
        &one_list::<_, 3>(&[&[(assembly::TYRE_INSIDE_VOLUME, Free)], SIZE]),
        &[],
    ),
    row(
        FigureId::MassOfAlike,
        Assembly,
        "mass_of_alike",
        PERCENT,
        (
            "How far the recorded mass of the tyre is from that of another tyre of this job of the same size and construction; 100 % where there is none.",
            "greater / lesser of the two that differ most",
        ),
        &one_list::<_, 3>(&[&[(assembly::TYRE_MASS, Free)], SIZE]),
        &[],
    ),
    row(
        FigureId::DiameterOfAlike,
        Assembly,
        "diameter_of_alike",
        PERCENT,
        (
            "How far the recorded overall diameter is from that of another tyre of this job of the same size and construction; 100 % where there is none.",
            "greater / lesser of the two that differ most",
        ),
        &one_list::<_, 3>(&[&[(assembly::TYRE_OVERALL_DIAMETER, Free)], SIZE]),
        &[],
    ),
    row(
        FigureId::RimRatingOfAlike,
        Assembly,
        "rim_rating_of_alike",
        PERCENT,
        (
            "How far the lower rating of rim and wheel is from that of another assembly of this job with a rim of the same kind and width under a tyre of the same size; 100 % where there is none.",
            "greater / lesser of the two that differ most",
        ),
        &one_list::<_, 6>(&[
            &[(assembly::RIM_RATING, Free), (assembly::WHEEL_RATING, Free)],
            SIZE,
            &[(assembly::RIM_KIND, Free), (assembly::RIM_WIDTH, Free)],
        ]),
        &[],
    ),
    row(
        FigureId::TargetOfAxle,
        Assembly,
        "target_of_axle",
        PERCENT,
        (
            "How far the target pressure is from that of another tyre of the same size on the axle, by the words for places in the marks; tyres of one machine whose axle no mark tells count as of one. 100 % where there is none.",
            "greater / lesser of the two that differ most",
        ),
        &one_list::<_, 4>(&[&[(assembly::TARGET_PRESSURE, Free)], SIZE, &[(assembly::MARK, Free)]]),
        &[],
    ),
    whether!(
        FigureId::AxleMatches,
        Assembly,
        "axle_matches",
        (
            "every other tyre of this job on the same axle, by the words for places in the marks, is of the same size and construction, as far as both say it",
            "size and construction of each two",
        ),
        &one_list::<_, 3>(&[SIZE, &[(assembly::MARK, Free)]]),
        &[],
    ),
    row(
        FigureId::RimWidthOfAxle,
        Assembly,
        "rim_width_of_axle",
        PERCENT,
        (
            "How far the rim width is from that under another tyre of the same size on the axle, by the words for places in the marks; tyres of one machine whose axle no mark tells count as of one. 100 % where there is none.",
            "greater / lesser of the two that differ most",
        ),
        &one_list::<_, 4>(&[&[(assembly::RIM_WIDTH, Free)], SIZE, &[(assembly::MARK, Free)]]),
        &[],
    ),
    row(
        FigureId::LoadOfAxle,
        Assembly,
        "load_of_axle",
        PERCENT,
        (
            "How far the load is from that on another tyre of the same size on the axle, by the words for places in the marks; tyres of one machine whose axle no mark tells count as of one. 100 % where there is none.",
            "greater / lesser of the two that differ most",
        ),
        &one_list::<_, 4>(&[&[(assembly::TARGET_LOAD, Free)], SIZE, &[(assembly::MARK, Free)]]),
        &[],
    ),
    row(
        FigureId::TorqueOfAxle,
        Assembly,
        "torque_of_axle",
        PERCENT,
        (
            "How far the torque of the nuts, by the manual of the machine, is from that of another wheel under a tyre of the same size whose mark says that it is on the same axle. 100 % where there is none.",
            "greater / lesser of the two that differ most",
        ),
        &one_list::<_, 4>(&[&[(assembly::WHEEL_NUT_TORQUE, Free)], SIZE, &[(assembly::MARK, Free)]]),
        &[],
    ),
    row(
        FigureId::PumpedOfAlike,
        Assembly,
        "pumped_of_alike",
        PERCENT,
        (
            "How far what was pumped is from what went into another tyre of this job of the same size and state, on a rim as wide, with the same inside volume on record; 100 % where there is none.",
            "greater / lesser of the two that differ most",
        ),
        &one_list::<_, 8>(&[
            // More of one tyre is nearer to its like, or further from it.
            &[(stages::FILL_STROKES, Free), (stages::FILL_MASS, Free), (whole::PUMP_MASS_PER_CYCLE, Free)],
            SIZE,
            &[(assembly::TYRE_STATE, Free), (assembly::RIM_WIDTH, Free), (assembly::TYRE_INSIDE_VOLUME, Free)],
        ]),
        &[],
    ),
    row(
        FigureId::RatingOfIndex,
        Assembly,
        "rating_of_index",
        PERCENT,
        (
            "How far the recorded load rating is from the load of the load index in the size, single or dual, whichever is nearer; 100 % where the size has none.",
            "greater / lesser of load rating and load of the index",
        ),
        &[(assembly::TYRE_LOAD_RATING, Free), (assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::LoadOfIndex,
        Assembly,
        "load_of_index",
        PERCENT,
        (
            "The load of the tyre as a share of the load of the load index in the size, of a single tyre where there are two.",
            "load / load of the index",
        ),
        &[(assembly::TARGET_LOAD, Up), (assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::SpeedOfMark,
        Assembly,
        "speed_of_mark",
        PERCENT,
        (
            "The accepted speed as a share of that of the speed symbol in the size, the highest where there are several.",
            "accepted speed / speed of the symbol",
        ),
        &[(whole::ACCEPTED_SPEED, Up), (assembly::TYRE_SIZE, Free)],
        &[],
    ),
    whether!(
        FigureId::NotForHighway,
        Assembly,
        "not_for_highway",
        ("the size says that the tyre is not for highway service", "the letters `NHS` behind the size"),
        &[(assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::LoadOfIndexAtPressure,
        Assembly,
        "load_of_index_at_pressure",
        PERCENT,
        (
            "The load of the tyre as a share of the greatest that any of the load formulas gives at the operating pressure, where the load index in the size, of a single tyre where there are two, is the load at the highest pressure.",
            "load / (load of the index x (operating pressure / highest pressure)^0.5)",
        ),
        &[
            (assembly::TARGET_LOAD, Up),
            (assembly::TARGET_OPERATING_PRESSURE, Down),
            (assembly::TYRE_SIDEWALL_MAXIMUM, Up),
            (assembly::TYRE_PUBLISHED_MAXIMUM, Up),
            (assembly::TYRE_SIZE, Free),
        ],
        &[],
    ),
    row(
        FigureId::StretchAboveBay,
        Assembly,
        "stretch_above_bay",
        FigureKind::Difference(Dimension::Count),
        (
            "By how many kelvin the coolest air beside the tyre in the log lies above the air of the workspace.",
            "coolest row of the log - air of the workspace",
        ),
        &one_list::<_, 4>(&[LOG, &[(whole::WORKSPACE_TEMPERATURE, Free)]]),
        &[],
    ),
    row(
        FigureId::PreStretchStray,
        Assembly,
        "pre_stretch_stray",
        COUNT,
        (
            "By how many kelvin the air of one row of the log lies above, or below, that of both rows beside it, where the pressure does not go with it; of the first and the last row what is beyond 10 K.",
            "the lesser of both differences, less the share that the change of pressure explains by Gay-Lussac; the greatest of all rows",
        ),
        LOG,
        &[],
    ),
    row(
        FigureId::PreStretchLeap,
        Assembly,
        "pre_stretch_leap",
        PERCENT,
        (
            "By how much the pressure of one row of the log lies above, or below, that of both rows beside it, beyond what the air explains and beyond what those two differ by, as a share of the lesser of them.",
            "(the lesser of both differences, each less what the change of air explains by Gay-Lussac - the difference of the rows beside it) / the lesser of the rows beside it; the greatest of all rows",
        ),
        LOG,
        &[],
    ),
    row(
        FigureId::NamedWidth,
        Assembly,
        "named_width",
        LENGTH,
        ("The section width that the size names.", "first number of the size, or the one behind its diameter"),
        &[(assembly::TYRE_SIZE, Free)],
        &[],
    ),
    whether!(
        FigureId::AcceptedNamesIt,
        Assembly,
        "accepted_names_it",
        (
            "who accepted the fill names the machine of this assembly, where a machine of the job is named",
            "a word with a number behind it, as in `loader 9`, or with several, as in `loaders 7 and 9`",
        ),
        &[(whole::ACCEPTED_BY, Free), (assembly::MARK, Free)],
        &[],
    ),
    row(
        FigureId::LikelyFillTime,
        Assembly,
        "likely_fill_time",
        DURATION,
        (
            "How long this assembly is likely to be filled, by its likeliest volume and the pump's numbers as they are read; of a pump that nobody timed, how long at least.",
            "likeliest volume x mix density / mass per cycle x time of a cycle, or of the fastest stroke and the fastest pump",
        ),
        &one_list::<_, 16>(&[&[(whole::PUMP_MASS_PER_CYCLE, Free), (whole::PUMP_CYCLE_TIME, Free)], CAVITY, DENSITY]),
        &one_list::<_, 5>(&[&[(Parameter::FastestStroke, Up), (Parameter::KilogramTime, Up)], BELIEVED]),
    ),
    row(
        FigureId::OwnRimWidth,
        Assembly,
        "own_rim_width",
        LENGTH,
        (
            "The rim width that goes with the size, where it is known; sizes of graders have two, and no one of them.",
            "named by the size; else the remembered measuring rim; else, of wide-base earthmover sizes, 83 % of the section",
        ),
        &[(assembly::TYRE_SIZE, Free)],
        &[],
    ),
    whether!(
        FigureId::PreStretchMoves,
        Assembly,
        "pre_stretch_moves",
        (
            "the readings of the log are not the same in all of five rows or more, and not those of another tyre of this job, row for row",
            "pressure and air of each row against the next, and against the rows of the other tyres",
        ),
        LOG,
        &[],
    ),
];
