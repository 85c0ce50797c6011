//! The number that is enough for every finding on the same fact: whoever obeys the one is not held by the other.
//!
//! Found by trying, like everything that is offered. This module must not know how ways are found.

use super::values::{on_the_safe_side, reading};
use super::{ActKind, Trials, Way, clears};
use crate::engine::reach::{Reach, reaches};
use crate::engine::trace::{InTheWay, trace};
use crate::engine::{Finding, Scene};
use crate::pack::Term;
use crate::record::FactKey;
use crate::vocabulary::Outcome;

/// The way that sets one number, taken as far as every other broken finding on that number asks, where that clears both.
pub(super) fn found(scene: &Scene<'_>, finding: &Finding, mut way: Way, trials: &Trials) -> Way {
    let Some((key, entity)) = only_number(&way) else { return way };
    let is_of_it = |other: &&Finding| {
        other.holds() && other.outcome == Outcome::Broken && other.entity == Some(entity) && *other != finding
    };
    for other in scene.found().iter().filter(is_of_it) {
        let Some(rule) = scene.rule(other).filter(|rule| rule.covers == key.subject) else { continue };
        let demands = trace(scene, &rule.asks.demands, &scene.here(rule.covers, other.entity));
        for part in demands.in_the_way() {
            let InTheWay::Comparison { leaf, wanted } = part else { continue };
            let asked = reaches(scene, leaf, wanted).term.filter(|_| leaf.leaf.term == Term::Fact(key));
            let Some(farther) = asked.and_then(|asked| goes_on(scene, &way, asked)) else { continue };
            let own = scene.rule(finding);
            if own.is_some_and(|own| clears(scene, own, entity, &farther.acts, trials))
                && clears(scene, rule, entity, &farther.acts, trials)
            {
                way = farther;
            }
        }
    }
    way
}

/// The fact and the subject of the only act, where that is to set a number.
fn only_number(way: &Way) -> Option<(FactKey, usize)> {
    match way.acts.as_slice() {
        [act] if matches!(act.kind, ActKind::Number(_)) => Some((act.key(), act.edit.entity)),
        _ => None,
    }
}

/// The way with the number of another comparison, where that lies beyond its own.
fn goes_on(scene: &Scene<'_>, way: &Way, asked: Reach) -> Option<Way> {
    let mut farther = way.clone();
    let act = farther.acts.first_mut()?;
    let ActKind::Number(own) = act.kind else { return None };
    let to = on_the_safe_side(asked.to, asked.upward, asked.inclusive)?;
    let is_beyond = if own.upward { to.base() > own.to.base() } else { to.base() < own.to.base() };
    if asked.upward != own.upward || !is_beyond {
        return None;
    }
    let subject = scene.job.of(act.edit.key.subject)?.get(act.edit.entity);
    let present = subject.and_then(|subject| subject.facts.measured(act.edit.key));
    act.edit.value = reading(scene, act.edit.key, present, to)?;
    act.kind = ActKind::Number(Reach { to, ..asked });
    Some(farther)
}
