//! What has changed in the shop file since it was last signed with: remembered beside it, by the digests of its entries.
//!
//! It holds nothing and is not signed: it is what whoever signs should have seen. What is remembered are marks and digests,
//! no value and no name; it is no secret, and whoever can write it can also remove it. This module must not know records.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::checklist::body::ChecklistBody;
use crate::checklist::jws::Envelope;
use crate::checklist::kind::Kind;
use crate::checklist::packs::{is_digest, sha256_hex};
use crate::desk::world::{Existing, NamedBytes, Readers, Storage, StoreFault, Trouble};
use crate::record::shop::Shop;
use crate::units::Instant;

/// The name of what is remembered, in the folder of the shop file: an old one under another name is as old.
const MEMORY: &str = "fillward-shop.signed";
/// The format of it; another one is not read.
const FORMAT: u32 = 1;
/// How many shop files are remembered by their digest: those of the last years, where one changes every day.
const MOST_FILES: usize = 1000;
/// How often other acts may be faster before this one gives up.
const TRIES: u32 = 20;

/// What is remembered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct KnownShop {
    shop_signed: u32,
    /// The zone of the last one.
    zone: String,
    /// The entries of the last one, section and mark, or section and digest where entries have no mark; with the digest.
    entries: BTreeMap<String, String>,
    /// Every file that was signed with: its digest, and when it last was.
    files: Vec<(String, String)>,
}

/// A shop file beside the one that was last signed with.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ShopChanges {
    /// When the last signature was made with a shop file; nothing where none is known.
    pub since: Option<String>,
    /// Entries that are new, as section and mark.
    pub added: Vec<String>,
    /// Entries that say something else.
    pub changed: Vec<String>,
    /// Entries that are gone.
    pub gone: Vec<String>,
    /// Where this very file was signed with before, and another one after it: when it last was. It is an old one put back.
    pub put_back: Option<String>,
    /// The zone of the last one, where this one names another.
    pub zone_before: Option<String>,
    /// That what is remembered cannot be read: where it lies.
    pub unreadable: Option<PathBuf>,
    /// Where nothing is remembered although a checklist that is here was signed with a shop file: the last such one.
    pub forgotten: Option<Forgotten>,
}

/// A checklist that was signed with a shop file of which nothing is remembered any more.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Forgotten {
    /// What reports call the checklist.
    pub name: String,
    /// When it was judged.
    pub judged_at: String,
    /// Whether the shop file was this very one.
    pub same: bool,
}

/// The part of a shop file that is remembered once it was signed with.
#[derive(Debug)]
pub(super) struct ShopMemory {
    name: PathBuf,
    digest: String,
    zone: String,
    entries: BTreeMap<String, String>,
}

impl ShopMemory {
    pub(super) fn of(file: &NamedBytes, shop: &Shop) -> Self {
        let mut entries: BTreeMap<String, String> = BTreeMap::new();
        for (section, mark, text) in shop.entries() {
            // How an entry is laid out says nothing.
            let digest = sha256_hex(text.split_whitespace().collect::<Vec<_>>().join(" ").as_bytes());
            // Entries of one mark, each for its own time, are remembered together.
            let of_mark = entries.entry(format!("{section} {}", mark.unwrap_or(&digest)));
            of_mark.and_modify(|known| *known = sha256_hex(format!("{known}{digest}").as_bytes())).or_insert(digest);
        }
        Self {
            name: file.name.with_file_name(MEMORY),
            digest: sha256_hex(&file.bytes),
            zone: shop.zone().name().to_owned(),
            entries,
        }
    }

