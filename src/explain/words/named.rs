//! What a place of the record and a doubtful title are called.
//!
//! Must not know values or conditions.

use std::fmt::Write as _;

use crate::document::{Path, Step};
use crate::vocabulary::Subject;

/// The place of a fact as people name it: the number of its entry in a list, and its key, such as `assembly 1, rim.rating`.
pub(in crate::explain) fn path(of: &Path) -> String {
    let mut said = String::new();
    let (mut list, mut is_counted) = (None, false);
    for step in of.steps() {
        match step {
            Step::Key(key) => {
                list = Subject::ALL.into_iter().find(|subject| said.is_empty() && subject.record_key() == Some(&**key));
                said.push_str(match (said.is_empty(), is_counted) {
                    (true, _) => "",
                    (false, true) => ", ",
                    (false, false) => ".",
                });
                said.push_str(key);
                is_counted = false;
            }
            Step::Index(index) => {
                match list.take() {
                    Some(subject) => subject.word().clone_into(&mut said),
                    None => said.push_str(", entry"),
                }
                let _ = write!(said, " {}", index + 1);
                is_counted = true;
            }
        }
    }
    said
}

/// A title behind a doubt, as the pack writes it: `perhaps: The material is too cold`.
pub(in crate::explain) fn perhaps(title: &str) -> String {
    format!("perhaps: {title}")
}
