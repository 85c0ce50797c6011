//! What of a finding is on paper: whether it may be a slip of the pen, how urgent it is, and until when something can be
//! done about it.
//!
//! This module must not know how anything is drawn.

use super::flow::{Flow, PotLife, Urgency, flow, is_over, may_be_filled, may_fill_on};
use super::parts::facts;
use super::{Explained, words};
use crate::engine::{self, Errand, InTheWay, Known, TraceLeaf};
use crate::pack::{Does, Term};
use crate::record::FactKey;
use crate::record::catalogue::{Comes, RUNS_AWAY, WHILE_IT_FLOWS, job};
use crate::vocabulary::{HoldPoint, Outcome, Subject};

/// Whether all that is in the way of a finding are times, names and rows that somebody wrote down.
pub(super) fn is_on_paper(finding: &Explained<'_>) -> bool {
    let Some((demands, _)) = finding.traced().filter(|_| finding.outcome() == Outcome::Broken) else { return false };
    let parts = demands.in_the_way();
    let of_paper = |part: &InTheWay<'_, '_>| match part {
        InTheWay::Comparison { leaf, .. } => is_written(finding, leaf),
        InTheWay::List { .. } => false,
    };
    !parts.is_empty() && parts.iter().all(of_paper)
}

/// What may be behind a finding besides the fault itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Cause {
    /// What is written may be wrong.
    Written,
    /// Something is not written.
    NotWritten,
    /// Some findings may come from the one and some from the other.
    Either,
}

impl Cause {
    /// What may be behind all of these.
    pub(super) fn of_all(causes: impl Iterator<Item = Self>) -> Self {
        causes.reduce(|one, other| if one == other { one } else { Self::Either }).unwrap_or(Self::Either)
    }
}

/// What may be behind a finding besides the fault itself; nothing where the fault is plain.
pub(super) fn cause(finding: &Explained<'_>) -> Option<Cause> {
    let errand = finding.scene.errand(&finding.finding);
    // Of what nobody has written nothing was written wrong.
    let is_open_only = finding.outcome() == Outcome::Broken && errand.is_open_only;
    if is_on_paper(finding) || is_dated_ahead(finding) {
        return Some(if is_open_only { Cause::NotWritten } else { Cause::Written });
    }
    is_not_recorded(&errand, finding.outcome()).then_some(Cause::NotWritten)
}

/// Whether all that is in the way of a finding is dated after the judgement: a day or a time that is wrong.
fn is_dated_ahead(finding: &Explained<'_>) -> bool {
    let Some((demands, _)) = finding.traced().filter(|_| finding.outcome() == Outcome::NotShown) else { return false };
    let parts = demands.in_the_way();
    let is_ahead = |part: &InTheWay<'_, '_>| match part {
        InTheWay::Comparison { leaf, .. } => matches!(leaf.left.known, Known::Ahead(_)),
        InTheWay::List { .. } => false,
    };
    !parts.is_empty() && parts.iter().all(is_ahead)
}

/// Whether something must be found out before anything is done: a line that nobody has written, such as who looked, is
/// a fault by itself, and still no reason to go to a tyre; nor is one by which it is not even known whether the rule
/// applies.
fn is_not_recorded(errand: &Errand, outcome: Outcome) -> bool {
    errand.is_open_only || outcome == Outcome::NotShown && !errand.gaps.is_empty()
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
        Term::ReadWith(_) | Term::ReadDoubt(_) | Term::Item => leaf.leaf.test.row().asks_age(),
    }
}

/// How soon something must be done about a finding.
pub(super) fn urgency(finding: &Explained<'_>) -> Urgency {
    if let Some(known) = finding.urgency {
        return known;
    }
    let cure = &finding.rule.told.put_right;
    let keeps_away = cure.steps.first().is_some_and(|step| step.does == Does::LeavesClosed);
    let point = finding.scene.hold_point();
    // Anyone who reads this stands beside it, tools in hand; before the fill it is enough that it may be filled.
    let may_be_filled = |(subject, entity)| subject == Subject::Assembly && may_be_filled(finding.scene, entity);
    if keeps_away && point < HoldPoint::AfterFill && finding.own().is_some_and(may_be_filled) {
        return Urgency::AtOnce;
    }
    let Some((demands, _)) = finding.traced().filter(|_| finding.outcome() == Outcome::Broken) else {
        return Urgency::InTurn;
    };
    let parts = demands.in_the_way();
    if point == HoldPoint::AfterFill && keeps_away
        || parts.iter().any(|part| facts(part).iter().any(|key| RUNS_AWAY.contains(key)))
    {
        return Urgency::AtOnce;
    }
    let own = finding.own();
    let still_flows = matches!(flow(finding.scene, own), Flow::Until(_) | Flow::NotKnown)
        && (!cure.has(Does::FillsOn) || may_fill_on(finding.scene, own));
    if still_flows && parts.iter().any(|part| flows(finding, part)) { Urgency::WhileItFlows } else { Urgency::InTurn }
}

/// Whether more filling, or a sample of it, is what a part in the way asks for.
fn flows(finding: &Explained<'_>, part: &InTheWay<'_, '_>) -> bool {
    let InTheWay::Comparison { leaf, wanted } = part else { return false };
    let more = engine::reaches(finding.scene, leaf, *wanted).term.is_none_or(|reach| reach.upward);
    more && facts(part).iter().any(|key| WHILE_IT_FLOWS.contains(key))
}

/// The end of the pot life of what went in first, by the clock, as the words that open what can be done within it.
pub(super) fn pot_life(finding: &Explained<'_>) -> Option<String> {
    let scene = finding.scene;
    let (demands, _) = finding.traced().filter(|_| finding.outcome() == Outcome::Broken)?;
    let cure = &finding.rule.told.put_right;
    // What is closed, or stays closed for another reason, is not filled on, and then no step of this cure has an end.
    let own = finding.own();
    let fills_on = cure.has(Does::FillsOn) && (is_over(scene, own) || may_fill_on(scene, own));
    let has_an_end = fills_on || cure.has(Does::WhileItFlows);
    let so = if fills_on { ", so do not go on filling" } else { "" };
    let at_point = scene.hold_point() == HoldPoint::AfterFill;
    if !at_point || !has_an_end || !demands.in_the_way().iter().any(|part| flows(finding, part)) {
        return None;
    }
    let life = scene.job().whole()?.facts.measured(job::POT_LIFE)?.shown;
    match flow(scene, own) {
        Flow::Until(PotLife { from, end }) => {
            let (end, from) = (words::moment(scene, end), from.clock_text());
            Some(format!("until {end}, the end of the pot life ({life} from {from})"))
        }
        Flow::Over(Some(PotLife { from, end })) => {
            let (end, from) = (words::moment(scene, end), from.clock_text());
            Some(format!("the pot life ended {end} ({life} from {from}){so}"))
        }
        Flow::Over(None) => Some(format!("the pot life is over ({life}){so}")),
        Flow::NotKnown => Some(format!(
            "the first stroke is not on record: ask whoever ran the pump when it was; only if that is less than {life} ago"
        )),
    }
}
