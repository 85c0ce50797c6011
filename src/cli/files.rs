//! The world at the edge: files that are whole or not there, the machine's clock, its random bytes.

mod lock;

use std::env;
use std::fs::{self, File};
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

use fillward::desk::world::{Existing, Listing, LookIn, Randomness, Readers, Remembered, StoreFault, Trouble};
use fillward::desk::{Clock, Desk, Storage};
use fillward::document::limits::MAX_BYTES;
use fillward::units::Instant;

use lock::Lock;

/// Under which name the state of an account has what is remembered of trust files.
const MEMORY: [&str; 2] = ["fillward", "trust-memory.json"];
/// Deeper than this no archive of a shop goes; a folder that links to itself ends there.
const DEEPEST: usize = 16;

/// The desk of the command line.
pub(crate) const DESK: Desk<'static> = Desk { storage: &DiskFiles, clock: &ThisMachine };

/// Documents are files. A name is a path.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DiskFiles;

/// The clock and the random bytes of this machine.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ThisMachine;

impl Clock for ThisMachine {
    fn now(&self) -> Option<Instant> {
        let since_1970 = SystemTime::now().duration_since(UNIX_EPOCH).ok()?;
        Instant::since_1970(i64::try_from(since_1970.as_secs()).ok()?)
    }
}

impl Randomness for ThisMachine {
    fn fill(&self, bytes: &mut [u8]) -> Result<(), String> {
        getrandom::fill(bytes).map_err(|why| why.to_string())
    }
}

/// The fault of one file.
fn fault(path: &Path, what: Trouble) -> StoreFault {
    StoreFault { name: path.to_owned(), what }
}

/// What the system says against reading a file.
pub(crate) fn unreadable(path: &Path) -> impl Fn(io::Error) -> StoreFault {
    |error| {
        let why = error.to_string();
        let missing = error.kind() == io::ErrorKind::NotFound;
        fault(path, if missing { Trouble::Missing { why } } else { Trouble::Unreadable { why } })
    }
}

/// What the system says against writing a file.
fn unwritable(path: &Path) -> impl Fn(io::Error) -> StoreFault {
    |error| fault(path, Trouble::Unwritable { why: error.to_string() })
}

impl Storage for DiskFiles {
    fn read(&self, path: &Path) -> Result<Vec<u8>, StoreFault> {
        let too_long = |length| fault(path, Trouble::TooLong { length, most: MAX_BYTES });
        let kind = fs::metadata(path).map_err(unreadable(path))?.file_type();
        // Of a folder the system says that it is one.
        if !(kind.is_file() || kind.is_dir() || is_handed_over(path)) {
            return Err(fault(path, Trouble::NotPlain));
        }
        let file = File::open(path).map_err(unreadable(path))?;
        let length = file.metadata().map_err(unreadable(path))?.len();
        if length > MAX_BYTES as u64 {
            return Err(too_long(length));
        }
        let mut bytes = Vec::with_capacity(usize::try_from(length).unwrap_or_default() + 1);
        // One byte more than allowed, so that a file that grows, or a pipe, is still refused and not cut.
        file.take(MAX_BYTES as u64 + 1).read_to_end(&mut bytes).map_err(unreadable(path))?;
        if bytes.len() > MAX_BYTES { Err(too_long(bytes.len() as u64)) } else { Ok(bytes) }
    }

    fn list(&self, place: LookIn<'_>, ending: &str) -> Result<Listing, StoreFault> {
        let mut found = Listing::default();
        match place {
            LookIn::Beside(path) => gather(folder_of(path), ending, 0, &mut found)?,
            LookIn::Within(path) if path.is_dir() => gather(path, ending, DEEPEST, &mut found)?,
            LookIn::Within(path) => found.documents.push(path.to_owned()),
        }
        Ok(found)
    }

    fn vacant(&self, path: &Path) -> Result<(), StoreFault> {
        // A link that leads nowhere is something that is there, too.
        if fs::symlink_metadata(path).is_ok() {
            return Err(fault(path, Trouble::Exists));
        }
        match fs::metadata(folder_of(path)) {
            Ok(folder) if folder.is_dir() => Ok(()),
            Ok(_) => Err(unwritable(path)(io::ErrorKind::NotADirectory.into())),
            Err(why) => Err(unwritable(path)(why)),
        }
    }

    fn write(&self, path: &Path, bytes: &[u8], existing: Existing<'_>, readers: Readers) -> Result<(), StoreFault> {
        let resolved = matches!(existing, Existing::Replace(_)).then(|| fs::canonicalize(path).ok()).flatten();
        let path = resolved.as_deref().unwrap_or(path);
        let _lock = Lock::take(path)?;
        let old = match (fs::symlink_metadata(path), existing) {
            (Ok(there), Existing::Replace(_) | Existing::Own(_)) if !there.is_file() => {
                return Err(fault(path, Trouble::NotPlain));
            }
            (Ok(_), Existing::Keep | Existing::Own(None)) => return Err(fault(path, Trouble::Exists)),
            (Ok(there), Existing::Replace(before) | Existing::Own(Some(before))) => {
                if fs::read(path).map_err(unwritable(path))? != before {
                    return Err(fault(path, Trouble::Changed));
                }
                Some(there)
            }
            (Err(error), Existing::Keep | Existing::Own(None)) if error.kind() == io::ErrorKind::NotFound => None,
            (Err(error), _) => return Err(unwritable(path)(error)),
        };
        let folder = folder_of(path);
        lock::clear_begun(folder);
        let mut beside = lock::begin(folder, readers).map_err(unwritable(path))?;
        if let Some(old) = &old {
            keep_readers(beside.as_file(), old, readers).map_err(unwritable(path))?;
        }
        beside.write_all(bytes).map_err(unwritable(path))?;
        beside.as_file().sync_all().map_err(unwritable(path))?;
        // What is put in place of another file takes its name, and never goes where a link leads.
        match old {
            None => beside.persist_noclobber(path),
            Some(_) => beside.persist(path),
        }
        .map_err(|error| unwritable(path)(error.error))?;
        sync_folder(folder).map_err(|why| fault(path, Trouble::NotKept { why: why.to_string() }))?;
        // The file is in its place: one that cannot be read back is not as it was written, either.
        match fs::read(path) {
            Ok(now) if now == bytes => Ok(()),
            _ => Err(fault(path, Trouble::NotAsWritten)),
        }
    }

