//! Where a number must get to for a comparison to come out as wanted.
//!
//! Must not know what may be changed, nor words.

use super::Scene;
use super::trace::{Known, Seen, TraceLeaf};
use crate::pack::sides::{Base, Factor, Offset};
use crate::pack::test::{Bound, End};
use crate::pack::{Operand, Term};
use crate::record::Measured;
use crate::units::{Exact, Quantity};

/// A number to reach, with the current instrument.
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
    /// The part of that gap which remains whatever the doubts on both sides, where there is such a part.
    pub sure: Option<Exact>,
}

/// Where the two sides of a comparison of numbers must get to, each with the other as it is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Reaches {
    /// Where its term must get to.
    pub term: Option<Reach>,
    /// For a comparison with another fact: where that fact must get to instead.
    pub operand: Option<Reach>,
}

/// Where the sides of a comparison must get to for it to become true, or false where that is the aim; nothing where it
/// is so already.
pub fn reaches(scene: &Scene<'_>, leaf: &TraceLeaf<'_>, aim: bool) -> Reaches {
    match in_the_way(leaf, aim) {
        Some((operand, right, bound)) => {
            Reaches { term: reach(leaf, right, bound), operand: reach_operand(scene, leaf, operand, bound) }
        }
        None => Reaches::default(),
    }
}

/// The bound that the term does not surely keep: its operand, what was seen of that, and the bound. Where the test must
/// not hold, the opposite of its bound; `None` for a test of several bounds, which can be left in more than one way.
pub(super) fn in_the_way<'a, 's>(leaf: &'s TraceLeaf<'a>, aim: bool) -> Option<(&'a Operand, &'s Seen, Bound)> {
    let test = &leaf.leaf.test;
    let mut bounds = test.row().bounds().iter().zip(test.operands().zip(&leaf.right));
    if !aim {
        let (bound, (operand, right)) = bounds.next()?;
        return bounds.next().is_none().then_some((operand, right, bound.opposite()));
    }
    let kept = |bound: &Bound, right: &Seen| match (bound.end, ends(&leaf.left.known), ends(&right.known)) {
        (End::Low, Some((believed, _)), Some((_, bound))) => believed >= bound,
        (End::High, Some((_, believed)), Some((bound, _))) => believed <= bound,
        _ => false,
    };
    // The last one, where all are kept but for equality with a bound.
    let mut found = None;
    for (bound, (operand, right)) in bounds {
        found = Some((operand, right, *bound));
        if !kept(bound, right) {
            break;
        }
    }
    found
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
fn reach(leaf: &TraceLeaf<'_>, right: &Seen, bound: Bound) -> Option<Reach> {
    let (upward, inclusive) = (bound.end == End::Low, bound.inclusive);
    let (low, high) = ends(&right.known)?;
    let bound = if upward { high } else { low };
    let Known::Measured(measured) = &leaf.left.known else {
        let Known::Number { low, .. } = &right.known else { return None };
        let to = Quantity::from_base(bound, low.unit())?;
        return Some(Reach { upward, inclusive, to, gap: None, sure: None });
    };
    let believed = if upward { lowest(measured)? } else { measured.interval.hi() };
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

/// Lower end of the value, also where doubt would take it below zero: there the interval itself is cut off.
fn lowest(measured: &Measured) -> Option<Exact> {
    match measured.uncertainty {
        Some(uncertainty) => measured.shown.base().checked_sub(uncertainty),
        None => Some(measured.interval.lo()),
    }
}

/// Where the fact on the other side must get to instead, the term staying as it is.
fn reach_operand(scene: &Scene<'_>, leaf: &TraceLeaf<'_>, operand: &Operand, bound: Bound) -> Option<Reach> {
    let (upward, inclusive) = (bound.end == End::Low, bound.inclusive);
    let Base::Term(term) = operand.base else { return None };
    // Nobody can set a figure; its inputs are shown beside it.
    if matches!(term, Term::Figure(_)) {
        return None;
    }
    let (low, high) = ends(&leaf.left.known)?;
    // The term goes up to the operand, or the operand comes down to the term.
    let bound = if upward { low } else { high };
    let without = match operand.offset() {
        None => bound,
        Some(Offset::Literal(offset)) => bound.checked_sub(offset.base())?,
        Some(Offset::Limit(id)) => bound.checked_sub(scene.limit(id)?.base())?,
        Some(Offset::LessLimit(id)) => bound.checked_add(scene.limit(id)?.base())?,
    };
    let factor = match operand.factor() {
        None => Exact::ONE,
        Some(Factor::Literal(factor)) => factor,
        Some(Factor::Limit(id)) => scene.limit(id)?.base(),
    };
    // A negative factor would turn the direction, and a factor of zero moves nothing.
    if factor <= Exact::ZERO {
        return None;
    }
    let target = without.checked_div(factor)?;
    let Known::Measured(present) = scene.seen(term, &leaf.here).known else {
        let Known::Measured(left) = &leaf.left.known else { return None };
        let to = Quantity::from_base(target, left.shown.unit())?;
        return Some(Reach { upward: !upward, inclusive, to, gap: None, sure: None });
    };
    // What its own doubt leaves open counts against it, as it does for the term.
    let (low, high) = (lowest(&present)?, present.interval.hi());
    let gap = if upward { high.checked_sub(target)? } else { target.checked_sub(low)? };
    if gap.is_negative() {
        return None;
    }
    let shown = present.shown.base();
    let to = if upward { shown.checked_sub(gap)? } else { shown.checked_add(gap)? };
    let to = Quantity::from_base(to, present.shown.unit())?;
    Some(Reach { upward: !upward, inclusive, to, gap: Some(gap), sure: None })
}
