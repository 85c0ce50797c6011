//! The approval of a pack: a statement that the safety officer signs, and that stands with her signature in the trust file.
//!
//! A name that an owner types would be the owner's word. What is signed is everything that the approval says but its end,
//! and the shop, since an officer may serve two: the owner may end an approval, and never make one, bring one back or take
//! one over from another shop. This module must not know what a pack is.

use serde::Serialize;
use serde_json::json;

use super::body::{Approval, TrustBody};
use super::{Trust, ahead_of};
use crate::checklist::jws::{Envelope, instant};
use crate::checklist::keys::SecretKey;
use crate::checklist::packs::{PackPart, sha256_hex};
use crate::checklist::reason::{Reason, TrustFlaw};
use crate::document::Fault;
use crate::units::Instant;
use crate::vocabulary::{Kind, Role};

/// What the safety officer signs.
#[derive(Serialize)]
struct Statement<'a> {
    approved_by: &'a str,
    edition: &'a str,
    from: &'a str,
    name: &'a str,
    required: bool,
    sha256: &'a str,
    shop: &'a str,
}

impl Approval {
    fn statement<'a>(&'a self, shop: &'a str) -> Statement<'a> {
        let Self { name, edition, sha256, approved_by, required, from, until: _, once_signed: _, shop: then, seal: _ } =
            self;
        let shop = then.as_deref().unwrap_or(shop);
        Statement { approved_by, edition, from, name, required: *required, sha256, shop }
    }

    /// Signs it for a shop, in place of whatever signature it has.
    ///
    /// # Errors
    /// If it says something that cannot stand in a signed file.
    pub fn sign(&mut self, shop: &str, key: &SecretKey, at: Instant) -> Result<(), Fault> {
        let mut envelope = Envelope::new(Kind::Approval, &self.statement(shop))?;
        envelope.sign(key, Role::SafetyOfficer, at)?;
        self.seal = envelope.seals().first().cloned();
        Ok(())
    }

    /// When it was signed, as far as that can be read.
    pub(super) fn signed_at(&self, shop: &str) -> Option<Instant> {
        Some(self.envelope(shop).ok()?.signers().into_iter().next()?.ok()?.at)
    }

    /// Its end, if it has one.
    fn end(&self) -> Option<Instant> {
        self.until.as_deref().and_then(instant)
    }

    /// The digest of its signature, which no other approval has.
    pub(super) fn seal_digest(&self) -> String {
        let seal = self.seal.as_ref().map(|seal| format!("{}.{}", seal.protected, seal.signature));
        sha256_hex(seal.unwrap_or_default().as_bytes())
    }

    fn brought_back(&self) -> Reason {
        TrustFlaw::ApprovalBack { pack: self.title(), by: self.approved_by.clone() }.into()
    }

    /// The statement with its signature.
    fn envelope(&self, shop: &str) -> Result<Envelope, Fault> {
        let seals: Vec<_> = self.seal.iter().collect();
        Envelope::nested(Kind::Approval, &json!({ Kind::Approval.member(): self.statement(shop), "signatures": seals }))
    }
}

impl TrustBody {
    /// Ends the approvals of a pack that have no end, from the instant at which one of the same name begins, and gives them.
    pub fn give_way(&mut self, name: &str, from: &str) -> Vec<PackPart> {
        let mut ended = Vec::new();
        for approval in self.packs.iter_mut().filter(|known| known.name == name && known.until.is_none()) {
            (approval.until, approval.once_signed) = (Some(from.to_owned()), true);
            let Approval { name, edition, sha256, .. } = &*approval;
            ended.push(PackPart { name: name.clone(), edition: edition.clone(), sha256: sha256.clone() });
        }
        ended
    }
}

