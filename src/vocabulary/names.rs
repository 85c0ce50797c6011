//! Which texts name something, and which two would be taken for one another: one rule for every text that identifies, such
//! as a mark, a name, a lot or a job number.
//!
//! After Unicode Technical Standard 39, section 4 (confusable detection). This module must not know what is named.

mod kinds;
mod nothing;
mod persons;
mod spot;
mod states;

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::sync::LazyLock;

use unicode_normalization::UnicodeNormalization as _;
use unicode_security::confusable_detection::skeleton;

use super::{Unseen, is_blank, unseen_in_name};

pub use kinds::{Misnomer, NameOf, ONE_LOT, PlainWords, lifted_by_hand, misnomer};
pub use persons::{may_be_one, may_name, may_name_house};
pub use spot::TyrePlace;

/// Why a text does not name anything that a person could tell from another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NameFault {
    /// It is blank, has neither letter nor digit, or is what people write where they know nothing, or will not say.
    SaysNothing,
    /// It holds a character that nobody sees, or that breaks the line.
    Unseen(char, Unseen),
    /// It begins or ends with a blank, or has two together.
    Blanks,
    /// It has a question mark: whoever wrote it was not sure.
    Guessed,
    /// A word of it has letters of two alphabets that look alike.
    TwoAlphabets,
}

impl NameFault {
    /// What is wrong, as the end of a sentence that begins with the text.
    pub const fn description(self) -> &'static str {
        match self {
            Self::SaysNothing => "says nothing",
            Self::Unseen(..) => "has a character that cannot be seen",
            Self::Blanks => "has spaces that nobody sees",
            Self::Guessed => "is a guess",
            Self::TwoAlphabets => "has a word of two alphabets",
        }
    }
}

/// Letters that print as a dash or a dot and are no sign of speech by themselves: the tatweel, the long-vowel marks of
/// Japanese, the modifier letters that are marks.
const fn is_stroke(c: char) -> bool {
    matches!(c, '\u{640}' | '\u{7fa}' | '\u{30fc}' | '\u{ff70}' | '\u{2b0}'..='\u{2ff}' | '\u{a788}')
}

/// Judges a text that identifies something: `None` where it does.
///
/// ```
/// use fillward::vocabulary::{NameFault, name_fault};
/// assert_eq!(name_fault("loader 4, left front"), None);
/// assert_eq!(name_fault("n. a."), Some(NameFault::SaysNothing));
/// assert_eq!(name_fault(" G-2"), Some(NameFault::Blanks));
/// ```
pub fn name_fault(text: &str) -> Option<NameFault> {
    if says_nothing(text) {
        return Some(NameFault::SaysNothing);
    }
    if let Some((c, why)) = text.chars().find_map(|c| unseen_in_name(c).map(|why| (c, why))) {
        return Some(NameFault::Unseen(c, why));
    }
    let blanks = text.starts_with(' ') || text.ends_with(' ') || text.contains("  ");
    if blanks {
        return Some(NameFault::Blanks);
    }
    if text.contains(['?', '\u{bf}', '\u{ff1f}', '\u{61f}', '\u{37e}']) {
        return Some(NameFault::Guessed);
    }
    has_a_word_of_two_alphabets(text).then_some(NameFault::TwoAlphabets)
}

/// The alphabets whose capitals look alike; of each the blocks of the Unicode Standard in which its letters stand. Nobody
/// writes a word with letters of two of them, and a lot that has one such letter is never found again by its print.
const LOOK_ALIKE: [&[std::ops::RangeInclusive<char>]; 6] = [
    // Latin, but for the signs that other alphabets share with it.
    &[
        'A'..='Z',
        'a'..='z',
        '\u{c0}'..='\u{24f}',
        '\u{1e00}'..='\u{1eff}',
        '\u{2c60}'..='\u{2c7f}',
        '\u{a722}'..='\u{a787}',
        '\u{ff21}'..='\u{ff5a}',
    ],
    &['\u{370}'..='\u{3ff}', '\u{1f00}'..='\u{1fff}'],
    &['\u{400}'..='\u{52f}', '\u{1c80}'..='\u{1c8f}', '\u{a640}'..='\u{a69f}'],
    &['\u{530}'..='\u{58f}'],
    &['\u{13a0}'..='\u{13ff}', '\u{ab70}'..='\u{abbf}'],
    &['\u{2c80}'..='\u{2cff}'],
];

/// Whether a word has letters of two alphabets that look alike (UTS 39, section 5.1: mixed scripts; here of those alphabets
/// alone, since a mark such as `A区` is an honest one).
fn has_a_word_of_two_alphabets(text: &str) -> bool {
    let alphabet = |c: char| LOOK_ALIKE.iter().position(|blocks| blocks.iter().any(|block| block.contains(&c)));
    !text.is_ascii()
        && text.split(|c: char| !c.is_alphanumeric()).any(|word| {
            let mut alphabets = word.chars().filter(|c| c.is_alphabetic()).filter_map(alphabet);
            alphabets.next().is_some_and(|first| alphabets.any(|other| other != first))
        })
}

