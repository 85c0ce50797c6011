//! Signing the next version of the trust file: it is proposed beside the one in force, a person sees what it says otherwise
//! and consents, and it comes in force once everybody who must has signed it. Until then the old one stays in its place.
//!
//! Must not know which face asks.

use std::path::{Path, PathBuf};

use super::memory::Recalled;
use super::{Trust, against};
use crate::checklist::jws::Envelope;
use crate::checklist::kind::Kind;
use crate::checklist::trust::{Pins, TrustBody, TrustChange, Unsound, changes, fault};
use crate::checklist::{Reason, TrustReason};
use crate::desk::keys::Hand;
use crate::desk::sign::Consent;
use crate::desk::world::{Existing, Readers, Storage, StoreFault};
use crate::desk::{Desk, Refusal, Unfit};
use crate::document::{self, Document, Faults};
use crate::vocabulary::Role;

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
}

/// What an owner sees before signing.
#[derive(Debug)]
pub struct TrustProposal {
    /// The content that is signed.
    pub body: TrustBody,
    /// Its words, for the paper.
    pub words: String,
    /// The version in force, where there is one.
    pub before: Option<i64>,
    /// What it says otherwise than the version in force.
    pub changes: Vec<TrustChange>,
    /// The owners who have signed it already.
    pub signed: Vec<String>,
    /// That another draft of the next version, with other content, is given up for it.
    pub gives_up_a_draft: bool,
}

/// A version that is ready to be signed.
#[derive(Debug)]
pub struct TrustDraft {
    proposal: TrustProposal,
    trust: Trust,
    envelope: Envelope,
    /// What the version in force asks of the one after it.
    pins: Option<Pins>,
    order: TrustOrder,
    in_force: Option<Vec<u8>>,
    /// The draft that is there, signed by some.
    draft: Option<Vec<u8>>,
}

/// A trust file that was signed.
#[derive(Debug)]
pub struct TrustSigned {
    /// Where it is kept.
    pub name: PathBuf,
    /// What it says.
    pub body: TrustBody,
    /// Its words, for the paper.
    pub words: String,
    /// How many different owners have signed it so far.
    pub owners: usize,
    /// What keeps it from being in force; nothing, where it is.
    pub missing: Vec<Reason>,
    /// Why its version is not remembered, if it is not.
    pub unremembered: Option<Refusal>,
}

/// Where a version that not all have signed waits for the others: beside the one in force.
pub fn draft_of(out: &Path) -> PathBuf {
    out.with_extension("next.json")
}

impl TrustOrder {
    /// The refusal of a body that does not hold together: at its lines, where somebody wrote it.
    fn unsound(&self, found: Vec<Unsound>) -> Refusal {
        match &self.document {
            Some(document) => {
                let list = found.iter().map(|unsound| fault(document, &unsound.at, &unsound.reason)).collect();
                Faults::none_of(list).err().map_or_else(|| against(&self.name)(Vec::new()), Refusal::Invalid)
            }
            None => against(&self.name)(found.into_iter().map(|unsound| unsound.reason).collect()),
        }
    }

    /// The refusal for what one member of the body says.
    fn refused(&self, member: &str, reason: Reason) -> Refusal {
        self.unsound(vec![Unsound { at: document::Path::root().child(member), reason }])
    }
}

