//! The volume inside a mounted tyre, as an interval.
//!
//! The section is modelled inside the casing: widest at half height, half an ellipse above, a parabola down to the rim
//! below. Walls come off the outside dimensions by construction, ply rating and tread. A shape factor for each family,
//! fitted to a published ballast chart, takes up what the model leaves out: square shoulders, bead bundles, the well of a
//! drop-centre rim, the tube. The half-widths are stated for each family and tested on rows that the factor was not
//! fitted to and on a second source; where no published volume was found they are wider and rest on an estimate, which
//! [`FitBasis`] says.
//!
//! Modelled against published volumes, with the name alone. Errors are modelled over published, less one, in percent;
//! "inside" is the share of rows within the stated interval. "Left out" judges each row by a factor fitted to all others
//! of its family; its mean is within 0.1 everywhere. "Half" is the mean error of every other row by a factor fitted to
//! the rows between: beyond 3 for two families, on five and four rows whose halves differ by less than twice what their
//! spread explains. The last column is the stated half-width with the name alone and with section width and overall
//! diameter recorded. An integration test computes this table.
//!
//! | family | rows | spread | worst | inside | left out: spread | worst | inside | half: mean | stated |
//! | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
//! | agricultural code | 42 | 3.2 | +14.0 | 100 | 3.3 | +14.4 | 100 | +0.6 | 15 / 10 |
//! | conventional | 11 | 4.7 | -7.7 | 100 | 5.1 | -8.4 | 100 | +4.6 | 17 / 14 |
//! | small conventional | 8 | 6.0 | -8.0 | 100 | 6.9 | +9.2 | 100 | +2.3 | 22 / 18 |
//! | low section | 9 | 6.6 | -9.7 | 100 | 7.4 | -10.8 | 100 | -3.9 | 20 / 15 |
//! | skid steer | 1 | 0.0 | -5.2 | 100 | | | | | 20 / 16 |
//!
//! The chart's rows alone would allow less. The half-widths are such that they hold for sources that had no part in the
//! fitting, too: here each source in turn is judged by factors fitted to all others, family by family. A family that one
//! source alone knows (small conventional) cannot be judged so, and those without any are estimates. Skid steer has one
//! published row, of whole gallons, and is fitted to it and to the trade's rule for the section at remembered dimensions, at
//! the level of the published volumes of agricultural sizes.
//!
//! | source left out | family | rows | mean | spread | worst | inside |
//! | --- | --- | --- | --- | --- | --- | --- |
//! | `ITM 475` | agricultural code | 15 | +3.5 | 5.8 | +16.5 | 100 |
//! | `Kubota B26` | agricultural code | 1 | +15.9 | 0.0 | +15.9 | 100 |
//! | `Kubota M108` | agricultural code | 2 | +2.8 | 2.0 | +4.2 | 100 |
//! | `MacDon` | conventional | 2 | -8.0 | 4.1 | -10.9 | 100 |
//! | `MacDon` | low section | 1 | -9.2 | 0.0 | -9.2 | 100 |
//! | `chart` | agricultural code | 42 | -4.6 | 3.1 | -11.3 | 100 |
//! | `chart` | conventional | 11 | +8.7 | 5.1 | +16.9 | 100 |
//! | `chart` | low section | 9 | +10.1 | 7.3 | +20.2 | 100 |
//! | `chart` | skid steer | 1 | -6.4 | 0.0 | -6.4 | 100 |
//! | `section rule` | skid steer | 4 | +6.8 | 3.7 | +10.8 | 100 |
//!
//! What is measured narrows the bounds and never moves them: the bounds of a record lie inside those of the same record
//! with anything left out. The interval is for one tyre of any make; it does not shrink when several are filled.
//!
//! Floats are used inside, with `+ - * /` only, so that equal inputs give equal bits everywhere; the bounds are rounded
//! outwards to exact numbers. Not modelled: growth in service, and a tube thicker than usual. This module must not know
//! records or materials.

mod error;
mod section;
mod walls;

pub use error::CavityError;

use crate::tyre::designation::{Construction, Designation};
use crate::tyre::dimensions::{self, Design, DimensionError, Dimensions, Length, LengthOrigin, Recorded};
use crate::tyre::family::{Family, FitBasis, PerMille, per_mille};
use crate::units::{Dimension, Exact, Interval, Quantity, Rounding, Unit};
use section::CrossSection;

/// The formula names that a figure shows.
const MODELLED: &str = "half ellipse on parabola, turned about the axle, times the family's shape factor";
const RECORDED: &str = "recorded inside volume";
const DOUBTED: &str = "recorded inside volume not believed, too far from what the size gives: half ellipse on parabola stands in its place";

