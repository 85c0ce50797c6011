//! What is ordered of the desk: a permit that is asked for or written, and the answer to a request.
//!
//! Must not know how it is judged or signed.

use std::path::PathBuf;

use crate::desk::Passage;
use crate::desk::world::NamedBytes;
use crate::units::Instant;

/// A permit that is asked for.
#[derive(Debug, Clone)]
pub struct PermitOrder {
    /// The job record.
    pub record: NamedBytes,
    /// The shop file that it draws on.
    pub shop: Option<NamedBytes>,
    /// The local packs that judge it as well.
    pub packs: Vec<NamedBytes>,
    /// The broken rule, by its name or as `pack/rule`.
    pub rule: String,
    /// Of what subject, where the rule is broken for several.
    pub subject: Option<String>,
    /// Why it is asked for, and what is done instead.
    pub reason: String,
    /// Who asks.
    pub by: By,
    /// Until when it is to hold.
    pub until: Instant,
    /// The hold point at which the rule is broken, and of which assemblies.
    pub passage: Passage,
    /// Where the permit is to be kept; beside the record where nothing is said.
    pub out: Option<PathBuf>,
}

/// Who asks for a permit, and so whose hand signs the order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum By {
    /// The person who signs asks, as the trust file has the name; somebody else permits it later.
    Asker {
        /// Who signs.
        name: String,
    },
    /// The person who signs permits it; asked by word of mouth by this person, as the trust file has the name.
    Permitter {
        /// Who asked.
        asked_by: String,
    },
}

/// A request that was signed by the person who asks, for the person who may permit it.
#[derive(Debug, Clone)]
pub struct GiveOrder {
    /// The request.
    pub request: NamedBytes,
    /// The job record as it stands now.
    pub record: NamedBytes,
    /// The shop file that it draws on.
    pub shop: Option<NamedBytes>,
    /// The local packs that judge it as well.
    pub packs: Vec<NamedBytes>,
}
