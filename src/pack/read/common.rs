//! What several parts of a pack have: a source, and a day.
//!
//! Must not know which part it is of.

use super::PackReader;
use crate::document::{Code, Content, Node};
use crate::pack::{Citation, PackText};
use crate::units::Day;

/// The calendar day under a key.
pub(super) fn day(reader: &mut PackReader<'_>, node: &Node, key: &str) -> Option<Day> {
    let entry = node.entry(key)?;
    let Content::Text(text) = &entry.node.value else {
        reader.say(Code::PackNotADay, "a calendar day is expected here", entry.node.span, "write it like `2026-01-31`");
        return None;
    };
    match Day::parse(text) {
        Ok(day) => Some(day),
        Err(error) => {
            reader.say(Code::PackNotADay, error.to_string(), entry.node.span, error.help());
            None
        }
    }
}

/// Where a part comes from.
pub(super) fn citation(reader: &mut PackReader<'_>, node: &Node) -> Citation {
    let Some(entry) = node.entry("source") else {
        reader.say(
            Code::PackMissingPart,
            "this has no `source`",
            node.span,
            "say where it comes from; common practice without a published source is said so",
        );
        return Citation { kind: PackText::default(), cite: PackText::default(), note: None };
    };
    Citation {
        kind: reader.text(&entry.node, "kind"),
        cite: reader.text(&entry.node, "cite"),
        note: super::optional_text(&entry.node, "note"),
    }
}
