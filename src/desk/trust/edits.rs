//! The next version of the trust file, made of what an owner asks for: a person more, the end of keys, roles or approvals, a
//! later end, another name.
//!
//! Must not know how an owner asks, nor how times are written.

use std::path::Path;

use super::order::{NextTrust, TrustNote, TrustOrder};
use super::signing::TrustDraft;
use crate::checklist::keys::PublicKey;
use crate::checklist::packs::BASE;
use crate::checklist::trust::{Ending, TrustBody};
use crate::desk::{Desk, Refusal};
use crate::units::Instant;
use crate::vocabulary::Role;

/// What an owner asks for.
#[derive(Debug)]
pub enum OwnerAsks<'o> {
    /// A person with a key, or a further key or role of somebody who is there.
    Add {
        /// The person's name.
        person: &'o str,
        /// The roles in which the person signs.
        roles: &'o [Role],
        /// The person's public key; somebody who is there may get a role without a further one.
        key: Option<PublicKey>,
        /// Until when the key may sign; a year where nothing is said.
        until: Option<Instant>,
        /// How many owners must sign from now on, where that changes.
        owners_needed: Option<u16>,
    },
    /// That a person has roles no longer, with the keys left as they are.
    TakeRoles {
        /// The person's name.
        person: &'o str,
        /// The roles.
        roles: &'o [Role],
    },
    /// The end of a person's keys.
    EndKeys {
        /// The person's name.
        person: &'o str,
        /// Which keys; all where none is named.
        keys: Vec<PublicKey>,
        /// Whether they were given back or may be in other hands.
        how: Ending,
        /// From when; now where nothing is said.
        from: Option<Instant>,
        /// Why.
        why: &'o str,
    },
    /// That a pack may judge no longer.
    EndApprovals {
        /// Its name.
        pack: &'o str,
        /// From when; now where nothing is said.
        from: Option<Instant>,
    },
    /// A later end of the file.
    Renew {
        /// The end; a year from now where nothing is said.
        until: Option<Instant>,
        /// Whether every key that can still sign holds until then as well.
        keys: bool,
        /// How many owners must sign from now on, where that changes.
        owners_needed: Option<u16>,
        /// Whether the clocks of all accounts count from now.
        clock_anew: bool,
    },
    /// Another name of the shop.
    Rename {
        /// The name.
        shop: &'o str,
    },
}

impl Desk<'_> {
    /// Proposes the next version of a trust file, changed as an owner asks.
    ///
    /// # Errors
    /// What the file does not take, and as [`Desk::draft_trust`].
    pub fn draft_next(&self, next: NextTrust, asks: &OwnerAsks<'_>, out: &Path) -> Result<TrustDraft, Refusal> {
        let (body, notes) = self.changed(&next, asks)?;
        let (name, out) = (out.to_owned(), out.to_owned());
        let mut draft = self.draft_trust(TrustOrder { body, name, document: None, out, from: Some(next) })?;
        draft.notes = notes;
        Ok(draft)
    }

    fn changed(&self, next: &NextTrust, asks: &OwnerAsks<'_>) -> Result<(TrustBody, Vec<TrustNote>), Refusal> {
        let (mut body, mut notes) = (next.body.clone(), Vec::new());
        let from_now = |given: &Option<Instant>| given.map_or_else(|| self.now(&next.zone), Ok);
        // What ends with the version ends no earlier than it is made.
        let made_at = Instant::parse(&body.made_at).map_err(|_| Refusal::Clock)?;
        let with_it = |given: &Option<Instant>| from_now(given).map(|at| given.unwrap_or(at.max(made_at)));
        match asks {
            OwnerAsks::Add { person, roles, key, until, owners_needed } => {
                let span = self.span_of_trust(&next.zone, *until)?;
                if key.is_some() && body.people.iter().any(|known| known.name == **person) {
                    notes.push(TrustNote::FurtherKey { person: (*person).to_owned() });
                }
                body.add(person, roles, key.as_ref(), span)?;
                body.owners_needed = owners_needed.unwrap_or(body.owners_needed);
            }
            OwnerAsks::TakeRoles { person, roles } => body.take_roles(person, roles)?,
            OwnerAsks::EndKeys { person, keys, how, from, why } => {
                let at = if *how == Ending::Retired { with_it(from)? } else { from_now(from)? };
                body.end(person, keys, *how, at, why)?;
            }
            OwnerAsks::EndApprovals { pack, from } => {
                let required = body.packs.iter().any(|one| one.name == *pack && one.required);
                notes.push(if *pack == BASE {
                    TrustNote::BaseNoLongerApproved
                } else {
                    TrustNote::JudgesNoLonger { pack: (*pack).to_owned(), required }
                });
                body.end_approvals(pack, with_it(from)?)?;
            }
            OwnerAsks::Renew { until, keys, owners_needed, clock_anew } => {
                let (now, until) = self.span_of_trust(&next.zone, *until)?;
                let ahead = next.latest.max(made_at);
                let packs = clock_anew.then(|| body.begin_clock_anew(now, ahead)).flatten();
                // What seemed to have come to its planned end is let last longer by the next version.
                let since = packs.as_ref().map_or(now, |_| ahead);
                if let Some(packs) = packs {
                    notes.push(TrustNote::WasAhead { version: body.version - 1, ahead, packs });
                }
                body.renew(until, *clock_anew);
                if *keys {
                    body.renew_keys(since, until);
                }
                body.owners_needed = owners_needed.unwrap_or(body.owners_needed);
            }
            OwnerAsks::Rename { shop } => body.rename(shop)?,
        }
        Ok((body, notes))
    }
}
