//! A judgement taken apart: every comparison with what it saw, for reports.
//!
//! Must not know words.

mod in_the_way;

pub use in_the_way::InTheWay;

use super::Scene;
use super::evaluate::{Here, Side};
use crate::document::Path;
use crate::figures::{Lack, Obstacle};
use crate::pack::sides::Base;
use crate::pack::{Collection, Condition, Leaf, Operand, Term};
use crate::record::{FactKey, Measured, Value, list_for};
use crate::units::{Instant, Quantity, Truth};
use crate::vocabulary::Subject;

/// A condition with its truth and that of its parts.
#[derive(Debug, Clone)]
pub enum Trace<'a> {
    /// All of the parts.
    All(Truth, Vec<Self>),
    /// Any of the parts.
    Any(Truth, Vec<Self>),
    /// The opposite of the part.
    Not(Truth, Box<Self>),
    /// Each element, or some element, of a collection.
    Elements {
        /// Whether all or one must meet it.
        every: bool,
        /// The truth of the whole.
        truth: Truth,
        /// The collection.
        of: Collection,
        /// The current subjects around it.
        here: Here<'a>,
        /// Where the collection stands in the record.
        path: Option<Path>,
        /// Whether the collection is recorded.
        recorded: bool,
        /// What the elements must meet.
        meets: &'a Condition,
        /// What is current in each, and its part.
        parts: Vec<(Here<'a>, Self)>,
    },
    /// One comparison.
    Leaf(Box<TraceLeaf<'a>>),
}

/// One comparison with what it saw.
#[derive(Debug, Clone)]
pub struct TraceLeaf<'a> {
    /// The comparison.
    pub leaf: &'a Leaf,
    /// The current subjects.
    pub here: Here<'a>,
    /// Its truth.
    pub truth: Truth,
    /// What its term is.
    pub left: Seen,
    /// What each of its operands is.
    pub right: Vec<Seen>,
    /// The operand of the comparison that bounds the same term on the other side and must hold as well.
    pub other_end: Option<Seen>,
}

/// What was seen of a term or an operand.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// The term, where it is one.
    pub term: Option<Term>,
    /// Where it stands, or should stand, in the record; for a figure, where its inputs stand.
    pub paths: Vec<Path>,
    /// What is known of it.
    pub known: Known,
}

/// What is known of a value.
#[derive(Debug, Clone, PartialEq)]
pub enum Known {
    /// A measured number, as recorded or computed.
    Measured(Box<Measured>),
    /// A number worked out for the comparison: an interval shown in a unit.
    Number {
        /// The lower end.
        low: Quantity,
        /// The upper end.
        high: Quantity,
    },
    /// Another value.
    Other(Value),
    /// The record does not say.
    NotRecorded,
    /// It is dated after the judgement.
    Ahead(Instant),
    /// It could not be computed, for this reason.
    Obstacle(Obstacle),
}

impl Trace<'_> {
    /// The truth of the whole.
    pub fn truth(&self) -> Truth {
        match self {
            Self::All(truth, _) | Self::Any(truth, _) | Self::Not(truth, _) | Self::Elements { truth, .. } => *truth,
            Self::Leaf(leaf) => leaf.truth,
        }
    }
}

/// A part of a condition that made it come out as it did.
#[derive(Debug, Clone, Copy)]
pub(super) enum Decider<'t, 'a> {
    /// A comparison.
    Leaf(&'t TraceLeaf<'a>),
    /// A list that is not recorded, or that is empty.
    List {
        /// The list.
        of: Collection,
        /// Where it stands in the record.
        path: Option<&'t Path>,
        /// Whether it is recorded.
        recorded: bool,
    },
}

impl<'a> Trace<'a> {
    /// The parts that made the whole come out as it did: all that are met where it is met, those that are not where it is
    /// not, but for those that could only come about if something on record were not.
    pub(super) fn deciders(&self) -> Vec<Decider<'_, 'a>> {
        let mut found = Vec::new();
        self.deciding(true, &mut found);
        found
    }

