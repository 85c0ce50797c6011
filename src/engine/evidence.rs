//! Evidence: the comparisons that decided a finding, as data.
//!
//! It is gathered from record, packs and figures where they lie, and asks for the truth of a part only where that of the
//! whole leaves it open. Signed files hold it, permits and judging again compare it; so a word of a report can be changed
//! without a signed file noticing. This module must not know words or files.

mod place;

use super::evaluate::{Here, Side};
use super::{Finding, Scene};
use crate::document::Path;
use crate::figures::{Lack, Obstacle};
use crate::pack::sides::{Base, Factor, Offset};
use crate::pack::test::{Operands, WasAsked};
use crate::pack::{Collection, Condition, Leaf, LimitId, Operand, Rule, Term, Test};
use crate::record::{FactKey, Measured, Value};
use crate::units::{Instant, Quantity, Truth};
use crate::vocabulary::{Outcome, Subject};

pub use place::FactPlace;

/// What decided a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Decided<'s> {
    /// What makes the rule apply, or leaves open whether it does; empty where it always applies.
    pub applies: Vec<Comparison<'s>>,
    /// What meets the demand, breaks it or leaves it open.
    pub demands: Vec<Comparison<'s>>,
}

/// One comparison: a fact, what was asked of it, and what came out.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison<'s> {
    /// Where the fact stands, or should stand, in the record; a figure stands under `figure` of its subject.
    pub fact: FactPlace<'s>,
    /// What is known of it.
    pub value: FactValue<'s>,
    /// What was asked.
    pub asked: WasAsked,
    /// What it was compared with.
    pub bounds: Vec<ComparedWith<'s>>,
    /// What came out.
    pub truth: Truth,
}

/// What a fact was compared with: one of the bounds of a comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparedWith<'s> {
    /// Its value at the judgement, factor and offset counted in.
    pub value: FactValue<'s>,
    /// What it was made of; empty where it is written in the rule.
    pub origins: Vec<BoundOrigin<'s>>,
}

/// What is known of a value.
#[derive(Debug, Clone, PartialEq)]
pub enum FactValue<'s> {
    /// A value of the record, of a rule, or a figure.
    Is(&'s Value),
    /// A word of a list, or the mark of an instrument.
    Word(&'s str),
    /// A value that stands nowhere as it is.
    Made(Value),
    /// A number worked out for the comparison: an interval shown in a unit.
    Number {
        /// The lower end.
        low: Quantity,
        /// The upper end.
        high: Quantity,
    },
    /// The record does not say.
    NotRecorded,
    /// It is dated after the judgement.
    Ahead(Instant),
    /// It could not be computed, for this reason.
    Obstacle(Obstacle),
}

/// What a bound was made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BoundOrigin<'s> {
    /// A named limit.
    Limit(LimitId),
    /// Another fact or figure, by its place.
    Fact(FactPlace<'s>),
    /// The instant of the judgement.
    Judgement,
    /// The start of the fill, or the judgement where that is later.
    Start,
    /// The start of its day.
    Today,
}

impl Scene<'_> {
    /// What decided a finding: all comparisons that were met where it is met, those that were not where it is not.
    pub fn evidence(&self, finding: &Finding) -> Decided<'_> {
        // What is broken applies; what is met may leave open whether it does.
        let truth = (finding.outcome == Outcome::Broken).then_some(Truth::True);
        let applies = self.decided(finding, |rule| Some((rule.asks.applies.as_ref()?, truth)));
        Decided { applies: applies.unwrap_or_default(), demands: self.decided_demands(finding) }
    }

    /// What met the demand of a finding, broke it or leaves it open.
    pub fn decided_demands(&self, finding: &Finding) -> Vec<Comparison<'_>> {
        let truth = match finding.outcome {
            Outcome::Met => Some(Truth::True),
            Outcome::Broken => Some(Truth::False),
            Outcome::NotShown | Outcome::DoesNotApply => None,
        };
        self.decided(finding, |rule| Some((&rule.asks.demands, truth))).unwrap_or_else(|| {
            // Of a list that is not recorded nothing is known, and nothing else is asked.
            let list = self.rule(finding).map(|rule| FactPlace::list(rule.covers.record_key()));
            list.into_iter().map(|list| absent(list, WasAsked::Test(Test::Recorded(true).row()))).collect()
        })
    }

    /// What decided a condition of the rule of a finding, of which the truth is given where it is known; nothing where the
    /// record does not have the subject, or the rule no such condition.
    fn decided<'s>(
        &'s self,
        finding: &Finding,
        of: impl FnOnce(&'s Rule) -> Option<(&'s Condition, Option<Truth>)>,
    ) -> Option<Vec<Comparison<'s>>> {
        let (rule, entity) = (self.rule(finding)?, finding.entity?);
        let here = self.here(rule.covers, Some(entity));
        let (condition, truth) = of(rule)?;
        let mut gathering = Gathering { scene: self, found: Vec::new() };
        gathering.whole(condition, &here, truth.unwrap_or_else(|| self.truth(condition, &here)));
        Some(gathering.found)
    }

    /// The place of the subject of a finding in the record: the root for the job itself, the list where it is missing.
    pub fn place(&self, finding: &Finding) -> Path {
        match (self.entity(finding), self.rule(finding).and_then(|rule| rule.covers.record_key())) {
            (Some(entity), _) => entity.path.clone(),
            (None, Some(key)) => Path::root().child(key),
            (None, None) => Path::root(),
        }
    }
}

