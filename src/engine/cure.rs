//! What would clear a finding: the smallest changes, as numbers.

use super::Scene;
use super::trace::{Known, Trace, TraceLeaf};
use crate::document::Path;
use crate::pack::condition::{Base, Factor, Offset};
use crate::pack::{Collection, Condition, Operand, Term, Test};
use crate::units::{Exact, Quantity, Truth};

/// A way to clear a finding.
#[derive(Debug, Clone)]
pub enum Cure<'a> {
    /// Nothing needs to change.
    Nothing,
    /// All of these.
    AllOf(Vec<Self>),
    /// One of these.
    OneOf(Vec<Self>),
    /// One change.
    Change(Box<Change<'a>>),
    /// A list must be recorded, or an element be added to it.
    Collection {
        /// The list.
        of: Collection,
        /// Where it stands in the record.
        path: Option<Path>,
        /// Whether it is recorded at all.
        recorded: bool,
        /// Whether every element, or only some, must meet the condition.
        every: bool,
        /// What the elements must meet.
        meets: &'a Condition,
    },
}

impl Cure<'_> {
    /// How many single changes it takes.
    pub fn size(&self) -> usize {
        match self {
            Self::Nothing => 0,
            Self::AllOf(parts) => parts.iter().map(Self::size).sum(),
            Self::OneOf(parts) => parts.iter().map(Self::size).min().unwrap_or(0),
            Self::Change(_) | Self::Collection { .. } => 1,
        }
    }
}

/// One change that would make a comparison come out as wanted.
#[derive(Debug, Clone)]
pub struct Change<'a> {
    /// The comparison as it was seen.
    pub seen: TraceLeaf<'a>,
    /// Whether it must become true, or false.
    pub wanted: bool,
    /// For a comparison of numbers: where its term must get to.
    pub term: Option<Reach>,
    /// For a comparison with another fact: where that fact must get to instead.
    pub operand: Option<Reach>,
}

/// A number to reach, with the instrument at hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reach {
    /// Whether to reach it from below (`at least`) or from above (`at most`).
    pub upward: bool,
    /// Whether the number itself is enough.
    pub inclusive: bool,
    /// The value that the instrument must show.
    pub to: Quantity,
    /// How far it is from the present reading, where there is one; never negative.
    pub gap: Option<Exact>,
    /// How much of that is missing whatever the doubts on both sides, where it is anything.
    pub sure: Option<Exact>,
}

/// What would make the traced condition true.
pub fn cure<'a>(scene: &Scene<'a>, trace: &Trace<'a>) -> Cure<'a> {
    wanted(scene, trace, true)
}

fn wanted<'a>(scene: &Scene<'a>, trace: &Trace<'a>, aim: bool) -> Cure<'a> {
    if trace.truth() == Truth::from(aim) {
        return Cure::Nothing;
    }
    match (trace, aim) {
        (Trace::All(_, parts), true) | (Trace::Any(_, parts), false) => {
            together(parts.iter().map(|part| wanted(scene, part, aim)))
        }
        (Trace::Any(_, parts), true) | (Trace::All(_, parts), false) => {
            either(parts.iter().map(|part| wanted(scene, part, aim)))
        }
        (Trace::Not(_, inner), aim) => wanted(scene, inner, !aim),
        (Trace::Elements { every, of, path, recorded, meets, parts, .. }, aim) => {
            let each = || parts.iter().map(|(_, part)| wanted(scene, part, aim));
            if *recorded && *every == aim {
                return together(each());
            }
            let near = matches!(of, Collection::Subjects(_)) && !parts.is_empty();
            if *recorded && near {
                return nearest(each().collect());
            }
            Cure::Collection { of: *of, path: path.clone(), recorded: *recorded, every: *every, meets }
        }
        (Trace::Leaf(leaf), aim) => Cure::Change(Box::new(change(scene, leaf, aim))),
    }
}

/// Of the elements of which one must do, those that lack the least.
fn nearest(parts: Vec<Cure<'_>>) -> Cure<'_> {
    let least = parts.iter().map(Cure::size).min().unwrap_or(0);
    either(parts.into_iter().filter(|part| part.size() == least))
}

fn together<'a>(parts: impl Iterator<Item = Cure<'a>>) -> Cure<'a> {
    let mut parts: Vec<Cure<'a>> = parts.filter(|part| !matches!(part, Cure::Nothing)).collect();
    match parts.len() {
        0 => Cure::Nothing,
        1 => parts.pop().unwrap_or(Cure::Nothing),
        _ => Cure::AllOf(parts),
    }
}

fn either<'a>(parts: impl Iterator<Item = Cure<'a>>) -> Cure<'a> {
    let mut parts: Vec<Cure<'a>> = parts.collect();
    match parts.len() {
        0 => Cure::Nothing,
        1 => parts.pop().unwrap_or(Cure::Nothing),
        _ => Cure::OneOf(parts),
    }
}