/// Half-width for a recorded inside volume. Engineering estimate, no source: makers publish one figure for a size, and
/// moulds and growth differ.
const RECORDED_HALF_WIDTH: PerMille = 30;
/// A recorded inside volume may exceed the rectangle around the outside by no more than this; above it, it is a slip.
const RECORDED_VOLUME_SLACK: f64 = 1.25;
/// A recorded inside volume below this share of the modelled one is a slip too.
const RECORDED_VOLUME_LEAST: f64 = 0.5;
/// Widening beyond the widths that the evidence covers, in thousandths of the half-width.
const BEYOND_EVIDENCE: PerMille = 1500;
/// The widest half-width that leaves a volume.
const WIDEST: f64 = 0.99;
/// Added to the half-width for a tread far deeper than the reference pattern: the casing beneath differs as well.
const DEEP_TREAD: PerMille = 40;

/// What the volume is computed from.
#[derive(Debug, Clone, Copy)]
pub struct CavityInputs<'d> {
    /// The size.
    pub designation: &'d Designation,
    /// Recorded dimensions; what is left out follows from the size.
    pub recorded: Recorded,
    /// Ply rating as recorded; otherwise that of the text, otherwise the usual one of the family.
    pub ply_rating: Option<u8>,
    /// Construction as recorded; otherwise that of the text.
    pub construction: Option<Construction>,
    /// Inside volume as measured or published by the maker; where it is believed it overrides the model.
    pub inside_volume: Option<StatedVolume>,
    /// How wide the bounds are taken, as a share of the fitted ones; nothing below 1 narrows them. What contradicts what is
    /// decided by the fitted ones, so that wider bounds make nothing believed.
    pub width: Exact,
}

/// An inside volume as measured or published.
#[derive(Debug, Clone, Copy)]
pub struct StatedVolume {
    /// The volume.
    pub volume: Quantity,
    /// The shares of a central figure of the model between which it is believed; however wide a family's bounds are,
    /// they do not decide.
    pub believed: Interval,
}

impl<'d> CavityInputs<'d> {
    /// The size alone.
    pub fn by_name(designation: &'d Designation) -> CavityInputs<'d> {
        CavityInputs {
            designation,
            recorded: Recorded::default(),
            ply_rating: None,
            construction: None,
            inside_volume: None,
            width: Exact::ONE,
        }
    }

    /// A half-width in thousandths as wide as it is taken; never so wide that nothing is left.
    fn widened(&self, half_width: PerMille) -> Option<f64> {
        Some((share(half_width)? * self.width.max(Exact::ONE).to_f64()).min(WIDEST))
    }
}

/// The inside volume and what it was computed from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cavity {
    /// The volume, in litres, between bounds.
    pub volume: Interval,
    /// The single most likely volume.
    pub point: Quantity,
    /// The family whose constants were used.
    pub family: Family,
    /// On what the stated half-width rests; a recorded inside volume rests on neither chart nor model.
    pub evidence: FitBasis,
    /// Section width taken.
    pub section_width: Length,
    /// Section height taken.
    pub section_height: Length,
    /// Overall diameter taken.
    pub overall_diameter: Length,
    /// Rim width taken.
    pub rim_width: Length,
    /// The formula's name.
    pub method: &'static str,
    /// Whether the recorded inside volume is believed; `None` where there is none.
    pub believed: Option<bool>,
    /// The stated half-width of what the volume is computed from, in percent; the bounds may be narrower.
    pub half_width_percent: Exact,
}

