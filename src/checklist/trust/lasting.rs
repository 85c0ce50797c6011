//! What of a trust file comes to its planned end soon, and letting it last longer. This module must not know who is told.

use super::body::TrustBody;
use super::{Holder, Trust};
use crate::checklist::jws::instant;
use crate::units::{Exact, Instant};
use crate::vocabulary::Role;

/// Something that comes to its planned end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EndsSoon {
    /// What it is.
    pub what: PlannedEnd,
    /// The first instant at which it no longer serves.
    pub at: Instant,
}

/// What comes to an end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PlannedEnd {
    /// The trust file.
    File,
    /// The last key of a person that could still sign.
    Key {
        /// Whose it is.
        who: String,
        /// Whether the person is an owner.
        owner: bool,
    },
    /// The approval of a pack, with no other approval of its name behind it.
    Pack {
        /// Name and edition.
        pack: String,
    },
}

impl Trust {
    /// What has come to its planned end by so many seconds after an instant, and had not at the instant: the file, then
    /// people by name with the last of their keys, owners first, then packs.
    pub fn ends_within(&self, at: Instant, seconds: i64) -> Vec<EndsSoon> {
        let Some(horizon) = at.checked_add_seconds(Exact::from_int(seconds)) else { return Vec::new() };
        let soon = |end: Instant| at < end && end <= horizon;
        let mut found = Vec::new();
        found.extend(soon(self.ends_at).then_some(EndsSoon { what: PlannedEnd::File, at: self.ends_at }));
        let last = |person: usize| {
            let keys = self.holders.values().filter(|holder| holder.person == person && holder.revoked.is_none());
            keys.map(|holder| holder.until).max()
        };
        let of_people = |owners: bool| {
            let people = self.body.people.iter().enumerate();
            people.filter_map(move |(place, person)| {
                let owner = person.roles.contains(&Role::Owner);
                let end = last(place).filter(|end| soon(*end) && owner == owners)?;
                Some(EndsSoon { what: PlannedEnd::Key { who: person.name.clone(), owner }, at: end })
            })
        };
        found.extend(of_people(true));
        found.extend(of_people(false));
        let lasts = |name: &str, end: Instant| {
            self.counting()
                .any(|(pack, (from, until))| pack.name == name && *from <= end && until.is_none_or(|until| until > end))
        };
        for (pack, (_, until)) in self.counting() {
            if let Some(end) = until.filter(|end| soon(*end) && !lasts(&pack.name, *end)) {
                found.push(EndsSoon {
                    what: PlannedEnd::Pack { pack: format!("{} {}", pack.name, pack.edition) },
                    at: end,
                });
            }
        }
        found
    }

    /// Whether an owner's key can sign the next version at an instant.
    pub fn has_owner_at(&self, at: Instant) -> bool {
        self.holders.keys().any(|kid| self.may_sign(kid, Role::Owner, at).is_ok())
    }

    /// Whether a key is of the same person as another one, and holds from a later instant.
    pub(super) fn is_newer(&self, kid: &str, than: &str) -> bool {
        let of = |kid: &str| self.holders.get(kid).map(|Holder { person, from, .. }| (*person, *from));
        of(kid).zip(of(than)).is_some_and(|((one, from), (other, before))| one == other && from > before)
    }
}

impl TrustBody {
    /// Lets every key that can still sign at an instant do so until another one; how many that are. What has ended, was
    /// given back or revoked stays as it is.
    pub fn renew_keys(&mut self, at: Instant, until: Instant) -> usize {
        let mut renewed = 0;
        for key in self.people.iter_mut().flat_map(|person| &mut person.keys) {
            let end = instant(&key.until);
            if key.revoked.is_none() && key.retired.is_none() && end.is_some_and(|end| at < end && end < until) {
                key.until = until.to_record_text();
                renewed += 1;
            }
        }
        renewed
    }
}
