//! Tyre size designations as sidewalls show them: the typed result of reading one, and its normal form.
//!
//! What separates the numbers decides what they mean: `/` puts an aspect second, `x` puts an overall diameter first, and
//! otherwise the first number is a width. The dash stands for diagonal construction. Grammar from memory of ISO 4000-1,
//! 4209-1, 4250-1, 4251-1, 3739-1 and UN Regulations 54 and 106, none of which was at hand.
//!
//! This module must not know dimensions that the name does not state.

mod error;
mod marking;
mod parse;

use std::fmt;

use crate::tyre::load_range::LoadRange;
use crate::units::{Exact, Quantity, Rounding, Unit};

pub use error::{DesignationError, DesignationFault};
pub use marking::{Markings, Service, ServiceDescription, TreadCode, Tube};

/// How the casing is built, as the name says it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Construction {
    /// `R`.
    Radial,
    /// `-` or `D`: bias ply.
    Diagonal,
    /// `B`: bias ply with a belt.
    BiasBelted,
}

/// What stands before the first number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Prefix {
    /// `P`: passenger car.
    Passenger,
    /// `LT`: light truck.
    LightTruck,
    /// `ST`: special trailer.
    SpecialTrailer,
    /// `IF`: improved flexion.
    ImprovedFlexion,
    /// `VF`: very high flexion.
    VeryHighFlexion,
}

/// The low-section letters after a width code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LowSection {
    /// `L`.
    L,
    /// `LL`.
    Ll,
}

/// A number of a designation and the way it is written, because `10.00` and `10` belong to different series.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Number {
    pub(super) value: Exact,
    pub(super) style: Style,
}

/// How a number is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Style {
    /// With this many decimal places.
    Decimals(u8),
    /// As a whole number and a fraction, `4 1/2`.
    Fraction,
}

/// The numbers before the rim code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Size {
    /// `385/65`: section width in millimetres and aspect in percent.
    Metric {
        /// Nominal section width in millimetres.
        width: Number,
        /// Section height in percent of the width.
        aspect: Number,
    },
    /// `250`: section width in millimetres alone.
    MetricWidth {
        /// Nominal section width in millimetres.
        width: Number,
    },
    /// `12.00`, `23.5`, `17.5L`: section width code in inches.
    Code {
        /// Width code in inches.
        width: Number,
    },
    /// `16/70`, `35/65`: section width in inches and aspect in percent.
    CodeAspect {
        /// Width code in inches.
        width: Number,
        /// Section height in percent of the width.
        aspect: Number,
    },
    /// `33x15.5`: overall diameter and section width in inches.
    DiameterFirst {
        /// Overall diameter in inches.
        diameter: Number,
        /// Section width in inches.
        width: Number,
    },
}

/// A size designation, read from a sidewall text.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Designation {
    prefix: Option<Prefix>,
    size: Size,
    low_section: Option<LowSection>,
    construction: Construction,
    rim: Number,
    markings: Markings,
    // INVARIANT: these are the amounts of the numbers above; they are made once, because making one can fail.
    rim_diameter: Quantity,
    section_width: Quantity,
    named_diameter: Option<Quantity>,
}

impl Designation {
    /// Reads a sidewall text such as `385/65R22.5 160K`, `23.5-25 L-5 20PR` or `15x4 1/2-8`.
    ///
    /// Letter case, blanks between the parts, a typographic dash or multiplication sign and `½` are taken. A text that
    /// could mean two things is refused.
    pub fn parse(text: &str) -> Result<Designation, DesignationError> {
        parse::designation(text)
    }

    /// What stands before the first number.
    pub const fn prefix(&self) -> Option<Prefix> {
        self.prefix
    }

    /// The numbers before the rim code.
    pub const fn size(&self) -> Size {
        self.size
    }

    /// How the casing is built.
    pub const fn construction(&self) -> Construction {
        self.construction
    }

    /// The low-section letters, if any.
    pub const fn low_section(&self) -> Option<LowSection> {
        self.low_section
    }

    /// The nominal bead seat diameter, exactly as the rim code says, in inches: 16 and 16.5 are two diameters.
    pub const fn rim_diameter(&self) -> Quantity {
        self.rim_diameter
    }

    /// The rim code as written.
    pub const fn rim_code(&self) -> Number {
        self.rim
    }

    /// The nominal section width: millimetres in a metric name, inches otherwise.
    pub const fn section_width(&self) -> Quantity {
        self.section_width
    }

    /// The overall diameter that a diameter-first name states, in inches.
    pub const fn named_overall_diameter(&self) -> Option<Quantity> {
        self.named_diameter
    }

    /// The aspect that the name states, as a ratio: 65 % is 13/20.
    pub fn aspect(&self) -> Option<Exact> {
        match self.size {
            Size::Metric { aspect, .. } | Size::CodeAspect { aspect, .. } => {
                aspect.value.checked_div(Exact::from_int(100))
            }
            Size::MetricWidth { .. } | Size::Code { .. } | Size::DiameterFirst { .. } => None,
        }
    }

    /// Everything after the rim code.
    pub const fn markings(&self) -> &Markings {
        &self.markings
    }

    /// The load range in the text.
    pub const fn load_range(&self) -> Option<LoadRange> {
        self.markings.load_range
    }

    /// The ply rating in the text, or the one that the load range in the text stands for.
    pub fn ply_rating(&self) -> Option<u8> {
        self.markings.ply_rating.or_else(|| self.markings.load_range.map(LoadRange::ply_rating))
    }

    /// The size without prefix and markings, such as `17.5L-24`.
    pub fn bare(&self) -> String {
        let low = match self.low_section {
            None => "",
            Some(LowSection::L) => "L",
            Some(LowSection::Ll) => "LL",
        };
        let construction = match self.construction {
            Construction::Radial => "R",
            Construction::Diagonal => "-",
            Construction::BiasBelted => "B",
        };
        format!("{}{low}{construction}{}", self.size, self.rim)
    }
}

impl Number {
    /// The value, in the unit of its place.
    pub const fn value(self) -> Exact {
        self.value
    }

    /// How it is written.
    pub const fn style(self) -> Style {
        self.style
    }

    /// The amount in a unit of length; `None` when it does not fit.
    pub(super) fn in_unit(self, unit: Unit) -> Option<Quantity> {
        Quantity::new(self.value, unit)
    }
}

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.style {
            Style::Decimals(places) => f.write_str(&self.value.to_decimal(u32::from(places), Rounding::Nearest)),
            Style::Fraction => {
                let (num, den) = (self.value.numer(), self.value.denom());
                write!(f, "{} {}/{den}", num / den, num % den)
            }
        }
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Size::Metric { width, aspect } | Size::CodeAspect { width, aspect } => write!(f, "{width}/{aspect}"),
            Size::MetricWidth { width } | Size::Code { width } => write!(f, "{width}"),
            Size::DiameterFirst { diameter, width } => write!(f, "{diameter}x{width}"),
        }
    }
}

impl fmt::Display for Prefix {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Prefix::Passenger => "P",
            Prefix::LightTruck => "LT",
            Prefix::SpecialTrailer => "ST",
            Prefix::ImprovedFlexion => "IF",
            Prefix::VeryHighFlexion => "VF",
        })
    }
}

impl fmt::Display for Designation {
    /// The normal form; reading it gives the same designation.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(prefix) = self.prefix {
            write!(f, "{prefix}")?;
        }
        write!(f, "{}{}", self.bare(), self.markings)
    }
}

#[cfg(test)]
mod tests;