    fn deciding<'t>(&'t self, aim: bool, found: &mut Vec<Decider<'t, 'a>>) {
        // A whole that holds because all parts do, or fails because none does, is decided by each; otherwise by the parts
        // that stand in the way, or that suffice.
        let mut parts = |parts: &mut dyn Iterator<Item = &'t Self>, all: bool, truth: Truth| {
            let decides = |part: Truth| (truth == Truth::True) == all || (part == Truth::True) != all;
            let parts: Vec<&'t Self> = parts.filter(|part| decides(part.truth())).collect();
            // Where one of several is enough, what cannot come about is no way.
            let barred = |part: &&Self| all != aim && part.is_barred(aim);
            let all_barred = parts.iter().all(barred);
            for part in parts.into_iter().filter(|part| all_barred || !barred(part)) {
                part.deciding(aim, found);
            }
        };
        match self {
            Self::All(truth, inner) => parts(&mut inner.iter(), true, *truth),
            Self::Any(truth, inner) => parts(&mut inner.iter(), false, *truth),
            Self::Not(_, inner) => inner.deciding(!aim, found),
            Self::Elements { every, of, path, recorded, parts: inner, truth, .. } => {
                if *recorded && !inner.is_empty() {
                    parts(&mut inner.iter().map(|(_, part)| part), *every, *truth);
                } else {
                    found.push(Decider::List { of: *of, path: path.as_ref(), recorded: *recorded });
                }
            }
            Self::Leaf(leaf) => found.push(Decider::Leaf(leaf)),
        }
    }
}

/// Takes the judgement of `condition` apart.
pub fn trace<'a>(scene: &'a Scene<'a>, condition: &'a Condition, here: &Here<'a>) -> Trace<'a> {
    let truth = scene.truth(condition, here);
    match condition {
        Condition::All(parts) => {
            let mut parts: Vec<Trace<'a>> = parts.iter().map(|part| trace(scene, part, here)).collect();
            hold_at_both_ends(&mut parts);
            Trace::All(truth, parts)
        }
        Condition::Any(parts) => Trace::Any(truth, parts.iter().map(|part| trace(scene, part, here)).collect()),
        Condition::Not(inner) => Trace::Not(truth, Box::new(trace(scene, inner, here))),
        Condition::Each(q) | Condition::Some(q) => {
            let mut elements = Vec::new();
            let gone_through = scene.visit(q.of, here, |inner| {
                elements.push(*inner);
                true
            });
            Trace::Elements {
                every: matches!(condition, Condition::Each(_)),
                truth,
                of: q.of,
                here: *here,
                path: scene.collection_path(q.of, here),
                recorded: gone_through.is_some(),
                meets: &q.meets,
                parts: elements.into_iter().map(|inner| (inner, trace(scene, &q.meets, &inner))).collect(),
            }
        }
        Condition::Leaf(leaf) => Trace::Leaf(Box::new(TraceLeaf {
            leaf,
            here: *here,
            truth,
            left: scene.seen(leaf.term, here),
            right: scene.seen_operands(leaf, here),
            other_end: None,
        })),
    }
}

/// Pairs each lower bound with the upper bound of the same term, among comparisons side by side.
fn hold_at_both_ends(parts: &mut [Trace<'_>]) {
    let bounded = |part: &Trace<'_>| match part {
        Trace::Leaf(leaf) => match leaf.leaf.test.row().bounds() {
            [bound] => Some((leaf.leaf.term, bound.end, leaf.right.first()?.clone())),
            _ => None,
        },
        _ => None,
    };
    let bounds: Vec<_> = parts.iter().map(bounded).collect();
    for (part, own) in parts.iter_mut().zip(&bounds) {
        if let (Trace::Leaf(leaf), Some((term, end, _))) = (part, own) {
            let others = bounds.iter().flatten().filter(|(other, at, _)| other == term && at != end);
            leaf.other_end = others.map(|(_, _, seen)| seen.clone()).next();
        }
    }
}

