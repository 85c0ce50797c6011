//! Tyre size designations as sidewalls show them: the typed result of reading one, and its normal form.
//!
//! What separates the numbers decides what they mean: `/` puts an aspect second, `x` before a construction mark puts an
//! overall diameter first, and otherwise the first number is a width. The dash stands for diagonal construction; an `x`
//! in its place says nothing of it. Grammar from memory of ISO 4000-1, 4209-1, 4250-1, 4251-1, 3739-1 and UN Regulations
//! 54 and 106, none of which was seen.
//!
//! A sidewall may show one tyre under several sizes (`8.15-15/28x9-15`). The first is the size; the others are kept beside
//! it, all on one rim.
//!
//! This module must not know dimensions that the name does not state.

mod error;
mod marking;
mod name;
mod parse;

use std::fmt;

use crate::tyre::load_range::LoadRange;
use crate::units::{Exact, Quantity};

pub use error::{DesignationError, DesignationFault};
pub use marking::{Markings, Service, ServiceDescription, TreadCode, Tube};
pub use name::{LowSection, Name, Number, Size, Style};

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
    /// `IN`: industrial.
    Industrial,
    /// `AT`: all-terrain vehicle.
    AllTerrain,
}

/// A size designation, read from a sidewall text.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Designation {
    prefix: Option<Prefix>,
    name: Name,
    also: Vec<Name>,
    rim_width: Option<Number>,
    markings: Markings,
    // INVARIANT: these are the amounts of the numbers above; they are made once, because making one can fail.
    rim_diameter: Quantity,
    section_width: Quantity,
    named_diameter: Option<Quantity>,
    named_rim_width: Option<Quantity>,
}

impl Designation {
    /// Reads a sidewall text such as `385/65R22.5 160K`, `23.5-25 L-5 20PR` or `15x4 1/2-8`.
    ///
    /// Letter case, blanks between the parts, a typographic dash or multiplication sign and `½` are taken. A text that
    /// could mean two things is refused.
    pub fn parse(text: &str) -> Result<Designation, DesignationError> {
        parse::designation(text)
    }

    /// The numbers before the rim code.
    pub const fn size(&self) -> Size {
        self.name.size
    }

    /// How the casing is built; `None` where the text has an `x` in place of the mark.
    pub const fn construction(&self) -> Option<Construction> {
        self.name.construction
    }

    /// The low-section letters, if any.
    pub const fn low_section(&self) -> Option<LowSection> {
        self.name.low_section
    }

    /// Every size that the sidewall shows, the first one first.
    pub fn names(&self) -> impl Iterator<Item = &Name> {
        std::iter::once(&self.name).chain(&self.also)
    }

    /// The nominal bead seat diameter, exactly as the rim code says: 16 and 16.5 in are two diameters. In inches, or in
    /// millimetres where the code is in those.
    pub const fn rim_diameter(&self) -> Quantity {
        self.rim_diameter
    }

    /// The rim width between the flanges that stands after the rim code, as in `18x7-8/4.33`, in inches.
    pub const fn named_rim_width(&self) -> Option<Quantity> {
        self.named_rim_width
    }

    /// The nominal section width: millimetres in a metric name, inches otherwise; of a small size with two widths the
    /// narrower.
    pub const fn section_width(&self) -> Quantity {
        self.section_width
    }

    /// The overall diameter that a diameter-first name states.
    pub const fn named_overall_diameter(&self) -> Option<Quantity> {
        self.named_diameter
    }

    /// The aspect that the name states, as a ratio: 65 % is 13/20.
    pub fn aspect(&self) -> Option<Exact> {
        match self.name.size {
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

    /// The first size without prefix and markings, such as `17.5L-24`.
    pub fn bare(&self) -> String {
        self.name.to_string()
    }
}

/// Reads the sizes that a tube is marked for, and returns them with what follows.
pub(super) fn sizes(text: &str) -> Result<(Vec<Name>, &str), DesignationError> {
    parse::sizes(text)
}

impl Prefix {
    const ALL: [Prefix; 7] = [
        Prefix::Passenger,
        Prefix::LightTruck,
        Prefix::SpecialTrailer,
        Prefix::ImprovedFlexion,
        Prefix::VeryHighFlexion,
        Prefix::Industrial,
        Prefix::AllTerrain,
    ];

    /// The prefix of these capitals.
    fn from_letters(letters: &str) -> Option<Prefix> {
        Prefix::ALL.into_iter().find(|prefix| prefix.letters() == letters)
    }

    /// As the sidewall shows it.
    const fn letters(self) -> &'static str {
        match self {
            Prefix::Passenger => "P",
            Prefix::LightTruck => "LT",
            Prefix::SpecialTrailer => "ST",
            Prefix::ImprovedFlexion => "IF",
            Prefix::VeryHighFlexion => "VF",
            Prefix::Industrial => "IN",
            Prefix::AllTerrain => "AT",
        }
    }
}

impl fmt::Display for Prefix {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.letters())
    }
}

impl fmt::Display for Designation {
    /// The normal form; reading it gives the same designation.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(prefix) = self.prefix {
            write!(f, "{prefix}")?;
        }
        write!(f, "{}", self.name)?;
        if let Some(width) = self.rim_width {
            write!(f, "/{width}")?;
        }
        for other in &self.also {
            write!(f, " ({other})")?;
        }
        write!(f, "{}", self.markings)
    }
}

#[cfg(test)]
mod tests;
