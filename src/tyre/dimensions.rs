//! Section width and height, diameters and rim width of a size: as recorded, as the name says, or as usual for its kind.
//!
//! Each length carries its origin. Arithmetic is exact, in millimetres. Relations, with their sources:
//! - H = aspect x S1 and D = d + 2 H: course page <https://byui-cse.github.io/cse111-ww-course/week01/approx_tire_vol.html>
//!   (read); UN Regulation 54 paragraph 6.1.2 (memory).
//! - S = S1 + 0.4 (A - A1), with A the rim width and A1 the theoretical rim width, K1 times S1: UN amendment text,
//!   paragraph 6.1.1.1, <https://lawinsider.com/clause/amend-to-read/_1> (read; which regulation is not visible there).
//!
//! This module must not know volumes.

mod error;
mod table;

use crate::tyre::designation::Designation;
use crate::tyre::family::{Family, per_mille};
use crate::units::{Dimension, Exact, Interval, Quantity, Unit};

pub use error::{DimensionError, DimensionName, Misfit};

/// Where a length comes from, the best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LengthOrigin {
    /// Measured on the tyre, or the maker's figure, as recorded.
    Recorded,
    /// Stated by the name or following from it.
    Name,
    /// From the table of remembered design dimensions, plausible to about 2 %.
    Remembered,
    /// Usual for the family of sizes.
    ClassDefault,
}

/// A length in millimetres or in the unit it was recorded in, with its origin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Length {
    /// How long.
    pub quantity: Quantity,
    /// Where it comes from.
    pub origin: LengthOrigin,
}

/// What a record may state of the size of a tyre and its rim; anything left out follows from the name.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Recorded {
    /// Section width, inflated, without lettering.
    pub section_width: Option<Quantity>,
    /// Overall diameter, inflated, over the tread.
    pub overall_diameter: Option<Quantity>,
    /// Rim width between the flanges.
    pub rim_width: Option<Quantity>,
}

/// The dimensions of one tyre on one rim.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dimensions {
    /// Section width on the rim that is fitted.
    pub section_width: Length,
    /// Section height, from the bead seat to the crown.
    pub section_height: Length,
    /// Overall diameter.
    pub overall_diameter: Length,
    /// Bead seat diameter, from the name.
    pub rim_diameter: Length,
    /// Rim width between the flanges.
    pub rim_width: Length,
}

/// Rim widths for a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RimWidths {
    /// The rim on which the design dimensions hold.
    pub measuring: Length,
    /// Widths to expect among those permitted, in millimetres.
    pub permitted: Interval,
    /// On what the range rests.
    pub basis: &'static str,
}

/// Change of section width for a change of rim width: the K of the relation above.
const WIDTH_PER_RIM_WIDTH: (i128, i128) = (2, 5);
/// The basis of [`RimWidths::permitted`].
const RIM_RANGE_BASIS: &str = "engineering estimate, no source: the rims in use for the family of the size, by their share of the section width, and 10 % either side of the measuring rim; the rim manual decides";
/// Spread about the measuring rim, in thousandths.
const MEASURING_RIM_SPREAD: i64 = 100;

/// Section width on a rim: S1 + 0.4 (A - A1), all in one unit; `None` when it does not fit.
fn section_width_on_rim(nominal: Exact, rim: Exact, theoretical_rim: Exact) -> Option<Exact> {
    let share = Exact::new(WIDTH_PER_RIM_WIDTH.0, WIDTH_PER_RIM_WIDTH.1)?;
    nominal.checked_add(share.checked_mul(rim.checked_sub(theoretical_rim)?)?)
}

/// Section height over nominal section width that is plausible for the size: a point when the name settles it.
pub fn plausible_aspect(designation: &Designation) -> Option<Interval> {
    if let Some(aspect) = designation.aspect() {
        return Some(Interval::point(aspect));
    }
    match designation.named_overall_diameter() {
        Some(diameter) => {
            let height = half(diameter.base().checked_sub(designation.rim_diameter().base())?)?;
            Some(Interval::point(height.checked_div(designation.section_width().base())?))
        }
        None => Family::of(designation).usual_aspects(),
    }
}

/// The rim width that goes with a size, where it is more than a share of the section that a family is usually on: named, or
/// remembered, or of the wide-base sizes, whose rims are all alike. Graders run on rims of two widths, so of their
/// sizes none is the one.
pub fn own_rim(designation: &Designation) -> Option<Quantity> {
    let design = Design::of(designation)?;
    let family = Family::of(designation);
    let is_known = match design.rim_origin {
        LengthOrigin::Name => true,
        LengthOrigin::Remembered => family != Family::ConventionalEarthmover,
        LengthOrigin::ClassDefault => family == Family::WideBaseEarthmover,
        LengthOrigin::Recorded => false,
    };
    length(design.rim_width, design.rim_origin).filter(|_| is_known).map(|width| width.quantity)
}

