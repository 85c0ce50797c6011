//! What of a finding is on paper: whether it may be a slip of the pen, how urgent it is, and until when something can be
//! done about it.
//!
//! This module must not know how anything is drawn.

use super::{Explained, words};
use crate::engine::{self, InTheWay, Seen, TraceLeaf};
use crate::pack::{Collection, Term, Test};
use crate::record::catalogue::{Comes, RUNS_AWAY, WHILE_IT_FLOWS, assembly, job};
use crate::record::{Entity, FactKey, Value};
use crate::units::Instant;
use crate::vocabulary::{HoldPoint, Outcome, Subject};

/// How soon something must be done about a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Urgency {
    /// It runs away while somebody reads.
    AtOnce,
    /// It can be put right only while what is in the tyre flows.
    WhileItFlows,
    /// In the order of the walk.
    InTurn,
}

/// Whether all that is in the way of a finding are times, names and rows that somebody wrote down.
pub(super) fn is_on_paper(finding: &Explained<'_>) -> bool {
    let Some((demands, _)) = finding.traced() else { return false };
    let parts = demands.in_the_way();
    let of_paper = |part: &InTheWay<'_, '_>| match part {
        InTheWay::Comparison { leaf, .. } => is_written(finding, leaf),
        InTheWay::List { .. } => false,
    };
    finding.outcome() == Outcome::Broken && !parts.is_empty() && parts.iter().all(of_paper)
}

fn is_written(finding: &Explained<'_>, leaf: &TraceLeaf<'_>) -> bool {
    let catalogue = finding.scene.packs().catalogue();
    let on_paper = |key: FactKey| {
        matches!(catalogue.comes(key), Comes::Signed | Comes::Done | Comes::Logged) || key == job::PLANNED_START
    };
    match leaf.leaf.term {
        Term::Fact(key) => on_paper(key),
        Term::ReadAt(_) => true,
        Term::Figure(id) => id.spec().is_some_and(|spec| spec.facts().any(|key| catalogue.comes(key) == Comes::Logged)),
        Term::ReadWith(_) | Term::ReadDoubt(_) | Term::Item => matches!(leaf.leaf.test, Test::ReadWithin(_)),
    }
}

/// How soon something must be done about a finding.
pub(super) fn urgency(finding: &Explained<'_>) -> Urgency {
    let Some((demands, _)) = finding.traced().filter(|_| finding.outcome() == Outcome::Broken) else {
        return Urgency::InTurn;
    };
    let parts = demands.in_the_way();
    if parts.iter().any(|part| facts(part).iter().any(|key| RUNS_AWAY.contains(key))) {
        Urgency::AtOnce
    } else if finding.scene.hold_point() == HoldPoint::AfterFill && parts.iter().any(|part| flows(finding, part)) {
        Urgency::WhileItFlows
    } else {
        Urgency::InTurn
    }
}

/// Whether more filling, or a sample of it, is what a part in the way asks for.
fn flows(finding: &Explained<'_>, part: &InTheWay<'_, '_>) -> bool {
    let InTheWay::Comparison { leaf, wanted } = part else { return false };
    let more = engine::reaches(finding.scene, leaf, *wanted).term.is_none_or(|reach| reach.upward);
    more && facts(part).iter().any(|key| WHILE_IT_FLOWS.contains(key))
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

/// The end of the pot life of what went in first, by the clock, as the words that open what can be done within it.
pub(super) fn pot_life(finding: &Explained<'_>) -> Option<String> {
    let scene = finding.scene;
    if scene.hold_point() != HoldPoint::AfterFill || urgency(finding) != Urgency::WhileItFlows {
        return None;
    }
    let whole = scene.job().whole()?;
    let life = whole.facts.measured(job::POT_LIFE)?.shown;
    let own = scene.entity(&finding.finding).filter(|_| finding.rule.covers == Subject::Assembly);
    let began = |entity: &Entity| match entity.facts.get(assembly::ACT_FILL) {
        Some(Value::Instant(began)) => Some(*began),
        _ => None,
    };
    let began = match own {
        Some(entity) => began(entity),
        None => scene.covered().filter_map(|(_, entity)| began(entity)).min(),
    };
    let Some(began) = began else {
        return Some(format!("within the pot life, {life} from the first stroke"));
    };
    let end: Instant = began.checked_add_seconds(life.base())?.in_zone(scene.zone());
    let from = began.in_zone(scene.zone()).clock_text();
    Some(if end > scene.at() {
        format!("until {}, the end of the pot life ({life} from {from})", words::moment(scene, end))
    } else {
        format!("the pot life ended {} ({life} from {from}), so fill nothing on", words::moment(scene, end))
    })
}

/// The facts that were seen on either side of a comparison.
pub(super) fn sides<'t>(leaf: &'t TraceLeaf<'_>) -> impl Iterator<Item = &'t Seen> {
    std::iter::once(&leaf.left).chain(&leaf.right)
}
