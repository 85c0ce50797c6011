//! What a key of the trust file is worth: whose it is, in which roles and when it is good, and what became of it since.
//!
//! Must not know what the signed document says.

use super::Trust;
use super::body::Person;
use crate::checklist::jws::{Envelope, Signer};
use crate::checklist::keys::PublicKey;
use crate::checklist::reason::{BorneOut, Reason};
use crate::units::Instant;
use crate::vocabulary::{Kind, Role};

/// A key of the trust file, checked.
#[derive(Debug, Clone)]
pub struct Holder {
    /// The person, by position.
    pub(super) person: usize,
    /// The key.
    pub key: PublicKey,
    /// The first instant of its validity.
    pub from: Instant,
    /// The first instant after it.
    pub until: Instant,
    /// The first instant after it, as it was planned.
    pub(super) planned: Instant,
    /// From when it was given back.
    pub retired: Option<Instant>,
    /// When and why it was revoked.
    pub revoked: Option<(Instant, String)>,
}

impl Holder {
    /// Whether a signature is of the very second in which the key was given back, before its planned end. Whoever gives a
    /// key back has signed before, and no finer time is recorded. That goes for what a person signs of a job: what only
    /// counts once owners have signed it too, or is theirs, comes in no second of its own before that.
    fn was_given_back_with(&self, kind: Kind, signer: &Signer) -> bool {
        let is_of_a_job = matches!(kind, Kind::Checklist | Kind::Permit);
        is_of_a_job && self.retired == Some(signer.at) && signer.at < self.planned
    }
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
    pub(in crate::checklist) fn revoked(&self) -> Option<Revoked> {
        let (from, why) = self.revoked_since?;
        Some(Revoked { who: self.person.to_owned(), from, why: why.to_owned() })
    }

    /// What the end of the key's time says against relying on the signature at an instant.
    pub(in crate::checklist) fn ended(&self, at: Instant) -> Option<Reason> {
        (at >= self.until).then(|| Reason::KeyEnded { who: self.person.to_owned(), at: self.until })
    }
}

/// A signature by a key that was revoked after the instant that it names. Anyone who has the key now can have made it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::checklist) struct Revoked {
    /// Whose key it is.
    pub(in crate::checklist) who: String,
    /// From when it is revoked.
    pub(in crate::checklist) from: Instant,
    /// Why.
    pub(in crate::checklist) why: String,
}

impl Revoked {
    /// Of people who signed with keys that stand, one who bears it out: somebody else, who signed before the revocation.
    pub(in crate::checklist) fn bearer<'g>(&self, good: &'g [(String, Instant)]) -> Option<&'g str> {
        good.iter().find(|(other, at)| *other != self.who && *at < self.from).map(|(other, _)| other.as_str())
    }

    /// What it says against the file, and what is known all the same.
    pub(in crate::checklist) fn reason(self, borne_out: Option<BorneOut>) -> Reason {
        Reason::KeyRevokedSince { who: self.who, from: self.from, why: self.why, borne_out }
    }
}

impl Trust {
    /// Whether the signature is this person's, and the key was good for the role at the instant it names.
    ///
    /// # Errors
    /// Why not.
    pub fn standing(&self, envelope: &Envelope, signer: &Signer) -> Result<Standing<'_>, Reason> {
        let unknown = || Reason::UnknownKey { kid: signer.kid.clone() };
        let holder = self.holders.get(&signer.kid).ok_or_else(unknown)?;
        let person = self.body.people.get(holder.person).ok_or_else(unknown)?;
        let who = || person.name.clone();
        let at = signer.at;
        if !envelope.holds(signer, &holder.key) {
            return Err(Reason::Changed { who: who() });
        }
        if !person.had(signer.role, at) {
            return Err(Reason::WrongRole { who: who(), role: signer.role });
        }
        if signer.at < holder.from {
            return Err(Reason::KeyNotYet { who: who(), at });
        }
        if signer.at >= holder.until && !holder.was_given_back_with(envelope.kind(), signer) {
            return Err(Reason::KeyExpired { who: who(), at });
        }
        let revoked_since = match &holder.revoked {
            Some((revoked, why)) if *revoked <= signer.at => {
                return Err(Reason::KeyRevoked { who: who(), at, why: why.clone() });
            }
            Some((from, why)) => Some((*from, why.as_str())),
            None => None,
        };
        Ok(Standing { person: &person.name, revoked_since, until: holder.until })
    }

    /// Whether a document has a signature that is good by it.
    pub fn bears(&self, envelope: &Envelope) -> bool {
        envelope.signers().into_iter().flatten().any(|signer| self.standing(envelope, &signer).is_ok())
    }

    /// That a signature is not by the key that it names, where that is one of these.
    pub(in crate::checklist) fn disproves(&self, envelope: &Envelope, signer: &Signer) -> Option<Reason> {
        let holder = self.holders.get(&signer.kid)?;
        (!envelope.holds(signer, &holder.key)).then(|| Reason::Changed { who: self.name_of(&signer.kid) })
    }

    /// The person of a key, or the thumbprint of one that is not known.
    pub fn name_of(&self, kid: &str) -> String {
        self.person_of(kid).map_or_else(|| format!("the key `{kid}`"), str::to_owned)
    }

    /// The person of a key; nothing where it is not known.
    pub fn person_of(&self, kid: &str) -> Option<&str> {
        let person = self.holders.get(kid).and_then(|holder| self.body.people.get(holder.person));
        person.map(|person| person.name.as_str())
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
        if !person.roles.contains(&role) {
            return Err(Reason::MayNotSignAs { who: who(), role, may: person.roles.clone() });
        }
        if at < holder.from {
            return Err(Reason::KeyNotYet { who: who(), at });
        }
        if at >= holder.until {
            return Err(Reason::KeyExpired { who: who(), at });
        }
        if let Some((_, why)) = &holder.revoked {
            return Err(Reason::KeyRevoked { who: who(), at, why: why.clone() });
        }
        Ok(&person.name)
    }
}