/// The measuring rim of a size and the widths to expect around it; `None` when a number does not fit.
pub fn rim_widths(designation: &Designation) -> Option<RimWidths> {
    let design = Design::of(designation)?;
    let measuring = Interval::point(design.rim_width);
    let about = measuring.widen(design.rim_width.checked_mul(per_mille(MEASURING_RIM_SPREAD)?)?)?;
    let permitted = if design.rim_origin == LengthOrigin::Name {
        about
    } else {
        let (narrow, _, wide) = Family::of(designation).traits().rim_ratio;
        let share = |ratio| design.section_width.checked_mul(per_mille(ratio)?);
        Interval::new(share(narrow)?.min(about.lo()), share(wide)?.max(about.hi()))?
    };
    Some(RimWidths { measuring: length(design.rim_width, design.rim_origin)?, permitted, basis: RIM_RANGE_BASIS })
}

/// Settles every dimension: what is recorded if it is plausible for the size, otherwise what the name gives.
pub fn resolve(designation: &Designation, recorded: &Recorded) -> Result<Dimensions, DimensionError> {
    check(designation, recorded)?;
    let settled = Design::of(designation).and_then(|design| design.settle(designation, recorded));
    settled.ok_or(DimensionError::TooLarge)
}

/// Refuses recorded lengths that cannot belong to the size.
pub(super) fn check(designation: &Designation, recorded: &Recorded) -> Result<(), DimensionError> {
    plausible(designation, DimensionName::SectionWidth, recorded.section_width)?;
    plausible(designation, DimensionName::OverallDiameter, recorded.overall_diameter)?;
    plausible(designation, DimensionName::RimWidth, recorded.rim_width)
}

/// The dimensions of a new tyre on its measuring rim, in millimetres.
pub(super) struct Design {
    section_width: Exact,
    width_origin: LengthOrigin,
    overall_diameter: Exact,
    diameter_origin: LengthOrigin,
    rim_width: Exact,
    rim_origin: LengthOrigin,
}

impl Design {
    pub(super) fn of(designation: &Designation) -> Option<Design> {
        let traits = Family::of(designation).traits();
        let row = table::find(designation);
        let nominal = designation.section_width().base();
        let rim = designation.rim_diameter().base();
        let usual_width = nominal.checked_mul(per_mille(traits.width_factor)?)?;
        let (rim_width, rim_origin) = match (designation.named_rim_width(), row) {
            (Some(named), _) => (named.base(), LengthOrigin::Name),
            (None, Some(row)) => (row.rim_width, LengthOrigin::Remembered),
            (None, None) => (usual_width.checked_mul(per_mille(traits.rim_ratio.1)?)?, LengthOrigin::ClassDefault),
        };
        let (section_width, width_origin) = match row {
            Some(table::SizeRow { section_width: Some(width), .. }) => (*width, LengthOrigin::Remembered),
            Some(table::SizeRow { rim_factor: Some(factor), .. }) => {
                (section_width_on_rim(nominal, rim_width, nominal.checked_mul(*factor)?)?, LengthOrigin::Name)
            }
            _ if designation.aspect().is_some() => (nominal, LengthOrigin::Name),
            _ => (usual_width, LengthOrigin::ClassDefault),
        };
        let (overall_diameter, diameter_origin) = match (designation.named_overall_diameter(), row) {
            (_, Some(table::SizeRow { overall_diameter: Some(diameter), .. })) => (*diameter, LengthOrigin::Remembered),
            (Some(named), _) => (named.base(), LengthOrigin::Name),
            _ => {
                let (aspect, origin) = match designation.aspect() {
                    Some(aspect) => (aspect, LengthOrigin::Name),
                    None => (default_aspect(designation)?, LengthOrigin::ClassDefault),
                };
                let height = aspect.checked_mul(if origin == LengthOrigin::Name { nominal } else { section_width })?;
                (rim.checked_add(height.checked_mul(Exact::from_int(2))?)?, origin)
            }
        };
        Some(Design { section_width, width_origin, overall_diameter, diameter_origin, rim_width, rim_origin })
    }

    /// The dimensions with what is recorded in place of what the name gives; `None` when a number does not fit.
    pub(super) fn settle(&self, designation: &Designation, recorded: &Recorded) -> Option<Dimensions> {
        let rim_diameter = Length { quantity: designation.rim_diameter(), origin: LengthOrigin::Name };
        let rim_width = match recorded.rim_width {
            Some(quantity) => Length { quantity, origin: LengthOrigin::Recorded },
            None => length(self.rim_width, self.rim_origin)?,
        };
        let section_width = if let Some(quantity) = recorded.section_width {
            Length { quantity, origin: LengthOrigin::Recorded }
        } else {
            let on_rim = section_width_on_rim(self.section_width, rim_width.quantity.base(), self.rim_width)?;
            length(on_rim, self.width_origin)?
        };
        let overall_diameter = match recorded.overall_diameter {
            Some(quantity) => Length { quantity, origin: LengthOrigin::Recorded },
            None => length(self.overall_diameter, self.diameter_origin)?,
        };
        let height = half(overall_diameter.quantity.base().checked_sub(rim_diameter.quantity.base())?)?;
        let section_height = length(height, overall_diameter.origin)?;
        Some(Dimensions { section_width, section_height, overall_diameter, rim_diameter, rim_width })
    }
}

