//! The catalogue of figures.

use super::{Direction, FigureId, FigureKind, FigureSpec, Parameter};
use crate::record::FactKey;
use crate::record::catalogue::{assembly, component, job};
use crate::units::Dimension;
use crate::vocabulary::Subject;

const fn row(
    id: FigureId,
    subject: Subject,
    name: &'static str,
    kind: FigureKind,
    texts: (&'static str, &'static str),
    inputs: &'static [(FactKey, Direction)],
    parameters: &'static [(Parameter, Direction)],
) -> FigureSpec {
    FigureSpec { id, subject, name, kind, about: texts.0, formula: texts.1, inputs, parameters }
}

use Direction::{Down, Free, Up};
use FigureKind::{Instant, Number};
use Subject::{Assembly, Component, Job};

const LENGTH: FigureKind = Number(Dimension::Length);
const VOLUME: FigureKind = Number(Dimension::Volume);
const MASS: FigureKind = Number(Dimension::Mass);
const PRESSURE: FigureKind = Number(Dimension::Pressure);
const COUNT: FigureKind = Number(Dimension::Count);
const DURATION: FigureKind = Number(Dimension::Duration);

type Facts = &'static [(FactKey, Direction)];
type Limits = &'static [(Parameter, Direction)];

/// What the cavity model looks at.
const CAVITY: Facts = &[
    (assembly::TYRE_SIZE, Free),
    (assembly::TYRE_INSIDE_VOLUME, Free),
    (assembly::TYRE_SECTION_WIDTH, Free),
    (assembly::TYRE_OVERALL_DIAMETER, Free),
    (assembly::RIM_WIDTH, Free),
    (assembly::TYRE_PLY_RATING, Free),
    (assembly::TYRE_LOAD_RANGE, Free),
    (assembly::TYRE_CONSTRUCTION, Free),
];
/// What the density of the mix looks at.
const DENSITY: Facts = &[
    (component::DENSITY, Up),
    (component::PARTS, Free),
    (component::PARTS_BY_VOLUME, Free),
    (component::DENSITY_AT, Free),
    (component::EXPANSION, Free),
    (component::CORE_TEMPERATURE, Down),
];
/// What the mass of the mix of one assembly looks at.
const MIX: Facts = &joined::<15>(&[CAVITY, &[(assembly::TYRE_STATE, Free)], DENSITY]);
/// What a rating's pressure, less the doubt of the gauge there, looks at. The doubt of a grade jumps at a quarter of the
/// dial, so the ceiling need not rise with a rating.
const CEILING: Facts = &[
    (assembly::TYRE_SIDEWALL_MAXIMUM, Free),
    (assembly::TYRE_PUBLISHED_MAXIMUM, Free),
    (assembly::RIM_RATING, Free),
    (assembly::WHEEL_RATING, Free),
    (assembly::RIM_KIND, Free),
    (assembly::TARGET_LOCAL_LIMIT, Free),
    (assembly::TARGET_GAUGE, Free),
    (assembly::TARGET_PRESSURE, Free),
];
/// What every figure of the pre-stretch log looks at.
const LOG: Facts = &[
    (assembly::PRE_STRETCH_LOG, Free),
    (assembly::PRE_STRETCH_GAUGE, Free),
    (assembly::PRE_STRETCH_THERMOMETER, Free),
];
/// The limits of the mass of one assembly's mix, of the job's, and of what is left.
const GROWTH: Limits =
    &[(Parameter::UsedTyreGrowth, Up), (Parameter::InsideVolumeLeast, Free), (Parameter::InsideVolumeMost, Free)];
const TOTAL: Limits = &[
    (Parameter::UsedTyreGrowth, Up),
    (Parameter::Waste, Up),
    (Parameter::InsideVolumeLeast, Free),
    (Parameter::InsideVolumeMost, Free),
];
const LEFT: Limits = &[
    (Parameter::UsedTyreGrowth, Down),
    (Parameter::Waste, Down),
    (Parameter::InsideVolumeLeast, Free),
    (Parameter::InsideVolumeMost, Free),
];
/// The limits between which a recorded inside volume is believed. Where it is not, the model stands in its place, which
/// may be more or less.
const BELIEVED: Limits = &[(Parameter::InsideVolumeLeast, Free), (Parameter::InsideVolumeMost, Free)];
const PRIMING: Facts = &[(job::PUMP_PRIMING, Up)];

/// The limits of what was lost in the log.
const LOSS: Limits = &[
    (Parameter::PreStretchTemperature, Up),
    // As for the time: more is shown, and less left open.
    (Parameter::PreStretchLongestGap, Free),
    (Parameter::PreStretchLongestNight, Down),
    (Parameter::PreStretchTime, Up),
    (Parameter::PreStretchJitter, Down),
    (Parameter::PreStretchLag, Down),
    (Parameter::PreStretchLetDown, Down),
];

