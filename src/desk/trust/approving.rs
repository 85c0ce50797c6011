//! Approving a pack: the safety officer sees which pack it is and what it replaces, consents, and signs the approval; it
//! waits in the draft of the next trust file until the owners sign that.
//!
//! Must not know what the rules of the pack ask.

use std::path::PathBuf;

use super::order::{Carried, NextTrust};
use super::signing::draft_of;
use crate::checklist::jws::Envelope;
use crate::checklist::packs::PackPart;
use crate::checklist::trust::{Approval, Trust, TrustBody};
use crate::desk::keys::Hand;
use crate::desk::sign::Consent;
use crate::desk::world::{Existing, NamedBytes, Readers, StoreFault};
use crate::desk::{Desk, DraftFault, Refusal, Unfit, packs};
use crate::units::Instant;
use crate::vocabulary::{Kind, Role};

/// An approval that is asked for.
#[derive(Debug)]
pub struct ApprovalOrder {
    /// The local pack; the base pack where none is given.
    pub pack: Option<NamedBytes>,
    /// Whether every job must be judged by it.
    pub required: bool,
    /// From when it may judge; from now on where nothing is said.
    pub from: Option<Instant>,
    /// Where the trust file in force is kept.
    pub trust: PathBuf,
}

/// What the safety officer sees before signing.
#[derive(Debug)]
pub struct ApprovalProposal {
    /// The pack with its digest.
    pub part: PackPart,
    /// How many rules and limits it has.
    pub rules: usize,
    /// From when it is to judge.
    pub from: Instant,
    /// Whether every job must be judged by it.
    pub required: bool,
    /// The approvals of the same name that end with it.
    pub ends: Vec<PackPart>,
}

/// An approval that is ready to be signed.
#[derive(Debug)]
pub struct ApprovalDraft {
    proposal: ApprovalProposal,
    next: TrustBody,
    trust: PathBuf,
    draft: Option<Vec<u8>>,
}

impl Desk<'_> {
    /// Proposes the approval of a pack.
    ///
    /// # Errors
    /// The faults of pack and trust file, and a pack that is approved like this already.
    pub fn draft_approval(&self, order: ApprovalOrder) -> Result<ApprovalDraft, Refusal> {
        let NextTrust { body: mut next, carried, .. } = self.next_trust(&order.trust)?;
        // An approval makes another content of it, and the owners' signatures would be lost.
        if let Some(Carried { owners, .. }) = carried.filter(|carried| !carried.owners.is_empty()) {
            let by = owners.into_iter().map(|(who, _)| who).collect();
            return Err(DraftFault::Signed { name: draft_of(&order.trust), by }.into());
        }
        let draft = self.storage.read_if_there(&draft_of(&order.trust))?;
        let set = packs(order.pack.as_slice())?;
        let pack = if order.pack.is_some() { set.packs().last() } else { set.packs().first() };
        let pack = pack.ok_or(Unfit::NothingToApprove)?;
        let part = PackPart::of(pack);
        let made_at = Instant::parse(&next.made_at).map_err(|_| Refusal::Clock)?;
        let from = order.from.unwrap_or(made_at);
        let now = Trust::of(next.clone())?;
        let same = |known: &&Approval| known.name == part.name && known.until.is_none() && !now.is_undone(known);
        let is_this = |known: &Approval| known.edition == part.edition && known.sha256 == part.sha256;
        if next.packs.iter().filter(same).any(|known| is_this(known) && known.required == order.required) {
            return Err(Unfit::ApprovedAlready { pack: part.title() }.into());
        }
        let ends = next.give_way(&part.name, &from.to_record_text());
        let proposal = ApprovalProposal { part, rules: pack.rules.len(), from, required: order.required, ends };
        Ok(ApprovalDraft { proposal, next, trust: order.trust, draft })
    }
}

impl ApprovalDraft {
    /// What a person is to see before consenting.
    pub const fn proposal(&self) -> &ApprovalProposal {
        &self.proposal
    }

    /// Signs, once the safety officer has consented, and puts the approval into the draft of the next trust file. Gives
    /// where that waits.
    ///
    /// # Errors
    /// A key that may not approve, and what was changed meanwhile.
    pub fn sign(mut self, desk: &Desk<'_>, hand: &Hand<'_>, consent: &Consent) -> Result<PathBuf, Refusal> {
        let ApprovalProposal { part, from, required, .. } = &self.proposal;
        if matches!(consent, Consent::Written(name) if name.trim() != part.name) {
            return Err(Unfit::PackNotConfirmed.into());
        }
        // Whose key it is says the draft: a safety officer who comes with it may approve in it.
        let trust = Trust::of(self.next.clone())?;
        let key = desk.open_key(hand)?;
        let at = desk.now(trust.zone())?;
        let approved_by = trust.may_sign(key.public().kid(), Role::SafetyOfficer, at)?.to_owned();
        let PackPart { name, edition, sha256 } = part.clone();
        let from = from.to_record_text();
        let (required, until, once_signed, shop, seal) = (*required, None, false, None, None);
        let mut approval =
            Approval { name, edition, sha256, approved_by, required, from, until, once_signed, shop, seal };
        approval.sign(trust.shop(), &key, at)?;
        self.next.packs.push(approval);
        Trust::of(self.next.clone())?;
        let file = Envelope::new(Kind::Trust, &self.next)?.to_file()?;
        let out = draft_of(&self.trust);
        let existing = Existing::Own(self.draft.as_deref());
        let written = desk.storage.write(&out, &file, existing, Readers::Usual).map_err(StoreFault::of_own);
        written.map_err(Refusal::of_writing)?;
        Ok(out)
    }
}
