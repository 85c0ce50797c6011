//! What has changed in the shop file since it was last signed with: remembered beside it, by the digests of its entries.
//!
//! It holds nothing and is not signed: it is what the person who signs should have seen. What is remembered are marks
//! and digests, no value and no name; it is no secret, and the person who can write it can also remove it. This module
//! must not know records.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::checklist::body::ChecklistBody;
use crate::checklist::jws::Envelope;
use crate::checklist::packs::sha256_hex;
use crate::desk::world::{Existing, NamedBytes, Readers, Storage, StoreFault, Trouble};
use crate::document::Document;
use crate::record::shop::Shop;
use crate::units::Instant;
use crate::vocabulary::Kind;

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
    /// The entries of the last one.
    entries: Vec<KnownEntry>,
    /// Every file that was signed with: its digest, and when it last was.
    files: Vec<(String, String)>,
}

impl KnownShop {
    fn entries(&self) -> Entries {
        let apart = |KnownEntry { section, mark, sha256 }: &KnownEntry| {
            let entry = ShopEntry { section: section.clone(), mark: mark.clone() };
            ((entry, mark.is_none().then(|| sha256.clone())), sha256.clone())
        };
        self.entries.iter().map(apart).collect()
    }
}

/// An entry that is remembered: where it stands, and the digest of what it says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct KnownEntry {
    section: String,
    mark: Option<String>,
    sha256: String,
}

/// Entries by what tells them apart, each with the digest of what it says: one without a mark is apart by that alone.
type Entries = BTreeMap<(ShopEntry, Option<String>), String>;

/// An entry of a shop file: one with a mark by that.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct ShopEntry {
    /// The section in which it stands.
    pub section: String,
    /// Its mark; a row of a log has none.
    pub mark: Option<String>,
}

/// A value of an entry that says something else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EntryChange {
    /// Its place in the entry.
    pub what: String,
    /// As it was written at the last signature; nothing where it is new.
    pub before: Option<String>,
    /// As it is written now; nothing where it is gone.
    pub now: Option<String>,
}

/// A shop file beside the one that was last signed with.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ShopChanges {
    /// When the last signature was made with a shop file; nothing where none is known.
    pub since: Option<String>,
    /// Entries that are new.
    pub added: Vec<ShopEntry>,
    /// Entries that say something else.
    pub changed: Vec<ShopEntry>,
    /// Of those of which a checklist here has what they said at the last signature, which values differ.
    pub values: BTreeMap<ShopEntry, Vec<EntryChange>>,
    /// Entries that are gone.
    pub gone: Vec<ShopEntry>,
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
    entries: Entries,
}

