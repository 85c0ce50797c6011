//! Cards of tyres whose mark says another tyre than their facts: one of the two was changed or copied, and the need of
//! the chart is for the other.
//!
//! A mark need not say anything; where it has a size, that is the card's, and a number or a letter behind it is its
//! strength. This module must not know where in the record the facts of a card go.

use super::nodes::{said_at, scalar};
use crate::document::{Code, Fault, Node, Span};
use crate::tyre::{Designation, load_range};
use crate::vocabulary::shown;

/// The fault of a card of a tyre that contradicts its own mark.
pub(super) fn other_tyre(mark: &str, own: Span, facts: &Node) -> Option<Fault> {
    let words: Vec<&str> = mark.split([' ', ',']).filter(|word| !word.is_empty()).collect();
    // Two digits are no size, though a short one would be read as one.
    let parsed = |word: &&str| word.contains(['-', 'R', '/', 'x']).then(|| Designation::parse(word).ok()).flatten();
    let (at, size) = words.iter().enumerate().find_map(|(at, word)| Some((at, parsed(word)?)))?;
    let refuse = |node: &Node, what: &str| {
        let text = scalar(node).unwrap_or_default();
        Fault::new(Code::RecordImpossibleValue, format!("the card `{}` has {what} `{}`", shown(mark), shown(text)))
            .label(node.span, "this one")
            .label(own, "its mark says another")
            .help("read the sidewall again, and correct the card, or its mark, so that both say the tyre that is there")
    };
    let written = said_at(facts, "size");
    if let Some((node, Ok(of_card))) = written.and_then(|node| Some((node, Designation::parse(scalar(node)?)))) {
        let same = size.names().any(|name| of_card.names().any(|other| name.same_numbers(other)));
        if !same {
            return Some(refuse(node, "the size"));
        }
    }
    let strength = words.get(at + 1)?;
    let of_mark = strength.trim_end_matches(['P', 'R', 'p', 'r', 'l', 'y']).parse::<u8>().ok();
    if let Some(node) = said_at(facts, "ply_rating") {
        let of_card = scalar(node).and_then(|text| text.trim().parse::<u8>().ok());
        if of_mark.zip(of_card).is_some_and(|(mark, card)| mark % 2 == 0 && mark != card) {
            return Some(refuse(node, "the ply rating"));
        }
    }
    let node = said_at(facts, "load_range")?;
    let plies = |letter: &str| load_range::ply_rating(letter).ok();
    let apart = plies(strength).zip(scalar(node).and_then(plies)).is_some_and(|(mark, card)| mark != card);
    apart.then(|| refuse(node, "the load range"))
}
