//! Why a permit does not count: its words, codes and cures.
//!
//! Must not know how a permit was checked.

use std::fmt;

use super::Reason;
use crate::checklist::evidence::EvidenceLine;
use crate::checklist::filled::{Filled, filled_words};
use crate::document::Code;
use crate::document::prose::joined;
use crate::units::{Instant, Quantity};
use crate::vocabulary::{HoldPoint, Role};

/// What speaks against a permit by itself, whatever it is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PermitReason {
    /// A rule that allows no permit.
    NotAllowed,
    /// The rule lets another role permit.
    Role {
        /// Who may.
        due: String,
        /// Who did.
        who: String,
        /// As what.
        role: Role,
    },
    /// The asker permitted it to himself.
    ToOneself {
        /// Who.
        who: String,
    },
    /// More signatures than those of the person who permits and the person who asks.
    Signers {
        /// Who signed.
        who: Vec<String>,
    },
    /// The person who permitted it signed the checklist as supervisor.
    BySigner {
        /// Who.
        who: String,
    },
    /// Longer than the rule allows.
    TooLong {
        /// Its beginning.
        from: Instant,
        /// Its end.
        until: Instant,
        /// The longest span.
        longest: Box<Quantity>,
    },
    /// It ends before the fill for which it was asked is planned.
    EndsBefore {
        /// Its end.
        until: Instant,
        /// The planned start.
        start: Instant,
    },
    /// Not in force.
    NotInForce {
        /// Its beginning; nothing where nobody has signed it yet.
        from: Option<Instant>,
        /// Its end.
        until: Instant,
        /// The instant it was needed.
        at: Instant,
    },
    /// Signed after the work it should permit had begun to be judged.
    Afterwards {
        /// When.
        at: Instant,
    },
    /// For another job, hold point, zone, shop or pack.
    Other(PermittedElsewhere),
    /// Permitted before it was asked for, by the instants of the two signatures.
    BeforeAsked {
        /// When it was asked for.
        asked: Instant,
        /// When it was permitted.
        given: Instant,
    },
    /// The permit is for a finding that is not broken.
    NotNeeded,
    /// The permit is for a finding that another permit sets aside already.
    SetAsideAlready,
    /// The record does not show what the permit was given for.
    OtherEvidence {
        /// What the permit was given for, as it was shown.
        given: Vec<String>,
        /// What the record shows; nothing where it shows no such fault.
        now: Vec<String>,
    },
    /// The fault is of something else than the permit was given for, by the names that only one of the two has.
    OtherThings {
        /// What the permit was given for.
        given: Vec<String>,
        /// What the record names.
        now: Vec<String>,
    },
    /// The record fills something else than the permit was given for.
    OtherFill {
        /// What the permit was given for.
        given: Vec<Filled>,
        /// What the record fills.
        now: Vec<Filled>,
    },
}

/// For what else a permit was given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PermittedElsewhere {
    /// Another job.
    Job {
        /// Its own.
        own: String,
        /// The one at hand; nothing where the record has no number.
        this: Option<String>,
    },
    /// Another hold point.
    HoldPoint {
        /// Its own.
        own: HoldPoint,
        /// The one at hand.
        this: HoldPoint,
    },
    /// Another time zone.
    Zone {
        /// Its own.
        own: String,
        /// The one at hand.
        this: String,
    },
    /// Another shop.
    Shop {
        /// Its own.
        own: String,
        /// The one at hand.
        this: String,
    },
    /// A shop of the same name with other owners.
    Owners {
        /// The name.
        shop: String,
    },
    /// A pack that is not in force.
    PackNotInForce {
        /// The rule of it, `pack/rule`.
        rule: String,
    },
    /// Another edition of a pack, or other files.
    Edition {
        /// Name and edition of its own.
        pack: String,
    },
}

impl fmt::Display for PermittedElsewhere {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Job { own, this: Some(this) } => write!(f, "the job `{own}`, and this is the job `{this}`"),
            Self::Job { own, this: None } => write!(f, "the job `{own}`, and this is a record without a number"),
            Self::HoldPoint { own, this } => {
                write!(f, "the hold point `{}`, and this is `{}`", own.word(), this.word())
            }
            Self::Zone { own, this } => write!(f, "the time zone {own}, and this is {this}"),
            Self::Shop { own, this } => write!(f, "the shop `{own}`, and this is `{this}`"),
            Self::Owners { shop } => write!(f, "a shop of the name `{shop}` with other owners"),
            Self::PackNotInForce { rule } => write!(f, "`{rule}` of a pack that is not in force"),
            Self::Edition { pack } => write!(f, "the pack `{pack}` in another edition or with another digest"),
        }
    }
}

/// What a line of evidence says was seen, without what it was compared with; a line that is none as it is.
fn seen_in(line: &str) -> String {
    let Some(EvidenceLine { fact, values, .. }) = EvidenceLine::read(line).filter(|line| !line.values.is_empty())
    else {
        return line.to_owned();
    };
    format!("`{fact}` {}", joined(&values, "; "))
}

/// Where nothing else would help.
const CLEAR_OR_ASK: &str = "clear the fault itself, or ask beforehand the person who may permit it";

