//! The words for what is said of a place in the record.
//!
//! Must not know where places are or how they are drawn.

use super::places::{Note, Place};
use super::words;
use crate::document::Path;
use crate::engine::{Known, Scene, Seen, TraceLeaf};
use crate::pack::{Term, Test};
use crate::record::Value;
use crate::units::{Instant, Rounding, Truth};

/// Everything that is said of a place, each thing once.
pub(super) fn of_place(scene: &Scene<'_>, place: &Place<'_>) -> String {
    let mut said: Vec<String> = Vec::new();
    for note in &place.notes {
        let words = of_note(scene, note);
        if !said.contains(&words) {
            said.push(words);
        }
    }
    said.join("; ")
}

fn of_note(scene: &Scene<'_>, note: &Note<'_>) -> String {
    match note {
        Note::Absent { key } if *key == Path::root() => "nothing is written here".to_owned(),
        Note::Absent { key } => format!("`{key}` is missing here"),
        Note::Compared { leaf, wanted } => {
            let compared = compared(scene, leaf, *wanted);
            match leaf.leaf.term {
                Term::Figure(_) => format!("{} {compared}", words::term(scene, leaf.leaf.term)),
                _ => compared,
            }
        }
        Note::GoesInto(term) => format!("goes into {}", words::term(scene, *term)),
        Note::MakesTheBound(known) => format!("makes the limit {}", words::known(known)),
        Note::Is(term, known) => format!("{}: {}", words::term(scene, *term), words::known(known)),
        Note::Elements { every, of, meets } => format!("needs {}", words::elements(scene, *every, *of, meets)),
        Note::Scope { known, open: true } => format!("{}: leaves open whether the rule applies", words::known(known)),
        Note::Scope { known, open: false } => format!("{}: so the rule applies", words::known(known)),
    }
}

/// What is there, what is needed, and whether that is too close to tell.
fn compared(scene: &Scene<'_>, leaf: &TraceLeaf<'_>, wanted: bool) -> String {
    let known = &leaf.left.known;
    let asks_age = matches!(leaf.leaf.test, Test::ReadWithin(_));
    let value = match (asks_age, done_at(known)) {
        (true, Some(done)) if done <= scene.at() => format!("{} old", words::span(scene.at().seconds_since(done))),
        (true, None) => format!("{}, without the time of reading", words::known(known)),
        _ => match (leaf.leaf.term, known) {
            (Term::Figure(_), Known::Measured(measured)) => {
                words::figure(measured, measured.shown.unit(), Rounding::Nearest)
            }
            _ => words::known(known),
        },
    };
    let in_numbers = is_number(&leaf.left) && leaf.right.iter().all(is_number);
    let doubt = if !asks_age && leaf.truth == Truth::Unknown && in_numbers { ": too close to tell" } else { "" };
    format!("{value}; {}{doubt}", words::needs(leaf, wanted))
}

fn is_number(seen: &Seen) -> bool {
    matches!(seen.known, Known::Measured(_) | Known::Number { .. })
}

/// The instant that a reading or an event carries.
fn done_at(known: &Known) -> Option<Instant> {
    match known {
        Known::Measured(measured) => measured.at,
        Known::Other(Value::Instant(instant)) => Some(*instant),
        _ => None,
    }
}
