//! Where words that were typed are others than those on a paper.
//!
//! What stands there instead is told, and what should is not: whoever copied that would have compared nothing. Must not know
//! keys.

use std::fmt;

use super::words::{is_word, said};

/// The first thing in which words that were typed are not those that are due.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WordsDiffer {
    /// Another number of words.
    Count {
        /// How many there are.
        found: usize,
        /// How many are due.
        due: usize,
    },
    /// Something that is no word of this kind, and so a slip.
    NoWord {
        /// Which one, from 1.
        place: usize,
        /// What stands there.
        word: String,
    },
    /// Words of this kind, and not one of them in its place: they are of something else.
    All,
    /// Another word.
    Other {
        /// Which one, from 1.
        place: usize,
        /// What stands there.
        word: String,
    },
}

impl WordsDiffer {
    /// How many words are others, place by place.
    pub fn count(typed: &str, due: &str) -> usize {
        let (typed, due) = (said(typed), said(due));
        typed.iter().zip(&due).filter(|(word, due)| word != due).count() + typed.len().abs_diff(due.len())
    }

    /// Compares by what is heard; nothing where they are the same.
    pub fn between(typed: &str, due: &str) -> Option<Self> {
        let (typed, due) = (said(typed), said(due));
        if typed == due {
            return None;
        }
        let odd = typed.iter().position(|word| !is_word(word));
        if let Some((place, word)) = odd.and_then(|place| Some((place, typed.get(place)?))) {
            return Some(Self::NoWord { place: place + 1, word: word.clone() });
        }
        if typed.len() != due.len() {
            return Some(Self::Count { found: typed.len(), due: due.len() });
        }
        if !due.is_empty() && typed.iter().zip(&due).all(|(word, due)| word != due) {
            return Some(Self::All);
        }
        let first = typed.iter().zip(&due).position(|(word, due)| word != due)?;
        Some(Self::Other { place: first + 1, word: typed.get(first)?.clone() })
    }
}

impl fmt::Display for WordsDiffer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Count { found, due } => write!(f, "there are {found} words, and {due} are due"),
            Self::NoWord { place, word } => {
                write!(
                    f,
                    "number {place}, `{}`, is no such word: each is two syllables, such as `bazai`",
                    word.escape_default()
                )
            }
            Self::All => f.write_str("not one of them is the same, so they are those of another key or file"),
            Self::Other { place, word } => write!(f, "number {place}, `{word}`, is another word"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::words::digest_words;
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Whatever is typed instead, the first place that differs is told, and never what is due there.
        #[test]
        fn the_first_word_that_differs_is_told(due in "[0-9a-f]{64}", other in "[0-9a-f]{64}", place in 0_usize..8, slip in "[a-z]{1,6}") {
            let (due, other) = (digest_words(&due), digest_words(&other));
            prop_assert_eq!(WordsDiffer::between(&due.to_uppercase(), &due), None);
            let mut words: Vec<&str> = due.split(' ').collect();
            let put = other.split(' ').nth(place).unwrap();
            let right = words[place];
            prop_assume!(put != right && slip != right);
            words[place] = put;
            let found = WordsDiffer::between(&words.join(" "), &due);
            prop_assert_eq!(&found, &Some(WordsDiffer::Other { place: place + 1, word: put.to_owned() }));
            prop_assert!(!found.unwrap().to_string().contains(right));
            let short = words[..place].join(" ");
            prop_assert_eq!(WordsDiffer::between(&short, &due), Some(WordsDiffer::Count { found: place, due: 8 }));
            let elsewhere: Vec<&str> = other.split(' ').collect();
            let all_differ = elsewhere.iter().zip(due.split(' ')).all(|(word, due)| *word != due);
            prop_assert_eq!(WordsDiffer::between(&other, &due) == Some(WordsDiffer::All), all_differ);
            words[place] = &slip;
            let found = WordsDiffer::between(&words.join(" "), &due).unwrap();
            let due = if is_word(&slip) {
                WordsDiffer::Other { place: place + 1, word: slip.clone() }
            } else {
                WordsDiffer::NoWord { place: place + 1, word: slip.clone() }
            };
            prop_assert_eq!(found, due);
        }
    }
}
