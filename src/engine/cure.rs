//! What would clear a finding: the smallest changes, as numbers.

use super::Scene;
use super::trace::{Known, Seen, Trace, TraceLeaf};
use crate::document::Path;
use crate::pack::condition::{Base, Factor, Offset};
use crate::pack::test::{Bound, End};
use crate::pack::{Collection, Condition, Operand, Term};
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
    let (term, operand) = match in_the_way(leaf, aim) {
        Some((operand, right, bound)) => (reach(leaf, right, bound), reach_operand(scene, leaf, operand, bound)),
        None => (None, None),
    };
    Change { seen: leaf.clone(), wanted: aim, term, operand }
}

/// The bound that the term does not surely keep: its operand, what was seen of that, and the bound. Where the test must
/// not hold, the opposite of its bound; a term can be brought out of several bounds by more than one way, so there none.
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
    // The last one, where all are kept but for the bound itself.
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
        let unit = match &right.known {
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
    let without = match operand.plus {
        None => bound,
        Some(Offset::Literal(offset)) => bound.checked_sub(offset.base())?,
        Some(Offset::Limit(id)) => bound.checked_sub(scene.limit(id)?.base())?,
        Some(Offset::LessLimit(id)) => bound.checked_add(scene.limit(id)?.base())?,
    };
    let factor = match operand.times {
        None => Exact::ONE,
        Some(Factor::Literal(factor)) => factor,
        Some(Factor::Limit(id)) => scene.limit(id)?.base(),
    };
    // By a factor below zero the fact would have to go the other way, and by nothing it goes nowhere.
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
    let (low, high) = (present.interval.lo(), present.interval.hi());
    let gap = if upward { high.checked_sub(target)? } else { target.checked_sub(low)? };
    if gap.is_negative() {
        return None;
    }
    let shown = present.shown.base();
    let to = if upward { shown.checked_sub(gap)? } else { shown.checked_add(gap)? };
    let to = Quantity::from_base(to, present.shown.unit())?;
    Some(Reach { upward: !upward, inclusive, to, gap: Some(gap), sure: None })
}
