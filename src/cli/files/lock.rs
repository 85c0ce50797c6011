//! Locks, and files that are begun beside the one whose place they take: both are ours as long as a process holds them, and
//! nobody's once it is gone.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

use fillward::desk::world::{Readers, StoreFault, Trouble};
use tempfile::NamedTempFile;

use super::{fault, unwritable};

/// How often a lock is tried while somebody else writes: a write takes a few milliseconds, and a second and a half is not
/// yet a hang.
const TRIES: u32 = 60;
/// Between two tries.
const PAUSE: Duration = Duration::from_millis(25);
/// How the name of a file that is begun starts; as many letters and digits as this follow.
const BEGUN: (&str, usize) = (".fillward-", 6);

/// The right to write one file. The system holds the lock and lets go of it when the process ends, however it ends: an
/// empty file that a crash leaves beside the other locks nobody out, and the next writer clears it away. Anything else of
/// that name is somebody else's and stays.
///
/// The file itself cannot carry the lock, since a write puts another one in its place.
#[derive(Debug)]
pub(super) struct Lock {
    path: PathBuf,
    held: File,
}

impl Lock {
    pub(super) fn take(path: &Path) -> Result<Self, StoreFault> {
        let mut name = path.as_os_str().to_owned();
        name.push(".lock");
        let lock = PathBuf::from(name);
        for _ in 0..TRIES {
            let Some(file) = open(path, &lock)? else { continue };
            match file.try_lock() {
                Ok(()) if is_at(&file, &lock) => return Ok(Self { path: lock, held: file }),
                // The process that held it has cleared it away meanwhile; the next one is at its place.
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => thread::sleep(PAUSE),
                Err(TryLockError::Error(why)) => return Err(unwritable(path)(why)),
            }
        }
        Err(fault(&lock, Trouble::Busy))
    }
}

/// Opens the lock of a file, or makes it, without going through a link and without waiting; nothing where it has gone
/// meanwhile.
fn open(path: &Path, lock: &Path) -> Result<Option<File>, StoreFault> {
    match OpenOptions::new().write(true).create_new(true).open(lock) {
        Ok(file) => return Ok(Some(file)),
        Err(why) if why.kind() == io::ErrorKind::AlreadyExists => {}
        Err(why) => return Err(unwritable(path)(why)),
    }
    match fs::symlink_metadata(lock) {
        Ok(there) if !there.is_file() => return Err(fault(lock, Trouble::NotPlain)),
        Ok(there) if there.len() > 0 => return Err(fault(lock, Trouble::NotOurs)),
        Ok(_) => {}
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(why) => return Err(unwritable(path)(why)),
    }
    // One that another user left behind can be held without being written.
    let opened = OpenOptions::new().write(true).open(lock).or_else(|why| File::open(lock).map_err(|_| why));
    match opened {
        Ok(file) => Ok(Some(file)),
        Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(why) => Err(unwritable(path)(why)),
    }
}

/// Whether a file that is open is the one at this path.
#[cfg(unix)]
fn is_at(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    match (file.metadata(), fs::symlink_metadata(path)) {
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
        // Cleared away while it is still held: a process that waits for it sees that it is gone. One that stays locks
        // nobody out.
        if cfg!(unix) && is_at(&self.held, &self.path) {
            let _ = fs::remove_file(&self.path);
        }
    }
}

/// Begins a file in a folder, locked for as long as it is begun.
pub(super) fn begin(folder: &Path, readers: Readers) -> io::Result<NamedTempFile> {
    for _ in 0..TRIES {
        let mut builder = tempfile::Builder::new();
        restrict(builder.prefix(BEGUN.0).rand_bytes(BEGUN.1), readers);
        let begun = builder.tempfile_in(folder)?;
        match begun.as_file().try_lock() {
            Ok(()) if is_at(begun.as_file(), begun.path()) => return Ok(begun),
            // Somebody who clears the folder was here between the two.
            Ok(()) | Err(TryLockError::WouldBlock) => {}
            Err(TryLockError::Error(why)) => return Err(why),
        }
    }
    Err(io::ErrorKind::WouldBlock.into())
}

