//! What a way would put out of order.
//!
//! Only rules that read a changed fact are judged again: a job of many assemblies has thousands of findings, and a way
//! changes a fact or two. This module must not know how ways are found.

use std::collections::BTreeSet;

use super::{Trials, Way};
use crate::engine::{Finding, Scene};
use crate::pack::condition::Collection;
use crate::pack::{Condition, PackSet, Rule, Term};
use crate::record::catalogue::job::PLANNED_START;
use crate::record::{Edit, FactKey, Job};
use crate::vocabulary::{Outcome, Subject};

/// The findings that a way would put out of order: broken, or no longer shown where they were. What only comes to be asked
/// for is no fault of the way. `None` where nothing more may be tried.
pub(super) fn by(scene: &Scene<'_>, way: &Way, trials: &Trials) -> Option<Vec<Finding>> {
    let edits: Vec<Edit> = way.acts.iter().map(|act| act.edit.clone()).collect();
    if !trials.copy() {
        return None;
    }
    let Some(job) = scene.job.amended(scene.packs.catalogue(), &edits) else { return Some(Vec::new()) };
    let changed = changed_facts(scene.job, &job);
    let looked_at = scene.looked_at.get_or_init(|| LookedAt::of(scene.packs));
    let concerned = |pack, rule| changed.as_ref().is_none_or(|changed| looked_at.concerns(pack, rule, changed));
    let (before, after) = (scene.found(), scene.of_job(&job).findings(concerned));
    trials.look(after.len());
    let place = |finding: &Finding| (finding.pack, finding.rule, finding.entity);
    let is_spoiled = |after: &Finding| {
        let before = before.binary_search_by_key(&place(after), place).ok().and_then(|found| before.get(found));
        matches!(
            (before.map(|before| before.outcome), after.outcome),
            (Some(Outcome::Met | Outcome::DoesNotApply), Outcome::Broken) | (Some(Outcome::Met), Outcome::NotShown)
        )
    };
    Some(after.into_iter().filter(|finding| finding.holds() && is_spoiled(finding)).collect())
}

/// The facts whose values differ between two jobs of the same subjects; `None` where they have not the same subjects,
/// where an instrument is another one, which every reading taken with it depends on, or the planned start, at which
/// every age is asked.
fn changed_facts(before: &Job, after: &Job) -> Option<BTreeSet<FactKey>> {
    let mut changed = BTreeSet::new();
    for subject in Subject::ALL {
        let (Some(before), Some(after)) = (before.of(subject), after.of(subject)) else {
            if before.of(subject).is_none() && after.of(subject).is_none() {
                continue;
            }
            return None;
        };
        if before.len() != after.len() {
            return None;
        }
        for (before, after) in before.iter().zip(after).filter(|(before, after)| before.facts != after.facts) {
            if subject.is_instrument() || before.label != after.label {
                return None;
            }
            changed.extend(before.facts.unlike(&after.facts).map(|index| FactKey { subject, index }));
        }
    }
    (!changed.contains(&PLANNED_START)).then_some(changed)
}

/// The facts that each rule looks at, by itself or by a figure: by pack and place in it.
#[derive(Debug, Clone)]
pub(in crate::engine) struct LookedAt(Vec<Vec<BTreeSet<FactKey>>>);

impl LookedAt {
    fn of(packs: &PackSet) -> Self {
        Self(packs.packs().iter().map(|pack| pack.rules.iter().map(facts_of).collect()).collect())
    }

    fn concerns(&self, pack: usize, rule: usize, changed: &BTreeSet<FactKey>) -> bool {
        let facts = self.0.get(pack).and_then(|rules| rules.get(rule));
        facts.is_none_or(|facts| changed.iter().any(|key| facts.contains(key)))
    }
}

/// The facts that a rule looks at, by itself or by a figure.
pub(super) fn facts_of(rule: &Rule) -> BTreeSet<FactKey> {
    let mut facts = BTreeSet::new();
    rule.asks.conditions().for_each(|condition| note(condition, &mut facts));
    facts
}

/// Notes the facts that a condition looks at.
fn note(condition: &Condition, facts: &mut BTreeSet<FactKey>) {
    match condition {
        Condition::All(parts) | Condition::Any(parts) => parts.iter().for_each(|part| note(part, facts)),
        Condition::Not(inner) => note(inner, facts),
        Condition::Each(q) | Condition::Some(q) => {
            if let Collection::Words(key) = q.of {
                facts.insert(key);
            }
            note(&q.meets, facts);
        }
        Condition::Leaf(leaf) => {
            for term in leaf.terms() {
                match term {
                    Term::Fact(key) | Term::ReadAt(key) | Term::ReadWith(key) | Term::ReadDoubt(key) => {
                        facts.insert(key);
                    }
                    // What a figure reads it declares.
                    Term::Figure(id) => facts.extend(id.spec().iter().flat_map(|spec| spec.facts())),
                    Term::Item => {}
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Ground, first_options, joined};
    use super::*;
    use crate::document::Document;
    use crate::record;
    use crate::units::{Instant, Zone};

    /// As [`by`], by all rules.
    fn by_all(scene: &Scene<'_>, way: &Way) -> Vec<Finding> {
        let edits: Vec<Edit> = way.acts.iter().map(|act| act.edit.clone()).collect();
        let Some(job) = scene.job.amended(scene.packs.catalogue(), &edits) else { return Vec::new() };
        let place = |finding: &Finding| (finding.pack, finding.rule, finding.entity);
        let now = scene.judge();
        let was = |after: &Finding| now.findings.iter().find(|before| place(before) == place(after)).map(|f| f.outcome);
        let spoiled = |after: &Finding| match after.outcome {
            Outcome::Broken => matches!(was(after), Some(Outcome::Met | Outcome::DoesNotApply)),
            Outcome::NotShown => was(after) == Some(Outcome::Met),
            _ => false,
        };
        scene.of_job(&job).judge().findings.into_iter().filter(|finding| finding.holds() && spoiled(finding)).collect()
    }

    #[test]
    fn the_rules_that_look_at_what_changed_are_all_that_can_be_spoiled() {
        let packs = PackSet::base_with_examples().unwrap();
        let zone = Zone::find("America/Chicago").unwrap();
        let at = Instant::parse("2026-03-04T09:30:00-06:00").unwrap();
        let folder = format!("{}/shared/demo/jobs", env!("CARGO_MANIFEST_DIR"));
        let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        files.sort();
        let (mut tried, mut spoiling) = (0, 0);
        for file in files {
            let name = file.file_name().unwrap().to_string_lossy().into_owned();
            let Ok(document) = Document::read(&name, &std::fs::read(&file).unwrap()) else { continue };
            let Ok(job) = record::read(&document, packs.catalogue(), &zone) else { continue };
            let scene = Scene::new(&packs, &job, at, &zone);
            for finding in scene.judge().findings.iter().filter(|finding| finding.holds()) {
                let (Some(rule), Some(entity)) = (scene.rule(finding), finding.entity) else { continue };
                let trials = Trials::of(&scene, finding);
                let ground = Ground { scene: &scene, recorded: &job, reread: true, trials: &trials };
                for acts in first_options(&ground, rule, entity) {
                    let way = Way { acts: joined(&[], acts).unwrap_or_default() };
                    let spoiled = by(&scene, &way, &trials).unwrap();
                    assert_eq!(spoiled, by_all(&scene, &way), "{name}: {way:?}");
                    tried += 1;
                    spoiling += usize::from(!spoiled.is_empty());
                }
            }
        }
        assert!(tried > 150 && spoiling > 8, "{tried} ways, {spoiling} of them spoil something");
    }
}
