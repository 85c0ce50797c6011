//! Which way each limit bears on its rules, held against the direction that the limit calls safer.
//!
//! A rule passes where `applies` is false or `demands` is true, and conditions are monotone in their comparisons: `all`,
//! `any` and the quantifiers keep the order false, unknown, true, and `not` turns it. So it is enough to see of each use
//! whether a greater limit makes its comparison truer, and whether a truer comparison lets more pass. Where every use
//! agrees with `safer`, a limit made stricter never turns HOLD into PASS.
//!
//! A limit also reaches a rule through the figures that take it as their parameter: each figure declares which way it goes
//! with it, and that is followed in the same way. Where a figure may go either way with a limit, nothing is said here, and
//! the laws on random records are what holds it. This module must not know values of a record.

use super::condition::Leaf;
use super::sides::{Base, Factor, Offset, Operand, Term};
use super::test::Effect;
use super::{Limit, LimitId, Rule, Safer};
use crate::document::{Code, Fault};
use crate::figures::{Direction, FigureId, FigureKind};
use crate::record::{Catalogue, FactKind, Value};
use crate::units::{Dimension, Exact};

/// Says each use of a limit by which a stricter value could let more pass.
pub(super) fn check(rules: &[Rule], limits: &[Limit], catalogue: &Catalogue, faults: &mut Vec<Fault>) {
    for rule in rules {
        let mut uses = Uses { rule, limits, catalogue, faults };
        if let Some(applies) = &rule.asks.applies {
            applies.weighed(Effect::Hurts, &mut |leaf, truer| uses.leaf(leaf, truer));
        }
        rule.asks.demands.weighed(Effect::Helps, &mut |leaf, truer| uses.leaf(leaf, truer));
    }
}

/// Whether a number can be below zero, as far as its kind says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sign {
    Zero,
    NotNegative,
    Negative,
    Open,
}

impl Sign {
    fn of(number: Exact) -> Self {
        match number {
            zero if zero.is_zero() => Self::Zero,
            negative if negative.is_negative() => Self::Negative,
            _ => Self::NotNegative,
        }
    }

    /// What the effect becomes where its number is multiplied by one of this sign.
    const fn times(self, effect: Effect) -> Effect {
        match (self, effect) {
            (Self::Zero, _) | (_, Effect::Nothing) => Effect::Nothing,
            (Self::NotNegative, same) => same,
            (Self::Negative, other) => other.turned(),
            (Self::Open, _) => Effect::Either,
        }
    }
}

struct Uses<'a> {
    rule: &'a Rule,
    limits: &'a [Limit],
    catalogue: &'a Catalogue,
    faults: &'a mut Vec<Fault>,
}

