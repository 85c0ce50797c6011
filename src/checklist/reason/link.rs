//! Why the checklist of the hold point before does not bear the one that follows it, and its words.
//!
//! Must not know how the earlier file was found or read.

use std::fmt;

use super::Reason;
use crate::document::Path;
use crate::units::Instant;
use crate::vocabulary::{HoldPoint, quoted};

/// Why a checklist does not follow the one that it names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BrokenLink {
    /// It is of the first hold point.
    NothingBefore,
    /// The record does not say when the earlier one was acted on.
    NotActedOn {
        /// Where it would.
        place: Path,
    },
    /// It covers no assembly.
    NoAssembly,
    /// The earlier one is doubtful.
    Doubtful {
        /// Its hold point.
        point: HoldPoint,
        /// Why.
        reason: Box<Reason>,
    },
    /// The earlier one cannot be read.
    Unread,
    /// The earlier one is of another hold point.
    OtherPoint {
        /// Of which.
        found: HoldPoint,
    },
    /// What was done by the earlier one was not borne by it.
    NotBorne {
        /// Its hold point.
        point: HoldPoint,
        /// What barred it.
        bar: Box<Reason>,
    },
    /// What was done by the earlier one was done after its end.
    Lapsed {
        /// Its hold point.
        point: HoldPoint,
    },
    /// The earlier one does not cover an assembly.
    NotCovered {
        /// Its hold point.
        point: HoldPoint,
        /// The mark of the assembly, where it has one.
        mark: Option<String>,
    },
}

/// What was given in the place of the checklist that another one follows, each by the name of its file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum GivenInstead {
    /// One of another job.
    OtherJob {
        /// The file.
        name: String,
        /// The job.
        job: String,
    },
    /// One of another hold point.
    OtherPoint {
        /// The file.
        name: String,
        /// The hold point.
        found: HoldPoint,
    },
    /// One of this job and hold point with another content.
    Another {
        /// The file.
        name: String,
        /// When it was judged.
        judged_at: String,
    },
    /// One of this job and hold point that is not to be relied on.
    Doubtful {
        /// The file.
        name: String,
        /// Why.
        reason: Box<Reason>,
    },
    /// One that cannot be read.
    Unread {
        /// The file.
        name: String,
    },
    /// Several, of which none is of this job and hold point.
    Several {
        /// How many.
        count: usize,
    },
}

impl fmt::Display for GivenInstead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OtherJob { name, job } => write!(f, "{} is of the job {}", quoted(name), quoted(job)),
            Self::OtherPoint { name, found } => write!(f, "{} is of the hold point `{}`", quoted(name), found.word()),
            Self::Another { name, judged_at } => {
                let at = Instant::told(judged_at);
                write!(f, "{} is of this job, and says something else, checked {at}", quoted(name))
            }
            Self::Doubtful { name, reason } => write!(f, "{} is not to be relied on: {reason}", quoted(name)),
            Self::Unread { name } => write!(f, "{} cannot be read", quoted(name)),
            Self::Several { count } => write!(f, "of the {count} given none is of this job and hold point"),
        }
    }
}

impl fmt::Display for BrokenLink {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NothingBefore => f.write_str("nothing comes before the first hold point"),
            Self::NotActedOn { place } => write!(f, "`{place}` does not say when that was acted on"),
            Self::NoAssembly => f.write_str("it covers no assembly"),
            Self::Doubtful { point, reason } => match &**reason {
                // Looked at as of the act, what came after it is ahead.
                Reason::JudgedAhead { at } => {
                    write!(f, "what the checklist of {} is for was done before it was checked, {at}", point.word())
                }
                Reason::SignedAhead { who, at } => {
                    write!(f, "what the checklist of {} is for was done before {who} signed it, {at}", point.word())
                }
                reason => write!(f, "of the checklist of {}: {reason}", point.word()),
            },
            Self::Unread => f.write_str("it cannot be read"),
            Self::OtherPoint { found } => write!(f, "the checklist that it names is of {}", found.word()),
            Self::NotBorne { point, bar } => {
                write!(f, "what the checklist of {} is for was done, and it does not bear that: {bar}", point.word())
            }
            Self::Lapsed { point } => {
                write!(f, "what the checklist of {} is for was done when it had lapsed", point.word())
            }
            Self::NotCovered { point, mark: Some(mark) } => {
                write!(f, "the checklist of {} does not cover {mark}", point.word())
            }
            Self::NotCovered { point, mark: None } => {
                write!(f, "the checklist of {} does not cover an assembly without a mark", point.word())
            }
        }
    }
}

impl BrokenLink {
    /// How to put it right, one imperative sentence.
    pub(super) fn help(&self) -> &'static str {
        match self {
            Self::NotActedOn { .. } => {
                "write there when it was done, to the minute; where nobody can say, go no further and ask the supervisor what becomes of the assembly"
            }
            Self::Unread | Self::OtherPoint { .. } => {
                "give with --before the checklist of the hold point just before, and those before it, or the folder of all of them"
            }
            Self::Doubtful { reason, .. } if matches!(**reason, Reason::LinkLeftOut { .. }) => {
                "give with --before the checklists of all hold points before, or the folder of all of them"
            }
            _ => "go no further; ask the supervisor what becomes of the assembly",
        }
    }
}

impl From<BrokenLink> for Reason {
    fn from(why: BrokenLink) -> Self {
        Self::LinkBroken(why)
    }
}
