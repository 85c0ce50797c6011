//! The shop's trust file: opening it by what is known of its owners and by what is remembered, and signing its next
//! version.

mod memory;

use std::path::{Path, PathBuf};

use super::keys::Hand;
use super::world::{Existing, Readers, Source};
use super::{Desk, Refusal, Unfit};
use crate::checklist::Reason;
use crate::checklist::jws::{Envelope, Kind, Role};
use crate::checklist::keys::PublicKey;
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
}

/// What a trust file is opened for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// To put a key to use. Whose file it is must be known, and its version must be remembered: what keeps this machine
    /// from remembering would otherwise keep it from ever noticing an older file.
    Sign,
    /// To look. What was remembered before is asked all the same; what cannot be remembered now is said.
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
}

/// The refusal that says what speaks against the trust file of this name.
fn against(name: &Path) -> impl Fn(Vec<Reason>) -> Refusal {
    |reasons| Refusal::Trust { name: name.to_owned(), reasons }
}

impl Desk<'_> {
    /// Opens a trust file. Of a file whose owner is known, the highest version seen is remembered, and which owners it has
    /// and how many of them it asked for.
    ///
    /// # Errors
    /// Whatever speaks against the file, and, where a key is to be put to use, why it cannot be remembered.
    pub fn open_trust(&self, trusting: &Trusting, purpose: Purpose) -> Result<Opened, Refusal> {
        let Trusting { file, owners, at_least } = trusting;
        if purpose == Purpose::Sign && owners.is_empty() {
            return Err(Unfit::NoOwner.into());
        }
        let owners: Vec<String> = owners.iter().map(|key| key.kid().to_owned()).collect();
        let seen = Seen::of(self.storage, &file.name)?;
        let before = seen.latest(&owners);
        let pins = Pins { each: owners, ..before };
        let trust = Trust::open(&file.label(), &file.bytes, &pins).map_err(against(&file.name))?;
        let found = trust.version();
        if found < *at_least {
            return Err(against(&file.name)(vec![Reason::TrustOlderThanAsked { found, least: *at_least }]));
        }
        let unremembered = match seen.note(&pins.each, &trust) {
            Ok(()) => None,
            Err(Refusal::Reasons(reasons)) => return Err(against(&file.name)(reasons)),
            Err(refusal) if purpose == Purpose::Sign => return Err(refusal),
            Err(refusal) => Some(refusal),
        };
        Ok(Opened { trust, unremembered })
    }

    /// Signs the owner's trust file, which is kept as `out`: a further signature where the same content is there, the
    /// version after it where other content is there.
    ///
    /// # Errors
    /// Trust that does not hold together, a key that is none of an owner, a version that does not follow.
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
        let least = Seen::of(self.storage, out)?.latest(&[kid.to_owned()]).least_version;
        if body.version < least {
            return Err(against_it(vec![Reason::TrustOlder { found: body.version, least }]));
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
        Ok(TrustSigned { name: out.to_owned(), body, owners })
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
    Ok(Pins { least_version: found, ..pins })
}
