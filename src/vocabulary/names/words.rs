//! Words of names, and the closed lists in which they are looked up.
//!
//! A process looks at a few dozen names. So the lists lie in the program as they are searched, and the words of a text
//! lie one behind the other in one string: where words are joined, nothing is copied. This module must not know what
//! words mean.

use std::ops::Range;

/// Words by the letters that are compared, in one text with a blank between each two, and where each lies in it.
pub(super) struct WordSet {
    text: &'static str,
    /// Begin and end of a word in the text, in bytes, at the place that its letters give or one of those behind it; both are
    /// nought where none lies. There are more places than words, as many as a power of two.
    places: &'static [(usize, usize)],
}

/// A set of words: `word_set!("one three two")`.
macro_rules! word_set {
    ($text:expr) => {{
        const TEXT: &str = $text;
        const PLACES: [(usize, usize); $crate::vocabulary::names::words::room(TEXT)] =
            $crate::vocabulary::names::words::places(TEXT);
        $crate::vocabulary::names::words::WordSet::new(TEXT, &PLACES)
    }};
}
pub(super) use word_set;

/// How many places the words of a text need.
pub(super) const fn room(text: &str) -> usize {
    let (mut rest, mut words) = (text.as_bytes(), 1_usize);
    while let [first, behind @ ..] = rest {
        if *first == b' ' {
            words += 1;
        }
        rest = behind;
    }
    (2 * words).next_power_of_two()
}

/// Where the words of a text lie; `N` is what [`room`] says.
#[expect(
    clippy::indexing_slicing,
    reason = "worked out when the program is compiled, where an error stops the compiler"
)]
pub(super) const fn places<const N: usize>(text: &str) -> [(usize, usize); N] {
    let bytes = text.as_bytes();
    let (mut places, mut start, mut at) = ([(0, 0); N], 0, 0);
    while at <= bytes.len() {
        if at == bytes.len() || bytes[at] == b' ' {
            let (_, word) = bytes.split_at(start);
            let (word, _) = word.split_at(at - start);
            let mut place = place_of(word) & (N - 1);
            while places[place].1 > 0 {
                place = (place + 1) & (N - 1);
            }
            places[place] = (start, at);
            start = at + 1;
        }
        at += 1;
    }
    places
}

/// The place that the letters of a word give: FNV-1a, by its authors' description (from memory).
const fn place_of(word: &[u8]) -> usize {
    let (mut rest, mut hash) = (word, 0x811c_9dc5_usize);
    while let [first, behind @ ..] = rest {
        hash = ((hash ^ *first as usize).wrapping_mul(0x0100_0193)) & 0xffff_ffff;
        rest = behind;
    }
    hash ^ (hash >> 15)
}

impl WordSet {
    pub(super) const fn new(text: &'static str, places: &'static [(usize, usize)]) -> Self {
        Self { text, places }
    }

    pub(super) fn contains(&self, word: &str) -> bool {
        let (text, last) = (self.text.as_bytes(), self.places.len().wrapping_sub(1));
        let mut place = place_of(word.as_bytes());
        // There is always a place where no word lies.
        while let Some((start, end)) = self.places.get(place & last).filter(|(_, end)| *end > 0) {
            if text.get(*start..*end) == Some(word.as_bytes()) {
                return true;
            }
            place = place.wrapping_add(1);
        }
        false
    }

    /// The words, as they stand in the text.
    pub(super) fn iter(&self) -> impl Iterator<Item = &'static str> {
        self.text.split(' ')
    }

    /// Whether the words stand in order, so that each stands there once, and all of them are found.
    #[cfg(test)]
    pub(super) fn is_in_order(&self) -> bool {
        let words: Vec<&str> = self.iter().collect();
        let found = |word: &&str| self.contains(word) && word.chars().all(char::is_alphanumeric) && !word.is_empty();
        words.is_sorted_by(|one, next| one < next) && words.iter().all(found)
    }
}

/// The words of a text, one behind the other without anything between them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct NameWords {
    text: String,
    /// Where each word ends, in bytes.
    ends: Vec<usize>,
}

impl NameWords {
    /// No words, with room for those of a text of so many bytes.
    pub(super) fn with_room(bytes: usize) -> Self {
        Self { text: String::with_capacity(bytes), ends: Vec::with_capacity(8) }
    }

    /// The words of a text, cut at whatever is neither letter nor digit.
    pub(super) fn plain(text: &str) -> Self {
        let mut words = Self::with_room(text.len());
        for c in text.chars() {
            if c.is_alphanumeric() { words.push(c) } else { words.end() }
        }
        words.end();
        words
    }

    /// Adds a character to the word at the end.
    pub(super) fn push(&mut self, c: char) {
        self.text.push(c);
    }

    /// Ends the word at the end, if it has a character.
    pub(super) fn end(&mut self) {
        if self.ends.last().copied().unwrap_or_default() < self.text.len() {
            self.ends.push(self.text.len());
        }
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.ends.len()
    }

    pub(super) fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// All of them, joined.
    pub(super) fn whole(&self) -> &str {
        &self.text
    }

    /// The word at this place; empty where there is none.
    pub(super) fn get(&self, at: usize) -> &str {
        self.joined(at..at + 1)
    }

    /// Those of the words that are there, joined.
    pub(super) fn joined(&self, words: Range<usize>) -> &str {
        let end = |before: usize| before.checked_sub(1).and_then(|at| self.ends.get(at)).copied();
        let start = if words.start == 0 { Some(0) } else { end(words.start) };
        start.zip(end(words.end)).and_then(|(start, end)| self.text.get(start..end)).unwrap_or_default()
    }

    /// The words in their order.
    pub(super) fn iter(&self) -> impl DoubleEndedIterator<Item = &str> + Clone + ExactSizeIterator {
        (0..self.len()).map(|at| self.get(at))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// The words of a text are those of the standard library's own cutting, however they are asked for.
        #[test]
        fn words_lie_as_they_stand_in_their_text(text in "[a-c0-9é ,/-]{0,24}") {
            let due: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
            let words = NameWords::plain(&text);
            prop_assert_eq!(words.iter().collect::<Vec<_>>(), due.clone());
            prop_assert_eq!(words.whole(), due.concat());
            prop_assert_eq!(words.get(due.len()), "");
            for start in 0..due.len() {
                for end in start..=due.len() {
                    prop_assert_eq!(words.joined(start..end), due[start..end].concat());
                }
            }
        }

        /// A list has its own words and no others: pieces of them, their neighbours, what is shorter or longer.
        #[test]
        fn a_list_has_its_own_words_alone(word in "[a-d]{0,3}") {
            static LIST: WordSet = word_set!("a ab abc b bd c cab d");
            static ONE: WordSet = word_set!("ab");
            prop_assert_eq!(LIST.contains(&word), LIST.iter().any(|own| own == word));
            prop_assert_eq!(ONE.contains(&word), word == "ab");
            prop_assert!(LIST.is_in_order() && ONE.is_in_order());
        }
    }
}
