//! The content of a trust file, as it is written.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::unsound::{Found, of_pack, place};
use crate::checklist::jws::{Seal, instant};
use crate::checklist::packs::is_digest;
use crate::document::{Code, Document, Fault, Faults, Schema};
use crate::units::{Instant, Zone};
use crate::vocabulary::Role;

/// The format of this edition.
pub const FORMAT: &str = "fillward-trust/1";

/// How an instant is written.
pub(super) const INSTANT: &str =
    "write an instant with seconds and the offset of the shop, such as 2026-03-04T09:30:00-06:00";

const SCHEMA: &str = include_str!("../../../schemas/trust.schema.json");
static COMPILED: LazyLock<Option<Schema>> = LazyLock::new(|| Schema::compile(SCHEMA).ok());

/// The text of the published schema of trust files.
pub fn schema() -> &'static str {
    SCHEMA
}

/// Who may sign, and which packs are approved.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TrustBody {
    /// [`FORMAT`].
    pub format: String,
    /// The shop.
    pub shop: String,
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
    pub owners_needed: i64,
    /// Who may sign.
    pub people: Vec<Person>,
    /// The packs that the safety officer has approved.
    pub packs: Vec<Approval>,
}

/// A person of the shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Person {
    /// The name, told from every other.
    pub name: String,
    /// In which roles the person may sign.
    pub roles: Vec<Role>,
    /// The person's keys, old ones included.
    pub keys: Vec<Key>,
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
    /// When and why whoever held it gave it back: from then on it signs nothing, and what it signed before stays in order.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub retired: Option<Revocation>,
    /// When and why it was revoked, because somebody else may have it: whoever has it can write any instant, so what it
    /// signed before stays in order only where another person's signature from before bears it out.
    #[serde(default)]
    pub revoked: Option<Revocation>,
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
    /// The safety officer's signature of the statement, see [`Approval::sign`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seal: Option<Seal>,
}

/// A pack that is approved is required unless the owner says otherwise: leaving one out by mistake must be noticed.
const fn required() -> bool {
    true
}

impl Approval {
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
                found.say(
                    at(),
                    format!("its time zone `{}` is written `{zone}`", self.zone),
                    format!("write `{zone}`"),
                );
            }
            Err(error) => found.say(at(), format!("its time zone: {error}"), error.help()),
        }
        None
    }

    /// What the schema cannot say: counts and digests.
    pub(super) fn shape(&self, found: &mut Found) {
        if self.format != FORMAT {
            let what = format!("its format is `{}`, this edition reads `{FORMAT}`", self.format);
            found.say(place(["format".into()]), what, format!("write `{FORMAT}`"));
        }
        if self.version < 1 {
            found.say(place(["version".into()]), "its version is not 1 or more", "count the versions from 1 upwards");
        }
        let owners = self.people.iter().filter(|person| person.roles.contains(&Role::Owner)).count();
        let needed = usize::try_from(self.owners_needed).unwrap_or(0);
        if needed == 0 || needed > owners {
            let cure = match owners {
                0 => "give at least one person the role `owner`".to_owned(),
                1 => "write 1, or give further people the role `owner`".to_owned(),
                owners => format!("write a number from 1 to {owners}, or give further people the role `owner`"),
            };
            let what = format!("{} owners must sign, and it names {owners}", self.owners_needed);
            found.say(place(["owners_needed".into()]), what, cure);
        }
        for (place, approval) in self.packs.iter().enumerate() {
            if !is_digest(&approval.sha256) {
                found.say(
                    of_pack(place, ["sha256".into()]),
                    format!("the digest of the pack `{}` is not 64 small hexadecimal digits", approval.name),
                    "copy the digest that `fillward trust packs` prints",
                );
            }
            for (key, text) in [("from", Some(&approval.from)), ("until", approval.until.as_ref())] {
                if text.is_some_and(|text| instant(text).is_none()) {
                    found.say(
                        of_pack(place, [key.into()]),
                        format!("the approval of the pack `{}` has a span that is not of instants", approval.name),
                        INSTANT,
                    );
                }
            }
        }
    }

    /// Sees that packs are approved by people who may approve them.
    pub(super) fn approvers(&self, found: &mut Found) {
        for (place, approval) in self.packs.iter().enumerate() {
            let (name, role) = (&approval.approved_by, Role::SafetyOfficer);
            let by = self.people.iter().find(|person| person.name == *name);
            if by.is_some_and(|person| person.roles.contains(&role)) {
                continue;
            }
            let has = self.people.iter().find(|person| person.roles.contains(&role)).map(|person| &person.name);
            let give = match by {
                Some(_) => format!("give {name} the role `{role}`"),
                None => format!("add {name} to `people` with the role `{role}`"),
            };
            let or = has
                .map_or_else(|| "name one who has it".to_owned(), |has| format!("name one who has it, such as {has}"));
            let what = format!(
                "the pack `{} {}` is approved by `{name}`, who is no safety officer here",
                approval.name, approval.edition
            );
            found.say(of_pack(place, ["approved_by".into()]), what, format!("{give}, or {or}"));
        }
    }
}