pub(super) fn change<'a>(scene: &Scene<'a>, leaf: &TraceLeaf<'a>, aim: bool) -> Change<'a> {
    let (term, operand) = match direction(leaf, aim) {
        Some((operand, position, upward, inclusive)) => {
            (reach(leaf, position, upward, inclusive), reach_operand(scene, leaf, operand, upward, inclusive))
        }
        None => (None, None),
    };
    Change { seen: leaf.clone(), wanted: aim, term, operand }
}

/// The operand that is in the way, its position, and which way the term must go.
pub(super) fn direction<'a>(leaf: &TraceLeaf<'a>, aim: bool) -> Option<(&'a Operand, usize, bool, bool)> {
    Some(match (&leaf.leaf.test, aim) {
        (Test::Between(low, high), true) => {
            let is_low = match (ends(&leaf.left.known), leaf.right.first().and_then(|seen| ends(&seen.known))) {
                (Some((believed, _)), Some((_, bound))) => believed < bound,
                _ => true,
            };
            if is_low { (low, 0, true, true) } else { (high, 1, false, true) }
        }
        (Test::AtLeast(operand) | Test::Is(operand), true) | (Test::Below(operand), false) => (operand, 0, true, true),
        (Test::AtMost(operand), true) | (Test::Above(operand), false) => (operand, 0, false, true),
        (Test::Above(operand), true) | (Test::AtMost(operand), false) => (operand, 0, true, false),
        (Test::Below(operand), true) | (Test::AtLeast(operand), false) => (operand, 0, false, false),
        _ => return None,
    })
}

/// The lower and upper end of what is known, in base units.
fn ends(known: &Known) -> Option<(Exact, Exact)> {
    match known {
        Known::Measured(measured) => Some((measured.interval.lo(), measured.interval.hi())),
        Known::Number { low, high } => Some((low.base(), high.base())),
        _ => None,
    }
}

/// Where the term must get to so that the comparison holds with its own uncertainty counted against it.
fn reach(leaf: &TraceLeaf<'_>, position: usize, upward: bool, inclusive: bool) -> Option<Reach> {
    let (low, high) = ends(&leaf.right.get(position)?.known)?;
    let bound = if upward { high } else { low };
    let Known::Measured(measured) = &leaf.left.known else {
        let unit = match &leaf.right.get(position)?.known {
            Known::Measured(measured) => measured.shown.unit(),
            Known::Number { low, .. } => low.unit(),
            _ => return None,
        };
        return Some(Reach { upward, inclusive, to: Quantity::from_base(bound, unit)?, gap: None, sure: None });
    };
    let believed = if upward { measured.interval.lo() } else { measured.interval.hi() };
    let gap = if upward { bound.checked_sub(believed)? } else { believed.checked_sub(bound)? };
    if gap.is_negative() {
        return None;
    }
    let shown = measured.shown.base();
    let to = if upward { shown.checked_add(gap)? } else { shown.checked_sub(gap)? };
    let sure = if upward { low.checked_sub(measured.interval.hi()) } else { measured.interval.lo().checked_sub(high) };
    // Told only where the other side is itself in doubt: the reading's own doubt is in the gap.
    let sure = sure.filter(|sure| low < high && *sure > Exact::ZERO && *sure < gap);
    Some(Reach { upward, inclusive, to: Quantity::from_base(to, measured.shown.unit())?, gap: Some(gap), sure })
}

/// Where the fact on the other side must get to instead, the term staying as it is.
fn reach_operand(
    scene: &Scene<'_>,
    leaf: &TraceLeaf<'_>,
    operand: &Operand,
    upward: bool,
    inclusive: bool,
) -> Option<Reach> {
    let Base::Term(term) = operand.base else { return None };
    // Nobody can set a figure; its inputs are shown beside it.
    if matches!(term, Term::Figure(_)) {
        return None;
    }
    let (low, high) = ends(&leaf.left.known)?;
    // The term goes up to the operand, or the operand comes down to the term.
    let bound = if upward { low } else { high };
    let without = match operand.plus {
        None => bound,
        Some(Offset::Literal(offset)) => bound.checked_sub(offset.base())?,
        Some(Offset::Limit(id)) => bound.checked_sub(scene.limit(id)?.base())?,
    };
    let target = match operand.times {
        None => without,
        Some(Factor::Literal(factor)) => without.checked_div(factor)?,
        Some(Factor::Limit(id)) => without.checked_div(scene.limit(id)?.base())?,
    };
    let base = scene.seen(term, &leaf.here);
    let (unit, gap) = match &base.known {
        Known::Measured(measured) => {
            let present = measured.shown.base();
            let gap = if upward { present.checked_sub(target)? } else { target.checked_sub(present)? };
            (measured.shown.unit(), Some(gap).filter(|gap| !gap.is_negative()))
        }
        _ => match &leaf.left.known {
            Known::Measured(measured) => (measured.shown.unit(), None),
            _ => return None,
        },
    };
    Some(Reach { upward: !upward, inclusive, to: Quantity::from_base(target, unit)?, gap, sure: None })
}
