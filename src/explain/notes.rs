//! The words for what is said of a place in the record.
//!
//! Must not know where places are or how they are drawn.

use super::places::{Place, PlaceNote};
use super::words;
use crate::document::Path;
use crate::engine::{Known, Scene, Seen, TraceLeaf};
use crate::pack::condition::Base;
use crate::pack::{Term, Test};
use crate::record::Value;
use crate::units::{Exact, Rounding, Truth};

/// Everything that is said of a place, each thing once.
pub(super) fn of_place(scene: &Scene<'_>, place: &Place<'_>) -> String {
    let mut said: Vec<String> = Vec::new();
    // Of what still leaves something open, and of a value that is compared, it is not said too that the rule applies by it.
    let says_enough = |note: &PlaceNote<'_>| match note {
        PlaceNote::Scope { open, .. } => *open,
        PlaceNote::Compared { leaf, .. } => !matches!(leaf.leaf.term, Term::Figure(_)),
        _ => false,
    };
    let enough = place.notes.iter().any(says_enough);
    for note in place.notes.iter().filter(|note| !(enough && matches!(note, PlaceNote::Scope { open: false, .. }))) {
        let words = of_note(scene, note);
        if !said.contains(&words) {
            said.push(words);
        }
    }
    said.join("; ")
}

fn of_note(scene: &Scene<'_>, note: &PlaceNote<'_>) -> String {
    match note {
        PlaceNote::Absent { key } if *key == Path::root() => "nothing is written here".to_owned(),
        PlaceNote::Absent { key } => format!("`{key}` is missing here"),
        PlaceNote::Compared { leaf, wanted } => {
            let compared = compared(scene, leaf, *wanted);
            let Term::Figure(_) = leaf.leaf.term else { return compared };
            let name = words::term(scene, leaf.leaf.term);
            match (&leaf.left.known, short_of_nothing(leaf)) {
                (Known::Other(Value::Flag(_)), _) => format!("{name}: no"),
                (_, Some(short)) => format!("{name} is short by {short}"),
                (_, None) => format!("{name} {compared}"),
            }
        }
        PlaceNote::GoesInto(term) => format!("used for: {}", words::term(scene, *term)),
        PlaceNote::MakesTheBound(known) => format!("makes the limit {}", words::known(known)),
        PlaceNote::Is(term, known) => format!("{}: {}", words::term(scene, *term), words::known(known)),
        PlaceNote::Elements { every, of, meets } => format!("needs {}", words::elements(scene, *every, *of, meets)),
        PlaceNote::Scope { known, open: true } => {
            format!("{}: leaves open whether the rule applies", words::known(known))
        }
        PlaceNote::Scope { known, open: false } => format!("{}, which is why this is asked", words::known(known)),
    }
}

/// By how much a figure lies below nothing, where it must not.
fn short_of_nothing(leaf: &TraceLeaf<'_>) -> Option<String> {
    let Known::Measured(measured) = &leaf.left.known else { return None };
    let nothing = leaf.right.iter().all(|right| match &right.known {
        Known::Number { low, high } => low.base().is_zero() && high.base().is_zero(),
        _ => false,
    });
    let short = measured.shown.scaled(Exact::from_int(-1))?;
    (nothing && measured.interval.is_point() && short.base() > Exact::ZERO).then(|| words::rounded(short, Rounding::Up))
}

/// What is there, what is needed, and whether that is too close to tell.
fn compared(scene: &Scene<'_>, leaf: &TraceLeaf<'_>, wanted: bool) -> String {
    let known = &leaf.left.known;
    let asks_age = matches!(leaf.leaf.test, Test::ReadWithin(_));
    let value = match (asks_age, scene.age(leaf.leaf.term, &leaf.here)) {
        (true, Some(age)) if scene.start() > scene.at() => {
            format!("will be {} old at the planned start, {}", words::span(age), words::clock(scene))
        }
        (true, Some(age)) => format!("{} old", words::span(age)),
        (true, None) if is_undated(known) => format!("{}, without the time of reading", words::known(known)),
        _ => match (leaf.leaf.term, known) {
            (Term::Figure(_), Known::Measured(measured)) => {
                words::figure(measured, measured.shown.unit(), Rounding::Nearest)
            }
            _ => words::known(known),
        },
    };
    let in_numbers = is_number(&leaf.left) && leaf.right.iter().all(is_number);
    let doubt = if !asks_age && leaf.truth == Truth::Unknown && in_numbers { ": too close to tell" } else { "" };
    format!("{value}; {}{}{doubt}", words::needs(leaf, wanted), of_the_start(scene, leaf))
}

fn is_number(seen: &Seen) -> bool {
    matches!(seen.known, Known::Measured(_) | Known::Number { .. })
}

/// Whether a reading does not say when it was taken.
fn is_undated(known: &Known) -> bool {
    matches!(known, Known::Measured(measured) if measured.at.is_none())
}

/// Whose moment it is, where a comparison is asked of a start that lies ahead.
fn of_the_start(scene: &Scene<'_>, leaf: &TraceLeaf<'_>) -> String {
    let ahead = scene.start() > scene.at();
    let asked = leaf.leaf.test.operands().any(|operand| match operand.base {
        Base::Start => true,
        Base::Today => scene.start().day_in(scene.zone()) > scene.at().day_in(scene.zone()),
        _ => false,
    });
    if ahead && asked { format!(" for the planned start, {}", words::clock(scene)) } else { String::new() }
}
