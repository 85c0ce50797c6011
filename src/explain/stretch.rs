//! What broke the stretch of a new tyre, in words: the hours that did not count, and what would have bridged them.
//!
//! Must not know where it is said.

use super::words;
use crate::engine::{Scene, TraceLeaf};
use crate::figures::{BreaksStretch, FigureId, StretchBreak};
use crate::pack::Term;
use crate::record::Measured;
use crate::units::{Exact, Instant, Quantity, Rounding};
use crate::vocabulary::Subject;

/// What broke the stretch whose time a comparison asks for; nothing of another comparison, and where nothing broke it.
pub(super) fn broken(scene: &Scene<'_>, leaf: &TraceLeaf<'_>) -> Option<StretchBreak> {
    if leaf.leaf.term != Term::Figure(FigureId::PreStretchTime) {
        return None;
    }
    let (assembly, _) = leaf.here.entity(Subject::Assembly)?;
    scene.stretch_break(assembly)
}

/// The break as a phrase behind what was seen and what is needed.
pub(super) fn phrase(scene: &Scene<'_>, found: &StretchBreak) -> String {
    let (from, mut to) = (words::moment(scene, found.from), words::moment(scene, found.to));
    let is_today = |at: Instant| at.day_in(scene.zone()) == scene.at().day_in(scene.zone());
    if is_today(found.to) && !is_today(found.from) {
        to.push_str(" today");
    }
    match &found.why {
        BreaksStretch::NobodyLooked { most, night } => {
            let (most, night, span) = (*most, *night, found.to.seconds_since(found.from));
            let no_row =
                format!("no row from {from} to {to}, {}, longer than {}", words::span(span), words::span(most));
            if span <= night {
                format!("{no_row}; a recorded lowest temperature would bridge up to {}", words::span(night))
            } else if most < night {
                format!("{no_row}, and than the {} that a recorded lowest temperature bridges", words::span(night))
            } else {
                no_row
            }
        }
        BreaksStretch::TooCold { air, at, is_lowest, least } => {
            let lowest = if *is_lowest { "lowest " } else { "" };
            let (at, air_is, least) = (words::moment(scene, *at), words::measured(air), least_of(air, *least));
            format!(
                "the run of hours ends where the air, by what its thermometer may be off, is below {least}: {lowest}{air_is} at {at}"
            )
        }
        BreaksStretch::TooSoft { pressure, at, least, at_lowest } => {
            let (at, least) = (words::moment(scene, *at), least_of(pressure, *least));
            let shown = pressure.shown.as_written();
            if *at_lowest {
                format!(
                    "from {from} to {to} nobody looked, and at the lowest temperature the {shown} of {at} is below {least}"
                )
            } else {
                format!("the run of hours ends where the pressure is below {least}: {shown} at {at}")
            }
        }
        BreaksStretch::Incomplete => format!("a row from {from} to {to} lacks its pressure or its air"),
    }
}

/// A least value in the unit of a reading.
fn least_of(read: &Measured, least: Exact) -> String {
    let least = Quantity::from_base(least, read.shown.unit());
    least.map(|least| words::read_off(least, Rounding::Up)).unwrap_or_default()
}
