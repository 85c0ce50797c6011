//! Figures read off the tyre's own markings.

use super::Figure;
use crate::record::catalogue::assembly;
use crate::record::{Entity, Measured};
use crate::tyre::{Designation, dimensions, load_range};
use crate::units::{Exact, Interval, Unit};

/// The size designation of an assembly, or the figure that says why there is none.
pub(super) fn designation(entity: &Entity) -> Result<Designation, Figure> {
    let text = entity.facts.text(assembly::TYRE_SIZE).ok_or_else(|| Figure::missing(&[assembly::TYRE_SIZE]))?;
    Designation::parse(text).map_err(|error| Figure::obstacle(&error.to_string(), &[assembly::TYRE_SIZE]))
}

/// The ply rating: recorded, or by load range. Two that differ make an interval, so that neither is believed.
pub(super) fn ply_rating(entity: &Entity) -> Figure {
    let recorded = entity.facts.measured(assembly::TYRE_PLY_RATING).map(|m| m.shown.base());
    let by_letter = entity
        .facts
        .text(assembly::TYRE_LOAD_RANGE)
        .and_then(|letter| load_range::ply_rating(letter).ok())
        .map(|ply| Exact::from_int(i64::from(ply)));
    let (low, high) = match (recorded, by_letter) {
        (Some(a), Some(b)) => (a.min(b), a.max(b)),
        (Some(a), None) | (None, Some(a)) => (a, a),
        (None, None) => return Figure::missing(&[assembly::TYRE_PLY_RATING]),
    };
    Figure::checked(Interval::new(low, high), Unit::One)
}

/// The bead seat diameter named in the size designation.
pub(super) fn bead_diameter(entity: &Entity) -> Figure {
    match designation(entity) {
        Ok(designation) => Figure::of(Measured::exact(designation.rim_diameter())),
        Err(figure) => figure,
    }
}

/// One end of the rim widths to expect for the size.
pub(super) fn rim_width(entity: &Entity, end: fn(Interval) -> Exact) -> Figure {
    let designation = match designation(entity) {
        Ok(designation) => designation,
        Err(figure) => return figure,
    };
    let widths = dimensions::rim_widths(&designation);
    let unit = entity.facts.measured(assembly::RIM_WIDTH).map_or(Unit::Inch, |width| width.shown.unit());
    Figure::checked(widths.map(|widths| Interval::point(end(widths.permitted))), unit)
}