impl ShopMemory {
    pub(super) fn of(file: &NamedBytes, shop: &Shop) -> Self {
        let mut entries = Entries::new();
        for (section, mark, text) in shop.entries() {
            let digest = digest_of(text);
            // Entries of one mark, each for its own time, are remembered together.
            let entry = ShopEntry { section: section.to_owned(), mark: mark.map(str::to_owned) };
            let of_mark = entries.entry((entry, mark.is_none().then(|| digest.clone())));
            of_mark
                .and_modify(|known| {
                    // A row that stands twice says no more than once.
                    if *known != digest {
                        *known = sha256_hex(format!("{known}{digest}").as_bytes());
                    }
                })
                .or_insert(digest);
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
    pub(super) fn changes(&self, storage: &dyn Storage, here: &[NamedBytes], shop: &Shop) -> ShopChanges {
        let before = match recall(storage, &self.name) {
            Ok((_, Some(before))) => before,
            Ok((None, None)) => return ShopChanges { forgotten: self.forgotten(here), ..ShopChanges::default() },
            Ok((Some(_), None)) | Err(_) => {
                return ShopChanges { unreadable: Some(self.name.clone()), ..ShopChanges::default() };
            }
        };
        let (now, then) = (&self.entries, before.entries());
        let beside = |from: &Entries, but: &Entries| {
            let others = from.keys().filter(|name| !but.contains_key(name));
            others.map(|(entry, _)| entry.clone()).collect()
        };
        let differs = |(name, digest): &(&(ShopEntry, Option<String>), &String)| {
            then.get(name).is_some_and(|before| before != *digest)
        };
        let last = before.files.last();
        let earlier = before.files.iter().find(|(digest, _)| *digest == self.digest);
        let changed: Vec<ShopEntry> = now.iter().filter(differs).map(|((entry, _), _)| entry.clone()).collect();
        ShopChanges {
            since: last.map(|(_, at)| at.clone()),
            added: beside(now, &then),
            gone: beside(&then, now),
            values: values(here, &then, &changed, shop),
            changed,
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
            let known = |((entry, _), sha256): (&(ShopEntry, Option<String>), &String)| {
                let ShopEntry { section, mark } = entry.clone();
                KnownEntry { section, mark, sha256: sha256.clone() }
            };
            let (zone, entries) = (self.zone.clone(), self.entries.iter().map(known).collect());
            let text = serde_json::to_vec(&KnownShop { shop_signed: FORMAT, zone, entries, files }).unwrap_or_default();
            let existing = Existing::Own(bytes.as_deref());
            match storage.write(&self.name, &text, existing, Readers::Usual) {
                Err(StoreFault { what: Trouble::Changed | Trouble::Exists, .. }) if tries < TRIES => tries += 1,
                done => return done,
            }
        }
    }
}

/// The digest of what an entry says: how it is laid out says nothing.
fn digest_of(text: &str) -> String {
    sha256_hex(text.split_whitespace().collect::<Vec<_>>().join(" ").as_bytes())
}

/// Which values of changed entries differ. What is remembered of an entry is a digest; a checklist that lies here and
/// drew on the entry as it was then has it word for word, whoever signed that, since the digest tells.
fn values(
    here: &[NamedBytes],
    then: &Entries,
    changed: &[ShopEntry],
    shop: &Shop,
) -> BTreeMap<ShopEntry, Vec<EntryChange>> {
    let mut found = BTreeMap::new();
    if changed.is_empty() {
        return found;
    }
    let part = |file: &NamedBytes| {
        let body: ChecklistBody = Envelope::read(Kind::Checklist, &file.label(), &file.bytes).ok()?.body().ok()?;
        let text = body.inputs.shop_file?.text;
        Shop::read_part(Document::read("the shop file", text.as_bytes()).ok()?).ok()
    };
    for before in here.iter().filter_map(part) {
        for entry in changed.iter().filter(|entry| entry.mark.is_some()) {
            let ShopEntry { section, mark } = entry;
            let is_it = |(of, with, text): &(&str, Option<&str>, &str)| {
                of == section && *with == mark.as_deref() && then.get(&(entry.clone(), None)) == Some(&digest_of(text))
            };
            if found.contains_key(entry) || !before.entries().iter().any(is_it) {
                continue;
            }
            let of = |shop: &Shop| shop.values_of(section, mark.as_deref()?);
            if let (Some(before), Some(now)) = (of(&before), of(shop)) {
                found.insert(entry.clone(), differing(&before, &now));
            }
        }
    }
    found
}

fn differing(before: &BTreeMap<String, String>, now: &BTreeMap<String, String>) -> Vec<EntryChange> {
    let mut places: Vec<&String> = before.keys().chain(now.keys()).collect();
    places.sort_unstable();
    places.dedup();
    let change = |place: &String| EntryChange {
        what: place.clone(),
        before: before.get(place).cloned(),
        now: now.get(place).cloned(),
    };
    places.into_iter().map(change).filter(|change| change.before != change.now).collect()
}

/// The bytes that are remembered, where there are any, and what they say, where they can be read.
fn recall(storage: &dyn Storage, name: &Path) -> Result<(Option<Vec<u8>>, Option<KnownShop>), StoreFault> {
    let bytes = storage.read_if_there(name)?;
    let read = bytes.as_deref().and_then(|bytes| serde_json::from_slice::<KnownShop>(bytes).ok());
    Ok((bytes, read.filter(|signed| signed.shop_signed == FORMAT)))
}
