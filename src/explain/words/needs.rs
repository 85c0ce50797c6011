//! The words for what a comparison needs.
//!
//! Must not know what is said of a place besides.

use std::fmt;

use super::conditions::{operand, says};
use super::{beside, filled, is_time, list};
use crate::engine::{Known, Scene, TraceLeaf};
use crate::explain::{obstacles, words};
use crate::pack::Operand;
use crate::pack::sides::Base;
use crate::pack::test::{End, Need, Operands, Relation};
use crate::units::Rounding;

/// What is needed of a value; several needs of one share the verb.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::explain) enum Needs {
    /// What stands behind `needs`.
    Needs(String),
    /// What has a verb of its own, or none.
    Says(String),
}

impl Needs {
    /// The same with something behind it.
    pub(in crate::explain) fn and_then(self, more: &str) -> Self {
        match self {
            Self::Needs(what) => Self::Needs(what + more),
            Self::Says(what) => Self::Says(what + more),
        }
    }

    /// How it is said in one breath with another that comes before it.
    pub(in crate::explain) fn behind(&self, other: &Self) -> String {
        match (self, other) {
            (Self::Needs(what), Self::Needs(_)) => what.clone(),
            _ => self.to_string(),
        }
    }
}

impl fmt::Display for Needs {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Needs(what) => write!(f, "needs {what}"),
            Self::Says(what) => f.write_str(what),
        }
    }
}

/// What a comparison asks, such as `needs 72 °F or more`, with both ends where something beside it sets the other one;
/// `wanted` is false where it must not hold.
pub(in crate::explain) fn needs(scene: &Scene<'_>, leaf: &TraceLeaf<'_>, wanted: bool) -> Needs {
    if let Some(said) = by_now(scene, leaf, wanted).or_else(|| by_what_is_open(scene, leaf, wanted)) {
        return said;
    }
    let test = &leaf.leaf.test;
    let row = test.row();
    let said: Vec<String> = match test.taken() {
        Operands::Values(values) => vec![list(values, "or")],
        Operands::One(_) | Operands::Two(..) | Operands::Flag(_) | Operands::Span(_) => leaf
            .right
            .iter()
            .enumerate()
            .map(|(position, seen)| beside(&leaf.left.known, seen, safe_side(row.end(position), wanted)))
            .collect(),
    };
    // `recorded: false` wants what `recorded: true` does not.
    let wanted = wanted != test.is_of_absence();
    let apart = row.relation == Relation::Equal(!wanted);
    if apart && leaf.right.first().is_none_or(|right| leaf.left.known == right.known) {
        return Needs::Says("not allowed".to_owned());
    }
    if let Some(both) = at_both_ends(leaf).filter(|_| wanted) {
        return Needs::Needs(both);
    }
    match row.needs(wanted, is_time(leaf)) {
        Need::Needs(what) => Needs::Needs(filled(what, &said)),
        Need::Says(what) => Needs::Says(filled(what, &said)),
    }
}

/// Both ends between which a number must lie, or the one value that it must have.
pub(in crate::explain) fn at_both_ends(leaf: &TraceLeaf<'_>) -> Option<String> {
    let row = leaf.leaf.test.row();
    let [low, high] = match (leaf.right.as_slice(), &leaf.other_end) {
        ([low, high], _) => [low, high],
        ([own], Some(other)) if row.end(0)? == End::Low => [own, other],
        ([own], Some(other)) => [other, own],
        _ => return None,
    };
    let (Known::Number { high: least, .. }, Known::Number { low: most, .. }) = (&low.known, &high.known) else {
        return None;
    };
    // Two ends of which neither leaves room are told as they are.
    if least.base() > most.base() {
        return None;
    }
    let said = |seen, safe| beside(&leaf.left.known, seen, safe);
    if least.base() == most.base() {
        return Some(format!("exactly {}", said(low, Rounding::Nearest)));
    }
    Some(format!("{} to {}", said(low, Rounding::Up), said(high, Rounding::Down)))
}

/// What a comparison with the very moment of the judgement asks.
fn by_now(scene: &Scene<'_>, leaf: &TraceLeaf<'_>, wanted: bool) -> Option<Needs> {
    let (Some(operand), None) = (leaf.leaf.test.operands().next(), leaf.leaf.test.operands().nth(1)) else {
        return None;
    };
    let is_now = match operand.base {
        Base::Judgement => true,
        Base::Start => scene.start() == scene.at(),
        _ => false,
    };
    if !is_now || operand.offset().is_some() || operand.factor().is_some() {
        return None;
    }
    let past = (leaf.leaf.test.row().end(0)? == End::High) == wanted;
    let due = if past { "to be past" } else { "to lie ahead" };
    Some(Needs::Needs(format!("{due}, and it is {} now", scene.at().in_zone(scene.zone()))))
}

/// What a comparison with something that is not known asks: it is named, and so is what keeps it from being known.
fn by_what_is_open(scene: &Scene<'_>, leaf: &TraceLeaf<'_>, wanted: bool) -> Option<Needs> {
    let why = leaf.right.iter().find_map(|seen| match &seen.known {
        Known::NotRecorded => Some("which is not recorded".to_owned()),
        known @ Known::Ahead(_) => Some(format!("which is {}", words::known(known))),
        Known::Obstacle(why) => Some(format!("which cannot be worked out: {}", obstacles::fragment(why))),
        _ => None,
    })?;
    let row = leaf.leaf.test.row();
    let row = if wanted { Some(row) } else { row.opposite() };
    let operands: Vec<&Operand> = leaf.leaf.test.operands().collect();
    Some(match row {
        Some(row) if !operands.is_empty() => Needs::Needs(format!("to be {}, {why}", says(scene, row, &operands))),
        _ => {
            let said: Vec<String> = operands.into_iter().map(|of| operand(scene, of)).collect();
            Needs::Says(format!("compared with {}, {why}", said.join(" and ")))
        }
    })
}

/// The side to which a bound is rounded, so that what keeps to the number shown keeps to the bound.
const fn safe_side(end: Option<End>, wanted: bool) -> Rounding {
    match (end, wanted) {
        (Some(End::Low), true) | (Some(End::High), false) => Rounding::Up,
        (Some(End::High), true) | (Some(End::Low), false) => Rounding::Down,
        (None, _) => Rounding::Nearest,
    }
}
