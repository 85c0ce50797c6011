//! The figures of one assembly: its ratings and its air, up to the pre-stretch. This module must not know how a figure
//! is computed.

use super::{
    CAVITY, CEILING, DURATION, ENERGY, GROWTH, LOG, LOSS, MASS, PERCENT, PRESSURE, TEMPERATURE, joined, row, whether,
};
use crate::figures::{Direction, FigureId, FigureKind, FigureSpec, Parameter};
use crate::record::catalogue::{assembly, component, job};
use crate::units::Dimension;
use crate::vocabulary::Subject;

use Direction::{Down, Free, Up};
use FigureKind::{Instant, Number};
use Subject::Assembly;

/// The rows, in the order of [`FigureId`].
pub(super) const ROWS: &[FigureSpec] = &[
    row(
        FigureId::TyreMaximum,
        Assembly,
        "tyre_maximum",
        PRESSURE,
        (
            "The highest pressure that the tyre may bear: by its sidewall or, where that shows none, by the document that is named.",
            "sidewall maximum, else published maximum",
        ),
        &[(assembly::TYRE_SIDEWALL_MAXIMUM, Free), (assembly::TYRE_PUBLISHED_MAXIMUM, Free)],
        &[],
    ),
    row(
        FigureId::PressurePerPly,
        Assembly,
        "pressure_per_ply",
        PRESSURE,
        (
            "The highest pressure of the tyre for one ply of its rating, brought to a section width of 10 in: the tension in a casing goes with pressure and width.",
            "highest pressure x section width of the size / 10 in / ply rating",
        ),
        &[
            (assembly::TYRE_SIDEWALL_MAXIMUM, Up),
            (assembly::TYRE_PUBLISHED_MAXIMUM, Up),
            (assembly::TYRE_SIZE, Free),
            (assembly::TYRE_PLY_RATING, Down),
            (assembly::TYRE_LOAD_RANGE, Free),
        ],
        &[],
    ),
    row(
        FigureId::PressureOfKind,
        Assembly,
        "pressure_of_kind",
        PERCENT,
        (
            "The highest pressure of the tyre as a share of the highest that tyres of its kind and size are made for, with room.",
            "highest pressure / highest of the kind, by the size and, where broad, by the construction",
        ),
        &[
            (assembly::TYRE_SIDEWALL_MAXIMUM, Up),
            (assembly::TYRE_PUBLISHED_MAXIMUM, Up),
            (assembly::TYRE_SIZE, Free),
            (assembly::TYRE_CONSTRUCTION, Free),
        ],
        &[],
    ),
    row(
        FigureId::LoadOfOutline,
        Assembly,
        "load_of_outline",
        PERCENT,
        (
            "The load of the tyre, or its load rating where that is more, as a share of what its highest pressure would carry on a surface as wide as its section and as long as the rim and two section widths.",
            "load x standard gravity / (highest pressure x section width of the size x (rim diameter of the size + 2 x section width))",
        ),
        &[
            (assembly::TARGET_LOAD, Up),
            (assembly::TYRE_LOAD_RATING, Up),
            (assembly::TYRE_SIDEWALL_MAXIMUM, Down),
            (assembly::TYRE_PUBLISHED_MAXIMUM, Down),
            (assembly::TYRE_SIZE, Free),
        ],
        &[],
    ),
    row(
        FigureId::LoadAtPressure,
        Assembly,
        "load_at_pressure",
        PERCENT,
        (
            "The load of the tyre as a share of what its operating pressure would carry on a surface as wide as its section and as long as the rim and two section widths.",
            "load x standard gravity / (operating pressure x section width of the size x (rim diameter of the size + 2 x section width))",
        ),
        &[(assembly::TARGET_LOAD, Up), (assembly::TARGET_OPERATING_PRESSURE, Down), (assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::LowestRating,
        Assembly,
        "lowest_rating",
        PRESSURE,
        (
            "The lowest rating of tyre, rim and wheel; a wheel of a single piece, or of two bolted halves, needs one rating, not two.",
            "min(tyre, rim, wheel)",
        ),
        &[
            (assembly::TYRE_SIDEWALL_MAXIMUM, Free),
            (assembly::TYRE_PUBLISHED_MAXIMUM, Free),
            (assembly::RIM_RATING, Free),
            (assembly::WHEEL_RATING, Free),
            (assembly::RIM_KIND, Free),
        ],
        &[],
    ),
    row(
        FigureId::PressureCeiling,
        Assembly,
        "pressure_ceiling",
        FigureKind::Difference(Dimension::Pressure),
        (
            "The highest pressure that the gauge may show: the lowest rating, less the gauge's uncertainty.",
            "min(tyre, rim, wheel, local limit) - U",
        ),
        CEILING,
        &[],
    ),
    row(
        FigureId::PressureFloor,
        Assembly,
        "pressure_floor",
        PRESSURE,
        (
            "The lowest pressure that the gauge may show: the operating pressure, less the share that is allowed on the soft side.",
            "operating pressure x (1 - soft side)",
        ),
        &[(assembly::TARGET_OPERATING_PRESSURE, Up)],
        &[(Parameter::SoftSide, Down)],
    ),
    row(
        FigureId::TargetShown,
        Assembly,
        "target_shown",
        PRESSURE,
        ("The target as the gauge is to show it, without the gauge's uncertainty.", "target"),
        &[(assembly::TARGET_PRESSURE, Up)],
        &[],
    ),
    row(
        FigureId::PressureWindow,
        Assembly,
        "pressure_window",
        FigureKind::Difference(Dimension::Pressure),
        ("The room between floor and ceiling; below zero where no pressure suits both.", "ceiling - floor"),
        &joined::<_, 9>(&[&[(assembly::TARGET_OPERATING_PRESSURE, Down)], CEILING]),
        &[(Parameter::SoftSide, Up)],
    ),
    row(
        FigureId::GaugeUncertainty,
        Assembly,
        "gauge_uncertainty",
        PRESSURE,
        (
            "The expanded uncertainty of the target's gauge at the target.",
            "certificate U, else 1.155 x class x span (rectangular, k = 2)",
        ),
        &[(assembly::TARGET_GAUGE, Free), (assembly::TARGET_PRESSURE, Free)],
        &[],
    ),
    row(
        FigureId::DialPlace,
        Assembly,
        "dial_place",
        FigureKind::Difference(Dimension::Percent),
        (
            "Where the target is on the dial of its gauge, from nothing at the bottom to 100 % at the top.",
            "(target - bottom) / (top - bottom)",
        ),
        &[(assembly::TARGET_PRESSURE, Up), (assembly::TARGET_GAUGE, Free)],
        &[],
    ),
    row(
        FigureId::LoadCarried,
        Assembly,
        "load_carried",
        MASS,
        (
            "The load that the tyre carries at the operating pressure, by the load formulas of the tyre standards; an estimate, the load table decides.",
            "rated load x (operating pressure / highest pressure)^n, n from 0.5 to 0.8",
        ),
        &[
            (assembly::TYRE_LOAD_RATING, Up),
            (assembly::TARGET_OPERATING_PRESSURE, Up),
            (assembly::TYRE_SIDEWALL_MAXIMUM, Free),
            (assembly::TYRE_PUBLISHED_MAXIMUM, Free),
        ],
        &[],
    ),
    row(
        FigureId::LoadCarriedMost,
        Assembly,
        "load_carried_most",
        MASS,
        (
            "The greatest load that any of the load formulas lets the tyre carry at the operating pressure; more than this no load table gives.",
            "rated load x (operating pressure / highest pressure)^0.5",
        ),
        &[
            (assembly::TYRE_LOAD_RATING, Up),
            (assembly::TARGET_OPERATING_PRESSURE, Up),
            (assembly::TYRE_SIDEWALL_MAXIMUM, Free),
            (assembly::TYRE_PUBLISHED_MAXIMUM, Free),
        ],
        &[],
    ),
    row(
        FigureId::AirEnergy,
        Assembly,
        "air_energy",
        ENERGY,
        (
            "The work that the air inside can do while the assembly holds air at the target pressure.",
            "isentropic expansion, to (p - p0) V / (gamma - 1)",
        ),
        &joined::<_, 11>(&[
            &[(assembly::TARGET_PRESSURE, Free), (assembly::TARGET_GAUGE, Free)],
            CAVITY,
            &[(assembly::TYRE_STATE, Free)],
        ]),
        GROWTH,
    ),
    row(
        FigureId::PressureAfterCooling,
        Assembly,
        "pressure_after_cooling",
        PRESSURE,
        (
            "The pressure to expect when the filling has cooled from the temperature of its cores to that of the workspace; wide, since it takes the casing to grow by 1 to 5 % up to the target.",
            "target x (1 - expansion x fall of temperature / growth of the casing)",
        ),
        &[
            (assembly::TARGET_PRESSURE, Free),
            (assembly::TARGET_GAUGE, Free),
            (component::EXPANSION, Free),
            (component::CORE_TEMPERATURE, Free),
            (job::WORKSPACE_TEMPERATURE, Free),
        ],
        &[],
    ),
    row(
        FigureId::CageDemand,
        Assembly,
        "cage_demand",
        PRESSURE,
        ("What the cage must be rated for.", "sidewall maximum x cage factor"),
        &[(assembly::TYRE_SIDEWALL_MAXIMUM, Up), (assembly::TYRE_PUBLISHED_MAXIMUM, Up)],
        &[(Parameter::CageFactor, Up)],
    ),
    row(
        FigureId::PreStretchTime,
        Assembly,
        "pre_stretch_time",
        DURATION,
        (
            "The longest unbroken time for which the log shows the pressure at or above the target and the air at or above the limit; straight lines between rows; a gap longer than the limit shows nothing, unless it is a night that its rows and a recorded lowest temperature bound.",
            "longest stretch of the log, each reading believed at its worse end",
        ),
        &joined::<_, 4>(&[LOG, &[(assembly::TARGET_PRESSURE, Down)]]),
        &[
            (Parameter::PreStretchTemperature, Down),
            // A longer gap lets more rows show something, and leaves less open between them.
            (Parameter::PreStretchLongestGap, Free),
            (Parameter::PreStretchLongestNight, Up),
            (Parameter::SoftSide, Up),
        ],
    ),
    row(
        FigureId::PreStretchBegin,
        Assembly,
        "pre_stretch_begin",
        Instant,
        ("When the log begins; from then on there is air in the assembly.", "first row of the log"),
        LOG,
        &[],
    ),
    row(
        FigureId::PreStretchEnd,
        Assembly,
        "pre_stretch_end",
        Instant,
        (
            "When the latest stretch ends that the log surely shows to be long enough, at the crossing out of what counts.",
            "end of the latest sufficient stretch",
        ),
        &joined::<_, 4>(&[LOG, &[(assembly::TARGET_PRESSURE, Free)]]),
        &[
            // Where none is long enough it is the end of the log, which is later.
            (Parameter::PreStretchTemperature, Free),
            (Parameter::PreStretchLongestGap, Free),
            (Parameter::PreStretchLongestNight, Free),
            (Parameter::PreStretchTime, Free),
            (Parameter::SoftSide, Free),
        ],
    ),
    row(
        FigureId::PreStretchPeak,
        Assembly,
        "pre_stretch_peak",
        PRESSURE,
        ("The highest pressure that the log shows.", "highest row of the log"),
        LOG,
        &[],
    ),
    row(
        FigureId::PreStretchHottest,
        Assembly,
        "pre_stretch_hottest",
        TEMPERATURE,
        ("The hottest air beside the tyre that the log shows.", "hottest row of the log"),
        LOG,
        &[],
    ),
    whether!(
        FigureId::PreStretchAirAgrees,
        Assembly,
        "pre_stretch_air_agrees",
        (
            "each lowest air temperature of the log is at or below the air of the rows on both sides, but for a kelvin that two instruments may differ by",
            "lowest air <= air of its row and of the row before, + 1 K",
        ),
        LOG,
        &[],
    ),
    row(
        FigureId::PreStretchLoss,
        Assembly,
        "pre_stretch_loss",
        PRESSURE,
        (
            "The pressure lost in the log that no course of the inside temperature explains, added up over every topping up; what was lost before the filling with air of the stretch that counts, or before the last topping up after which it still suffices, and letting down at the end, is left out.",
            "Gay-Lussac at constant volume, absolute values; the air inside follows the air beside the tyre with a lag",
        ),
        &joined::<_, 4>(&[LOG, &[(assembly::TARGET_PRESSURE, Free)]]),
        LOSS,
    ),
    row(
        FigureId::PreStretchLossShare,
        Assembly,
        "pre_stretch_loss_share",
        Number(Dimension::Percent),
        ("The pressure lost in the log as a share of the target pressure.", "pressure lost / target pressure"),
        &joined::<_, 4>(&[LOG, &[(assembly::TARGET_PRESSURE, Free)]]),
        LOSS,
    ),
    whether!(
        FigureId::PreStretchOnScale,
        Assembly,
        "pre_stretch_on_scale",
        (
            "every pressure and every temperature of the log is within the range of the instrument that read it",
            "each reading against the ends of its scale",
        ),
        LOG,
        &[],
    ),
];
