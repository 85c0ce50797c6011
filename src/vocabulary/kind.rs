//! The kinds of signed document, by the words that files and reports have for them. This module must not know how any of
//! them is signed or read.

/// A kind of signed document. Its type in the header keeps a signature on one kind from serving for another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The checklist of a job.
    Checklist,
    /// A permit to go on in spite of one broken rule.
    Permit,
    /// The shop's trust file.
    Trust,
    /// The safety officer's approval of a pack.
    Approval,
}

impl Kind {
    /// The member that holds the body.
    pub const fn member(self) -> &'static str {
        match self {
            Self::Checklist => "checklist",
            Self::Permit => "permit",
            // Before `signatures` in the order of keys, so that the reader comes to the content first.
            Self::Trust => "shop_trust",
            Self::Approval => "pack_approval",
        }
    }

    /// Every kind.
    pub const ALL: [Self; 4] = [Self::Checklist, Self::Permit, Self::Trust, Self::Approval];

    /// The kind that a signed document in its exact form begins as; nothing for any other file.
    pub fn begun(bytes: &[u8]) -> Option<Self> {
        let begins = |kind: &Self| bytes.starts_with(format!("{{\n  \"{}\": {{", kind.member()).as_bytes());
        Self::ALL.into_iter().find(begins)
    }

    /// The `typ` of the header (RFC 7515, section 4.1.9, without `application/`).
    pub const fn typ(self) -> &'static str {
        match self {
            Self::Checklist => "fillward-checklist+jws",
            Self::Permit => "fillward-permit+jws",
            Self::Trust => "fillward-trust+jws",
            Self::Approval => "fillward-approval+jws",
        }
    }

    /// What reports call it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Checklist => "checklist",
            Self::Permit => "permit",
            Self::Trust => "trust file",
            Self::Approval => "approval of a pack",
        }
    }

    /// Which file to give.
    pub const fn which(self) -> &'static str {
        match self {
            Self::Checklist => "give the checklist, the `.checklist.json` that `fillward sign` writes",
            Self::Permit => "give the permit, the `.permit.json` that `fillward permit ask` writes",
            Self::Trust => "give the signed trust file, which `fillward trust sign` writes",
            Self::Approval => "give the approval that `fillward trust approve` writes",
        }
    }
}
