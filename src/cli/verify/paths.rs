//! Which files a command means: those that are named, and all of a kind in folders that are named.

use std::fs;
use std::path::{Path, PathBuf};

use super::super::failure::Failure;

/// Deeper than this no archive of a shop goes; a folder that links to itself ends there.
const DEEPEST: usize = 16;

/// How the names of checklists end.
pub(crate) const CHECKLIST: &str = ".checklist.json";
/// How the names of records and packs end.
pub(crate) const RECORD: &str = ".yaml";

/// What folders hold.
#[derive(Debug, Default)]
pub(crate) struct FoundPaths {
    /// The files that are meant, those of a folder and the folders in it in the order of their names.
    pub(crate) files: Vec<PathBuf>,
    /// Links that are called as such files are: what a link leads to is not in the folder.
    pub(crate) links: Vec<PathBuf>,
    /// Everything else, which nobody looks at.
    pub(crate) others: Vec<PathBuf>,
}

/// The files that are named, and those in the folders that are named.
///
/// # Errors
/// A folder that cannot be read, or has no such file.
pub(crate) fn expanded(paths: &[PathBuf], ending: &str) -> Result<Vec<PathBuf>, Failure> {
    Ok(found(paths, ending)?.files)
}

/// The same, with what else the folders hold.
///
/// # Errors
/// As [`expanded`].
pub(crate) fn found(paths: &[PathBuf], ending: &str) -> Result<FoundPaths, Failure> {
    let mut found = FoundPaths::default();
    for path in paths {
        if !path.is_dir() {
            found.files.push(path.clone());
            continue;
        }
        let before = (found.files.len(), found.links.len());
        gather(path, ending, DEEPEST, &mut found)?;
        if before == (found.files.len(), found.links.len()) {
            return Err(Failure::usage(
                format!("the folder `{}` has no file that ends in `{ending}`", path.display()),
                "give the files by their names, or the folder that they are kept in",
            ));
        }
    }
    Ok(found)
}

/// The files of a kind that lie in a folder itself; none where it cannot be read.
pub(crate) fn beside(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = FoundPaths::default();
    match gather(folder, ending, 0, &mut found) {
        Ok(()) => found.files,
        Err(_) => Vec::new(),
    }
}

fn gather(folder: &Path, ending: &str, depth: usize, found: &mut FoundPaths) -> Result<(), Failure> {
    let unreadable = |error: std::io::Error| Failure::Unreadable { path: folder.to_owned(), why: error.to_string() };
    let entries = fs::read_dir(folder).map_err(unreadable)?;
    let mut entries: Vec<_> = entries.collect::<Result<_, _>>().map_err(unreadable)?;
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let path = entry.path();
        let kind = entry.file_type().map_err(unreadable)?;
        // Whoever wants a file out of sight gives it capitals.
        let is_called = entry.file_name().to_string_lossy().to_ascii_lowercase().ends_with(ending);
        if kind.is_dir() && depth > 0 {
            gather(&path, ending, depth - 1, found)?;
        } else if kind.is_file() && is_called {
            found.files.push(path);
        } else if kind.is_symlink() && is_called {
            found.links.push(path);
        } else {
            found.others.push(path);
        }
    }
    Ok(())
}
