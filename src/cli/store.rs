//! Files that must be whole or not be there: written beside their place, synced, renamed, read back.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use super::failure::Failure;

/// What is to become of a file that is already there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Existing<'a> {
    /// It stays, and nothing is written.
    Keep,
    /// It is replaced, if its bytes are still these.
    Replace(&'a [u8]),
}

/// Who may read a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Readers {
    /// Whoever the machine lets.
    Usual,
    /// Its owner alone.
    Owner,
}

/// Sees that a new file can go to its place, before anybody is asked for anything.
pub(crate) fn vacant(path: &Path) -> Result<(), Failure> {
    // A link that leads nowhere is something that is there, too.
    if fs::symlink_metadata(path).is_ok() {
        return Err(Failure::Exists { path: path.to_owned() });
    }
    match fs::metadata(folder_of(path)) {
        Ok(folder) if folder.is_dir() => Ok(()),
        Ok(_) => Err(Failure::UnwritableFile { path: path.to_owned(), why: io::ErrorKind::NotADirectory.into() }),
        Err(why) => Err(Failure::UnwritableFile { path: path.to_owned(), why }),
    }
}

/// The folder that a path names its file in.
pub(crate) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Writes a file as a whole and reads it back. A crash or a full disk leaves what was there before.
pub(crate) fn write(path: &Path, bytes: &[u8], existing: Existing<'_>, readers: Readers) -> Result<(), Failure> {
    // Where a link is given, the file that it names is written: whoever goes there by another way sees the change too.
    let resolved = matches!(existing, Existing::Replace(_)).then(|| fs::canonicalize(path).ok()).flatten();
    let path = resolved.as_deref().unwrap_or(path);
    let _lock = Lock::take(path)?;
    let unwritable = |why| Failure::UnwritableFile { path: path.to_owned(), why };
    match (fs::read(path), existing) {
        (Ok(_), Existing::Keep) => return Err(Failure::Exists { path: path.to_owned() }),
        (Ok(now), Existing::Replace(before)) if now != before => {
            return Err(Failure::ChangedMeanwhile { path: path.to_owned() });
        }
        (Ok(_), Existing::Replace(_)) => {}
        (Err(error), Existing::Keep) if error.kind() == io::ErrorKind::NotFound => {}
        (Err(error), _) => return Err(unwritable(error)),
    }
    let folder = folder_of(path);
    let mut beside = tempfile::Builder::new().prefix(".fillward-").tempfile_in(folder).map_err(unwritable)?;
    restrict(beside.as_file(), readers).map_err(unwritable)?;
    beside.write_all(bytes).map_err(unwritable)?;
    beside.as_file().sync_all().map_err(unwritable)?;
    match existing {
        Existing::Keep => beside.persist_noclobber(path).map_err(|error| unwritable(error.error))?,
        Existing::Replace(_) => beside.persist(path).map_err(|error| unwritable(error.error))?,
    };
    sync_folder(folder).map_err(|why| Failure::NotKept { path: path.to_owned(), why })?;
    // The file is in its place: one that cannot be read back is not as it was written, either.
    match fs::read(path) {
        Ok(now) if now == bytes => Ok(()),
        _ => Err(Failure::NotAsWritten { path: path.to_owned() }),
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

#[cfg(unix)]
fn restrict(file: &File, readers: Readers) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    let mode = match readers {
        Readers::Owner => 0o600,
        Readers::Usual => 0o644,
    };
    file.set_permissions(fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn restrict(_file: &File, _readers: Readers) -> io::Result<()> {
    Ok(())
}

/// A file beside another one that says that somebody is writing it, and by its content which process.
struct Lock(PathBuf);

impl Lock {
    fn take(path: &Path) -> Result<Self, Failure> {
        let mut name = path.as_os_str().to_owned();
        name.push(".lock");
        let lock = PathBuf::from(name);
        match OpenOptions::new().write(true).create_new(true).open(&lock) {
            Ok(mut file) => {
                // Who reads a lock left behind can see whether its process is still there; a lock without it locks as well.
                let _ = writeln!(file, "{}", std::process::id());
                Ok(Self(lock))
            }
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Err(Failure::Locked { lock }),
            Err(why) => Err(Failure::UnwritableFile { path: path.to_owned(), why }),
        }
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // A lock that cannot be removed is named by the next writer, with the cure.
        let _ = fs::remove_file(&self.0);
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
}
