//! One size: its numbers, the letters between them, and how they are printed.
//!
//! This module must not know how a text is taken apart, nor what may stand around a size.

use std::fmt;

use super::Construction;
use crate::units::{Exact, Quantity, Rounding, Unit};

/// From this rim code on it is in millimetres: the largest rim by code is that of the greatest dump trucks.
pub(super) const LARGEST_RIM_CODE: i64 = 63;

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
    /// `33x15.5`, `1300x530`: overall diameter and section width in inches, or both in millimetres.
    DiameterFirst {
        /// Overall diameter.
        diameter: Number,
        /// Section width.
        width: Number,
    },
}

/// A size without prefix and markings, such as `17.5L-24`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Name {
    pub(super) size: Size,
    pub(super) low_section: Option<LowSection>,
    pub(super) construction: Option<Construction>,
    pub(super) rim: Number,
}

impl Name {
    /// Whether two names stand for one size: the same numbers, however many zeros they are written with. Construction
    /// and low-section letters are left out, since tubes are marked without them.
    pub fn same_numbers(&self, other: &Name) -> bool {
        let value = |number: Number| number.value;
        let sizes = match (self.size, other.size) {
            (Size::DiameterFirst { diameter: one, width }, Size::DiameterFirst { diameter, width: other }) => {
                value(one) == value(diameter) && value(width) == value(other)
            }
            (Size::Metric { width, aspect: one }, Size::Metric { width: other, aspect })
            | (Size::CodeAspect { width, aspect: one }, Size::CodeAspect { width: other, aspect }) => {
                value(width) == value(other) && value(one) == value(aspect)
            }
            (Size::MetricWidth { width }, Size::MetricWidth { width: other })
            | (Size::Code { width }, Size::Code { width: other }) => value(width) == value(other),
            _ => false,
        };
        sizes && value(self.rim) == value(other.rim)
    }

    /// The unit of the rim code.
    pub(super) fn rim_unit(&self) -> Unit {
        if self.rim.value > Exact::from_int(LARGEST_RIM_CODE) { Unit::Millimetre } else { Unit::Inch }
    }

    /// The section width, in its own unit; `None` when it does not fit.
    pub(super) fn section_width(&self) -> Option<Quantity> {
        match self.size {
            Size::Metric { width, .. } | Size::MetricWidth { width } => width.in_unit(Unit::Millimetre),
            Size::DiameterFirst { diameter, width } => width.in_unit(diameter_unit(diameter)),
            Size::Code { width } | Size::CodeAspect { width, .. } => width.in_unit(Unit::Inch),
        }
    }

    /// The overall diameter that a diameter-first name states.
    pub(super) fn diameter(&self) -> Option<Quantity> {
        match self.size {
            Size::DiameterFirst { diameter, .. } => diameter.in_unit(diameter_unit(diameter)),
            _ => None,
        }
    }
}

/// From this number on an overall diameter, and the width beside it, are in millimetres: no tyre is so large in inches,
/// and none named in millimetres so small.
pub(super) const FIRST_METRIC_DIAMETER: i64 = 300;

/// The unit of the two numbers of a size that begins with its overall diameter.
pub(super) fn diameter_unit(diameter: Number) -> Unit {
    if diameter.value >= Exact::from_int(FIRST_METRIC_DIAMETER) { Unit::Millimetre } else { Unit::Inch }
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

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let low = match self.low_section {
            None => "",
            Some(LowSection::L) => "L",
            Some(LowSection::Ll) => "LL",
        };
        let construction = match self.construction {
            Some(Construction::Radial) => "R",
            Some(Construction::Diagonal) => "-",
            Some(Construction::BiasBelted) => "B",
            None => "x",
        };
        write!(f, "{}{low}{construction}{}", self.size, self.rim)
    }
}
