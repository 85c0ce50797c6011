//! Spans of keys, of one version of a trust file and of those before it: what has ended stays so, and nothing begins
//! earlier.
//!
//! A key that was revoked may be in anybody's hands, and one that was given back has no holder any more: were the end taken
//! back or moved to a later instant, everything that was written with it meanwhile would count. So no later version says
//! less, no matter who signs it; the person who was named by mistake gets a new key. A beginning that moves back would let a
//! key have signed what it could not. This module must not know files.

use std::collections::BTreeSet;

use super::{ClockAnew, Holder, Trust, ahead_of};
use crate::checklist::reason::{KeyName, Reason, TrustFlaw};
use crate::units::Instant;

/// From when until when a key signs, and from when it is revoked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeySpan {
    /// The first instant of its validity.
    pub from: Instant,
    /// The first instant after it, planned or by having been given back.
    pub until: Instant,
    /// From when it is revoked.
    pub revoked: Option<Instant>,
}

impl KeySpan {
    /// The span that both leave, of two versions that say something of one key.
    #[must_use]
    pub fn within(self, other: Self) -> Self {
        let revoked = self.revoked.into_iter().chain(other.revoked).min();
        Self { from: self.from.min(other.from), until: self.until.min(other.until), revoked }
    }
}

impl Trust {
    /// The spans of all keys, by their thumbprints.
    pub fn key_spans(&self) -> impl Iterator<Item = (&str, KeySpan)> {
        let span = |holder: &Holder| {
            let revoked = holder.revoked.as_ref().map(|(at, _)| *at);
            KeySpan { from: holder.from, until: holder.until, revoked }
        };
        self.holders.iter().map(move |(kid, holder)| (kid.as_str(), span(holder)))
    }

    /// That it leaves out a key that an earlier version states, begins it earlier, or takes back or moves to a later instant
    /// its end, if so. An end that had not come when this version was made was a plan, and may be changed; a revocation
    /// never. Where it begins the clock anew, an end had come that had by the versions before, and what was to begin later
    /// may begin with it.
    pub fn takes_back<'e>(
        &self,
        before: impl Iterator<Item = (&'e str, KeySpan)>,
        anew: Option<ClockAnew>,
    ) -> Option<Reason> {
        let by = anew.map_or(self.made_at, |anew| self.made_at.max(anew.ahead));
        let found = |(kid, known): (&str, KeySpan)| {
            let Some(holder) = self.holders.get(kid) else {
                return Some(TrustFlaw::KeyGone { key: self.key_name(kid) });
            };
            let revoked = holder.revoked.as_ref().map(|(at, _)| *at);
            let is_over_by = |end: Instant| revoked.is_some_and(|at| at <= end);
            let taken = |revoked: bool, from: Instant| {
                let from = from.in_zone(&self.zone);
                Some(TrustFlaw::EndTakenBack { key: self.key_name(kid), revoked, from })
            };
            match known.revoked {
                Some(end) if !is_over_by(end) => return taken(true, end),
                _ => {}
            }
            let has_passed = known.until <= by;
            if has_passed && holder.until > known.until && !is_over_by(known.until) {
                return taken(false, known.until);
            }
            let begins_with_it = anew.is_some_and(|anew| holder.from >= anew.from);
            (holder.from < known.from && !begins_with_it)
                .then(|| TrustFlaw::KeyEarlier { key: self.key_name(kid), from: known.from.in_zone(&self.zone) })
        };
        before.into_iter().find_map(found).map(Reason::from)
    }

    /// The first of the people whom an earlier version names and this one does not, as a reason against it.
    pub fn leaves_out<'n>(&self, people: impl IntoIterator<Item = &'n str>) -> Option<Reason> {
        let named: BTreeSet<&str> = self.body.people.iter().map(|person| person.name.as_str()).collect();
        let gone = people.into_iter().find(|name| !named.contains(name))?;
        Some(TrustFlaw::PersonGone { name: gone.to_owned() }.into())
    }

    /// That it is said to be made before an earlier version was made, or signed by more than clocks may differ, if so. What
    /// had ended between the two would be a plan by it.
    pub fn is_made_before(&self, made: Instant, signed: Instant) -> Option<Reason> {
        let is_before = made > self.made_at || ahead_of(signed, self.made_at);
        let before = made.max(signed).in_zone(&self.zone);
        is_before.then(|| TrustFlaw::MadeBefore { made: self.made_at, before }.into())
    }

    /// Whose key it is, with its thumbprint.
    fn key_name(&self, kid: &str) -> KeyName {
        let person = self.holders.get(kid).and_then(|holder| self.body.people.get(holder.person));
        KeyName { kid: kid.to_owned(), of: person.map(|person| person.name.clone()) }
    }

    /// That a revocation lies ahead of an instant: then nobody knows yet that the key was stolen, and it would sign on until
    /// then.
    pub fn revokes_ahead_of(&self, at: Instant) -> Option<Reason> {
        let mut ahead = self.holders.iter().filter_map(|(kid, holder)| {
            let (from, _) = holder.revoked.as_ref()?;
            ahead_of(*from, at).then(|| (kid, from.in_zone(&self.zone)))
        });
        ahead.next().map(|(kid, from)| TrustFlaw::RevokedAhead { key: self.key_name(kid), from }.into())
    }
}
