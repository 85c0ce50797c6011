//! Opening a trust file: its form, its keys, its owners' signatures, its version.
//!
//! What is opened holds together, and every fault is found with its place. This module must not know what is signed by it.

use std::collections::{BTreeMap, BTreeSet};

use super::body::{Approval, TrustBody};
use super::standing::Holder;
use super::unsound::{self, Found, Unsound, of_pack, of_person, place};
use super::{Pins, Trust, ahead_of, names};
use crate::checklist::canonical;
use crate::checklist::jws::{Envelope, Signer, instant};
use crate::checklist::keys::PublicKey;
use crate::checklist::packs::sha256_hex;
use crate::checklist::reason::{Reason, TrustFlaw, TrustReason};
use crate::document::Path;
use crate::units::Instant;
use crate::vocabulary::{Kind, Role};

impl Trust {
    /// Opens a trust file: its form, its keys, its owners' signatures, its version. Its end is a matter of the instant
    /// and is asked for with [`Trust::lapses`].
    ///
    /// # Errors
    /// Every reason against it.
    pub fn open(name: &str, bytes: &[u8], pins: &Pins) -> Result<Self, Vec<Reason>> {
        let envelope = Envelope::read(Kind::Trust, name, bytes).map_err(|fault| vec![fault.into()])?;
        let body: TrustBody = envelope.body().map_err(|fault| vec![fault.into()])?;
        let mut trust = Self::of(body)?;
        // Versions of two shops are no row, so nothing else that is known of the other one says anything here.
        if let Some(known) = pins.shop.as_ref().filter(|_| pins.is_of_another(&trust.body)) {
            // That a key is known of another shop says something where this file is signed with it.
            let kids: Vec<String> = envelope.signers().into_iter().flatten().map(|signer| signer.kid).collect();
            let missing = pins.each.iter().filter(|kid| !kids.contains(kid));
            let without = |kid: &String| Reason::OfTrust(TrustReason::WithoutOwner { who: trust.name_of(kid) });
            let without: Vec<Reason> = missing.map(without).collect();
            if !without.is_empty() {
                return Err(without);
            }
            let (found, known) = (trust.body.shop.clone(), known.clone());
            return Err(vec![Reason::OfTrust(TrustReason::OfAnotherShop { found, known })]);
        }
        // By the bytes that were signed: what may be left out of a body reads alike and is written otherwise.
        trust.digest = sha256_hex(envelope.payload());
        let mut reasons = Vec::new();
        if trust.body.version < pins.least_version {
            reasons.push(Reason::OfTrust(TrustReason::Older { found: trust.body.version, least: pins.least_version }));
        }
        let twin = |digest: &String| trust.body.version == pins.least_version && *digest != trust.digest;
        if pins.digest.as_ref().is_some_and(twin) {
            reasons.push(Reason::OfTrust(TrustReason::Twin { version: trust.body.version }));
        }
        let owners = trust.owners_of(&envelope, &mut reasons);
        trust.signed = owners.iter().map(|(kid, _, at)| (kid.clone(), *at)).collect();
        trust.settle();
        let people: BTreeSet<usize> = owners.iter().map(|(_, who, _)| *who).collect();
        let (found, due) = (people.len(), trust.owners_needed());
        if found < due {
            reasons.push(Reason::OfTrust(TrustReason::NotByOwner { found, due }));
        }
        for kid in pins.each.iter().filter(|each| !owners.iter().any(|(kid, ..)| kid == *each)) {
            let who = trust.name_of(kid);
            let of_same = |(signer, ..): &&(String, usize, Instant)| trust.is_newer(signer, kid);
            let newer = owners.iter().find(of_same).and_then(|(signer, ..)| trust.holders.get(signer));
            reasons.push(Reason::OfTrust(match newer {
                Some(holder) => TrustReason::NewerKey { who, words: holder.key.fingerprint_words() },
                None => TrustReason::WithoutOwner { who },
            }));
        }
        if !pins.owners.is_empty() {
            let least = pins.needed.max(1);
            // Counted by who held the keys then: a later version could give one owner's second key to somebody invented.
            let signed = |pin: &String| owners.iter().any(|(kid, ..)| kid == pin);
            let found = pins.owners.iter().filter(|held| held.iter().any(signed)).count();
            if found < least {
                reasons.push(Reason::OfTrust(TrustReason::FewerOwners { found, least }));
            }
        }
        trust.pinned = !(pins.each.is_empty() && pins.owners.is_empty());
        if reasons.is_empty() { Ok(trust) } else { Err(reasons) }
    }

    /// Checks a body as such, before anyone has signed it.
    ///
    /// # Errors
    /// Every reason against it.
    pub fn of(body: TrustBody) -> Result<Self, Vec<Reason>> {
        Self::examine(body).map_err(|found| found.into_iter().map(|unsound| unsound.reason).collect())
    }

