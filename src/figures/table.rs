//! The catalogue of figures.

use super::{FigureId, FigureKind, FigureSpec, Parameter};
use crate::record::catalogue::{assembly, component, job};
use crate::record::{FactKey, Subject};
use crate::units::Dimension;

const fn row(
    id: FigureId,
    subject: Subject,
    name: &'static str,
    kind: FigureKind,
    texts: (&'static str, &'static str),
    inputs: &'static [FactKey],
    parameters: &'static [Parameter],
) -> FigureSpec {
    FigureSpec { id, subject, name, kind, about: texts.0, formula: texts.1, inputs, parameters }
}

use FigureKind::{Instant, Number};
use Subject::{Assembly, Component, Job};

const LENGTH: FigureKind = Number(Dimension::Length);
const VOLUME: FigureKind = Number(Dimension::Volume);
const MASS: FigureKind = Number(Dimension::Mass);
const PRESSURE: FigureKind = Number(Dimension::Pressure);
const COUNT: FigureKind = Number(Dimension::Count);
const DURATION: FigureKind = Number(Dimension::Duration);

/// Facts that the cavity model looks at.
const CAVITY: &[FactKey] = &[
    assembly::TYRE_SIZE,
    assembly::TYRE_INSIDE_VOLUME,
    assembly::TYRE_SECTION_WIDTH,
    assembly::TYRE_OVERALL_DIAMETER,
    assembly::RIM_WIDTH,
];
/// Facts that the mass of the mix looks at.
const MIX: &[FactKey] =
    &[assembly::TYRE_SIZE, assembly::TYRE_INSIDE_VOLUME, assembly::TYRE_STATE, component::DENSITY, component::PARTS];
/// Facts that the ceiling looks at.
const CEILING: &[FactKey] = &[
    assembly::TYRE_SIDEWALL_MAXIMUM,
    assembly::RIM_RATING,
    assembly::WHEEL_RATING,
    assembly::TARGET_LOCAL_LIMIT,
    assembly::TARGET_GAUGE,
];

