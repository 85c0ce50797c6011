//! The part of a shop file that a record draws on, as a shop file of its own: the entries that were used, word for word.
//!
//! Anyone who receives it with the record can put the two together again, gets the same long record, and sees nothing of
//! anybody else. This module must not know what the entries say.

use std::fmt::Write as _;

use super::nodes::{entries, items};
use super::{Shop, UsedEntry};
use crate::document::{Expected, Node, Piece, Source};

/// The keys of a shop file that are always kept.
const HEAD: [&str; 3] = ["shop", "name", "zone"];

/// A shop file with nothing but these entries, and the values that it is to be read as: each section by itself.
pub(super) fn pruned<'s>(shop: &'s Shop, used: &[UsedEntry]) -> (String, Vec<Piece<'s>>) {
    let (source, root) = (shop.document().source(), shop.document().root());
    let mut text = String::new();
    let mut pieces = Vec::new();
    for entry in entries(root) {
        let begun = text.len();
        let expected = if HEAD.contains(&entry.key.as_str()) {
            let _ = writeln!(text, "{}: {}", entry.key, source.slice(entry.node.span));
            Expected::Node(&entry.node)
        } else {
            let list = items(root, &entry.key);
            let of_section = used.iter().filter(|used| used.section == entry.key);
            let kept: Vec<&Node> = of_section.filter_map(|used| list.get(used.index)).collect();
            if kept.is_empty() {
                continue;
            }
            let _ = writeln!(text, "{}:", entry.key);
            for item in &kept {
                let _ = writeln!(text, "{:1$}- {2}", "", dash(source, item), source.slice(item.span));
            }
            Expected::List(kept)
        };
        pieces.push(Piece { bytes: begun..text.len(), expected: Expected::Map(vec![(&entry.key, expected)]) });
    }
    (text, pieces)
}

/// How far in the dash of an entry stands, so that its further lines keep their own indentation.
fn dash(source: &Source, item: &Node) -> usize {
    let ahead = source.text().get(..item.span.start).unwrap_or_default();
    let before = ahead.rsplit('\n').next().unwrap_or_default();
    match before.chars().count().checked_sub("- ".len()) {
        Some(dash) if before.trim() == "-" => dash,
        // An entry of a list in brackets has a line of its own in any place.
        _ => 2,
    }
}
