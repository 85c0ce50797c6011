//! What does not hold together in a trust file: as data, with its words and its cure.
//!
//! Must not know files, or where in the text a flaw stands.

use std::borrow::Cow;
use std::fmt;

use crate::units::{Instant, ZoneError};
use crate::vocabulary::{NameFault, Role};

/// How an instant is written.
const INSTANT: &str = "write an instant with seconds and the offset of the shop, such as 2026-03-04T09:30:00-06:00";
/// How a name that tells its person from every other is written.
const NAME: &str =
    "write the name as people say it, in letters of one script, and add to it what tells two people apart";
/// What the safety officer does about an approval that does not count.
const APPROVE: &str = "have the safety officer approve it with `fillward trust approve`, then sign the draft";

/// What does not hold together in a trust file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TrustFlaw {
    /// Another format than that of this edition.
    Format {
        /// What stands there.
        found: String,
        /// The one that is read.
        due: &'static str,
    },
    /// A zone that is written otherwise in the database.
    ZoneSpelling {
        /// What stands there.
        found: String,
        /// As the database has it.
        due: String,
    },
    /// A zone that is none.
    Zone(ZoneError),
    /// A version below 1.
    Version,
    /// More owners who must sign than there are, or none.
    OwnersNeeded {
        /// How many must.
        needed: u16,
        /// How many there are.
        there: usize,
    },
    /// A text that is no instant.
    NotInstant {
        /// The text.
        text: String,
    },
    /// It ends before it is made.
    EndsBeforeMade,
    /// It starts the clock again after it is made.
    ClockAnewLater,
    /// A role that somebody had, of which it does not say when it was taken off and given back, one after the other.
    FormerRole {
        /// Who.
        who: String,
        /// The role.
        role: Role,
    },
    /// A name of the shop that nobody can read.
    ShopName {
        /// The name.
        name: String,
        /// What is wrong with it.
        fault: NameFault,
    },
    /// A name that the shop is said to have had and cannot have had then.
    FormerName {
        /// The name.
        name: String,
    },
    /// Names of the shop that a version before has and this one does not, or has otherwise.
    NamesLost {
        /// What the shop was called in the version before.
        shop: String,
    },
    /// An approval for a shop that this one never was.
    ApprovalElsewhere {
        /// Name and edition of the pack.
        pack: String,
        /// The shop.
        shop: String,
    },
    /// A name of a person that does not tell them from others.
    Name {
        /// The name.
        name: String,
        /// What is wrong with it.
        flaw: NameFlaw,
    },
    /// Two people of one name.
    SameName {
        /// The name.
        name: String,
    },
    /// Two names that look alike.
    AlikeNames {
        /// The first.
        one: String,
        /// The second.
        other: String,
    },
    /// A text that is not in Unicode's form NFC.
    NotNfc {
        /// The text.
        text: String,
    },
    /// A key that ends before it begins.
    KeyEndsFirst {
        /// Whose.
        who: String,
    },
    /// A key that stands there twice.
    KeyTwice {
        /// Whose.
        who: String,
    },
    /// The end of a key that an earlier version says and this one does not, or later.
    EndTakenBack {
        /// Whose key, with its thumbprint.
        key: KeyName,
        /// Whether it was revoked; else its time had run out, or it was given back.
        revoked: bool,
        /// From when.
        from: Instant,
    },
    /// A key that an earlier version has and this one does not.
    KeyGone {
        /// The key.
        key: KeyName,
    },
    /// A key that begins earlier than an earlier version said.
    KeyEarlier {
        /// Whose key, with its thumbprint.
        key: KeyName,
        /// From when it was valid.
        from: Instant,
    },
    /// A person whom an earlier version names and this one does not.
    PersonGone {
        /// The name.
        name: String,
    },
    /// A version that is said to be made before an earlier one was made or signed.
    MadeBefore {
        /// When it is said to be made.
        made: Instant,
        /// When the earlier one was made or signed.
        before: Instant,
    },
    /// A revocation that is still to come.
    RevokedAhead {
        /// Whose key, with its thumbprint.
        key: KeyName,
        /// From when.
        from: Instant,
    },
    /// A digest of a pack that is none.
    PackDigest {
        /// The pack.
        pack: String,
    },
    /// An approval whose span is not of instants.
    PackSpan {
        /// The pack.
        pack: String,
    },
    /// An approval by somebody who is no safety officer.
    Approver {
        /// Name and edition of the pack.
        pack: String,
        /// By whom.
        by: String,
        /// Whether the trust file has that person.
        is_known: bool,
        /// Somebody who has the role.
        officer: Option<String>,
    },
    /// An approval without the signature of the person who approved it.
    ApprovalUnsigned {
        /// Name and edition of the pack.
        pack: String,
        /// By whom.
        by: String,
    },
    /// An approval that says something else than was signed.
    ApprovalChanged {
        /// Name and edition of the pack.
        pack: String,
        /// By whom.
        by: String,
    },
    /// An approval that had ended.
    ApprovalBack {
        /// Name and edition of the pack.
        pack: String,
        /// Whose signature it needs.
        by: String,
    },
}

