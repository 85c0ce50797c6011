//! The truth of a condition, by strong Kleene logic over intervals.
//!
//! Must not know rules, findings or words.

mod compare;

pub use compare::Side;

pub(super) use compare::literal;
use compare::{above, at_least, at_most, equals};

use super::Scene;
use crate::pack::sides::{Base, Factor, Offset};
use crate::pack::{Collection, Condition, Leaf, Operand, Term, Test};
use crate::record::{Entity, FactKey, FactKind, Measured, Value};
use crate::units::{Exact, Instant, Interval, Truth};
use crate::vocabulary::{PerSubject, Subject};

/// Seconds in a day of 24 hours.
const DAY: Exact = Exact::from_int(86_400);

/// The current subjects: of each kind at most one, and a word of a list.
#[derive(Debug, Clone, Copy)]
pub struct Here<'a> {
    entities: PerSubject<Option<(usize, &'a Entity)>>,
    item: Option<ListWord<'a>>,
}

/// A word of a list fact.
#[derive(Debug, Clone, Copy)]
pub struct ListWord<'a> {
    /// The list.
    pub list: FactKey,
    /// The word's position in it.
    pub index: usize,
    /// The word.
    pub word: &'a str,
}

impl<'a> Here<'a> {
    /// The current subject of a kind, with its position.
    pub fn entity(&self, subject: Subject) -> Option<(usize, &'a Entity)> {
        *self.entities.get(subject)
    }

    /// The current word.
    pub const fn item(&self) -> Option<ListWord<'a>> {
        self.item
    }

    /// The reading of a fact of the current subjects.
    fn reading(&self, key: FactKey) -> Option<&'a Measured> {
        self.entity(key.subject)?.1.facts.measured(key)
    }

    /// Makes a subject the current one. In place: this lies on the path of every rule, and a moved copy costs a stall.
    pub(super) fn put(&mut self, subject: Subject, index: usize, entity: &'a Entity) {
        *self.entities.get_mut(subject) = Some((index, entity));
    }
}

