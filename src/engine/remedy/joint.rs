//! Two numbers that depend on each other: what one way puts out of order is put right with it, where that clears both.
//!
//! Like everything that is offered it is tried. This module must not know words or text.

use super::{Act, ActKind, Trials, Way, clears, joined, spoiled, ways};
use crate::engine::{Finding, Scene};
use crate::record::Edit;

/// Ways of the further finding that are tried.
const MOST: usize = 3;

/// The way at a price with what clears the one other finding that it costs; `None` where nothing clears both and leaves
/// the rest as it is.
pub(super) fn way(
    scene: &Scene<'_>,
    finding: &Finding,
    (first, spoiled): &(Way, Vec<Finding>),
    reread: bool,
    trials: &Trials,
) -> Option<Way> {
    let is_number =
        |act: &Act| matches!(act.kind, ActKind::Number(_) | ActKind::ReadAgain(_) | ActKind::Between { .. });
    let [other] = spoiled.as_slice() else { return None };
    let (rule, further) = (scene.rule(finding)?, scene.rule(other)?);
    let edits: Vec<Edit> = first.acts.iter().map(|act| act.edit.clone()).collect();
    let job = scene.job.amended(scene.packs.catalogue(), &edits).filter(|_| trials.copy())?;
    let changed = scene.of_job(&job);
    let more = ways(&changed, further, other.entity, reread, trials).into_iter().take(MOST);
    let both = more.filter_map(|more| {
        // What was put right first stays so.
        let is_apart = more.acts.iter().all(|act| !first.acts.iter().any(|known| known.is_on_the_same(act)));
        let is_apart = is_apart && first.acts.iter().chain(&more.acts).all(is_number);
        Some(Way { acts: joined(&first.acts, more.acts)? }).filter(|_| is_apart)
    });
    let is_clean = |way: &Way| {
        clears(scene, rule, finding.entity.unwrap_or_default(), &way.acts, trials)
            && spoiled::by(scene, way, trials).is_some_and(|spoiled| spoiled.is_empty())
    };
    both.into_iter().find(is_clean)
}