/// Estimates the inside volume of a new tyre.
///
/// What is measured narrows the bounds and never moves them: they lie inside the bounds of every part of the record with
/// less in it. A recorded inside volume decides within the bounds of the name, unless it is so far from what the size
/// gives that it is not believed; [`Cavity::believed`] says.
///
/// # Errors
/// What cannot belong to the size, or contradicts something else that is recorded, is refused.
pub fn estimate(inputs: &CavityInputs<'_>) -> Result<Cavity, CavityError> {
    let designation = inputs.designation;
    dimensions::check(designation, &inputs.recorded)?;
    let design = Design::of(designation).ok_or(DimensionError::TooLarge)?;
    let family = Family::of(designation);
    let full = Modelled::new(inputs, family, &design, inputs.recorded)?;
    let (mut fitted, mut volume) = (full.fitted, full.volume);
    let mut by_name = full.fitted;
    let mut central = vec![full.litres];
    for less in parts(inputs.recorded) {
        // A part of the record that leaves no room on its own says nothing about the whole.
        let Ok(part) = Modelled::new(inputs, family, &design, less) else { continue };
        let contradicted = || contradiction(designation, "dimensions");
        fitted = fitted.intersect(part.fitted).ok_or_else(contradicted)?;
        volume = volume.intersect(part.volume).ok_or_else(contradicted)?;
        central.push(part.litres);
        if less == Recorded::default() {
            by_name = part.fitted;
        }
    }
    let Some(StatedVolume { volume: recorded, believed }) = inputs.inside_volume else {
        let point =
            Exact::from_f64_down(full.litres).and_then(|litres| Quantity::new(within(litres, volume), Unit::Litre));
        return full.cavity(family, volume, point, MODELLED, None);
    };
    check_inside_volume(recorded, designation, full.litres, &full.dims)?;
    let litres = recorded.base();
    let around = |half_width| around(litres.to_f64(), half_width).ok_or(DimensionError::TooLarge);
    let (own, own_wide) = (around(share(RECORDED_HALF_WIDTH))?, around(inputs.widened(RECORDED_HALF_WIDTH))?);
    let (least, most) = (believed.lo().to_f64(), believed.hi().to_f64());
    let near = |central: &f64| (central * least..=central * most).contains(&litres.to_f64());
    if by_name.intersect(own).is_none() || !central.iter().any(near) {
        let point =
            Exact::from_f64_down(full.litres).and_then(|litres| Quantity::new(within(litres, volume), Unit::Litre));
        return full.cavity(family, volume, point, DOUBTED, Some(false));
    }
    let contradicted = || contradiction(designation, "dimensions and inside volume");
    fitted.intersect(own).ok_or_else(contradicted)?;
    let volume = volume.intersect(own_wide).ok_or_else(contradicted)?;
    let point =
        if volume.contains(litres) { Some(recorded) } else { Quantity::new(within(litres, volume), Unit::Litre) };
    full.cavity(family, volume, point, RECORDED, Some(true))
}

/// Everything that is recorded of the dimensions, with one or more of them left out; the name alone comes last.
fn parts(recorded: Recorded) -> Vec<Recorded> {
    let Recorded { section_width, overall_diameter, rim_width } = recorded;
    let mut found = Vec::new();
    for section_width in [section_width, None] {
        for overall_diameter in [overall_diameter, None] {
            for rim_width in [rim_width, None] {
                let part = Recorded { section_width, overall_diameter, rim_width };
                if part != recorded && !found.contains(&part) {
                    found.push(part);
                }
            }
        }
    }
    found
}

fn contradiction(designation: &Designation, what: &'static str) -> CavityError {
    CavityError::Contradiction { what, size: designation.bare() }
}

/// The value, or the end of the interval next to it.
fn within(value: Exact, interval: Interval) -> Exact {
    value.max(interval.lo()).min(interval.hi())
}

/// Thousandths as a share.
fn share(thousandths: PerMille) -> Option<f64> {
    Some(per_mille(thousandths)?.to_f64())
}

/// A volume in litres with a half-width as a share of it, rounded outwards; `None` when it does not fit.
fn around(litres: f64, half_width: Option<f64>) -> Option<Interval> {
    let half_width = half_width?;
    Interval::new(Exact::from_f64_down(litres * (1.0 - half_width))?, Exact::from_f64_up(litres * (1.0 + half_width))?)
}

/// What the model gives for one part of a record.
struct Modelled {
    dims: Dimensions,
    litres: f64,
    half_width: PerMille,
    /// Between the bounds as they were fitted.
    fitted: Interval,
    /// Between those that are taken.
    volume: Interval,
}

impl Modelled {
    fn new(
        inputs: &CavityInputs<'_>,
        family: Family,
        design: &Design,
        recorded: Recorded,
    ) -> Result<Modelled, CavityError> {
        let dims = design.settle(inputs.designation, &recorded).ok_or(DimensionError::TooLarge)?;
        let litres = modelled_litres(inputs, family, &dims)?;
        let half_width = half_width(inputs.designation, family, &dims);
        let fitted = around(litres, share(half_width)).ok_or(DimensionError::TooLarge)?;
        let volume = around(litres, inputs.widened(half_width)).ok_or(DimensionError::TooLarge)?;
        Ok(Modelled { dims, litres, half_width, fitted, volume })
    }

