//! Places in the record, with what is to be said of each.
//!
//! What is said stands here as data; `notes` finds the words. This module must not know any form of report.

use crate::document::{Document, Path, Source, Span};
use crate::engine::{InTheWay, Known, Seen, Trace, TraceLeaf};
use crate::pack::{Collection, Condition, Leaf, Term};
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
    /// Whether what is said of it would do in place of what is said of the first place.
    pub instead: bool,
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

    /// The comparisons that are told of it, each once.
    pub fn comparisons(&self) -> Vec<&Leaf> {
        let mut found: Vec<&Leaf> = Vec::new();
        for note in &self.notes {
            if let PlaceNote::Compared { leaf, .. } = note
                && !found.iter().any(|known| std::ptr::eq(*known, leaf.leaf))
            {
                found.push(leaf.leaf);
            }
        }
        found
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
        /// Where it stands in the demand.
        turn: Turn,
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
        /// The term.
        term: Term,
        /// What is known of it.
        known: Known,
        /// Whether it leaves open whether the rule applies.
        open: bool,
    },
}

impl PlaceNote<'_> {
    /// Whether it compares this value with what is needed.
    pub(super) fn compares(&self, term: Term, known: &Known) -> bool {
        matches!(self, PlaceNote::Compared { leaf, .. } if leaf.leaf.term == term && leaf.left.known == *known)
    }
}

/// Where one of the parts in the way stands in a demand: the forks on the way to it, the outermost first.
#[derive(Debug, Clone, Default)]
pub struct Turn {
    forks: Vec<Fork>,
    /// How many forks it shares with the part nearest to it.
    shared: usize,
}

/// A part of a condition among others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Fork {
    /// Whether one of the parts is enough.
    choice: bool,
    branch: usize,
}

impl Turn {
    /// How many forks two parts share.
    fn shared_with(&self, other: &Self) -> usize {
        self.forks.iter().zip(&other.forks).take_while(|(one, other)| one == other).count()
    }

    /// Whether either of two parts is enough.
    pub(super) fn is_choice_with(&self, other: &Self) -> bool {
        self.forks.get(self.shared_with(other)).is_some_and(|fork| fork.choice)
    }

    /// Whether this part is all that its side of the choice between the two asks for.
    pub(super) fn is_alone_beside(&self, other: &Self) -> bool {
        self.shared <= self.shared_with(other)
    }
}

/// The parts that are in the way, each with where it stands.
fn turns<'t, 'a>(demands: &'t Trace<'a>) -> Vec<(InTheWay<'t, 'a>, Turn)> {
    let mut forks = Vec::new();
    gather(demands, true, &mut Vec::new(), &mut forks);
    let of = |part: &InTheWay<'_, '_>| {
        let known = |(node, _): &&(*const (), Vec<Fork>)| std::ptr::eq(*node, node_of(part));
        forks.iter().find(known).map(|(_, forks)| forks.clone()).unwrap_or_default()
    };
    let parts = demands.in_the_way();
    let mut turns: Vec<Turn> = parts.iter().map(|part| Turn { forks: of(part), shared: 0 }).collect();
    let shared = turns.iter().enumerate().map(|(place, turn)| {
        let others = turns.iter().enumerate().filter(|(other, _)| *other != place);
        others.map(|(_, other)| turn.shared_with(other)).max().unwrap_or(0)
    });
    let shared: Vec<usize> = shared.collect();
    turns.iter_mut().zip(shared).for_each(|(turn, shared)| turn.shared = shared);
    parts.into_iter().zip(turns).collect()
}

/// What tells a part of a trace from every other.
fn node_of(part: &InTheWay<'_, '_>) -> *const () {
    match part {
        InTheWay::Comparison { leaf, .. } => std::ptr::from_ref(*leaf).cast(),
        InTheWay::List { meets, .. } => std::ptr::from_ref(*meets).cast(),
    }
}

/// The forks on the way to every comparison and list, where the whole must become `aim`.
fn gather(trace: &Trace<'_>, aim: bool, way: &mut Vec<Fork>, found: &mut Vec<(*const (), Vec<Fork>)>) {
    let mut inner = |branch: usize, part: &Trace<'_>, choice: bool, aim: bool| {
        way.push(Fork { choice, branch });
        gather(part, aim, way, found);
        way.pop();
    };
    match trace {
        Trace::All(_, parts) => parts.iter().enumerate().for_each(|(at, part)| inner(at, part, !aim, aim)),
        Trace::Any(_, parts) => parts.iter().enumerate().for_each(|(at, part)| inner(at, part, aim, aim)),
        Trace::Not(_, part) => gather(part, !aim, way, found),
        Trace::Elements { every, meets, parts, .. } => {
            parts.iter().enumerate().for_each(|(at, (_, part))| inner(at, part, *every != aim, aim));
            found.push((std::ptr::from_ref(*meets).cast(), way.clone()));
        }
        Trace::Leaf(leaf) => found.push((std::ptr::from_ref(&**leaf).cast(), way.clone())),
    }
}

/// The places of a finding: what is in the way of the demand, then what makes the rule apply.
pub(super) fn of_finding<'a>(demands: &Trace<'a>, applies: Option<&Trace<'a>>, document: &Document) -> Vec<Place<'a>> {
    let mut found = GatheredPlaces { document, places: Vec::new() };
    let turns = turns(demands);
    for (part, turn) in &turns {
        // Notes of an alternative replace those of the first.
        let (before, instead) =
            (found.places.len(), turns.first().is_some_and(|(_, first)| first.is_choice_with(turn)));
        match *part {
            InTheWay::Comparison { leaf, wanted } => found.compared(leaf, wanted, turn),
            InTheWay::List { of, path, recorded, every, meets } => {
                let note = recorded.then_some(PlaceNote::Elements { every, of, meets });
                if let Some(path) = path {
                    found.put(path, note);
                }
            }
        }
        // Where the first part leaves no place, there is nothing to stand in place of.
        found.places.iter_mut().skip(before.max(1)).for_each(|place| place.instead = instead);
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
            None => self.places.push(Place { span: place.span, path: path.clone(), notes: vec![note], instead: false }),
        }
    }

    fn compared(&mut self, leaf: &TraceLeaf<'a>, wanted: bool, turn: &Turn) {
        let recorded = !matches!(leaf.left.known, Known::NotRecorded);
        let note =
            || recorded.then(|| PlaceNote::Compared { leaf: Box::new(leaf.clone()), wanted, turn: turn.clone() });
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
            let changed = operand.factor().is_some() || operand.offset().is_some();
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
                    known => Some(PlaceNote::Scope {
                        term: leaf.leaf.term,
                        known: known.clone(),
                        open: leaf.truth == Truth::Unknown,
                    }),
                };
                leaf.left.paths.iter().for_each(|path| self.put(path, note.clone()));
            }
        }
    }
}
