//! The lines of a shop file behind which nothing stands.
//!
//! They are no fault of the file: what is not known is left empty. Must not know records or rules.

use super::nodes::{entries, items, mark_of, said, scalar};
use super::sections::{PLACES, SECTIONS};
use super::sheets::{DAYS, ROUNDS};
use super::{Shop, is_blank};
use crate::document::{Content, Node, Span};

/// A value that an entry of a shop file has a line for and does not say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftEmpty {
    /// The word for the entry.
    pub one: &'static str,
    /// The mark of the entry.
    pub mark: String,
    /// The dotted place in the entry.
    pub place: String,
    /// Where its key stands.
    pub span: Span,
}

impl Shop {
    /// Every line of an entry that somebody has begun behind which nothing stands: a job that needs it is held.
    pub fn left_empty(&self) -> Vec<LeftEmpty> {
        let mut found = Vec::new();
        for section in SECTIONS {
            let begun = items(self.document().root(), section.key).iter().filter(|item| !is_blank(item));
            for (item, mark) in begun.filter_map(|item| Some((item, mark_of(item)?))) {
                empty_in(item, "", &mut |place, span| {
                    found.push(LeftEmpty { one: section.one, mark: mark.to_owned(), place, span });
                });
            }
        }
        let root = self.document().root();
        let rounds = items(root, ROUNDS).iter().filter_map(|round| Some(("round", mark_of(round)?, round)));
        // What an earlier sheet left empty is past.
        let days = items(root, DAYS).iter().filter_map(|sheet| Some((said(sheet, "day").and_then(scalar)?, sheet)));
        let last = days.clone().map(|(day, _)| day).max();
        let sheets = days.filter(|(day, _)| Some(*day) == last).map(|(day, sheet)| ("sheet", day, sheet));
        for (one, mark, item) in rounds.chain(sheets) {
            empty_in(item, "", &mut |place, span| {
                // A round that is good for all places, or a sheet whose round says the place, leaves it empty.
                if ![PLACES.one, "crew"].contains(&place.as_str()) {
                    found.push(LeftEmpty { one, mark: mark.to_owned(), place, span });
                }
            });
        }
        found
    }
}

/// Tells every place below a mapping that has a key and no value, but for the days from which or until which an entry
/// is good.
fn empty_in(node: &Node, above: &str, tell: &mut dyn FnMut(String, Span)) {
    for entry in entries(node).iter().filter(|entry| !["from", "until"].contains(&entry.key.as_str())) {
        let place = if above.is_empty() { entry.key.to_string() } else { format!("{above}.{}", entry.key) };
        if entry.node.value == Content::Null {
            tell(place, entry.key_span);
        } else {
            empty_in(&entry.node, &place, tell);
        }
    }
}
