//! Editions of packs that are no longer in force: by them old checklists are shown and judged again, and nothing else.
//!
//! An edition is known by its digest alone. No act that judges a job afresh takes one, so that there is no way back to
//! weaker rules. Must not know what a rule asks.

use std::sync::{Arc, Mutex};

use super::world::NamedBytes;
use super::{Refusal, Unfit};
use crate::checklist::packs::{PackPart, parts, sources_digest};
use crate::document::{self, Content, Document};
use crate::pack::{Pack, PackSet};

/// The editions that were given.
#[derive(Debug, Default)]
pub(super) struct Editions {
    packs: Vec<(PackPart, Vec<Document>)>,
    made: Mutex<Vec<Made>>,
    /// Those that judged something that was asked about.
    used: Mutex<Vec<PackPart>>,
}

/// A set that was made, and the packs in it; nothing where it could not be made.
#[derive(Debug)]
struct Made {
    packs: Vec<PackPart>,
    set: Option<Arc<PackSet>>,
}

impl Editions {
    /// Takes editions, each by its files.
    ///
    /// # Errors
    /// The faults of their texts; [`Unfit::NoPack`] for files that are no pack.
    pub(super) fn read(given: &[Vec<NamedBytes>]) -> Result<Self, Refusal> {
        let mut packs = Vec::with_capacity(given.len());
        for files in given {
            let documents: Vec<Document> = files.iter().map(NamedBytes::document).collect::<Result<_, _>>()?;
            let named = |key: &str| documents.iter().find_map(|document| text(document, key));
            let (Some(name), Some(edition)) = (named("name"), named("edition")) else {
                let first = files.first().map(|file| file.name.clone()).unwrap_or_default();
                return Err(Unfit::NoPack { name: first }.into());
            };
            let sha256 = sources_digest(documents.iter().map(Document::source));
            packs.push((PackPart { edition, name, sha256 }, documents));
        }
        Ok(Self { packs, made: Mutex::default(), used: Mutex::default() })
    }

    /// Whether none was given.
    pub(super) const fn is_empty(&self) -> bool {
        self.packs.is_empty()
    }

    /// Name, edition and digest of each.
    pub(super) fn parts(&self) -> Vec<PackPart> {
        self.packs.iter().map(|(part, _)| part.clone()).collect()
    }

    /// Name, edition and digest of those that judged nothing that was asked about.
    pub(super) fn unused(&self) -> Vec<PackPart> {
        let Ok(used) = self.used.lock() else { return Vec::new() };
        self.packs.iter().filter(|(part, _)| !used.contains(part)).map(|(part, _)| part.clone()).collect()
    }

    /// The set of these packs, made of the editions given and of those in force; nothing where they are those in force,
    /// where one of them is not at hand, or cannot be read by this edition of the program.
    pub(super) fn set(&self, wanted: &[PackPart], in_force: &PackSet) -> Option<Arc<PackSet>> {
        let mut given = wanted.iter().filter(|part| self.packs.iter().any(|(known, _)| known == *part)).peekable();
        given.peek()?;
        self.used.lock().ok()?.extend(given.cloned());
        // A copy of what is in force is in force.
        if parts(in_force) == wanted {
            return None;
        }
        let mut made = self.made.lock().ok()?;
        if let Some(made) = made.iter().find(|made| made.packs == wanted) {
            return made.set.clone();
        }
        let set = self.make(wanted, in_force).filter(|set| parts(set) == wanted).map(Arc::new);
        made.push(Made { packs: wanted.to_vec(), set: set.clone() });
        set
    }

    fn make(&self, wanted: &[PackPart], in_force: &PackSet) -> Option<PackSet> {
        let (base, local) = wanted.split_first()?;
        let documents = |part: &PackPart| {
            let given = self.packs.iter().find(|(known, _)| known == part).map(|(_, documents)| documents.clone());
            given.or_else(|| in_force.packs().iter().find(|pack| PackPart::of(pack) == *part).and_then(texts))
        };
        let local: Vec<Vec<Document>> = local.iter().map(documents).collect::<Option<_>>()?;
        PackSet::alone(documents(base)?).ok()?.with(local.concat()).ok()
    }
}

/// The texts of a pack in force, read again.
fn texts(pack: &Pack) -> Option<Vec<Document>> {
    pack.sources.iter().map(|source| Document::read(source.name(), source.file_bytes()).ok()).collect()
}

fn text(document: &Document, key: &str) -> Option<String> {
    let document::Entry { node, .. } = document.root().entry(key)?;
    match &node.value {
        Content::Text(text) | Content::Number(text) => Some(text.to_string()),
        _ => None,
    }
}
