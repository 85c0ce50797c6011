//! What the next version of the trust file says where an owner asks for no more than that: the first body of a shop, for how
//! long a key or a file holds, and from when its clock counts.
//!
//! Must not know how an owner asks.

use crate::checklist::keys::PublicKey;
use crate::checklist::trust::{FORMAT, TrustBody};
use crate::desk::{Desk, Refusal};
use crate::units::{Exact, Instant, Zone};
use crate::vocabulary::Role;

/// Seconds of a year, for which a key or a trust file holds where nothing is said.
const YEAR: i64 = 365 * 86_400;

/// A shop that is to have its first trust file.
#[derive(Debug)]
pub struct FirstTrust<'f> {
    /// The name of the shop.
    pub shop: &'f str,
    /// Where it lies.
    pub zone: &'f Zone,
    /// The name of its first owner.
    pub owner: &'f str,
    /// The owner's key.
    pub key: &'f PublicKey,
    /// Until when file and key hold; a year where nothing is said.
    pub until: Option<Instant>,
}

impl Desk<'_> {
    /// The first version: one owner, who alone signs it.
    ///
    /// # Errors
    /// [`Refusal::Clock`], and what the body does not take.
    pub fn first_trust(&self, first: &FirstTrust<'_>) -> Result<TrustBody, Refusal> {
        let FirstTrust { shop, zone, owner, key, until } = first;
        let span = self.span_of_trust(zone, *until)?;
        let mut body = TrustBody {
            format: FORMAT.to_owned(),
            shop: (*shop).to_owned(),
            zone: zone.name().to_owned(),
            version: 1,
            made_at: span.0.to_record_text(),
            ends_at: span.1.to_record_text(),
            clock_anew: None,
            formerly: Vec::new(),
            owners_needed: 1,
            people: Vec::new(),
            packs: Vec::new(),
        };
        body.add(owner, &[Role::Owner], Some(*key), span)?;
        Ok(body)
    }

    /// From when and until when a key or a trust file holds: from now, and for a year where nothing is said.
    ///
    /// # Errors
    /// [`Refusal::Clock`].
    pub fn span_of_trust(&self, zone: &Zone, until: Option<Instant>) -> Result<(Instant, Instant), Refusal> {
        let now = self.now(zone)?;
        let year = || now.checked_add_seconds(Exact::from_int(YEAR)).map(|end| end.in_zone(zone));
        Ok((now, until.or_else(year).ok_or(Refusal::Clock)?))
    }
}
