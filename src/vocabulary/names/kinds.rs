//! What the name of a person, of a lot and the like is made of, where that says more than that it names something.
//!
//! Laws of form come first, since lists of words never end: a lot and a job have a digit; a person's name has none, and is
//! written with capitals where its script has them, but for particles; a name says more than what kind of thing it names,
//! and more than another text of the same record. The lists are closed ones: particles of names, words on labels, words for
//! the kind itself; all of them are from memory. This module must not know records.

mod documents;
mod lists;
mod lots;
mod outsiders;

use std::fmt;

use super::name_of::NameOf;
use super::words::NameWords;
use super::{folded, nothing, states};
pub use lots::ONE_LOT;

use lists::{
    AFTER_NAMES, BETWEEN_PEOPLE, CHILD_OF, COPIES, FAMILIES_OF_FORMS, KINDS_OF_INSTRUMENT, KINDS_OF_JOB,
    KINDS_OF_PLACE, KINDS_OF_PUMP, KINDS_OF_SITE, KINDS_OF_TYRE, NAMES_AS_WELL, NO_GEAR, NO_SIGNS_OF_PERSONS,
    OF_NOBODY, ON_LABELS, PARTICLES, POINTS, WHICH_JOB,
};

/// Why a text cannot be the name of such a thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Misnomer {
    /// A sign that no such name has.
    Sign(char),
    /// More than one person.
    Several,
    /// More than one lot.
    Lots,
    /// A word in small letters that is no particle of a name.
    Small,
    /// No digit in it.
    NoDigit,
    /// Fewer letters and digits than tell one from another.
    Short,
    /// Digits or letters that hold the place of others.
    Placeholder,
    /// Nothing but words for the kind of thing.
    Kind,
    /// What only points at something.
    Pointing,
    /// A word that tells of a state, and of a fault most often.
    State(String),
    /// One of two, or what nobody is sure of.
    Guess,
    /// Any place, or what is still to be found.
    Open,
    /// Words that belong to no number of a lot.
    Remark,
    /// A house, a part of one, a trade or a shift, and no person.
    House,
    /// More characters than what is said beside it leaves room for.
    Long,
    /// A sign at which who reads a page of it sees two.
    InTwo,
}

impl fmt::Display for Misnomer {
    /// As the end of a sentence that begins with the text.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sign(sign) => write!(f, "has a `{sign}`"),
            Self::Several => f.write_str("is more than one person"),
            Self::Lots => f.write_str("is more than one lot"),
            Self::Small => f.write_str("has a word in small letters that belongs to no name"),
            Self::NoDigit => f.write_str("has no digit"),
            Self::Short => f.write_str("is too short to tell one from another"),
            Self::Placeholder => f.write_str("only holds a place"),
            Self::Kind => f.write_str("says only what kind of thing it is"),
            Self::Pointing => f.write_str("only points at something"),
            Self::State(word) => write!(f, "tells of a state by `{word}`"),
            Self::Guess => f.write_str("is a guess"),
            Self::Open => f.write_str("leaves open which one"),
            Self::Remark => f.write_str("has words that belong to no number"),
            Self::House => f.write_str("is an office, a shift or a firm"),
            Self::Long => write!(f, "is longer than {LONGEST} characters"),
            Self::InTwo => f.write_str("has a semicolon, so that it reads as two"),
        }
    }
}

/// Characters of a mark of a tyre or of a job number. They say which machine, which place on it and which order; a
/// longer text would push what is said beside it off a page.
const LONGEST: usize = 80;

/// Why a text cannot stand for one tyre or one job wherever a checklist is read, also by who reads the plain file.
pub fn unfit_on_a_checklist(text: &str) -> Option<Misnomer> {
    if text.chars().count() > LONGEST {
        return Some(Misnomer::Long);
    }
    text.contains([';', '\u{37e}', '\u{61b}', '\u{ff1b}']).then_some(Misnomer::InTwo)
}

