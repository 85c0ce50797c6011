//! Whose hand is about to sign, as far as that is known before the key is opened: by the public half that lies beside it.
//!
//! A person who has two keys, or somebody else's machine, is told before the passphrase is asked for. Must not know what is
//! signed.

use std::path::{Path, PathBuf};

use super::keys::Hand;
use super::{Desk, Refusal};
use crate::checklist::keys::PublicKey;
use crate::checklist::trust::Trust;
use crate::units::Instant;
use crate::vocabulary::Role;

/// How the names of the two halves of a key end.
const PRIVATE: &str = ".key.pem";
const PUBLIC: &str = ".pub.pem";

/// Whose hand is about to sign.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SigningHand {
    /// Whose key it is and until when it is good, by the trust file; nothing where no public half lies beside the
    /// private one.
    pub known: Option<NamedHand>,
    /// In which role it signs.
    pub role: Role,
    /// For which shop.
    pub shop: String,
}

/// A person whose key is about to sign.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedHand {
    /// The name in the trust file.
    pub who: String,
    /// The first instant at which the key is no longer good.
    pub until: Instant,
}

impl Desk<'_> {
    /// Tells whose hand is about to sign.
    ///
    /// # Errors
    /// A key that may not sign in the role by this trust file: nobody need open it for that.
    pub fn signatory(&self, hand: &Hand<'_>, trust: &Trust) -> Result<SigningHand, Refusal> {
        let known = match self.public_half(hand.key) {
            None => None,
            Some((_, key)) => {
                let who = trust.may_sign(key.kid(), hand.role, self.now_or_seen(trust)?)?.to_owned();
                let until = trust.keys().find(|(_, holder)| holder.key.kid() == key.kid());
                until.map(|(_, holder)| NamedHand { who, until: holder.until.in_zone(trust.zone()) })
            }
        };
        Ok(SigningHand { known, role: hand.role, shop: trust.shop().to_owned() })
    }

    /// The public half that lies beside a private key under its name, where one that can be read does.
    pub(super) fn public_half(&self, private: &Path) -> Option<(PathBuf, PublicKey)> {
        let name = private.file_name()?.to_str()?.strip_suffix(PRIVATE)?;
        let public = private.with_file_name(format!("{name}{PUBLIC}"));
        let bytes = self.storage.read_if_there(&public).ok()??;
        let key = PublicKey::from_pem(str::from_utf8(&bytes).ok()?).ok()?;
        Some((public, key))
    }
}
