//! Whether what is in a tyre still flows, so that something can be done about it, and how urgent a finding is by that.
//!
//! This module must not know what a finding says, nor how anything is drawn.

use crate::engine::{Finding, Scene};
use crate::pack::Does;
use crate::record::catalogue::choices::Needle;
use crate::record::catalogue::{Comes, assembly, job, stages};
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
    pub(super) from: Instant,
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
        shut || entity.facts.choice() == Some(Needle::OutAndWhole)
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

/// How the value of a fact of one subject comes about now: what only more filling shows is past where it may not be
/// filled on.
pub(super) fn comes(scene: &Scene<'_>, key: FactKey, entity: usize) -> Comes {
    let shown_by_more = key == stages::FILL_VENT_CLEAR && scene.hold_point() >= HoldPoint::AfterFill;
    if shown_by_more && !may_fill_on(scene, Some((key.subject, entity))) {
        Comes::Past
    } else {
        scene.packs().catalogue().comes_at(key, scene.hold_point())
    }
}

/// Whether an assembly is filled or may be: after the fill each is, and before it each of which the record states a
/// fact of a fill.
pub(super) fn may_be_filled(scene: &Scene<'_>, assembly: usize) -> bool {
    let catalogue = scene.packs().catalogue();
    let entity = scene.job().of(Subject::Assembly).and_then(|entities| entities.get(assembly));
    let is_told = |entity: &Entity| {
        let mut keys = catalogue.keys_of(Subject::Assembly).filter(|key| catalogue.tells_of_a_fill(*key));
        keys.any(|key| entity.facts.get(key).is_some())
    };
    scene.hold_point() >= HoldPoint::AfterFill || entity.is_some_and(is_told)
}