    /// The same, each reason with its place in the body.
    ///
    /// # Errors
    /// Every reason against it.
    pub fn examine(body: TrustBody) -> Result<Self, Vec<Unsound>> {
        let mut found = Found::default();
        let zone = body.zone(&mut found);
        body.shape(&mut found);
        names::check(&body, &mut found);
        body.check_names(&mut found);
        body.approvers(&mut found);
        let (made_at, ends_at) = times(&body, &mut found);
        if let Some(made) = made_at {
            former_roles(&body, made, &mut found);
        }
        let holders = holders(&body, &mut found);
        if found.is_empty() {
            unsound::texts(&serde_json::to_value(&body).unwrap_or_default(), &place([]), &mut found);
        }
        let spans = body.packs.iter().filter_map(Approval::span).collect();
        let (Some(zone), Some(made_at), Some(ends_at), true) = (zone, made_at, ends_at, found.is_empty()) else {
            return Err(found.into_vec());
        };
        let digest = match canonical::bytes(&body) {
            Ok(bytes) => sha256_hex(&bytes),
            Err(fault) => {
                found.say(place([]), fault);
                return Err(found.into_vec());
            }
        };
        let (signed, bars) = (Vec::new(), Vec::new());
        let (versions, clock_seen) = (BTreeMap::new(), None);
        let (undone, pinned) = (BTreeSet::new(), false);
        let mut trust = Self {
            body,
            digest,
            zone,
            made_at,
            ends_at,
            signed,
            holders,
            spans,
            undone,
            pinned,
            versions,
            clock_seen,
            bars,
        };
        let mut undone = BTreeSet::new();
        for (place, pack) in trust.body.packs.iter().enumerate() {
            match trust.check_approval(pack) {
                Ok(true) => {}
                Ok(false) => drop(undone.insert(place)),
                Err(reason) => found.say(of_pack(place, ["approved_by".into()]), reason),
            }
        }
        trust.undone = undone;
        if found.is_empty() { Ok(trust) } else { Err(found.into_vec()) }
    }

    /// The owners whose signatures hold: thumbprint, person and instant. A signature that does not hold is a reason.
    fn owners_of(&self, envelope: &Envelope, reasons: &mut Vec<Reason>) -> Vec<(String, usize, Instant)> {
        if envelope.seals().is_empty() {
            reasons.push(Reason::NotSigned(Kind::Trust));
        }
        let mut owners = Vec::new();
        let mut kids: Vec<String> = Vec::new();
        for signer in envelope.signers() {
            let checked = signer.and_then(|signer| {
                self.first_by_its_key(&signer, &mut kids)?;
                if signer.role != Role::Owner {
                    return Err(Reason::WrongRole { who: self.name_of(&signer.kid), role: signer.role });
                }
                self.standing(envelope, &signer)?;
                if ahead_of(self.made_at, signer.at) {
                    let who = self.name_of(&signer.kid);
                    return Err(Reason::SignedBeforeMade { who, at: signer.at });
                }
                let Some(holder) = self.holders.get(&signer.kid) else {
                    return Err(Reason::UnknownKey { kid: signer.kid });
                };
                Ok((signer.kid, holder.person, signer.at))
            });
            match checked {
                Ok(owner) => owners.push(owner),
                Err(reason) => reasons.push(reason),
            }
        }
        owners
    }

    /// Refuses a second signature by one key: a file that is signed once says no more when it is signed again.
    fn first_by_its_key(&self, signer: &Signer, kids: &mut Vec<String>) -> Result<(), Reason> {
        if kids.contains(&signer.kid) {
            return Err(Reason::SignedTwice { who: self.name_of(&signer.kid) });
        }
        kids.push(signer.kid.clone());
        Ok(())
    }

    /// The people who have signed an envelope of this body as owners so far, each once; and what speaks against one of its
    /// signatures, which would make it worthless however many more are added.
    ///
    /// # Errors
    /// The first signature that is not a good one by an owner.
    pub fn owners_who_signed(&self, envelope: &Envelope) -> Result<Vec<&str>, Reason> {
        let (mut people, mut kids) = (Vec::new(), Vec::new());
        for signer in envelope.signers() {
            let signer = signer?;
            self.first_by_its_key(&signer, &mut kids)?;
            let who = self.standing(envelope, &signer)?.person;
            if signer.role != Role::Owner {
                return Err(Reason::WrongRole { who: who.to_owned(), role: signer.role });
            }
            if !people.contains(&who) {
                people.push(who);
            }
        }
        Ok(people)
    }
}

