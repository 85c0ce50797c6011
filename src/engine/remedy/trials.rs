//! How much is tried for the cures of one report.
//!
//! A trial judges a copy of the whole job, so it takes as long as the job has subjects, and there are more findings to try for
//! the more subjects there are. Without a bound the time of a report would grow with the third power of its length. The
//! bound is counted, never timed, so that equal input gives equal reports; and what one finding gets depends on the
//! judgement alone, not on which finding was asked for first. This module must not know what is tried.

use std::cell::Cell;

use crate::engine::{Finding, Scene};
use crate::vocabulary::{Outcome, Subject};

/// Looks at a subject that one report is worth: a few seconds on a small machine.
pub(super) const OF_A_REPORT: usize = 400_000;
/// Looks at a subject that one finding gets at most; the demo shop's needs a third of it for its hardest.
const OF_A_FINDING: usize = 60_000;
/// Trials below which hardly any cure is found: where there is not so much for each finding, some get it and others nothing.
const WORTH_IT: usize = 60;
/// Steps of the search for one finding, each way counted; what was found until then is given on.
const STEPS: usize = 160;

/// What is left to be tried for one finding.
pub(super) struct Trials {
    left: Cell<usize>,
    steps: Cell<usize>,
    /// What judging a copy of the job costs beside what is judged in it.
    copy: usize,
}

impl Trials {
    /// What a finding of this scene gets.
    pub(super) fn of(scene: &Scene<'_>, finding: &Finding) -> Self {
        let copy = Subject::ALL.iter().map(|subject| scene.job.of(*subject).map_or(0, <[_]>::len)).sum();
        let given = given(scene, finding, copy);
        Self { left: Cell::new(given), steps: Cell::new(STEPS), copy }
    }

    /// Another search for the same finding begins.
    pub(super) fn search(&self) {
        self.steps.set(STEPS);
    }

    /// A step of the search; whether it may be taken.
    pub(super) fn step(&self) -> bool {
        self.steps.set(self.steps.get().saturating_sub(1));
        self.steps.get() > 0 && !self.are_spent()
    }

    /// A copy of the job is judged; whether it may be.
    pub(super) fn copy(&self) -> bool {
        self.look(self.copy)
    }

    /// So many subjects are judged on top of it.
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

/// An equal share of what a report is worth. Where that is too little to find anything, the first findings of each rule get
/// enough, then the second of each: what is told of one tyre mostly serves for the others.
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
