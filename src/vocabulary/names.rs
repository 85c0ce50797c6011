//! Which texts name something, and which two would be taken for one another: one rule for every text that identifies, such
//! as a mark, a name, a lot or a job number.
//!
//! After Unicode Technical Standard 39, section 4 (confusable detection). This module must not know what is named.

mod kinds;
mod name_of;
mod nothing;
mod persons;
mod spot;
mod states;
mod words;

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::sync::LazyLock;

use unicode_normalization::UnicodeNormalization as _;
use unicode_security::confusable_detection::skeleton;

use super::{Unseen, is_blank, unseen_in_name};
use words::NameWords;

pub use kinds::{Misnomer, ONE_LOT, PlainWords, lifted_by_hand, misnomer, unfit_on_a_checklist};
pub use name_of::NameOf;
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
    /// It has a question mark: the person who wrote it was not sure.
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
    let two_blanks = text.as_bytes().windows(2).any(|two| two == b"  ");
    if text.starts_with(' ') || text.ends_with(' ') || two_blanks {
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

/// Whether a character says something where it stands in a name.
fn speaks(c: char) -> bool {
    c.is_ascii_alphanumeric() || c.is_alphanumeric() && !is_stroke(c) && unseen_in_name(c).is_none()
}

fn says_nothing(text: &str) -> bool {
    if is_blank(text) || !text.chars().any(speaks) {
        return true;
    }
    if text.len() > nothing::LONGEST {
        return false;
    }
    let words = split_words(&folded(text));
    let whole = words.whole();
    let all = |of: char| whole.chars().all(|c| c == of);
    // Crosses and zeros, and one letter over and over.
    let first = whole.chars().next();
    let typed = whole.len() > 3 && first.is_some_and(|first| first.is_alphabetic() && all(first));
    if all('x') || all('0') || typed {
        return true;
    }
    if nothing::is_abbreviation(text) || nothing::is_nothing(&words) {
        return true;
    }
    // Written with letters that only look like these, it says as little.
    !text.is_ascii() && {
        let shape = shape(whole);
        shape.chars().all(|c| c == 'x') || SHAPES.contains(&shape)
    }
}

/// What says nothing, as it looks.
static SHAPES: LazyLock<BTreeSet<String>> = LazyLock::new(|| nothing::whole().map(shape).collect());

/// The text in small letters, one form for each letter, without accents.
fn folded(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        let small = !text.bytes().any(|byte| byte.is_ascii_uppercase());
        return if small { Cow::Borrowed(text) } else { Cow::Owned(text.to_ascii_lowercase()) };
    }
    let accent = |c: &char| matches!(c, '\u{300}'..='\u{36f}');
    Cow::Owned(text.nfkd().filter(|c| !accent(c)).nfc().flat_map(char::to_lowercase).collect())
}

/// The words of a text, without the marks inside them: `n/a` is one, `operator/helper` are two.
fn split_words(text: &str) -> NameWords {
    let parts = |c: char| {
        c.is_whitespace()
            || matches!(c, ',' | ';' | ':' | '&' | '+' | '_' | '(' | ')' | '[' | ']' | '-' | '\u{2010}'..='\u{2015}')
    };
    let mut words = NameWords::with_room(text.len());
    for chunk in text.split(parts) {
        let pieces = || chunk.split(['/', '.']).map(|piece| piece.chars().filter(|c| speaks(*c)));
        let apart = pieces().all(|piece| piece.take(2).count() != 1);
        for piece in pieces() {
            piece.for_each(|c| words.push(c));
            if apart {
                words.end();
            }
        }
        words.end();
    }
    words
}

/// How the letters of a text look: its skeleton by UTS 39, section 4.
fn shape(text: &str) -> String {
    if !text.is_ascii() {
        return skeleton(text).collect();
    }
    // The characters of ASCII that look like another one or like two, by the table of UTS 39 (confusables.txt). Nearly all
    // names are of ASCII alone, and need nothing of that table, which is long.
    let mut shape = String::with_capacity(text.len() + 4);
    for c in text.chars() {
        match c {
            '"' => shape.push_str("''"),
            '%' => shape.push_str("\u{b0}/\u{2080}"),
            '0' => shape.push('O'),
            '1' | 'I' | '|' => shape.push('l'),
            '`' => shape.push('\''),
            'm' => shape.push_str("rn"),
            plain => shape.push(plain),
        }
    }
    shape
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
    let plain: String = if name.is_ascii() {
        name.chars().map(|c| if c == '-' { ' ' } else { c.to_ascii_lowercase() }).collect()
    } else {
        name.nfc().map(plain).flat_map(char::to_lowercase).collect()
    };
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
    one == other || begin_alike(one, other) && plain_name(one) == plain_name(other)
}

/// Whether two marks are of the same words, whatever stands between those.
///
/// ```
/// use fillward::vocabulary::are_of_one_mark;
/// assert!(are_of_one_mark("loader 4, left front", "Loader 4 - left front"));
/// assert!(!are_of_one_mark("loader 4, left front", "loader 4, left rear"));
/// ```
pub fn are_of_one_mark(one: &str, other: &str) -> bool {
    spot::mark_words(one) == spot::mark_words(other)
}

/// Whether the first words of two texts are the same but for capitals, or one is not of ASCII alone: most texts that are
/// compared differ there, and nothing need be written out.
fn begin_alike(one: &str, other: &str) -> bool {
    let first = |text| str::split(text, |c: char| c == '-' || c.is_whitespace()).find(|word| !word.is_empty());
    let differ = |(one, other): (&str, &str)| !one.eq_ignore_ascii_case(other);
    !(one.is_ascii() && other.is_ascii() && first(one).zip(first(other)).is_some_and(differ))
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
