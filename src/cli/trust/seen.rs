//! The highest version of a trust file that each owner's key was seen on, remembered beside the file, so that an older
//! version is noticed when somebody puts it back.
//!
//! It is no secret and is not signed: whoever can write it can also remove it, and is then no further than at the start.

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::fmt::Write as _;
use std::io;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

use fillward::checklist::jws::is_kid;
use fillward::document::Fault;

use crate::cli::failure::Failure;
use crate::cli::input;
use crate::cli::store::{self, Existing, Readers};

/// The first line of the file.
const FORMAT: &str = "fillward-trust-seen/1";
/// How often the file is tried while other commands are writing it.
const TRIES: u32 = 20;
/// Between two tries.
const PAUSE: Duration = Duration::from_millis(25);

/// What was read of it.
pub(super) struct Seen {
    path: PathBuf,
    /// The bytes, where the file is there.
    before: Option<Vec<u8>>,
    /// Versions by the thumbprints of owners' keys.
    versions: BTreeMap<String, i64>,
}

impl Seen {
    /// Reads what is remembered of the trust file at `trust`; nothing, where it was never opened.
    pub(super) fn beside(trust: &Path) -> Result<Self, Failure> {
        let mut name: OsString = trust.as_os_str().to_owned();
        name.push(".seen");
        let path = PathBuf::from(name);
        let before = match input::bytes(&path) {
            Ok(bytes) => Some(bytes),
            Err(Failure::Unreadable { why, .. }) if why.kind() == io::ErrorKind::NotFound => None,
            // Such as a trust file that comes through a pipe: there is no folder in which anything could be.
            Err(Failure::Unreadable { why, .. }) if why.kind() == io::ErrorKind::NotADirectory => None,
            Err(failure) => return Err(failure),
        };
        let versions = match &before {
            Some(bytes) => parse(bytes).ok_or_else(|| unsound(&path))?,
            None => BTreeMap::new(),
        };
        Ok(Self { path, before, versions })
    }

    /// The highest version seen with any of these keys; 0 where none was.
    pub(super) fn highest(&self, owners: &[String]) -> i64 {
        owners.iter().filter_map(|owner| self.versions.get(owner)).copied().max().unwrap_or(0)
    }

    /// Remembers a version for these keys.
    pub(super) fn note(mut self, owners: &[String], version: i64) -> Result<(), Failure> {
        let mut tries = 0;
        loop {
            let known = |owner: &String| self.versions.get(owner).is_some_and(|known| *known >= version);
            if owners.iter().all(known) {
                return Ok(());
            }
            for owner in owners {
                let slot = self.versions.entry(owner.clone()).or_insert(version);
                *slot = version.max(*slot);
            }
            let existing = self.before.as_deref().map_or(Existing::Keep, Existing::Replace);
            match store::write(&self.path, print(&self.versions).as_bytes(), existing, Readers::Usual) {
                // Another command is at it; what it wrote is taken in.
                Err(Failure::Locked { .. } | Failure::ChangedMeanwhile { .. } | Failure::Exists { .. })
                    if tries < TRIES =>
                {
                    tries += 1;
                    thread::sleep(PAUSE);
                    let trust = self.path.with_extension("");
                    self = Self::beside(&trust)?;
                }
                done => return done,
            }
        }
    }
}

fn print(versions: &BTreeMap<String, i64>) -> String {
    let mut text = format!("{FORMAT}\n");
    for (owner, version) in versions {
        let _ = writeln!(text, "{owner} {version}");
    }
    text
}

/// Takes the file only as it is written here.
fn parse(bytes: &[u8]) -> Option<BTreeMap<String, i64>> {
    let text = str::from_utf8(bytes).ok()?;
    let mut versions = BTreeMap::new();
    for line in text.lines().skip(1) {
        let (owner, version) = line.split_once(' ')?;
        let version: i64 = version.parse().ok()?;
        if !is_kid(owner) || version < 1 {
            return None;
        }
        versions.insert(owner.to_owned(), version);
    }
    (print(&versions) == text).then_some(versions)
}

fn unsound(path: &Path) -> Failure {
    let name = path.display().to_string();
    let name = fillward::checklist::canonical::shown(&name).into_owned();
    Fault::new("cli/trust-seen", format!("`{name}` is not as it was written: which version is the latest is not known"))
        .help("compare the version of the trust file with its owner's word, then remove that file")
        .into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_was_written_is_read() {
        let kid = "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k";
        let versions = BTreeMap::from([(kid.to_owned(), 7)]);
        let good = print(&versions);
        assert_eq!(parse(good.as_bytes()), Some(versions));
        assert_eq!(parse(format!("{FORMAT}\n").as_bytes()), Some(BTreeMap::new()));
        for bad in [
            String::new(),
            good.replace(" 7", " 07"),
            good.replace(" 7", " 0"),
            good.replace(" 7", " seven"),
            good.replace('k', "!"),
            good.replace("/1", "/2"),
            good.trim_end().to_owned(),
            format!("{good}{kid} 8\n"),
            good.replace('\n', "\r\n"),
        ] {
            assert_eq!(parse(bad.as_bytes()), None, "{bad:?}");
        }
        assert_eq!(parse(b"\xff"), None);
    }
}
