//! How a signed file names the trust file by which it was made: the shop, its owners, the version and the digest.
//!
//! This module must not know what else stands in that file.

use serde::{Deserialize, Serialize};

use super::Trust;
use crate::checklist::reason::{PermitReason, PermittedElsewhere, Reason, TrustReason};

/// The trust file in force.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TrustPart {
    /// The words of the keys by which owners had signed it, as they stand on the shop's paper; whose they are, the file says.
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

    /// Why a trust file given cannot be the one named here, or a version of it.
    pub(in crate::checklist) fn differs(&self, trust: &Trust) -> Option<Reason> {
        if self.shop != trust.shop() {
            return Some(Reason::OtherShop { found: self.shop.clone(), due: trust.shop().to_owned() });
        }
        let is_digest_of = |version| match trust.versions.get(&version) {
            _ if version == trust.version() => self.sha256 == trust.digest(),
            Some(known) => self.sha256 == *known,
            // Of an earlier version that this account has not seen it is known that it is not this one.
            None => self.sha256 != trust.digest(),
        };
        // Further owners may have signed it since; of those who had, each is one by the file. Of an earlier version each key
        // stands in it, since old ones stay.
        let has_owners = match self.version {
            version if version < trust.version() => {
                !self.owners.is_empty() && self.owners.iter().all(|words| trust.has_key(words))
            }
            _ => self.has_same_owners(trust),
        };
        let other = self.version <= trust.version() && !(is_digest_of(self.version) && has_owners);
        other.then_some(Reason::OfTrust(TrustReason::Other { version: self.version }))
    }

    /// Whether every owner who had signed the one named here is an owner by the one given. Two shops may have one name.
    fn has_same_owners(&self, trust: &Trust) -> bool {
        !self.owners.is_empty() && self.owners.iter().all(|words| trust.has_owner(words))
    }

    /// Why a trust file given is not of the shop of the one named here, in whatever version.
    pub(in crate::checklist) fn other_shop(&self, trust: &Trust) -> Option<Reason> {
        let other = if self.shop != trust.shop() {
            PermittedElsewhere::Shop { own: self.shop.clone(), this: trust.shop().to_owned() }
        } else if !self.has_same_owners(trust) {
            PermittedElsewhere::Owners { shop: self.shop.clone() }
        } else {
            return None;
        };
        Some(PermitReason::Other(other).into())
    }
}
