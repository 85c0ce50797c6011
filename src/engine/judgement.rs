//! What a judgement says: the outcome of each rule for each subject, and the verdict that follows from all of them.
//!
//! Must not know how an outcome is found.

use crate::pack::OnFault;
use crate::units::{Instant, Truth};
use crate::vocabulary::{Outcome, Verdict};

/// What follows from whether a rule applies and whether its demand holds.
pub(super) const fn outcome(applies: Truth, demands: Truth) -> Outcome {
    match (applies, demands) {
        (Truth::False, _) => Outcome::DoesNotApply,
        (_, Truth::True) => Outcome::Met,
        (Truth::True, Truth::False) => Outcome::Broken,
        _ => Outcome::NotShown,
    }
}

/// What one rule says of one subject, by their positions in the pack set and the job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Finding {
    /// The pack.
    pub pack: usize,
    /// The rule in the pack.
    pub rule: usize,
    /// The subject in its list; `None` where the record does not have the list at all.
    pub entity: Option<usize>,
    /// What the rule says of it.
    pub outcome: Outcome,
    /// Whether a fault of the rule holds the job.
    pub on_fault: OnFault,
}

impl Finding {
    /// Whether this finding holds the job.
    pub fn holds(&self) -> bool {
        self.on_fault == OnFault::Hold && self.outcome.is_fault()
    }

    /// Whether this finding is advice: a fault of a rule that does not hold.
    pub fn advises(&self) -> bool {
        self.on_fault == OnFault::Advise && self.outcome.is_fault()
    }
}

/// The judgement of one job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Judgement {
    /// The instant it was judged at.
    pub at: Instant,
    /// PASS or HOLD.
    pub verdict: Verdict,
    /// Every finding, in the order of packs, rules and subjects.
    pub findings: Vec<Finding>,
}

impl Judgement {
    /// What follows from all findings. A judgement by no rule at all is no judgement.
    pub(super) fn verdict_of(findings: &[Finding]) -> Verdict {
        let judged = findings.iter().any(|finding| finding.on_fault == OnFault::Hold);
        if judged && !findings.iter().any(Finding::holds) { Verdict::Pass } else { Verdict::Hold }
    }
}