    /// The result, with the dimensions taken here.
    fn cavity(
        &self,
        family: Family,
        volume: Interval,
        point: Option<Quantity>,
        method: &'static str,
        believed: Option<bool>,
    ) -> Result<Cavity, CavityError> {
        let stated = if believed == Some(true) { RECORDED_HALF_WIDTH } else { self.half_width };
        let half_width_percent = per_mille(stated).and_then(|share| share.checked_mul(Exact::from_int(100)));
        let (point, half_width_percent) = point.zip(half_width_percent).ok_or(DimensionError::TooLarge)?;
        Ok(Cavity {
            volume,
            point,
            family,
            evidence: family.evidence(),
            section_width: self.dims.section_width,
            section_height: self.dims.section_height,
            overall_diameter: self.dims.overall_diameter,
            rim_width: self.dims.rim_width,
            method,
            believed,
            half_width_percent,
        })
    }
}

/// The volume between two cylinders, from rim to overall diameter and as wide as the section: an upper bound of the
/// inside volume, in litres rounded up; `None` when it does not fit.
///
/// Formula: course page <https://byui-cse.github.io/cse111-ww-course/week01/approx_tire_vol.html> (read).
pub fn two_cylinder_bound(dims: &Dimensions) -> Option<Exact> {
    Exact::from_f64_up(annulus(dims))
}

fn annulus(dims: &Dimensions) -> f64 {
    section::annulus_litres(mm(dims.rim_diameter) / 2.0, mm(dims.section_height), mm(dims.section_width))
}

fn mm(length: Length) -> f64 {
    length.quantity.base().to_f64()
}

/// The model's volume in litres.
fn modelled_litres(inputs: &CavityInputs<'_>, family: Family, dims: &Dimensions) -> Result<f64, CavityError> {
    let traits = family.traits();
    let designation = inputs.designation;
    let ply_rating = inputs.ply_rating.or(designation.ply_rating()).unwrap_or(traits.usual_ply_rating);
    if !(2..=80).contains(&ply_rating) {
        return Err(CavityError::PlyRating { ply_rating });
    }
    let measured_over_tread = dims.overall_diameter.origin == LengthOrigin::Recorded;
    let treads = if measured_over_tread { designation.markings().treads() } else { &[] };
    let construction = inputs.construction.or(designation.construction()).unwrap_or(Construction::Diagonal);
    let section_width = mm(dims.section_width);
    let walls = walls::allow(&traits, construction, ply_rating, section_width, treads);
    let inside = CrossSection {
        bead_radius: mm(dims.rim_diameter) / 2.0,
        height: mm(dims.section_height) - walls.crown,
        width: section_width - 2.0 * walls.side,
        rim_width: mm(dims.rim_width) - 2.0 * walls.side,
    };
    if inside.height <= 0.0 || inside.width <= 0.0 || inside.rim_width <= 0.0 {
        return Err(CavityError::NoRoom { size: designation.bare(), ply_rating });
    }
    Ok(inside.litres() * traits.shape_factor)
}

/// The stated half-width, in thousandths of the volume.
fn half_width(designation: &Designation, family: Family, dims: &Dimensions) -> PerMille {
    let traits = family.traits();
    let (by_name, by_record) = traits.half_width;
    let recorded = |length: Length| length.origin == LengthOrigin::Recorded;
    let stated = match (recorded(dims.section_width), recorded(dims.overall_diameter)) {
        (true, true) => by_record,
        (false, false) => by_name,
        _ => i64::midpoint(by_name, by_record),
    };
    let (lo, hi) = traits.covered;
    let inches = |tenths: i64| Exact::new(i128::from(tenths) * 254, 100);
    let width = Some(designation.section_width().base());
    let covered = inches(lo) <= width && width <= inches(hi);
    let with_range = if covered { stated } else { stated * BEYOND_EVIDENCE / 1000 };
    if walls::has_deep_tread(designation.markings().treads()) { with_range + DEEP_TREAD } else { with_range }
}

/// Refuses a recorded inside volume that is not one or that the outside dimensions cannot hold.
fn check_inside_volume(
    recorded: Quantity,
    designation: &Designation,
    modelled: f64,
    dims: &Dimensions,
) -> Result<(), CavityError> {
    if recorded.dimension() != Dimension::Volume {
        return Err(CavityError::NotAVolume);
    }
    let litres = recorded.base().to_f64();
    let (least, most) = (modelled * RECORDED_VOLUME_LEAST, annulus(dims) * RECORDED_VOLUME_SLACK);
    if (least..=most).contains(&litres) {
        return Ok(());
    }
    let show = |litres: f64| {
        let quantity = Exact::from_f64_down(litres).and_then(|base| Quantity::from_base(base, recorded.unit()));
        quantity.map_or_else(String::new, |quantity| quantity.show(0, Rounding::Nearest))
    };
    Err(CavityError::Implausible {
        recorded: Box::new(recorded),
        size: designation.bare(),
        least: show(least),
        most: show(most),
    })
}

#[cfg(test)]
mod tests;