impl<'a> Scene<'a> {
    /// The job and one subject of it; `None` where the record does not have the subject's list.
    pub fn here(&self, subject: Subject, index: Option<usize>) -> Here<'a> {
        let mut here = Here { entities: PerSubject::default(), item: None };
        if let Some(whole) = self.job.whole() {
            here.put(Subject::Job, 0, whole);
        }
        let listed = |index: usize| Some((index, self.job.of(subject)?.get(index)?));
        if let Some((index, entity)) = index.and_then(listed) {
            here.put(subject, index, entity);
        }
        here
    }

    /// Whether `condition` holds of the current subjects.
    pub fn truth(&self, condition: &Condition, here: &Here<'a>) -> Truth {
        match condition {
            Condition::All(parts) => all(parts.iter().map(|part| self.truth(part, here))),
            Condition::Any(parts) => any(parts.iter().map(|part| self.truth(part, here))),
            Condition::Not(inner) => self.truth(inner, here).not(),
            Condition::Each(q) => {
                let mut truth = Truth::True;
                let gone_through = self.visit(q.of, here, |inner| {
                    truth = truth.and(self.truth(&q.meets, inner));
                    truth != Truth::False
                });
                gone_through.map_or(Truth::Unknown, |()| truth)
            }
            Condition::Some(q) => {
                let mut truth = Truth::False;
                let gone_through = self.visit(q.of, here, |inner| {
                    truth = truth.or(self.truth(&q.meets, inner));
                    truth != Truth::True
                });
                gone_through.map_or(Truth::Unknown, |()| truth)
            }
            Condition::Leaf(leaf) => self.leaf(leaf, here),
        }
    }

    /// Visits the elements of a collection, each the current one in turn, as long as `visit` asks for more; `None` where the
    /// collection is not recorded.
    pub(super) fn visit(
        &self,
        of: Collection,
        here: &Here<'a>,
        mut visit: impl FnMut(&Here<'a>) -> bool,
    ) -> Option<()> {
        match of {
            Collection::Subjects(subject) => {
                for (index, entity) in self.job.of(subject)?.iter().enumerate() {
                    let mut inner = *here;
                    inner.put(subject, index, entity);
                    if !visit(&inner) {
                        break;
                    }
                }
            }
            Collection::Words(list) => {
                let Value::Words(words) = here.entity(list.subject)?.1.facts.get(list)? else { return None };
                for (index, word) in words.iter().enumerate() {
                    if !visit(&Here { item: Some(ListWord { list, index, word }), ..*here }) {
                        break;
                    }
                }
            }
        }
        Some(())
    }

    /// The truth of one comparison.
    pub(super) fn leaf(&self, leaf: &Leaf, here: &Here<'a>) -> Truth {
        let is_one_of = |values: &[Value]| {
            self.of_term(leaf.term, here, |left| {
                any(values.iter().map(|value| literal(value).map_or(Truth::Unknown, |value| equals(left, &value))))
            })
        };
        match &leaf.test {
            Test::Recorded(wanted) => Truth::from(self.is_recorded(leaf.term, here) == *wanted),
            Test::ReadWithin(span) => self.read_within(leaf.term, span, here),
            Test::Is(operand) => self.is_so(leaf.term, operand, here, equals),
            Test::IsNot(operand) => self.is_so(leaf.term, operand, here, equals).not(),
            Test::OneOf(values) => is_one_of(values),
            Test::NoneOf(values) => is_one_of(values).not(),
            Test::AtLeast(operand) => self.is_so(leaf.term, operand, here, at_least),
            Test::AtMost(operand) => self.is_so(leaf.term, operand, here, at_most),
            Test::Above(operand) | Test::After(operand) => self.is_so(leaf.term, operand, here, above),
            Test::Below(operand) | Test::Before(operand) => self.is_so(leaf.term, operand, here, |a, b| above(b, a)),
            Test::Between(bounds) => self.of_term(leaf.term, here, |left| {
                let (low, high) = &**bounds;
                self.compare(low, left, here, at_least).and(self.compare(high, left, here, at_most))
            }),
        }
    }

    /// What is asked of the value of a term; unknown where it has none. Sides are borrowed where they stand, here and
    /// below: copying them costs more than comparing them.
    fn of_term(&self, term: Term, here: &Here<'a>, ask: impl FnOnce(&Side<'_>) -> Truth) -> Truth {
        self.term(term, here).as_ref().map_or(Truth::Unknown, ask)
    }

    /// Compares the value of a term with an operand.
    fn is_so(
        &self,
        term: Term,
        operand: &Operand,
        here: &Here<'a>,
        compare: impl FnOnce(&Side<'_>, &Side<'_>) -> Truth,
    ) -> Truth {
        self.of_term(term, here, |left| self.compare(operand, left, here, compare))
    }

    fn compare(
        &self,
        operand: &Operand,
        left: &Side<'_>,
        here: &Here<'a>,
        compare: impl FnOnce(&Side<'_>, &Side<'_>) -> Truth,
    ) -> Truth {
        self.operand(operand, left, here, |right| compare(left, right)).unwrap_or(Truth::Unknown)
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
                Value::Measured(measured) => self.believed(measured).map(|measured| Side::Number(&measured.interval)),
                Value::Instant(instant) if *instant > self.at && self.is_event(key) => None,
                value => literal(value),
            },
            Term::ReadAt(key) => here.reading(key)?.at.filter(|at| *at <= self.at).map(Side::Instant),
            Term::ReadWith(key) => here.reading(key)?.instrument.as_deref().map(Side::Text),
            // Only whether it is recorded can be asked.
            Term::ReadDoubt(_) => None,
            Term::Figure(id) => {
                let subject = id.spec()?.subject;
                literal(self.figure(id, subject, here.entity(subject)?.0)?.as_ref().ok()?)
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
        self.packs.catalogue().spec(key).is_some_and(|spec| matches!(spec.kind, FactKind::Event))
    }

    /// The instant that freshness counts from, if it does not lie ahead of the judgement.
    pub(super) fn done_at(&self, term: Term, here: &Here<'a>) -> Option<Instant> {
        let at = match term {
            Term::Fact(key) => match here.entity(key.subject)?.1.facts.get(key)? {
                Value::Measured(measured) => measured.at?,
                Value::Instant(instant) => *instant,
                // Days are counted whole: from the start of the one to the start of the other.
                // However long the days were by the clock, each counts 24 hours.
                Value::Day(day) if *day <= self.at.day_in(&self.zone) => {
                    let days = Exact::from_int(day.days_since(self.day));
                    return self.start.checked_add_seconds(days.checked_mul(DAY)?);
                }
                _ => return None,
            },
            Term::ReadAt(key) => here.reading(key)?.at?,
            _ => return None,
        };
        (at <= self.at).then_some(at)
    }

    /// How old a reading, event or day will be at the start, in seconds; `None` where there is no instant or it lies
    /// ahead of the judgement.
    pub fn age(&self, term: Term, here: &Here<'a>) -> Option<Exact> {
        Some(self.start.seconds_since(self.done_at(term, here)?))
    }

    fn read_within(&self, term: Term, span: &Operand, here: &Here<'a>) -> Truth {
        let Some(age) = self.age(term, here) else { return Truth::Unknown };
        let age = Interval::point(age);
        self.compare(span, &Side::Number(&age), here, at_most)
    }

    /// What `then` makes of the value of an operand to compare with `left`; `None` where part of it is not known or
    /// cannot be computed.
    pub(super) fn operand<R>(
        &self,
        operand: &Operand,
        left: &Side<'_>,
        here: &Here<'a>,
        then: impl FnOnce(&Side<'_>) -> R,
    ) -> Option<R> {
        let base = match &operand.base {
            Base::Literal(value) => literal(value),
            Base::Limit(id) => self.limit_point(*id).map(Side::Number),
            Base::Term(term) => self.term(*term, here),
            Base::Judgement => Some(Side::Instant(self.at)),
            Base::Start => Some(Side::Instant(self.start)),
            Base::Today => Some(Side::Instant(self.day.start_in(&self.zone))),
        };
        let base = base.as_ref()?;
        let plain = operand.factor().is_none() && operand.offset().is_none();
        match base {
            Side::Instant(_) | Side::Day(_) => Some(then(&self.moment(operand, base, left)?)),
            Side::Number(interval) if !plain => Some(then(&Side::Number(&self.adjusted(operand, interval)?))),
            _ if plain => Some(then(base)),
            _ => None,
        }
    }

    /// A number times the factor plus the offset of an operand.
    fn adjusted(&self, operand: &Operand, interval: &Interval) -> Option<Interval> {
        let scaled = match operand.factor() {
            None => *interval,
            Some(Factor::Literal(factor)) => interval.checked_scale(factor)?,
            Some(Factor::Limit(id)) => interval.checked_scale(self.limit_base(id)?)?,
        };
        match operand.offset() {
            None => Some(scaled),
            Some(plus) => scaled.checked_add(Interval::point(self.offset(plus)?)),
        }
    }

    /// A moment plus the offset of an operand, brought to a day where days are compared.
    fn moment<'s>(&self, operand: &Operand, base: &Side<'s>, left: &Side<'_>) -> Option<Side<'s>> {
        if operand.factor().is_some() {
            return None;
        }
        let moved = match (base, operand.offset()) {
            (base, None) => *base,
            // From the start of a day whole days are those of the calendar, and only the rest is counted by the clock.
            (Side::Instant(_), Some(plus)) if matches!(operand.base, Base::Today) => {
                let (days, rest) = whole_days(self.offset(plus)?)?;
                let start = self.day.checked_add_days(days)?.start_in(&self.zone);
                Side::Instant(start.checked_add_seconds(rest)?.in_zone(&self.zone))
            }
            // A recorded instant that a day is compared with counts as its day from the beginning.
            (Side::Instant(instant), Some(plus)) if matches!((left, &operand.base), (Side::Day(_), Base::Term(_))) => {
                let (days, _) = whole_days(self.offset(plus)?)?;
                Side::Day(instant.day_in(&self.zone).checked_add_days(days)?)
            }
            (Side::Instant(instant), Some(plus)) => {
                Side::Instant(instant.checked_add_seconds(self.offset(plus)?)?.in_zone(&self.zone))
            }
            (Side::Day(day), Some(plus)) => Side::Day(day.checked_add_days(whole_days(self.offset(plus)?)?.0)?),
            _ => return None,
        };
        Some(match (moved, left) {
            (Side::Instant(instant), Side::Day(_)) => Side::Day(instant.day_in(&self.zone)),
            (moved, _) => moved,
        })
    }

    /// An offset in base units; `None` where its limit is not in force.
    pub(super) fn offset(&self, offset: Offset) -> Option<Exact> {
        match offset {
            Offset::Literal(quantity) => Some(quantity.base()),
            Offset::Limit(id) => self.limit_base(id),
            Offset::LessLimit(id) => self.limit_base(id).map(Exact::neg),
        }
    }
}

/// A span in seconds as whole days, rounded down, and the seconds that are left.
fn whole_days(seconds: Exact) -> Option<(i64, Exact)> {
    let days = seconds.checked_div(DAY)?;
    let days = i64::try_from(days.numer().div_euclid(days.denom())).ok()?;
    Some((days, seconds.checked_sub(Exact::from_int(days).checked_mul(DAY)?)?))
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