/// What is wrong with the name of a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NameFlaw {
    /// It identifies nobody.
    Of(NameFault),
    /// It is too long.
    TooLong,
    /// It is not in Unicode's form NFC.
    NotNfc,
    /// It has other characters than letters.
    NotLetters,
    /// It has letters of several scripts.
    Scripts,
}

impl NameFlaw {
    /// What is wrong, as the end of a sentence that begins with the name.
    pub const fn description(self) -> &'static str {
        match self {
            Self::Of(fault) => fault.description(),
            Self::TooLong => "is too long",
            Self::NotNfc => "is not in Unicode's form NFC",
            Self::NotLetters => "has characters that are no letters",
            Self::Scripts => "mixes scripts",
        }
    }
}

/// A key by its thumbprint, and whose it is, where that is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyName {
    /// The thumbprint.
    pub kid: String,
    /// The person.
    pub of: Option<String>,
}

impl fmt::Display for KeyName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the key `{}`", self.kid)?;
        self.of.as_ref().map_or(Ok(()), |who| write!(f, " of {who}"))
    }
}

impl fmt::Display for TrustFlaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Format { found, due } => write!(f, "its format is `{found}`, this edition reads `{due}`"),
            Self::ZoneSpelling { found, due } => write!(f, "its time zone `{found}` is written `{due}`"),
            Self::Zone(error) => write!(f, "its time zone: {error}"),
            Self::Version => f.write_str("its version is not 1 or more"),
            Self::OwnersNeeded { needed, there } => write!(f, "{needed} owners must sign, and it names {there}"),
            Self::NotInstant { text } => write!(f, "`{text}` is not an instant as it is written here"),
            Self::EndsBeforeMade => f.write_str("it ends before it is made"),
            Self::ClockAnewLater => f.write_str("it begins the clock anew after it is made"),
            Self::FormerRole { who, role } => {
                write!(f, "it does not say rightly from when {who} was {role} no longer")
            }
            Self::ShopName { name, fault } => {
                write!(f, "the name of the shop, `{}`, {}", name.escape_default(), fault.description())
            }
            Self::FormerName { name } => {
                write!(f, "the shop cannot have been called `{name}` through the version that is said")
            }
            Self::NamesLost { shop } => {
                write!(f, "it does not say rightly what the shop was called before, `{shop}` at last")
            }
            Self::ApprovalElsewhere { pack, shop } => {
                write!(f, "the pack `{pack}` is approved for the shop `{shop}`, which this one never was called")
            }
            Self::Name { name, flaw } => write!(f, "the name `{}` {}", name.escape_default(), flaw.description()),
            Self::SameName { name } => write!(f, "two people are called `{name}`"),
            Self::AlikeNames { one, other } => write!(f, "the names `{one}` and `{other}` look alike"),
            Self::NotNfc { text } => write!(f, "the text `{}` is not in Unicode's form NFC", text.escape_default()),
            Self::KeyEndsFirst { who } => write!(f, "a key of {who} ends before it begins"),
            Self::KeyTwice { who } => write!(f, "a key of {who} stands there twice"),
            Self::EndTakenBack { key, revoked, from } => {
                let word = if *revoked { "was revoked from" } else { "ended at" };
                write!(
                    f,
                    "{key} {word} {from} in an earlier version, and this one does not say so any more, or from a later instant"
                )
            }
            Self::KeyGone { key } => write!(f, "{key} stands in an earlier version, and not in this one"),
            Self::KeyEarlier { key, from } => write!(
                f,
                "{key} was valid from {from} in an earlier version, and is from an earlier instant in this one"
            ),
            Self::PersonGone { name } => write!(f, "`{name}` stands in an earlier version, and not in this one"),
            Self::MadeBefore { made, before } => {
                write!(f, "it is said to be made at {made}, before an earlier version was made or signed, at {before}")
            }
            Self::RevokedAhead { key, from } => write!(f, "{key} is revoked from {from}, which is still to come"),
            Self::PackDigest { pack } => {
                write!(f, "the digest of the pack `{pack}` is not 64 small hexadecimal digits")
            }
            Self::PackSpan { pack } => {
                write!(f, "the approval of the pack `{pack}` has a span that is not of instants")
            }
            Self::Approver { pack, by, .. } => {
                write!(f, "the pack `{pack}` is approved by `{by}`, who is no safety officer here")
            }
            Self::ApprovalUnsigned { pack, by } => {
                write!(f, "the pack `{pack}` is approved by a name, and not by the signature, of {by}")
            }
            Self::ApprovalChanged { pack, by } => {
                write!(f, "the approval of the pack `{pack}` says something else than {by} signed")
            }
            Self::ApprovalBack { pack, by } => write!(
                f,
                "it brings back the approval of the pack `{pack}`, which had ended; that needs a new signature of {by}"
            ),
        }
    }
}

