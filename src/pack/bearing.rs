//! Which of two values of a fact lets less pass, by every use that the holding rules make of it.
//!
//! Conditions are monotone in their comparisons, so it is enough to see of each use whether the one value in place of the
//! other makes its comparison truer, and whether a truer comparison lets more pass. Closed lists are looked up; of what has
//! an order the tests say which way a greater value moves them, and the figures which way they go with it; of a list the
//! quantifiers say which way more words move them. Where one use goes this way and another that way, or a figure may go
//! either way, nothing is said. What is dated has no bearing here: an instant that is still to come is no evidence, and a
//! later one may be. This module must not know a record.

use std::cmp::Ordering;

use super::condition::{Collection, Condition, Leaf};
use super::sides::{Base, Factor, Operand, Term};
use super::test::{Effect, Row};
use super::{Limit, OnFault, PackSet, Safer, Test};
use crate::figures::{Direction, FigureId};
use crate::record::shop::InForce;
use crate::record::{Catalogue, FactKey, Value};
use crate::units::Interval;
use crate::vocabulary::names_one_thing;

impl InForce for PackSet {
    fn catalogue(&self) -> &Catalogue {
        self.catalogue()
    }

    fn less_safe(&self, fact: FactKey, one: &Value, other: &Value) -> Option<Ordering> {
        if is_same(one, other) {
            return Some(Ordering::Equal);
        }
        // The papers of an instrument bear on every reading that names it, which no condition says.
        let of_papers = fact.subject.is_instrument();
        if of_papers || matches!(one, Value::Instant(_) | Value::Log(_)) {
            return None;
        }
        let mut uses = FactUses { set: self, fact, one, other, found: Leanings::default() };
        let rules = self.packs().iter().flat_map(|pack| &pack.rules);
        for rule in rules.filter(|rule| rule.on_fault == OnFault::Hold) {
            if let Some(applies) = &rule.asks.applies {
                uses.condition(applies, Effect::Hurts);
            }
            uses.condition(&rule.asks.demands, Effect::Helps);
        }
        match uses.found {
            Leanings { either: true, .. } | Leanings { less: true, more: true, .. } => None,
            Leanings { less: true, .. } => Some(Ordering::Less),
            Leanings { more: true, .. } => Some(Ordering::Greater),
            Leanings { .. } => Some(Ordering::Equal),
        }
    }
}

impl PackSet {
    /// The side on which a number of a fact is safer, by all holding rules that compare the fact itself with something; what
    /// is compared with it has a side of its own. `None` where they differ, and where there is no such rule.
    pub fn safer_side(&self, fact: FactKey) -> Option<Safer> {
        let mut found = Leanings::default();
        let mut note = |leaf: &Leaf, truer: Effect| {
            let row = leaf.test.row();
            if leaf.term != Term::Fact(fact) || row.asks_age() {
                return;
            }
            match if truer == Effect::Helps { row.greater_term() } else { row.greater_term().turned() } {
                Effect::Nothing => {}
                Effect::Helps => found.more = true,
                Effect::Hurts => found.less = true,
                Effect::Either => found.either = true,
            }
        };
        let rules = self.packs().iter().flat_map(|pack| &pack.rules);
        for rule in rules.filter(|rule| rule.on_fault == OnFault::Hold) {
            if let Some(applies) = &rule.asks.applies {
                applies.weighed(Effect::Hurts, &mut note);
            }
            rule.asks.demands.weighed(Effect::Helps, &mut note);
        }
        match found {
            Leanings { either: true, .. } | Leanings { less: true, more: true, .. } => None,
            Leanings { more: true, .. } => Some(Safer::Higher),
            Leanings { less: true, .. } => Some(Safer::Lower),
            Leanings { .. } => None,
        }
    }
}

/// What the first of two values in place of the second does, over all uses.
#[derive(Default)]
struct Leanings {
    /// Some use lets less pass.
    less: bool,
    /// Some use lets more pass.
    more: bool,
    /// Some use may go either way.
    either: bool,
}

struct FactUses<'a> {
    set: &'a PackSet,
    fact: FactKey,
    one: &'a Value,
    other: &'a Value,
    found: Leanings,
}

