//! Signing the next version of the trust file: it is proposed beside the one in force, a person sees what it says otherwise
//! and consents, and it comes in force once everybody who must has signed it. Until then the old one stays in its place.
//!
//! Must not know which face asks.

use std::path::{Path, PathBuf};

use super::following::{VersionInForce, can_come_in_force, follows, read_draft, vouched};
use super::memory::Recalled;
use super::order::{Carried, NextTrust, TrustNote, TrustOrder};
use super::{SeenBefore, Trust, against};
use crate::checklist::jws::Envelope;
use crate::checklist::trust::{Pins, TrustBody, TrustChange, UndoneApproval, changes};
use crate::checklist::{Reason, TrustReason};
use crate::desk::keys::Hand;
use crate::desk::sign::Consent;
use crate::desk::world::{Existing, Readers, Storage, StoreFault};
use crate::desk::{Desk, DraftFault, Refusal, Unfit};
use crate::units::{Exact, Instant};
use crate::vocabulary::{Kind, Role};

/// What an owner sees before signing.
#[derive(Debug)]
pub struct TrustProposal {
    /// The content that is signed.
    pub body: TrustBody,
    /// Its words, for the paper.
    pub words: String,
    /// The version in force, where there is one.
    pub before: Option<VersionBefore>,
    /// What it says otherwise than the version in force, by this act.
    pub changes: Vec<TrustChange>,
    /// What it says otherwise by the draft that waited, and not by this act.
    pub carried: Vec<TrustChange>,
    /// Whose that is: the owners who have signed the draft; nobody, where it holds approvals that safety officers signed.
    pub carried_by: Vec<String>,
    /// The approvals that no longer count by it, since the key that signed them had ended.
    pub undoes: Vec<UndoneApproval>,
    /// The owners who have signed it already.
    pub signed: Vec<String>,
    /// The owners who have signed another draft of the next version, which is given up for it, and sign again.
    pub gives_up: Vec<String>,
}

/// The version in force that a next one goes on from.
#[derive(Debug)]
pub struct VersionBefore {
    /// Its number.
    pub version: i64,
    /// Its words, as they stand on the shop's paper.
    pub words: String,
    /// That the clock has gone on further since than anybody expects, if so: it may stand ahead.
    pub leap: Option<ClockLeap>,
    /// Whether this account remembers a version of its owners; else its words are all that tells whether it is the shop's.
    pub is_known: bool,
    /// What this account saw last, where this version is new to it.
    pub seen_before: Option<SeenBefore>,
}

/// A clock that shows a time far after the latest one known. A version that is signed by a clock that stands ahead lets
/// nothing start until its time has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClockLeap {
    /// What the clock shows.
    pub at: Instant,
    /// The latest time that is known, by the version in force and by what this account remembers.
    pub last: Instant,
}

impl ClockLeap {
    /// Seconds after the latest time known from which an owner is asked: a week, in which the accounts of a shop that works
    /// have seen a time, and which the wrong month or year exceeds.
    const FAR: i64 = 7 * 86_400;

    fn of(at: Instant, last: Instant) -> Option<Self> {
        (at > last && at.seconds_since(last) > Exact::from_int(Self::FAR)).then_some(Self { at, last })
    }
}

