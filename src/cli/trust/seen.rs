//! The highest version of a trust file that each owner's key was seen on, which owners it had and how many of them it asked
//! for, remembered in the folder of the file, so that an older version is noticed when somebody puts it back, and a newer
//! one when fewer of the owners before have signed it than had to.
//!
//! It is kept by folder and owner's key and not by the file's name: an older version under another name, or behind a link,
//! is as old. What lies in another folder or on another machine is not covered; there a person gives the version.
//!
//! It is no secret and is not signed: whoever can write it can also remove it, and is then no further than at the start.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

use fillward::checklist::Reason;
use fillward::checklist::jws::is_kid;
use fillward::checklist::trust::{Pins, Trust};
use fillward::document::{Code, Fault};

use crate::cli::failure::Failure;
use crate::cli::input;
use crate::cli::store::{self, Existing, Readers};

/// The name of the file.
const NAME: &str = "fillward-trust.seen";
/// The first line of the file.
const FORMAT: &str = "fillward-trust-seen/4";
/// How often the file is tried while other commands are writing it.
const TRIES: u32 = 60;
/// Between two tries.
const PAUSE: Duration = Duration::from_millis(25);

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

/// What was read of it.
pub(super) struct Seen {
    /// Where it lies; `None` for a trust file that is none on a disk, such as a pipe.
    path: Option<PathBuf>,
    /// The bytes, where the file is there.
    before: Option<Vec<u8>>,
    /// By the thumbprints of owners' keys.
    marks: BTreeMap<String, Mark>,
}

impl Seen {
    /// Reads what is remembered in the folder where the trust file really lies, links followed; nothing, where none was
    /// ever opened there.
    pub(super) fn beside(trust: &Path) -> Result<Self, Failure> {
        let nothing = Self { path: None, before: None, marks: BTreeMap::new() };
        let folder = match fs::metadata(trust) {
            Ok(metadata) if !metadata.is_file() => return Ok(nothing),
            Ok(_) => fs::canonicalize(trust).map(|resolved| store::folder_of(&resolved).to_owned()),
            // It is still to be written, or the opening of it says what is wrong.
            Err(_) => fs::canonicalize(store::folder_of(trust)),
        };
        folder.map_or(Ok(nothing), |folder| Self::at(folder.join(NAME)))
    }

    fn at(path: PathBuf) -> Result<Self, Failure> {
        let before = match input::bytes(&path) {
            Ok(bytes) => Some(bytes),
            Err(Failure::Unreadable { why, .. }) if why.kind() == io::ErrorKind::NotFound => None,
            Err(failure) => return Err(failure),
        };
        let marks = match &before {
            Some(bytes) => parse(bytes).ok_or_else(|| unsound(&path))?,
            None => BTreeMap::new(),
        };
        Ok(Self { path: Some(path), before, marks })
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
    pub(super) fn note(mut self, owners: &[String], trust: &Trust) -> Result<(), Failure> {
        let Pins { needed, owners: known, least_version: version, .. } = trust.pins();
        let mark = Mark { version, needed, owners: known };
        let mut tries = 0;
        loop {
            // Another command may have seen a later version since this one looked.
            let least = self.latest(owners).least_version;
            if least > mark.version {
                return Err(Failure::Integrity(vec![Reason::TrustOlder { found: mark.version, least }]));
            }
            if owners.iter().all(|owner| self.marks.get(owner) == Some(&mark)) {
                return Ok(());
            }
            let Some(path) = self.path else { return Err(nowhere()) };
            self.marks.extend(owners.iter().map(|owner| (owner.clone(), mark.clone())));
            let existing = self.before.as_deref().map_or(Existing::Keep, Existing::Replace);
            match store::write(&path, print(&self.marks).as_bytes(), existing, Readers::Usual) {
                // Another command is at it; what it wrote is taken in.
                Err(Failure::Locked { .. } | Failure::ChangedMeanwhile { .. } | Failure::Exists { .. })
                    if tries < TRIES =>
                {
                    tries += 1;
                    thread::sleep(PAUSE);
                    self = Self::at(path)?;
                }
                done => return done,
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

fn nowhere() -> Failure {
    Failure::Usage {
        message: "the trust file is no file in a folder, so its version cannot be remembered".to_owned(),
        help: "give the trust file by its path, not through a pipe".to_owned(),
    }
}

fn unsound(path: &Path) -> Failure {
    let name = path.display().to_string();
    let name = fillward::checklist::canonical::shown(&name).into_owned();
    Fault::new(
        Code::CliTrustSeen,
        format!("`{name}` is not as it was written: which version is the latest is not known"),
    )
    .help("compare the version of the trust file with its owner's word, then remove that file")
    .into()
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
