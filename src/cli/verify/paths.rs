//! Which files a command means: those that are named, and all of a kind in folders that are named.

use std::path::{Path, PathBuf};

use fillward::desk::Storage as _;
use fillward::desk::world::{Listing, LookIn};

use super::super::failure::Failure;
use super::super::files::DiskFiles;

/// How the names of records and packs end.
pub(crate) const RECORD: &str = ".yaml";

/// Whether a file that is not called as records are may be one: `job.yml`, `JOB.YAML`, `job.yaml.txt`.
pub(crate) fn may_be_a_record(path: &Path) -> bool {
    let name = path.to_string_lossy().to_ascii_lowercase();
    [".yaml", ".yml"].iter().any(|ending| name.contains(ending))
}

/// The records that are named, and what lies in the folders that are named.
///
/// # Errors
/// As [`expanded`].
pub(crate) fn records(paths: &[PathBuf]) -> Result<(Vec<PathBuf>, Listing), Failure> {
    let (folders, named): (Vec<PathBuf>, Vec<PathBuf>) = paths.iter().cloned().partition(|path| path.is_dir());
    Ok((named, found(&folders, RECORD)?))
}

/// The files that are named, and those in the folders that are named.
///
/// # Errors
/// A folder that cannot be read, or has no such file.
pub(crate) fn expanded(paths: &[PathBuf], ending: &str) -> Result<Vec<PathBuf>, Failure> {
    Ok(found(paths, ending)?.documents)
}

/// The same, with what else the folders hold.
///
/// # Errors
/// As [`expanded`].
pub(crate) fn found(paths: &[PathBuf], ending: &str) -> Result<Listing, Failure> {
    let mut found = Listing::default();
    for path in paths {
        let Listing { documents, links, others } = DiskFiles.list(LookIn::Within(path), ending)?;
        if documents.is_empty() && links.is_empty() {
            return Err(Failure::usage(
                format!("the folder `{}` has no file that ends in `{ending}`", path.display()),
                "give the files by their names, or the folder that they are kept in",
            ));
        }
        found.documents.extend(documents);
        found.links.extend(links);
        found.others.extend(others);
    }
    Ok(found)
}