impl<'a> Scene<'a> {
    fn collection_path(&self, of: Collection, here: &Here<'a>) -> Option<Path> {
        match of {
            Collection::Subjects(subject) => Some(Path::root().child(subject.record_key()?)),
            Collection::Words(key) => self.path(key, here),
        }
    }

    fn path(&self, key: FactKey, here: &Here<'_>) -> Option<Path> {
        Some(here.entity(key.subject)?.1.path_of(self.packs.catalogue(), key))
    }

    /// What is known of a term for the current subjects.
    pub fn seen(&self, term: Term, here: &Here<'a>) -> Seen {
        let (paths, known) = match term {
            Term::Fact(key) => (self.path(key, here), self.known_fact(key, here)),
            Term::ReadAt(key) => {
                (self.part_path(key, "at", here), self.known_part(key, here, |m| m.at.map(Value::Instant)))
            }
            Term::ReadWith(key) => {
                let part = self.known_part(key, here, |m| m.instrument.clone().map(Value::Text));
                (self.part_path(key, self.instrument_word(key), here), part)
            }
            Term::ReadDoubt(key) => {
                let part = self.known_part(key, here, |m| {
                    let unit = m.shown.unit().of_difference();
                    let doubt = Quantity::from_base(m.uncertainty?, unit)?;
                    Some(Value::Measured(Box::new(Measured::exact(doubt))))
                });
                (self.part_path(key, "uncertainty", here), part)
            }
            Term::Figure(id) => return self.seen_figure(id, here),
            Term::Item => match here.item() {
                Some(item) => {
                    let path = self.path(item.list, here).map(|path| path.child(item.index));
                    (path, Known::Other(Value::Text(item.word.into())))
                }
                None => (None, Known::NotRecorded),
            },
        };
        Seen { term: Some(term), paths: paths.into_iter().collect(), known }
    }

    fn known_fact(&self, key: FactKey, here: &Here<'a>) -> Known {
        match here.entity(key.subject).and_then(|(_, entity)| entity.facts.get(key)) {
            None => Known::NotRecorded,
            Some(Value::Measured(measured)) => match measured.at {
                Some(at) if at > self.at => Known::Ahead(at),
                _ => Known::Measured(measured.clone()),
            },
            Some(Value::Instant(instant)) if *instant > self.at && self.is_event(key) => Known::Ahead(*instant),
            Some(value) => Known::Other(value.clone()),
        }
    }

    fn part_path(&self, key: FactKey, part: &str, here: &Here<'a>) -> Option<Path> {
        self.path(key, here).map(|path| path.child(part))
    }