/// Comparisons in the gathering.
struct Gathering<'s, 'a> {
    scene: &'s Scene<'a>,
    found: Vec<Comparison<'s>>,
}

impl<'s, 'a> Gathering<'s, 'a> {
    /// What made a condition come out as it did.
    fn whole(&mut self, condition: &'s Condition, here: &Here<'a>, truth: Truth) {
        match condition {
            Condition::All(parts) => parts.iter().for_each(|part| self.part(part, here, (truth, true))),
            Condition::Any(parts) => parts.iter().for_each(|part| self.part(part, here, (truth, false))),
            Condition::Not(inner) => self.whole(inner, here, truth.not()),
            Condition::Each(of) | Condition::Some(of) => {
                let every = matches!(condition, Condition::Each(_));
                let mut is_empty = true;
                let recorded = self.scene.visit(of.of, here, |inner| {
                    is_empty = false;
                    self.part(&of.meets, inner, (truth, every));
                    true
                });
                if is_empty {
                    let asked = if every { WasAsked::Each } else { WasAsked::Some };
                    let fact = self.collection(of.of, here);
                    self.tell(if recorded.is_none() {
                        absent(fact, asked)
                    } else {
                        let value = FactValue::Made(Value::Words(Vec::new()));
                        Comparison { fact, value, asked, bounds: Vec::new(), truth }
                    });
                }
            }
            Condition::Leaf(leaf) => {
                let comparison = self.comparison(leaf, here, truth);
                self.tell(comparison);
            }
        }
    }

    /// A part of a whole that holds where all of its parts do, or where any does.
    ///
    /// A whole that holds because all parts do, or fails because none does, is decided by each; otherwise by the parts that
    /// stand in the way, or that suffice.
    fn part(&mut self, part: &'s Condition, here: &Here<'a>, (whole, all): (Truth, bool)) {
        let truth = match (whole, all) {
            (Truth::True, true) | (Truth::False, false) => whole,
            _ => self.scene.truth(part, here),
        };
        if (whole == Truth::True) == all || (truth == Truth::True) != all {
            self.whole(part, here, truth);
        }
    }

    /// Takes a comparison in, once.
    fn tell(&mut self, comparison: Comparison<'s>) {
        if !self.found.contains(&comparison) {
            self.found.push(comparison);
        }
    }

