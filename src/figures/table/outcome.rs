//! The figures of one assembly that is filled: what it weighs, what went in and when, and when its cure is over. This module
//! must not know how a figure is computed.

use super::{
    BELIEVED, CAVITY, CURE, DENSITY, DURATION, FILLED, GROWTH, MASS, MIX, PERCENT, PUMPED, WEIGHED, one_list, row,
    whether,
};
use crate::figures::{Direction, FigureId, FigureKind, FigureSpec, Parameter};
use crate::record::FactKey;
use crate::record::catalogue::{assembly, component, job, stages};
use crate::vocabulary::Subject;

use Direction::{Down, Free, Up};
use FigureKind::Instant;
use Subject::Assembly;

/// What the mass of a casing is estimated by.
const BY_NAME: &[(FactKey, Direction)] = &[
    (assembly::TYRE_SIZE, Free),
    (assembly::TYRE_PLY_RATING, Free),
    (assembly::TYRE_LOAD_RANGE, Free),
    (assembly::TYRE_CONSTRUCTION, Free),
];

/// The rows, in the order of [`FigureId`].
pub(super) const ROWS: &[FigureSpec] = &[
    row(
        FigureId::FilledMass,
        Assembly,
        "filled_mass",
        MASS,
        (
            "The mass of the filled assembly; masses of tyre and wheel that are not recorded, and those of tube and flap, are estimated, widely.",
            "mix + tyre + wheel + tube + flap",
        ),
        &one_list::<_, 19>(&[MIX, WEIGHED]),
        GROWTH,
    ),
    whether!(
        FigureId::MassesBelieved,
        Assembly,
        "masses_believed",
        (
            "the recorded masses of tyre and wheel, as far as there are any, can be those of such a tyre and such a wheel",
            "recorded mass within the estimate by the size",
        ),
        &one_list::<_, 8>(&[BY_NAME, WEIGHED,]),
        &[],
    ),
    row(
        FigureId::LikelyFilledMass,
        Assembly,
        "likely_filled_mass",
        MASS,
        (
            "The mass of the filled assembly by the likeliest volume, without growth; masses of tyre and wheel that are not recorded, and those of tube and flap, are taken in the middle of their estimates. Lifting gear is compared with it.",
            "likeliest volume x mix density + tyre + wheel + tube + flap",
        ),
        &one_list::<_, 18>(&[CAVITY, DENSITY, WEIGHED]),
        BELIEVED,
    ),
    row(
        FigureId::MassAsFilled,
        Assembly,
        "mass_as_filled",
        MASS,
        (
            "The mass of the assembly with what was pumped into it; masses of tyre and wheel that are not recorded, and those of tube and flap, are taken in the middle of their estimates.",
            "cycles x mass per cycle, or the mass weighed, + tyre + wheel + tube + flap",
        ),
        &one_list::<_, 11>(&[PUMPED, BY_NAME, WEIGHED]),
        &[],
    ),
    row(
        FigureId::CuredAt,
        Assembly,
        "cured_at",
        Instant,
        (
            "When the cure of this assembly is over: hours that the workspace log shows warm do their share of the ordinary cure time, all others of the cold one; what it shows colder than the data sheet allows does not count towards the time of the sheet.",
            "end of its fill + (hours shown warm / ordinary cure + other hours / cold cure = 1), each the longest of plan, sheet and rule",
        ),
        &[
            (stages::FILL_ENDED, Free),
            (job::CURE_PLANNED, Up),
            (job::CURE_TIME, Free),
            (job::CURE_TEMPERATURE, Free),
            (job::WORKSPACE_TEMPERATURE, Free),
            (job::WORKSPACE_LOG, Free),
        ],
        CURE,
    ),
    row(
        FigureId::FilledOfLikely,
        Assembly,
        "filled_of_likely",
        PERCENT,
        (
            "What was pumped, as a share of what the tyre takes by its likeliest volume; for a tyre whose volume is known widely.",
            "(cycles x mass per cycle, or the mass weighed) / (likeliest volume x mix density)",
        ),
        FILLED,
        BELIEVED,
    ),
    row(
        FigureId::WeighedOfCounted,
        Assembly,
        "weighed_of_counted",
        PERCENT,
        (
            "The mass that was weighed, as a share of what the cycles give by the pump's own calibration.",
            "mass weighed / (cycles x mass per cycle)",
        ),
        &[(stages::FILL_MASS, Up), (stages::FILL_STROKES, Down), (job::PUMP_MASS_PER_CYCLE, Down)],
        &[],
    ),
    row(
        FigureId::EarliestEnd,
        Assembly,
        "earliest_end",
        Instant,
        (
            "Before when the pump cannot have stopped: it started after the tyre was seen seated, after both cores were read, and no earlier than the grace before the plan; and a stroke takes its time. Where its start is told, a plan or a reading for an assembly that is filled later does not count.",
            "latest of seated, cores read, planned start + grace, start as told; + cycles, or mass weighed / mass per cycle, x least time of one + the longest pause of a fill whose start is told",
        ),
        &[
            (assembly::ACT_FILL, Free),
            (stages::FILL_ENDED, Free),
            (stages::SEATED_AT, Free),
            (job::PLANNED_START, Free),
            (component::CORE_TEMPERATURE, Free),
            (stages::FILL_STROKES, Up),
            (stages::FILL_MASS, Up),
            (job::PUMP_MASS_PER_CYCLE, Down),
            (stages::FILL_LONGEST_PAUSE, Free),
            (job::PUMP_CYCLE_TIME, Free),
        ],
        &[(Parameter::FastestStroke, Up), (Parameter::StrokeShare, Up), (Parameter::StartGrace, Up)],
    ),
    whether!(
        FigureId::EndsApart,
        Assembly,
        "ends_apart",
        (
            "the cycles of the later one fit between the end of this fill and that of each other, and none ends between start and end of another: one pump fills one tyre at a time",
            "time between two ends >= cycles, or mass weighed / mass per cycle, x least time of one; no end between start and end of another",
        ),
        &[
            (assembly::ACT_FILL, Free),
            (stages::FILL_ENDED, Free),
            (stages::FILL_STROKES, Free),
            (stages::FILL_MASS, Free),
            (job::PUMP_MASS_PER_CYCLE, Free),
            (job::PUMP_CYCLE_TIME, Free),
        ],
        &[(Parameter::FastestStroke, Free), (Parameter::StrokeShare, Free)],
    ),
    row(
        FigureId::FillLasted,
        Assembly,
        "fill_lasted",
        DURATION,
        (
            "How long this assembly was being filled: from its first stroke, or where that is not told from the end of the fill before it; none where it ended before it began.",
            "end of its fill - (first stroke, or the latest end before it)",
        ),
        &[(assembly::ACT_FILL, Free), (stages::FILL_ENDED, Free)],
        &[],
    ),
    whether!(
        FigureId::LogAfterFill,
        Assembly,
        "log_after_fill",
        ("the workspace log has a row after the end of this fill", "a row at or after the end of its fill"),
        &[(stages::FILL_ENDED, Free), (job::WORKSPACE_LOG, Free)],
        &[],
    ),
];