/// A version that is ready to be signed.
#[derive(Debug)]
pub struct TrustDraft {
    proposal: TrustProposal,
    pub(super) notes: Vec<TrustNote>,
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

impl Desk<'_> {
    /// Proposes a version: the first one, the one after the version in force, or a further signature on either.
    ///
    /// # Errors
    /// Trust that does not hold together, a version that does not follow, and whatever speaks against what is there.
    pub fn draft_trust(&self, order: TrustOrder) -> Result<TrustDraft, Refusal> {
        let order = self.without_undone(order)?;
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
        let (mut before, mut told_before, mut pins, mut found) = (None, None, None, None);
        if let Some(bytes) = &in_force {
            let VersionInForce { trust: old, is_known, seen_before, last } = self.in_force(&order.out, bytes)?;
            let envelope = Envelope::read(Kind::Trust, &order.out.to_string_lossy(), bytes)?;
            if envelope.body::<TrustBody>()? == order.body {
                found = Some(envelope);
            } else {
                pins = Some(follows(&order, &trust, &old)?);
                // By a clock that stood ahead the owners' own keys may begin later.
                if !old.has_owner_at(at) && trust.clock_anew_after(&old).is_none() {
                    return Err(DraftFault::NoOwnerLeft { version: old.version() }.into());
                }
                can_come_in_force(&old, &trust, at)?;
            }
            let (version, words) = (old.version(), old.digest_in_words());
            let leap = ClockLeap::of(at, last);
            told_before = Some(VersionBefore { version, words, leap, is_known, seen_before });
            before = Some(old);
        }
        let waiting = draft.as_ref().map(|bytes| read_draft(&draft_of(&order.out), bytes)).transpose()?;
        let mut gives_up = Vec::new();
        if let (Some((envelope, body)), None) = (waiting, &found) {
            if body == order.body {
                found = Some(envelope);
            } else if let Some(old) = before.as_ref().filter(|_| body.version == order.body.version) {
                gives_up = old.owners_behind(&envelope).into_iter().map(|(who, _)| who).collect();
            }
        }
        let envelope = found.map_or_else(|| Envelope::new(Kind::Trust, &order.body), Ok)?;
        let signed = trust.owners_who_signed(&envelope)?.into_iter().map(str::to_owned).collect();
        let body = order.body.clone();
        let before = before.as_ref();
        let in_force_body = before.map(Trust::body);
        // When it was made is said by this act, no matter what waited.
        let begun = order.from.as_ref().zip(in_force_body);
        let begun = begun.map(|(from, old)| TrustBody { made_at: old.made_at.clone(), ..from.body.clone() });
        let begun = begun.as_ref();
        let carried_by = order.from.iter().filter_map(|from| from.carried.as_ref()).flat_map(|carried| &carried.owners);
        let proposal = TrustProposal {
            changes: changes(begun.or(in_force_body), &body),
            carried: begun.map(|begun| changes(in_force_body, begun)).unwrap_or_default(),
            carried_by: carried_by.map(|(who, _)| who.clone()).collect(),
            undoes: trust.undoes(before),
            body,
            words: trust.digest_in_words(),
            before: told_before,
            signed,
            gives_up,
        };
        let notes = Vec::new();
        Ok(TrustDraft { proposal, notes, trust, envelope, pins, order, in_force, draft })
    }

    /// Leaves out of what a draft brings in the approvals that count for nothing by the act: whoever stole the key that this
    /// act revokes may have put them there, and nobody need consent to them first.
    fn without_undone(&self, mut order: TrustOrder) -> Result<TrustOrder, Refusal> {
        let Some(from) = order.from.as_mut().filter(|from| from.carried.is_some()) else { return Ok(order) };
        let file = self.fetch(&order.out)?;
        let in_force = Trust::open(&file.label(), &file.bytes, &Pins::default()).map_err(against(&order.out))?;
        let in_force = in_force.body();
        if let Ok(next) = Trust::of(order.body.clone()) {
            next.drop_undone(in_force, &mut order.body);
            next.drop_undone(in_force, &mut from.body);
        }
        Ok(order)
    }

    /// The next version of the trust file that is kept under a name, as yet with the content of the one in force, or with
    /// that of the draft of it that waits: what several people ask for comes into one version. Of a draft only what an owner
    /// of the version in force has signed is gone on from, and what a safety officer has approved: the person who can
    /// write the folder could put anything there.
    ///
    /// # Errors
    /// If there is none, whatever speaks against it, and a draft that says what nobody has signed.
    pub fn next_trust(&self, out: &Path) -> Result<NextTrust, Refusal> {
        let file = self.fetch(out)?;
        let old = self.in_force(out, &file.bytes)?.trust;
        let (now, zone, latest) = (self.now(old.zone())?, old.zone().clone(), old.latest());
        let next = old.body().next(now);
        let name = draft_of(out);
        let Some(bytes) = self.storage.read_if_there(&name)? else {
            return Ok(NextTrust { zone, body: next, latest, carried: None });
        };
        let (envelope, draft) = read_draft(&name, &bytes)?;
        // A draft of a version that has come in force meanwhile is past.
        if draft.version != next.version {
            return Ok(NextTrust { zone, body: next, latest, carried: None });
        }
        let owners = vouched(&old, &envelope, &draft, (&name, now))?;
        let body = TrustBody { made_at: next.made_at, ..draft };
        Ok(NextTrust { zone, body, latest, carried: Some(Carried { owners }) })
    }

    /// Proposes the draft that waits beside the version in force.
    ///
    /// # Errors
    /// If there is none, if it says what nobody has signed, and as [`Desk::draft_trust`].
    pub fn draft_that_waits(&self, out: &Path) -> Result<TrustDraft, Refusal> {
        let name = draft_of(out);
        let Some(bytes) = self.storage.read_if_there(&name)? else {
            return Err(DraftFault::NothingWaits { name }.into());
        };
        let (envelope, body) = read_draft(&name, &bytes)?;
        if let Some(in_force) = self.storage.read_if_there(out)? {
            let old = self.in_force(out, &in_force)?.trust;
            let is_it = || Envelope::read(Kind::Trust, &out.to_string_lossy(), &in_force)?.body::<TrustBody>();
            if body.version <= old.version() && is_it()? != body {
                return Err(DraftFault::Past { name, version: body.version, in_force: old.version() }.into());
            }
            vouched(&old, &envelope, &body, (&name, self.now(old.zone())?))?;
        }
        self.draft_trust(TrustOrder { body, name, document: None, out: out.to_owned(), from: None })
    }
}

