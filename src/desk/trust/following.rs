//! What a next version of the trust file is held against before anybody signs it: the version in force, and who has signed
//! a draft of it.
//!
//! Must not know files.

use std::path::Path;

use super::Trust;
use super::order::TrustOrder;
use crate::checklist::jws::Envelope;
use crate::checklist::trust::{Pins, TrustBody, changes};
use crate::checklist::{Reason, TrustReason};
use crate::desk::{DraftFault, Refusal};
use crate::units::Instant;
use crate::vocabulary::Kind;

/// Reads a draft of the next version; what is damaged is named, since it stands in the way of every change.
pub(super) fn read_draft(name: &Path, bytes: &[u8]) -> Result<(Envelope, TrustBody), Refusal> {
    let read = Envelope::read(Kind::Trust, &name.to_string_lossy(), bytes);
    let read = read.and_then(|envelope| envelope.body().map(|body| (envelope, body)));
    read.map_err(|fault| DraftFault::Damaged { name: name.to_owned(), why: Box::new(fault.into()) }.into())
}

/// The owners of the version in force who have signed a draft of the next one; where nobody has, it must hold no more than
/// approvals that safety officers have signed.
pub(super) fn vouched(
    old: &Trust,
    envelope: &Envelope,
    draft: &TrustBody,
    (name, now): (&Path, Instant),
) -> Result<Vec<(String, String)>, Refusal> {
    let owners = old.owners_behind(envelope);
    if owners.is_empty() {
        let next = old.next_with_approvals(draft, now);
        let found = changes(Some(&TrustBody { made_at: draft.made_at.clone(), ..next }), draft);
        if !found.is_empty() {
            return Err(DraftFault::OfNobody { name: name.to_owned(), changes: found }.into());
        }
    }
    Ok(owners)
}

/// Sees that a body is the version after the one in force, made after it, which leaves nobody out and brings back neither an
/// approval nor an ended key; gives what the signed file is held against.
pub(super) fn follows(order: &TrustOrder, new: &Trust, old: &Trust) -> Result<Pins, Refusal> {
    let (pins, found, before) = (old.pins(), order.body.version, old.version());
    if found != before + 1 {
        return Err(order.refused("version", Reason::OfTrust(TrustReason::NotNext { found, before })));
    }
    if let Some(reason) = old.renames_otherwise(&order.body) {
        return Err(order.refused("shop", reason));
    }
    if let Some(reason) = old.brought_back(&order.body) {
        return Err(order.refused("packs", reason));
    }
    if let Some(reason) = new.is_made_before(old.made_at(), old.latest()) {
        return Err(order.refused("made_at", reason));
    }
    let people = old.body().people.iter().map(|person| person.name.as_str());
    if let Some(reason) = new.takes_back(old.key_spans()).or_else(|| new.leaves_out(people)) {
        return Err(order.refused("people", reason));
    }
    Ok(pins)
}
