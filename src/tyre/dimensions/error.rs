//! What can be wrong with recorded dimensions, and how to put it right.
//!
//! This module must not know how dimensions are computed.

use std::fmt;

use thiserror::Error;

use crate::units::{Quantity, Rounding};

/// A recorded dimension.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DimensionName {
    /// Section width of the tyre.
    SectionWidth,
    /// Overall diameter of the tyre.
    OverallDiameter,
    /// Width of the rim between its flanges.
    RimWidth,
}

/// Why recorded dimensions cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum DimensionError {
    /// A quantity of another kind where a length is due.
    #[error("the {item} is not a length")]
    NotALength {
        /// Which one.
        item: DimensionName,
    },
    /// A length that cannot belong to the size.
    #[error("{0}")]
    Implausible(Box<Misfit>),
    /// A number that leaves the range of exact arithmetic.
    #[error("a dimension has too many digits to be computed exactly")]
    TooLarge,
}

/// A recorded length and the range in which it would have been plausible.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misfit {
    /// Which dimension.
    pub item: DimensionName,
    /// As recorded.
    pub recorded: Quantity,
    /// The size.
    pub size: String,
    /// Least plausible length.
    pub lowest: Quantity,
    /// Greatest plausible length.
    pub highest: Quantity,
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Misfit { item, recorded, size, lowest, highest } = self;
        let (lowest, highest) = (lowest.show(1, Rounding::Up), highest.show(1, Rounding::Down));
        write!(f, "{item} {recorded} cannot belong to size `{size}`, for which {lowest} to {highest} is possible")
    }
}

impl DimensionError {
    /// How to put it right, in one imperative sentence.
    pub fn help(&self) -> String {
        match self {
            DimensionError::NotALength { .. } => "write a length such as `16.5 in` or `420 mm`".to_owned(),
            DimensionError::Implausible(misfit) => {
                // By then the tyre may be under air, or full.
                format!(
                    "look the {} up again in the maker's data, or correct the size designation; measure nothing by hand on a \
                     tyre under pressure",
                    misfit.item
                )
            }
            DimensionError::TooLarge => "round the recorded lengths to a tenth of a millimetre".to_owned(),
        }
    }
}

impl fmt::Display for DimensionName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            DimensionName::SectionWidth => "section width",
            DimensionName::OverallDiameter => "overall diameter",
            DimensionName::RimWidth => "rim width",
        })
    }
}