impl Trust {
    /// The owners of this version, with their keys, of whom an envelope carries a signature that is good by it and by a key
    /// that stands: name and thumbprint.
    pub fn owners_behind(&self, envelope: &Envelope) -> Vec<(String, String)> {
        let behind = |signer: Signer| {
            let standing = self.standing(envelope, &signer).ok()?;
            let counts = signer.role == Role::Owner && standing.revoked_since.is_none();
            counts.then(|| (standing.person.to_owned(), signer.kid))
        };
        envelope.signers().into_iter().flatten().filter_map(behind).collect()
    }
}

fn instant_of(text: &str, at: impl FnOnce() -> Path, found: &mut Found) -> Option<Instant> {
    let read = instant(text);
    if read.is_none() {
        found.say(at(), TrustFlaw::NotInstant { text: text.to_owned() });
    }
    read
}

/// Sees that what somebody no longer signs has ended by when the file is made.
fn former_roles(body: &TrustBody, made: Instant, found: &mut Found) {
    for (person, who) in body.people.iter().enumerate() {
        let mut last: BTreeMap<Role, Instant> = BTreeMap::new();
        for (place, former) in who.former_roles.iter().enumerate() {
            let at = |member: &str| of_person(person, ["former_roles".into(), place.into(), member.into()]);
            let Some(until) = instant_of(&former.until, || at("until"), found) else { continue };
            let again = former.again.as_deref().map(|again| instant_of(again, || at("again"), found));
            let later = who.former_roles.iter().skip(place + 1).any(|other| other.role == former.role);
            // It has ended unless it was given back, and was had before it was taken off.
            let is_open = again.is_none() == (later || who.roles.contains(&former.role));
            let ends = again.flatten().unwrap_or(until);
            let before = last.insert(former.role, ends);
            if is_open || ends < until || ends > made || before.is_some_and(|before| until < before) {
                found.say(at("until"), TrustFlaw::FormerRole { who: who.name.clone(), role: former.role });
            }
        }
    }
}

/// The keys of all people, each checked; one key under two names is a fault.
pub(super) fn holders(body: &TrustBody, found: &mut Found) -> BTreeMap<String, Holder> {
    let mut holders: BTreeMap<String, Holder> = BTreeMap::new();
    let keys = body.people.iter().enumerate().flat_map(|(person, who)| {
        who.keys.iter().enumerate().map(move |(place, entry)| ((person, place), who.name.as_str(), entry))
    });
    for ((person, key_place), who, entry) in keys {
        let at = |member: &str| of_person(person, ["keys".into(), key_place.into(), member.into()]);
        let end_at = |member: &str| of_person(person, ["keys".into(), key_place.into(), member.into(), "at".into()]);
        let key = match PublicKey::from_pem(&entry.public_key) {
            Ok(key) => key,
            Err(fault) => {
                found.say(at("public_key"), Reason::Key { who: who.to_owned(), fault });
                continue;
            }
        };
        let from = instant_of(&entry.from, || at("from"), found);
        let until = instant_of(&entry.until, || at("until"), found);
        let retired = entry.retired.as_ref().map(|end| instant_of(&end.at, || end_at("retired"), found));
        let revoked = entry
            .revoked
            .as_ref()
            .and_then(|end| Some((instant_of(&end.at, || end_at("revoked"), found)?, end.why.clone())));
        let (Some(from), Some(until)) = (from, until) else { continue };
        if until <= from {
            found.say(at("until"), TrustFlaw::KeyEndsFirst { who: who.to_owned() });
        }
        // Anyone who leaves before the key's own end cannot sign from then on, even on the first day.
        let retired = retired.flatten();
        let (planned, until) = (until, retired.map_or(until, |end| end.min(until)));
        let kid = key.kid().to_owned();
        if holders.insert(kid, Holder { person, key, from, until, planned, retired, revoked }).is_some() {
            found.say(at("public_key"), TrustFlaw::KeyTwice { who: who.to_owned() });
        }
    }
    holders
}

/// When a version was made and when it is to be replaced; what contradicts itself in its times is said.
fn times(body: &TrustBody, found: &mut Found) -> (Option<Instant>, Option<Instant>) {
    let made_at = instant_of(&body.made_at, || place(["made_at".into()]), found);
    let ends_at = instant_of(&body.ends_at, || place(["ends_at".into()]), found);
    if let (Some(made), Some(ends)) = (made_at, ends_at)
        && ends <= made
    {
        found.say(place(["ends_at".into()]), TrustFlaw::EndsBeforeMade);
    }
    let clock_anew = || place(["clock_anew".into()]);
    let anew = body.clock_anew.as_deref().and_then(|text| instant_of(text, clock_anew, found));
    if anew.zip(made_at).is_some_and(|(anew, made)| anew > made) {
        found.say(clock_anew(), TrustFlaw::ClockAnewLater);
    }
    (made_at, ends_at)
}
