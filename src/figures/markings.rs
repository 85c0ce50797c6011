//! Figures read off the tyre's own markings.

use super::{Figure, Workings};
use crate::record::catalogue::assembly;
use crate::record::{Entity, Measured, Value};
use crate::tyre::designation::{Construction, Tube};
use crate::tyre::{Designation, load_range};
use crate::units::{Exact, Interval, Unit};

/// The size designation of an assembly, or the figure that says why there is none.
pub(super) fn designation(entity: &Entity) -> Result<Designation, Figure> {
    let text = entity.facts.text(assembly::TYRE_SIZE).ok_or_else(|| Figure::missing(&[assembly::TYRE_SIZE]))?;
    Designation::parse(text).map_err(|error| Figure::obstacle(&error.to_string(), &[assembly::TYRE_SIZE]))
}

/// The ply rating: recorded, by load range, or in the size. Two that differ make an interval, so that none is believed.
pub(super) fn ply_rating(workings: &Workings<'_>) -> Figure {
    let entity = workings.entity;
    let recorded = entity.facts.measured(assembly::TYRE_PLY_RATING).map(|m| m.shown.base());
    let by_letter = entity
        .facts
        .text(assembly::TYRE_LOAD_RANGE)
        .and_then(|letter| load_range::ply_rating(letter).ok())
        .map(|ply| Exact::from_int(i64::from(ply)));
    // A size designation may carry one too, as `16PR` or as a load range.
    let by_size = workings.designation().ok().and_then(Designation::ply_rating);
    let by_size = by_size.map(|ply| Exact::from_int(i64::from(ply)));
    let said = || [recorded, by_letter, by_size].into_iter().flatten();
    match said().min().zip(said().max()) {
        Some((low, high)) => Figure::checked(Interval::new(low, high), Unit::One),
        None => Figure::missing(&[assembly::TYRE_PLY_RATING]),
    }
}

/// The bead seat diameter named in the size designation.
pub(super) fn bead_diameter(workings: &Workings<'_>) -> Figure {
    match workings.designation() {
        Ok(designation) => Figure::of(Measured::exact(designation.rim_diameter())),
        Err(figure) => figure,
    }
}

/// One end of the rim widths to expect for the size.
pub(super) fn rim_width(workings: &Workings<'_>, end: fn(Interval) -> Exact) -> Figure {
    let entity = workings.entity;
    let widths = match workings.rim_widths() {
        Ok(widths) => widths,
        Err(figure) => return figure,
    };
    let unit = entity.facts.measured(assembly::RIM_WIDTH).map_or(Unit::Inch, |width| width.shown.unit());
    Figure::checked(widths.map(|widths| Interval::point(end(widths.permitted))), unit)
}

/// Whether the size designation and the rest of the record say the same of construction and seal, as far as both speak.
pub(super) fn size_agrees(workings: &Workings<'_>) -> Figure {
    let entity = workings.entity;
    let designation = match workings.designation() {
        Ok(designation) => designation,
        Err(figure) => return figure,
    };
    let radial = match designation.construction() {
        Construction::Radial => Some("radial"),
        Construction::Diagonal | Construction::BiasBelted => Some("bias"),
    };
    let seal = designation.markings().tube().map(|tube| match tube {
        Tube::Tubeless => "tubeless",
        Tube::TubeType => "tube type",
    });
    let differs = |key, by_size: Option<&str>| {
        by_size.zip(entity.facts.text(key)).is_some_and(|(by_size, recorded)| by_size != recorded)
    };
    let agrees = !differs(assembly::TYRE_CONSTRUCTION, radial) && !differs(assembly::TYRE_SEAL, seal);
    Figure { value: Some(Value::Flag(agrees)), ..Figure::default() }
}
