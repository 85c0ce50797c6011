//! Why the volume inside a tyre cannot be told, and what to do about it.
//!
//! Must not know how the volume is modelled.

use thiserror::Error;

use crate::tyre::dimensions::DimensionError;
use crate::units::Quantity;

/// Why there is no volume.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum CavityError {
    /// The dimensions cannot be settled.
    #[error(transparent)]
    Dimensions(#[from] DimensionError),
    /// The ply rating is outside what tyres have.
    #[error("ply rating {ply_rating} is outside 2 to 80")]
    PlyRating {
        /// As recorded.
        ply_rating: u8,
    },
    /// A quantity of another kind where a volume is due.
    #[error("the inside volume is not a volume")]
    NotAVolume,
    /// A recorded inside volume that cannot belong to the size.
    #[error(
        "inside volume {recorded} cannot belong to size `{size}`, whose outside dimensions leave {least} to {most}"
    )]
    Implausible {
        /// As recorded.
        recorded: Box<Quantity>,
        /// The size.
        size: String,
        /// Least plausible volume, for people.
        least: String,
        /// Greatest plausible volume, for people.
        most: String,
    },
    /// Recorded measurements that no tyre of the size has together.
    #[error("the recorded {what} contradict each other or the size `{size}`: no tyre has them together")]
    Contradiction {
        /// What is recorded.
        what: &'static str,
        /// The size.
        size: String,
    },
    /// The walls that the ply rating asks for leave no cavity.
    #[error("the casing of size `{size}` with ply rating {ply_rating} would leave no room inside")]
    NoRoom {
        /// The size.
        size: String,
        /// The ply rating taken.
        ply_rating: u8,
    },
}

impl CavityError {
    /// How to put it right, in one imperative sentence.
    pub fn help(&self) -> String {
        match self {
            CavityError::Dimensions(error) => error.help(),
            CavityError::PlyRating { .. } | CavityError::NoRoom { .. } => {
                "compare size and ply rating with the sidewall".to_owned()
            }
            CavityError::NotAVolume => "write a volume such as `55 gal` or `210 L`".to_owned(),
            CavityError::Implausible { .. } => "compare the inside volume with the maker's table".to_owned(),
            CavityError::Contradiction { .. } => {
                "compare what is recorded, inside volume and size with the maker's table; measure nothing by hand on a tyre under \
                 pressure"
                    .to_owned()
            }
        }
    }
}
