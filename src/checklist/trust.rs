//! Trust: who may sign what, and which packs are approved.
//!
//! The owner writes the shop's trust file in YAML; signed, it is a document in exact form like every other. It carries a
//! version, so that an older one cannot be passed off as the latest, and an end, so that nobody is kept on it for ever.
//! Keys are checked when the file is opened, once. This module must not know checklists.

mod approval;
mod body;
mod changes;
mod edit;
mod names;
mod part;
mod unsound;

use std::collections::{BTreeMap, BTreeSet};

use super::canonical;
use super::jws::{Envelope, Signer, instant};
use super::keys::{PublicKey, digest_words};
use super::packs::{BASE, PackPart, sha256_hex};
use super::reason::{BorneOut, Reason};
use crate::checklist::kind::Kind;
use crate::document::Path;
use crate::units::{Exact, Instant, Zone};
use crate::vocabulary::Role;

pub use names::fault_of as fault_of_name;
pub use part::TrustPart;

pub use changes::{TrustChange, changes};
pub use edit::{EditFault, Ending};

use body::INSTANT;
use unsound::{Found, of_pack, of_person, place};

pub use unsound::{Unsound, fault};

pub use body::{Approval, FORMAT, Key, Person, Revocation, TrustBody, schema};

/// How far two clocks may differ before an instant counts as still to come: clocks of a shop are set by hand.
pub const CLOCK_SKEW_SECONDS: i128 = 300;

/// What is known of the shop's owner before its trust file is opened: from paper, or from the version before.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Pins {
    /// Thumbprints of owners' keys known from paper: with each of them the file must be signed. One that need not have
    /// signed would let the others leave its owner out.
    pub each: Vec<String>,
    /// Thumbprints of the owners' keys of a version that has been in use, one list for each owner, of whom [`Pins::needed`] owners must have
    /// signed: whoever wants other owners from now on, or fewer, has as many as before sign that.
    pub owners: Vec<Vec<String>>,
    /// How many different owners of [`Pins::owners`] must have signed.
    pub needed: usize,
    /// The least version that can be taken.
    pub least_version: i64,
    /// SHA-256 of the content of that version, where it has been seen: there is one file of a version, and no other.
    pub digest: Option<String>,
}

/// A key of the trust file, checked.
#[derive(Debug, Clone)]
pub struct Holder {
    /// The person, by position.
    person: usize,
    /// The key.
    pub key: PublicKey,
    /// The first instant of its validity.
    pub from: Instant,
    /// The first instant after it.
    pub until: Instant,
    /// When and why it was revoked.
    pub revoked: Option<(Instant, String)>,
}

/// A trust file that holds together and is signed by its owners.
#[derive(Debug, Clone)]
pub struct Trust {
    body: TrustBody,
    /// SHA-256 of the canonical bytes of the body.
    digest: String,
    zone: Zone,
    made_at: Instant,
    ends_at: Instant,
    /// The owners' signatures: by which key and when.
    signed: Vec<(String, Instant)>,
    holders: BTreeMap<String, Holder>,
    /// From when and until when each approved pack may judge, in the order of the body.
    spans: Vec<(Instant, Option<Instant>)>,
    pinned: bool,
    /// What else keeps a fill from starting by it.
    bars: Vec<Reason>,
}

/// A signature that was good when it was made.
#[derive(Debug, Clone, Copy)]
pub struct Standing<'t> {
    /// Who signed.
    pub person: &'t str,
    /// From when and why the key has been revoked since, if it has.
    pub revoked_since: Option<(Instant, &'t str)>,
    /// The first instant at which the key is no longer valid.
    pub until: Instant,
}

impl Standing<'_> {
    /// That the key has been revoked since, if it has: whatever the instant of revocation, and whatever instant is asked
    /// about, since the instant of signing is the signer's word alone.
    pub(super) fn revoked(&self) -> Option<Revoked> {
        let (from, why) = self.revoked_since?;
        Some(Revoked { who: self.person.to_owned(), from, why: why.to_owned() })
    }

    /// What the end of the key's time says against relying on the signature at an instant.
    pub(super) fn ended(&self, at: Instant) -> Option<Reason> {
        let (who, end) = (self.person.to_owned(), self.until.to_record_text());
        (at >= self.until).then_some(Reason::KeyEnded { who, at: end })
    }
}

