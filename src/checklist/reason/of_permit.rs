//! Why a permit does not count: its words, codes and cures.

use super::Reason;
use crate::document::Code;
use crate::vocabulary::Role;

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
    /// More signatures than those of whoever permits and whoever asks.
    Signers {
        /// Who signed.
        who: String,
    },
    /// Whoever permitted it signed the checklist as supervisor.
    BySigner {
        /// Who.
        who: String,
    },
    /// Longer than the rule allows.
    TooLong {
        /// Its beginning.
        from: String,
        /// Its end.
        until: String,
        /// The longest span.
        longest: String,
    },
    /// Not in force.
    NotInForce {
        /// Its beginning.
        from: String,
        /// Its end.
        until: String,
        /// The instant it was needed.
        at: String,
    },
    /// Signed after the work it should permit had begun to be judged.
    Afterwards {
        /// When.
        at: String,
    },
    /// For another job, rule, subject or pack.
    Other {
        /// For what it is.
        what: String,
    },
    /// The permit is for a finding that is not broken.
    NotNeeded,
    /// The permit is for a finding that another permit sets aside already.
    SetAsideAlready,
    /// The record does not show what the permit was given for.
    OtherEvidence,
    /// The record fills something else than the permit was given for.
    OtherFill {
        /// What the permit was given for.
        given: String,
    },
}

impl PermitReason {
    /// The reason in words.
    pub(super) fn sentence(&self) -> String {
        match self {
            Self::NotAllowed => "the rule allows no permit".to_owned(),
            Self::Role { due, who, role } => {
                format!("the rule lets only the {due} permit, and {who} signed as {role}")
            }
            Self::Signers { who } => {
                format!(
                    "it is signed by {who}; only the person who permits must sign it, and the person who asks for it may, each once"
                )
            }
            Self::ToOneself { who } => format!("{who} asked for it, and nobody else has permitted it"),
            Self::BySigner { who } => format!("{who} permitted it and signed the checklist as supervisor"),
            Self::TooLong { from, until, longest } => {
                format!("it runs from {from} to {until}, longer than {longest}")
            }
            Self::NotInForce { from, until, at } => {
                format!("it runs from {from} to {until}, which does not cover {at}")
            }
            Self::Afterwards { at } => {
                format!("it was signed at {at}, after the job had been judged by it")
            }
            Self::Other { what } => format!("it is for {what}"),
            Self::NotNeeded => "nothing is broken that it could permit".to_owned(),
            Self::SetAsideAlready => "another permit for the same fault is given with it, and one is enough".to_owned(),
            Self::OtherEvidence => "the record does not show what it was given for".to_owned(),
            Self::OtherFill { given } => {
                format!("the record does not fill what it was given for, which is {given}")
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
            Self::NotInForce { .. } => Code::ChecklistPermitNotInForce,
            Self::Afterwards { .. } => Code::ChecklistPermitAfterwards,
            Self::Other { .. } => Code::ChecklistPermitOther,
            Self::NotNeeded | Self::SetAsideAlready => Code::ChecklistPermitNotNeeded,
            Self::OtherEvidence => Code::ChecklistPermitOtherEvidence,
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
            Self::Role { .. }
            | Self::Signers { .. }
            | Self::BySigner { .. }
            | Self::TooLong { .. }
            | Self::NotInForce { .. }
            | Self::Afterwards { .. }
            | Self::Other { .. } => "clear the fault itself, or ask beforehand the person who may permit it",
            Self::NotNeeded => "leave the permit out",
            Self::SetAsideAlready => "give one of the two permits alone",
            Self::OtherEvidence => "ask for a permit for what the record shows now",
            Self::OtherFill { .. } => "ask for a permit for what is filled now",
        }
    }
}

impl From<PermitReason> for Reason {
    fn from(reason: PermitReason) -> Self {
        Self::OfPermit(reason)
    }
}
