//! The truth of a condition, by strong Kleene logic over intervals.

use super::Scene;
use crate::pack::condition::{Base, Factor, Offset};
use crate::pack::{Collection, Condition, Leaf, Operand, Term, Test};
use crate::record::{Entity, FactKey, Kind, Measured, Subject, Value};
use crate::units::{Day, Exact, Instant, Interval, Truth};

/// The subjects at hand: of each kind at most one, and a word of a list.
#[derive(Debug, Clone, Copy)]
pub struct Here<'a> {
    entities: [Option<(usize, &'a Entity)>; 6],
    item: Option<Item<'a>>,
}

/// A word of a list fact.
#[derive(Debug, Clone, Copy)]
pub struct Item<'a> {
    /// The list.
    pub list: FactKey,
    /// The word's position in it.
    pub index: usize,
    /// The word.
    pub word: &'a str,
}

impl<'a> Here<'a> {
    /// The subject of a kind that is at hand, with its position.
    pub fn entity(&self, subject: Subject) -> Option<(usize, &'a Entity)> {
        self.entities.get(subject as usize).copied().flatten()
    }

    /// The word at hand.
    pub const fn item(&self) -> Option<Item<'a>> {
        self.item
    }

    /// The reading of a fact of the subjects at hand.
    fn reading(&self, key: FactKey) -> Option<&'a Measured> {
        self.entity(key.subject)?.1.facts.measured(key)
    }

    fn with(mut self, subject: Subject, index: usize, entity: &'a Entity) -> Self {
        if let Some(place) = self.entities.get_mut(subject as usize) {
            *place = Some((index, entity));
        }
        self
    }
}

/// One side of a comparison.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Side<'a> {
    /// A number in base units.
    Number(Interval),
    /// An instant.
    Instant(Instant),
    /// A day.
    Day(Day),
    /// Text or a word.
    Text(&'a str),
    /// True or false.
    Flag(bool),
}

