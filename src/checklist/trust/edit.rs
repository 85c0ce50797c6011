//! The next version of a trust file, made from the one in force by the acts of a shop, so that nobody writes keys and
//! instants by hand. Whether the result holds together is asked when it is opened. This module must not know files.

use super::body::{Key, Person, Revocation, TrustBody};
use crate::checklist::jws::instant;
use crate::checklist::keys::PublicKey;
use crate::units::Instant;
use crate::vocabulary::Role;

/// Why a trust file cannot be changed as it was asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EditFault {
    /// Nobody of this name is in it.
    NoSuchPerson {
        /// The name.
        name: String,
        /// Those who are.
        known: Vec<String>,
    },
    /// The key is in it already.
    KeyThere {
        /// Whose it is.
        who: String,
    },
    /// The person has no key that could be ended.
    NoKey {
        /// The person.
        who: String,
    },
    /// Somebody new without a role.
    NoRole,
    /// The person has several keys that could be revoked, and nobody said which others may have.
    SeveralKeys {
        /// The person.
        who: String,
        /// The keys by their words, each with the instant from which it may sign.
        keys: Vec<(String, String)>,
    },
    /// The key is not as old as the instant from which it is to be revoked.
    KeyLater {
        /// The person.
        who: String,
        /// From when the key may sign.
        from: String,
    },
}

/// How a key ends before its time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// Whoever held it has left and has given it back: what it signed before stays in order.
    Retired,
    /// Somebody else may have it: what it signed before is in order only by another person's word.
    Revoked,
}

impl TrustBody {
    /// The version after this one, with the same content, made at an instant.
    #[must_use]
    pub fn next(&self, at: Instant) -> Self {
        Self { version: self.version + 1, made_at: at.to_record_text(), ..self.clone() }
    }

    /// Gives a person a key for a span, and these roles as well.
    ///
    /// # Errors
    /// A key that is there already, somebody new without a role.
    pub fn add(
        &mut self,
        name: &str,
        roles: &[Role],
        key: &PublicKey,
        span: (Instant, Instant),
    ) -> Result<(), EditFault> {
        let pem = key.to_pem();
        if let Some(who) = self.people.iter().find(|who| who.keys.iter().any(|known| known.public_key == pem)) {
            return Err(EditFault::KeyThere { who: who.name.clone() });
        }
        let (from, until) = (span.0.to_record_text(), span.1.to_record_text());
        let entry = Key { public_key: pem, from, until, retired: None, revoked: None };
        if let Some(person) = self.people.iter_mut().find(|person| person.name == name) {
            let new: Vec<Role> = roles.iter().copied().filter(|role| !person.roles.contains(role)).collect();
            person.roles.extend(new);
            person.keys.push(entry);
            return Ok(());
        }
        if roles.is_empty() {
            return Err(EditFault::NoRole);
        }
        self.people.push(Person { name: name.to_owned(), roles: roles.to_vec(), keys: vec![entry] });
        Ok(())
    }

    /// Ends keys of a person: those that are given, or, where none is, those that are retired, all that have not ended by
    /// then, and of those that are revoked the only one.
    ///
    /// # Errors
    /// A person who is not there, a key that is not theirs or has ended, a revocation from before the key, or of one of
    /// several keys without a word of which.
    pub fn end(
        &mut self,
        name: &str,
        only: &[PublicKey],
        how: Ending,
        at: Instant,
        why: &str,
    ) -> Result<(), EditFault> {
        let known = self.people.iter().map(|person| person.name.clone()).collect();
        let person = self.people.iter_mut().find(|person| person.name == name);
        let person = person.ok_or_else(|| EditFault::NoSuchPerson { name: name.to_owned(), known })?;
        let pems: Vec<String> = only.iter().map(PublicKey::to_pem).collect();
        let is_meant = |key: &Key| match how {
            _ if !pems.is_empty() => pems.contains(&key.public_key),
            Ending::Retired => !key.has_ended_by(at),
            Ending::Revoked => key.revoked.is_none(),
        };
        let meant = |key: &&mut Key| is_meant(key);
        let found: Vec<&Key> = person.keys.iter().filter(|key| is_meant(key)).collect();
        if found.len() < pems.len() {
            return Err(EditFault::NoKey { who: name.to_owned() });
        }
        if how == Ending::Revoked && pems.is_empty() && found.len() > 1 {
            let keys = found.iter().map(|key| (key.words(), key.from.clone())).collect();
            return Err(EditFault::SeveralKeys { who: name.to_owned(), keys });
        }
        let is_later = |key: &&&Key| how == Ending::Revoked && instant(&key.from).is_some_and(|from| from > at);
        if let Some(key) = found.iter().find(is_later) {
            return Err(EditFault::KeyLater { who: name.to_owned(), from: key.from.clone() });
        }
        let mut ended = 0;
        for key in person.keys.iter_mut().filter(meant) {
            let end = Some(Revocation { at: at.to_record_text(), why: why.to_owned() });
            match how {
                Ending::Retired => key.retired = end,
                Ending::Revoked => key.revoked = end,
            }
            ended += 1;
        }
        if ended == 0 { Err(EditFault::NoKey { who: name.to_owned() }) } else { Ok(()) }
    }
}

impl Key {
    /// Its eight words; nothing where it is no key.
    fn words(&self) -> String {
        PublicKey::from_pem(&self.public_key).map(|key| key.fingerprint_words()).unwrap_or_default()
    }

    /// Whether nothing signed from this instant on counts any more.
    fn has_ended_by(&self, at: Instant) -> bool {
        let ends =
            [Some(&self.until), self.retired.as_ref().map(|end| &end.at), self.revoked.as_ref().map(|end| &end.at)];
        ends.into_iter().flatten().filter_map(|text| instant(text)).any(|end| end <= at)
    }
}