/// A signature by a key that was revoked after the instant that it names. Whoever has the key now can have made it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Revoked {
    /// Whose key it is.
    pub(super) who: String,
    /// From when it is revoked.
    pub(super) from: Instant,
    /// Why.
    pub(super) why: String,
}

impl Revoked {
    /// Of people who signed with keys that stand, one who bears it out: somebody else, who signed before the revocation.
    pub(super) fn bearer<'g>(&self, good: &'g [(String, Instant)]) -> Option<&'g str> {
        good.iter().find(|(other, at)| *other != self.who && *at < self.from).map(|(other, _)| other.as_str())
    }

    /// What it says against the file, and what is known all the same.
    pub(super) fn reason(self, borne_out: Option<BorneOut>) -> Reason {
        Reason::KeyRevokedSince { who: self.who, from: self.from, why: self.why, borne_out }
    }
}

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
        // By the bytes that were signed: what may be left out of a body reads alike and is written otherwise.
        trust.digest = sha256_hex(envelope.payload());
        let mut reasons = Vec::new();
        if trust.body.version < pins.least_version {
            reasons.push(Reason::TrustOlder { found: trust.body.version, least: pins.least_version });
        }
        let twin = |digest: &String| trust.body.version == pins.least_version && *digest != trust.digest;
        if pins.digest.as_ref().is_some_and(twin) {
            reasons.push(Reason::TrustTwin { version: trust.body.version });
        }
        let owners = trust.owners_of(&envelope, &mut reasons);
        trust.signed = owners.iter().map(|(kid, _, at)| (kid.clone(), *at)).collect();
        let people: BTreeSet<usize> = owners.iter().map(|(_, who, _)| *who).collect();
        let (found, due) = (people.len(), trust.owners_needed());
        if found < due {
            let missing = format!("{found} of {due} are there");
            reasons.push(Reason::TrustNotByOwner { missing });
        }
        for kid in pins.each.iter().filter(|each| !owners.iter().any(|(kid, ..)| kid == *each)) {
            reasons.push(Reason::TrustWithoutOwner { who: trust.name_of(kid) });
        }
        if !pins.owners.is_empty() {
            let least = pins.needed.max(1);
            // Counted by who held the keys then: a later version could give one owner's second key to somebody invented.
            let signed = |pin: &String| owners.iter().any(|(kid, ..)| kid == pin);
            let found = pins.owners.iter().filter(|held| held.iter().any(signed)).count();
            if found < least {
                reasons.push(Reason::TrustFewerOwners { found, least });
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
        body.approvers(&mut found);
        let made_at = instant_of(&body.made_at, || place(["made_at".into()]), &mut found);
        let ends_at = instant_of(&body.ends_at, || place(["ends_at".into()]), &mut found);
        if let (Some(made), Some(ends)) = (made_at, ends_at)
            && ends <= made
        {
            found.say(
                place(["ends_at".into()]),
                "it ends before it is made",
                "let it end after `made_at`, by when it is to be renewed",
            );
        }
        let clock_anew = || place(["clock_anew".into()]);
        let anew = body.clock_anew.as_deref().and_then(|text| instant_of(text, clock_anew, &mut found));
        if anew.zip(made_at).is_some_and(|(anew, made)| anew > made) {
            let cure = "begin the clock anew at `made_at`, or before";
            found.say(clock_anew(), "it begins the clock anew after it is made", cure);
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
                found.push(place([]), fault.into());
                return Err(found.into_vec());
            }
        };
        let (signed, bars) = (Vec::new(), Vec::new());
        let trust = Self { body, digest, zone, made_at, ends_at, signed, holders, spans, pinned: false, bars };
        for (place, pack) in trust.body.packs.iter().enumerate() {
            if let Err(reason) = trust.check_approval(pack) {
                found.push(of_pack(place, ["approved_by".into()]), reason);
            }
        }
        if found.is_empty() { Ok(trust) } else { Err(found.into_vec()) }
    }

    /// The owners whose signatures hold: thumbprint, person and instant. A signature that does not hold is a reason.
    fn owners_of(&self, envelope: &Envelope, reasons: &mut Vec<Reason>) -> Vec<(String, usize, Instant)> {
        if envelope.seals().is_empty() {
            reasons.push(Reason::NotSigned(Kind::Trust));
        }
        let mut owners = Vec::new();
        for signer in envelope.signers() {
            let checked = signer.and_then(|signer| {
                if signer.role != Role::Owner {
                    return Err(Reason::WrongRole { who: self.name_of(&signer.kid), role: signer.role });
                }
                self.standing(envelope, &signer)?;
                if ahead_of(self.made_at, signer.at) {
                    let who = self.name_of(&signer.kid);
                    return Err(Reason::SignedBeforeMade { who, at: signer.at.to_record_text() });
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

    /// Whether the signature is this person's, and the key was good for the role at the instant it names.
    ///
    /// # Errors
    /// Why not.
    pub fn standing(&self, envelope: &Envelope, signer: &Signer) -> Result<Standing<'_>, Reason> {
        let unknown = || Reason::UnknownKey { kid: signer.kid.clone() };
        let holder = self.holders.get(&signer.kid).ok_or_else(unknown)?;
        let person = self.body.people.get(holder.person).ok_or_else(unknown)?;
        let who = || person.name.clone();
        let at = || signer.at.to_record_text();
        if !envelope.holds(signer, &holder.key) {
            return Err(Reason::Changed { who: who() });
        }
        if !person.roles.contains(&signer.role) {
            return Err(Reason::WrongRole { who: who(), role: signer.role });
        }
        if signer.at < holder.from {
            return Err(Reason::KeyNotYet { who: who(), at: at() });
        }
        if signer.at >= holder.until {
            return Err(Reason::KeyExpired { who: who(), at: at() });
        }
        let revoked_since = match &holder.revoked {
            Some((revoked, why)) if *revoked <= signer.at => {
                return Err(Reason::KeyRevoked { who: who(), at: at(), why: why.clone() });
            }
            Some((from, why)) => Some((*from, why.as_str())),
            None => None,
        };
        Ok(Standing { person: &person.name, revoked_since, until: holder.until })
    }

    /// The person of a key, or the thumbprint of one that is not known.
    pub fn name_of(&self, kid: &str) -> String {
        let person = self.holders.get(kid).and_then(|holder| self.body.people.get(holder.person));
        person.map_or_else(|| format!("the key `{kid}`"), |person| person.name.clone())
    }

    /// The person of a name.
    pub fn person(&self, name: &str) -> Option<&Person> {
        self.body.people.iter().find(|person| person.name == name)
    }

    /// Whether the key could sign in the role at an instant: what is asked before signing.
    ///
    /// # Errors
    /// Why not.
    pub fn may_sign(&self, kid: &str, role: Role, at: Instant) -> Result<&str, Reason> {
        let unknown = || Reason::UnknownKey { kid: kid.to_owned() };
        let holder = self.holders.get(kid).ok_or_else(unknown)?;
        let person = self.body.people.get(holder.person).ok_or_else(unknown)?;
        let who = || person.name.clone();
        let text = || at.to_record_text();
        if !person.roles.contains(&role) {
            return Err(Reason::WrongRole { who: who(), role });
        }
        if at < holder.from {
            return Err(Reason::KeyNotYet { who: who(), at: text() });
        }
        if at >= holder.until {
            return Err(Reason::KeyExpired { who: who(), at: text() });
        }
        if let Some((_, why)) = &holder.revoked {
            return Err(Reason::KeyRevoked { who: who(), at: text(), why: why.clone() });
        }
        Ok(&person.name)
    }

    /// Whether a pack was approved at an instant.
    ///
    /// # Errors
    /// Why not.
    pub fn approves(&self, name: &str, edition: &str, sha256: &str, at: Instant) -> Result<(), Reason> {
        let pack = || format!("{name} {edition}");
        let mut known = self
            .body
            .packs
            .iter()
            .zip(&self.spans)
            .filter(|(pack, _)| pack.name == name && pack.edition == edition && pack.sha256 == sha256)
            .map(|(_, span)| span)
            .peekable();
        if known.peek().is_none() {
            let digest = sha256.get(..32).unwrap_or(sha256).to_owned();
            return Err(Reason::PackNotApproved { pack: pack(), digest });
        }
        if known.any(|span| covers(*span, at)) {
            Ok(())
        } else {
            Err(Reason::PackApprovalOver { pack: pack(), at: at.to_record_text() })
        }
    }

    /// The names of the packs that must judge every job at an instant.
    pub fn required(&self, at: Instant) -> Vec<&str> {
        self.body
            .packs
            .iter()
            .zip(&self.spans)
            .filter(|(pack, span)| pack.required && covers(**span, at))
            .map(|(pack, _)| pack.name.as_str())
            .collect()
    }

    /// The packs that must judge at an instant and are not among `parts`: the base pack before all others, and every pack
    /// that is approved as required.
    pub fn left_out(&self, parts: &[PackPart], at: Instant) -> Vec<Reason> {
        let base = (parts.first().is_none_or(|first| first.name != BASE)).then_some(BASE);
        let mut missing: Vec<&str> = base.into_iter().collect();
        for name in self.required(at) {
            if !missing.contains(&name) && !parts.iter().any(|part| part.name == name) {
                missing.push(name);
            }
        }
        missing.into_iter().map(|name| Reason::PackLeftOut { pack: name.to_owned() }).collect()
    }

    /// Why the file cannot be relied on at an instant, if so: it has ended, or the clock is wrong.
    pub fn lapses(&self, at: Instant) -> Option<Reason> {
        if at >= self.ends_at {
            return Some(Reason::TrustEnded { at: self.body.ends_at.clone() });
        }
        if ahead_of(self.made_at, at) {
            return Some(Reason::ClockBehind { at: at.to_record_text(), known: self.body.made_at.clone() });
        }
        let (kid, signed_at) = self.signed.iter().find(|(_, signed_at)| ahead_of(*signed_at, at))?;
        Some(Reason::SignedAhead { who: self.name_of(kid), at: signed_at.to_record_text() })
    }

    /// The shop whose trust file it is.
    pub fn shop(&self) -> &str {
        &self.body.shop
    }

    /// SHA-256 of the canonical bytes of the body, in hexadecimal.
    pub fn digest(&self) -> &str {
        &self.digest
    }

    /// The version.
    pub const fn version(&self) -> i64 {
        self.body.version
    }

    /// How many different owners must have signed, by the file itself.
    pub fn owners_needed(&self) -> usize {
        usize::try_from(self.body.owners_needed).unwrap_or(usize::MAX)
    }

    /// The time zone in which the shop lies.
    pub const fn zone(&self) -> &Zone {
        &self.zone
    }

    /// When it was made.
    pub const fn made_at(&self) -> Instant {
        self.made_at
    }

    /// The content.
    pub const fn body(&self) -> &TrustBody {
        &self.body
    }

    /// The keys with their holders' names, in the order of thumbprints.
    pub fn keys(&self) -> impl Iterator<Item = (&str, &Holder)> {
        self.holders.values().filter_map(|holder| Some((self.body.people.get(holder.person)?.name.as_str(), holder)))
    }

    /// Whether the owners were known from elsewhere when it was opened.
    pub const fn is_pinned(&self) -> bool {
        self.pinned
    }

    /// What keeps a fill from starting by it, whatever checklist it is: that nobody said whose it is, and what is said with
    /// [`Trust::bar`].
    pub fn bars(&self) -> impl Iterator<Item = Reason> + '_ {
        (!self.pinned).then_some(Reason::TrustUnpinned).into_iter().chain(self.bars.iter().cloned())
    }

    /// Keeps fills from starting by it, for these reasons.
    pub fn bar(&mut self, reasons: Vec<Reason>) {
        self.bars.extend(reasons);
    }

    /// The owners who signed it, by name and by the words of the key.
    pub fn signers(&self) -> impl Iterator<Item = (&str, String)> {
        let of = |kid: &String| {
            let holder = self.holders.get(kid)?;
            Some((self.body.people.get(holder.person)?.name.as_str(), holder.key.fingerprint_words()))
        };
        self.signed.iter().filter_map(move |(kid, _)| of(kid))
    }

    /// Whether a key of these words is an owner's.
    fn has_owner(&self, words: &str) -> bool {
        self.holders.values().any(|holder| {
            let person = self.body.people.get(holder.person);
            person.is_some_and(|person| person.roles.contains(&Role::Owner)) && holder.key.fingerprint_words() == words
        })
    }

    /// The first half of the digest of its content as eight words, as they stand on the owner's paper.
    pub fn words(&self) -> String {
        digest_words(&self.digest)
    }

    /// The people who have signed an envelope of this body as owners so far, each once; and what speaks against one of its
    /// signatures, which would make it worthless however many more are added.
    ///
    /// # Errors
    /// The first signature that is not a good one by an owner.
    pub fn owners_who_signed(&self, envelope: &Envelope) -> Result<Vec<&str>, Reason> {
        let mut people = Vec::new();
        for signer in envelope.signers() {
            let signer = signer?;
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

    /// What the next version is held against: the owners' keys that stand or have signed this one, how many must sign, and
    /// this version.
    pub fn pins(&self) -> Pins {
        let is_owner = |holder: &&Holder| {
            let person = self.body.people.get(holder.person);
            let stands = holder.revoked.is_none() || self.signed.iter().any(|(kid, _)| kid == holder.key.kid());
            stands && person.is_some_and(|person| person.roles.contains(&Role::Owner))
        };
        let mut owners: BTreeMap<usize, Vec<String>> = BTreeMap::new();
        for holder in self.holders.values().filter(is_owner) {
            owners.entry(holder.person).or_default().push(holder.key.kid().to_owned());
        }
        Pins {
            owners: owners.into_values().collect(),
            needed: self.owners_needed(),
            least_version: self.body.version,
            digest: Some(self.digest.clone()),
            ..Pins::default()
        }
    }
}

/// Whether an approval covers an instant.
fn covers((from, until): (Instant, Option<Instant>), at: Instant) -> bool {
    from <= at && until.is_none_or(|until| at < until)
}

/// Whether an instant is later than another by more than clocks may differ.
pub(crate) fn ahead_of(instant: Instant, of: Instant) -> bool {
    let skew = Exact::new(CLOCK_SKEW_SECONDS, 1).unwrap_or(Exact::ZERO);
    instant > of && instant.seconds_since(of) > skew
}

fn instant_of(text: &str, at: impl FnOnce() -> Path, found: &mut Found) -> Option<Instant> {
    let read = instant(text);
    if read.is_none() {
        found.say(at(), format!("`{text}` is not an instant as it is written here"), INSTANT);
    }
    read
}

/// The keys of all people, each checked; one key under two names is a fault.
fn holders(body: &TrustBody, found: &mut Found) -> BTreeMap<String, Holder> {
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
                found.push(at("public_key"), Reason::Key { who: who.to_owned(), fault });
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
            found.say(at("until"), format!("a key of {who} ends before it begins"), "let it end after its `from`");
        }
        // Whoever leaves before the key's own end cannot sign from then on, were it on the first day.
        let until = retired.flatten().map_or(until, |end| end.min(until));
        let kid = key.kid().to_owned();
        if holders.insert(kid, Holder { person, key, from, until, revoked }).is_some() {
            found.say(
                at("public_key"),
                format!("a key of {who} stands there twice"),
                "let each key stand once, with the one person who has it; make a new key for anybody else",
            );
        }
    }
    holders
}