impl<'a> Scene<'a> {
    /// The job and one subject of it.
    pub fn here(&self, subject: Subject, index: usize) -> Here<'a> {
        let mut here = Here { entities: [None; 6], item: None };
        if let Some(whole) = self.job.whole() {
            here = here.with(Subject::Job, 0, whole);
        }
        match self.job.of(subject).and_then(|entities| entities.get(index)) {
            Some(entity) => here.with(subject, index, entity),
            None => here,
        }
    }

    /// Whether `condition` holds of the subjects at hand.
    pub fn truth(&self, condition: &Condition, here: &Here<'a>) -> Truth {
        match condition {
            Condition::All(parts) => all(parts.iter().map(|part| self.truth(part, here))),
            Condition::Any(parts) => any(parts.iter().map(|part| self.truth(part, here))),
            Condition::Not(inner) => self.truth(inner, here).not(),
            Condition::Each(q) => match self.elements(q.of, here) {
                Some(elements) => all(elements.map(|inner| self.truth(&q.meets, &inner))),
                None => Truth::Unknown,
            },
            Condition::Some(q) => match self.elements(q.of, here) {
                Some(elements) => any(elements.map(|inner| self.truth(&q.meets, &inner))),
                None => Truth::Unknown,
            },
            Condition::Leaf(leaf) => self.leaf(leaf, here),
        }
    }

    /// The elements of a collection, each at hand in turn; `None` where the collection is not recorded.
    pub(super) fn elements<'h>(
        &self,
        of: Collection,
        here: &'h Here<'a>,
    ) -> Option<impl Iterator<Item = Here<'a>> + use<'a, 'h>> {
        let (subjects, words) = match of {
            Collection::Subjects(subject) => (Some((subject, self.job.of(subject)?)), None),
            Collection::Words(key) => match here.entity(key.subject)?.1.facts.get(key)? {
                Value::Words(words) => (None, Some((key, words))),
                _ => return None,
            },
        };
        let by_subject = subjects.into_iter().flat_map(move |(subject, entities)| {
            entities.iter().enumerate().map(move |(index, entity)| here.with(subject, index, entity))
        });
        let by_word = words.into_iter().flat_map(move |(list, words)| {
            words.iter().enumerate().map(move |(index, word)| Here { item: Some(Item { list, index, word }), ..*here })
        });
        Some(by_subject.chain(by_word))
    }

    /// The truth of one comparison.
    pub(super) fn leaf(&self, leaf: &Leaf, here: &Here<'a>) -> Truth {
        if let Test::Recorded(wanted) = leaf.test {
            return Truth::from(self.is_recorded(leaf.term, here) == wanted);
        }
        if let Test::ReadWithin(span) = &leaf.test {
            return self.read_within(leaf.term, span, here);
        }
        let Some(left) = self.term(leaf.term, here) else { return Truth::Unknown };
        let with = |operand: &Operand, compare: fn(Side<'_>, Side<'_>) -> Truth| match self.operand(operand, left, here)
        {
            Some(right) => compare(left, right),
            None => Truth::Unknown,
        };
        match &leaf.test {
            Test::Is(operand) => with(operand, equals),
            Test::IsNot(operand) => with(operand, equals).not(),
            Test::OneOf(values) => {
                any(values.iter().map(|value| literal(value).map_or(Truth::Unknown, |v| equals(left, v))))
            }
            Test::NoneOf(values) => {
                any(values.iter().map(|value| literal(value).map_or(Truth::Unknown, |v| equals(left, v)))).not()
            }
            Test::AtLeast(operand) => with(operand, at_least),
            Test::AtMost(operand) => with(operand, |a, b| at_least(b, a)),
            Test::Above(operand) | Test::After(operand) => with(operand, above),
            Test::Below(operand) | Test::Before(operand) => with(operand, |a, b| above(b, a)),
            Test::Between(low, high) => with(low, at_least).and(with(high, |a, b| at_least(b, a))),
            Test::Recorded(_) | Test::ReadWithin(_) => Truth::Unknown,
        }
    }

    /// Whether a term has a value in the record, whatever its date.
    fn is_recorded(&self, term: Term, here: &Here<'a>) -> bool {
        let fact = |key: FactKey| here.entity(key.subject).and_then(|(_, entity)| entity.facts.get(key));
        let reading = |key: FactKey| match fact(key) {
            Some(Value::Measured(measured)) => Some(&**measured),
            _ => None,
        };
        match term {
            Term::Fact(key) => fact(key).is_some(),
            Term::ReadAt(key) => reading(key).is_some_and(|measured| measured.at.is_some()),
            Term::ReadWith(key) => reading(key).is_some_and(|measured| measured.instrument.is_some()),
            Term::ReadDoubt(key) => reading(key).is_some_and(|measured| measured.uncertainty.is_some()),
            Term::Figure(_) => self.term(term, here).is_some(),
            Term::Item => here.item.is_some(),
        }
    }

    /// The value of a term, if it is recorded and not dated after the judgement.
    pub(super) fn term<'s>(&'s self, term: Term, here: &Here<'a>) -> Option<Side<'s>> {
        match term {
            Term::Fact(key) => match here.entity(key.subject)?.1.facts.get(key)? {
                Value::Measured(measured) => self.believed(measured).map(|measured| Side::Number(measured.interval)),
                Value::Instant(instant) if *instant > self.at && self.is_event(key) => None,
                value => literal(value),
            },
            Term::ReadAt(key) => here.reading(key)?.at.filter(|at| *at <= self.at).map(Side::Instant),
            Term::ReadWith(key) => here.reading(key)?.instrument.as_deref().map(Side::Text),
            Term::ReadDoubt(key) => Some(Side::Number(Interval::point(here.reading(key)?.uncertainty?))),
            Term::Figure(id) => {
                let subject = id.spec()?.subject;
                literal(self.figure(id, subject, here.entity(subject)?.0)?.value.as_ref()?)
            }
            Term::Item => here.item.map(|item| Side::Text(item.word)),
        }
    }

    /// A reading dated after the judgement has not been taken yet.
    fn believed<'m>(&self, measured: &'m Measured) -> Option<&'m Measured> {
        match measured.at {
            Some(at) if at > self.at => None,
            _ => Some(measured),
        }
    }

    pub(super) fn is_event(&self, key: FactKey) -> bool {
        self.packs.catalogue().spec(key).is_some_and(|spec| matches!(spec.kind, Kind::Event))
    }

    /// The instant that freshness counts from, if it does not lie ahead.
    fn done_at(&self, term: Term, here: &Here<'a>) -> Option<Instant> {
        let at = match term {
            Term::Fact(key) => match here.entity(key.subject)?.1.facts.get(key)? {
                Value::Measured(measured) => measured.at?,
                Value::Instant(instant) => *instant,
                // Days are counted whole: from the start of the one to the start of the other.
                Value::Day(day) if *day <= self.at.day() => {
                    let start = day.start_at_offset_of(self.at);
                    return self.at.checked_add_seconds(start.seconds_since(self.at.start_of_day()));
                }
                _ => return None,
            },
            Term::ReadAt(key) => here.reading(key)?.at?,
            _ => return None,
        };
        (at <= self.at).then_some(at)
    }

    fn read_within(&self, term: Term, span: &Operand, here: &Here<'a>) -> Truth {
        let Some(done) = self.done_at(term, here) else { return Truth::Unknown };
        let age = Interval::point(self.at.seconds_since(done));
        match self.operand(span, Side::Number(age), here) {
            Some(Side::Number(span)) => age.at_most(span),
            _ => Truth::Unknown,
        }
    }

    /// The value of an operand to compare with `left`; `None` where part of it is not known or cannot be reckoned.
    pub(super) fn operand<'s>(&'s self, operand: &'s Operand, left: Side<'_>, here: &Here<'a>) -> Option<Side<'s>> {
        let base = match &operand.base {
            Base::Literal(value) => literal(value)?,
            Base::Limit(id) => Side::Number(Interval::point(self.limit_base(*id)?)),
            Base::Term(term) => self.term(*term, here)?,
            Base::Judgement => Side::Instant(self.at),
            Base::Today => Side::Instant(self.at.start_of_day()),
        };
        let scaled = match (operand.times, base) {
            (None, base) => base,
            (Some(factor), Side::Number(interval)) => {
                let factor = match factor {
                    Factor::Literal(factor) => factor,
                    Factor::Limit(id) => self.limit_base(id)?,
                };
                Side::Number(interval.checked_scale(factor)?)
            }
            _ => return None,
        };
        let offset = match operand.plus {
            None => None,
            Some(Offset::Literal(quantity)) => Some(quantity.base()),
            Some(Offset::Limit(id)) => Some(self.limit_base(id)?),
        };
        shifted(scaled, offset, left, self.at)
    }
}

