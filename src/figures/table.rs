//! The catalogue of figures: what its rows share, and the table that they make up. It must not know how a figure is
//! computed.

mod alike;
mod filling;
mod job;
mod material;
mod outcome;
mod pressure;

use super::{Direction, FigureId, FigureKind, FigureSpec, Parameter};
use crate::record::FactKey;
use crate::record::catalogue::{assembly as each, component, job as whole, stages};
use crate::units::Dimension;
use crate::vocabulary::{Subject, one_list};

const fn row(
    id: FigureId,
    subject: Subject,
    name: &'static str,
    kind: FigureKind,
    texts: (&'static str, &'static str),
    inputs: &'static [(FactKey, Direction)],
    parameters: &'static [(Parameter, Direction)],
) -> FigureSpec {
    let (about, formula) = texts;
    FigureSpec { id, subject, name, kind, about, states: None, formula, inputs, parameters, only_shown: false }
}

/// The row of a yes or no: what it states, and a remark behind that, stand in place of its meaning.
macro_rules! whether {
    ($id:expr, $subject:expr, $name:expr, ($states:literal $(; $remark:literal)?, $formula:expr $(,)?), $inputs:expr, $parameters:expr $(,)?) => {
        $crate::figures::FigureSpec {
            states: Some($states),
            ..$crate::figures::table::row(
                $id,
                $subject,
                $name,
                $crate::figures::FigureKind::Flag,
                (concat!("Whether ", $states, $("; ", $remark,)? "."), $formula),
                $inputs,
                $parameters,
            )
        }
    };
}
use whether;

use Direction::{Down, Free, Up};
use FigureKind::Number;

const LENGTH: FigureKind = Number(Dimension::Length);
const VOLUME: FigureKind = Number(Dimension::Volume);
const MASS: FigureKind = Number(Dimension::Mass);
const PRESSURE: FigureKind = Number(Dimension::Pressure);
const TEMPERATURE: FigureKind = Number(Dimension::Temperature);
const COUNT: FigureKind = Number(Dimension::Count);
const PERCENT: FigureKind = Number(Dimension::Percent);
const ENERGY: FigureKind = Number(Dimension::Energy);
const DURATION: FigureKind = Number(Dimension::Duration);

type FactInputs = &'static [(FactKey, Direction)];
type LimitInputs = &'static [(Parameter, Direction)];

/// What the cavity model looks at.
const CAVITY: FactInputs = &[
    (each::TYRE_SIZE, Free),
    (each::TYRE_INSIDE_VOLUME, Free),
    (each::TYRE_SECTION_WIDTH, Free),
    (each::TYRE_OVERALL_DIAMETER, Free),
    (each::RIM_WIDTH, Free),
    (each::TYRE_PLY_RATING, Free),
    (each::TYRE_LOAD_RANGE, Free),
    (each::TYRE_CONSTRUCTION, Free),
];
/// What the density of the mix, and the share of a side in it, look at; given which way the two sides' densities and their
/// temperatures move the figure.
const fn sides(density: Direction, temperature: Direction) -> [(FactKey, Direction); 6] {
    [
        (component::DENSITY, density),
        (component::PARTS, Free),
        (component::PARTS_BY_VOLUME, Free),
        (component::DENSITY_AT, Free),
        (component::EXPANSION, Free),
        (component::CORE_TEMPERATURE, temperature),
    ]
}
/// What the density of the mix looks at.
const DENSITY: FactInputs = &sides(Up, Down);
/// What takes up the more room, the less dense it is.
const ROOM: FactInputs = &sides(Down, Up);
/// What the share of one side looks at.
const SHARE: FactInputs = &sides(Free, Free);
/// What the mass of the mix of one assembly looks at.
const MIX: FactInputs = &one_list::<_, 15>(&[CAVITY, &[(each::TYRE_STATE, Free)], DENSITY]);
/// What the mass of an assembly without its mix looks at, besides the size.
const WEIGHED: FactInputs =
    &[(each::TYRE_MASS, Free), (each::WHEEL_MASS, Free), (each::TUBE_FITTED, Free), (each::FLAP_FITTED, Free)];

