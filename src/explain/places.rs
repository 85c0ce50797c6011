//! Places in the record, with what is to be said of each.
//!
//! What is said stands here as data; `notes` finds the words. This module must not know any form of report.

use crate::document::{Document, Path, Source, Span};
use crate::engine::{InTheWay, Known, Seen, Trace, TraceLeaf};
use crate::pack::{Collection, Condition, Term};
use crate::units::Truth;
use crate::vocabulary::Subject;

/// At most this many places are shown for one finding; more would hide the ones that matter.
const MOST_PLACES: usize = 6;

/// A place in the record, or in the shop file that it draws on, and what is said of it.
#[derive(Debug, Clone)]
pub struct Place<'a> {
    /// The bytes, of the texts of the record and its shop file laid end to end.
    pub span: Span,
    /// The fact's path in the record.
    pub path: Path,
    /// What is said of it, the most telling first; never empty.
    pub notes: Vec<PlaceNote<'a>>,
}

impl Place<'_> {
    /// The file, as reports call it.
    pub fn file<'s>(&self, source: &'s Source) -> &'s str {
        source.name_at(self.span.start)
    }

    /// Line and column in the file, counted from 1, the column in characters.
    pub fn line_and_column(&self, source: &Source) -> (usize, usize) {
        source.line_and_column(self.span.start)
    }
}

/// What is said of a place.
#[derive(Debug, Clone)]
pub enum PlaceNote<'a> {
    /// Nothing is written where the line is there, or a key is missing.
    Absent {
        /// What is missing; empty where the line is there.
        key: Path,
    },
    /// What is there and what is needed, of a comparison that comes out otherwise than wanted.
    Compared {
        /// The comparison.
        leaf: Box<TraceLeaf<'a>>,
        /// Whether it must become true, or false.
        wanted: bool,
    },
    /// It goes into a figure that is compared.
    GoesInto(Term),
    /// It makes the bound of a comparison what it is.
    MakesTheBound(Known),
    /// It is what something is compared with.
    Is(Term, Known),
    /// Of a list: what its elements must meet.
    Elements {
        /// Whether every element, or only some.
        every: bool,
        /// The list.
        of: Collection,
        /// What they must meet.
        meets: &'a Condition,
    },
    /// It makes the rule apply, or leaves open whether it does.
    Scope {
        /// What is known of it.
        known: Known,
        /// Whether it leaves open whether the rule applies.
        open: bool,
    },
}

/// The places of a finding: what is in the way of the demand, then what makes the rule apply.
pub(super) fn of_finding<'a>(demands: &Trace<'a>, applies: Option<&Trace<'a>>, document: &Document) -> Vec<Place<'a>> {
    let mut found = GatheredPlaces { document, places: Vec::new() };
    for part in demands.in_the_way() {
        match part {
            InTheWay::Comparison { leaf, wanted } => found.compared(leaf, wanted),
            InTheWay::List { of, path, recorded, every, meets } => {
                let note = recorded.then_some(PlaceNote::Elements { every, of, meets });
                if let Some(path) = path {
                    found.put(path, note);
                }
            }
        }
    }
    if let Some(applies) = applies {
        found.scope(applies);
    }
    found.places.truncate(MOST_PLACES);
    found.places
}

/// The place where a list should stand that the record does not have.
pub(super) fn of_absent_list<'a>(subject: Subject, document: &Document) -> Vec<Place<'a>> {
    let mut found = GatheredPlaces { document, places: Vec::new() };
    if let Some(key) = subject.record_key() {
        found.put(&Path::root().child(key), None);
    }
    found.places
}

/// Places as they are found, one for each span.
struct GatheredPlaces<'a, 'd> {
    document: &'d Document,
    places: Vec<Place<'a>>,
}

impl<'a> GatheredPlaces<'a, '_> {
    /// Says something of a path; without a note, that something is missing there.
    fn put(&mut self, path: &Path, note: Option<PlaceNote<'a>>) {
        let place = self.document.locate(path);
        let note = note
            .unwrap_or(PlaceNote::Absent { key: if place.is_found() { Path::root() } else { place.missing.clone() } });
        match self.places.iter_mut().find(|known| known.span == place.span) {
            Some(known) => known.notes.push(note),
            None => self.places.push(Place { span: place.span, path: path.clone(), notes: vec![note] }),
        }
    }

    fn compared(&mut self, leaf: &TraceLeaf<'a>, wanted: bool) {
        let recorded = !matches!(leaf.left.known, Known::NotRecorded);
        let note = || recorded.then(|| PlaceNote::Compared { leaf: Box::new(leaf.clone()), wanted });
        let mut paths = leaf.left.paths.iter();
        if matches!(leaf.leaf.term, Term::Figure(_)) && recorded {
            // A figure is said once, where its most telling input stands; the other inputs say what they are for.
            paths.by_ref().take(1).for_each(|path| self.put(path, note()));
            paths.for_each(|path| self.put(path, Some(PlaceNote::GoesInto(leaf.leaf.term))));
        } else {
            paths.for_each(|path| self.put(path, note()));
        }
        self.bounds(leaf);
    }

    /// The facts on the other side of a comparison.
    fn bounds(&mut self, leaf: &TraceLeaf<'a>) {
        for (right, operand) in leaf.right.iter().zip(leaf.leaf.test.operands()) {
            let Seen { term: Some(term), paths, known } = right else { continue };
            let changed = operand.times.is_some() || operand.plus.is_some();
            let note = match known {
                Known::NotRecorded => None,
                // What is written and cannot be used says here why.
                known if changed && !matches!(known, Known::Obstacle(_)) => {
                    Some(PlaceNote::MakesTheBound(known.clone()))
                }
                known => Some(PlaceNote::Is(*term, known.clone())),
            };
            for path in paths {
                self.put(path, note.clone());
            }
        }
    }

    /// The places that make the rule apply, or that leave open whether it does.
    fn scope(&mut self, trace: &Trace<'a>) {
        match trace {
            Trace::All(_, parts) => parts.iter().for_each(|part| self.scope(part)),
            // Of several reasons, those that count.
            Trace::Any(truth, parts) => {
                parts.iter().filter(|part| part.truth() == *truth).for_each(|part| self.scope(part));
            }
            Trace::Not(_, inner) => self.scope(inner),
            Trace::Elements { parts, .. } => {
                let true_parts = parts.iter().filter(|(_, part)| part.truth() == Truth::True);
                true_parts.for_each(|(_, part)| self.scope(part));
            }
            Trace::Leaf(leaf) => {
                let note = match &leaf.left.known {
                    Known::NotRecorded => None,
                    known => Some(PlaceNote::Scope { known: known.clone(), open: leaf.truth == Truth::Unknown }),
                };
                leaf.left.paths.iter().for_each(|path| self.put(path, note.clone()));
            }
        }
    }
}
