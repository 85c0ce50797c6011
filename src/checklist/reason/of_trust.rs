//! Why a trust file is not accepted, or lets nothing start: its words, codes and cures.
//!
//! Must not know how a trust file was opened.

use std::borrow::Cow;

use super::{Reason, TrustFlaw};
use crate::checklist::keys::WordsDiffer;
use crate::document::Code;
use crate::units::Instant;
use crate::vocabulary::quoted;

/// What words are that were given for an owner's key, and that no key of the trust file has. What is due is told of none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoKeyOfWords {
    /// A slip, of form or number.
    Slip(WordsDiffer),
    /// All but one or two are those of a key.
    Near {
        /// Whose.
        who: String,
        /// The first that is not.
        how: WordsDiffer,
    },
    /// Those of the trust file itself.
    OfTheFile,
    /// Of something else.
    OfNone,
}

impl NoKeyOfWords {
    fn sentence(&self) -> String {
        match self {
            Self::Slip(how) => format!("the words given for an owner's key are those of no key: {how}"),
            Self::Near { who, how } => {
                format!("the words given for an owner's key are nearly those of the key of {who}: {how}")
            }
            Self::OfTheFile => {
                "the words given for an owner's key are those of this version of the trust file".to_owned()
            }
            Self::OfNone => "no key in the trust file has the words given for an owner's key".to_owned(),
        }
    }

    const fn help(&self) -> &'static str {
        match self {
            Self::Slip(_) | Self::Near { .. } => {
                "read the eight words of the owner's key off the shop's paper again; if they differ, the key is another one, and nothing starts by it"
            }
            Self::OfTheFile => {
                "give the eight words that stand on the paper below the owner's name with --owner; those of the version go with --trust-words"
            }
            Self::OfNone => {
                "give the trust file of the shop whose paper it is; if it is that, the owner's key is another one, and nothing starts by it: ask the owner"
            }
        }
    }
}

/// What speaks against a trust file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TrustReason {
    /// The trust file is past its end.
    Ended {
        /// When.
        at: Instant,
    },
    /// A trust file older than one that has been seen.
    Older {
        /// Its version.
        found: i64,
        /// The least version that can be taken.
        least: i64,
    },
    /// A checklist that was signed by a later version than the one given.
    LaterThanGiven {
        /// The version of the checklist.
        signed: i64,
        /// The version given.
        given: i64,
    },
    /// A trust file of another shop than the one that its owner's key is known for.
    OfAnotherShop {
        /// The shop of the file.
        found: String,
        /// The shop that the key is known for.
        known: String,
    },
    /// A version of the trust file that is not the one after the version in force.
    NotNext {
        /// Its version.
        found: i64,
        /// The version in force.
        before: i64,
    },
    /// A trust file older than the version that was asked for.
    OlderThanAsked {
        /// Its version.
        found: i64,
        /// The least version asked for.
        least: i64,
    },
    /// Not signed by an owner that is known from elsewhere.
    NotByOwner {
        /// How many owners have signed it.
        found: usize,
        /// How many must.
        due: usize,
    },
    /// Signed with a key that is not an owner's in the version before.
    NotByOwnerBefore {
        /// The version before.
        version: i64,
    },
    /// The trust file is not signed with the key of an owner that was given.
    WithoutOwner {
        /// The owner, or the key where the file does not know it.
        who: String,
    },
    /// No key of the trust file has the words by which an owner's key was given.
    NoKeyOfWords(NoKeyOfWords),
    /// Signed by fewer owners of a version that has been in use than that version asked for.
    FewerOwners {
        /// How many different ones of them have signed.
        found: usize,
        /// How many were asked for.
        least: usize,
    },
    /// An owner's key that has not signed the trust file, where a newer key of the same person has.
    NewerKey {
        /// The owner.
        who: String,
        /// The newer key in words.
        words: String,
    },
    /// A checklist that names an earlier version which this account has not seen.
    Unseen {
        /// The version.
        version: i64,
    },
    /// A trust file of the version that a checklist names, with another content.
    Other {
        /// The version.
        version: i64,
    },
    /// Two trust files of one version.
    Twin {
        /// The version.
        version: i64,
    },
    /// The trust file does not have the words that were given from paper.
    NotOnPaper(WordsDiffer),
    /// An owner's key that the person of this account has not accepted.
    OwnerNotAccepted {
        /// Whose key it is said to be.
        who: String,
    },
    /// What is seen of trust files cannot be remembered on this account.
    NotRemembered,
    /// The trust file contradicts itself.
    Unsound(TrustFlaw),
    /// Nobody knows whose trust file it is.
    Unpinned,
}

