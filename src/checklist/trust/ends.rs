//! Ends of keys before their time, of one version of a trust file and of those before it: what has ended stays so.
//!
//! A key that was revoked may be in anybody's hands, and one that was given back has no holder any more: were the end taken
//! back or moved to a later instant, everything that was written with it meanwhile would count. So no later version says
//! less, no matter who signs it; the person who was named by mistake gets a new key. This module must not know files.

use super::{Holder, Trust};
use crate::checklist::reason::{KeyName, Reason, TrustFlaw};
use crate::units::Instant;

/// From when a key signs nothing any more, before its planned end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeyEnd {
    /// From when it is revoked.
    pub revoked: Option<Instant>,
    /// From when it is retired.
    pub retired: Option<Instant>,
}

impl Trust {
    /// The keys that end before their time, by their thumbprints.
    pub fn key_ends(&self) -> impl Iterator<Item = (&str, KeyEnd)> {
        let end =
            |holder: &Holder| KeyEnd { revoked: holder.revoked.as_ref().map(|(at, _)| *at), retired: holder.retired };
        let ends = self.holders.iter().map(move |(kid, holder)| (kid.as_str(), end(holder)));
        ends.filter(|(_, end)| end.revoked.is_some() || end.retired.is_some())
    }

    /// That it takes back, moves to a later instant or leaves out the end of a key that an earlier version states, if so. A
    /// retirement that had not come yet when this version was made is a plan, and may be changed.
    pub fn takes_back<'e>(&self, before: impl Iterator<Item = (&'e str, KeyEnd)>) -> Option<Reason> {
        let is_kept = |kid: &str, known: KeyEnd| {
            let now = self.holders.get(kid);
            let revoked = now.and_then(|holder| Some(holder.revoked.as_ref()?.0));
            let retired = now.and_then(|holder| holder.retired);
            let by = |end: Instant| revoked.is_some_and(|at| at <= end);
            known.revoked.is_none_or(by)
                && known.retired.is_none_or(|end| end > self.made_at || retired.is_some_and(|at| at <= end) || by(end))
        };
        let mut taken = before.filter(|(kid, known)| !is_kept(kid, *known));
        taken.next().and_then(|(kid, KeyEnd { revoked, retired })| {
            let from = revoked.or(retired)?.in_zone(&self.zone);
            Some(TrustFlaw::EndTakenBack { key: self.key_name(kid), revoked: revoked.is_some(), from }.into())
        })
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
            super::ahead_of(*from, at).then(|| (kid, from.in_zone(&self.zone)))
        });
        ahead.next().map(|(kid, from)| TrustFlaw::RevokedAhead { key: self.key_name(kid), from }.into())
    }
}