/// The aspect taken for a size whose name has none.
///
/// Two families become relatively lower as they become wider, by a straight line between two widths: agricultural
/// sizes from 0.87 at 13.6 in to 0.82 at 20.8 in, read off the remembered design dimensions; low-section implement
/// sizes from 0.85 at 7.5 in to 0.73 at 11 in, from memory of the Tire and Rim Association's overall diameters.
fn default_aspect(designation: &Designation) -> Option<Exact> {
    let family = Family::of(designation);
    let width = designation.section_width().value();
    match family {
        Family::AgriculturalCode => falling(width, (136, 870), (208, 820)),
        Family::LowSection => falling(width, (75, 850), (110, 730)),
        _ => per_mille(family.traits().aspect.1),
    }
}

/// A straight line between two points, level outside them; widths in tenths of an inch, aspects in thousandths.
fn falling(width: Exact, narrow: (i64, i64), wide: (i64, i64)) -> Option<Exact> {
    let inches = |tenths: i64| Exact::new(i128::from(tenths), 10);
    let (from, to) = (inches(narrow.0)?, inches(wide.0)?);
    let part = width.max(from).min(to).checked_sub(from)?.checked_div(to.checked_sub(from)?)?;
    per_mille(narrow.1)?.checked_sub(per_mille(narrow.1 - wide.1)?.checked_mul(part)?)
}

/// Refuses a recorded length that cannot belong to the size: a slip of unit, digit or place.
fn plausible(designation: &Designation, item: DimensionName, recorded: Option<Quantity>) -> Result<(), DimensionError> {
    let Some(recorded) = recorded else { return Ok(()) };
    if recorded.dimension() != Dimension::Length {
        return Err(DimensionError::NotALength { item });
    }
    let range = expected(designation, item).ok_or(DimensionError::TooLarge)?;
    if range.contains(recorded.base()) {
        return Ok(());
    }
    let size = designation.bare();
    match (shown(range.lo(), recorded.unit()), shown(range.hi(), recorded.unit())) {
        (Some(lowest), Some(highest)) => {
            Err(DimensionError::Implausible(Box::new(Misfit { item, recorded, size, lowest, highest })))
        }
        _ => Err(DimensionError::TooLarge),
    }
}

/// The range within which a recorded length may lie, in millimetres. Engineering estimate, no source: wide enough for
/// any make, for growth and for wear, narrow enough to catch another size or unit.
fn expected(designation: &Designation, item: DimensionName) -> Option<Interval> {
    let nominal = designation.section_width().base();
    let of_nominal = |lo, hi| Interval::new(nominal.checked_mul(per_mille(lo)?)?, nominal.checked_mul(per_mille(hi)?)?);
    match item {
        DimensionName::SectionWidth => of_nominal(880, 1300),
        DimensionName::RimWidth => of_nominal(450, 1200),
        DimensionName::OverallDiameter => {
            let rim = designation.rim_diameter().base();
            // What the name states, or a table remembers, is nearer than what is usual for the family. The greatest is the
            // section of a deep tread over that of the ordinary one, 1.15 in earthmover sizes (MEMORY), with room.
            let design = Design::of(designation)?;
            if design.diameter_origin != LengthOrigin::ClassDefault {
                let height = design.overall_diameter.checked_sub(rim)?;
                let of = |share| rim.checked_add(height.checked_mul(per_mille(share)?)?);
                return Interval::new(of(880)?, of(1200)?);
            }
            let aspects = plausible_aspect(designation)?;
            let diameter = |aspect: Exact, factor| {
                let height = nominal.checked_mul(aspect)?.checked_mul(per_mille(factor)?)?;
                rim.checked_add(height.checked_mul(Exact::from_int(2))?)
            };
            Interval::new(diameter(aspects.lo(), 880)?, diameter(aspects.hi(), 1300)?)
        }
    }
}

fn half(length: Exact) -> Option<Exact> {
    length.checked_div(Exact::from_int(2))
}

fn length(millimetres: Exact, origin: LengthOrigin) -> Option<Length> {
    Some(Length { quantity: Quantity::new(millimetres, Unit::Millimetre)?, origin })
}

fn shown(millimetres: Exact, unit: Unit) -> Option<Quantity> {
    Quantity::from_base(millimetres, unit)
}

#[cfg(test)]
mod tests;
