//! The world at the edge: files that are whole or not there, the machine's clock, its random bytes.

use std::env;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use fillward::desk::world::{Existing, Listing, LookIn, Randomness, Readers, Remembered, StoreFault, Trouble};
use fillward::desk::{Clock, Desk, Storage};
use fillward::document::limits::MAX_BYTES;
use fillward::units::Instant;

/// Under which name the state of an account has what is remembered of trust files.
const MEMORY: [&str; 2] = ["fillward", "trust-memory.json"];
/// Deeper than this no archive of a shop goes; a folder that links to itself ends there.
const DEEPEST: usize = 16;
/// How often a lock is tried while somebody else writes: a write takes a few milliseconds, and a second and a half is not
/// yet a hang.
const TRIES: u32 = 60;
/// Between two tries.
const PAUSE: Duration = Duration::from_millis(25);

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
        // Where a link is given, the file that it names is written: whoever goes there by another way sees the change too.
        let resolved = matches!(existing, Existing::Replace(_)).then(|| fs::canonicalize(path).ok()).flatten();
        let path = resolved.as_deref().unwrap_or(path);
        let _lock = Lock::take(path)?;
        match (fs::read(path), existing) {
            (Ok(_), Existing::Keep) => return Err(fault(path, Trouble::Exists)),
            (Ok(now), Existing::Replace(before)) if now != before => return Err(fault(path, Trouble::Changed)),
            (Ok(_), Existing::Replace(_)) => {}
            (Err(error), Existing::Keep) if error.kind() == io::ErrorKind::NotFound => {}
            (Err(error), _) => return Err(unwritable(path)(error)),
        }
        let folder = folder_of(path);
        let mut begun = tempfile::Builder::new();
        restrict(begun.prefix(".fillward-"), readers);
        let mut beside = begun.tempfile_in(folder).map_err(unwritable(path))?;
        beside.write_all(bytes).map_err(unwritable(path))?;
        beside.as_file().sync_all().map_err(unwritable(path))?;
        match existing {
            Existing::Keep => beside.persist_noclobber(path),
            Existing::Replace(_) => beside.persist(path),
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
        let written = self.write(&name, now, before.map_or(Existing::Keep, Existing::Replace), Readers::Owner);
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

/// Who may read a file that is begun: of what is for everybody the mask of the process decides, as for every program.
#[cfg(unix)]
fn restrict(begun: &mut tempfile::Builder<'_, '_>, readers: Readers) {
    use std::os::unix::fs::PermissionsExt as _;
    let mode = match readers {
        Readers::Owner => 0o600,
        Readers::Usual => 0o666,
    };
    begun.permissions(fs::Permissions::from_mode(mode));
}

#[cfg(not(unix))]
fn restrict(_begun: &mut tempfile::Builder<'_, '_>, _readers: Readers) {}

/// The right to write one file. The system holds the lock and lets go of it when the process ends, however it ends: an
/// empty file that a crash leaves beside the other locks nobody out, and the next writer clears it away.
///
/// The file itself cannot carry the lock, since a write puts another one in its place.
#[derive(Debug)]
struct Lock {
    path: PathBuf,
    _held: File,
}

impl Lock {
    fn take(path: &Path) -> Result<Self, StoreFault> {
        let mut name = path.as_os_str().to_owned();
        name.push(".lock");
        let lock = PathBuf::from(name);
        for _ in 0..TRIES {
            let open = OpenOptions::new().write(true).create(true).truncate(false).open(&lock);
            // One that another user left behind can be held without being written.
            let file = open.or_else(|why| File::open(&lock).map_err(|_| why)).map_err(unwritable(path))?;
            match file.try_lock() {
                Ok(()) if is_at(&file, &lock) => return Ok(Self { path: lock, _held: file }),
                // Whoever held it has cleared it away meanwhile; the next one is at its place.
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => thread::sleep(PAUSE),
                Err(TryLockError::Error(why)) => return Err(unwritable(path)(why)),
            }
        }
        Err(fault(&lock, Trouble::Busy))
    }
}

/// Whether a file that is open is the one at this path.
#[cfg(unix)]
fn is_at(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    match (file.metadata(), fs::metadata(path)) {
        (Ok(held), Ok(there)) => (held.dev(), held.ino()) == (there.dev(), there.ino()),
        _ => false,
    }
}

/// Other systems cannot say, so no lock is cleared away there.
#[cfg(not(unix))]
fn is_at(_file: &File, _path: &Path) -> bool {
    true
}

impl Drop for Lock {
    fn drop(&mut self) {
        // Cleared away while it is still held: whoever waits for it sees that it is gone. One that stays locks nobody out.
        if cfg!(unix) {
            let _ = fs::remove_file(&self.path);
        }
    }
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

    #[test]
    fn a_lock_keeps_others_out_and_leaves_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.json");
        let entries = || fs::read_dir(folder.path()).unwrap().count();
        let held = Lock::take(&path).unwrap();
        assert_eq!(Lock::take(&path).unwrap_err().what, Trouble::Busy);
        drop(held);
        assert_eq!(entries(), 0);
        // What a process that died left behind, and what another user left behind.
        fs::write(folder.path().join("job.json.lock"), "").unwrap();
        drop(Lock::take(&path).unwrap());
        assert_eq!(entries(), 0);
    }

    /// Whoever has opened a lock that is cleared away meanwhile does not hold the next one.
    #[test]
    fn a_lock_that_is_gone_is_none() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("x.lock");
        let old = File::create(&path).unwrap();
        assert!(is_at(&old, &path));
        fs::remove_file(&path).unwrap();
        assert!(!is_at(&old, &path));
        fs::write(&path, "").unwrap();
        let new = File::open(&path).unwrap();
        assert!(is_at(&new, &path) && !is_at(&old, &path));
    }
}