impl FactUses<'_> {
    /// Goes through the comparisons of a condition; `truer` is what it does to the rule's passing when it gets truer.
    fn condition(&mut self, condition: &Condition, truer: Effect) {
        condition.weighed(truer, &mut |leaf, truer| self.leaf(leaf, truer));
        condition.collections(truer, &mut |of, more| {
            if of == Collection::Words(self.fact) {
                self.note(self.moved(more), Effect::Helps);
            }
        });
    }

    fn leaf(&mut self, leaf: &Leaf, truer: Effect) {
        let row = leaf.test.row();
        match leaf.term {
            Term::Fact(key) if key == self.fact && self.on_one_side(&leaf.test) => {}
            Term::Fact(key) if key == self.fact => self.note(self.asked(&leaf.test, row), truer),
            Term::Figure(id) => self.note(self.through(id, greater_term(row)), truer),
            _ => {}
        }
        for (position, operand) in leaf.test.operands().enumerate() {
            let greater = self.times(operand, row.greater_operand(position));
            match operand.base {
                Base::Term(Term::Fact(key)) if key == self.fact => self.note(self.moved(greater), truer),
                Base::Term(Term::Figure(id)) => self.note(self.through(id, greater), truer),
                _ => {}
            }
        }
    }

    /// Notes one use; `effect` is what the first value in place of the second does to the comparison.
    const fn note(&mut self, effect: Effect, truer: Effect) {
        match if matches!(truer, Effect::Helps) { effect } else { effect.turned() } {
            Effect::Nothing => {}
            Effect::Helps => self.found.more = true,
            Effect::Hurts => self.found.less = true,
            Effect::Either => self.found.either = true,
        }
    }

    /// What the first value in place of the second does to a test of the fact itself.
    fn asked(&self, test: &Test, row: &Row) -> Effect {
        let Some((so, listed)) = test.listed() else { return self.moved(greater_term(row)) };
        let is_listed = |value: &Value| listed.iter().any(|known| is_same(known, value));
        let effect = match (is_listed(self.one), is_listed(self.other)) {
            (true, false) => Effect::Helps,
            (false, true) => Effect::Hurts,
            _ => Effect::Nothing,
        };
        if so { effect } else { effect.turned() }
    }

    /// Whether both values lie on the same side of all that a test compares them with, where those are numbers of the packs.
    fn on_one_side(&self, test: &Test) -> bool {
        let (Value::Measured(one), Value::Measured(other)) = (self.one, self.other) else { return false };
        let (one, other) = (one.interval, other.interval);
        let mut bounds = test.operands().map(|operand| match &operand.base {
            _ if operand.times.is_some() || operand.plus.is_some() => None,
            Base::Literal(Value::Measured(bound)) => Some(bound.interval),
            Base::Limit(id) => self.set.limits().get(id.0).and_then(every_value),
            _ => None,
        });
        let is_beside = |bound: Option<Interval>| {
            bound.is_some_and(|bound| one.hi().max(other.hi()) < bound.lo() || one.lo().min(other.lo()) > bound.hi())
        };
        test.operands().next().is_some() && bounds.all(is_beside)
    }

    /// What the first value in place of the second does where a greater one has this effect.
    fn moved(&self, greater: Effect) -> Effect {
        match (order(self.one, self.other), greater) {
            (Some(Ordering::Equal), _) | (_, Effect::Nothing) => Effect::Nothing,
            (Some(Ordering::Greater), effect) => effect,
            (Some(Ordering::Less), effect) => effect.turned(),
            (None, _) => Effect::Either,
        }
    }

    /// The same through a figure; `greater` is what a greater figure does.
    fn through(&self, id: FigureId, greater: Effect) -> Effect {
        let input = id.spec().and_then(|spec| spec.inputs.iter().find(|(key, _)| *key == self.fact));
        match input {
            None => Effect::Nothing,
            Some((_, Direction::Up)) => self.moved(greater),
            Some((_, Direction::Down)) => self.moved(greater.turned()),
            Some((_, Direction::Free)) if greater == Effect::Nothing => Effect::Nothing,
            Some((_, Direction::Free)) => Effect::Either,
        }
    }

    /// What becomes of an effect through the factor of an operand.
    fn times(&self, operand: &Operand, effect: Effect) -> Effect {
        let is_positive = match operand.factor() {
            None => true,
            Some(Factor::Literal(factor)) => !factor.is_negative(),
            Some(Factor::Limit(id)) => {
                self.set.limits().get(id.0).is_some_and(|limit| limit.dimension.is_never_negative())
            }
        };
        if is_positive || effect == Effect::Nothing { effect } else { Effect::Either }
    }
}

/// All that a limit is by its pack and by the packs that amend it, on whatever day.
fn every_value(limit: &Limit) -> Option<Interval> {
    let values = || limit.values.iter().chain(limit.amendments.iter().flat_map(|one| &one.values));
    let ends = values().map(|dated| dated.value.base());
    Interval::new(ends.clone().min()?, ends.max()?)
}

/// What a greater term does to a test; of how old something is, it may do either.
const fn greater_term(row: &Row) -> Effect {
    if row.asks_age() { Effect::Either } else { row.greater_term() }
}

/// Whether no rule tells two values apart.
fn is_same(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Text(one), Value::Text(other)) => names_one_thing(one, other),
        _ => order(one, other).map_or_else(|| one == other, Ordering::is_eq),
    }
}

/// Which of two exact values is greater, if they have an order.
fn order(one: &Value, other: &Value) -> Option<Ordering> {
    match (one, other) {
        (Value::Measured(one), Value::Measured(other)) => {
            let (one, other) = (one.interval, other.interval);
            let (low, high) = (one.lo().cmp(&other.lo()), one.hi().cmp(&other.hi()));
            // Of two intervals the one that lies wholly no higher.
            match low.then(high) {
                order if low.is_eq() || high.is_eq() || low == high => Some(order),
                _ => None,
            }
        }
        (Value::Day(one), Value::Day(other)) => Some(one.cmp(other)),
        // Of two lists of words the one that has all of the other and more.
        (Value::Words(one), Value::Words(other)) => {
            let is_in = |of: &[_], all: &[_]| of.iter().all(|word| all.contains(word));
            match (is_in(one, other), is_in(other, one)) {
                (true, true) => Some(Ordering::Equal),
                (true, false) => Some(Ordering::Less),
                (false, true) => Some(Ordering::Greater),
                (false, false) => None,
            }
        }
        _ => None,
    }
}
