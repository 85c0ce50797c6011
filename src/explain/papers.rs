//! What of a finding is on paper: whether it may be a slip of the pen, how urgent it is, and until when something can be
//! done about it.
//!
//! This module must not know how anything is drawn.

use super::{Explained, words};
use crate::engine::{self, Finding, InTheWay, Scene, Seen, TraceLeaf};
use crate::pack::{Collection, Does, Term};
use crate::record::catalogue::{Comes, RUNS_AWAY, WHILE_IT_FLOWS, assembly, job, stages};
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

/// Whether something must be found out before anything is done: a line that nobody has written, such as who looked, is a fault
/// by itself, and still no reason to go to a tyre; nor is one by which it is not even known whether the rule applies.
pub(super) fn is_not_recorded(finding: &Explained<'_>) -> bool {
    let errand = finding.scene.errand(&finding.finding);
    errand.is_open_only || finding.outcome() == Outcome::NotShown && !errand.gaps.is_empty()
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

/// Whether what is in a tyre still flows.
pub(super) enum Flow {
    /// Until the end of the pot life of what went in first.
    Until(PotLife),
    /// The pot life is over; `None` where the first stroke is not recorded, or another hold point has come.
    Over(Option<PotLife>),
    /// When it ends is not recorded.
    NotKnown,
}

/// A pot life by the clock.
pub(super) struct PotLife {
    from: Instant,
    pub(super) end: Instant,
}

/// Whether what is in the tyre of a finding, or in those of the job, still flows at the instant of the check.
pub(super) fn flow(scene: &Scene<'_>, own: Option<(Subject, usize)>) -> Flow {
    if scene.hold_point() != HoldPoint::AfterFill {
        return Flow::Over(None);
    }
    let life = scene.job().whole().and_then(|whole| whole.facts.measured(job::POT_LIFE)).map(|life| life.shown.base());
    let Some(life) = life else { return Flow::NotKnown };
    let concerned = |entity: usize| own.is_none_or(|own| own.0 != Subject::Assembly || own.1 == entity);
    let ends = |key: FactKey| {
        let at = |entity: &Entity| match entity.facts.get(key) {
            Some(Value::Instant(at)) => Some(*at),
            _ => None,
        };
        let all = scene.covered().filter(|(index, _)| concerned(*index));
        let from = all.filter_map(|(_, entity)| at(entity)).min()?.in_zone(scene.zone());
        Some(PotLife { from, end: from.checked_add_seconds(life)?.in_zone(scene.zone()) })
    };
    match (ends(assembly::ACT_FILL), ends(stages::FILL_ENDED)) {
        (Some(span), _) if span.end > scene.at() => Flow::Until(span),
        (Some(span), _) => Flow::Over(Some(span)),
        // The first stroke lies before the end of the fill.
        (None, Some(span)) if span.end <= scene.at() => Flow::Over(None),
        (None, _) => Flow::NotKnown,
    }
}

/// Whether what is in the tyre of a finding, or in those of the job, is known to have set.
pub(super) fn has_set(scene: &Scene<'_>, own: Option<(Subject, usize)>) -> bool {
    matches!(flow(scene, own), Flow::Over(_))
}

/// Whether it is known to flow still.
pub(super) fn still_flows(scene: &Scene<'_>, own: Option<(Subject, usize)>) -> bool {
    matches!(flow(scene, own), Flow::Until(_))
}

/// Whether the pot life of what is in the tyre of a finding is over.
pub(super) fn is_over(scene: &Scene<'_>, own: Option<(Subject, usize)>) -> bool {
    matches!(flow(scene, own), Flow::Over(_))
}

/// Whether stem and vent of the tyre of a finding, or of all tyres of the job, are closed already, by the record.
fn is_closed(scene: &Scene<'_>, own: Option<(Subject, usize)>) -> bool {
    let concerned = |entity: usize| own.is_none_or(|own| own.0 != Subject::Assembly || own.1 == entity);
    let is_shut = |entity: &Entity| {
        let shut = matches!(entity.facts.get(stages::FILL_CLOSED), Some(Value::Flag(true)));
        shut || entity.facts.text(stages::FILL_NEEDLE) == Some("out and whole")
    };
    let mut all = scene.covered().filter(|(index, _)| concerned(*index)).peekable();
    all.peek().is_some() && all.all(|(_, entity)| is_shut(entity))
}

/// Whether the tyre of a finding may still be filled on: what is in it flows, it is not closed yet, and no other finding
/// leaves it closed.
pub(super) fn may_fill_on(scene: &Scene<'_>, own: Option<(Subject, usize)>) -> bool {
    let leaves_closed = |finding: &Finding| {
        finding.holds()
            && finding.outcome == Outcome::Broken
            && scene.rule(finding).is_some_and(|rule| {
                let is_own = own.is_none_or(|own| own == (rule.covers, finding.entity.unwrap_or_default()));
                let cure = &rule.told.put_right;
                (is_own || rule.covers == Subject::Job) && cure.has(Does::LeavesClosed) && !cure.has(Does::FillsOn)
            })
    };
    !matches!(flow(scene, own), Flow::Over(_)) && !is_closed(scene, own) && !scene.found().iter().any(leaves_closed)
}

/// Whether an assembly is filled or may be: after the fill each is, and before it whatever the record says of a fill.
pub(super) fn may_be_filled(scene: &Scene<'_>, assembly: usize) -> bool {
    let catalogue = scene.packs().catalogue();
    let entity = scene.job().of(Subject::Assembly).and_then(|entities| entities.get(assembly));
    let is_told = |entity: &Entity| {
        let mut keys = catalogue.keys_of(Subject::Assembly).filter(|key| catalogue.tells_of_a_fill(*key));
        keys.any(|key| entity.facts.get(key).is_some())
    };
    scene.hold_point() >= HoldPoint::AfterFill || entity.is_some_and(is_told)
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