impl TrustFlaw {
    /// What to write instead.
    pub(super) fn cure(&self) -> Cow<'static, str> {
        Cow::Borrowed(match self {
            Self::Format { due, .. } => return format!("write `{due}`").into(),
            Self::ZoneSpelling { due, .. } => return format!("write `{due}`").into(),
            Self::Zone(error) => return error.help().into(),
            Self::OwnersNeeded { there: 0, .. } => "give at least one person the role `owner`",
            Self::OwnersNeeded { there: 1, .. } => "write 1, or give further people the role `owner`",
            Self::OwnersNeeded { there, .. } => {
                return format!("write a number from 1 to {there}, or give further people the role `owner`").into();
            }
            Self::Approver { by, is_known, officer, .. } => {
                let role = Role::SafetyOfficer;
                let give = if *is_known {
                    format!("give {by} the role `{role}`")
                } else {
                    format!("add {by} to `people` with the role `{role}`")
                };
                let such_as = officer.as_ref().map(|officer| format!(", such as {officer}")).unwrap_or_default();
                return format!("{give}, or name one who has it{such_as}").into();
            }
            Self::Version => "count the versions from 1 upwards",
            Self::NotInstant { .. } | Self::PackSpan { .. } => INSTANT,
            Self::EndsBeforeMade => "let it end after `made_at`, by when it is to be renewed",
            Self::ClockAnewLater => "begin the clock anew at `made_at`, or before",
            Self::FormerRole { .. } => {
                "let `until` be when the role was taken off and `again` when it was given back, both by `made_at`; a role that stands \
                 under `roles` has been given back"
            }
            Self::FormerName { .. } => {
                "list the names in their order, each once and with the last version that had it, all before this one"
            }
            Self::NamesLost { .. } => {
                "leave the names as they were, and give the shop another one with `fillward trust rename`"
            }
            Self::ApprovalElsewhere { .. } => {
                "have the safety officer of this shop approve it with `fillward trust approve`"
            }
            Self::ShopName { .. } => "type the name anew by hand, in letters that show",
            Self::Name { .. } | Self::AlikeNames { .. } => NAME,
            Self::SameName { .. } => {
                "put the keys of one person under one name, and write two people so that each is told apart"
            }
            Self::NotNfc { .. } => "delete the text and type it again by hand",
            Self::KeyEndsFirst { .. } => "let it end after its `from`",
            Self::KeyTwice { .. } => {
                "let each key stand once, with the one person who has it; make a new key for anybody else"
            }
            Self::EndTakenBack { .. } => {
                "leave the end of the key as it was, or put it earlier; whoever was named by mistake gets a new key"
            }
            Self::KeyGone { .. } | Self::PersonGone { .. } => {
                "let people and their keys stand, old ones too; `fillward trust retire` and `revoke` end what a key signs"
            }
            Self::KeyEarlier { .. } => "leave the beginning of the key as it was first said",
            Self::MadeBefore { .. } => {
                "write into `made_at` when this version is made; where another clock runs ahead, wait until that time is past"
            }
            Self::RevokedAhead { .. } => "revoke it from the latest instant at which it was surely in the right hands",
            Self::PackDigest { .. } => "copy the digest that `fillward trust packs` prints",
            Self::ApprovalUnsigned { .. } => APPROVE,
            Self::ApprovalChanged { .. } => {
                "fetch the trust file again from its owner; where it was written by hand, have the safety officer approve the pack anew with `fillward trust approve`, then sign the draft"
            }
            Self::ApprovalBack { .. } => {
                "have the safety officer approve it anew with `fillward trust approve`; an approval also ends where a draft with another one in its place was taken for the version in force"
            }
        })
    }
}
