//! What a key has signed: after a theft, what it touches.
//!
//! Must not know why it is asked.

use std::path::Path;

use super::verify::{Against, Verified};
use super::{Desk, Refusal, Unfit};
use crate::units::Instant;

/// Whose signatures are looked for.
#[derive(Debug, Clone)]
pub struct SignedBy {
    kids: Vec<String>,
    since: Option<Instant>,
}

impl Desk<'_> {
    /// The keys of everybody of a name in the trust file, or the one in a public key's file; of their signatures those
    /// that name `since` or a later time, where that is given.
    ///
    /// # Errors
    /// [`Unfit::NobodyCalled`] where it is neither, and what is wrong with the file.
    pub fn signed_by(&self, whose: &str, since: Option<Instant>, against: &Against) -> Result<SignedBy, Refusal> {
        let trust = against.trust();
        let keys = trust.keys().filter(|(name, _)| *name == whose);
        let mut kids: Vec<String> = keys.map(|(_, holder)| holder.key.kid().to_owned()).collect();
        if kids.is_empty() {
            let path = Path::new(whose);
            if matches!(self.storage.read_if_there(path), Ok(None)) {
                let people = trust.body().people.iter().map(|person| person.name.clone()).collect();
                return Err(Unfit::NobodyCalled { name: whose.to_owned(), people }.into());
            }
            kids.push(self.public_key(path)?.kid().to_owned());
        }
        Ok(SignedBy { kids, since })
    }
}

impl SignedBy {
    /// Whether one of the keys has signed a checklist or a permit in it.
    pub fn has_signed(&self, Verified { report, permits, .. }: &Verified) -> bool {
        let is_meant = |kid: &str, at: Option<Instant>| {
            let is_late = self.since.is_none_or(|since| at.is_none_or(|at| at >= since));
            is_late && self.kids.iter().any(|known| known == kid)
        };
        let of_permits = permits.iter().flat_map(|permit| &permit.signed);
        report.signatures.iter().any(|signed| is_meant(&signed.kid, signed.at))
            || of_permits.into_iter().any(|(kid, at)| is_meant(kid, Some(*at)))
    }
}
