//! What a next version of the trust file is held against before anybody signs it: the version in force, by what this account
//! remembers, and who has signed a draft of it.
//!
//! Must not know files.

use std::path::Path;

use super::memory::Recalled;
use super::order::TrustOrder;
use super::{SeenBefore, Trust, against};
use crate::checklist::jws::Envelope;
use crate::checklist::trust::{Pins, TrustBody, changes};
use crate::checklist::{Reason, TrustReason};
use crate::desk::{Desk, DraftFault, Refusal};
use crate::units::Instant;
use crate::vocabulary::{Kind, Role};

/// The version in force, as far as this account knows it.
pub(super) struct VersionInForce {
    pub(super) trust: Trust,
    /// Whether the account remembers a version of these owners; else nobody here can say whether it is the shop's.
    pub(super) is_known: bool,
    /// What the account saw last, where this version is new to it.
    pub(super) seen_before: Option<SeenBefore>,
    /// The latest time that is known: by the version, and by what this account remembers.
    pub(super) last: Instant,
}

impl Desk<'_> {
    /// Reads the version in force. What this account would let nothing start by is no version to go on from: another
    /// one of the same number, an older one, one that too few owners have signed.
    pub(super) fn in_force(&self, out: &Path, bytes: &[u8]) -> Result<VersionInForce, Refusal> {
        let label = out.to_string_lossy();
        let open = |pins: &Pins| Trust::open(&label, bytes, pins);
        let by_itself = open(&Pins::default()).map_err(against(out))?;
        let owners: Vec<String> = by_itself.pins().owners.into_iter().flatten().collect();
        let seen = Recalled::of(self.storage)?;
        let known = seen.latest(&owners);
        let is_known = known.digest.is_some();
        let trust = open(&known).and_then(|trust| match seen.brought_back(&owners, &trust) {
            Some(reason) => Err(vec![reason]),
            None => Ok(trust),
        });
        let trust = match trust {
            Ok(trust) => trust,
            // Another act was faster, and what it signed is remembered already.
            Err(_) if self.storage.read_if_there(out)?.as_deref() != Some(bytes) => return Err(Refusal::changed(out)),
            Err(reasons) => return Err(against(out)(reasons)),
        };
        let seen_before = seen.seen_before(&owners, &trust);
        let last = seen.time(&owners, &trust).into_iter().chain([trust.latest()]).max().unwrap_or(trust.latest());
        Ok(VersionInForce { last: last.in_zone(trust.zone()), trust, is_known, seen_before })
    }
}

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

/// Sees that the owners of the version in force who can still sign this one are as many as that version asks for: what can
/// never come in force is not left to wait.
pub(super) fn can_come_in_force(old: &Trust, new: &Trust, at: Instant) -> Result<(), DraftFault> {
    let Pins { owners, needed, .. } = old.pins();
    let can_sign = |kids: &&Vec<String>| kids.iter().any(|kid| new.may_sign(kid, Role::Owner, at).is_ok());
    let left = owners.iter().filter(can_sign).count();
    // Of one owner the key itself says why it cannot sign.
    if needed > 1 && left < needed { Err(DraftFault::TooFewOwnersLeft { needed, left }) } else { Ok(()) }
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
    // However late the last of its owners signs.
    let last = new.settled_last();
    if let Some(reason) = old.brought_back(last.body()) {
        return Err(order.refused("packs", reason));
    }
    let anew = new.clock_anew_after(old);
    if let Some(reason) = new.is_made_before(old.made_at(), old.latest()).filter(|_| anew.is_none()) {
        return Err(order.refused("made_at", reason));
    }
    let people = old.body().people.iter().map(|person| person.name.as_str());
    if let Some(reason) = last.takes_back(old.key_spans(), anew).or_else(|| new.leaves_out(people)) {
        return Err(order.refused("people", reason));
    }
    Ok(pins)
}
