//! The next version of a trust file, made from the one in force by the acts of a shop, so that nobody writes keys and
//! instants by hand. Whether the result holds together is asked when it is opened. This module must not know files.

use super::body::{FormerRole, Key, Person, Revocation, TrustBody};
use crate::checklist::jws::instant;
use crate::checklist::keys::PublicKey;
use crate::units::Instant;
use crate::vocabulary::{Role, has_words};

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
    /// The key has been given back or revoked, and serves nobody again.
    KeyEnded {
        /// Whose it was.
        who: String,
        /// From when it ended.
        at: String,
    },
    /// No reason is given for the end of a key.
    NoReason,
    /// The person has no key that could be ended.
    NoKey {
        /// The person.
        who: String,
    },
    /// Somebody new without a role.
    NoRole,
    /// Somebody new without a key.
    NoKeyYet,
    /// Somebody who is there, with neither a key nor a role that would be new.
    NothingNew {
        /// The person.
        who: String,
    },
    /// A role that the person does not have.
    NotInRole {
        /// The person.
        who: String,
        /// The role.
        role: Role,
    },
    /// The keys end already as they are to end.
    EndThere {
        /// The person.
        who: String,
    },
    /// A pack without an approval that could be ended.
    NoApproval {
        /// Its name.
        pack: String,
    },
    /// The person has several keys that could be revoked, and nobody said which others may have.
    SeveralKeys {
        /// The person.
        who: String,
        /// The keys by their words, each with the instant from which it may sign.
        keys: Vec<(String, String)>,
    },
    /// The shop is called so already.
    SameShopName {
        /// The name.
        name: String,
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
    /// The person who held it has left and has given it back: what it signed before stays in order.
    Retired,
    /// Somebody else may have it: what it signed before is in order only by another person's word.
    Revoked,
}

impl TrustBody {
    /// The version after this one, with the same content, made at an instant, and never before this one, nor before a role
    /// was taken off: clocks of two people differ.
    #[must_use]
    pub fn next(&self, at: Instant) -> Self {
        let former = self.people.iter().flat_map(|person| &person.former_roles);
        let known = former.flat_map(|former| [Some(&former.until), former.again.as_ref()]).flatten();
        let known = known.chain([&self.made_at]).filter_map(|text| instant(text));
        let made_at = known.fold(at, Instant::max).to_record_text();
        Self { version: self.version + 1, made_at, ..self.clone() }
    }

    /// Whether an end from an instant comes with this version, rather than being stated of what was before it.
    fn comes_with_it(&self, end: Instant) -> bool {
        instant(&self.made_at).is_some_and(|made| made <= end)
    }

    /// Gives a person a key for a span, these roles, or both; a key that the person has already stays as it is.
    ///
    /// # Errors
    /// A key that somebody else has, somebody new without a role or a key, somebody who is there and gets nothing new.
    pub fn add(
        &mut self,
        name: &str,
        roles: &[Role],
        key: Option<&PublicKey>,
        span: (Instant, Instant),
    ) -> Result<(), EditFault> {
        let pem = key.map(PublicKey::to_pem);
        let has_it = |who: &&Person| who.keys.iter().any(|known| Some(&known.public_key) == pem.as_ref());
        let holder = self.people.iter().find(has_it).map(|who| who.name.clone());
        if let Some(who) = holder.clone().filter(|who| who != name) {
            return Err(EditFault::KeyThere { who });
        }
        let of_key = |known: &&Key| Some(&known.public_key) == pem.as_ref();
        let known = self.people.iter().flat_map(|who| &who.keys).find(of_key);
        if let Some(end) = known.and_then(|known| known.revoked.as_ref().or(known.retired.as_ref())) {
            return Err(EditFault::KeyEnded { who: name.to_owned(), at: end.at.clone() });
        }
        let made_at = self.made_at.clone();
        let (from, until) = (span.0.to_record_text(), span.1.to_record_text());
        let entry = |public_key| Key { public_key, from, until, retired: None, revoked: None, once_signed: false };
        let entry = pem.filter(|_| holder.is_none()).map(entry);
        if let Some(person) = self.people.iter_mut().find(|person| person.name == name) {
            let new: Vec<Role> = roles.iter().copied().filter(|role| !person.roles.contains(role)).collect();
            if new.is_empty() && entry.is_none() {
                return Err(EditFault::NothingNew { who: name.to_owned() });
            }
            let given_back = |former: &&mut FormerRole| former.again.is_none() && new.contains(&former.role);
            for former in person.former_roles.iter_mut().filter(given_back) {
                former.again = Some(made_at.clone());
            }
            person.roles.extend(new);
            person.keys.extend(entry);
            return Ok(());
        }
        if roles.is_empty() {
            return Err(EditFault::NoRole);
        }
        let entry = entry.ok_or(EditFault::NoKeyYet)?;
        self.people.push(Person {
            name: name.to_owned(),
            roles: roles.to_vec(),
            former_roles: Vec::new(),
            keys: vec![entry],
        });
        Ok(())
    }

    /// Lets it hold until an instant, and, where a clock stood wrong, lets the clocks of all accounts count from when this
    /// version was made.
    pub fn renew(&mut self, until: Instant, clock_anew: bool) {
        self.ends_at = until.to_record_text();
        if clock_anew {
            self.clock_anew = Some(self.made_at.clone());
        }
    }

