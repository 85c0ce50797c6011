//! The lines of a shop file behind which nothing stands.
//!
//! They are no fault of the file: what is not known is left empty. Must not know records or rules.

use super::nodes::{entries, items, mark_of, said, scalar};
use super::sections::{CREW, PLACES, SECTIONS};
use super::sheets::{DAYS, ROUNDS};
use super::{Shop, is_blank, routines};
use crate::document::{Content, Entry, Node, Span};

/// A value that a shop file has a line for and does not say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftEmpty {
    /// The entry whose value it is: its kind and its mark; `None` for a line of the file itself, a section among them of
    /// which no entry is filled in.
    pub of: Option<(&'static str, String)>,
    /// The dotted place in the entry, or in the file.
    pub place: String,
    /// Where its key stands.
    pub span: Span,
}

impl Shop {
    /// Every line behind which nothing stands, of the file itself and of what somebody has begun: a job that needs it
    /// is held.
    pub fn left_empty(&self) -> Vec<LeftEmpty> {
        let root = self.document().root();
        let is_empty = |entry: &&Entry| match &entry.node.value {
            Content::List(items) => items.iter().all(is_not_begun),
            value => *value == Content::Null,
        };
        let of_file = entries(root).iter().filter(is_empty);
        let mut found: Vec<LeftEmpty> =
            of_file.map(|entry| LeftEmpty { of: None, place: entry.key.to_string(), span: entry.key_span }).collect();
        let mut tell = |one: &'static str, mark: &str, item: &Node, may_be_empty: &[&str]| {
            empty_in(item, "", &mut |place, span| {
                if !may_be_empty.contains(&place.as_str()) {
                    found.push(LeftEmpty { of: Some((one, mark.to_owned())), place, span });
                }
            });
        };
        for section in SECTIONS {
            for item in items(root, section.key).iter().filter(|item| !is_not_begun(item)) {
                tell(section.one, mark_of(item).unwrap_or_default(), item, &[]);
            }
        }
        // Who did it is said where a rule asks for it.
        for row in items(root, routines::KEY).iter().filter(|row| !is_not_begun(row)) {
            tell("routine", said(row, "did").and_then(scalar).unwrap_or_default(), row, &["by"]);
        }
        let rounds: Vec<&Node> = items(root, ROUNDS).iter().filter(|round| !is_not_begun(round)).collect();
        for round in &rounds {
            // A round may be good for all places.
            tell("round", mark_of(round).unwrap_or_default(), round, &[PLACES.one]);
        }
        // What an earlier sheet left empty is past.
        let days = items(root, DAYS).iter().filter_map(|sheet| Some((said(sheet, "day").and_then(scalar)?, sheet)));
        let last = days.clone().map(|(day, _)| day).max();
        for (day, sheet) in days.filter(|(day, _)| Some(*day) == last) {
            // Its round says the place, it may be good for all places, and the only round of a shop needs no name.
            let round = if rounds.len() == 1 { "round.mark" } else { PLACES.one };
            tell("sheet", day, sheet, &[PLACES.one, CREW.key, round]);
        }
        found
    }
}

/// Whether nobody has written anything in an entry; which routine a row is for stands in the form.
pub(super) fn is_not_begun(item: &Node) -> bool {
    let did = |entry: &Entry| entry.key == "did" || is_blank(&entry.node);
    is_blank(item) || matches!(&item.value, Content::Map(entries) if entries.iter().all(did))
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
