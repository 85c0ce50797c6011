//! Deleting: taking a fact out of a record that is held does not make it pass, but for the facts that are listed with the
//! reason in `deleting-clears.txt`.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use fillward::engine::{Finding, Scene};
use fillward::record::Job;
use fillward::vocabulary::{HoldPoint, Subject, Verdict};
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;

use serde_yaml::Value;

use super::jobs::{DEMO, PACKS, judged_then, made, read};
use super::stricter::several;
use crate::common;
use crate::common::tree::{Step, name, paths, without};

const LIST: &str = "tests/laws/deleting-clears.txt";
/// What no demo job shows: the hold point, then the fact.
const ANYWHERE: &str = "tests/laws/deleting-clears-anywhere.txt";

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

/// What holds a record, by which it is asked first without one of its facts: where that still holds, nothing passes,
/// and most of the rules need not be asked.
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

/// One fact of random records that are held, at any hold point and by stricter packs.
#[test]
fn leaving_a_fact_out_makes_no_held_record_pass() {
    let known = listed(LIST);
    let at_a_point: BTreeSet<String> = [super::deleting_later::LIST, ANYWHERE].into_iter().flat_map(listed).collect();
    let passed = RefCell::new(BTreeMap::new());
    let strategy = (made(1), any::<Index>(), prop::option::of(several()));
    let outcome = TestRunner::new(super::config()).run(&strategy, |(made, place, by)| {
        let by = by.map(|several| several.packs());
        let packs = by.as_ref().map_or(&*PACKS, |stricter| &stricter.packs);
        let (job, tree, point, at) = made.anywhere();
        let mut all = Vec::new();
        paths(&tree, &[], &mut all);
        let path: &Vec<Step> = place.get(&all);
        let Some(before) = judged_then(packs, &tree, point, at) else { return Ok(()) };
        let Some(after) = judged_then(packs, &without(&tree, path), point, at) else { return Ok(()) };
        let (name, at_point) = (name(path), format!("{} {}", point.word(), name(path)));
        let clears = before.verdict == Verdict::Hold && after.verdict == Verdict::Pass;
        if clears && !known.contains(&name) && !at_a_point.contains(&at_point) {
            passed.borrow_mut().insert(at_point, job);
        }
        Ok(())
    });
    outcome.unwrap();
    let passed = passed.into_inner();
    assert!(passed.is_empty(), "clears, not listed: {passed:#?}");
}

/// Of each fact that clears some held job there is an honest job that passes without it: no rule that reads the record alone
/// could ask for it and let that job pass.
#[test]
fn an_honest_job_passes_without_what_clears() {
    let wanting = listed(LIST).into_iter().filter(|fact| {
        let is_honest = |(file, tree): &(String, Value)| {
            let mut all = Vec::new();
            paths(tree, &[], &mut all);
            // What stands below it goes with it, and several subjects each lose theirs.
            let of_it = all.into_iter().filter(|path| name(path) == *fact).collect::<Vec<_>>();
            let less = of_it.iter().rev().fold(tree.clone(), |tree, path| without(&tree, path));
            file.contains("/pass-")
                && judged_then(&PACKS, &less, HoldPoint::BeforeFill, common::demo_at())
                    .is_some_and(|judged| judged.verdict == Verdict::Pass)
        };
        // Of a crew or a list one may be missing, and not all.
        fact != "person" && !fact.ends_with("[]") && !DEMO.iter().any(is_honest)
    });
    let wanting: Vec<String> = wanting.collect();
    assert!(wanting.is_empty(), "every honest job has them: {wanting:?}");
}
