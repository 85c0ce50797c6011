//! The part of a shop file that a record draws on, as a shop file of its own: the entries that were used, word for word.
//!
//! Whoever is handed it with the record can put the two together again and comes to the same long record, and sees nothing
//! of anybody else. This module must not know what the entries say.

use std::fmt::Write as _;

use super::nodes::{entries, items};
use super::{Shop, UsedEntry};
use crate::document::{Node, Source};

/// The keys of a shop file that are always kept.
const HEAD: [&str; 3] = ["shop", "name", "zone"];

/// A shop file with nothing but these entries.
pub(super) fn pruned(shop: &Shop, used: &[UsedEntry]) -> String {
    let (source, root) = (shop.document().source(), shop.document().root());
    let mut text = String::new();
    for entry in entries(root) {
        if HEAD.contains(&entry.key.as_str()) {
            let _ = writeln!(text, "{}: {}", entry.key, source.slice(entry.node.span));
            continue;
        }
        let list = items(root, &entry.key);
        let mut kept =
            used.iter().filter(|used| used.section == entry.key).filter_map(|used| list.get(used.index)).peekable();
        if kept.peek().is_some() {
            let _ = writeln!(text, "{}:", entry.key);
        }
        for item in kept {
            let _ = writeln!(text, "{:1$}- {2}", "", dash(source, item), source.slice(item.span));
        }
    }
    text
}

/// How far in the dash of an entry stands, so that its further lines keep their own indentation.
fn dash(source: &Source, item: &Node) -> usize {
    let (_, column) = source.line_and_column(item.span.start);
    let ahead = source.text().get(..item.span.start).unwrap_or_default();
    let before = ahead.rsplit('\n').next().unwrap_or_default();
    match column.checked_sub(3) {
        Some(dash) if before.trim() == "-" => dash,
        // An entry of a list in brackets has a line of its own in any place.
        _ => 2,
    }
}
