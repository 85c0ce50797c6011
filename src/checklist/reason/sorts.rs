//! Sorts of reasons that answers tell apart: what only says that time has passed, and what somebody else's signature bears
//! out all the same.
//!
//! Must not know words.

use super::{PermitReason, Reason, TrustReason};
use crate::checklist::packs::PackPart;
use crate::document::Fault;
use crate::units::Instant;

/// What is known of a signature by a key that was revoked since, by another person's signature from before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BorneOut {
    /// They signed the same content, so it was there; whether this signature was is not known.
    Content {
        /// Who.
        by: String,
    },
    /// They signed what has this signature in it, so it was there as well.
    Signature {
        /// Who.
        by: String,
    },
}

impl From<Fault> for Reason {
    fn from(fault: Fault) -> Self {
        Self::Form(Box::new(fault))
    }
}

impl Reason {
    /// Whether it says no more than that time has passed, as it does for every file: an end that was planned has come.
    pub fn is_of_age(&self) -> bool {
        match self {
            Self::Lapsed { .. }
            | Self::KeyEnded { .. }
            | Self::OfTrust(TrustReason::Ended { .. })
            | Self::PackApprovalOver { .. }
            | Self::OldEdition
            | Self::NotNow { .. } => true,
            Self::Permit { reason, .. } => {
                reason.is_of_age()
                    || matches!(
                        **reason,
                        Self::OfPermit(PermitReason::NotInForce { .. } | PermitReason::EndsBefore { .. })
                    )
            }
            _ => false,
        }
    }

    /// Takes in, where it says that other packs were given than judged, which editions were given beside them of those that
    /// judged, by name and edition alone.
    pub(crate) fn also_given(&mut self, editions: &[PackPart]) {
        match self {
            Self::OtherPacks { given, due } => {
                let is_meant = |part: &&PackPart| due.iter().any(|due| due.title() == part.title());
                given.extend(editions.iter().filter(is_meant).cloned());
            }
            Self::NotRejudged { other: Some(reason) } => reason.also_given(editions),
            _ => {}
        }
    }

    /// How soon it is told among the bars of one file: what decides what that is worth before what only bars the start.
    pub fn place(&self) -> u8 {
        match self {
            Self::ClockBehind { .. }
            | Self::ClockSetBack { .. }
            | Self::OtherShop { .. }
            | Self::OtherOwners(_)
            | Self::OfTrust(TrustReason::LaterThanGiven { .. }) => 0,
            Self::OfTrust(TrustReason::NotRemembered) => 1,
            _ if self.leaves_open_whose() => 1,
            Self::NotMeant(_) | Self::RecordChanged(_) => 2,
            _ => 3,
        }
    }

    /// Whether it says that what held by time holds no longer, as planned or since a reading or a paper has grown old.
    pub fn is_over(&self) -> bool {
        self.is_of_age() || matches!(self, Self::NoLongerPasses { .. })
    }

    /// Whether it says that nobody here knows whose trust file a document was held against: the person who made up a
    /// shop of their own gets as far.
    pub const fn leaves_open_whose(&self) -> bool {
        matches!(self, Self::OfTrust(TrustReason::Unpinned | TrustReason::OwnerNotAccepted { .. }))
    }

    /// Whether it says that what this account knows of trust files, or of the time, is not to be relied on.
    pub const fn is_of_memory(&self) -> bool {
        matches!(self, Self::OfTrust(TrustReason::NotRemembered) | Self::ClockSetBack { .. })
    }

    /// Whether it says that a key was revoked after an instant, and that somebody else bears out what it signed: by what was
    /// known at that instant, nothing speaks against it.
    pub(in crate::checklist) fn is_borne_out_theft_after(&self, at: Instant) -> bool {
        match self {
            Self::KeyRevokedSince { from, borne_out: Some(_), .. } => *from > at,
            Self::Permit { reason, .. } => reason.is_borne_out_theft_after(at),
            _ => false,
        }
    }
}