/// Judges a text that is the name of something: `None` where it can be.
///
/// ```
/// use fillward::vocabulary::{Misnomer, NameOf, misnomer};
/// assert_eq!(misnomer(NameOf::Person, "Anne-Marie d'Angelo van der Meer"), None);
/// assert_eq!(misnomer(NameOf::Person, "Anne absent"), Some(Misnomer::Small));
/// assert_eq!(misnomer(NameOf::Lot, "blue drum"), Some(Misnomer::NoDigit));
/// ```
pub fn misnomer(of: NameOf, text: &str) -> Option<Misnomer> {
    match of {
        NameOf::Person => return person(text),
        NameOf::Outsider => return outsiders::outsider(text),
        _ => {}
    }
    // What was found comes first, since the cure says where it goes.
    let clauses = states::clauses(text);
    if let Some(word) = states::state(of, &clauses) {
        return Some(Misnomer::State(word));
    }
    if states::is_guess(text, &clauses) {
        return Some(Misnomer::Guess);
    }
    if states::is_elsewhere(of, text) {
        return Some(Misnomer::Pointing);
    }
    if states::is_open(of, text, &clauses) {
        return Some(Misnomer::Open);
    }
    let only = |kinds: &[&str]| plain_words(text).iter().all(|word| kinds.contains(&word));
    match of {
        NameOf::Lot => lots::misnomer(text),
        NameOf::Job => unfit_on_a_checklist(text).or_else(|| number_of_job(text)),
        NameOf::Tyre => unfit_on_a_checklist(text).or_else(|| mark(text, KINDS_OF_TYRE)),
        NameOf::Pump => mark(text, KINDS_OF_PUMP),
        NameOf::Instrument => mark(text, KINDS_OF_INSTRUMENT),
        NameOf::Gear => {
            let words = plain_words(text);
            let by_hand = lifted_by_hand(text).is_some();
            (!by_hand && words.iter().all(|word| NO_GEAR.contains(&word) || is_numeral(word))).then_some(Misnomer::Kind)
        }
        NameOf::Site => only(KINDS_OF_SITE).then_some(Misnomer::Kind),
        // A shop has one room for it, and calls it so.
        NameOf::Place => (only(KINDS_OF_PLACE) && !names_the_room(&plain_words(text))).then_some(Misnomer::Kind),
        NameOf::Document => (!documents::can_be_found(&plain_words(text))).then_some(Misnomer::Kind),
        NameOf::Person | NameOf::Outsider | NameOf::Sheet => None,
    }
}

/// `cure room`: a part of the shop that is kept for the cure.
fn names_the_room(words: &NameWords) -> bool {
    (0..words.len()).any(|at| matches!((words.get(at), words.get(at + 1)), ("cure" | "curing", "room" | "area")))
}

fn is_numeral(word: &str) -> bool {
    word.chars().all(char::is_numeric)
}

/// How many people lift, where nothing else does: one `by hand`, two `by hand, two people`.
pub fn lifted_by_hand(text: &str) -> Option<u8> {
    match plain_words(text).iter().collect::<Vec<_>>().as_slice() {
        ["by", "hand"] => Some(1),
        ["by", "hand", "two", "people"] => Some(2),
        _ => None,
    }
}

fn number_of_job(text: &str) -> Option<Misnomer> {
    if has_no_digit(text) {
        return Some(Misnomer::NoDigit);
    }
    let words = plain_words(text);
    let has = |list: &[&str]| words.iter().any(|word| list.contains(&word));
    if has(COPIES) {
        return Some(Misnomer::Placeholder);
    }
    // `new job 2`: which one it is stands in no number of an order. `NEW-12` is one of a series.
    let told = |word: &str| KINDS_OF_JOB.contains(&word) || WHICH_JOB.contains(&word) || is_numeral(word);
    let is_of_a_series = !has(KINDS_OF_JOB) && words.iter().any(|word| is_numeral(word) && word.len() > 1);
    (has(WHICH_JOB) && !is_of_a_series && words.iter().all(told)).then_some(Misnomer::Kind)
}

/// The words of a text, taken apart once for comparing it with many.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlainWords(NameWords);

impl PlainWords {
    /// The words of a text.
    pub fn of(text: &str) -> Self {
        Self(plain_words(text))
    }

    /// Whether a name of these words is only another text: one of the words of `other`.
    pub fn are_other(&self, of: NameOf, other: &Self) -> bool {
        match of {
            NameOf::Lot => {
                let (words, others) = (|| self.core(of), || other.core(of));
                let both = words().next().is_some() && others().next().is_some();
                both && words().flat_map(str::bytes).eq(others().flat_map(str::bytes))
            }
            NameOf::Person | NameOf::Outsider if self.are_part_of(of, other) => true,
            // All words count, so what they say together is compared.
            _ => !self.0.is_empty() && self.0.whole() == other.0.whole(),
        }
    }

    /// Whether these words, two at least, stand side by side in `other`.
    pub fn are_part_of(&self, of: NameOf, other: &Self) -> bool {
        let (words, others) = (|| self.core(of), || other.core(of));
        let Some(first) = words().next().filter(|_| words().nth(1).is_some()) else { return false };
        // The window is looked for only where it can begin.
        (0..other.0.len()).any(|start| {
            let mut window = others().skip(start);
            window.clone().next() == Some(first) && words().all(|word| window.next() == Some(word))
        })
    }

    /// Whether these words tell one thing from others that are called by numbers or letters alone: letters with digits, or
    /// more than one word.
    pub fn tell_apart(&self) -> bool {
        let any = |of: fn(char) -> bool| self.0.whole().chars().any(of);
        any(char::is_alphabetic) && (self.0.len() > 1 || any(char::is_numeric))
    }

    /// Whether these words ask for somebody else: see [`points_at`].
    pub fn point_at(&self, other: &Self) -> bool {
        let rest = || self.0.iter().skip(1);
        nothing::points(self.0.get(0))
            && rest().any(|word| !is_numeral(word))
            && rest().all(|word| other.0.iter().any(|known| known == word))
    }