impl PermitReason {
    /// The reason in words.
    pub(super) fn sentence(&self) -> String {
        match self {
            Self::NotAllowed => "the rule allows no permit".to_owned(),
            Self::Role { due, who, role } => {
                format!("the rule lets only the {due} permit, and {who} signs as {role}")
            }
            Self::Signers { who } => {
                format!(
                    "it is signed by {}; only the person who permits must sign it, and the person who asks for it may, each once",
                    joined(who, ", ")
                )
            }
            Self::ToOneself { who } => format!("{who} asked for it, and nobody else has permitted it"),
            Self::BySigner { who } => format!("{who} permitted it and signed the checklist as supervisor"),
            Self::TooLong { from, until, longest } => {
                format!("it runs from {from} to {until}, longer than {longest}")
            }
            Self::EndsBefore { until, start } => {
                format!("the fill is planned for {start}, and the permit has ended by then, at {until}")
            }
            Self::NotInForce { from: Some(from), until, at } => {
                format!("it runs from {from} to {until}, which does not cover {at}")
            }
            Self::NotInForce { from: None, until, at } => {
                format!("it ends at {until}, and is needed at {at}")
            }
            Self::BeforeAsked { asked, given } => {
                format!("it was permitted at {given}, before it was asked for at {asked}")
            }
            Self::Afterwards { at } => {
                format!("it was signed at {at}, after the job had been judged by it")
            }
            Self::Other(what) => format!("it is for {what}"),
            Self::NotNeeded => "nothing is broken that it could permit".to_owned(),
            Self::SetAsideAlready => "another permit for the same fault is given with it, and one is enough".to_owned(),
            Self::OtherEvidence { given, now } => {
                let in_short = |lines: &[String]| lines.iter().map(|line| seen_in(line)).collect::<Vec<_>>();
                let mut told = (in_short(given), in_short(now));
                // Where the values are alike, it is what they were compared with that differs.
                if told.0 == told.1 {
                    told = (given.clone(), now.clone());
                }
                let now = if now.is_empty() { "no such fault".to_owned() } else { told.1.join("; ") };
                format!("it was given for {}, and the record shows {now}", told.0.join("; "))
            }
            Self::OtherThings { given, now } => {
                let said = |lines: &[String]| lines.iter().map(|line| seen_in(line)).collect::<Vec<_>>().join("; ");
                let given = if given.is_empty() { "something without a name".to_owned() } else { said(given) };
                let now = if now.is_empty() { "no such name".to_owned() } else { said(now) };
                format!("it was given for {given}, and the record has {now}")
            }
            Self::OtherFill { given, now } => {
                format!("it was given for filling {}, and the record fills {}", filled_words(given), filled_words(now))
            }
        }
    }

    pub(super) fn code(&self) -> Code {
        match self {
            Self::NotAllowed => Code::ChecklistPermitNone,
            Self::Role { .. } => Code::ChecklistPermitRole,
            Self::Signers { .. } => Code::ChecklistPermitSigners,
            Self::ToOneself { .. } | Self::BySigner { .. } => Code::ChecklistPermitSelf,
            Self::TooLong { .. } => Code::ChecklistPermitTooLong,
            Self::NotInForce { .. } | Self::EndsBefore { .. } => Code::ChecklistPermitNotInForce,
            Self::BeforeAsked { .. } => Code::ChecklistPermitBeforeAsked,
            Self::Afterwards { .. } => Code::ChecklistPermitAfterwards,
            Self::Other(_) => Code::ChecklistPermitOther,
            Self::NotNeeded | Self::SetAsideAlready => Code::ChecklistPermitNotNeeded,
            Self::OtherEvidence { .. } | Self::OtherThings { .. } => Code::ChecklistPermitOtherEvidence,
            Self::OtherFill { .. } => Code::ChecklistPermitOtherFill,
        }
    }

    /// How to put it right.
    pub(super) fn help(&self) -> &str {
        match self {
            Self::NotAllowed => "clear the fault itself; nobody may permit it",
            Self::ToOneself { .. } => {
                "have somebody else who may permit it sign it with `fillward permit give`, or clear the fault itself"
            }
            Self::TooLong { .. } => "ask anew for one that ends within that span, or clear the fault itself",
            Self::Other(PermittedElsewhere::HoldPoint { .. }) => {
                "ask for a permit at the hold point where the rule is broken"
            }
            Self::Other(PermittedElsewhere::Job { .. }) => "give the permit of this job, or the record that it is for",
            Self::Role { .. }
            | Self::Signers { .. }
            | Self::BySigner { .. }
            | Self::NotInForce { .. }
            | Self::BeforeAsked { .. }
            | Self::Afterwards { .. }
            | Self::Other(_) => CLEAR_OR_ASK,
            Self::EndsBefore { .. } => "ask for one that lasts beyond the planned start, or plan the fill earlier",
            Self::NotNeeded => "leave the permit out",
            Self::SetAsideAlready => "give one of the two permits alone",
            Self::OtherEvidence { .. } | Self::OtherThings { .. } => "ask for a permit for what the record shows now",
            Self::OtherFill { .. } => "ask for a permit for what is filled now",
        }
    }
}

impl From<PermitReason> for Reason {
    fn from(reason: PermitReason) -> Self {
        Self::OfPermit(reason)
    }
}
