//! The words for conditions: what rules demand and when they apply, with the limits in force.
//!
//! Must not know what a record says.

use super::{filled, list, statement, term, value, whole_years, yes_or_no};
use crate::engine::Scene;
use crate::pack::condition::{Base, Factor, Offset};
use crate::pack::{Collection, Condition, Leaf, Operand, Term, Test};
use crate::record::{FactKind, Value};
use crate::units::{Exact, Quantity, Unit};

/// A condition of a pack in words, with the limits' values at the instant of the judgement.
pub(in crate::explain) fn condition(scene: &Scene<'_>, of: &Condition) -> String {
    match of {
        Condition::All(parts) => all(scene, parts),
        Condition::Any(parts) => parts.iter().map(|part| nested(scene, part)).collect::<Vec<_>>().join(" or "),
        Condition::Not(inner) => format!("not ({})", condition(scene, inner)),
        Condition::Each(q) => elements(scene, true, q.of, &q.meets),
        Condition::Some(q) => elements(scene, false, q.of, &q.meets),
        Condition::Leaf(leaf) => comparison(scene, leaf),
    }
}

/// Conditions that must all be met. Two bounds of one term are said in one: where they are the same, it must equal that.
fn all(scene: &Scene<'_>, parts: &[Condition]) -> String {
    let mut said: Vec<String> = Vec::new();
    let mut rest = parts.iter();
    while let Some(part) = rest.next() {
        let pair = match (part, rest.clone().next()) {
            (Condition::Leaf(low), Some(Condition::Leaf(high))) => both_bounds(scene, low, high),
            _ => None,
        };
        if pair.is_some() {
            rest.next();
        }
        said.push(pair.unwrap_or_else(|| nested(scene, part)));
    }
    said.join(" and ")
}

/// A least and a greatest bound of one term in one.
fn both_bounds(scene: &Scene<'_>, low: &Leaf, high: &Leaf) -> Option<String> {
    let (Test::AtLeast(least), Test::AtMost(most)) = (&low.test, &high.test) else { return None };
    if low.term != high.term {
        return None;
    }
    let (name, of_moments) = (term(scene, low.term), is_moment(scene, least));
    let (least, most) = (operand(scene, least), operand(scene, most));
    if least == most {
        return Some(format!("{name} equal to {least}"));
    }
    let (at_least, at_most) = (low.test.row().says(of_moments), high.test.row().says(of_moments));
    let [low, high] = [filled(at_least, &[least]), filled(at_most, &[most])].map(said_of_moments);
    Some(format!("{name} {low} and {high}"))
}

/// What the elements of a collection must meet, the common cases in shop words.
pub(in crate::explain) fn elements(scene: &Scene<'_>, every: bool, of: Collection, meets: &Condition) -> String {
    if let (Collection::Words(key), Condition::Leaf(leaf)) = (of, meets) {
        let list_name = term(scene, Term::Fact(key));
        match (every, &leaf.test) {
            (true, Test::IsNot(a)) => return format!("no {} among {list_name}", operand(scene, a)),
            (true, Test::NoneOf(values)) => return format!("no {} among {list_name}", list(values, "or")),
            (false, Test::Is(a)) => return format!("{} among {list_name}", operand(scene, a)),
            (false, Test::OneOf(values)) => return format!("{} among {list_name}", list(values, "or")),
            _ => {}
        }
    }
    format!("{} {}: {}", if every { "every" } else { "at least one" }, collection(scene, of), nested(scene, meets))
}

fn nested(scene: &Scene<'_>, of: &Condition) -> String {
    match of {
        Condition::All(parts) | Condition::Any(parts) if parts.len() > 1 => format!("({})", condition(scene, of)),
        _ => condition(scene, of),
    }
}

pub(in crate::explain) fn collection(scene: &Scene<'_>, of: Collection) -> String {
    match of {
        Collection::Subjects(subject) => subject.word().to_owned(),
        Collection::Words(key) => format!("entry of {}", term(scene, Term::Fact(key))),
    }
}

