//! What a rule says of one subject, and what all rules together say of a job.
//!
//! Must not know how an outcome is found.

use serde::{Deserialize, Serialize};

/// What one rule says of one subject.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Outcome {
    /// The demand is met.
    #[serde(rename = "met")]
    Met,
    /// The demand is broken.
    #[serde(rename = "broken")]
    Broken,
    /// The evidence does not decide.
    #[serde(rename = "not shown")]
    NotShown,
    /// The rule does not apply.
    #[serde(rename = "does not apply")]
    DoesNotApply,
}

impl Outcome {
    /// The words of the reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::Broken => "broken",
            Self::NotShown => "not shown",
            Self::DoesNotApply => "does not apply",
        }
    }

    /// Whether it is a fault: a holding rule with this outcome holds the job.
    pub const fn is_fault(self) -> bool {
        matches!(self, Self::Broken | Self::NotShown)
    }
}

/// The answer: nothing else is ever given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum Verdict {
    /// Every holding rule is met, permitted, or does not apply.
    Pass,
    /// Anything else.
    Hold,
}

impl Verdict {
    /// The word of the reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pass => "PASS",
            Self::Hold => "HOLD",
        }
    }
}
