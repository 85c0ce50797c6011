//! The shop's trust file: accepting its owner, opening it by what is known of its owners and by what is remembered, and
//! signing its next version.

mod memory;

use std::path::{Path, PathBuf};

use super::keys::Hand;
use super::world::{Existing, Readers, Source};
use super::{Desk, Refusal, Unfit};
use crate::checklist::Reason;
use crate::checklist::jws::{Envelope, Kind, Role};
use crate::checklist::keys::{PublicKey, same_words};
use crate::checklist::trust::{Pins, Trust, TrustBody};
use memory::Seen;

/// A trust file that is to be opened, and what is known of it from elsewhere.
#[derive(Debug)]
pub struct Trusting {
    /// The file.
    pub file: Source,
    /// The public keys of owners, known from paper. With each of them the file must be signed; without any it is taken at
    /// its word, and no fill may start by it.
    pub owners: Vec<PublicKey>,
    /// The least version that is taken.
    pub at_least: i64,
    /// The words of the file's content, known from paper: they stand for what is remembered, for this act.
    pub words: Option<String>,
}

/// That a person takes keys for those of the owners of a shop, by what stands on its paper.
#[derive(Debug)]
pub struct Acceptance {
    /// The trust file.
    pub file: Source,
    /// Owners' keys, each with the words that were read off the paper for it.
    pub owners: Vec<(PublicKey, String)>,
    /// The words that were read off the paper for the trust file: one owner of several could make a file of their own.
    pub words: String,
}

/// What a trust file is opened for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// To put a key to use. Whose file it is must be known and accepted, and its version must be remembered: what keeps
    /// this account from remembering would otherwise keep it from ever noticing an older file.
    Sign,
    /// To look. What was remembered before is asked all the same; what would keep a key from being put to use bars every
    /// start by the file, and nobody from looking.
    Look,
}

/// A trust file that was opened.
#[derive(Debug)]
pub struct Opened {
    /// What it says.
    pub trust: Trust,
    /// Why its version is not remembered, if it is not.
    pub unremembered: Option<Refusal>,
}

/// A trust file that was signed.
#[derive(Debug)]
pub struct TrustSigned {
    /// Where it is kept.
    pub name: PathBuf,
    /// What it says.
    pub body: TrustBody,
    /// How many different owners have signed it so far.
    pub owners: usize,
    /// Why its version is not remembered, if it is not.
    pub unremembered: Option<Refusal>,
}

/// The refusal that says what speaks against the trust file of this name.
fn against(name: &Path) -> impl Fn(Vec<Reason>) -> Refusal {
    |reasons| Refusal::Trust { name: name.to_owned(), reasons }
}