/// What the mass that was pumped looks at.
const PUMPED: FactInputs = &[(stages::FILL_STROKES, Up), (stages::FILL_MASS, Free), (whole::PUMP_MASS_PER_CYCLE, Up)];
/// What the shares of what was pumped look at.
const FILLED: FactInputs = &one_list::<_, 17>(&[PUMPED, CAVITY, ROOM]);
/// What a rating's pressure, less the doubt of the gauge there, looks at. The doubt of a grade jumps at a quarter of the
/// dial, so the ceiling need not rise with a rating.
const CEILING: FactInputs = &[
    (each::TYRE_SIDEWALL_MAXIMUM, Free),
    (each::TYRE_PUBLISHED_MAXIMUM, Free),
    (each::RIM_RATING, Free),
    (each::WHEEL_RATING, Free),
    (each::RIM_KIND, Free),
    (each::TARGET_LOCAL_LIMIT, Free),
    (each::TARGET_GAUGE, Free),
    (each::TARGET_PRESSURE, Free),
];
/// What every figure of the pre-stretch log looks at.
const LOG: FactInputs =
    &[(each::PRE_STRETCH_LOG, Free), (each::PRE_STRETCH_GAUGE, Free), (each::PRE_STRETCH_THERMOMETER, Free)];
/// The limits of the mass of one assembly's mix, of the job's, and of what is left.
const GROWTH: LimitInputs = &one_list::<_, 4>(&[&[(Parameter::UsedTyreGrowth, Up)], BELIEVED]);
const TOTAL: LimitInputs = &one_list::<_, 5>(&[&[(Parameter::Waste, Up)], GROWTH]);
const LEFT: LimitInputs =
    &one_list::<_, 5>(&[&[(Parameter::UsedTyreGrowth, Down), (Parameter::Waste, Down)], BELIEVED]);
/// The limits between which a recorded inside volume is believed. Where it is not, the model stands in its place, which
/// may be more or less.
const BELIEVED: LimitInputs =
    &[(Parameter::InsideVolumeLeast, Free), (Parameter::InsideVolumeMost, Free), (Parameter::VolumeModelWidth, Free)];
/// The limits of the time that a cure takes.
const CURE: LimitInputs = &[
    (Parameter::WorkspaceTemperature, Up),
    (Parameter::WorkspaceLongestGap, Down),
    (Parameter::WorkspaceLongestNight, Down),
    (Parameter::CureTime, Up),
    (Parameter::ColdCureTime, Up),
];
const PRIMING: FactInputs = &[(whole::PUMP_PRIMING, Up)];
/// What the time that a cure takes looks at, the start apart.
const CURED: FactInputs = &[
    (whole::CURE_PLANNED, Up),
    (whole::CURE_TIME, Free),
    (whole::CURE_TEMPERATURE, Free),
    (whole::WORKSPACE_TEMPERATURE, Free),
    (whole::WORKSPACE_LOG, Free),
];

/// The limits of what was lost in the log.
const LOSS: LimitInputs = &[
    (Parameter::PreStretchTemperature, Up),
    // As for the time: more is shown, and less left open.
    (Parameter::PreStretchLongestGap, Free),
    (Parameter::PreStretchLongestNight, Down),
    (Parameter::PreStretchTime, Up),
    (Parameter::PreStretchJitter, Down),
    (Parameter::PreStretchLag, Down),
    (Parameter::PreStretchLetDown, Down),
    (Parameter::PreStretchLetDownTime, Down),
    (Parameter::PreStretchTopUp, Up),
    // As for the longest gap: what counts as stretch dates the filling from which falls count.
    (Parameter::SoftSide, Free),
];

/// The rows of all subjects.
const ALL: [FigureSpec;
    filling::ROWS.len()
        + pressure::ROWS.len()
        + outcome::ROWS.len()
        + alike::ROWS.len()
        + material::ROWS.len()
        + job::ROWS.len()] =
    one_list(&[filling::ROWS, pressure::ROWS, outcome::ROWS, alike::ROWS, material::ROWS, job::ROWS]);

/// A figure without its row, or a row out of its place, does not compile.
#[expect(clippy::indexing_slicing, reason = "in a constant it is found when the program is built")]
const _: () = {
    let mut at = 0;
    while at < ALL.len() {
        assert!(ALL[at].id as usize == at, "a figure has no row, or not in its place");
        at += 1;
    }
};

/// Every figure, in the order of [`FigureId`].
pub const TABLE: &[FigureSpec] = &ALL;

impl FigureId {
    /// What the catalogue says of this figure.
    pub fn spec(self) -> Option<&'static FigureSpec> {
        TABLE.get(self as usize)
    }

    /// The figure called `name` (without `figure.`) of a subject.
    pub fn find(subject: Subject, name: &str) -> Option<Self> {
        TABLE.iter().find(|spec| spec.subject == subject && spec.name == name).map(|spec| spec.id)
    }
}

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
