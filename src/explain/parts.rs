//! The facts of a part that is in the way of a finding: those that it names, and those that its figures are made of.
//!
//! This module must not know findings, nor how anything is drawn.

use crate::engine::{InTheWay, Seen, TraceLeaf};
use crate::pack::{Collection, Term};
use crate::record::FactKey;

/// The facts that a part in the way names itself.
pub(super) fn named_facts(part: &InTheWay<'_, '_>) -> Vec<FactKey> {
    match part {
        InTheWay::List { of: Collection::Words(key), .. } => vec![*key],
        InTheWay::List { .. } => Vec::new(),
        InTheWay::Comparison { leaf, .. } => {
            let fact = |seen: &Seen| match seen.term {
                Some(Term::Fact(key) | Term::ReadAt(key) | Term::ReadWith(key) | Term::ReadDoubt(key)) => Some(key),
                _ => None,
            };
            leaf.here.item().map(|item| item.list).into_iter().chain(sides(leaf).filter_map(fact)).collect()
        }
    }
}

/// The facts that a part in the way is about, those that a figure is made of among them.
pub(super) fn facts(part: &InTheWay<'_, '_>) -> Vec<FactKey> {
    let of = |term: Term| match term {
        Term::Fact(key) | Term::ReadAt(key) | Term::ReadWith(key) | Term::ReadDoubt(key) => vec![key],
        Term::Figure(id) => id.spec().map(|spec| spec.facts().collect()).unwrap_or_default(),
        Term::Item => Vec::new(),
    };
    match part {
        InTheWay::List { of: Collection::Words(key), .. } => vec![*key],
        InTheWay::List { .. } => Vec::new(),
        InTheWay::Comparison { leaf, .. } => {
            let item = leaf.here.item().map(|item| item.list);
            let terms = sides(leaf).filter_map(|seen| seen.term);
            item.into_iter().chain(terms.flat_map(of)).collect()
        }
    }
}

/// The facts that were seen on either side of a comparison.
pub(super) fn sides<'t>(leaf: &'t TraceLeaf<'_>) -> impl Iterator<Item = &'t Seen> {
    std::iter::once(&leaf.left).chain(&leaf.right)
}
