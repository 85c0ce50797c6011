//! Packs by their digests, as checklists, permits and trust files name them.
//!
//! Must not know what a rule asks.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::keys::{digest_words, hex};
use crate::document::Source;
use crate::pack::{Pack, PackSet};
use crate::vocabulary::Role;

/// The base pack. It judges every job, before all others.
pub const BASE: &str = "tyre-fill";

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
    /// The first half of its digest as eight words, for people to compare.
    pub fn digest_in_words(&self) -> String {
        digest_words(&self.sha256)
    }

    /// Names a pack.
    pub fn of(pack: &Pack) -> Self {
        Self { edition: pack.edition.to_string(), name: pack.name.to_string(), sha256: pack_digest(pack) }
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

/// The roles that the packs in force ask for together: of each role as many people as the pack that asks for most, and a
/// supervisor always.
pub fn required_roles(set: &PackSet) -> Vec<Role> {
    let count = |role: Role| {
        let asked = set.packs().iter().map(|pack| pack.signed_by.iter().filter(|word| *word == role.word()).count());
        let least = usize::from(role == Role::Supervisor);
        asked.max().unwrap_or(0).max(least)
    };
    Role::ALL.into_iter().flat_map(|role| std::iter::repeat_n(role, count(role))).collect()
}

/// The roles of `due` that `asked` does not ask for often enough.
pub(super) fn roles_left_out(due: &[Role], asked: &[Role]) -> Vec<Role> {
    let mut asked = asked.to_vec();
    let mut missing = due.to_vec();
    missing.retain(|role| match asked.iter().position(|known| known == role) {
        Some(place) => {
            asked.swap_remove(place);
            false
        }
        None => true,
    });
    missing
}

/// SHA-256 of bytes in hexadecimal.
pub fn sha256_hex(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Whether a text is a SHA-256 as files of ours write it: 64 small hexadecimal digits.
pub(crate) fn is_digest(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'))
}

/// The digest of a pack: SHA-256 of one line for each file, `HASH  NAME`, in the order of the names without folders.
///
/// The bytes are those of the files as they are, a byte order mark and a missing last line break included.
/// It is what `LC_ALL=C sha256sum *.yaml | sha256sum` prints in the folder of the pack, so no program of ours is needed.
/// That of the base pack was made when it was read beforehand: its texts are as long as forty records.
pub fn pack_digest(pack: &Pack) -> String {
    let made = pack.digest_made().map(str::to_owned);
    made.unwrap_or_else(|| sources_digest(pack.sources.iter().map(AsRef::as_ref)))
}

/// The digest of the files of a pack, as [`digest`].
pub fn sources_digest<'a>(sources: impl Iterator<Item = &'a Source>) -> String {
    let mut lines: Vec<(&str, String)> = sources
        .map(|source| {
            let name = source.name().rsplit(['/', '\\']).next().unwrap_or_default();
            (name, sha256_hex(source.file_bytes()))
        })
        .collect();
    lines.sort();
    let list: Vec<String> = lines.iter().map(|(name, hash)| format!("{hash}  {name}\n")).collect();
    sha256_hex(list.concat().as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_digest_that_was_made_beforehand_is_that_of_the_texts() {
        let set = PackSet::base().unwrap();
        let base = &set.packs()[0];
        assert_eq!(pack_digest(base), sources_digest(base.sources.iter().map(AsRef::as_ref)));
        let copied: Vec<Source> = PackSet::base_files().iter().map(|(name, text)| Source::new(*name, *text)).collect();
        assert_eq!(pack_digest(base), sources_digest(copied.iter()));
    }

    #[test]
    fn the_base_pack_has_the_name_that_is_looked_for() {
        assert_eq!(PackSet::base().unwrap().packs()[0].name, BASE);
    }

    #[test]
    fn a_role_asked_for_twice_must_be_asked_for_twice() {
        use Role::{SafetyOfficer as Officer, Supervisor};
        assert!(roles_left_out(&[Supervisor, Officer], &[Officer, Supervisor, Supervisor]).is_empty());
        assert_eq!(roles_left_out(&[Supervisor, Supervisor], &[Supervisor, Officer]), [Supervisor]);
    }
}
