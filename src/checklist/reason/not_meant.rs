//! That a checklist is of something else than what was meant: its words, codes and cures. It may be in order all the same.
//!
//! Must not know how a checklist was looked at.

use std::borrow::Cow;
use std::fmt;

use super::Reason;
use crate::document::Code;
use crate::document::prose::in_quotes;
use crate::units::Instant;
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
    /// An instant at which it was not there yet: it was judged, or signed by all who must, later.
    NotYet {
        /// The instant as of which it was asked for.
        asked: Instant,
        /// From when it was there.
        since: Instant,
    },
}

impl NotMeant {
    pub(super) const fn code(&self) -> Code {
        match self {
            Self::Job { .. } => Code::ChecklistOtherJob,
            Self::HoldPoint { .. } => Code::ChecklistOtherHoldPoint,
            Self::Assemblies { .. } => Code::ChecklistOtherAssemblies,
            Self::NotYet { .. } => Code::ChecklistNotYet,
        }
    }

    pub(super) fn help(&self) -> Cow<'_, str> {
        Cow::Borrowed(match self {
            Self::Job { .. } => "find the checklist of this job",
            Self::HoldPoint { .. } => "find the checklist of this hold point",
            Self::Assemblies { .. } => "find the checklist that covers this assembly",
            Self::NotYet { since, .. } => {
                return format!("ask for {since} or a later time with --at, or leave --at out to ask for now").into();
            }
        })
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
            Self::NotYet { asked, since } => {
                write!(f, "it was not there yet at {asked}, as of which you ask: it was checked and signed by {since}")
            }
        }
    }
}

impl From<NotMeant> for Reason {
    fn from(misfit: NotMeant) -> Self {
        Self::NotMeant(misfit)
    }
}
