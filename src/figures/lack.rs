//! Why a figure is not known: facts that are missing, or an obstacle in facts that are there.
//!
//! An obstacle is a code with what it is about. Its words are drawn elsewhere; this module must not know them.

use super::Parameter;
use crate::record::FactKey;
use crate::tyre::cavity::CavityError;

/// What a figure lacks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Lack {
    /// Facts that are not recorded; at least one.
    Missing(Vec<FactKey>),
    /// Facts that are recorded, or limits, cannot be used.
    Obstacle {
        /// What stands in the way.
        obstacle: Obstacle,
        /// The facts it is about; empty where it is about none in particular.
        about: Vec<FactKey>,
    },
}

/// What stands in the way of a figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Obstacle {
    /// The numbers leave the range of exact arithmetic.
    OutOfRange,
    /// No pack in force sets a limit that the figure uses.
    NoLimit(Parameter),
    /// Size and dimensions leave no inside volume.
    NoCavity(Box<CavityError>),
    /// No tyre has the recorded ply rating.
    NoSuchPlyRating,
    /// The uncertainty of the gauge at the target is not known.
    GaugeDoubtUnknown,
    /// No tyre of this size is so light.
    TyreTooLight,
    /// No tyre of this size is so heavy.
    TyreTooHeavy,
    /// No wheel for this tyre is so light.
    WheelTooLight,
    /// No wheel for this tyre is so heavy.
    WheelTooHeavy,
    /// A component has no parts in the mix.
    NoParts,
    /// The ratio is written by weight and by volume.
    TwoRatios,
    /// The temperatures change a density by more than a liquid can.
    DensityCorrection,
    /// The pump's mass per cycle is not surely above nothing.
    NothingPerCycle,
    /// A row of a log lacks a reading.
    RowIncomplete,
    /// A reading at the wall does not tell the core.
    ReadAtWall,
    /// The air around a container is not warmer than the limit.
    AirNotWarmer,
    /// The readings do not differ by more than the thermometer's doubt.
    NoRate,
    /// A reading is not below the air around it.
    NotBelowAir,
    /// A reading is lower than the one before it.
    ReadingFalls,
    /// The readings do not lie on one approach to the air's temperature.
    NotOneApproach,
    /// The workspace log ends in the cold.
    EndsCold,
    /// The name of the grade has no number, or several, that could be a hardness.
    NoNumberInGrade,
}

impl Obstacle {
    /// The code of the obstacle, for programs and signed files.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::OutOfRange => "out-of-range",
            Self::NoLimit(_) => "no-limit",
            Self::NoCavity(_) => "no-cavity",
            Self::NoSuchPlyRating => "no-such-ply-rating",
            Self::GaugeDoubtUnknown => "gauge-doubt-unknown",
            Self::TyreTooLight => "tyre-too-light",
            Self::TyreTooHeavy => "tyre-too-heavy",
            Self::WheelTooLight => "wheel-too-light",
            Self::WheelTooHeavy => "wheel-too-heavy",
            Self::NoParts => "no-parts",
            Self::TwoRatios => "two-ratios",
            Self::DensityCorrection => "density-correction",
            Self::NothingPerCycle => "nothing-per-cycle",
            Self::RowIncomplete => "row-incomplete",
            Self::ReadAtWall => "read-at-wall",
            Self::AirNotWarmer => "air-not-warmer",
            Self::NoRate => "no-rate",
            Self::NotBelowAir => "not-below-air",
            Self::ReadingFalls => "reading-falls",
            Self::NotOneApproach => "not-one-approach",
            Self::EndsCold => "ends-cold",
            Self::NoNumberInGrade => "no-number-in-grade",
        }
    }
}

impl Lack {
    /// The facts that are missing or cannot be used.
    pub fn facts(&self) -> &[FactKey] {
        match self {
            Self::Missing(facts) | Self::Obstacle { about: facts, .. } => facts,
        }
    }

    pub(super) fn missing(key: FactKey) -> Self {
        Self::Missing(vec![key])
    }

    pub(super) fn obstacle(obstacle: Obstacle, about: &[FactKey]) -> Self {
        Self::Obstacle { obstacle, about: about.to_vec() }
    }

    pub(super) fn out_of_range() -> Self {
        Self::obstacle(Obstacle::OutOfRange, &[])
    }

    pub(super) fn no_limit(parameter: Parameter) -> Self {
        Self::obstacle(Obstacle::NoLimit(parameter), &[])
    }
}