impl TrustDraft {
    /// What a person is to see before consenting.
    pub const fn proposal(&self) -> &TrustProposal {
        &self.proposal
    }

    /// What an owner should know of what was asked for.
    pub fn notes(&self) -> &[TrustNote] {
        &self.notes
    }

    /// The version that is to be signed, checked.
    pub const fn trust(&self) -> &Trust {
        &self.trust
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
        // Consent given beforehand is to what this act changes; what others changed is consented to after a look, or by a
        // signature that was given before.
        let signed_before = |carried: &Carried| carried.owners.iter().any(|(_, signer)| signer == kid);
        let carried = self.order.from.as_ref().and_then(|from| from.carried.as_ref());
        if *consent == Consent::Given && !self.proposal.carried.is_empty() && !carried.is_some_and(signed_before) {
            return Err(DraftFault::CarriedNotConfirmed { name: draft_of(&self.order.out) }.into());
        }
        let leap = self.proposal.before.as_ref().and_then(|before| before.leap);
        if let (Consent::Given, Some(ClockLeap { at, last })) = (consent, leap) {
            return Err(DraftFault::ClockFarAhead { at, last }.into());
        }
        let kids = [kid.to_owned()];
        let at = desk.now(self.trust.zone())?;
        let seen = Recalled::of(desk.storage)?;
        let known = seen.latest(&kids);
        if let Err(reason) = self.may_be_signed_by(kid, &known) {
            // Of two who change it at once the other one was faster, and the account knows that version already.
            self.is_as_it_was(desk.storage)?;
            return Err(against(&self.order.name)(vec![reason]));
        }
        let against_it = against(&self.order.name);
        if let Err(reason) = self.trust.may_sign(kid, Role::Owner, at) {
            return Err(match self.ends_own_key(kid, at) {
                Some(who) => DraftFault::OwnKey { who }.into(),
                None => against_it(vec![reason]),
            });
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

    /// Sees that nobody has changed what this was drafted from.
    fn is_as_it_was(&self, storage: &dyn Storage) -> Result<(), Refusal> {
        let is_same = storage.read_if_there(&self.order.out)? == self.in_force;
        if is_same { Ok(()) } else { Err(Refusal::changed(&self.order.out)) }
    }

    /// The owner of a key, where it could sign by the version in force and could not by this one.
    fn ends_own_key(&self, kid: &str, at: Instant) -> Option<String> {
        let old = Trust::open("trust", self.in_force.as_ref()?, &Pins::default()).ok()?;
        old.may_sign(kid, Role::Owner, at).ok().map(str::to_owned)
    }

    /// Whether this key may sign: by what is remembered, and by who has signed so far.
    fn may_be_signed_by(&self, kid: &str, known: &Pins) -> Result<(), Reason> {
        let (found, least) = (self.order.body.version, known.least_version);
        // A version that follows one in force may give the shop another name; a first one begins another shop.
        let is_other = self.pins.is_none() && known.is_of_another(&self.order.body);
        if let Some(known) = known.shop.as_ref().filter(|_| is_other) {
            let (found, known) = (self.order.body.shop.clone(), known.clone());
            return Err(Reason::OfTrust(TrustReason::OfAnotherShop { found, known }));
        }
        if found < least {
            return Err(Reason::OfTrust(TrustReason::Older { found, least }));
        }
        // A far version would keep whoever took it from every later one.
        if self.in_force.is_none() && found > least + 1 {
            return Err(Reason::OfTrust(TrustReason::NotNext { found, before: least }));
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
            let pins = Pins { least_version: version, digest: None, shop: None, ..pins };
            let against = Trust::open("trust", file, &pins).err().unwrap_or_default();
            missing.extend(against.into_iter().filter(|reason| !missing.contains(reason)).collect::<Vec<_>>());
        }
        missing
    }

    /// Keeps the file, in the place of what it was drafted by.
    fn keep(&self, storage: &dyn Storage, file: &[u8], complete: bool) -> Result<(), StoreFault> {
        let beside = draft_of(&self.order.out);
        let (name, before) = if complete { (&self.order.out, &self.in_force) } else { (&beside, &self.draft) };
        storage.write(name, file, Existing::Own(before.as_deref()), Readers::Usual).map_err(StoreFault::of_own)?;
        if complete && self.draft.is_some() {
            // The version is in force; a draft of it that stays behind is refused as what it is.
            let _ = storage.remove(&beside);
        }
        Ok(())
    }
}
