//! The texts of the base pack, compiled in, and the pack as it is read from them.
//!
//! Reading the texts again takes longer than everything else in a judgement. So the pack set that they make is compiled in
//! as well, in bytes that follow from its types; a test makes them again from the texts and compares. Must not know
//! what a rule says.

use std::borrow::Cow;
use std::sync::{Arc, LazyLock};

use sha2::{Digest as _, Sha256};

use crate::document::Source;
use crate::figures::{FigureSpec, TABLE};
use crate::record::Catalogue;

/// The digest of what it was made from; the digest by which checklists and trust files name the base pack, in hexadecimal;
/// then that pack as it was read from its texts, without the examples of its rules, as `postcard` has it.
const READY: &[u8] = include_bytes!("../../rules/tyre-fill.ready");

/// The length of a SHA-256 digest in bytes.
const DIGEST: usize = 32;

/// The base pack in bytes, as it was read from its texts beforehand; nothing where the file holds not even the digests.
pub(super) fn ready() -> Option<&'static [u8]> {
    READY.get(3 * DIGEST..)
}

/// The digest of the files of the base pack, as it was made beforehand.
pub(super) fn digest_of_files() -> Option<&'static str> {
    std::str::from_utf8(READY.get(DIGEST..3 * DIGEST)?).ok()
}

/// What tells builds of one edition apart that judge by other rules, facts or figures: the beginning of the digest of what
/// those bytes were made from, 16 hexadecimal digits.
pub fn build() -> String {
    format!("{:016x}", READY.first_chunk().map_or(0, |first| u64::from_be_bytes(*first)))
}

/// Whether those bytes were made from the texts as they are now.
pub(super) fn is_in_step() -> bool {
    static IN_STEP: LazyLock<bool> = LazyLock::new(|| READY.starts_with(&digest()));
    *IN_STEP
}

/// The digest of what the bytes are made from: the names and texts of the pack, and the facts and figures, which stand in
/// the bytes by their positions.
pub(super) fn digest() -> [u8; DIGEST] {
    let catalogue = Catalogue::default();
    let facts = catalogue.keys().map(|key| catalogue.full_name(key));
    let figures = TABLE.iter().map(FigureSpec::full_name);
    let texts = FILES.iter().flat_map(|(name, text)| [*name, *text]);
    let mut hash = Sha256::new();
    for part in texts.map(Cow::Borrowed).chain(facts.chain(figures).map(Cow::Owned)) {
        hash.update(part.len().to_be_bytes());
        hash.update(part.as_bytes());
    }
    hash.finalize().into()
}

/// Names a file of the base pack and takes in its text.
macro_rules! files {
    ($($file:literal),+ $(,)?) => {
        &[$((concat!("rules/tyre-fill/", $file), include_str!(concat!("../../rules/tyre-fill/", $file)))),+]
    };
}

/// Display name and text of each file, the head first. A test holds the list against the folder.
pub(super) const FILES: &[(&str, &str)] = files![
    "pack.yaml",
    "job.yaml",
    "wheel.yaml",
    "rim.yaml",
    "casing.yaml",
    "interior.yaml",
    "pre-stretch.yaml",
    "tube.yaml",
    "vent.yaml",
    "target.yaml",
    "pressure-window.yaml",
    "instruments.yaml",
    "plausible.yaml",
    "slips.yaml",
    "cannot-be.yaml",
    "material.yaml",
    "pump.yaml",
    "handling.yaml",
    "cage.yaml",
    "air-stage.yaml",
    "workspace.yaml",
    "people.yaml",
    "cure.yaml",
    "before-air.yaml",
    "before-fill.yaml",
    "after-fill.yaml",
    "service.yaml",
    "sheet.yaml",
    "exposure.yaml",
    "climate.yaml",
    "line.yaml",
    "order-of-time.yaml",
    "sums.yaml",
    "later.yaml",
    "kept.yaml",
    "bounds.yaml",
    "parts.yaml",
    "alike.yaml",
    "agrees.yaml",
    "not-yet.yaml",
    "fill-course.yaml",
    "outside-bounds.yaml",
    "names-and-places.yaml",
    "proportion.yaml",
    "against-itself.yaml",
    "matched.yaml",
    "known-later.yaml",
    "still-so.yaml",
    "course-known.yaml",
    "called-otherwise.yaml",
    "changed-later.yaml",
    "not-read.yaml",
    "held-together.yaml",
];

static SOURCES: LazyLock<Vec<Arc<Source>>> =
    LazyLock::new(|| FILES.iter().map(|(name, text)| Arc::new(Source::compiled_in(name, text))).collect());

/// The texts with their names.
pub(super) fn sources() -> &'static [Arc<Source>] {
    &SOURCES
}

/// A text of the base pack held as its position in the list.
pub(super) mod source {
    use std::sync::Arc;

    use serde::de::Error as _;
    use serde::ser::Error as _;
    use serde::{Deserialize as _, Deserializer, Serialize as _, Serializer};

    use crate::document::Source;

    pub(in crate::pack) fn serialize<S: Serializer>(source: &Arc<Source>, into: S) -> Result<S::Ok, S::Error> {
        let position = super::sources().iter().position(|one| one == source);
        position.ok_or_else(|| S::Error::custom("a text that is not of the base pack"))?.serialize(into)
    }

    pub(in crate::pack) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Arc<Source>, D::Error> {
        let position = usize::deserialize(from)?;
        super::sources()
            .get(position)
            .cloned()
            .ok_or_else(|| D::Error::custom("a text that the base pack does not have"))
    }
}
