//! What the number of a lot is made of. This module must not know what else is named.

use super::lists::{FOR_A_LOT, ON_LABELS};
use super::{Misnomer, NameOf, PlainWords, has_no_digit, is_numeral, plain_words};
use crate::vocabulary::names::{folded, states};

/// What to do with two lots of one side, as the end of a cure: each container has an expiry and a core of its own.
pub const ONE_LOT: &str = "write one lot, with the expiry and the core temperature of its own container; all containers of that lot count together in `on_hand`. For the tyres that are filled from the other lot make a second record, under the same number of the job; a tyre for which no lot is enough waits for more of one lot";

/// Whether a text lists lots: two parts at least that have a digit, and no word of a label but those for a lot. A lone day
/// behind a comma is none.
fn is_several_lots(text: &str) -> bool {
    let spaced = text.split_whitespace().map(|word| match folded(word).as_ref() {
        "+" | "&" | "/" | "and" | "und" | "et" | "y" | "plus" | "to" | "bis" => ";",
        _ => word,
    });
    let joined = spaced.collect::<Vec<_>>().join(" ");
    let is_lot = |part: &&str| {
        let words = plain_words(part);
        let says_more = words.iter().any(|word| ON_LABELS.contains(word) && !FOR_A_LOT.contains(&word));
        let is_day = words.len() == 3 && words.iter().all(is_numeral);
        !has_no_digit(part) && !says_more && !is_day
    };
    joined.split([',', ';']).filter(is_lot).nth(1).is_some()
}

/// So many letters and digits a lot has at least where its label speaks of more than the lot: `drum 2` is a drum. What
/// stands alone may be of a maker who counts from one.
const SHORTEST_BESIDE_LABELS: usize = 3;

/// Judges a text that is the number of a lot: `None` where it can be.
pub(super) fn misnomer(text: &str) -> Option<Misnomer> {
    if has_no_digit(text) {
        return Some(Misnomer::NoDigit);
    }
    if is_several_lots(text) {
        return Some(Misnomer::Lots);
    }
    if states::has_remark(text, |word| ON_LABELS.contains(word)) {
        return Some(Misnomer::Remark);
    }
    let all = PlainWords::of(text);
    let words: Vec<&str> = all.core(NameOf::Lot).collect();
    let years = |word: &&&str| word.len() == 4 && (word.starts_with("19") || word.starts_with("20"));
    let labelled = words.len() < all.0.len();
    let told: usize = words.iter().filter(|word| !(labelled && years(word))).map(|word| word.chars().count()).sum();
    let says_more = all.0.iter().any(|word| ON_LABELS.contains(word) && !FOR_A_LOT.contains(&word));
    if told < if says_more { SHORTEST_BESIDE_LABELS } else { 1 } {
        return Some(Misnomer::Short);
    }
    holds_a_place(text, &words).then_some(Misnomer::Placeholder)
}

/// Whether characters stand in for others: crosses or marks side by side, nothing but zeros behind a prefix, one digit
/// over and over, digits that only count beyond the third.
fn holds_a_place(text: &str, words: &[&str]) -> bool {
    let marks = ["##", "**", "__", "..", "--"].iter().any(|two| text.contains(two));
    let runs = |of: fn(char) -> bool| {
        words.iter().flat_map(move |word| word.split(move |c| !of(c))).filter(|run| !run.is_empty())
    };
    let crosses = runs(char::is_alphabetic).any(|run| run.len() > 1 && run.chars().all(|c| c == 'x'));
    let digits: String = runs(char::is_numeric).collect();
    let letters: String = runs(char::is_alphabetic).collect();
    let zeros = !digits.is_empty() && digits.chars().all(|c| c == '0');
    let repeated = digits.len() > 2 && digits.chars().all(|c| digits.starts_with(c));
    let counts = |text: &str, up: bool| {
        let bytes = text.as_bytes();
        let step = |pair: &[u8]| match pair {
            [one, two] if up => one.checked_add(1) == Some(*two),
            [one, two] => two.checked_add(1) == Some(*one),
            _ => false,
        };
        bytes.len() > 2 && bytes.windows(2).all(step)
    };
    let begins = digits.starts_with(['0', '1']);
    let counted = (counts(&digits, true) && begins || counts(&digits, false))
        && (letters.is_empty() && digits.len() > SHORTEST_BESIDE_LABELS
            || counts(&letters, true) && letters.starts_with('a'));
    marks || crosses || zeros || (repeated && letters.is_empty()) || counted
}