impl TrustReason {
    /// The reason in words.
    pub(super) fn sentence(&self) -> String {
        match self {
            Self::Ended { at } => format!("the trust file ended at {at}"),
            Self::Older { found, least } => {
                format!("the trust file is version {found}; version {least} has been in use already")
            }
            Self::LaterThanGiven { signed, given } => format!(
                "this file was signed under version {signed} of the trust file; yours is version {given}, so it cannot be judged"
            ),
            Self::OfAnotherShop { found, known } => format!(
                "the trust file is of the shop {}, and its owner's key is known here as that of the shop {}",
                quoted(found),
                quoted(known)
            ),
            Self::NotNext { found, before: 0 } => {
                format!("the trust file is version {found}, and there is none before it: a shop begins with version 1")
            }
            Self::NotNext { found, before } => {
                format!(
                    "the trust file is version {found}; version {before} is in force, and {} comes next",
                    before + 1
                )
            }
            Self::OlderThanAsked { found, least } => {
                format!("the trust file is version {found}; version {least} or later was asked for")
            }
            Self::NotByOwner { found, due } => {
                format!("the trust file lacks signatures of its owners: {found} of {due} are there")
            }
            Self::NotByOwnerBefore { version } => format!(
                "this key is no owner's by version {version} of the trust file, which is in force, and only an owner of that signs the next one first"
            ),
            Self::WithoutOwner { who } => {
                format!("the trust file is not signed with every owner's key that was given: not by {who}")
            }
            Self::NoKeyOfWords(what) => what.sentence(),
            Self::FewerOwners { found, least } => format!(
                "the trust file has {found} of {least} signatures by owners of the version that has been in use before it"
            ),
            Self::NewerKey { who, words } => format!(
                "the trust file is signed with a newer key of {who} ({words}), and not with the one that was given"
            ),
            Self::Unseen { version } => {
                format!(
                    "the checklist was signed by version {version} of the trust file, which this account has not seen"
                )
            }
            Self::Other { version } => {
                format!("it names a version {version} of the trust file that is not the one known here")
            }
            Self::Twin { version } => {
                format!(
                    "another trust file of version {version} has been in use: of two of one version the first one counts"
                )
            }
            Self::NotOnPaper(how) => format!("the words from paper are not those of the trust file given: {how}"),
            Self::OwnerNotAccepted { who } => {
                format!("nobody on this account has accepted the owner's key of {who} by its words from paper")
            }
            Self::NotRemembered => {
                "this account cannot remember which trust file it has seen, so an older one would not be noticed"
                    .to_owned()
            }
            Self::Unsound(flaw) => format!("the trust file does not hold together: {flaw}"),
            Self::Unpinned => {
                "the trust file was taken at its word: nobody said which owner it must be signed by".to_owned()
            }
        }
    }

    pub(super) fn code(&self) -> Code {
        match self {
            Self::Ended { .. } => Code::ChecklistTrustEnded,
            Self::Older { .. } | Self::OlderThanAsked { .. } | Self::LaterThanGiven { .. } => Code::ChecklistTrustOlder,
            Self::NotByOwner { .. }
            | Self::NotByOwnerBefore { .. }
            | Self::WithoutOwner { .. }
            | Self::NoKeyOfWords(_)
            | Self::NewerKey { .. } => Code::ChecklistTrustNotByOwner,
            Self::FewerOwners { .. } => Code::ChecklistTrustFewerOwners,
            Self::Other { .. } => Code::ChecklistTrustOther,
            Self::OfAnotherShop { .. } => Code::ChecklistTrustOfAnotherShop,
            Self::Unseen { .. } => Code::ChecklistTrustUnseen,
            Self::Twin { .. } => Code::ChecklistTrustTwin,
            Self::NotOnPaper(_) => Code::ChecklistTrustNotOnPaper,
            Self::OwnerNotAccepted { .. } => Code::ChecklistOwnerNotAccepted,
            Self::NotRemembered => Code::ChecklistTrustNotRemembered,
            Self::NotNext { found, before } if found <= before => Code::ChecklistTrustOlder,
            Self::Unsound(_) | Self::NotNext { .. } => Code::ChecklistTrustUnsound,
            Self::Unpinned => Code::ChecklistTrustUnpinned,
        }
    }

    /// How to put it right.
    pub(super) fn help(&self) -> Cow<'_, str> {
        Cow::Borrowed(match self {
            Self::Ended { .. } | Self::Older { .. } | Self::OlderThanAsked { .. } | Self::LaterThanGiven { .. } => {
                "get the shop's latest trust file from its owner"
            }
            Self::Unpinned => "give the owner's public key, known from paper, with --owner",
            Self::NotByOwner { .. } | Self::NotByOwnerBefore { .. } => {
                "compare the eight words of the owner's key with the paper; only owners sign a trust file"
            }
            Self::Unsound(flaw) => return flaw.cure(),
            Self::NotNext { .. } => "write the version that comes next, after a look at what the one in force says",
            Self::WithoutOwner { .. } => {
                "ask that owner whether this trust file is theirs; give only keys of owners who sign it"
            }
            Self::NoKeyOfWords(what) => what.help(),
            Self::FewerOwners { .. } => {
                "have as many owners of the version before sign it as that asked for; where they cannot, the owners begin again with a new key, a new trust file and new papers"
            }
            Self::NewerKey { .. } => {
                "get the owner's new paper, compare who gave it to you, and accept the new key with `fillward trust accept`"
            }
            Self::Unseen { .. } => {
                "what is still to be done is checked and signed again by the trust file in force; what is done needs nothing"
            }
            Self::Other { .. } => "ask the owner which of the two is the shop's; one of them was never in force",
            Self::OfAnotherShop { .. } => {
                "each shop has an owner's key of its own: make one with `fillward key new`, and begin its trust file with that; a shop that gets another name says so with `fillward trust rename`"
            }
            Self::Twin { .. } => "get the shop's latest trust file from its owner, who makes one file of each version",
            Self::NotOnPaper(_) => {
                "start nothing by it; get the latest trust file and its paper from the owner, and read the words again"
            }
            Self::OwnerNotAccepted { .. } => {
                "get the owner's paper, compare who gave it to you, and accept the key with `fillward trust accept`"
            }
            Self::NotRemembered => {
                "work on an account whose home can be written, or give the words of the latest trust file from paper with --trust-words"
            }
        })
    }
}

impl From<TrustReason> for Reason {
    fn from(reason: TrustReason) -> Self {
        Self::OfTrust(reason)
    }
}

impl From<TrustFlaw> for Reason {
    fn from(flaw: TrustFlaw) -> Self {
        TrustReason::Unsound(flaw).into()
    }
}
