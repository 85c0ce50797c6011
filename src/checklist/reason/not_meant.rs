//! That a checklist is of something else than what was meant: its words, codes and cures. It may be in order all the same.
//!
//! Must not know how a checklist was looked at.

use std::fmt;

use super::Reason;
use crate::document::Code;
use crate::document::prose::in_quotes;
use crate::vocabulary::HoldPoint;

/// What a checklist is of, where something else was meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotMeant {
    /// Another job.
    Job {
        /// The job in the checklist.
        found: String,
        /// The job asked for.
        due: String,
    },
    /// Another hold point.
    HoldPoint {
        /// The hold point in the checklist.
        found: HoldPoint,
        /// The hold point asked for.
        due: HoldPoint,
    },
    /// Other assemblies of its job.
    Assemblies {
        /// The marks asked for that it does not cover.
        due: Vec<String>,
        /// The marks of those it covers.
        covered: Vec<String>,
    },
}

impl NotMeant {
    pub(super) const fn code(&self) -> Code {
        match self {
            Self::Job { .. } => Code::ChecklistOtherJob,
            Self::HoldPoint { .. } => Code::ChecklistOtherHoldPoint,
            Self::Assemblies { .. } => Code::ChecklistOtherAssemblies,
        }
    }

    pub(super) const fn help(&self) -> &'static str {
        match self {
            Self::Job { .. } => "find the checklist of this job",
            Self::HoldPoint { .. } => "find the checklist of this hold point",
            Self::Assemblies { .. } => "find the checklist that covers this assembly",
        }
    }
}

impl fmt::Display for NotMeant {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Job { found, due } => write!(f, "the checklist is for the job `{found}`, not `{due}`"),
            Self::HoldPoint { found, due } => {
                write!(f, "the checklist is for the hold point `{}`, not `{}`", found.word(), due.word())
            }
            Self::Assemblies { due, covered } => {
                write!(f, "the checklist does not cover {}; it is for {}", in_quotes(due), in_quotes(covered))
            }
        }
    }
}

impl From<NotMeant> for Reason {
    fn from(misfit: NotMeant) -> Self {
        Self::NotMeant(misfit)
    }
}