/// Clears away what processes that are gone had begun in a folder. One that is still at work holds its file.
pub(super) fn clear_begun(folder: &Path) {
    let is_begun = |name: &str| {
        name.strip_prefix(BEGUN.0)
            .is_some_and(|rest| rest.len() == BEGUN.1 && rest.bytes().all(|byte| byte.is_ascii_alphanumeric()))
    };
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let is_plain = entry.file_type().is_ok_and(|kind| kind.is_file());
        if !(cfg!(unix) && is_plain && entry.file_name().to_str().is_some_and(is_begun)) {
            continue;
        }
        let path = entry.path();
        if let Ok(file) = File::open(&path)
            && file.try_lock().is_ok()
            && is_at(&file, &path)
        {
            let _ = fs::remove_file(&path);
        }
    }
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

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).into_iter().flatten().flatten();
        let mut names: Vec<String> = entries.filter_map(|entry| entry.file_name().into_string().ok()).collect();
        names.sort();
        names
    }

    #[test]
    fn a_lock_keeps_others_out_and_leaves_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.json");
        let held = Lock::take(&path).unwrap();
        assert_eq!(Lock::take(&path).unwrap_err().what, Trouble::Busy);
        drop(held);
        assert_eq!(names(folder.path()), [""; 0]);
        // What a process that died left behind, and what another user left behind.
        fs::write(folder.path().join("job.json.lock"), "").unwrap();
        drop(Lock::take(&path).unwrap());
        assert_eq!(names(folder.path()), [""; 0]);
    }

    /// What is called like a lock and is none is refused at once, and stays as it is.
    #[test]
    fn what_is_no_lock_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let (path, lock) = (folder.path().join("job.json"), folder.path().join("job.json.lock"));
        fs::write(&lock, "somebody's notes").unwrap();
        assert_eq!(Lock::take(&path).unwrap_err().what, Trouble::NotOurs);
        assert_eq!(fs::read_to_string(&lock).unwrap(), "somebody's notes");
        fs::remove_file(&lock).unwrap();
        std::os::unix::fs::symlink(folder.path().join("elsewhere"), &lock).unwrap();
        assert_eq!(Lock::take(&path).unwrap_err().what, Trouble::NotPlain);
        assert_eq!(names(folder.path()), ["job.json.lock"], "nothing was made through the link");
        fs::remove_file(&lock).unwrap();
        fs::create_dir(&lock).unwrap();
        assert_eq!(Lock::take(&path).unwrap_err().what, Trouble::NotPlain);
        fs::remove_dir(&lock).unwrap();
        // A file that takes the place of the lock meanwhile is not cleared away with it.
        let held = Lock::take(&path).unwrap();
        fs::remove_file(&lock).unwrap();
        fs::write(&lock, "somebody's notes").unwrap();
        drop(held);
        assert_eq!(fs::read_to_string(&lock).unwrap(), "somebody's notes");
    }

    /// A process that has opened a lock that is cleared away meanwhile does not hold the next one.
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

    /// What was begun is cleared away once nobody is at work on it, and nothing else is.
    #[test]
    fn what_the_dead_had_begun_is_cleared_away() {
        let folder = tempfile::tempdir().unwrap();
        let begun = begin(folder.path(), Readers::Usual).unwrap();
        let own = begun.path().file_name().unwrap().to_str().unwrap().to_owned();
        for name in [".fillward-abc123", ".fillward-notes", ".fillward-abc12-", ".fillward-abc1234"] {
            fs::write(folder.path().join(name), "half").unwrap();
        }
        fs::create_dir(folder.path().join(".fillward-abcdef")).unwrap();
        std::os::unix::fs::symlink("elsewhere", folder.path().join(".fillward-linked")).unwrap();
        std::os::unix::fs::symlink("elsewhere", folder.path().join(".fillward-link12")).unwrap();
        clear_begun(folder.path());
        let mut due = vec![own, ".fillward-abcdef".into(), ".fillward-abc12-".into(), ".fillward-abc1234".into()];
        due.extend([".fillward-notes", ".fillward-linked", ".fillward-link12"].map(str::to_owned));
        due.sort();
        assert_eq!(names(folder.path()), due);
        drop(begun);
    }
}