    /// Takes roles off a person, whose keys stay as they are: from when this version is made nothing is signed in them
    /// any more, and what was signed before stays in order.
    ///
    /// # Errors
    /// A person who is not there, a role that they do not have.
    pub fn take_roles(&mut self, name: &str, roles: &[Role]) -> Result<(), EditFault> {
        let made_at = self.made_at.clone();
        let person = self.person_named(name)?;
        if let Some(role) = roles.iter().find(|role| !person.roles.contains(role)) {
            return Err(EditFault::NotInRole { who: name.to_owned(), role: *role });
        }
        person.roles.retain(|role| !roles.contains(role));
        person.former_roles.extend(roles.iter().map(|role| FormerRole {
            role: *role,
            until: made_at.clone(),
            again: None,
            once_signed: true,
        }));
        Ok(())
    }

    /// Ends the approvals of a pack that have not ended by an instant.
    ///
    /// # Errors
    /// If there is none.
    pub fn end_approvals(&mut self, pack: &str, at: Instant) -> Result<(), EditFault> {
        let comes_with_it = self.comes_with_it(at);
        let has_ended = |until: &Option<String>| until.as_deref().and_then(instant).is_some_and(|until| until <= at);
        let mut found = self.packs.iter_mut().filter(|known| known.name == pack && !has_ended(&known.until)).peekable();
        if found.peek().is_none() {
            return Err(EditFault::NoApproval { pack: pack.to_owned() });
        }
        found.for_each(|approval| {
            // An end that was planned before is not put off by waiting for the owners.
            approval.once_signed = comes_with_it && (approval.until.is_none() || approval.once_signed);
            approval.until = Some(at.to_record_text());
        });
        Ok(())
    }

    fn person_named(&mut self, name: &str) -> Result<&mut Person, EditFault> {
        let known = self.people.iter().map(|person| person.name.clone()).collect();
        let person = self.people.iter_mut().find(|person| person.name == name);
        person.ok_or_else(|| EditFault::NoSuchPerson { name: name.to_owned(), known })
    }

    /// Ends keys of a person: those that are given, or, where none is, those that are retired, all that have not ended by
    /// then, and of those that are revoked the only one.
    ///
    /// # Errors
    /// No reason in words, a person who is not there, a key that is not theirs or has ended, a revocation from before
    /// the key, or of one of several keys without a word of which.
    pub fn end(
        &mut self,
        name: &str,
        only: &[PublicKey],
        how: Ending,
        at: Instant,
        why: &str,
    ) -> Result<(), EditFault> {
        if !has_words(why) {
            return Err(EditFault::NoReason);
        }
        let comes_with_it = self.comes_with_it(at);
        let person = self.person_named(name)?;
        let pems: Vec<String> = only.iter().map(PublicKey::to_pem).collect();
        let is_meant = |key: &Key| match how {
            _ if !pems.is_empty() => pems.contains(&key.public_key),
            Ending::Retired => !key.has_ended_by(at),
            // What was revoked already may be revoked from an earlier instant, and from no later one.
            Ending::Revoked => key.revoked.as_ref().is_none_or(|end| instant(&end.at).is_none_or(|known| at < known)),
        };
        let meant = |key: &&mut Key| is_meant(key);
        let found: Vec<&Key> = person.keys.iter().filter(|key| is_meant(key)).collect();
        if found.len() < pems.len() {
            return Err(EditFault::NoKey { who: name.to_owned() });
        }
        if how == Ending::Revoked && pems.is_empty() && found.len() > 1 {
            let keys = found.iter().map(|key| (key.fingerprint(), key.from.clone())).collect();
            return Err(EditFault::SeveralKeys { who: name.to_owned(), keys });
        }
        let is_later = |key: &&&Key| how == Ending::Revoked && instant(&key.from).is_some_and(|from| from > at);
        if let Some(key) = found.iter().find(is_later) {
            return Err(EditFault::KeyLater { who: name.to_owned(), from: key.from.clone() });
        }
        let before = person.keys.clone();
        let mut ended = 0;
        for key in person.keys.iter_mut().filter(meant) {
            let end = Some(Revocation { at: at.to_record_text(), why: why.to_owned() });
            match how {
                Ending::Retired => {
                    key.once_signed = comes_with_it && (key.retired.is_none() || key.once_signed);
                    key.retired = end;
                }
                Ending::Revoked => key.revoked = end,
            }
            ended += 1;
        }
        match ended {
            0 => Err(EditFault::NoKey { who: name.to_owned() }),
            _ if person.keys == before => Err(EditFault::EndThere { who: name.to_owned() }),
            _ => Ok(()),
        }
    }
}

impl Key {
    /// Its eight words; nothing where it is no key.
    fn fingerprint(&self) -> String {
        PublicKey::from_pem(&self.public_key).map(|key| key.fingerprint_words()).unwrap_or_default()
    }

    /// Whether nothing signed from this instant on counts any more.
    fn has_ended_by(&self, at: Instant) -> bool {
        let ends =
            [Some(&self.until), self.retired.as_ref().map(|end| &end.at), self.revoked.as_ref().map(|end| &end.at)];
        ends.into_iter().flatten().filter_map(|text| instant(text)).any(|end| end <= at)
    }
}