impl Uses<'_> {
    /// Holds what one comparison uses; `truer` is what it does to the rule's passing when it gets truer.
    fn leaf(&mut self, leaf: &Leaf, truer: Effect) {
        let row = leaf.test.row();
        if let Term::Figure(id) = leaf.term {
            self.figure(id, row.greater_term(), truer, leaf);
        }
        for (position, operand) in leaf.test.operands().enumerate() {
            let greater = row.greater_operand(position);
            match operand.base {
                Base::Limit(id) => self.used(id, self.factor(operand).times(greater), truer, leaf),
                Base::Term(Term::Figure(id)) => self.figure(id, self.factor(operand).times(greater), truer, leaf),
                Base::Term(_) | Base::Literal(_) | Base::Judgement | Base::Start | Base::Today => {}
            }
            if let Some(Factor::Limit(id)) = operand.factor() {
                // With doubt about zero the ends of both sides part, so neither side may be below it.
                let bounded = matches!(self.sign_of_term(leaf.term), Sign::NotNegative) || self.has_no_doubt(leaf.term);
                let effect = if bounded { self.base(operand).times(greater) } else { Effect::Either };
                self.used(id, effect, truer, leaf);
            }
            match operand.offset() {
                Some(Offset::Limit(id)) => self.used(id, greater, truer, leaf),
                Some(Offset::LessLimit(id)) => self.used(id, greater.turned(), truer, leaf),
                Some(Offset::Literal(_)) | None => {}
            }
        }
    }

    /// Holds the limits that a figure takes against their directions; `effect` is what a greater figure does to the
    /// comparison.
    fn figure(&mut self, id: FigureId, effect: Effect, truer: Effect, leaf: &Leaf) {
        let Some(spec) = id.spec() else { return };
        for (parameter, way) in spec.parameters {
            let effect = match way {
                Direction::Up => effect,
                Direction::Down => effect.turned(),
                Direction::Free => continue,
            };
            let is_it = |limit: &Limit| limit.name == parameter.limit() && limit.dimension == parameter.dimension();
            if let Some(position) = self.limits.iter().position(is_it) {
                self.used(LimitId(position), effect, truer, leaf);
            }
        }
    }

    /// Holds one use of a limit against its direction; `effect` is what a greater limit does to the comparison.
    fn used(&mut self, id: LimitId, effect: Effect, truer: Effect, leaf: &Leaf) {
        let Some(limit) = self.limits.get(id.0) else { return };
        let on_passing = if truer == Effect::Helps { effect } else { effect.turned() };
        let strict = match limit.safer {
            Safer::Higher => on_passing,
            Safer::Lower => on_passing.turned(),
        };
        let safer = limit.safer.word();
        let (message, help) = match strict {
            Effect::Nothing | Effect::Hurts => return,
            Effect::Helps => (
                format!("`{}` is safer {safer}, and here a {safer} value lets more pass", limit.name),
                "turn the comparison round, or give it a limit of its own that is safer the other way",
            ),
            Effect::Either => (
                format!("`{}` is safer {safer}, and here a {safer} value may let more pass", limit.name),
                "compare with `at_least`, `at_most`, `above` or `below`, and multiply only what is never below zero",
            ),
        };
        self.faults.push(
            Fault::new(Code::PackAgainstSafer, message)
                .label(leaf.span, "the limit is used against its direction")
                .help(help)
                .in_source(&self.rule.told.place.source),
        );
    }

    /// The sign of the factor of an operand.
    fn factor(&self, operand: &Operand) -> Sign {
        match operand.factor() {
            None => Sign::NotNegative,
            Some(Factor::Literal(factor)) => Sign::of(factor),
            Some(Factor::Limit(id)) => self.sign_of_limit(id),
        }
    }

    /// The sign of the base of an operand.
    fn base(&self, operand: &Operand) -> Sign {
        match &operand.base {
            Base::Literal(Value::Measured(measured)) => Sign::of(measured.shown.base()),
            Base::Limit(id) => self.sign_of_limit(*id),
            Base::Term(term) => self.sign_of_term(*term),
            Base::Literal(_) | Base::Judgement | Base::Start | Base::Today => Sign::Open,
        }
    }

    /// Whether a term is a point whatever the instruments: where a scale begins is read off the dial.
    fn has_no_doubt(&self, term: Term) -> bool {
        let kind = |key| self.catalogue.spec(key).map(|spec| &spec.kind);
        matches!(term, Term::Fact(key) if matches!(kind(key), Some(FactKind::ScaleBottom(_))))
    }

    fn sign_of_limit(&self, id: LimitId) -> Sign {
        match self.limits.get(id.0) {
            Some(limit) if limit.dimension.is_never_negative() => Sign::NotNegative,
            _ => Sign::Open,
        }
    }

    fn sign_of_term(&self, term: Term) -> Sign {
        let dimension = match term {
            Term::Fact(key) => self.catalogue.spec(key).and_then(|spec| match spec.kind {
                FactKind::Count => Some(Dimension::Count),
                FactKind::Quantity(dimension) | FactKind::Reading(dimension) => Some(dimension),
                _ => None,
            }),
            Term::Figure(id) => {
                let kind = id.spec().map(|spec| spec.kind).filter(|kind| !matches!(kind, FigureKind::Difference(_)));
                kind.and_then(FigureKind::dimension)
            }
            Term::ReadAt(_) | Term::ReadWith(_) | Term::ReadDoubt(_) | Term::Item => None,
        };
        match dimension {
            // A record's spans of time are lengths of time: the reader takes none below zero.
            Some(dimension) if dimension.is_never_negative() || dimension == Dimension::Duration => Sign::NotNegative,
            _ => Sign::Open,
        }
    }
}