/// Several lists as one, of `N` in all.
#[expect(clippy::indexing_slicing, reason = "runs in the compiler, which refuses an index that is out of range")]
const fn joined<const N: usize>(lists: &[Facts]) -> [(FactKey, Direction); N] {
    let mut all = [(assembly::TYRE_SIZE, Free); N];
    let (mut list, mut at) = (0, 0);
    while list < lists.len() {
        let mut entry = 0;
        while entry < lists[list].len() {
            all[at] = lists[list][entry];
            at += 1;
            entry += 1;
        }
        list += 1;
    }
    assert!(at == N, "the count of a joined list is wrong");
    all
}

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
        &[(assembly::TYRE_PLY_RATING, Up), (assembly::TYRE_LOAD_RANGE, Free), (assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::BeadDiameter,
        Assembly,
        "bead_diameter",
        LENGTH,
        ("The bead seat diameter that the tyre's size designation names.", "size designation"),
        &[(assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::SizeAgrees,
        Assembly,
        "size_agrees",
        FigureKind::Flag,
        (
            "Whether the size designation and the rest of the record say the same of construction, seal and strength, as far as they speak.",
            "size designation against construction and seal; one strength by ply rating, load range and size",
        ),
        &[
            (assembly::TYRE_SIZE, Free),
            (assembly::TYRE_CONSTRUCTION, Free),
            (assembly::TYRE_SEAL, Free),
            (assembly::TYRE_PLY_RATING, Free),
            (assembly::TYRE_LOAD_RANGE, Free),
        ],
        &[],
    ),
    row(
        FigureId::SteelExpected,
        Assembly,
        "steel_expected",
        FigureKind::Flag,
        (
            "Whether the tyre has steel in casing or belts unless its sidewall says otherwise.",
            "radial, of a size for trucks, earthmovers or graders",
        ),
        &[(assembly::TYRE_SIZE, Free), (assembly::TYRE_CONSTRUCTION, Free)],
        &[],
    ),
    row(
        FigureId::TubeSuits,
        Assembly,
        "tube_suits",
        FigureKind::Flag,
        (
            "Whether one of the sizes that the tube is marked for is one that the tyre shows, however each is written.",
            "sizes of the tube against sizes of the tyre",
        ),
        &[(assembly::TUBE_SIZE, Free), (assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::RimWidthLeast,
        Assembly,
        "rim_width_least",
        LENGTH,
        ("The narrowest rim to expect for the size; the rim manual decides.", "measuring rim less a share, estimated"),
        &[(assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::RimWidthMost,
        Assembly,
        "rim_width_most",
        LENGTH,
        ("The widest rim to expect for the size; the rim manual decides.", "measuring rim plus a share, estimated"),
        &[(assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::CavityVolume,
        Assembly,
        "cavity_volume",
        VOLUME,
        (
            "The volume inside the mounted tyre when new, between bounds found by comparison with published volumes.",
            "half ellipse on parabola about the axle, times the family's factor; a recorded inside volume that is believed takes precedence over it",
        ),
        CAVITY,
        BELIEVED,
    ),
    row(
        FigureId::VolumeBelieved,
        Assembly,
        "volume_believed",
        FigureKind::Flag,
        (
            "Whether the recorded inside volume is near enough to what the size gives; if not, nothing is worked out from it.",
            "recorded inside volume / modelled volume, between two shares",
        ),
        &[
            (assembly::TYRE_INSIDE_VOLUME, Free),
            (assembly::TYRE_SIZE, Free),
            (assembly::TYRE_SECTION_WIDTH, Free),
            (assembly::TYRE_OVERALL_DIAMETER, Free),
            (assembly::RIM_WIDTH, Free),
            (assembly::TYRE_PLY_RATING, Free),
            (assembly::TYRE_LOAD_RANGE, Free),
            (assembly::TYRE_CONSTRUCTION, Free),
        ],
        BELIEVED,
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
        GROWTH,
    ),
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
        FigureId::LowestRating,
        Assembly,
        "lowest_rating",
        PRESSURE,
        (
            "The lowest rating of tyre, rim and wheel; a wheel of a single piece needs one rating, not two.",
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
        PRESSURE,
        ("The room between floor and ceiling; below zero where no pressure does for both.", "ceiling - floor"),
        &joined::<9>(&[&[(assembly::TARGET_OPERATING_PRESSURE, Down)], CEILING]),
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
        &joined::<4>(&[LOG, &[(assembly::TARGET_PRESSURE, Down)]]),
        &[
            (Parameter::PreStretchTemperature, Down),
            // A longer gap lets more rows show something, and leaves less open between them.
            (Parameter::PreStretchLongestGap, Free),
            (Parameter::PreStretchLongestNight, Up),
        ],
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
        &joined::<4>(&[LOG, &[(assembly::TARGET_PRESSURE, Free)]]),
        &[
            // Where none is long enough it is the end of the log, which is later.
            (Parameter::PreStretchTemperature, Free),
            (Parameter::PreStretchLongestGap, Free),
            (Parameter::PreStretchLongestNight, Free),
            (Parameter::PreStretchTime, Free),
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
        FigureId::PreStretchLoss,
        Assembly,
        "pre_stretch_loss",
        PRESSURE,
        (
            "The pressure lost in the log that no course of the inside temperature explains, added up over every topping up; what was lost before the filling with air of the stretch that counts, and letting down at the end, is left out.",
            "Gay-Lussac at constant volume, absolute values; the air inside follows the air beside the tyre with a lag",
        ),
        &joined::<4>(&[LOG, &[(assembly::TARGET_PRESSURE, Free)]]),
        LOSS,
    ),
    row(
        FigureId::PreStretchLossShare,
        Assembly,
        "pre_stretch_loss_share",
        Number(Dimension::Percent),
        ("The pressure lost in the log as a share of the target pressure.", "pressure lost / target pressure"),
        &joined::<4>(&[LOG, &[(assembly::TARGET_PRESSURE, Free)]]),
        LOSS,
    ),
    row(
        FigureId::PreStretchOnScale,
        Assembly,
        "pre_stretch_on_scale",
        FigureKind::Flag,
        (
            "Whether every pressure and every temperature of the log lies on the scale of the instrument that read it.",
            "each reading against the ends of its scale",
        ),
        LOG,
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
        &joined::<17>(&[MIX, &[(assembly::TYRE_MASS, Free), (assembly::WHEEL_MASS, Free)]]),
        GROWTH,
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
        &joined::<16>(&[DENSITY, PRIMING, CAVITY, &[(assembly::TYRE_STATE, Free)]]),
        TOTAL,
    ),
    row(
        FigureId::ComponentLikely,
        Component,
        "likely_need",
        MASS,
        (
            "The mass of this component that the job takes by the likeliest volume of each tyre, without growth and waste; a need that is written down is held against it.",
            "(sum of likeliest volumes x mix density + priming) x parts / sum of parts",
        ),
        &joined::<15>(&[DENSITY, PRIMING, CAVITY]),
        BELIEVED,
    ),
    row(
        FigureId::ComponentLeft,
        Component,
        "left",
        MASS,
        ("What is left of this component after the job; below zero where it does not last.", "on hand - needed"),
        &joined::<17>(&[
            &[
                (component::ON_HAND, Up),
                (component::DENSITY, Down),
                (component::PARTS, Free),
                (component::PARTS_BY_VOLUME, Free),
                (component::DENSITY_AT, Free),
                (component::EXPANSION, Free),
                (component::CORE_TEMPERATURE, Up),
                (job::PUMP_PRIMING, Down),
            ],
            CAVITY,
            &[(assembly::TYRE_STATE, Free)],
        ]),
        LEFT,
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
        &[
            (component::WARMING, Free),
            (component::CORE_TEMPERATURE, Free),
            (component::READ_AT, Free),
            (job::WORKSPACE_TEMPERATURE, Free),
        ],
        &[(Parameter::ProcessingTemperature, Up)],
    ),
    row(
        FigureId::TwoLots,
        Job,
        "two_lots",
        FigureKind::Flag,
        ("Whether isocyanate and polyol are of two lots, however their marks are written.", "the marks compared"),
        &[(component::LOT, Free)],
        &[],
    ),
    row(
        FigureId::JobMixMass,
        Job,
        "mix_mass",
        MASS,
        ("The mass of mix that the job takes, with waste and priming.", "sum of mix masses + waste + priming"),
        &joined::<16>(&[PRIMING, MIX]),
        TOTAL,
    ),
    row(
        FigureId::PumpCycles,
        Job,
        "pump_cycles",
        COUNT,
        ("The pump cycles that the job takes, by the pump's own calibration.", "mix mass / mass per cycle"),
        &joined::<17>(&[&[(job::PUMP_MASS_PER_CYCLE, Down)], PRIMING, MIX]),
        TOTAL,
    ),
    row(
        FigureId::Cost,
        Job,
        "cost",
        COUNT,
        ("What the material costs, in the shop's own currency.", "sum of needed x price / amount"),
        &joined::<18>(&[&[(component::PRICE, Up), (component::PRICE_FOR, Down)], PRIMING, MIX]),
        TOTAL,
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
        &[
            (job::PLANNED_START, Free),
            (job::CURE_PLANNED, Up),
            (job::WORKSPACE_TEMPERATURE, Free),
            (job::WORKSPACE_LOG, Free),
        ],
        &[
            (Parameter::WorkspaceTemperature, Up),
            (Parameter::WorkspaceLongestGap, Down),
            (Parameter::CureTime, Up),
            (Parameter::ColdCureTime, Up),
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
