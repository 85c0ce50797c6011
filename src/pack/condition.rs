//! The typed syntax tree of conditions. The evaluator of the engine reads it, and so can a second reading for proofs.
//!
//! Must not know how a condition is written or judged.

use serde::{Deserialize, Serialize};

use crate::document::Span;
use crate::record::FactKey;
use crate::vocabulary::Subject;

use super::sides::{Base, Term};
use super::test::Effect;
use super::{PackText, Test};

/// A condition that is true, false or unknown of a subject.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub enum Condition {
    /// True when all are; false when one is false.
    All(Vec<Condition>),
    /// True when one is; false when all are false.
    Any(Vec<Condition>),
    /// True when the inner one is false.
    Not(Box<Condition>),
    /// True when the inner one is true of every element.
    Each(Quantified),
    /// True when the inner one is true of some element.
    Some(Quantified),
    /// One comparison.
    Leaf(Leaf),
}

/// By default, a condition that nothing meets.
impl Default for Condition {
    fn default() -> Self {
        Self::Any(Vec::new())
    }
}

impl Condition {
    /// Whether it compares anything with the time of the judgement or of the start; the start of the day moves by whole
    /// days.
    pub fn moves(&self) -> bool {
        let mut found = false;
        self.leaves(&mut |leaf| {
            found |= leaf.test.row().asks_age() || leaf.test.operands().any(|operand| operand.base.moves());
        });
        found
    }

    /// Calls `visit` on every leaf, with what it does to a statement when the leaf gets truer; `truer` is what this
    /// condition does to it. Conditions are monotone in their leaves, and only `not` turns the effect.
    pub(super) fn weighed<'c>(&'c self, truer: Effect, visit: &mut impl FnMut(&'c Leaf, Effect)) {
        match self {
            Self::All(parts) | Self::Any(parts) => {
                for part in parts {
                    part.weighed(truer, visit);
                }
            }
            Self::Not(inner) => inner.weighed(truer.turned(), visit),
            Self::Each(q) | Self::Some(q) => q.meets.weighed(truer, visit),
            Self::Leaf(leaf) => visit(leaf, truer),
        }
    }

    /// Calls `visit` on every collection that is gone through, with what it does to a statement when there is more in it.
    pub(super) fn collections(&self, truer: Effect, visit: &mut impl FnMut(Collection, Effect)) {
        match self {
            Self::All(parts) | Self::Any(parts) => {
                for part in parts {
                    part.collections(truer, visit);
                }
            }
            Self::Not(inner) => inner.collections(truer.turned(), visit),
            Self::Each(q) => {
                visit(q.of, truer.turned());
                q.meets.collections(truer, visit);
            }
            Self::Some(q) => {
                visit(q.of, truer);
                q.meets.collections(truer, visit);
            }
            Self::Leaf(_) => {}
        }
    }

    /// Calls `visit` on every leaf, from left to right.
    pub fn leaves<'c>(&'c self, visit: &mut impl FnMut(&'c Leaf)) {
        match self {
            Self::All(parts) | Self::Any(parts) => {
                for part in parts {
                    part.leaves(visit);
                }
            }
            Self::Not(inner) => inner.leaves(visit),
            Self::Each(q) | Self::Some(q) => q.meets.leaves(visit),
            Self::Leaf(leaf) => visit(leaf),
        }
    }
}

/// A condition over the elements of a collection.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Quantified {
    /// The collection.
    pub of: Collection,
    /// What its elements must meet.
    pub meets: Box<Condition>,
    /// Where it stands in the pack.
    pub span: Span,
}

/// What can be gone through one by one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Collection {
    /// All subjects of one kind.
    Subjects(Subject),
    /// The words of a list fact.
    Words(FactKey),
}

/// One comparison of a term with an operand.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Leaf {
    /// What is looked at.
    pub term: Term,
    /// What is asked of it.
    pub test: Test,
    /// Where it stands in the rule, as a JSON Pointer (RFC 6901) over the keys and positions of the pack, such as
    /// `/demands/any/0/cure.planned/at_least`. A new layout of the text does not change it, and a new edition of the
    /// pack may.
    pub at: PackText,
    /// Where it stands in the pack, and in which of its files.
    pub span: Span,
}

impl Leaf {
    /// Every term that it names: those that it compares with, and the one that is looked at.
    pub fn terms(&self) -> impl Iterator<Item = Term> + '_ {
        let compared = self.test.operands().filter_map(|operand| match operand.base {
            Base::Term(term) => Some(term),
            _ => None,
        });
        compared.chain([self.term])
    }
}