impl Desk<'_> {
    /// Opens a trust file. Of a file whose owner is known, the highest version seen is remembered, what it says, which owners
    /// it has and how many of them it asked for, and what time it was.
    ///
    /// # Errors
    /// Whatever speaks against the file, and, where a key is to be put to use, what bars every start by it.
    pub fn open_trust(&self, trusting: &Trusting, purpose: Purpose) -> Result<Opened, Refusal> {
        let Trusting { file, owners, at_least, words } = trusting;
        if purpose == Purpose::Sign && owners.is_empty() {
            return Err(Unfit::NoOwner.into());
        }
        let owners: Vec<String> = owners.iter().map(|key| key.kid().to_owned()).collect();
        let seen = Seen::of(self.storage)?;
        let pins = Pins { each: owners.clone(), ..seen.latest(&owners) };
        let mut trust = Trust::open(&file.label(), &file.bytes, &pins).map_err(against(&file.name))?;
        let found = trust.version();
        if found < *at_least {
            return Err(against(&file.name)(vec![Reason::TrustOlderThanAsked { found, least: *at_least }]));
        }
        if words.as_ref().is_some_and(|words| !same_words(words, &trust.words())) {
            return Err(against(&file.name)(vec![Reason::TrustNotOnPaper]));
        }
        if owners.is_empty() {
            return Ok(Opened { trust, unremembered: None });
        }
        let now = self.now(trust.zone())?;
        let mut bars: Vec<Reason> = seen.clock_set_back(&owners, &trust, now).into_iter().collect();
        if words.is_none() {
            let unknown = owners.iter().filter(|kid| !seen.has_accepted(kid));
            bars.extend(unknown.map(|kid| Reason::OwnerNotAccepted { who: trust.name_of(kid) }));
        }
        let unremembered = match seen.note(&owners, &trust, now, false) {
            Ok(()) => None,
            Err(Refusal::Reasons(reasons)) => return Err(against(&file.name)(reasons)),
            Err(refusal) if purpose == Purpose::Sign && words.is_none() => return Err(refusal),
            Err(refusal) => Some(refusal),
        };
        if unremembered.is_some() && words.is_none() {
            bars.push(Reason::TrustNotRemembered);
        }
        if purpose == Purpose::Sign && !bars.is_empty() {
            return Err(against(&file.name)(bars));
        }
        trust.bar(bars);
        Ok(Opened { trust, unremembered })
    }

    /// Accepts owners' keys for this account, by their words and those of the trust file, both read off the shop's paper.
    ///
    /// # Errors
    /// Words that are not those of key or file, whatever speaks against the file, and why it cannot be remembered.
    pub fn accept_owners(&self, acceptance: &Acceptance) -> Result<Trust, Refusal> {
        let Acceptance { file, owners, words } = acceptance;
        if owners.is_empty() {
            return Err(Unfit::NoOwner.into());
        }
        let kids: Vec<String> = owners.iter().map(|(key, _)| key.kid().to_owned()).collect();
        let seen = Seen::of(self.storage)?;
        let pins = Pins { each: kids.clone(), ..seen.latest(&kids) };
        let trust = Trust::open(&file.label(), &file.bytes, &pins).map_err(against(&file.name))?;
        if let Some((key, _)) = owners.iter().find(|(key, words)| !same_words(words, &key.fingerprint_words())) {
            return Err(Unfit::OtherOwnerWords { who: trust.name_of(key.kid()) }.into());
        }
        if !same_words(words, &trust.words()) {
            return Err(against(&file.name)(vec![Reason::TrustNotOnPaper]));
        }
        let now = self.now(trust.zone())?;
        if let Some(reason) = seen.clock_set_back(&kids, &trust, now).or_else(|| trust.lapses(now)) {
            return Err(against(&file.name)(vec![reason]));
        }
        seen.note(&kids, &trust, now, true)?;
        Ok(trust)
    }

    /// Signs the owner's trust file, which is kept as `out`: a further signature where the same content is there, the
    /// version after it where other content is there.
    ///
    /// # Errors
    /// Trust that does not hold together, a key that is not an owner's, a version that does not follow.
    pub fn sign_trust(&self, source: &Source, hand: &Hand<'_>, out: &Path) -> Result<TrustSigned, Refusal> {
        let body = TrustBody::from_document(&source.document()?)?;
        let against_it = against(&source.name);
        // Unsound trust is refused before anybody signs it.
        let trust = Trust::of(body.clone()).map_err(&against_it)?;
        let key = self.open_key(hand)?;
        let kid = key.public().kid();
        let at = self.now(trust.zone())?;
        if let Err(reason) = trust.may_sign(kid, Role::Owner, at) {
            return Err(against_it(vec![reason]));
        }
        if let Some(reason @ Reason::ClockBehind { .. }) = trust.lapses(at) {
            return Err(against_it(vec![reason]));
        }
        let kids = [kid.to_owned()];
        let seen = Seen::of(self.storage)?;
        let Pins { least_version: least, digest, .. } = seen.latest(&kids);
        if body.version < least {
            return Err(against_it(vec![Reason::TrustOlder { found: body.version, least }]));
        }
        if body.version == least && digest.is_some_and(|digest| digest != trust.digest()) {
            return Err(against_it(vec![Reason::TrustTwin { version: least }]));
        }
        if let Some(reason) = seen.clock_set_back(&kids, &trust, at) {
            return Err(against_it(vec![reason]));
        }
        let before = self.storage.read_if_there(out)?;
        let (mut envelope, pins) = match &before {
            Some(bytes) => {
                let there = Source { name: out.to_owned(), bytes: bytes.clone() };
                beside(&there, source, &trust, kid)?
            }
            None => (Envelope::new(Kind::Trust, &body)?, None),
        };
        envelope.sign(&key, Role::Owner, at)?;
        let owners = trust.owners_who_signed(&envelope)?.len();
        let file = envelope.to_file()?;
        // A version that fewer owners make complete than the one before asked for is none of theirs.
        if let Some(pins) = pins.filter(|_| Trust::open("trust", &file, &Pins::default()).is_ok()) {
            Trust::open("trust", &file, &pins).map_err(&against_it)?;
        }
        let existing = before.as_deref().map_or(Existing::Keep, Existing::Replace);
        self.storage.write(out, &file, existing, Readers::Usual).map_err(Refusal::of_writing)?;
        // A version that is complete is in force: this account makes no other one of the same number.
        let complete = Trust::open("trust", &file, &Pins::default()).ok();
        let unremembered = complete.and_then(|trust| seen.note(&kids, &trust, at, false).err());
        Ok(TrustSigned { name: out.to_owned(), body, owners, unremembered })
    }
}

/// The document to sign where one is there: with the same content that one, with its signatures; with other content a new
/// one, and what it is held against.
fn beside(there: &Source, source: &Source, trust: &Trust, kid: &str) -> Result<(Envelope, Option<Pins>), Refusal> {
    let body = trust.body();
    let signed = Envelope::read(Kind::Trust, &there.label(), &there.bytes)?;
    if signed.body::<TrustBody>()? != *body {
        let old = Trust::open(&there.label(), &there.bytes, &Pins::default()).map_err(against(&there.name))?;
        let pins = follows(source, &old, body, kid)?;
        return Ok((Envelope::new(Kind::Trust, body)?, Some(pins)));
    }
    if signed.signers().into_iter().flatten().any(|signer| signer.kid == kid) {
        return Err(Reason::SignedAlready { who: trust.name_of(kid) }.into());
    }
    Ok((signed, None))
}

/// Sees that a body is the version after the one in force and is signed by an owner of that one; gives what the signed
/// file is held against.
fn follows(source: &Source, old: &Trust, body: &TrustBody, kid: &str) -> Result<Pins, Refusal> {
    let (pins, found, before) = (old.pins(), body.version, old.version());
    if found <= before {
        return Err(against(&source.name)(vec![Reason::TrustOlder { found, least: before + 1 }]));
    }
    if found != before + 1 {
        return Err(Unfit::VersionSkipped { found, before }.into());
    }
    if !pins.owners.iter().flatten().any(|owner| owner == kid) {
        return Err(against(&source.name)(vec![Reason::TrustNotByOwnerBefore { version: before }]));
    }
    Ok(Pins { least_version: found, digest: None, ..pins })
}
