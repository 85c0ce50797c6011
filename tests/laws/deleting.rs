//! Deleting: taking a fact out of a record that is held does not make it pass, but for the facts that are listed with the
//! reason in `deleting-clears.txt`.

use std::collections::BTreeSet;

use fillward::pack::PackSet;
use fillward::vocabulary::Verdict;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;

use serde_yaml::Value;

use super::jobs::{DEMO, Judged, PACKS, judged, made};
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

/// Every fact of every demo job that is held.
#[test]
fn no_held_demo_job_passes_without_a_fact_that_is_not_listed() {
    let mut found = BTreeSet::new();
    for (_, tree) in DEMO.iter().filter(|(file, _)| file.contains("/hold-")) {
        let before = judged(&PACKS, tree).unwrap();
        let mut all = Vec::new();
        paths(tree, &[], &mut all);
        found.extend(all.iter().filter_map(|path| cleared(&PACKS, tree, &before, path)));
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
