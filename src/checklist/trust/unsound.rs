//! What does not hold together in a trust file: each with its place in the body and its cure, so that the person who
//! wrote the file is shown the line. This module must not know files.

use serde_json::Value;

use crate::checklist::canonical::is_nfc;
use crate::checklist::reason::{Reason, TrustFlaw};
use crate::document::{Document, Fault, Path, Step};

/// One thing that does not hold together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unsound {
    /// Where in the body.
    pub at: Path,
    /// What.
    pub reason: Reason,
}

/// Everything that was found.
#[derive(Debug, Default)]
pub(super) struct Found(Vec<Unsound>);

impl Found {
    /// Something that does not hold together, or another reason.
    pub(super) fn say(&mut self, at: Path, reason: impl Into<Reason>) {
        self.0.push(Unsound { at, reason: reason.into() });
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(super) fn into_vec(self) -> Vec<Unsound> {
        self.0
    }
}

/// Sees that every text can stand in a signed file.
pub(super) fn texts(value: &Value, at: &Path, found: &mut Found) {
    match value {
        Value::String(text) if !is_nfc(text) => {
            found.say(at.clone(), TrustFlaw::NotNfc { text: text.clone() });
        }
        Value::Array(list) => {
            list.iter().enumerate().for_each(|(place, item)| texts(item, &at.child(place), found));
        }
        Value::Object(members) => {
            members.iter().for_each(|(name, value)| texts(value, &at.child(name.as_str()), found));
        }
        _ => {}
    }
}

/// A place in the body.
pub(super) fn place<const N: usize>(steps: [Step; N]) -> Path {
    steps.into_iter().collect()
}

/// A person's place in the body, or that of something of theirs.
pub(super) fn of_person<const N: usize>(person: usize, more: [Step; N]) -> Path {
    ["people".into(), person.into()].into_iter().chain(more).collect()
}

/// An approval's place in the body, or that of something of it.
pub(super) fn of_pack<const N: usize>(pack: usize, more: [Step; N]) -> Path {
    ["packs".into(), pack.into()].into_iter().chain(more).collect()
}

/// A reason as the fault of a place in a document.
pub fn fault(document: &Document, at: &Path, reason: &Reason) -> Fault {
    Fault::new(reason.code(), reason.to_string())
        .label(document.locate(at).span, "here")
        .help(reason.help())
        .in_source(document.source())
}
