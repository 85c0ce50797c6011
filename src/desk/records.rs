//! The records that an act is given: by name, or with the folder that they lie in.
//!
//! Must not know which of them is that of a checklist.

use std::path::PathBuf;

use super::world::NamedBytes;
use crate::checklist::verify::{Given, Present};
use crate::vocabulary::FileSort;

/// The records as they stand now. What lies in a folder and says itself that it is something else, such as a shop file, is
/// no record.
pub(super) fn present(named: &[NamedBytes], found: &[NamedBytes]) -> Vec<Present> {
    let of = |given| move |record: &NamedBytes| Present::of(&record.label(), record.bytes.clone(), given);
    let found = found.iter().filter(|file| may_be_a_record(file)).map(of(Given::InFolder));
    named.iter().map(of(Given::ByName)).chain(found).collect()
}

/// What of that which lies in a folder may be a record and is of no job that anybody can tell: it was not looked at.
pub fn of_no_job(found: &[NamedBytes]) -> Vec<PathBuf> {
    left_aside(&present(&[], found))
}

/// The same of records that have been read.
pub(super) fn left_aside(records: &[Present]) -> Vec<PathBuf> {
    records.iter().filter(|record| record.is_left_aside()).map(|record| PathBuf::from(&record.name)).collect()
}

fn may_be_a_record(file: &NamedBytes) -> bool {
    matches!(FileSort::told_by(&file.bytes), None | Some(FileSort::Record))
}
