//! A version of the trust file that is asked for, and what it goes on from.
//!
//! Must not know whether it follows the version in force.

use std::path::PathBuf;

use crate::checklist::Reason;
use crate::checklist::trust::{TrustBody, Unsound, fault};
use crate::desk::Refusal;
use crate::document::{self, Document, Faults};
use crate::units::{Instant, Zone};

/// A version of a trust file that is asked for.
#[derive(Debug)]
pub struct TrustOrder {
    /// What it is to say.
    pub body: TrustBody,
    /// The name of the document that says it, for the messages.
    pub name: PathBuf,
    /// The document itself, where somebody wrote it by hand: what speaks against it is shown at its line.
    pub document: Option<Document>,
    /// Where the version in force is kept.
    pub out: PathBuf,
    /// What it goes on from, where it is made of the version in force and of a draft that waited: what this act does not
    /// change, and others have.
    pub from: Option<NextTrust>,
}

/// The next version of a trust file before an act changes it.
#[derive(Debug, Clone)]
pub struct NextTrust {
    /// Where the shop lies.
    pub zone: Zone,
    /// What it says.
    pub body: TrustBody,
    /// The latest instant that the version in force bears out; ahead of the clock, where one of its owners signed by a clock
    /// that was.
    pub latest: Instant,
    /// What of it is of a draft that waits, where there is one.
    pub carried: Option<Carried>,
}

/// A draft that is gone on from.
#[derive(Debug, Clone)]
pub struct Carried {
    /// The owners who have signed it, by name and key; where there are none, it holds approvals alone, each with the
    /// signature of a safety officer.
    pub owners: Vec<(String, String)>,
}

/// What an owner should know of what was asked for, before signing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TrustNote {
    /// A key was added to somebody who is there: a person of the same name would be taken for the same.
    FurtherKey {
        /// The name.
        person: String,
    },
    /// The base pack, which judges every job, is approved for none once its approval has ended.
    BaseNoLongerApproved,
    /// A pack judges nothing any more once its approval has ended: no job is asked for it.
    JudgesNoLonger {
        /// The pack.
        pack: String,
        /// Whether every job had to be judged by it.
        required: bool,
    },
    /// The version in force was made or signed by a clock that stood ahead, which is set aside.
    WasAhead {
        /// The version in force.
        version: i64,
        /// Up to when it reaches.
        ahead: Instant,
        /// The packs whose approval begins later all the same: it is signed with that instant.
        packs: Vec<String>,
    },
}

impl TrustOrder {
    /// The refusal of a body that does not hold together: at its lines, where somebody wrote it.
    pub(super) fn unsound(&self, found: Vec<Unsound>) -> Refusal {
        match &self.document {
            Some(document) => {
                let list = found.iter().map(|unsound| fault(document, &unsound.at, &unsound.reason)).collect();
                Faults::none_of(list).err().map_or_else(|| Refusal::TrustOrder(Vec::new()), Refusal::Invalid)
            }
            None => Refusal::TrustOrder(found.into_iter().map(|unsound| unsound.reason).collect()),
        }
    }

    /// The refusal for what one member of the body says.
    pub(super) fn refused(&self, member: &str, reason: Reason) -> Refusal {
        self.unsound(vec![Unsound { at: document::Path::root().child(member), reason }])
    }
}
