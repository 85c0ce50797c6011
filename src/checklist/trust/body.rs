//! The content of a trust file, as it is written.
//!
//! Must not know signatures of the file.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::unsound::{Found, of_pack, place};
use crate::checklist::jws::{Seal, instant};
use crate::checklist::packs::is_digest;
use crate::checklist::reason::TrustFlaw;
use crate::checklist::schemas;
use crate::document::{Code, Document, Fault, Faults, Schema};
use crate::units::{Instant, Zone};
use crate::vocabulary::Role;

/// The format of this edition.
pub const FORMAT: &str = "fillward-trust/1";

static COMPILED: LazyLock<Option<Schema>> = LazyLock::new(|| Schema::compile(schemas::TRUST).ok());

/// Who may sign, and which packs are approved.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TrustBody {
    /// [`FORMAT`].
    pub format: String,
    /// The shop.
    pub shop: String,
    /// The names that it had before, the first one first. Later versions keep them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub formerly: Vec<FormerName>,
    /// The time zone in which the shop lies, by its name in the IANA database: its days are those of every judgement.
    pub zone: String,
    /// Rises with every change.
    pub version: i64,
    /// When this version was made.
    pub made_at: String,
    /// The instant from which it must have been replaced.
    pub ends_at: String,
    /// The instant from which the clocks of the shop count, whatever they have shown before: an owner sets aside with it
    /// that a clock once stood at a wrong time. Later versions keep it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clock_anew: Option<String>,
    /// How many different owners sign.
    pub owners_needed: u16,
    /// Who may sign.
    pub people: Vec<Person>,
    /// The packs that the safety officer has approved.
    pub packs: Vec<Approval>,
}

/// A name that the shop had.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FormerName {
    /// The name.
    pub shop: String,
    /// The last version of the trust file that had it.
    pub through: i64,
}

/// A person of the shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Person {
    /// The name, told from every other.
    pub name: String,
    /// In which roles the person may sign.
    pub roles: Vec<Role>,
    /// Roles that were taken off, each time one: what the person signed in them before stays in order. Later versions
    /// keep them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub former_roles: Vec<FormerRole>,
    /// The person's keys, old ones included.
    pub keys: Vec<Key>,
}

/// A role that a person had.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FormerRole {
    /// The role.
    pub role: Role,
    /// The instant from which the person had it no longer.
    pub until: String,
    /// The instant from which the person had it again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub again: Option<String>,
    /// Whether the end counts from the signature that makes this version complete, where that comes later. Later versions
    /// state when that was.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub once_signed: bool,
}

impl FormerRole {
    /// Whether the person was without the role at an instant.
    fn lacks(&self, at: Instant) -> bool {
        let is_after = |text: &str| instant(text).is_none_or(|from| from <= at);
        is_after(&self.until) && !self.again.as_deref().is_some_and(is_after)
    }
}

impl Person {
    /// Whether a signature of the person in a role counts that was made at an instant.
    pub(super) fn had(&self, role: Role, at: Instant) -> bool {
        let lacked = self.former_roles.iter().any(|former| former.role == role && former.lacks(at));
        self.ever_had(role) && !lacked
    }

    /// Whether the person has a role or had it.
    fn ever_had(&self, role: Role) -> bool {
        self.roles.contains(&role) || self.former_roles.iter().any(|former| former.role == role)
    }
}

/// A key of a person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Key {
    /// The public key in PEM form.
    pub public_key: String,
    /// The first instant of its validity.
    pub from: String,
    /// The first instant after it.
    pub until: String,
    /// When and why the person who held it gave it back: from then on it signs nothing, and what it signed before stays
    /// in order.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub retired: Option<Revocation>,
    /// When and why it was revoked, because somebody else may have it: the person who has it can write any instant, so
    /// what it signed before stays in order only where another person's signature from before bears it out.
    #[serde(default)]
    pub revoked: Option<Revocation>,
    /// Whether it counts as retired from the signature that makes this version complete, where that comes later. Later
    /// versions state when that was.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub once_signed: bool,
}

/// The end of a key before its time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Revocation {
    /// From when its signatures no longer count; for a stolen key, from the latest instant at which it was surely not
    /// stolen yet.
    pub at: String,
    /// Why.
    pub why: String,
}

