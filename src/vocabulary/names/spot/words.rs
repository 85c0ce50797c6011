//! A mark taken apart into words, and the words that say a place wherever they stand.
//!
//! This module must not know what the words of a mark say together.

use std::sync::LazyLock;

use super::super::folded;
use super::{AXLES, NUMBERED, PlaceWord, WORDS};

/// The words of a mark in small letters without accents: `n/s/f` and `L.F.` are one each.
pub(in crate::vocabulary::names) fn mark_words(mark: &str) -> Vec<String> {
    let folded = folded(mark);
    let chunks = folded.split(|c: char| {
        c.is_whitespace() || matches!(c, ',' | ';' | ':' | '(' | ')' | '-' | '_' | '\u{2010}'..='\u{2015}')
    });
    let mut words = Vec::new();
    for chunk in chunks {
        if chunk.starts_with('#') {
            words.push("no".to_owned());
        }
        let pieces = || chunk.split(|c: char| !c.is_alphanumeric()).filter(|piece| !piece.is_empty());
        let is_letter = |piece: &str| {
            let mut letters = piece.chars();
            letters.next().is_some_and(char::is_alphabetic) && letters.next().is_none()
        };
        if pieces().all(is_letter) {
            let whole: String = pieces().collect();
            if !whole.is_empty() {
                apart(&whole, &mut words);
            }
        } else {
            pieces().for_each(|piece| apart(piece, &mut words));
        }
    }
    words
}

/// Adds a word; of two that are written in one, such as `vornelinks` or `axle2`, these two.
fn apart(word: &str, words: &mut Vec<String>) {
    let is_place = |text: &str| !plain_parts(text).is_empty();
    let two = if word.ends_with(|c: char| c.is_ascii_digit()) {
        let digits = |text: &&str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
        let number = |prefix: &&'static str| Some((*prefix, word.strip_prefix(*prefix).filter(digits)?));
        AXLES.iter().chain(NUMBERED).find_map(number)
    } else {
        // The shortest words of a place are not told from the letters of a name.
        let splits = word.char_indices().map(|(at, _)| word.split_at(at));
        let mut splits = splits.skip_while(|(one, _)| one.len() < 3).take_while(|(_, other)| other.len() > 2);
        splits.find(|(one, other)| is_place(one) && is_place(other) && !is_place(word))
    };
    match two {
        Some((one, other)) => words.extend([one, other].map(str::to_owned)),
        None => words.push(word.to_owned()),
    }
}

/// [`WORDS`] one by one in their order: every mark is looked through word by word.
static SORTED: LazyLock<Vec<(&str, &[PlaceWord])>> = LazyLock::new(|| {
    let mut sorted: Vec<_> = WORDS.iter().flat_map(|(words, parts)| words.iter().map(|word| (*word, *parts))).collect();
    sorted.sort_unstable_by_key(|(word, _)| *word);
    sorted
});

pub(super) fn plain_parts(word: &str) -> &'static [PlaceWord] {
    let found = SORTED.binary_search_by_key(&word, |(known, _)| *known).ok();
    found.and_then(|at| SORTED.get(at)).map_or(&[], |(_, parts)| parts)
}