    /// The key under which a reading names its instrument.
    pub(super) fn instrument_word(&self, key: FactKey) -> &'static str {
        let dimension = self.packs.catalogue().spec(key).and_then(|spec| spec.kind.dimension());
        dimension.and_then(list_for).unwrap_or(Subject::Gauge).word()
    }

    fn known_part(&self, key: FactKey, here: &Here<'a>, part: impl Fn(&Measured) -> Option<Value>) -> Known {
        match here.entity(key.subject).and_then(|(_, entity)| entity.facts.measured(key)).and_then(part) {
            Some(Value::Instant(instant)) if instant > self.at => Known::Ahead(instant),
            Some(value) => Known::Other(value),
            None => Known::NotRecorded,
        }
    }

    fn seen_figure(&self, id: crate::figures::FigureId, here: &Here<'a>) -> Seen {
        let term = Some(Term::Figure(id));
        let Some(spec) = id.spec() else {
            return Seen { term, paths: Vec::new(), known: Known::NotRecorded };
        };
        let figure = here.entity(spec.subject).and_then(|(index, _)| self.figure(id, spec.subject, index));
        let known = match figure {
            Some(Ok(Value::Measured(measured))) => Known::Measured(measured.clone()),
            Some(Ok(value)) => Known::Other(value.clone()),
            Some(Err(Lack::Obstacle { obstacle, .. })) => Known::Obstacle(obstacle.clone()),
            Some(Err(Lack::Missing(_))) | None => Known::NotRecorded,
        };
        // A figure that lacks something points at the gap; one that is there points at what it was made from.
        let missing = figure.and_then(|figure| figure.as_ref().err()).map_or(&[][..], Lack::facts);
        let recorded =
            |key: &FactKey| here.entity(key.subject).is_some_and(|(_, entity)| entity.facts.get(*key).is_some());
        let paths = if missing.is_empty() {
            spec.facts().filter(recorded).filter_map(|key| self.path(key, here)).collect()
        } else {
            missing.iter().flat_map(|key| self.gaps(*key, here)).collect()
        };
        Seen { term, paths, known }
    }

    /// Where a missing fact should stand: with the current subject, else with every subject that lacks it. What the current
    /// one has is missing of another, of which a figure is made as well.
    pub(super) fn gaps(&self, key: FactKey, here: &Here<'_>) -> Vec<Path> {
        let own = self.path(key, here);
        let lacking = |entity: &&crate::record::Entity| entity.facts.get(key).is_none();
        let has = here.entity(key.subject).is_some_and(|(_, entity)| !lacking(&entity));
        if let Some(path) = own.as_ref().filter(|_| !has) {
            return vec![path.clone()];
        }
        let path = |entity: &crate::record::Entity| entity.path_of(self.packs.catalogue(), key);
        let all = self.job.of(key.subject).unwrap_or(&[]);
        let others: Vec<Path> = all.iter().filter(lacking).map(path).collect();
        // Where nothing of its kind is recorded, the list is where it belongs.
        let list = || key.subject.record_key().filter(|_| all.is_empty()).map(|list| Path::root().child(list));
        if others.is_empty() { own.or_else(list).into_iter().collect() } else { others }
    }

    fn seen_operands(&self, leaf: &Leaf, here: &Here<'a>) -> Vec<Seen> {
        let left = self.term(leaf.term, here);
        leaf.test
            .operands()
            .map(|operand| {
                let term = match operand.base {
                    Base::Term(term) => Some(term),
                    _ => None,
                };
                let seen = term.map(|term| self.seen(term, here));
                let due = left.filter(|_| !leaf.test.row().asks_age());
                let known = self.operand(operand, &due.unwrap_or(Side::Flag(true)), here, |side| match *side {
                    Side::Number(interval) => self.number(operand, *interval, seen.as_ref()),
                    Side::Instant(instant) => Known::Other(Value::Instant(instant)),
                    Side::Day(day) => Known::Other(Value::Day(day)),
                    Side::Text(text) => Known::Other(Value::Text(text.into())),
                    Side::Flag(flag) => Known::Other(Value::Flag(flag)),
                });
                let known =
                    known.unwrap_or_else(|| seen.as_ref().map_or(Known::NotRecorded, |seen| seen.known.clone()));
                Seen { term, paths: seen.map(|seen| seen.paths).unwrap_or_default(), known }
            })
            .collect()
    }

    /// A number of an operand, in the unit in which its base is written.
    fn number(&self, operand: &Operand, interval: crate::units::Interval, seen: Option<&Seen>) -> Known {
        let unit = match (&operand.base, seen.map(|seen| &seen.known)) {
            (_, Some(Known::Measured(measured))) | (Base::Literal(Value::Measured(measured)), _) => {
                Some(measured.shown.unit())
            }
            (Base::Limit(id), _) => self.limit(*id).map(Quantity::unit),
            _ => None,
        };
        let ends = unit.and_then(|unit| {
            Some((Quantity::from_base(interval.lo(), unit)?, Quantity::from_base(interval.hi(), unit)?))
        });
        match ends {
            Some((low, high)) => Known::Number { low, high },
            None => Known::Obstacle(Obstacle::OutOfRange),
        }
    }

    /// The label of a subject, for reports.
    pub fn label(&self, subject: Subject, index: usize) -> Option<&'a str> {
        Some(self.job.of(subject)?.get(index)?.label.as_str())
    }
}
