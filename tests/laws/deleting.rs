//! Deleting: taking a fact out of a record that is held does not make it pass, but for the facts that are listed with the
//! reason in `deleting-clears.txt`.

use std::collections::BTreeSet;

use fillward::engine::{Finding, Scene};
use fillward::pack::PackSet;
use fillward::record::Job;
use fillward::vocabulary::{Subject, Verdict};
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;

use serde_yaml::Value;

use super::jobs::{DEMO, Judged, PACKS, judged, made, read};
use crate::common;
use crate::common::tree::{Step, name, paths, without};

const LIST: &str = "tests/laws/deleting-clears.txt";

/// The facts of a list; each has its reason behind a `#`.
pub(super) fn listed(list: &str) -> BTreeSet<String> {
    let text = common::read(list);
    let lines = text.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty());
    lines
        .map(|line| {
            let (what, why) = line.split_once('#').unwrap_or_else(|| panic!("{list}: no reason: {line}"));
            assert!(why.trim().len() > 10, "{list}: no reason: {line}");
            what.trim().to_owned()
        })
        .collect()
}

/// The name of the fact at `path`, where the job is held with it and passes without it.
fn cleared(packs: &PackSet, tree: &Value, before: &Judged, path: &[Step]) -> Option<String> {
    let after = judged(packs, &without(tree, path))?;
    (before.verdict == Verdict::Hold && after.verdict == Verdict::Pass).then(|| name(path))
}

/// What holds a record, by which it is asked first without one of its facts: where that still holds, nothing passes, and most
/// of the rules need not be asked.
struct Held {
    findings: Vec<Finding>,
    /// How many subjects of each kind there are: without one of them the others have other places.
    counts: Vec<Option<usize>>,
}

fn counts(job: &Job) -> Vec<Option<usize>> {
    Subject::ALL.into_iter().map(|subject| job.of(subject).map(<[_]>::len)).collect()
}

impl Held {
    fn of(tree: &Value) -> Self {
        let job = read(&PACKS, tree).unwrap();
        let scene = Scene::new(&PACKS, &job, common::demo_at(), &common::demo_zone());
        Self { findings: scene.judge().findings.into_iter().filter(Finding::holds).collect(), counts: counts(&job) }
    }

    /// The name of the fact at `path`, where the record passes without it.
    fn cleared(&self, tree: &Value, path: &[Step]) -> Option<String> {
        let job = read(&PACKS, &without(tree, path))?;
        let scene = Scene::new(&PACKS, &job, common::demo_at(), &common::demo_zone());
        let still_holds = |finding: &Finding| {
            let of = scene.rule(finding).zip(finding.entity);
            of.is_some_and(|(rule, entity)| scene.outcome(rule, entity).is_fault())
        };
        if counts(&job) == self.counts && self.findings.iter().any(still_holds) {
            return None;
        }
        (scene.judge().verdict == Verdict::Pass).then(|| name(path))
    }
}

/// Every fact of every demo job that is held.
#[test]
fn no_held_demo_job_passes_without_a_fact_that_is_not_listed() {
    let mut found = BTreeSet::new();
    for (_, tree) in DEMO.iter().filter(|(file, _)| file.contains("/hold-")) {
        let held = Held::of(tree);
        if held.findings.is_empty() {
            // It is held at another hold point.
            continue;
        }
        let mut all = Vec::new();
        paths(tree, &[], &mut all);
        found.extend(all.iter().filter_map(|path| held.cleared(tree, path)));
    }
    let listed = listed(LIST);
    let new: Vec<&String> = found.difference(&listed).collect();
    let gone: Vec<&String> = listed.difference(&found).collect();
    assert!(new.is_empty() && gone.is_empty(), "clears, not listed: {new:#?}\nlisted, clears no more: {gone:#?}");
}

/// One fact of random records that are held.
#[test]
fn leaving_a_fact_out_makes_no_held_record_pass() {
    let listed = listed(LIST);
    let outcome = TestRunner::new(super::config()).run(&(made(1), any::<Index>()), |(made, place)| {
        let (job, tree) = made.demo();
        let mut all = Vec::new();
        paths(&tree, &[], &mut all);
        let path: &Vec<Step> = place.get(&all);
        let Some(before) = judged(&PACKS, &tree) else { return Ok(()) };
        let cleared = cleared(&PACKS, &tree, &before, path).filter(|name| !listed.contains(name));
        prop_assert!(cleared.is_none(), "{job}: {cleared:?}");
        Ok(())
    });
    outcome.unwrap();
}
