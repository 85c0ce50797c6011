//! Packs by the digest of their files, which no program of ours is needed to make.
//!
//! Must not know who approved or signed what.

use std::sync::Arc;

use sha2::{Digest as _, Sha256};

use super::{Pack, base};
use crate::document::Source;

/// The length of a SHA-256 digest in bytes.
pub(super) const LENGTH: usize = 32;

/// Bytes in hexadecimal, in small letters.
pub(crate) fn hex(bytes: &[u8]) -> String {
    let digits =
        |byte: u8| [byte >> 4, byte & 15].map(|half| char::from_digit(u32::from(half), 16).unwrap_or_default());
    bytes.iter().flat_map(|byte| digits(*byte)).collect()
}

/// SHA-256 of bytes in hexadecimal.
pub fn sha256_hex(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// The digest of a pack: SHA-256 of one line for each file, `HASH  NAME`, in the order of the names without folders.
///
/// The bytes are those of the files as they are, a byte order mark and a missing last line break included.
/// It is what `LC_ALL=C sha256sum *.yaml | sha256sum` prints in the folder of the pack, so no program of ours is needed.
///
/// That of the base pack was made when it was read beforehand: its texts are as long as sixty records.
pub fn digest(pack: &Pack) -> String {
    let of_base = base::sources();
    let is_base = pack.sources.len() == of_base.len()
        && pack.sources.iter().zip(of_base).all(|(own, known)| Arc::ptr_eq(own, known));
    match base::digest_of_files().filter(|_| is_base) {
        Some(made) => hex(made),
        None => digest_of(pack.sources.iter().map(AsRef::as_ref)),
    }
}

/// The digest of the files of a pack, as [`digest`].
pub fn digest_of<'a>(sources: impl Iterator<Item = &'a Source>) -> String {
    hex(&of_files(sources))
}

/// The same in bytes.
pub(super) fn of_files<'a>(sources: impl Iterator<Item = &'a Source>) -> [u8; LENGTH] {
    let mut lines: Vec<(&str, String)> = sources
        .map(|source| {
            let name = source.name().rsplit(['/', '\\']).next().unwrap_or_default();
            (name, sha256_hex(source.file_bytes()))
        })
        .collect();
    lines.sort();
    let list: Vec<String> = lines.iter().map(|(name, hash)| format!("{hash}  {name}\n")).collect();
    Sha256::digest(list.concat().as_bytes()).into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pack::PackSet;

    #[test]
    fn the_digest_that_was_made_beforehand_is_that_of_the_texts() {
        let set = PackSet::base().unwrap();
        let base = &set.packs()[0];
        assert_eq!(digest(base), digest_of(base.sources.iter().map(AsRef::as_ref)));
        let copied: Vec<Source> = PackSet::base_files().iter().map(|(name, text)| Source::new(*name, *text)).collect();
        assert_eq!(digest(base), digest_of(copied.iter()));
    }
}
