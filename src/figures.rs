//! Figures: quantities computed from a record, each with the facts it was made from.
//!
//! A figure is an interval, exact where the arithmetic is rational. What a figure needs and does not find makes it
//! unknown, never zero. This floor must not know rules: the numbers a pack sets reach it as [`Parameters`].

mod pre_stretch;
mod tyre;

use crate::record::{Entity, FactKey, Job, Measured, Subject, Value};
use crate::units::{Dimension, Exact, Interval, Quantity, Unit};

/// One figure of the catalogue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FigureId {
    /// The ply rating, as recorded or by the load range.
    PlyRating,
    /// The bead seat diameter in the tyre's designation.
    BeadDiameter,
    /// The longest continuous pre-stretch that the log shows.
    PreStretchTime,
}

/// A number that a pack sets and a figure uses: the limit of that name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Parameter {
    /// The lowest air temperature that counts as pre-stretch.
    PreStretchTemperature,
    /// The longest time between two log rows that still counts as watched.
    PreStretchLongestGap,
}

impl Parameter {
    /// Every parameter.
    pub const ALL: [Self; 2] = [Self::PreStretchTemperature, Self::PreStretchLongestGap];

    /// The name of the limit.
    pub const fn limit(self) -> &'static str {
        match self {
            Self::PreStretchTemperature => "pre_stretch_temperature",
            Self::PreStretchLongestGap => "pre_stretch_longest_gap",
        }
    }

    /// The unit family of the limit.
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::PreStretchTemperature => Dimension::Temperature,
            Self::PreStretchLongestGap => Dimension::Duration,
        }
    }
}

/// The values of the parameters at the instant of the judgement, in base units.
#[derive(Debug, Clone, Default)]
pub struct Parameters {
    values: [Option<Exact>; Parameter::ALL.len()],
}

impl Parameters {
    /// Takes each parameter from `limit_in_force`, which gives the base value of the limit of a name.
    pub fn from_limits(limit_in_force: impl Fn(&str) -> Option<Exact>) -> Self {
        Self { values: Parameter::ALL.map(|parameter| limit_in_force(parameter.limit())) }
    }

    fn get(&self, parameter: Parameter) -> Option<Exact> {
        self.values.get(parameter as usize).copied().flatten()
    }
}

/// What the catalogue says of a figure.
#[derive(Debug, Clone, Copy)]
pub struct Spec {
    /// Which one.
    pub id: FigureId,
    /// Of what it is a figure.
    pub subject: Subject,
    /// The name after `figure.`.
    pub name: &'static str,
    /// The unit family.
    pub dimension: Dimension,
    /// What it is, with the method.
    pub about: &'static str,
    /// The facts it is made from, most telling first.
    pub inputs: &'static [FactKey],
    /// The limits it uses.
    pub parameters: &'static [Parameter],
}

use crate::record::catalogue::assembly;

/// Every figure, in the order of [`FigureId`].
pub const TABLE: &[Spec] = &[
    Spec {
        id: FigureId::PlyRating,
        subject: Subject::Assembly,
        name: "ply_rating",
        dimension: Dimension::Count,
        about: "The ply rating as recorded, or by the published load range table; where both are recorded and differ, anything between them.",
        inputs: &[assembly::TYRE_PLY_RATING, assembly::TYRE_LOAD_RANGE],
        parameters: &[],
    },
    Spec {
        id: FigureId::BeadDiameter,
        subject: Subject::Assembly,
        name: "bead_diameter",
        dimension: Dimension::Length,
        about: "The bead seat diameter that the tyre's size designation names.",
        inputs: &[assembly::TYRE_SIZE],
        parameters: &[],
    },
    Spec {
        id: FigureId::PreStretchTime,
        subject: Subject::Assembly,
        name: "pre_stretch_time",
        dimension: Dimension::Duration,
        about: "The longest unbroken time for which the log shows the pressure at or above the target and the air at or above the limit; straight lines between rows; a longer gap than the limit allows shows nothing.",
        inputs: &[assembly::PRE_STRETCH_LOG, assembly::TARGET_PRESSURE],
        parameters: &[Parameter::PreStretchTemperature, Parameter::PreStretchLongestGap],
    },
];

impl FigureId {
    /// What the catalogue says of this figure.
    pub fn spec(self) -> Option<&'static Spec> {
        TABLE.iter().find(|spec| spec.id == self)
    }

    /// The figure called `name` (without `figure.`) of a subject.
    pub fn find(subject: Subject, name: &str) -> Option<Self> {
        TABLE.iter().find(|spec| spec.subject == subject && spec.name == name).map(|spec| spec.id)
    }
}

/// A figure of one subject, or why there is none.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Figure {
    /// The value; `None` where it could not be computed.
    pub value: Option<Value>,
    /// The facts that were missing or could not be used.
    pub missing: Vec<FactKey>,
    /// What stood in the way, in words, where a fact is there but cannot be used.
    pub obstacle: Option<String>,
}

impl Figure {
    fn of(value: Measured) -> Self {
        Self { value: Some(Value::Measured(Box::new(value))), ..Self::default() }
    }

    fn between(interval: Interval, unit: Unit) -> Self {
        match Quantity::from_base(interval.lo(), unit) {
            Some(shown) => Self::of(Measured { interval, ..Measured::exact(shown) }),
            None => Self::obstacle("the numbers leave the range that can be reckoned exactly".to_owned(), &[]),
        }
    }

    fn missing(keys: &[FactKey]) -> Self {
        Self { missing: keys.to_vec(), ..Self::default() }
    }

    fn obstacle(obstacle: String, keys: &[FactKey]) -> Self {
        Self { value: None, missing: keys.to_vec(), obstacle: Some(obstacle) }
    }
}

/// Computes one figure of one subject of the job.
pub fn compute(id: FigureId, _job: &Job, entity: &Entity, parameters: &Parameters) -> Figure {
    match id {
        FigureId::PlyRating => tyre::ply_rating(entity),
        FigureId::BeadDiameter => tyre::bead_diameter(entity),
        FigureId::PreStretchTime => pre_stretch::time(entity, parameters),
    }
}
