//! Packs by their digests, as checklists, permits and trust files name them.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::keys::hex;
use crate::pack::{Pack, PackSet};

/// A pack by name, edition and digest.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PackPart {
    /// The edition.
    pub edition: String,
    /// The name.
    pub name: String,
    /// SHA-256 over the list of its files, in hexadecimal: see [`digest`].
    pub sha256: String,
}

impl PackPart {
    /// Names a pack.
    pub fn of(pack: &Pack) -> Self {
        Self { edition: pack.edition.clone(), name: pack.name.clone(), sha256: digest(pack) }
    }

    /// Name and edition, for reports.
    pub fn title(&self) -> String {
        format!("{} {}", self.name, self.edition)
    }
}

/// Packs in force with their digests, worked out once.
#[derive(Debug, Clone, Copy)]
pub struct Packs<'a> {
    /// The packs.
    pub set: &'a PackSet,
    /// Their names and digests, in the same order.
    pub parts: &'a [PackPart],
}

/// Names all packs of a set, in their order.
pub fn parts(set: &PackSet) -> Vec<PackPart> {
    set.packs().iter().map(PackPart::of).collect()
}

/// SHA-256 of bytes in hexadecimal.
pub fn sha256_hex(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// The digest of a pack: SHA-256 of one line for each file, `HASH  NAME`, in the order of the names without folders.
///
/// It is what `LC_ALL=C sha256sum *.yaml | sha256sum` prints in the folder of the pack, so no program of ours is needed.
pub fn digest(pack: &Pack) -> String {
    let mut lines: Vec<(&str, String)> = pack
        .sources
        .iter()
        .map(|source| {
            let name = source.name().rsplit(['/', '\\']).next().unwrap_or_default();
            (name, sha256_hex(source.text().as_bytes()))
        })
        .collect();
    lines.sort();
    let list: Vec<String> = lines.iter().map(|(name, hash)| format!("{hash}  {name}\n")).collect();
    sha256_hex(list.concat().as_bytes())
}
