//! The highest version of a trust file that each owner's key was seen on, which owners it had and how many of them it asked
//! for, remembered in the storage, so that an older version is noticed when somebody puts it back, and a newer one when
//! fewer of the owners before have signed it than had to.
//!
//! It is kept by owner's key and not by the file's name: an older version under another name is as old. Where it is kept,
//! and for whom, is a matter of the storage, which compares before it writes; what the bytes say is known here alone.
//!
//! It is no secret and is not signed: whoever can write it can also remove it, and is then no further than at the start.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

use crate::checklist::Reason;
use crate::checklist::jws::is_kid;
use crate::checklist::trust::{Pins, Trust};
use crate::desk::Refusal;
use crate::desk::world::{Remembered, Storage, StoreFault, Trouble};

/// The first line.
const FORMAT: &str = "fillward-trust-seen/4";
/// How often other acts may be faster before this one gives up: more than a shop has people.
const TRIES: u32 = 60;

/// What is remembered of the trust files that were signed with one owner's key.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Mark {
    /// The highest version.
    version: i64,
    /// How many owners that version asks for. A version that asks for fewer, or has other owners, has been signed by as many
    /// owners of the one before as that asked for, or it would not have been taken; so both may change with it.
    needed: usize,
    /// The thumbprints of its owners' keys, in order, one list for each owner. Were only the number of owners known, one
    /// could make up another; were only their keys known, one with two keys could give the second to somebody invented.
    owners: Vec<Vec<String>>,
}

/// What was recalled.
pub(super) struct Seen<'a> {
    storage: &'a dyn Storage,
    trust: &'a Path,
    /// The bytes, where there are any.
    before: Option<Vec<u8>>,
    /// By the thumbprints of owners' keys.
    marks: BTreeMap<String, Mark>,
}

impl<'a> Seen<'a> {
    /// Recalls what is remembered of the trust files kept under this name.
    pub(super) fn of(storage: &'a dyn Storage, trust: &'a Path) -> Result<Self, Refusal> {
        let Remembered { name, bytes: before } = storage.recall(trust)?;
        let marks = match &before {
            Some(bytes) => parse(bytes).ok_or(Refusal::Memory { name })?,
            None => BTreeMap::new(),
        };
        Ok(Self { storage, trust, before, marks })
    }

    /// What a trust file is held against by the highest version seen with any of these keys, or with another key while one
    /// of these was an owner's too; nothing, where none was.
    pub(super) fn latest(&self, owners: &[String]) -> Pins {
        let given = |kid: &String| owners.contains(kid);
        let marks = self.marks.iter().filter(|(kid, mark)| given(kid) || mark.owners.iter().flatten().any(given));
        marks.map(|(_, mark)| mark).max_by_key(|mark| (mark.version, mark.needed)).map_or_else(Pins::default, |mark| {
            Pins { owners: mark.owners.clone(), needed: mark.needed, least_version: mark.version, ..Pins::default() }
        })
    }

    /// Remembers a trust file for these keys.
    pub(super) fn note(mut self, owners: &[String], trust: &Trust) -> Result<(), Refusal> {
        let Pins { needed, owners: known, least_version: version, .. } = trust.pins();
        let mark = Mark { version, needed, owners: known };
        let mut tries = 0;
        loop {
            // Another act may have seen a later version since this one looked.
            let least = self.latest(owners).least_version;
            if least > mark.version {
                return Err(Reason::TrustOlder { found: mark.version, least }.into());
            }
            if owners.iter().all(|owner| self.marks.get(owner) == Some(&mark)) {
                return Ok(());
            }
            self.marks.extend(owners.iter().map(|owner| (owner.clone(), mark.clone())));
            match self.storage.remember(self.trust, self.before.as_deref(), print(&self.marks).as_bytes()) {
                // Another act was faster; what it remembered is taken in.
                Err(StoreFault { what: Trouble::Changed, .. }) if tries < TRIES => {
                    tries += 1;
                    self = Self::of(self.storage, self.trust)?;
                }
                done => return Ok(done?),
            }
        }
    }
}

fn print(marks: &BTreeMap<String, Mark>) -> String {
    let mut text = format!("{FORMAT}\n");
    for (owner, Mark { version, needed, owners }) in marks {
        let _ = writeln!(
            text,
            "{owner} {version} {needed} {}",
            owners.iter().map(|held| held.join("+")).collect::<Vec<_>>().join(",")
        );
    }
    text
}

/// Takes the file only as it is written here.
fn parse(bytes: &[u8]) -> Option<BTreeMap<String, Mark>> {
    let text = str::from_utf8(bytes).ok()?;
    let mut marks = BTreeMap::new();
    for line in text.lines().skip(1) {
        let (owner, numbers) = line.split_once(' ')?;
        let (version, numbers) = numbers.split_once(' ')?;
        let (needed, owners) = numbers.split_once(' ')?;
        let owners = owners.split(',').map(|held| held.split('+').map(str::to_owned).collect()).collect();
        let mark = Mark { version: version.parse().ok()?, needed: needed.parse().ok()?, owners };
        if !is_kid(owner)
            || mark.version < 1
            || mark.needed < 1
            || !mark.owners.iter().flatten().all(|owner| is_kid(owner))
        {
            return None;
        }
        marks.insert(owner.to_owned(), mark);
    }
    (print(&marks) == text).then_some(marks)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_was_written_is_read() {
        let kid = "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k";
        let marks = BTreeMap::from([(
            kid.to_owned(),
            Mark { version: 7, needed: 2, owners: vec![vec![kid.to_owned(); 2], vec![kid.to_owned()]] },
        )]);
        let good = print(&marks);
        assert_eq!(parse(good.as_bytes()), Some(marks));
        assert_eq!(parse(format!("{FORMAT}\n").as_bytes()), Some(BTreeMap::new()));
        for bad in [
            String::new(),
            good.replace(" 7", " 07"),
            good.replace(" 7", " 0"),
            good.replace(" 7", " seven"),
            good.replace(" 2", ""),
            good.replace(" 2", " 0"),
            good.replace(" 2", " +2"),
            good.replace(" 2", " 2 "),
            good.replace(',', ", "),
            good.replace(',', ",,"),
            good.replace('k', "!"),
            good.replace("/4", "/3"),
            good.trim_end().to_owned(),
            format!("{good}{kid} 8 1 {kid}\n"),
            good.replace('\n', "\r\n"),
        ] {
            assert_eq!(parse(bad.as_bytes()), None, "{bad:?}");
        }
        assert_eq!(parse(b"\xff"), None);
    }
}
