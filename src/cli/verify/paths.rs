//! Which files a command means: those that are named, and all of a kind in folders that are named.

use std::fs;
use std::path::{Path, PathBuf};

use super::super::failure::Failure;

/// Deeper than this no archive of a shop goes; a folder that links to itself ends there.
const DEEPEST: usize = 16;

/// The files, those of a folder and the folders in it in the order of their names.
///
/// # Errors
/// A folder that cannot be read, or has no such file.
pub(super) fn expanded(paths: &[PathBuf], ending: &str) -> Result<Vec<PathBuf>, Failure> {
    let mut found = Vec::new();
    for path in paths {
        if !path.is_dir() {
            found.push(path.clone());
            continue;
        }
        let before = found.len();
        gather(path, ending, DEEPEST, &mut found)?;
        if found.len() == before {
            return Err(Failure::usage(
                format!("the folder `{}` has no file that ends in `{ending}`", path.display()),
                "give the files by their names, or the folder that they are kept in",
            ));
        }
    }
    Ok(found)
}

fn gather(folder: &Path, ending: &str, depth: usize, found: &mut Vec<PathBuf>) -> Result<(), Failure> {
    let unreadable = |error: std::io::Error| Failure::Unreadable { path: folder.to_owned(), why: error.to_string() };
    let entries = fs::read_dir(folder).map_err(unreadable)?;
    let mut entries: Vec<_> = entries.collect::<Result<_, _>>().map_err(unreadable)?;
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let path = entry.path();
        // What a link leads to is not in this folder.
        let kind = entry.file_type().map_err(unreadable)?;
        if kind.is_dir() && depth > 0 {
            gather(&path, ending, depth - 1, found)?;
        } else if kind.is_file() && entry.file_name().to_string_lossy().ends_with(ending) {
            found.push(path);
        }
    }
    Ok(())
}