/// A pack that may judge.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Approval {
    /// The pack's name.
    pub name: String,
    /// Its edition.
    pub edition: String,
    /// The digest of its files, in hexadecimal.
    pub sha256: String,
    /// The safety officer who approved it.
    pub approved_by: String,
    /// Whether every job must be judged by it while the approval runs; otherwise it may be left out.
    #[serde(default = "required")]
    pub required: bool,
    /// From when it may judge.
    pub from: String,
    /// Until when, if it has been withdrawn: not of the signed statement, since an owner may end what an officer allowed.
    #[serde(default)]
    pub until: Option<String>,
    /// Whether the end counts from the signature that makes this version complete, where that comes later. Later versions
    /// state when that was.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub once_signed: bool,
    /// The name that the shop had when it was signed, where it has had another one since.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shop: Option<String>,
    /// The safety officer's signature of the statement, see [`Approval::sign`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seal: Option<Seal>,
}

/// A pack that is approved is required unless the owner says otherwise: leaving one out by mistake must be noticed.
const fn required() -> bool {
    true
}

impl Approval {
    /// Name and edition of the pack.
    pub(super) fn title(&self) -> String {
        format!("{} {}", self.name, self.edition)
    }

    /// Its instants; `None` where one of them is not one.
    pub(super) fn span(&self) -> Option<(Instant, Option<Instant>)> {
        let until = match self.until.as_deref() {
            Some(until) => Some(instant(until)?),
            None => None,
        };
        Some((instant(&self.from)?, until))
    }
}

impl TrustBody {
    /// Takes the owner's YAML.
    ///
    /// # Errors
    /// Every deviation from the schema, with its line: codes `schema/...`.
    pub fn from_document(document: &Document) -> Result<Self, Faults> {
        let broken = |why: String| {
            Fault::new(Code::ChecklistBrokenProgram, format!("the built-in schema of trust files: {why}"))
                .help("report this: the program is at fault, not the file")
                .in_source(document.source())
        };
        let schema = COMPILED.as_ref().ok_or_else(|| broken("does not compile".to_owned()))?;
        schema.check(document)?;
        serde_json::from_value(document.to_json()).map_err(|error| broken(error.to_string()).into())
    }

    /// The time zone that it names.
    pub(super) fn zone(&self, found: &mut Found) -> Option<Zone> {
        let at = || place(["zone".into()]);
        match Zone::find(&self.zone) {
            Ok(zone) if zone.name() == self.zone => return Some(zone),
            Ok(zone) => {
                found.say(at(), TrustFlaw::ZoneSpelling { found: self.zone.clone(), due: zone.name().to_owned() });
            }
            Err(error) => found.say(at(), TrustFlaw::Zone(error)),
        }
        None
    }

    /// What the schema cannot say: counts and digests.
    pub(super) fn shape(&self, found: &mut Found) {
        if self.format != FORMAT {
            found.say(place(["format".into()]), TrustFlaw::Format { found: self.format.clone(), due: FORMAT });
        }
        if self.version < 1 {
            found.say(place(["version".into()]), TrustFlaw::Version);
        }
        let owners = self.people.iter().filter(|person| person.roles.contains(&Role::Owner)).count();
        let needed = usize::from(self.owners_needed);
        if needed == 0 || needed > owners {
            let flaw = TrustFlaw::OwnersNeeded { needed: self.owners_needed, there: owners };
            found.say(place(["owners_needed".into()]), flaw);
        }
        for (place, approval) in self.packs.iter().enumerate() {
            if !is_digest(&approval.sha256) {
                let pack = approval.name.clone();
                found.say(of_pack(place, ["sha256".into()]), TrustFlaw::PackDigest { pack });
            }
            for (key, text) in [("from", Some(&approval.from)), ("until", approval.until.as_ref())] {
                if text.is_some_and(|text| instant(text).is_none()) {
                    found.say(of_pack(place, [key.into()]), TrustFlaw::PackSpan { pack: approval.name.clone() });
                }
            }
        }
    }

    /// Sees that packs are approved by people who may approve them.
    pub(super) fn approvers(&self, found: &mut Found) {
        for (place, approval) in self.packs.iter().enumerate() {
            let (name, role) = (&approval.approved_by, Role::SafetyOfficer);
            let by = self.people.iter().find(|person| person.name == *name);
            // When it was signed, the signature itself says.
            if by.is_some_and(|person| person.ever_had(role)) {
                continue;
            }
            let officer = self.people.iter().find(|person| person.roles.contains(&role));
            let flaw = TrustFlaw::Approver {
                pack: approval.title(),
                by: name.clone(),
                is_known: by.is_some(),
                officer: officer.map(|person| person.name.clone()),
            };
            found.say(of_pack(place, ["approved_by".into()]), flaw);
        }
    }
}
