//! The words for what stands in the way of a figure.
//!
//! Obstacles are codes with data; only here do they become sentences. This module must not know how figures are computed.

use crate::figures::Obstacle;

/// What stands in the way, as a fragment without a full stop.
pub(super) fn fragment(obstacle: &Obstacle) -> String {
    let fixed = match obstacle {
        Obstacle::NoLimit(parameter) => return format!("no pack in force sets the limit `{}`", parameter.limit()),
        Obstacle::NoCavity(error) => return format!("{error}; {}", error.help()),
        Obstacle::OutOfRange => "the numbers leave the range that can be computed exactly",
        Obstacle::NoSuchPlyRating => "no tyre has this ply rating",
        Obstacle::GaugeDoubtUnknown => "the uncertainty of the target's gauge is not known",
        Obstacle::TyreTooLight => "no tyre of this size is so light; read the scale and its unit again",
        Obstacle::TyreTooHeavy => "no tyre of this size is so heavy; read the scale and its unit again",
        Obstacle::WheelTooLight => "no wheel for this tyre is so light; read the scale and its unit again",
        Obstacle::WheelTooHeavy => "no wheel for this tyre is so heavy; read the scale and its unit again",
        Obstacle::NoParts => "a component with no parts in the mix",
        Obstacle::TwoRatios => {
            "the ratio of the mix is written both by weight and by volume; the data sheet gives one of them for both sides"
        }
        Obstacle::DensityCorrection => {
            "the temperatures would change the density by more than a twentieth, which no liquid of this kind does; read both from the data sheet again"
        }
        Obstacle::NothingPerCycle => "within its uncertainty the pump's mass per cycle may be zero",
        Obstacle::RowIncomplete => "a row of the log has no pressure or no temperature",
        Obstacle::ReadAtWall => "a reading at the wall does not tell the core",
        Obstacle::AirNotWarmer => "the air around it is not warmer than the limit, so it will never get there",
        Obstacle::NoRate => "the readings differ by no more than the thermometer's uncertainty, so they show no rate",
        Obstacle::NotBelowAir => "a reading is not below the temperature of the air, so the log shows no warming by it",
        Obstacle::ReadingFalls => "a reading is lower than the one before it, so the log shows no steady warming",
        Obstacle::NotOneApproach => "the readings do not follow one curve of warming",
        Obstacle::NoNumberInGrade => "the name of the grade has no single number that could be a hardness",
        Obstacle::EndsCold => "the workspace log ends with a cold reading, so the end of the cure cannot be told yet",
    };
    fixed.to_owned()
}

/// Whether it is that what is recorded cannot be so: the entry is there, and is corrected.
pub(super) const fn is_of_entries(obstacle: &Obstacle) -> bool {
    match obstacle {
        Obstacle::NoCavity(_)
        | Obstacle::NoSuchPlyRating
        | Obstacle::TyreTooLight
        | Obstacle::TyreTooHeavy
        | Obstacle::WheelTooLight
        | Obstacle::WheelTooHeavy
        | Obstacle::TwoRatios
        | Obstacle::DensityCorrection => true,
        Obstacle::NoLimit(_)
        | Obstacle::OutOfRange
        | Obstacle::GaugeDoubtUnknown
        | Obstacle::NoParts
        | Obstacle::NothingPerCycle
        | Obstacle::RowIncomplete
        | Obstacle::ReadAtWall
        | Obstacle::AirNotWarmer
        | Obstacle::NoRate
        | Obstacle::NotBelowAir
        | Obstacle::ReadingFalls
        | Obstacle::NotOneApproach
        | Obstacle::NoNumberInGrade
        | Obstacle::EndsCold => false,
    }
}
