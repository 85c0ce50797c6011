//! How much is tried for the cures of one report.
//!
//! A trial judges a copy of the whole job, so it takes as long as the job has subjects, and there are more findings to
//! try for the more subjects there are. Without a bound the time of a report would grow with the third power of its
//! length. The bound is counted, never timed, so that equal input gives equal reports; and what one finding gets
//! depends on the judgement alone, not on which finding was asked for first. This module must not know what is tried.

use std::cell::Cell;

use crate::engine::{Finding, Scene};
use crate::vocabulary::{Outcome, Subject};

/// Most subjects judged on trial for one report: a few seconds on a small machine.
pub(super) const OF_A_REPORT: usize = 400_000;
/// Most subjects judged on trial for one finding; the hardest finding of the demo shop needs a third of it.
const OF_A_FINDING: usize = 60_000;
/// Trials below which hardly any cure is found: where an equal share is less, some findings get this many and others
/// none.
const WORTH_IT: usize = 60;
/// Most steps of one search, over all ways; what was found by then is kept.
const STEPS: usize = 160;

/// What is left to be tried for one finding.
pub(super) struct Trials {
    left: Cell<usize>,
    steps: Cell<usize>,
    /// What copying the job costs, besides the subjects judged in it.
    copy: usize,
}

impl Trials {
    /// The budget of a finding of this scene.
    pub(super) fn of(scene: &Scene<'_>, finding: &Finding) -> Self {
        let copy = Subject::ALL.iter().map(|subject| scene.job.of(*subject).map_or(0, <[_]>::len)).sum();
        let given = given(scene, finding, copy);
        Self { left: Cell::new(given), steps: Cell::new(STEPS), copy }
    }

    /// Begins another search for the same finding.
    pub(super) fn search(&self) {
        self.steps.set(STEPS);
    }

    /// Counts a step of the search; whether it may be taken.
    pub(super) fn step(&self) -> bool {
        self.steps.set(self.steps.get().saturating_sub(1));
        self.steps.get() > 0 && !self.are_spent()
    }

    /// Counts a copy of the job; whether it may be judged.
    pub(super) fn copy(&self) -> bool {
        self.look(self.copy)
    }

    /// Counts so many subjects judged in it; whether they may be.
    pub(super) fn look(&self, subjects: usize) -> bool {
        let may = !self.are_spent();
        self.left.set(self.left.get().saturating_sub(subjects));
        may
    }

    /// Whether nothing more may be tried.
    pub(super) fn are_spent(&self) -> bool {
        self.left.get() == 0
    }
}

/// An equal share of the budget of a report. Where that is too little to find anything, the first findings of each rule
/// get enough, then the second of each: what is told of one tyre mostly serves for the others.
fn given(scene: &Scene<'_>, finding: &Finding, copy: usize) -> usize {
    let open = || scene.found().iter().filter(|found| matches!(found.outcome, Outcome::Broken | Outcome::NotShown));
    let enough = WORTH_IT.saturating_mul(copy.max(1));
    let share = OF_A_REPORT / open().count().max(1);
    if share >= enough {
        return share.min(OF_A_FINDING.max(enough));
    }
    let rule = |found: &Finding| (found.pack, found.rule);
    // The findings stand in the order of their rules, so that each begins to count again where the rule changes.
    let mut last = None;
    let mut turn = 0;
    let turns: Vec<(usize, &Finding)> = open()
        .map(|found| {
            turn = if last == Some(rule(found)) { turn + 1 } else { 0 };
            last = Some(rule(found));
            (turn, found)
        })
        .collect();
    let Some(place) = turns.iter().position(|(_, found)| *found == finding) else { return enough };
    let own = turns.get(place).map_or(0, |(turn, _)| *turn);
    let before = turns.iter().enumerate().filter(|(at, (turn, _))| (*turn, *at) < (own, place)).count();
    if before < OF_A_REPORT / enough { enough } else { 0 }
}

#[cfg(test)]
mod tests;