    /// The words without those that stand on every label.
    fn core(&self, of: NameOf) -> impl Iterator<Item = &str> + Clone {
        self.0.iter().filter(move |word| of != NameOf::Lot || !ON_LABELS.contains(word))
    }
}

fn has_no_digit(text: &str) -> bool {
    !text.chars().any(char::is_numeric)
}

/// The words of a text in small letters without accents, cut at whatever is neither letter nor digit.
fn plain_words(text: &str) -> NameWords {
    NameWords::plain(&folded(text))
}

fn person(text: &str) -> Option<Misnomer> {
    let words: Vec<&str> =
        text.split(|c: char| c.is_whitespace() || c == ',').filter(|word| !word.is_empty()).collect();
    let is_child_of =
        |at: usize, word: &str| at > 0 && at + 1 < words.len() && CHILD_OF.contains(&word.to_lowercase().as_str());
    let others = words.iter().enumerate().filter(|(at, word)| !is_child_of(*at, word));
    let mut signs = others.flat_map(|(_, word)| word.chars());
    if let Some(sign) = signs.find(|c| c.is_numeric() || NO_SIGNS_OF_PERSONS.contains(c)) {
        return Some(Misnomer::Sign(sign));
    }
    if words.iter().any(|word| BETWEEN_PEOPLE.contains(&word.to_lowercase().as_str())) {
        return Some(Misnomer::Several);
    }
    let is_small = |word: &&str| word.chars().any(has_a_capital) && !word.chars().any(char::is_uppercase);
    let plain = |word: &str| folded(word).chars().filter(|c| c.is_alphabetic()).collect::<String>();
    let belongs = |at: usize, word: &str| {
        let (word, is_last) = (plain(word), at + 1 == words.len());
        AFTER_NAMES.contains(&word.as_str()) || !is_last && PARTICLES.contains(word.as_str())
    };
    if is_invented(text) {
        return Some(Misnomer::Placeholder);
    }
    let letters = || text.chars().filter(|c| c.is_alphabetic());
    // One sign is a whole name where a sign is a syllable or a word.
    if letters().count() == 1 && letters().all(|c| c.is_uppercase() || c.is_lowercase()) || are_initials(&words) {
        return Some(Misnomer::Short);
    }
    let strange =
        words.iter().enumerate().any(|(at, word)| is_small(word) && !belongs(at, word) && !is_child_of(at, word));
    strange.then_some(Misnomer::Small)
}

/// Whether a name is nothing but initials: two capitals, or three of which none is a vowel.
fn are_initials(words: &[&str]) -> bool {
    let [word] = words else { return false };
    let letters: Vec<char> = word.chars().filter(|c| *c != '.').collect();
    let is_vowel = |c: &char| folded(&c.to_string()).contains(['a', 'e', 'i', 'o', 'u', 'y']);
    letters.iter().all(|c| c.is_uppercase())
        && (letters.len() == 2 || letters.len() == 3 && !letters.iter().any(is_vowel))
}

/// Whether a name is one that forms and tests have for nobody: `J. Doe`, `Anna Mustermann`, `Tester`.
fn is_invented(text: &str) -> bool {
    let words = plain_words(text);
    let has = |list: &[&str]| words.iter().any(|word| list.contains(&word));
    // Some of them are somebody's name where they stand alone.
    let all = words.iter().all(|word| OF_NOBODY.contains(&word) || NAMES_AS_WELL.contains(&word));
    let alone = all && (words.len() > 1 || has(OF_NOBODY));
    let given = || words.iter().rev().skip(1);
    let of_forms = || words.iter().next_back() == Some("doe") && given().all(|word| word.chars().count() == 1);
    alone || has(FAMILIES_OF_FORMS) || words.len() > 1 && of_forms()
}

/// Whether a word, in small letters, stands between the points of a name.
pub(super) fn is_particle(word: &str) -> bool {
    PARTICLES.contains(word)
}

/// Whether a letter is a small one of a script that writes names with capitals. Georgian has capitals, and writes no name
/// with them.
fn has_a_capital(c: char) -> bool {
    c.is_lowercase() && !matches!(c, '\u{10d0}'..='\u{10ff}' | '\u{2b0}'..='\u{2ff}' | 'ª' | 'º')
}

fn mark(text: &str, kinds: &[&str]) -> Option<Misnomer> {
    let words = plain_words(text);
    let told = |word: &str| kinds.contains(&word) || POINTS.contains(&word);
    if words.iter().all(told) && !is_place_alone(&words) {
        return Some(Misnomer::Kind);
    }
    // `the big one`, but not `the Beast, left front`.
    (POINTS.contains(&words.get(0)) && has_no_digit(text) && !text.contains(',')).then_some(Misnomer::Pointing)
}

/// `left front`: of a shop's only machine that is a place, and a place is a mark.
fn is_place_alone(words: &NameWords) -> bool {
    words.len() > 1 && words.iter().all(|word| ["front", "rear", "left", "right"].contains(&word))
}

#[cfg(test)]
mod tests;