impl Desk<'_> {
    /// Proposes a version: the first one, the one after the version in force, or a further signature on either.
    ///
    /// # Errors
    /// Trust that does not hold together, a version that does not follow, and whatever speaks against what is there.
    pub fn draft_trust(&self, order: TrustOrder) -> Result<TrustDraft, Refusal> {
        // Unsound trust is refused before anybody signs it.
        let trust = Trust::examine(order.body.clone()).map_err(|found| order.unsound(found))?;
        let at = self.now(trust.zone())?;
        if let Some(reason @ Reason::ClockBehind { .. }) = trust.lapses(at) {
            return Err(order.refused("made_at", reason));
        }
        if let Some(reason) = trust.revokes_ahead_of(at) {
            return Err(order.refused("people", reason));
        }
        let in_force = self.storage.read_if_there(&order.out)?;
        let draft = self.storage.read_if_there(&draft_of(&order.out))?;
        let (mut before, mut pins, mut found) = (None, None, None);
        if let Some(bytes) = &in_force {
            let label = order.out.to_string_lossy();
            let old = Trust::open(&label, bytes, &Pins::default()).map_err(against(&order.out))?;
            if *old.body() == order.body {
                found = Some(Envelope::read(Kind::Trust, &label, bytes)?);
            } else {
                pins = Some(follows(&order, &trust, &old)?);
            }
            before = Some(old);
        }
        if let (Some(bytes), None) = (&draft, &found) {
            let name = draft_of(&order.out);
            let envelope = Envelope::read(Kind::Trust, &name.to_string_lossy(), bytes)?;
            found = (envelope.body::<TrustBody>()? == order.body).then_some(envelope);
        }
        let gives_up_a_draft = draft.is_some() && found.is_none();
        let envelope = found.map_or_else(|| Envelope::new(Kind::Trust, &order.body), Ok)?;
        let signed = trust.owners_who_signed(&envelope)?.into_iter().map(str::to_owned).collect();
        let body = order.body.clone();
        let before = before.as_ref();
        let proposal = TrustProposal {
            changes: changes(before.map(Trust::body), &body),
            body,
            words: trust.digest_in_words(),
            before: before.map(Trust::version),
            signed,
            gives_up_a_draft,
        };
        Ok(TrustDraft { proposal, trust, envelope, pins, order, in_force, draft })
    }

    /// The next version of the trust file that is kept under a name, as yet with the content of the one in force, or with
    /// that of the draft of it that waits: what several people ask for comes into one version.
    ///
    /// # Errors
    /// If there is none, and whatever speaks against it.
    pub fn next_trust(&self, out: &Path) -> Result<TrustBody, Refusal> {
        let file = self.fetch(out)?;
        let old = Trust::open(&file.label(), &file.bytes, &Pins::default()).map_err(against(out))?;
        let next = old.body().next(self.now(old.zone())?);
        let name = draft_of(out);
        let Some(bytes) = self.storage.read_if_there(&name)? else { return Ok(next) };
        let draft: TrustBody = Envelope::read(Kind::Trust, &name.to_string_lossy(), &bytes)?.body()?;
        // A draft of a version that has come in force meanwhile is past.
        Ok(if draft.version == next.version { TrustBody { made_at: next.made_at, ..draft } } else { next })
    }

    /// Proposes the draft that waits beside the version in force.
    ///
    /// # Errors
    /// If there is none, and as [`Desk::draft_trust`].
    pub fn draft_that_waits(&self, out: &Path) -> Result<TrustDraft, Refusal> {
        let name = draft_of(out);
        let bytes = self.storage.read(&name)?;
        let body = Envelope::read(Kind::Trust, &name.to_string_lossy(), &bytes)?.body()?;
        self.draft_trust(TrustOrder { body, name, document: None, out: out.to_owned() })
    }
}

impl TrustDraft {
    /// What a person is to see before consenting.
    pub const fn proposal(&self) -> &TrustProposal {
        &self.proposal
    }

    /// Signs, once a person has consented. What is complete takes the place of the version in force, and what is not waits
    /// beside it.
    ///
    /// # Errors
    /// A key that is not an owner's, a version that this account has seen otherwise, a clock set back, and what was changed
    /// meanwhile.
    pub fn sign(mut self, desk: &Desk<'_>, hand: &Hand<'_>, consent: &Consent) -> Result<TrustSigned, Refusal> {
        if matches!(consent, Consent::Written(version) if version.trim() != self.order.body.version.to_string()) {
            return Err(Unfit::VersionNotConfirmed.into());
        }
        let key = desk.open_key(hand)?;
        let kid = key.public().kid();
        let kids = [kid.to_owned()];
        let at = desk.now(self.trust.zone())?;
        let seen = Recalled::of(desk.storage)?;
        let known = seen.latest(&kids);
        self.may_be_signed_by(kid, &known).map_err(|reason| against(&self.order.name)(vec![reason]))?;
        let against_it = against(&self.order.name);
        if let Err(reason) = self.trust.may_sign(kid, Role::Owner, at) {
            return Err(against_it(vec![reason]));
        }
        if let Some(reason) = seen.brought_back(&kids, &self.trust) {
            return Err(against_it(vec![reason]));
        }
        let behind = self.trust.lapses(at).filter(|reason| matches!(reason, Reason::ClockBehind { .. }));
        if let Some(reason) = behind.or_else(|| seen.clock_set_back(&kids, &self.trust, at)) {
            return Err(against_it(vec![reason]));
        }
        self.envelope.sign(&key, Role::Owner, at)?;
        let owners = self.trust.owners_who_signed(&self.envelope)?.len();
        let file = self.envelope.to_file()?;
        let missing = self.missing(&file, &known);
        let name = if missing.is_empty() { self.order.out.clone() } else { draft_of(&self.order.out) };
        self.keep(desk.storage, &file, missing.is_empty()).map_err(Refusal::of_writing)?;
        // A version that is complete is in force: this account makes no other one of the same number.
        let complete = Trust::open("trust", &file, &Pins::default()).ok().filter(|_| missing.is_empty());
        let unremembered = complete.and_then(|trust| seen.note(&kids, &trust, at, false).err());
        let (body, words) = (self.order.body, self.proposal.words);
        Ok(TrustSigned { name, body, words, owners, missing, unremembered })
    }