fn comparison(scene: &Scene<'_>, leaf: &Leaf) -> String {
    let name = term(scene, leaf.term);
    if let Test::Is(Operand { base: Base::Literal(Value::Flag(flag)), .. }) = &leaf.test {
        return match statement(scene, leaf.term).filter(|_| *flag) {
            Some(statement) => statement,
            None => format!("{name}: {}", yes_or_no(*flag)),
        };
    }
    let said: Vec<String> = match &leaf.test {
        Test::OneOf(values) | Test::NoneOf(values) => vec![list(values, "or")],
        Test::Recorded(false) => return format!("{name} not recorded"),
        other => other.operands().map(|of| operand(scene, of)).collect(),
    };
    let of_moments = leaf.test.operands().any(|of| is_moment(scene, of));
    format!("{name} {}", said_of_moments(filled(leaf.test.row().says(of_moments), &said)))
}

/// A bound that is so much before or after a moment, as people say it: `no more than 1 h before the start`.
pub(super) fn said_of_moments(said: String) -> String {
    for (bound, side) in [("not earlier than ", " before "), ("not later than ", " after ")] {
        if let Some(rest) = said.strip_prefix(bound).filter(|rest| rest.contains(side)) {
            return format!("no more than {rest}");
        }
    }
    said
}

pub(super) fn is_moment(scene: &Scene<'_>, of: &Operand) -> bool {
    match &of.base {
        Base::Judgement
        | Base::Start
        | Base::Today
        | Base::Literal(Value::Instant(_) | Value::Day(_))
        | Base::Term(Term::ReadAt(_)) => true,
        Base::Term(Term::Fact(key)) => scene
            .packs()
            .catalogue()
            .spec(*key)
            .is_some_and(|spec| matches!(spec.kind, FactKind::Event | FactKind::Planned | FactKind::Day)),
        _ => false,
    }
}

/// A limit as people say it: days that make up years say so.
fn spoken(limit: Quantity) -> String {
    match whole_years(limit) {
        Some(years) => format!("{years} years of 365 d"),
        None => limit.to_string(),
    }
}

pub(super) fn operand(scene: &Scene<'_>, of: &Operand) -> String {
    let limit = |id: crate::pack::LimitId| {
        let name = scene.packs().limits().get(id.0).map_or_else(String::new, |l| l.name.replace('_', " "));
        // What is counted backwards is said without its sign, as so much before.
        let value = scene
            .limit(id)
            .map(|value| if value.base().is_negative() { value.scaled(MINUS).unwrap_or(value) } else { value });
        format!("{} ({name})", value.map_or_else(|| "not in force".to_owned(), spoken))
    };
    let backwards = |id| scene.limit(id).is_some_and(|value| value.base().is_negative());
    let mut text = match &of.base {
        Base::Literal(v) => value(v),
        Base::Limit(id) => limit(*id),
        Base::Term(t) => term(scene, *t),
        Base::Judgement => "this check".to_owned(),
        Base::Start => "the start".to_owned(),
        Base::Today => "00:00 of the day of the start".to_owned(),
    };
    if let Some(factor) = of.factor() {
        let factor = match factor {
            Factor::Literal(exact) => {
                Quantity::from_base(exact, Unit::Percent).map(|q| q.to_string()).unwrap_or_default()
            }
            Factor::Limit(id) => limit(id),
        };
        text = format!("{factor} of {text}");
    }
    let Some(plus) = of.offset() else { return text };
    let (by, less) = match plus {
        Offset::Literal(quantity) if quantity.base().is_negative() => {
            (quantity.scaled(MINUS).unwrap_or(quantity).to_string(), true)
        }
        Offset::Literal(quantity) => (quantity.to_string(), false),
        Offset::Limit(id) => (limit(id), backwards(id)),
        Offset::LessLimit(id) => (limit(id), !backwards(id)),
    };
    match (is_moment(scene, of), less) {
        (true, true) => format!("{by} before {text}"),
        (true, false) => format!("{by} after {text}"),
        (false, true) => format!("{text} less {by}"),
        (false, false) => format!("{text} plus {by}"),
    }
}

/// Turns a sign.
const MINUS: Exact = Exact::from_int(-1);
