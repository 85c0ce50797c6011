//! Figures read off the tyre's own markings.

use super::Figure;
use crate::record::catalogue::assembly;
use crate::record::{Entity, Measured};
use crate::tyre::{Designation, load_range};
use crate::units::{Exact, Interval, Quantity, Unit};

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
    match Interval::new(low, high) {
        Some(interval) => Figure::between(interval, Unit::One),
        None => Figure::missing(&[assembly::TYRE_PLY_RATING]),
    }
}

/// The bead seat diameter named in the size designation.
pub(super) fn bead_diameter(entity: &Entity) -> Figure {
    let Some(text) = entity.facts.text(assembly::TYRE_SIZE) else {
        return Figure::missing(&[assembly::TYRE_SIZE]);
    };
    match Designation::parse(text) {
        Ok(designation) => Figure::of(Measured::exact(diameter(&designation))),
        Err(error) => Figure::obstacle(error.to_string(), &[assembly::TYRE_SIZE]),
    }
}

fn diameter(designation: &Designation) -> Quantity {
    designation.rim_diameter()
}