    /// Whether this key may sign: by what is remembered, and by who has signed so far.
    fn may_be_signed_by(&self, kid: &str, known: &Pins) -> Result<(), Reason> {
        let (found, least) = (self.order.body.version, known.least_version);
        if found < least {
            return Err(Reason::OfTrust(TrustReason::Older { found, least }));
        }
        if found == least && known.digest.as_ref().is_some_and(|digest| digest != self.trust.digest()) {
            return Err(Reason::OfTrust(TrustReason::Twin { version: found }));
        }
        if self.envelope.signers().into_iter().flatten().any(|signer| signer.kid == kid) {
            return Err(Reason::SignedAlready { who: self.trust.name_of(kid) });
        }
        let first = self.envelope.seals().is_empty();
        let of_before = |pins: &Pins| pins.owners.iter().flatten().any(|owner| owner == kid);
        match &self.pins {
            Some(pins) if first && !of_before(pins) => {
                Err(Reason::OfTrust(TrustReason::NotByOwnerBefore { version: self.order.body.version - 1 }))
            }
            _ => Ok(()),
        }
    }

    /// What keeps the file from being in force: by itself, by the version before it, and by what is remembered.
    fn missing(&self, file: &[u8], known: &Pins) -> Vec<Reason> {
        let version = self.order.body.version;
        let pins = [self.pins.clone(), (version > known.least_version).then(|| known.clone())];
        let mut missing: Vec<Reason> = Vec::new();
        for pins in std::iter::once(Pins::default()).chain(pins.into_iter().flatten()) {
            let pins = Pins { least_version: version, digest: None, ..pins };
            let against = Trust::open("trust", file, &pins).err().unwrap_or_default();
            missing.extend(against.into_iter().filter(|reason| !missing.contains(reason)).collect::<Vec<_>>());
        }
        missing
    }

    /// Keeps the file, in the place of what it was drafted by.
    fn keep(&self, storage: &dyn Storage, file: &[u8], complete: bool) -> Result<(), StoreFault> {
        let beside = draft_of(&self.order.out);
        let (name, before) = if complete { (&self.order.out, &self.in_force) } else { (&beside, &self.draft) };
        let replaced = before.as_deref().map_or(Existing::Keep, Existing::Replace);
        storage.write(name, file, replaced, Readers::Usual)?;
        if complete && self.draft.is_some() {
            // The version is in force; a draft of it that stays behind is refused as what it is.
            let _ = storage.remove(&beside);
        }
        Ok(())
    }
}

/// Sees that a body is the version after the one in force, and brings back neither an approval nor an ended key; gives what the signed file is held against.
fn follows(order: &TrustOrder, new: &Trust, old: &Trust) -> Result<Pins, Refusal> {
    let (pins, found, before) = (old.pins(), order.body.version, old.version());
    if found != before + 1 {
        return Err(order.refused("version", Reason::OfTrust(TrustReason::NotNext { found, before })));
    }
    if let Some(reason) = old.brought_back(&order.body) {
        return Err(order.refused("packs", reason));
    }
    if let Some(reason) = new.takes_back(old.key_ends()) {
        return Err(order.refused("people", reason));
    }
    Ok(pins)
}