fn says_nothing(text: &str) -> bool {
    let speaks = |c: &char| c.is_alphanumeric() && !is_stroke(*c) && unseen_in_name(*c).is_none();
    if is_blank(text) || !text.chars().any(|c| speaks(&c)) {
        return true;
    }
    if text.len() > nothing::LONGEST {
        return false;
    }
    let folded = folded(text);
    let words: Vec<String> = split_words(&folded, speaks).filter(|word| !word.is_empty()).collect();
    let plain: Vec<&str> = words.iter().map(String::as_str).collect();
    let whole = plain.concat();
    let all = |of: fn(char) -> bool| whole.chars().all(of);
    // Crosses and zeros, and one letter over and over.
    let typed = |whole: &str| {
        let first = whole.chars().next();
        whole.len() > 3 && first.is_some_and(char::is_alphabetic) && whole.chars().all(|c| Some(c) == first)
    };
    if all(|c| c == 'x') || all(|c| c == '0') || typed(&whole) {
        return true;
    }
    if nothing::is_abbreviation(text) || nothing::is_nothing(&plain) {
        return true;
    }
    // Written with letters that only look like these, it says as little.
    !text.is_ascii() && {
        let shape = shape(&whole);
        shape.chars().all(|c| c == 'x') || SHAPES.contains(&shape)
    }
}

/// What says nothing, as it looks.
static SHAPES: LazyLock<BTreeSet<String>> = LazyLock::new(|| nothing::whole().map(shape).collect());

/// The text in small letters, one form for each letter, without accents.
fn folded(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        return Cow::Owned(text.to_ascii_lowercase());
    }
    let accent = |c: &char| matches!(c, '\u{300}'..='\u{36f}');
    Cow::Owned(text.nfkd().filter(|c| !accent(c)).nfc().flat_map(char::to_lowercase).collect())
}

/// The words of a text, without the marks inside them: `n/a` is one, `operator/helper` are two.
fn split_words<'t>(text: &'t str, speaks: impl Fn(&char) -> bool + Copy + 't) -> impl Iterator<Item = String> + 't {
    let parts = |c: char| {
        c.is_whitespace()
            || matches!(c, ',' | ';' | ':' | '&' | '+' | '_' | '(' | ')' | '[' | ']' | '-' | '\u{2010}'..='\u{2015}')
    };
    text.split(parts).flat_map(move |chunk| {
        let plain = move |text: &str| text.chars().filter(speaks).collect::<String>();
        let pieces: Vec<String> = chunk.split(['/', '.']).map(plain).filter(|piece| !piece.is_empty()).collect();
        if pieces.iter().all(|piece| piece.chars().count() > 1) { pieces } else { vec![pieces.concat()] }
    })
}

fn shape(text: &str) -> String {
    skeleton(text).collect()
}

/// A name without what people write one way or another and mean nothing by: capitals, the quotes and dashes that a word
/// processor makes of those of the keyboard, and a hyphen where others leave a space.
pub fn plain_name(name: &str) -> Cow<'_, str> {
    let is_plain = |c: char| c.is_ascii() && !c.is_ascii_uppercase() && c != '-';
    if name.chars().all(is_plain) {
        return Cow::Borrowed(name);
    }
    let plain = |c: char| match c {
        '\u{2018}'..='\u{201b}' | '\u{2bc}' => '\'',
        '\u{201c}'..='\u{201f}' => '"',
        '-' | '\u{2010}'..='\u{2015}' => ' ',
        other => other,
    };
    let plain: String = name.nfc().map(plain).flat_map(char::to_lowercase).collect();
    Cow::Owned(plain.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// Whether two texts name one thing. Two entries that differ only so are never told apart, so nothing is confused by it;
/// letters that merely look alike are no such difference, since two lots may differ by them.
///
/// ```
/// use fillward::vocabulary::names_one_thing;
/// assert!(names_one_thing("Firm 55", "firm-55") && names_one_thing("O\u{2019}Neil", "O'Neil"));
/// assert!(!names_one_thing("lot 0", "lot O"));
/// ```
pub fn names_one_thing(one: &str, other: &str) -> bool {
    one == other || plain_name(one) == plain_name(other)
}

/// How a name looks, to tell whether two would be taken for one another: in small letters, and as it is written, since
/// letters look alike in one case and not in the other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Look([String; 2]);

impl Look {
    /// The look of a name.
    pub fn of(name: &str) -> Self {
        let is_gap = |c: char| c.is_whitespace() || matches!(c, '-' | '\u{2010}'..='\u{2015}');
        let words: Vec<&str> = name.split(is_gap).filter(|word| !word.is_empty()).collect();
        let name = words.join(" ");
        Self([shape(&name.to_lowercase()), shape(&name).to_lowercase()])
    }

    /// Whether two names would be taken for one another: by ear, on a worn label, or because their letters print alike.
    pub fn is_like(&self, other: &Self) -> bool {
        let Self([one, two]) = self;
        *one == other.0[0] || *two == other.0[1]
    }
}

#[cfg(test)]
mod tests;
