//! Signed checklists of earlier hold points, the digests by which later ones name them, and when what they let happen was
//! done.
//!
//! This module must not know where the files come from, nor what a link is worth.

use std::collections::BTreeMap;

use super::body::ChecklistBody;
use super::jws::Envelope;
use super::packs::sha256_hex;
use crate::document::Path;
use crate::engine::Scene;
use crate::record::catalogue::assembly;
use crate::record::{Entity, Value};
use crate::units::Instant;
use crate::vocabulary::{HoldPoint, Kind, are_of_one_mark, names_one_thing};

/// A signed checklist of an earlier hold point, as it is given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Earlier {
    /// What reports call the file.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// Signed checklists of earlier hold points, by the digests by which later ones name them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Links {
    files: BTreeMap<String, Earlier>,
    /// The name of one that cannot be read, if there is one: nothing can name it.
    unread: Option<String>,
    /// What lies beside them, and may say of one of their jobs otherwise.
    beside: Vec<Earlier>,
}

impl Links {
    /// No checklist at all.
    pub const NONE: &'static Self = &Self { files: BTreeMap::new(), unread: None, beside: Vec::new() };

    /// Takes these.
    pub fn of(files: impl IntoIterator<Item = Earlier>) -> Self {
        let mut links = Self::default();
        for file in files {
            match digest_in(&file) {
                Some(digest) => drop(links.files.insert(digest, file)),
                None => links.unread = Some(file.name),
            }
        }
        links
    }

    /// The same, with what lies beside them.
    #[must_use]
    pub fn beside(mut self, files: impl IntoIterator<Item = Earlier>) -> Self {
        self.beside.extend(files);
        self
    }

    /// Everything that may say of a job otherwise than the checklist that is named.
    pub(super) fn at_hand(&self) -> impl Iterator<Item = &Earlier> {
        self.files.values().chain(&self.beside)
    }

    pub(super) fn find(&self, digest: &str) -> Option<&Earlier> {
        self.files.get(digest)
    }

    /// All that can be read.
    pub(super) fn files(&self) -> impl Iterator<Item = &Earlier> {
        self.files.values()
    }

    /// The name of one that cannot be read, if there is one.
    pub(super) fn unread(&self) -> Option<&str> {
        self.unread.as_deref()
    }
}

/// The digest by which the next checklist names this file; nothing where it cannot be read.
pub fn digest_in(file: &Earlier) -> Option<String> {
    Envelope::read(Kind::Checklist, &file.name, &file.bytes).ok().map(|envelope| content_digest(&envelope))
}

/// The digest by which the next checklist names this one: SHA-256 of what is signed, in hexadecimal. Further signatures
/// leave it as it is.
pub fn content_digest(envelope: &Envelope) -> String {
    sha256_hex(envelope.payload())
}

/// Whether two checklists say different things of one assembly of one job at one hold point. Marks of the same words are one
/// mark, whatever stands between the words: a stop between them makes no other tyre.
pub fn rivals(one: &ChecklistBody, other: &ChecklistBody) -> bool {
    let same_mark = |one: &Option<String>, other: &Option<String>| match (one, other) {
        (Some(one), Some(other)) => names_one_thing(one, other) || are_of_one_mark(one, other),
        (one, other) => one == other,
    };
    let shared = || {
        let of_one = |mark| other.assemblies.iter().any(|filled| same_mark(mark, &filled.mark));
        one.assemblies.iter().any(|filled| of_one(&filled.mark))
    };
    names_one_thing(&one.job, &other.job) && one.hold_point == other.hold_point && one != other && shared()
}

/// When what the hold point let happen was done, of each assembly.
///
/// # Errors
/// The place where that is missing.
pub(super) fn acts(scene: &Scene<'_>, point: HoldPoint) -> Result<Vec<Instant>, Path> {
    // Nothing follows the last one.
    let Some(key) = assembly::act_of(point) else { return Ok(Vec::new()) };
    let of_one = |entity: &Entity| match entity.facts.get(key) {
        Some(Value::Instant(at)) => Ok(*at),
        _ => Err(entity.path_of(scene.packs().catalogue(), key)),
    };
    scene.covered().map(|(_, entity)| of_one(entity)).collect()
}