/// Every figure, in the order of [`FigureId`].
pub const TABLE: &[FigureSpec] = &[
    row(
        FigureId::PlyRating,
        Assembly,
        "ply_rating",
        COUNT,
        (
            "The ply rating as recorded, or by the published load range table; where both are recorded and differ, anything between them.",
            "load range table",
        ),
        &[assembly::TYRE_PLY_RATING, assembly::TYRE_LOAD_RANGE],
        &[],
    ),
    row(
        FigureId::BeadDiameter,
        Assembly,
        "bead_diameter",
        LENGTH,
        ("The bead seat diameter that the tyre's size designation names.", "size designation"),
        &[assembly::TYRE_SIZE],
        &[],
    ),
    row(
        FigureId::SizeAgrees,
        Assembly,
        "size_agrees",
        FigureKind::Flag,
        (
            "Whether the size designation says the same of construction and seal as the rest of the record, as far as both speak.",
            "size designation against construction and seal",
        ),
        &[assembly::TYRE_SIZE, assembly::TYRE_CONSTRUCTION, assembly::TYRE_SEAL],
        &[],
    ),
    row(
        FigureId::RimWidthLeast,
        Assembly,
        "rim_width_least",
        LENGTH,
        ("The narrowest rim to expect for the size; the rim manual decides.", "measuring rim less a share, estimated"),
        &[assembly::TYRE_SIZE],
        &[],
    ),
    row(
        FigureId::RimWidthMost,
        Assembly,
        "rim_width_most",
        LENGTH,
        ("The widest rim to expect for the size; the rim manual decides.", "measuring rim plus a share, estimated"),
        &[assembly::TYRE_SIZE],
        &[],
    ),
    row(
        FigureId::CavityVolume,
        Assembly,
        "cavity_volume",
        VOLUME,
        (
            "The volume inside the mounted tyre when new, between bounds found by comparison with published volumes.",
            "half ellipse on parabola about the axle, times the family's factor; a recorded inside volume goes before it",
        ),
        CAVITY,
        &[],
    ),
    row(
        FigureId::MixMass,
        Assembly,
        "mix_mass",
        MASS,
        (
            "The mass of mix that fills the assembly; the upper bound allows for the growth of a used tyre.",
            "cavity volume x mix density; 1/density = sum of shares/densities",
        ),
        MIX,
        &[Parameter::UsedTyreGrowth],
    ),
    row(
        FigureId::PressureCeiling,
        Assembly,
        "pressure_ceiling",
        PRESSURE,
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
        ("The lowest pressure that does for the load: the operating pressure.", "operating pressure"),
        &[assembly::TARGET_OPERATING_PRESSURE],
        &[],
    ),
    row(
        FigureId::PressureWindow,
        Assembly,
        "pressure_window",
        PRESSURE,
        ("The room between floor and ceiling; below zero where no pressure does for both.", "ceiling - floor"),
        &[
            assembly::TARGET_OPERATING_PRESSURE,
            assembly::TYRE_SIDEWALL_MAXIMUM,
            assembly::RIM_RATING,
            assembly::WHEEL_RATING,
            assembly::TARGET_GAUGE,
        ],
        &[],
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
        &[assembly::TARGET_GAUGE, assembly::TARGET_PRESSURE],
        &[],
    ),
    row(
        FigureId::CageDemand,
        Assembly,
        "cage_demand",
        PRESSURE,
        ("What the cage must be rated for.", "sidewall maximum x cage factor"),
        &[assembly::TYRE_SIDEWALL_MAXIMUM],
        &[Parameter::CageFactor],
    ),
    row(
        FigureId::PreStretchTime,
        Assembly,
        "pre_stretch_time",
        DURATION,
        (
            "The longest unbroken time for which the log shows the pressure at or above the target and the air at or above the limit; straight lines between rows; a longer gap than the limit allows shows nothing.",
            "longest stretch of the log, each reading believed at its worse end",
        ),
        &[assembly::PRE_STRETCH_LOG, assembly::TARGET_PRESSURE],
        &[Parameter::PreStretchTemperature, Parameter::PreStretchLongestGap],
    ),
    row(
        FigureId::PreStretchEnd,
        Assembly,
        "pre_stretch_end",
        Instant,
        ("When the longest continuous stretch that the log surely shows ends.", "end of the counted stretch"),
        &[assembly::PRE_STRETCH_LOG, assembly::TARGET_PRESSURE],
        &[Parameter::PreStretchTemperature, Parameter::PreStretchLongestGap],
    ),
    row(
        FigureId::PreStretchPeak,
        Assembly,
        "pre_stretch_peak",
        PRESSURE,
        ("The highest pressure that the log shows.", "highest row of the log"),
        &[assembly::PRE_STRETCH_LOG],
        &[],
    ),
    row(
        FigureId::PreStretchLoss,
        Assembly,
        "pre_stretch_loss",
        PRESSURE,
        (
            "The greatest loss of pressure in the log that the temperatures do not explain.",
            "Gay-Lussac at constant volume, absolute values, every row brought to the first row's temperature",
        ),
        &[assembly::PRE_STRETCH_LOG],
        &[],
    ),
    row(
        FigureId::FilledMass,
        Assembly,
        "filled_mass",
        MASS,
        (
            "The mass of the filled assembly; masses of tyre and wheel that are not recorded are estimated, widely.",
            "mix + tyre + wheel",
        ),
        &[assembly::TYRE_SIZE, assembly::TYRE_MASS, assembly::WHEEL_MASS],
        &[Parameter::UsedTyreGrowth],
    ),
    row(
        FigureId::ComponentNeeded,
        Component,
        "needed",
        MASS,
        (
            "The mass of this component that all assemblies of the job take, with waste and priming.",
            "(sum of mix masses + waste + priming) x parts / sum of parts",
        ),
        &[component::DENSITY, component::PARTS],
        &[Parameter::UsedTyreGrowth, Parameter::Waste],
    ),
    row(
        FigureId::ComponentLeft,
        Component,
        "left",
        MASS,
        ("What is left of this component after the job; below zero where it does not last.", "on hand - needed"),
        &[component::ON_HAND, component::DENSITY, component::PARTS],
        &[Parameter::UsedTyreGrowth, Parameter::Waste],
    ),
    row(
        FigureId::WarmAt,
        Component,
        "warm_at",
        Instant,
        (
            "When the core will be at the processing temperature, at the logged rate.",
            "exponential approach to the air's temperature, least squares",
        ),
        &[component::WARMING, component::CORE_TEMPERATURE, component::READ_AT],
        &[Parameter::ProcessingTemperature],
    ),
    row(
        FigureId::JobMixMass,
        Job,
        "mix_mass",
        MASS,
        ("The mass of mix that the job takes, with waste and priming.", "sum of mix masses + waste + priming"),
        &[job::PUMP_PRIMING],
        &[Parameter::UsedTyreGrowth, Parameter::Waste],
    ),
    row(
        FigureId::PumpCycles,
        Job,
        "pump_cycles",
        COUNT,
        ("The pump cycles that the job takes, by the pump's own calibration.", "mix mass / mass per cycle"),
        &[job::PUMP_MASS_PER_CYCLE, job::PUMP_PRIMING],
        &[Parameter::UsedTyreGrowth, Parameter::Waste],
    ),
    row(
        FigureId::Cost,
        Job,
        "cost",
        COUNT,
        ("What the material costs, in the shop's own currency.", "sum of needed x price / amount"),
        &[],
        &[Parameter::UsedTyreGrowth, Parameter::Waste],
    ),
    row(
        FigureId::ReadyToServe,
        Job,
        "ready_to_serve",
        Instant,
        (
            "The earliest return to service, the planned start being kept; hours for which the workspace log shows cold, or a gap, do not count.",
            "planned start + longer of the planned and the ruled cure + hours not shown warm",
        ),
        &[job::PLANNED_START, job::CURE_PLANNED, job::WORKSPACE_TEMPERATURE, job::WORKSPACE_LOG],
        &[
            Parameter::WorkspaceTemperature,
            Parameter::WorkspaceLongestGap,
            Parameter::CureTime,
            Parameter::ColdCureTime,
        ],
    ),
];

#[cfg(test)]
mod tests {
    use super::TABLE;

    #[test]
    fn the_table_stands_in_the_order_of_the_ids() {
        for (position, spec) in TABLE.iter().enumerate() {
            assert_eq!(spec.id as usize, position, "{}", spec.name);
            assert_eq!(super::FigureId::find(spec.subject, spec.name), Some(spec.id));
        }
    }
}
