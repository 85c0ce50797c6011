//! What a place of the record and a doubtful title are called.
//!
//! Must not know values or conditions.

use std::fmt::Write as _;

use crate::document::{Path, Step};
use crate::vocabulary::Subject;

/// The place of a fact as people name it: the number of its entry in a list, and its key, such as `assembly 1, rim.rating`.
pub(in crate::explain) fn path(of: &Path) -> String {
    let mut said = String::new();
    for step in of.steps() {
        match step {
            Step::Key(key) => {
                said.push_str(if said.is_empty() {
                    ""
                } else if said.ends_with(char::is_numeric) {
                    ", "
                } else {
                    "."
                });
                said.push_str(key);
            }
            Step::Index(index) => {
                let list = Subject::ALL.into_iter().find(|subject| subject.record_key() == Some(said.as_str()));
                match list {
                    Some(subject) => subject.word().clone_into(&mut said),
                    None => said.push_str(", entry"),
                }
                let _ = write!(said, " {}", index + 1);
            }
        }
    }
    said
}

/// A title behind a doubt, which opens a line with `Perhaps` and stands within one with `perhaps`: `perhaps the
/// material is too cold`.
pub(in crate::explain) fn perhaps(perhaps: &str, title: &str) -> String {
    let mut letters = title.chars();
    let (first, rest) = (letters.next(), letters.as_str());
    // A word in capitals, or one that is a name in itself, keeps its letter.
    match first.filter(|_| rest.starts_with(|c: char| c.is_lowercase() || c == ' ')) {
        Some(first) => format!("{perhaps} {}{rest}", first.to_lowercase()),
        None => format!("{perhaps}: {title}"),
    }
}