    /// What has changed since the last signature. Where nothing is remembered, the checklists that are here may tell that
    /// something was.
    pub(super) fn changes(&self, storage: &dyn Storage, here: &[NamedBytes]) -> ShopChanges {
        let before = match recall(storage, &self.name) {
            Ok((_, Some(before))) => before,
            Ok((None, None)) => return ShopChanges { forgotten: self.forgotten(here), ..ShopChanges::default() },
            Ok((Some(_), None)) | Err(_) => {
                return ShopChanges { unreadable: Some(self.name.clone()), ..ShopChanges::default() };
            }
        };
        let names = |of: &BTreeMap<String, String>| of.keys().cloned().collect::<BTreeSet<_>>();
        let (now, then) = (names(&self.entries), names(&before.entries));
        let listed =
            |from: &BTreeSet<String>, but: &BTreeSet<String>| from.difference(but).map(|name| shown(name)).collect();
        let differs = |name: &&String| self.entries.get(*name) != before.entries.get(*name);
        let last = before.files.last();
        let earlier = before.files.iter().find(|(digest, _)| *digest == self.digest);
        ShopChanges {
            since: last.map(|(_, at)| at.clone()),
            added: listed(&now, &then),
            gone: listed(&then, &now),
            changed: now.intersection(&then).filter(differs).map(|name| shown(name)).collect(),
            put_back: earlier.filter(|earlier| Some(*earlier) != last).map(|(_, at)| at.clone()),
            zone_before: (before.zone != self.zone).then_some(before.zone),
            unreadable: None,
            forgotten: None,
        }
    }

    /// The last of the checklists that was signed with a shop file.
    fn forgotten(&self, here: &[NamedBytes]) -> Option<Forgotten> {
        let read = |file: &NamedBytes| {
            let body: ChecklistBody = Envelope::read(Kind::Checklist, &file.label(), &file.bytes).ok()?.body().ok()?;
            let same = body.inputs.shop_file?.sha256 == self.digest;
            let at = Instant::parse(&body.judged_at).ok()?;
            Some((at, Forgotten { name: file.label(), judged_at: body.judged_at, same }))
        };
        here.iter().filter_map(read).max_by_key(|(at, _)| *at).map(|(_, last)| last)
    }

    /// Remembers that it was signed with. What cannot be read as written here is somebody else's, or damaged, and stays.
    pub(super) fn note(&self, storage: &dyn Storage, at: Instant) -> Result<(), StoreFault> {
        let mut tries = 0;
        loop {
            let (bytes, before) = recall(storage, &self.name)?;
            if bytes.is_some() && before.is_none() {
                return Err(StoreFault { name: self.name.clone(), what: Trouble::NotOurs });
            }
            let mut files = before.map(|before| before.files).unwrap_or_default();
            files.retain(|(digest, _)| *digest != self.digest);
            files.push((self.digest.clone(), at.to_record_text()));
            let files = files.split_off(files.len().saturating_sub(MOST_FILES));
            let (zone, entries) = (self.zone.clone(), self.entries.clone());
            let text = serde_json::to_vec(&KnownShop { shop_signed: FORMAT, zone, entries, files }).unwrap_or_default();
            let existing = Existing::Own(bytes.as_deref());
            match storage.write(&self.name, &text, existing, Readers::Usual) {
                Err(StoreFault { what: Trouble::Changed | Trouble::Exists, .. }) if tries < TRIES => tries += 1,
                done => return done,
            }
        }
    }
}

/// The bytes that are remembered, where there are any, and what they say, where they can be read.
fn recall(storage: &dyn Storage, name: &Path) -> Result<(Option<Vec<u8>>, Option<KnownShop>), StoreFault> {
    let bytes = storage.read_if_there(name)?;
    let read = bytes.as_deref().and_then(|bytes| serde_json::from_slice::<KnownShop>(bytes).ok());
    Ok((bytes, read.filter(|signed| signed.shop_signed == FORMAT)))
}

/// An entry for people: one without a mark by its section alone.
fn shown(name: &str) -> String {
    match name.split_once(' ') {
        Some((section, mark)) if is_digest(mark) => format!("a row of {section}"),
        _ => name.to_owned(),
    }
}
