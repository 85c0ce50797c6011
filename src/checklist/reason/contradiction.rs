//! What contradicts itself inside a checklist, and its words.
//!
//! Must not know who asks, or how a file was signed.

use std::fmt;

use super::{Reason, SubjectName};

/// What contradicts itself inside a checklist, no matter who signed it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SelfContradiction {
    /// An assembly that the record inside does not have.
    CoversAnother {
        /// Its mark.
        mark: String,
    },
    /// Another format than that of this edition.
    Format {
        /// What stands there.
        found: String,
        /// The one that is read.
        due: &'static str,
    },
    /// PASS with a fault that holds the job.
    PassesWithFault {
        /// `pack/rule`.
        rule: String,
        /// Of what.
        of: SubjectName,
    },
    /// PASS without an assembly.
    PassesWithoutAssembly,
    /// PASS without a rule that is met.
    PassesWithoutRule,
    /// PASS without an end.
    PassesWithoutEnd,
    /// A permitted finding that is not broken.
    PermittedNotBroken,
    /// Permits and permitted findings do not match in number.
    PermittedAndPermits {
        /// How many findings are permitted.
        findings: usize,
        /// How many permits stand inside.
        permits: usize,
    },
    /// A permitted finding that no permit is for.
    PermittedByNone {
        /// `pack/rule`.
        rule: String,
        /// Of what.
        of: SubjectName,
    },
    /// No pack.
    NoPack,
    /// One pack twice.
    PackTwice {
        /// Its name.
        pack: String,
    },
    /// The supervisor's signature is not asked for.
    NoSupervisor,
    /// More signatures than may be asked for.
    TooManySigners {
        /// How many may be.
        most: usize,
    },
    /// No time zone of the database.
    Zone {
        /// What stands there.
        found: String,
    },
    /// Instants at other offsets than those of the zone.
    Offsets {
        /// The zone.
        zone: String,
    },
    /// An end before the judgement.
    EndsBeforeJudged,
    /// An end later than any judgement has.
    HoldsTooLong,
    /// Instants that are none.
    NotInstants,
    /// The record inside is of another job, or of none.
    OtherJob {
        /// The job number of the record; nothing where it has none.
        found: Option<String>,
    },
    /// It has the digest of the shop file given, and other entries than that.
    OtherShopPart,
    /// What is signed is not what was shown.
    OtherBody,
}

impl fmt::Display for SelfContradiction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::CoversAnother { mark } => write!(f, "it covers `{mark}`, and its record does not"),
            Self::Format { found, due } => write!(f, "its format is `{found}`, this edition reads `{due}`"),
            Self::PassesWithFault { rule, of } => {
                write!(f, "the verdict is PASS, and `{rule}` holds the job for {of}")
            }
            Self::PassesWithoutAssembly => f.write_str("the verdict is PASS, and it covers no assembly"),
            Self::PassesWithoutRule => f.write_str("the verdict is PASS, and no rule is met"),
            Self::PassesWithoutEnd => f.write_str("it passes without an end of its validity"),
            Self::PermittedNotBroken => f.write_str("something that is not broken is permitted"),
            Self::PermittedAndPermits { findings, permits } => {
                write!(f, "{findings} findings are permitted, by {permits} permits")
            }
            Self::PermittedByNone { rule, of } => {
                write!(f, "`{rule}` of {of} is said to be permitted, and no permit is for it")
            }
            Self::NoPack => f.write_str("it names no pack"),
            Self::PackTwice { pack } => write!(f, "it names the pack `{pack}` twice"),
            Self::NoSupervisor => f.write_str("it does not ask for the supervisor's signature"),
            Self::TooManySigners { most } => write!(f, "it asks for more than {most} signatures"),
            Self::Zone { found } => write!(f, "its time zone is `{found}`"),
            Self::Offsets { zone } => write!(f, "its instants are not written at the offsets of {zone}"),
            Self::EndsBeforeJudged => f.write_str("its validity ends before it was judged"),
            Self::HoldsTooLong => f.write_str("it claims to be good for longer than any check is"),
            Self::NotInstants => f.write_str("its instants are not instants with seconds and offset"),
            Self::OtherJob { found: Some(job) } => write!(f, "its record is of the job `{job}`"),
            Self::OtherJob { found: None } => f.write_str("its record has no job number"),
            Self::OtherShopPart => f.write_str(
                "it has the digest of the shop file given, and the entries that it used do not stand so in that file",
            ),
            Self::OtherBody => f.write_str("the envelope holds another body"),
        }
    }
}

impl From<SelfContradiction> for Reason {
    fn from(what: SelfContradiction) -> Self {
        Self::Contradiction(what)
    }
}
