//! How a permit is shown wherever it is relied on, and who signed anything.
//!
//! Must not know which face shows it.

use crate::checklist::body::ChecklistBody;
use crate::checklist::permit::{Permit, PermitBody};
use crate::checklist::trust::Trust;
use crate::units::Instant;

/// A permit as people read it wherever it is relied on: what stays broken, who lets it pass, for whom, why and until when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PermitLine {
    /// `pack/rule`.
    pub code: String,
    /// What it says.
    pub body: PermitBody,
    /// Who permitted it; nothing where nobody signed.
    pub by: Option<SignerName>,
    /// Whether the person who asked has signed it too; otherwise that they asked is the word of the person who permitted it.
    pub asker_signed: bool,
    /// When it was asked for, by its first signature.
    pub asked_at: Option<Instant>,
    /// The keys that signed it, each with the instant that it names.
    pub signed: Vec<(String, Instant)>,
}

impl PermitLine {
    /// The permits of a checklist, as far as they can be read; without a trust file nobody is known.
    pub(super) fn all(body: &ChecklistBody, trust: Option<&Trust>) -> Vec<Self> {
        body.open_permits().flatten().map(|permit| Self::of(&permit, trust)).collect()
    }

    /// One permit.
    pub(super) fn of(permit: &Permit, trust: Option<&Trust>) -> Self {
        let name_of = |kid: &str| trust.map_or_else(|| kid.to_owned(), |trust| trust.name_of(kid));
        let by = permit.permitter(name_of).map(|signer| SignerName::of(trust, signer.kid));
        let asker_signed = trust.is_some_and(|trust| permit.asker_signed(trust));
        let signers = permit.envelope().signers().into_iter().flatten();
        let signed = signers.map(|signer| (signer.kid, signer.at)).collect();
        let asked_at = permit.asked_at();
        Self { code: permit.code(), body: permit.body().clone(), by, asker_signed, asked_at, signed }
    }
}

/// Who signed: a key, and its person by a trust file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SignerName {
    /// The key, by its thumbprint.
    pub kid: String,
    /// The person; nothing where there is no trust file, or none that knows the key.
    pub person: Option<String>,
}

impl SignerName {
    pub(super) fn of(trust: Option<&Trust>, kid: String) -> Self {
        let person = trust.and_then(|trust| trust.person_of(&kid)).map(str::to_owned);
        Self { kid, person }
    }
}
