//! The approval of a pack: a statement that the safety officer signs, and that stands with her signature in the trust file.
//!
//! A name that an owner types would be the owner's word. What is signed is everything that the approval says but its end:
//! the owner may end one, and never make one. This module must not know what a pack is.

use serde::Serialize;
use serde_json::json;

use super::Trust;
use super::body::Approval;
use crate::checklist::jws::{Envelope, Kind, Role};
use crate::checklist::keys::SecretKey;
use crate::checklist::reason::Reason;
use crate::document::Fault;
use crate::units::Instant;

/// What the safety officer signs.
#[derive(Serialize)]
struct Statement<'a> {
    approved_by: &'a str,
    edition: &'a str,
    from: &'a str,
    name: &'a str,
    required: bool,
    sha256: &'a str,
}

impl Approval {
    fn statement(&self) -> Statement<'_> {
        let Self { name, edition, sha256, approved_by, required, from, until: _, seal: _ } = self;
        Statement { approved_by, edition, from, name, required: *required, sha256 }
    }

    /// Signs it, in place of whatever signature it has.
    ///
    /// # Errors
    /// If it says something that cannot stand in a signed file.
    pub fn sign(&mut self, key: &SecretKey, at: Instant) -> Result<(), Fault> {
        let mut envelope = Envelope::new(Kind::Approval, &self.statement())?;
        envelope.sign(key, Role::SafetyOfficer, at)?;
        self.seal = envelope.seals().first().cloned();
        Ok(())
    }

    /// The statement with its signature.
    fn envelope(&self) -> Result<Envelope, Fault> {
        let seals: Vec<_> = self.seal.iter().collect();
        Envelope::nested(Kind::Approval, &json!({ Kind::Approval.member(): self.statement(), "signatures": seals }))
    }
}

impl Trust {
    /// Sees that a pack is approved by the signature of the person whom the approval names, as safety officer. A key that
    /// was revoked later does not undo it: the owners have signed it, too, and an approval that no longer counted would
    /// keep a shop from revoking the key.
    pub(super) fn check_approval(&self, approval: &Approval) -> Result<(), Reason> {
        let pack = format!("{} {}", approval.name, approval.edition);
        let unsigned = || Reason::TrustUnsound {
            what: format!(
                "the pack `{pack}` is approved by a name, and not by the signature, of {}",
                approval.approved_by
            ),
            cure: "have the safety officer approve it with `fillward trust approve`, then sign the draft".to_owned(),
        };
        let envelope = approval.envelope().map_err(|_| unsigned())?;
        let Some(signer) = envelope.signers().into_iter().next() else { return Err(unsigned()) };
        let signer = signer.map_err(|_| unsigned())?;
        let standing = self.standing(&envelope, &signer)?;
        if signer.role != Role::SafetyOfficer || standing.person != approval.approved_by {
            return Err(unsigned());
        }
        Ok(())
    }
}
