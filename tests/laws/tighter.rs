//! Tighter never clears: a limit made stricter by a local pack, or a rule added, leaves held what was held.

use fillward::document::Document;
use fillward::pack::PackSet;
use fillward::vocabulary::Verdict;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use super::jobs::{PACKS, judged, judged_then, made};
use super::stricter::{Stricter, several, stricter};
use crate::common;

/// The same at every hold point, by packs that make several limits stricter at once.
#[test]
fn several_stricter_limits_clear_nothing_at_any_hold_point() {
    let outcome = TestRunner::new(super::config()).run(&(made(3), several()), |(made, several)| {
        let (job, tree, point, at) = made.anywhere();
        let Stricter { packs, what } = &*several.packs();
        let judged = |packs| judged_then(packs, &tree, point, at);
        let (Some(before), Some(after)) = (judged(&PACKS), judged(packs)) else { return Ok(()) };
        let cleared = before.cleared(&after);
        prop_assert!(cleared.is_empty(), "{job}: {what} clears {cleared:?}");
        Ok(())
    });
    outcome.unwrap();
}

/// Of every rule: what held the job goes on holding it, and the verdict with it.
#[test]
fn a_stricter_limit_clears_nothing() {
    let outcome = TestRunner::new(super::config()).run(&(made(3), stricter()), |(made, one)| {
        let (job, tree) = made.tree();
        let Some(Stricter { packs, what }) = &*one.packs() else { return Ok(()) };
        let (Some(before), Some(after)) = (judged(&PACKS, &tree), judged(packs, &tree)) else { return Ok(()) };
        let cleared = before.cleared(&after);
        prop_assert!(cleared.is_empty(), "{job}: {what} clears {cleared:?}");
        Ok(())
    });
    outcome.unwrap();
}

/// A rule added to the base pack leaves every finding of the base pack as it was.
#[test]
fn an_added_rule_changes_no_other_finding() {
    let document = Document::read("local.yaml", common::local_pack("added", "supervisor").as_bytes()).unwrap();
    let packs = PackSet::base().unwrap().with(vec![document]).unwrap();
    let outcome = TestRunner::new(super::config()).run(&made(4), |made| {
        let (job, tree) = made.tree();
        let (Some(before), Some(after)) = (judged(&PACKS, &tree), judged(&packs, &tree)) else { return Ok(()) };
        prop_assert!(before.outcomes.iter().all(|(key, outcome)| after.outcomes.get(key) == Some(outcome)), "{job}");
        prop_assert!(before.verdict == Verdict::Pass || after.verdict == Verdict::Hold, "{job}");
        Ok(())
    });
    outcome.unwrap();
}