/// Adds an offset, and brings moments to days where days are compared.
fn shifted<'s>(base: Side<'s>, offset: Option<Exact>, left: Side<'_>, at: Instant) -> Option<Side<'s>> {
    let moved = match (base, offset) {
        (base, None) => base,
        (Side::Number(interval), Some(offset)) => Side::Number(interval.checked_add(Interval::point(offset))?),
        (Side::Instant(instant), Some(offset)) => Side::Instant(instant.checked_add_seconds(offset)?),
        (Side::Day(day), Some(offset)) => Side::Day(day.start_at_offset_of(at).checked_add_seconds(offset)?.day()),
        _ => return None,
    };
    Some(match (moved, left) {
        (Side::Instant(instant), Side::Day(_)) => Side::Day(instant.at_offset_of(at).day()),
        (moved, _) => moved,
    })
}

/// A value as a side of a comparison; lists and logs have none.
pub(super) fn literal(value: &Value) -> Option<Side<'_>> {
    match value {
        Value::Text(text) => Some(Side::Text(text)),
        Value::Flag(flag) => Some(Side::Flag(*flag)),
        Value::Measured(measured) => Some(Side::Number(measured.interval)),
        Value::Instant(instant) => Some(Side::Instant(*instant)),
        Value::Day(day) => Some(Side::Day(*day)),
        Value::Words(_) | Value::Log(_) => None,
    }
}

/// Kleene's conjunction, left as soon as it is false.
fn all(parts: impl Iterator<Item = Truth>) -> Truth {
    let mut truth = Truth::True;
    for part in parts {
        truth = truth.and(part);
        if truth == Truth::False {
            break;
        }
    }
    truth
}

/// Kleene's disjunction, left as soon as it is true.
fn any(parts: impl Iterator<Item = Truth>) -> Truth {
    let mut truth = Truth::False;
    for part in parts {
        truth = truth.or(part);
        if truth == Truth::True {
            break;
        }
    }
    truth
}

fn equals(left: Side<'_>, right: Side<'_>) -> Truth {
    match (left, right) {
        (Side::Number(a), Side::Number(b)) => a.equals(b),
        (Side::Text(a), Side::Text(b)) => Truth::from(a == b),
        (Side::Flag(a), Side::Flag(b)) => Truth::from(a == b),
        (Side::Day(a), Side::Day(b)) => Truth::from(a == b),
        (Side::Instant(a), Side::Instant(b)) => Truth::from(a == b),
        _ => Truth::Unknown,
    }
}

fn at_least(left: Side<'_>, right: Side<'_>) -> Truth {
    match (left, right) {
        (Side::Number(a), Side::Number(b)) => a.at_least(b),
        (Side::Day(a), Side::Day(b)) => Truth::from(a >= b),
        (Side::Instant(a), Side::Instant(b)) => Truth::from(a >= b),
        _ => Truth::Unknown,
    }
}

fn above(left: Side<'_>, right: Side<'_>) -> Truth {
    match (left, right) {
        (Side::Number(a), Side::Number(b)) => a.above(b),
        (Side::Day(a), Side::Day(b)) => Truth::from(a > b),
        (Side::Instant(a), Side::Instant(b)) => Truth::from(a > b),
        _ => Truth::Unknown,
    }
}