impl Trust {
    /// Sees that a pack is approved by the signature of the person whom the approval names, as safety officer, and whether
    /// that counts. A key that was revoked later does not undo it: the owners have signed it, too. One that had been
    /// revoked, or given back, by the instant of the signature does.
    pub(super) fn check_approval(&self, approval: &Approval) -> Result<bool, Reason> {
        let unsigned = || -> Reason {
            TrustFlaw::ApprovalUnsigned { pack: approval.title(), by: approval.approved_by.clone() }.into()
        };
        let envelope = approval.envelope(self.shop()).map_err(|_| unsigned())?;
        let Some(signer) = envelope.signers().into_iter().next() else { return Err(unsigned()) };
        let signer = signer.map_err(|_| unsigned())?;
        let changed = |reason: Reason| match reason {
            Reason::Changed { who: by } => TrustFlaw::ApprovalChanged { pack: approval.title(), by }.into(),
            other => other,
        };
        let retired = self.holders.get(&signer.kid).and_then(|holder| holder.retired);
        let (person, counts) = match self.standing(&envelope, &signer) {
            Ok(standing) => (standing.person.to_owned(), true),
            Err(Reason::KeyRevoked { who, .. }) => (who, false),
            Err(Reason::KeyExpired { who, .. }) if retired.is_some_and(|end| end <= signer.at) => (who, false),
            Err(reason) => return Err(changed(reason)),
        };
        if signer.role != Role::SafetyOfficer || person != approval.approved_by {
            return Err(unsigned());
        }
        Ok(counts)
    }

    /// The version after this one, made at an instant, with those approvals of a draft of it that a safety officer of this
    /// version signed with a key that stands: they need no owner's hand to be written down, and every owner's to count.
    pub fn next_with_approvals(&self, draft: &TrustBody, at: Instant) -> TrustBody {
        let mut next = self.body.next(at);
        for approval in &draft.packs {
            let is_there = next.packs.iter().any(|known| known.seal == approval.seal);
            if !is_there && self.check_new_approval(approval).is_ok() {
                next.give_way(&approval.name, &approval.from);
                next.packs.push(approval.clone());
            }
        }
        next
    }

    /// As [`Trust::check_approval`], of an approval that no owner has signed yet: the key must stand.
    fn check_new_approval(&self, approval: &Approval) -> Result<(), Reason> {
        let counts = self.check_approval(approval)?;
        let envelope = approval.envelope(self.shop())?;
        match envelope.signers().into_iter().next().and_then(Result::ok) {
            Some(signer) if counts && self.standing(&envelope, &signer)?.revoked_since.is_none() => Ok(()),
            _ => Err(Reason::NotSigned(Kind::Approval)),
        }
    }

    /// What a version after this one says of approvals that owners alone cannot: an end that is taken back or comes later,
    /// and an approval from before this version that does not stand in it.
    pub fn brought_back(&self, next: &TrustBody) -> Option<Reason> {
        let is_brought_back = |approval: &&Approval| {
            let mut same = self.body.packs.iter().filter(|known| known.seal == approval.seal).peekable();
            if same.peek().is_none() {
                let signed_at = approval.signed_at(&next.shop);
                return signed_at.is_none_or(|signed_at| ahead_of(self.made_at, signed_at));
            }
            let mut ends = same.filter_map(Approval::end);
            ends.any(|end| approval.end().is_none_or(|later| later > end))
        };
        next.packs.iter().find(is_brought_back).map(Approval::brought_back)
    }

    /// The approvals in it by the digests of their signatures, each with its end, if it has one.
    pub fn ends(&self) -> impl Iterator<Item = (String, Option<Instant>)> {
        self.body.packs.iter().map(|approval| (approval.seal_digest(), approval.end()))
    }

    /// What it says of approvals that owners alone cannot, by the ends that are known of earlier versions, for the digests
    /// of signatures.
    pub fn brings_back(&self, ended: impl Fn(&str) -> Option<Instant>) -> Option<Reason> {
        let is_brought_back = |approval: &&Approval| {
            let end = ended(&approval.seal_digest());
            end.is_some_and(|end| approval.end().is_none_or(|later| later > end))
        };
        self.body.packs.iter().find(is_brought_back).map(Approval::brought_back)
    }
}
