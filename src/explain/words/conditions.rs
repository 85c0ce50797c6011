//! The words for conditions: what rules demand and when they apply, with the limits in force.
//!
//! Must not know what a record says.

use super::{filled, list, statement, term, value, whole_years, yes_or_no};
use crate::engine::Scene;
use crate::pack::sides::{Base, Factor, Offset};
use crate::pack::test::{Bound, Operands, Relation, Row};
use crate::pack::{Collection, Condition, Leaf, Operand, Term};
use crate::record::{FactKind, Value};
use crate::units::{Exact, Quantity, Unit};
use crate::vocabulary::HoldPoint;

/// A condition of a pack in words, with the limits' values on the day of the start.
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
    let ([first], [second]) = (low.test.row().bounds(), high.test.row().bounds()) else { return None };
    let (Operands::One(least), Operands::One(most)) = (low.test.taken(), high.test.taken()) else { return None };
    if low.term != high.term || (*first, *second) != (Bound::LEAST, Bound::MOST) {
        return None;
    }
    let name = term(scene, low.term);
    let said = operand(scene, least);
    if said == operand(scene, most) {
        return Some(format!("{name} equal to {said}"));
    }
    let (low, high) = (says(scene, low.test.row(), &[least]), says(scene, high.test.row(), &[most]));
    Some(format!("{name} {low} and {high}"))
}

/// What the elements of a collection must meet, the common cases in shop words.
pub(in crate::explain) fn elements(scene: &Scene<'_>, every: bool, of: Collection, meets: &Condition) -> String {
    if let (Collection::Words(key), Condition::Leaf(leaf)) = (of, meets) {
        let list_name = term(scene, Term::Fact(key));
        // Either no word is one of these, or one is.
        if leaf.test.row().relation == Relation::Equal(!every) {
            let no = if every { "no " } else { "" };
            return format!("{no}{} among {list_name}", against(scene, leaf).join(" and "));
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
    if let Some((true, [Value::Flag(flag)])) = leaf.test.listed().as_ref().map(|(so, values)| (*so, values.as_slice()))
    {
        return match statement(scene, leaf.term).filter(|_| *flag) {
            Some(statement) => statement.to_owned(),
            None => format!("{name}: {}", yes_or_no(*flag)),
        };
    }
    if leaf.test.is_of_absence() {
        return format!("{name} not recorded");
    }
    let said = match leaf.test.taken() {
        Operands::Values(_) | Operands::Flag(_) => filled(leaf.test.row().says(false), &against(scene, leaf)),
        Operands::One(of) | Operands::Span(of) => says(scene, leaf.test.row(), &[of]),
        Operands::Two(low, high) => says(scene, leaf.test.row(), &[low, high]),
    };
    format!("{name} {said}")
}

/// A test with its operands. A bound that is so much before or after a moment is told as people say it: `no more than 1 h
/// before the start`.
pub(super) fn says(scene: &Scene<'_>, row: &Row, operands: &[&Operand]) -> String {
    let said: Vec<String> = operands.iter().map(|of| operand(scene, of)).collect();
    let of_moments = operands.iter().any(|of| is_moment(scene, of));
    match (row.bounds(), operands) {
        (&[bound], &[of])
            if of_moments
                && (bound == Bound::LEAST && offset_is(scene, of, OffsetSide::Before)
                    || bound == Bound::MOST && offset_is(scene, of, OffsetSide::After)) =>
        {
            filled("no more than {0}", &said)
        }
        _ => filled(row.says(of_moments), &said),
    }
}

/// On which side of its base an operand lies.
#[derive(Clone, Copy, PartialEq, Eq)]
enum OffsetSide {
    Before,
    After,
}

fn offset_is(scene: &Scene<'_>, of: &Operand, wanted: OffsetSide) -> bool {
    of.offset().is_some_and(|plus| side(scene, plus) == wanted)
}

/// On which side an offset lies: before where it is less than nothing.
fn side(scene: &Scene<'_>, plus: Offset) -> OffsetSide {
    let backwards = |id| scene.limit(id).is_some_and(|value| value.base().is_negative());
    let less = match plus {
        Offset::Literal(quantity) => quantity.base().is_negative(),
        Offset::Limit(id) => backwards(id),
        Offset::LessLimit(id) => !backwards(id),
    };
    if less { OffsetSide::Before } else { OffsetSide::After }
}

/// What a comparison compares with, in words: its operands, or its values as one.
fn against(scene: &Scene<'_>, leaf: &Leaf) -> Vec<String> {
    match leaf.test.taken() {
        Operands::Values(values) => vec![list(values, "or")],
        Operands::One(of) | Operands::Span(of) => vec![operand(scene, of)],
        Operands::Two(low, high) => vec![operand(scene, low), operand(scene, high)],
        Operands::Flag(_) => Vec::new(),
    }
}

fn is_moment(scene: &Scene<'_>, of: &Operand) -> bool {
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
    let mut text = match &of.base {
        Base::Literal(v) => value(v),
        Base::Limit(id) => limit(*id),
        Base::Term(t) => term(scene, *t),
        // Only before the fill there is a start that lies ahead.
        Base::Start if scene.hold_point() == HoldPoint::BeforeFill => "the start".to_owned(),
        Base::Judgement | Base::Start => "this check".to_owned(),
        Base::Today if scene.hold_point() == HoldPoint::BeforeFill => "00:00 of the day of the start".to_owned(),
        Base::Today => "00:00 of the day of this check".to_owned(),
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
    let by = match plus {
        Offset::Literal(quantity) if quantity.base().is_negative() => {
            quantity.scaled(MINUS).unwrap_or(quantity).to_string()
        }
        Offset::Literal(quantity) => quantity.to_string(),
        Offset::Limit(id) | Offset::LessLimit(id) => limit(id),
    };
    match (is_moment(scene, of), side(scene, plus)) {
        (true, OffsetSide::Before) => format!("{by} before {text}"),
        (true, OffsetSide::After) => format!("{by} after {text}"),
        (false, OffsetSide::Before) => format!("{text} less {by}"),
        (false, OffsetSide::After) => format!("{text} plus {by}"),
    }
}

/// Turns a sign.
const MINUS: Exact = Exact::from_int(-1);
