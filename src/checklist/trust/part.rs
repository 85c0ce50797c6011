//! How a signed file names the trust file by which it was made: the shop, its owners, the version and the digest.
//!
//! This module must not know what else stands in that file.

use serde::{Deserialize, Serialize};

use super::Trust;
use crate::checklist::reason::{PermitReason, PermittedElsewhere, Reason, TrustReason};
use crate::units::Instant;

/// A version of the trust file that this account has seen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeenVersion {
    /// SHA-256 of its content.
    pub sha256: String,
    /// When it was made.
    pub made_at: Instant,
}

/// The trust file in force.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TrustPart {
    /// The words of the keys by which owners had signed it, as they stand on the shop's paper; whose they are, the file
    /// says.
    pub owners: Vec<String>,
    /// SHA-256 of the canonical bytes of its content, in hexadecimal; signatures added to it do not change it.
    pub sha256: String,
    /// The shop whose it is.
    pub shop: String,
    /// Its version.
    pub version: i64,
}

impl TrustPart {
    /// Names a trust file.
    pub fn of(trust: &Trust) -> Self {
        Self {
            owners: trust.signers().map(|(_, words)| words).collect(),
            sha256: trust.digest().to_owned(),
            shop: trust.shop().to_owned(),
            version: trust.version(),
        }
    }

    /// Why a trust file given, which is of the same shop, cannot be the one named here, or a version of it. Of this
    /// version the owners named are those who signed it, in the order of the file, none of them twice and as many as
    /// must; further ones may have signed since. Of an earlier one each is somebody whose key stands in this one, since
    /// old keys stay.
    pub(in crate::checklist) fn differs(&self, trust: &Trust) -> Option<Reason> {
        let agrees = match self.version {
            version if version > trust.version() => true,
            version if version == trust.version() => self.sha256 == trust.digest() && self.names_signers(trust),
            version => {
                // An unseen earlier version is only known to differ from this one.
                let known = trust.versions.get(&version);
                let is_it = known.map_or(self.sha256 != trust.digest(), |known| self.sha256 == known.sha256);
                let once = (1..)
                    .zip(&self.owners)
                    .all(|(next, owner)| !self.owners.iter().skip(next).any(|other| other == owner));
                version >= 1
                    && is_it
                    && once
                    && !self.owners.is_empty()
                    && self.owners.iter().all(|words| trust.has_key(words))
            }
        };
        (!agrees).then_some(Reason::OfTrust(TrustReason::Other { version: self.version }))
    }

    /// That the version named here is a later one than the one given: nobody knows here who signs by it, or which packs it
    /// approves.
    pub(in crate::checklist) fn later(&self, trust: &Trust) -> Option<Reason> {
        let (signed, given) = (self.version, trust.version());
        (signed > given).then_some(Reason::OfTrust(TrustReason::LaterThanGiven { signed, given }))
    }

    /// That the version named here is an earlier one that this account has not seen: whether there was such a one, and what
    /// it said, is the signer's word, and nothing starts by it.
    pub(in crate::checklist) fn unseen(&self, trust: &Trust) -> Option<Reason> {
        let unseen = self.version < trust.version() && !trust.versions.contains_key(&self.version);
        unseen.then_some(Reason::OfTrust(TrustReason::Unseen { version: self.version }))
    }

    /// Whether the owners named are among those who signed a trust file, in its order, and as many people as must.
    fn names_signers(&self, trust: &Trust) -> bool {
        let mut signers = trust.signers();
        let mut people: Vec<&str> = Vec::new();
        for words in &self.owners {
            let Some((who, _)) = signers.find(|(_, known)| known == words) else { return false };
            if !people.contains(&who) {
                people.push(who);
            }
        }
        !people.is_empty() && people.len() >= trust.owners_needed()
    }

    /// Whether every owner who had signed the one named here is an owner by the one given. Two shops may have one name.
    fn has_same_owners(&self, trust: &Trust) -> bool {
        !self.owners.is_empty() && self.owners.iter().all(|words| trust.has_owner(words))
    }

    /// Whether none of the owners who had signed the one named here is in the one given, with whatever key: a shop that lost
    /// its only owner's key has begun again, and the two are no versions of one file.
    pub(in crate::checklist) fn has_no_owner_of(&self, trust: &Trust) -> bool {
        !self.owners.is_empty() && !self.owners.iter().any(|words| trust.has_key(words))
    }

    /// Whether a trust file given is of another shop than the one named here, by what the shop was called in that version.
    /// Of a later version than the one given nobody knows that here: its owners say whose it is.
    pub(in crate::checklist) fn is_of_another(&self, trust: &Trust) -> bool {
        if self.version > trust.version() {
            self.shop != trust.shop() && !self.has_same_owners(trust)
        } else {
            self.shop != trust.body().name_in(self.version)
        }
    }

    /// Why a trust file given is not of the shop of the one named here, in whatever version.
    pub(in crate::checklist) fn other_shop(&self, trust: &Trust) -> Option<Reason> {
        let other = if self.is_of_another(trust) {
            PermittedElsewhere::Shop { own: self.shop.clone(), this: trust.shop().to_owned() }
        } else if !self.has_same_owners(trust) {
            PermittedElsewhere::Owners { shop: self.shop.clone() }
        } else {
            return None;
        };
        Some(PermitReason::Other(other).into())
    }
}
