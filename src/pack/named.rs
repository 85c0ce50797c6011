//! What a file of a pack says of its pack before it is read: its name and the pack that it amends, and in which order packs
//! are taken.
//!
//! Must not know rules or limits.

use crate::document::{Content, Document, Span};

/// Packs by their names, each behind those among them that it amends.
pub(super) fn in_order(mut groups: Vec<(String, Vec<Document>)>) -> Vec<(String, Vec<Document>)> {
    groups.sort_by(|(one, _), (other, _)| one.cmp(other));
    let mut ordered: Vec<(String, Vec<Document>)> = Vec::with_capacity(groups.len());
    while !groups.is_empty() {
        let waits = |(_, files): &(String, Vec<Document>)| {
            files.iter().filter_map(amended_name).any(|amended| groups.iter().any(|(name, _)| *name == amended))
        };
        // Packs that amend each other in a ring are refused when the first of them is added.
        let next = groups.iter().position(|group| !waits(group)).unwrap_or_default();
        ordered.push(groups.remove(next));
    }
    ordered
}

/// The name of the pack that a file says its pack amends.
pub(super) fn amended_name(document: &Document) -> Option<String> {
    match &document.root().entry("amends")?.node.entry("pack")?.node.value {
        Content::Text(text) => Some(text.to_string()),
        _ => None,
    }
}

/// The name that a file gives its pack; empty where it gives none.
pub(super) fn name_of(document: &Document) -> String {
    match document.root().entry("name").map(|entry| &entry.node.value) {
        Some(Content::Text(text)) => text.to_string(),
        _ => String::new(),
    }
}

/// Where a file names its pack; a fault of the whole pack is said there, not by quoting all of it.
pub(super) fn name_span(document: &Document) -> Span {
    document.root().entry("name").map_or(Span::empty(0), |entry| entry.node.span)
}
