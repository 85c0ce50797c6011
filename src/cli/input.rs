//! Files and the clock.

use std::fs::File;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use fillward::document::{Document, limits::MAX_BYTES};
use fillward::engine::Scene;
use fillward::pack::PackSet;
use fillward::record::{self, Job};
use fillward::units::Instant;

use super::failure::Failure;

/// Reads a document with both readers.
pub(crate) fn document(path: &Path) -> Result<Document, Failure> {
    Ok(Document::read(&path.to_string_lossy(), &bytes(path)?)?)
}

/// Reads a file. It is not taken in further than a document may be long.
pub(crate) fn bytes(path: &Path) -> Result<Vec<u8>, Failure> {
    let unreadable = |why| Failure::Unreadable { path: path.to_owned(), why };
    let file = File::open(path).map_err(unreadable)?;
    let length = file.metadata().map_err(unreadable)?.len();
    if length > MAX_BYTES as u64 {
        return Err(Failure::TooLong { path: path.to_owned(), length, most: MAX_BYTES });
    }
    let mut bytes = Vec::new();
    // One byte more than allowed, so that a file that grows, or a pipe, is still refused and not cut.
    file.take(MAX_BYTES as u64 + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() > MAX_BYTES {
        return Err(Failure::TooLong { path: path.to_owned(), length: bytes.len() as u64, most: MAX_BYTES });
    }
    Ok(bytes)
}

/// Reads a file that is text.
pub(crate) fn text(path: &Path) -> Result<String, Failure> {
    String::from_utf8(bytes(path)?).map_err(|error| Failure::Unreadable {
        path: path.to_owned(),
        why: std::io::Error::new(std::io::ErrorKind::InvalidData, error.utf8_error()),
    })
}

/// The base pack for judging, and the local packs in these files.
pub(crate) fn packs(paths: &[PathBuf]) -> Result<PackSet, Failure> {
    with_local(PackSet::base()?, paths)
}

/// The base pack with its examples, and the local packs in these files.
pub(crate) fn packs_with_examples(paths: &[PathBuf]) -> Result<PackSet, Failure> {
    with_local(PackSet::base_with_examples()?, paths)
}

fn with_local(base: PackSet, paths: &[PathBuf]) -> Result<PackSet, Failure> {
    if paths.is_empty() {
        return Ok(base);
    }
    let documents = paths.iter().map(|path| document(path)).collect::<Result<_, _>>()?;
    Ok(base.with(documents)?)
}

/// A record with the packs that judge it and the instant at which they do.
pub(crate) struct Case {
    pub(crate) packs: PackSet,
    pub(crate) document: Document,
    pub(crate) job: Job,
    pub(crate) at: Instant,
}

impl Case {
    /// Reads the packs and the record.
    pub(crate) fn read(record: &Path, local: &[PathBuf], at: Instant) -> Result<Self, Failure> {
        let packs = packs(local)?;
        let document = document(record)?;
        let job = record::read(&document, packs.catalogue())?;
        Ok(Self { packs, document, job, at })
    }

    /// The scene for judging it.
    pub(crate) fn scene(&self) -> Scene<'_> {
        Scene::new(&self.packs, &self.job, self.at)
    }
}

/// The instant given on the command line, or the clock's, with the machine's offset.
pub(crate) fn instant(given: Option<&str>) -> Result<Instant, Failure> {
    match given {
        Some(text) => Instant::parse(text)
            .map_err(|error| Failure::Usage { message: format!("--at: {error}"), help: error.help() }),
        None => Instant::parse(&jiff::ZonedDateTime::now().strftime("%Y-%m-%dT%H:%M:%S%:z").to_string())
            .map_err(|_| Failure::Clock),
    }
}
