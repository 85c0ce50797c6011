//! What keeps a condition from being true: of its parts those that must change, and where one of several is enough, the
//! fewest.
//!
//! Must not know what could be done about it.

use super::{Trace, TraceLeaf};
use crate::document::Path;
use crate::pack::test::Relation;
use crate::pack::{Collection, Condition};
use crate::units::Truth;

/// What keeps a condition from being true.
#[derive(Debug, Clone, Copy)]
pub enum InTheWay<'t, 'a> {
    /// A comparison that comes out otherwise than it must.
    Comparison {
        /// The comparison.
        leaf: &'t TraceLeaf<'a>,
        /// Whether it must become true, or false.
        wanted: bool,
    },
    /// A list that is not recorded, or that has no element that would do.
    List {
        /// The list.
        of: Collection,
        /// Where it stands in the record.
        path: Option<&'t Path>,
        /// Whether it is recorded at all.
        recorded: bool,
        /// Whether every element, or only some, must meet the condition.
        every: bool,
        /// What the elements must meet.
        meets: &'a Condition,
    },
}

/// Whether a comparison asks only that nothing be recorded.
fn asks_for_absence(leaf: &TraceLeaf<'_>, wanted: bool) -> bool {
    leaf.leaf.test.row().relation == Relation::Recorded && wanted == leaf.leaf.test.is_of_absence()
}

/// Parts of a condition that are in the way, with the least number of them that must change.
#[derive(Debug, Default)]
struct Hindrance<'t, 'a> {
    least: usize,
    /// Whether it could only change if something that is on record were not: nobody is told to take it out.
    is_barred: bool,
    parts: Vec<InTheWay<'t, 'a>>,
}

impl<'t, 'a> Hindrance<'t, 'a> {
    fn one(part: InTheWay<'t, 'a>) -> Self {
        let is_barred = match &part {
            InTheWay::Comparison { leaf, wanted } => asks_for_absence(leaf, *wanted),
            InTheWay::List { .. } => false,
        };
        Self { least: 1, is_barred, parts: vec![part] }
    }

    /// What is in the way where each of several must change.
    fn of_all(each: impl Iterator<Item = Self>) -> Self {
        each.fold(Self::default(), |mut all, one| {
            all.least += one.least;
            all.is_barred |= one.is_barred;
            all.parts.extend(one.parts);
            all
        })
    }

    /// Whether the same things must change in another one, and more besides: then nobody is told of the other.
    fn is_part_of(&self, other: &Self) -> bool {
        let term = |part: &InTheWay<'_, '_>| match part {
            InTheWay::Comparison { leaf, .. } => Some(leaf.leaf.term),
            InTheWay::List { .. } => None,
        };
        !self.parts.is_empty()
            && self
                .parts
                .iter()
                .all(|part| term(part).is_some_and(|own| other.parts.iter().any(|of| term(of) == Some(own))))
    }

    /// What is in the way where it is enough that one of several changes.
    fn of_one(each: impl Iterator<Item = Self>) -> Self {
        let each: Vec<Self> = each.collect();
        let all_barred = !each.is_empty() && each.iter().all(|one| one.is_barred);
        let each: Vec<Self> = each.into_iter().filter(|one| all_barred || !one.is_barred).collect();
        let least = each.iter().map(|one| one.least).min().unwrap_or(0);
        let is_more = |one: &Self| each.iter().any(|other| other.least < one.least && other.is_part_of(one));
        let is_more: Vec<bool> = each.iter().map(is_more).collect();
        let kept = each.into_iter().zip(is_more).filter(|(_, is_more)| !is_more);
        Self { least, is_barred: all_barred, parts: kept.flat_map(|(one, _)| one.parts).collect() }
    }
}

impl<'a> Trace<'a> {
    /// What keeps the condition from being true, in its order; nothing where it is.
    pub fn in_the_way(&self) -> Vec<InTheWay<'_, 'a>> {
        self.hindrance(true).parts
    }

    /// Whether the condition could only become `aim` if something that is on record were not.
    pub(super) fn is_barred(&self, aim: bool) -> bool {
        self.hindrance(aim).is_barred
    }

    fn hindrance(&self, aim: bool) -> Hindrance<'_, 'a> {
        if self.truth() == Truth::from(aim) {
            return Hindrance::default();
        }
        match self {
            Self::All(_, parts) if aim => Hindrance::of_all(parts.iter().map(|part| part.hindrance(aim))),
            Self::Any(_, parts) if !aim => Hindrance::of_all(parts.iter().map(|part| part.hindrance(aim))),
            Self::All(_, parts) | Self::Any(_, parts) => {
                Hindrance::of_one(parts.iter().map(|part| part.hindrance(aim)))
            }
            Self::Not(_, inner) => inner.hindrance(!aim),
            Self::Elements { every, of, path, recorded, meets, parts, .. } => {
                let each = || parts.iter().map(|(_, part)| part.hindrance(aim));
                match of {
                    _ if *recorded && *every == aim => Hindrance::of_all(each()),
                    Collection::Subjects(_) if *recorded && !parts.is_empty() => {
                        // Of the subjects of which one must do, those that lack the least.
                        let least = each().map(|one| one.least).min();
                        Hindrance::of_one(each().filter(|one| Some(one.least) == least))
                    }
                    _ => {
                        let (of, path, recorded, every) = (*of, path.as_ref(), *recorded, *every);
                        Hindrance::one(InTheWay::List { of, path, recorded, every, meets })
                    }
                }
            }
            Self::Leaf(leaf) => Hindrance::one(InTheWay::Comparison { leaf, wanted: aim }),
        }
    }
}