    fn comparison(&self, leaf: &'s Leaf, here: &Here<'a>, truth: Truth) -> Comparison<'s> {
        let (fact, value) = (self.place(leaf.term, here), self.value(leaf.term, here));
        // Of a reading whose age is asked, its instant.
        let row = leaf.test.row();
        let (fact, value) = match value {
            FactValue::Is(Value::Measured(measured)) if row.asks_age() => {
                (fact.member("at"), measured.at.map_or(FactValue::NotRecorded, made))
            }
            value => (fact, value),
        };
        let literal = |value| ComparedWith { value, origins: Vec::new() };
        let left = || self.scene.term(leaf.term, here);
        let bounds = match leaf.test.taken() {
            Operands::Flag(wanted) => vec![literal(FactValue::Made(Value::Flag(wanted)))],
            Operands::Values(values) => values.iter().map(|value| literal(FactValue::Is(value))).collect(),
            Operands::Span(span) => vec![self.bound(span, None, here)],
            Operands::One(of) => vec![self.bound(of, left().as_ref(), here)],
            Operands::Two(low, high) => {
                let left = left();
                [low, high].map(|of| self.bound(of, left.as_ref(), here)).into()
            }
        };
        Comparison { fact, value, asked: WasAsked::Test(row), bounds, truth }
    }

    /// A bound, brought to the sort of what is compared with it where that is known.
    fn bound(&self, of: &'s Operand, left: Option<&Side<'_>>, here: &Here<'a>) -> ComparedWith<'s> {
        let value = match of.base {
            Base::Term(term) => self.value(term, here),
            _ => FactValue::NotRecorded,
        };
        let unit = match (&of.base, &value) {
            (_, FactValue::Is(Value::Measured(measured))) | (Base::Literal(Value::Measured(measured)), _) => {
                Some(measured.shown.unit())
            }
            (Base::Limit(id), _) => self.scene.limit(*id).map(Quantity::unit),
            _ => None,
        };
        let number = |low, high| {
            let ends = unit.and_then(|unit| Some((Quantity::from_base(low, unit)?, Quantity::from_base(high, unit)?)));
            ends.map_or(FactValue::Obstacle(Obstacle::OutOfRange), |(low, high)| FactValue::Number { low, high })
        };
        // Text and flags are compared as they stand.
        let compared = self.scene.operand(of, left.unwrap_or(&Side::Flag(true)), here, |side| match *side {
            Side::Number(interval) => Some(number(interval.lo(), interval.hi())),
            Side::Instant(at) => Some(made(at)),
            Side::Day(day) => Some(FactValue::Made(Value::Day(day))),
            Side::Text(_) | Side::Flag(_) => None,
        });
        let value = match (compared, &of.base) {
            (Some(Some(compared)), _) => compared,
            (Some(None), Base::Literal(literal)) => FactValue::Is(literal),
            (Some(None) | None, _) => value,
        };
        ComparedWith { value, origins: self.origins(of, here) }
    }

    fn origins(&self, of: &Operand, here: &Here<'a>) -> Vec<BoundOrigin<'s>> {
        let base = match of.base {
            Base::Literal(_) => None,
            Base::Limit(id) => Some(BoundOrigin::Limit(id)),
            Base::Term(term) => Some(BoundOrigin::Fact(self.place(term, here))),
            Base::Judgement => Some(BoundOrigin::Judgement),
            Base::Start => Some(BoundOrigin::Start),
            Base::Today => Some(BoundOrigin::Today),
        };
        let factor = match of.factor() {
            Some(Factor::Limit(id)) => Some(BoundOrigin::Limit(id)),
            _ => None,
        };
        let offset = match of.offset() {
            Some(Offset::Limit(id) | Offset::LessLimit(id)) => Some(BoundOrigin::Limit(id)),
            _ => None,
        };
        [base, factor, offset].into_iter().flatten().collect()
    }

    /// What is known of a term for the current subjects.
    fn value(&self, term: Term, here: &Here<'a>) -> FactValue<'s> {
        let found = match term {
            Term::Fact(key) => {
                here.entity(key.subject).and_then(|(_, of)| of.facts.get(key)).map(|value| match value {
                    Value::Measured(measured) => self.unless_ahead(measured.at, FactValue::Is(value)),
                    Value::Instant(at) if self.scene.is_event(key) => {
                        self.unless_ahead(Some(*at), FactValue::Is(value))
                    }
                    _ => FactValue::Is(value),
                })
            }
            Term::ReadAt(key) => {
                reading(key, here).and_then(|measured| measured.at).map(|at| self.unless_ahead(Some(at), made(at)))
            }
            Term::ReadWith(key) => {
                reading(key, here).and_then(|measured| measured.instrument.as_deref()).map(FactValue::Word)
            }
            Term::ReadDoubt(key) => reading(key, here).and_then(doubt),
            Term::Figure(id) => {
                let spec = id.spec();
                let figure = spec.and_then(|spec| {
                    here.entity(spec.subject).and_then(|(index, _)| self.scene.figure(id, spec.subject, index))
                });
                match figure {
                    Some(Ok(value)) => Some(FactValue::Is(value)),
                    Some(Err(Lack::Obstacle { obstacle, .. })) => Some(FactValue::Obstacle(obstacle.clone())),
                    Some(Err(Lack::Missing(_))) | None => None,
                }
            }
            Term::Item => here.item().map(|item| FactValue::Word(item.word)),
        };
        found.unwrap_or(FactValue::NotRecorded)
    }

    fn unless_ahead(&self, at: Option<Instant>, value: FactValue<'s>) -> FactValue<'s> {
        at.filter(|at| *at > self.scene.at).map_or(value, FactValue::Ahead)
    }

    /// Where a term stands, or should stand.
    fn place(&self, term: Term, here: &Here<'a>) -> FactPlace<'s> {
        let of_reading = |key: FactKey, member| match here.entity(key.subject) {
            Some(_) => self.fact(key, here).member(member),
            None => FactPlace::RECORD,
        };
        match term {
            Term::Fact(key) => self.fact(key, here),
            Term::ReadAt(key) => of_reading(key, "at"),
            Term::ReadWith(key) => of_reading(key, self.scene.instrument_word(key)),
            Term::ReadDoubt(key) => of_reading(key, "uncertainty"),
            Term::Figure(id) => {
                id.spec().map_or(FactPlace::RECORD, |spec| subject(spec.subject, here).figure(spec.name))
            }
            Term::Item => here.item().map_or(FactPlace::RECORD, |item| self.fact(item.list, here).item(item.index)),
        }
    }

    fn fact(&self, key: FactKey, here: &Here<'a>) -> FactPlace<'s> {
        let spec = self.scene.packs().catalogue().spec(key);
        subject(key.subject, here).fact(spec.map_or("", |spec| &spec.name))
    }

    fn collection(&self, of: Collection, here: &Here<'a>) -> FactPlace<'s> {
        match of {
            Collection::Subjects(subject) => FactPlace::list(subject.record_key()),
            Collection::Words(key) if here.entity(key.subject).is_some() => self.fact(key, here),
            Collection::Words(_) => FactPlace::RECORD,
        }
    }
}

/// The current subject of a kind, or the list where it should stand.
fn subject<'a>(subject: Subject, here: &Here<'a>) -> FactPlace<'a> {
    match here.entity(subject) {
        Some((_, entity)) => FactPlace::subject(&entity.path),
        None => FactPlace::list(subject.record_key()),
    }
}

fn reading<'a>(key: FactKey, here: &Here<'a>) -> Option<&'a Measured> {
    here.entity(key.subject)?.1.facts.measured(key)
}

/// The doubt that counts for a reading, in its unit.
fn doubt(measured: &Measured) -> Option<FactValue<'static>> {
    let doubt = Quantity::from_base(measured.uncertainty?, measured.shown.unit().of_difference())?;
    Some(FactValue::Made(Value::Measured(Box::new(Measured::exact(doubt)))))
}

const fn made(at: Instant) -> FactValue<'static> {
    FactValue::Made(Value::Instant(at))
}

const fn absent(fact: FactPlace<'_>, asked: WasAsked) -> Comparison<'_> {
    Comparison { fact, value: FactValue::NotRecorded, asked, bounds: Vec::new(), truth: Truth::Unknown }
}
