//! Places in the record, with what is said of them.

use super::{PlaceNote, words};
use crate::document::{Document, Path};
use crate::engine::{Change, Cure, Known, Scene, Seen, Trace, TraceLeaf};
use crate::pack::condition::Base;
use crate::pack::{Term, Test};
use crate::record::Subject;
use crate::units::{Rounding, Truth};

/// At most this many places are shown for one finding; more would hide the ones that matter.
const MOST_LABELS: usize = 6;

/// The places of everything that a cure would change.
pub(super) fn of_cure(scene: &Scene<'_>, cure: &Cure<'_>, document: &Document) -> Vec<PlaceNote> {
    match cure {
        Cure::Nothing => Vec::new(),
        Cure::AllOf(parts) | Cure::OneOf(parts) => {
            parts.iter().flat_map(|part| of_cure(scene, part, document)).collect()
        }
        Cure::Change(change) => of_change(scene, change, document),
        Cure::Collection { of, path, recorded, every, meets } => {
            let text = recorded.then(|| format!("needs {}", words::elements(scene, *every, *of, meets)));
            path.iter().map(|path| at(document, path, text.clone())).collect()
        }
    }
}

fn of_change(scene: &Scene<'_>, change: &Change<'_>, document: &Document) -> Vec<PlaceNote> {
    let seen = &change.seen;
    let mut labels = of_left(scene, seen, change.wanted, document);
    for (right, operand) in seen.right.iter().zip(seen.leaf.test.operands()) {
        let Some(term) = right.term else { continue };
        let text = match (&right.known, operand.times.is_some() || operand.plus.is_some()) {
            (Known::NotRecorded, _) => None,
            (known, true) if !matches!(known, Known::Obstacle(_)) => {
                Some(format!("makes the limit {}", words::known(known)))
            }
            // What is written and cannot be used says here why.
            (known, _) => Some(format!("{}: {}", words::term(scene, term), words::known(known))),
        };
        labels.extend(right.paths.iter().map(|path| at(document, path, text.clone())));
    }
    labels
}

fn of_left(scene: &Scene<'_>, seen: &TraceLeaf<'_>, wanted: bool, document: &Document) -> Vec<PlaceNote> {
    let text = match &seen.left.known {
        Known::NotRecorded => None,
        known => {
            let needs = words::needs(seen, wanted);
            let value = match (&seen.leaf.test, scene.age(seen.leaf.term, &seen.here)) {
                (Test::ReadWithin(_), Some(age)) if scene.start() > scene.at() => {
                    format!("will be {} old at the planned start, {}", words::span(age), words::clock(scene))
                }
                (Test::ReadWithin(_), Some(age)) => format!("{} old", words::span(age)),
                (Test::ReadWithin(_), None) if is_undated(known) => {
                    format!("{}, without the time of reading", words::known(known))
                }
                _ => match (seen.leaf.term, known) {
                    (Term::Figure(_), Known::Measured(measured)) => {
                        words::figure(measured, measured.shown.unit(), Rounding::Nearest)
                    }
                    _ => words::known(known),
                },
            };
            let compares = !matches!(seen.leaf.test, Test::ReadWithin(_));
            let doubt = if compares
                && seen.truth == Truth::Unknown
                && is_number(&seen.left)
                && seen.right.iter().all(is_number)
            {
                ": too close to tell"
            } else {
                ""
            };
            let asked = of_the_start(scene, seen);
            Some(format!("{value}; {needs}{asked}{doubt}"))
        }
    };
    let (Term::Figure(_), Some(text)) = (seen.leaf.term, &text) else {
        return seen.left.paths.iter().map(|path| at(document, path, text.clone())).collect();
    };
    // A figure is said once, by name, where its most telling input stands; the other inputs say what they are for.
    let name = words::term(scene, seen.leaf.term);
    let mut paths = seen.left.paths.iter();
    let first = paths.next().map(|path| at(document, path, Some(format!("{name} {text}"))));
    let rest = paths.map(|path| at(document, path, Some(format!("goes into {name}"))));
    first.into_iter().chain(rest).collect()
}

fn is_number(seen: &Seen) -> bool {
    matches!(seen.known, Known::Measured(_) | Known::Number { .. })
}

/// Whether a reading does not say when it was taken.
fn is_undated(known: &Known) -> bool {
    matches!(known, Known::Measured(measured) if measured.at.is_none())
}

/// Whose moment it is, where a comparison is asked of a start that lies ahead.
fn of_the_start(scene: &Scene<'_>, seen: &TraceLeaf<'_>) -> String {
    let ahead = scene.start() > scene.at();
    let asked = seen.leaf.test.operands().any(|operand| match operand.base {
        Base::Start => true,
        Base::Today => scene.start().day_in(scene.zone()) > scene.at().day_in(scene.zone()),
        _ => false,
    });
    if ahead && asked { format!(" for the planned start, {}", words::clock(scene)) } else { String::new() }
}

/// The places that make the rule apply, or that leave open whether it does.
pub(super) fn of_scope(trace: &Trace<'_>, document: &Document) -> Vec<PlaceNote> {
    match trace {
        Trace::All(_, parts) => parts.iter().flat_map(|part| of_scope(part, document)).collect(),
        // Of several reasons, those that count.
        Trace::Any(truth, parts) => {
            parts.iter().filter(|part| part.truth() == *truth).flat_map(|part| of_scope(part, document)).collect()
        }
        Trace::Not(_, inner) => of_scope(inner, document),
        Trace::Elements { parts, .. } => {
            parts.iter().filter(|(_, part)| part.is_true()).flat_map(|(_, part)| of_scope(part, document)).collect()
        }
        Trace::Leaf(leaf) => {
            let known = &leaf.left.known;
            let text = match known {
                Known::NotRecorded => None,
                known if leaf.truth == Truth::Unknown => {
                    Some(format!("{}: leaves open whether the rule applies", words::known(known)))
                }
                known => Some(format!("{}: so the rule applies", words::known(known))),
            };
            leaf.left.paths.iter().map(|path| at(document, path, text.clone())).collect()
        }
    }
}

/// The place where a list should stand that the record does not have.
pub(super) fn absent_list(subject: Subject, document: &Document) -> Option<PlaceNote> {
    Some(at(document, &Path::root().child(subject.record_key()?), None))
}

/// A label at a path; without words it says that something is missing there.
fn at(document: &Document, path: &Path, text: Option<String>) -> PlaceNote {
    let place = document.locate(path);
    let text = match text {
        Some(text) => text,
        None if place.is_found() => "nothing is written here".to_owned(),
        None => format!("`{}` is missing here", place.missing),
    };
    let (line, column) = document.source().line_and_column(place.span.start);
    let file = document.source().name_at(place.span.start).to_owned();
    PlaceNote { span: place.span, file, line, column, path: path.to_string(), text }
}

/// One label a place, the first words kept; and not too many.
pub(super) fn tidy(labels: &mut Vec<PlaceNote>) {
    let mut kept: Vec<PlaceNote> = Vec::with_capacity(labels.len());
    for label in labels.drain(..) {
        match kept.iter_mut().find(|known| known.span == label.span) {
            Some(known) if known.text != label.text && !known.text.contains(&label.text) => {
                known.text.push_str("; ");
                known.text.push_str(&label.text);
            }
            Some(_) => {}
            None => kept.push(label),
        }
    }
    kept.truncate(MOST_LABELS);
    *labels = kept;
}
