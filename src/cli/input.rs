//! What commands take: documents by their paths, and instants.

use std::path::{Path, PathBuf};

use fillward::desk::{self, Case, Source};
use fillward::pack::PackSet;
use fillward::units::Instant;

use super::failure::Failure;
use super::files::DESK;

/// Takes a file in.
pub(crate) fn source(path: &Path) -> Result<Source, Failure> {
    Ok(DESK.fetch(path)?)
}

/// Takes files in.
pub(crate) fn sources(paths: &[PathBuf]) -> Result<Vec<Source>, Failure> {
    Ok(DESK.fetch_all(paths)?)
}

/// The base pack for judging, and the local packs in these files.
pub(crate) fn packs(paths: &[PathBuf]) -> Result<PackSet, Failure> {
    Ok(desk::packs(&sources(paths)?)?)
}

/// The base pack with its examples, and the local packs in these files.
pub(crate) fn packs_with_examples(paths: &[PathBuf]) -> Result<PackSet, Failure> {
    Ok(desk::packs_with_examples(&sources(paths)?)?)
}

/// A record with the packs that judge it, at the instant given or now.
pub(crate) fn case(record: &Path, local: &[PathBuf], given: Option<&str>) -> Result<Case, Failure> {
    let at = DESK.at(self::at(given)?)?;
    Ok(Case::new(&source(record)?, &sources(local)?, at)?)
}

/// The instant that was given with `--at`, if one was.
pub(crate) fn at(given: Option<&str>) -> Result<Option<Instant>, Failure> {
    given.map(|text| instant("--at", text)).transpose()
}

/// The instant that was given with a flag.
pub(crate) fn instant(flag: &str, text: &str) -> Result<Instant, Failure> {
    Instant::parse(text).map_err(|error| Failure::usage(format!("{flag}: {error}"), error.help()))
}
