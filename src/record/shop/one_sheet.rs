//! Materials of one data sheet: whatever two of them state of it must be the same, or one of them was copied wrongly.
//!
//! Which of the two a record names would decide how long a tyre may still be filled on. Must not know facts.

use super::expand::SIDES;
use super::marks::Marks;
use super::nodes::{entries, is_equal, items, said, said_at, scalar};
use super::overlap;
use super::sections::{MATERIALS, MIX};
use crate::document::{Code, Fault, Node, Span};
use crate::vocabulary::names_one_thing;

/// The place of the sheet's title in an entry.
const TITLE: &str = "mix.sheet";
/// What of a side is no property of the material: the ratio may be given by weight and by volume, and prices change.
const OF_THE_ENTRY: &[&str] = &["parts", "parts_by_volume", "price", "price_for"];

/// A value at its place in an entry, such as `mix.pot_life`.
type OfSheet<'n> = (String, &'n Node);

impl Marks<'_> {
    /// Refuses two materials that name one data sheet and state it otherwise, once for each value.
    pub(super) fn one_sheet_says_one_thing(&mut self, root: &Node) {
        let materials = items(root, MATERIALS.key);
        for (index, entry) in materials.iter().enumerate() {
            let title = |entry| said_at(entry, TITLE).and_then(scalar);
            let twins = materials.iter().take(index).filter(|before| {
                let both = title(before).zip(title(entry));
                overlap(before, entry) && both.is_some_and(|(one, other)| names_one_thing(one, other))
            });
            for before in twins {
                let known = stated(before);
                for (place, node) in stated(entry) {
                    let other = known.iter().find(|(known, _)| *known == place).map(|(_, node)| *node);
                    if let Some(other) = other.filter(|other| !is_equal(other, node)) {
                        self.refuse(otherwise(title(entry).unwrap_or_default(), &place, (other.span, node.span)));
                    }
                }
            }
        }
    }
}

/// Everything that an entry states of its data sheet.
fn stated(entry: &Node) -> Vec<OfSheet<'_>> {
    let mut all = Vec::new();
    for group in SIDES.into_iter().chain([MIX]) {
        if let Some(node) = said(entry, group) {
            gather(node, group, &mut all);
        }
    }
    all
}

fn gather<'n>(node: &'n Node, place: &str, all: &mut Vec<OfSheet<'n>>) {
    for entry in entries(node).iter().filter(|entry| !OF_THE_ENTRY.contains(&entry.key.as_str())) {
        let place = format!("{place}.{}", entry.key);
        if !entries(&entry.node).is_empty() {
            gather(&entry.node, &place, all);
        } else if place != TITLE && said(node, &entry.key).is_some() {
            all.push((place, &entry.node));
        }
    }
}

fn otherwise(sheet: &str, place: &str, (first, second): (Span, Span)) -> Fault {
    Fault::new(Code::ShopSheetTwice, format!("two materials of the data sheet `{sheet}` state its `{place}` otherwise"))
        .label(second, "by this one")
        .label(first, "and by this one")
        .help("look it up in the data sheet and correct the one that is wrong; of two editions each has its own title")
}