    fn remove(&self, path: &Path) -> Result<(), StoreFault> {
        fs::remove_file(path).map_err(unwritable(path))
    }

    #[cfg(unix)]
    fn is_open_to_others(&self, path: &Path) -> bool {
        use std::os::unix::fs::PermissionsExt as _;
        fs::metadata(path).is_ok_and(|metadata| metadata.permissions().mode() & 0o077 != 0)
    }

    #[cfg(not(unix))]
    fn is_open_to_others(&self, _path: &Path) -> bool {
        false
    }

    fn recall(&self) -> Result<Remembered, StoreFault> {
        let name = memory()?;
        let bytes = self.read_if_there(&name)?;
        Ok(Remembered { name, bytes })
    }

    fn remember(&self, before: Option<&[u8]>, now: &[u8]) -> Result<(), StoreFault> {
        let name = memory()?;
        make_folder(folder_of(&name)).map_err(unwritable(&name))?;
        let written = self.write(&name, now, Existing::Own(before), Readers::Owner);
        written.map_err(|StoreFault { name, what }| match what {
            // That it is there already is news of another command, too.
            Trouble::Exists => fault(&name, Trouble::Changed),
            what => StoreFault { name, what },
        })
    }
}

/// Adds what lies in a folder, and in the folders in it down to a depth.
fn gather(folder: &Path, ending: &str, depth: usize, found: &mut Listing) -> Result<(), StoreFault> {
    let entries = fs::read_dir(folder).map_err(unreadable(folder))?;
    let mut entries: Vec<_> = entries.collect::<Result<_, _>>().map_err(unreadable(folder))?;
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let path = entry.path();
        let kind = entry.file_type().map_err(unreadable(folder))?;
        let is_called = entry.file_name().to_string_lossy().to_ascii_lowercase().ends_with(ending);
        if kind.is_dir() && depth > 0 {
            gather(&path, ending, depth - 1, found)?;
        } else if kind.is_file() && is_called {
            found.documents.push(path);
        } else if kind.is_symlink() && is_called {
            found.links.push(path);
        } else {
            found.others.push(path);
        }
    }
    Ok(())
}

/// The file that remembers, in the folder where this account keeps the state of its programs (XDG Base Directory
/// Specification 0.8: `XDG_STATE_HOME`, or `.local/state` in the home; on Windows the account's own application data). A
/// path that is not whole is none, after that specification, since it would name another place in every folder.
fn memory() -> Result<PathBuf, StoreFault> {
    let whole = |name: &str| env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
    let state = whole("XDG_STATE_HOME")
        .or_else(|| Some(whole("HOME")?.join(".local").join("state")))
        .or_else(|| whole("LOCALAPPDATA"));
    let file: PathBuf = MEMORY.iter().collect();
    state.map(|state| state.join(&file)).ok_or_else(|| fault(&file, Trouble::Nowhere))
}

/// Makes a folder of the account, with those above it, for its person alone.
fn make_folder(folder: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.recursive(true).create(folder)
}

/// The folder that a path names its file in.
fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Sees that a rename in the folder outlasts a crash too.
#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

/// Other systems do not let a folder be opened for this; they keep a rename by themselves.
#[cfg(not(unix))]
fn sync_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}

/// What stands open for this process was handed over by what started it, and may be a pipe.
fn is_handed_over(path: &Path) -> bool {
    ["/dev/stdin", "/dev/fd", "/proc/self/fd"].iter().any(|open| path.starts_with(open))
}

/// Who could read and write a file that is replaced, can do so with the one in its place: it keeps owner, group and mode, as
/// far as the system lets it; a file for its owner alone stays one.
#[cfg(unix)]
fn keep_readers(new: &File, old: &fs::Metadata, readers: Readers) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _, fchown};
    let mode = match readers {
        Readers::Owner => 0o600,
        Readers::Usual => old.mode() & 0o777,
    };
    let now = new.metadata()?;
    let alike = (now.uid(), now.gid()) == (old.uid(), old.gid());
    let group_kept =
        alike || fchown(new, Some(old.uid()), Some(old.gid())).is_ok() || fchown(new, None, Some(old.gid())).is_ok();
    // In another group nobody may do more than everybody might.
    let mode = if group_kept { mode } else { mode & 0o707 | ((mode >> 3) & mode & 0o007) << 3 };
    new.set_permissions(fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn keep_readers(_new: &File, _old: &fs::Metadata, _readers: Readers) -> io::Result<()> {
    Ok(())
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn a_folder_that_cannot_be_synced_is_an_error() {
        let folder = tempfile::tempdir().unwrap();
        assert!(sync_folder(folder.path()).is_ok());
        // The system's own folder of processes lies on no disk, and says that it cannot be synced.
        assert!(sync_folder(Path::new("/proc")).is_err());
        assert!(sync_folder(&folder.path().join("gone")).is_err());
    }
}
