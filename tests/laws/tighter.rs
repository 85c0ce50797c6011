//! Tighter never clears: a limit made stricter by a local pack, or a rule added, leaves held what was held.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use fillward::document::Document;
use fillward::pack::{OnFault, PackSet};
use fillward::vocabulary::Verdict;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use super::jobs::{Judged, PACKS, judged, judged_then, made};
use super::stricter::{Stricter, several, stricter};
use crate::common;

/// The rules that held before in all cases that were judged: each alone at least once, or beside others.
#[derive(Default)]
pub(super) struct Held {
    by: BTreeMap<String, bool>,
    pub(super) records: usize,
}

impl Held {
    pub(super) fn by(&mut self, judged: &Judged) {
        let rules: BTreeSet<&String> = judged.holding().map(|(rule, _)| rule).collect();
        self.records += usize::from(!rules.is_empty());
        for rule in &rules {
            *self.by.entry((*rule).clone()).or_default() |= rules.len() == 1;
        }
    }

    /// Asserts that enough of the holding rules held, and held alone, so that the law says something of them: of a hundred.
    pub(super) fn enough(&self, held: usize, alone: usize) {
        let rules =
            PACKS.packs().iter().flat_map(|pack| &pack.rules).filter(|rule| rule.on_fault == OnFault::Hold).count();
        let (found, by_itself) = (self.by.len(), self.by.values().filter(|alone| **alone).count());
        println!("{} records held, by {found} of {rules} rules, by {by_itself} alone", self.records);
        assert!(found * 100 >= held * rules, "only {found} of {rules} rules held");
        assert!(by_itself * 100 >= alone * rules, "only {by_itself} of {rules} rules held alone");
    }
}

/// The same at every hold point, by packs that make several limits stricter at once.
#[test]
fn several_stricter_limits_clear_nothing_at_any_hold_point() {
    let held = RefCell::new(Held::default());
    let outcome = TestRunner::new(super::config()).run(&(made(3), several()), |(made, several)| {
        let (job, tree, point, at) = made.anywhere();
        let Stricter { packs, what } = &*several.packs();
        let judged = |packs| judged_then(packs, &tree, point, at);
        let (Some(before), Some(after)) = (judged(&PACKS), judged(packs)) else { return Ok(()) };
        held.borrow_mut().by(&before);
        let cleared = before.cleared(&after);
        prop_assert!(cleared.is_empty(), "{job} {}: {what} clears {cleared:?}", point.word());
        Ok(())
    });
    outcome.unwrap();
    held.into_inner().enough(85, 45);
}

/// Of every rule at every hold point: what held the job goes on holding it, and the verdict with it.
#[test]
fn a_stricter_limit_clears_nothing() {
    let (held, tried) = (RefCell::new(Held::default()), RefCell::new(BTreeSet::new()));
    let outcome = TestRunner::new(super::config()).run(&(made(3), stricter()), |(made, one)| {
        let (job, tree, point, at) = made.anywhere();
        let Some(Stricter { packs, what }) = &*one.packs() else { return Ok(()) };
        let judged = |packs| judged_then(packs, &tree, point, at);
        let (Some(before), Some(after)) = (judged(&PACKS), judged(packs)) else { return Ok(()) };
        held.borrow_mut().by(&before);
        tried.borrow_mut().insert(one.limit());
        let cleared = before.cleared(&after);
        prop_assert!(cleared.is_empty(), "{job} {}: {what} clears {cleared:?}", point.word());
        Ok(())
    });
    outcome.unwrap();
    let (tried, limits) = (tried.into_inner().len(), PACKS.limits().len());
    println!("{tried} of {limits} limits made stricter");
    assert!(tried * 100 >= limits * 90, "only {tried} of {limits} limits were made stricter");
    held.into_inner().enough(85, 45);
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
