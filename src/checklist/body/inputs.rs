//! What a checklist was judged from and by, each input with its SHA-256: record, shop file, packs, trust file.
//!
//! This module must not know findings or signatures.

use serde::{Deserialize, Serialize};

use crate::checklist::canonical::nullable;
use crate::checklist::packs::{PackPart, sha256_hex};
use crate::checklist::trust::TrustPart;

/// The inputs of a judgement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Inputs {
    /// The packs that judged, base first.
    pub packs: Vec<PackPart>,
    /// The record that was judged.
    pub record: RecordPart,
    /// The shop file that the record draws on; null where it draws on none.
    #[serde(deserialize_with = "nullable")]
    pub shop_file: Option<ShopPart>,
    /// The trust file in force.
    pub trust: TrustPart,
}

/// The record inside a checklist.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordPart {
    /// What its file was called, without folders: told and not compared, since a file is renamed and stays the record.
    pub name: String,
    /// SHA-256 of `text` in UTF-8, in hexadecimal.
    pub sha256: String,
    /// The record's text, without a byte order mark.
    pub text: String,
}

impl RecordPart {
    pub(super) fn of(name: &str, text: &str) -> Self {
        Self { name: name.to_owned(), sha256: sha256_hex(text.as_bytes()), text: text.to_owned() }
    }

    /// Whether the digest is that of the text.
    pub(super) fn adds_up(&self) -> bool {
        sha256_hex(self.text.as_bytes()) == self.sha256
    }
}

/// The shop file of a checklist: which one it was, and what of it the record draws on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShopPart {
    /// Its name, without folders.
    pub name: String,
    /// SHA-256 of all of its bytes, in hexadecimal.
    pub sha256: String,
    /// The entries that were used, word for word, as a shop file of their own; nobody else's stand in it.
    pub text: String,
}

impl ShopPart {
    /// Names a shop file by its bytes, with the part of it that a record draws on.
    pub fn of(name: &str, bytes: &[u8], text: String) -> Self {
        Self { name: name.to_owned(), sha256: sha256_hex(bytes), text }
    }
}
