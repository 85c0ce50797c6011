//! Which texts name something, and which two would be taken for one another: one rule for every text that identifies, such
//! as a mark, a name, a lot or a job number.
//!
//! After Unicode Technical Standard 39, section 4 (confusable detection). This module must not know what is named.

use unicode_normalization::UnicodeNormalization as _;
use unicode_security::confusable_detection::skeleton;

use super::{Unseen, is_blank, unseen_in_name};

/// Why a text does not name anything that a person could tell from another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NameFault {
    /// It is blank, has neither letter nor digit, or is what people write where they know nothing.
    SaysNothing,
    /// It holds a character that nobody sees, or that breaks the line.
    Unseen(char, Unseen),
    /// It begins or ends with a blank, or has two together.
    Blanks,
}

impl NameFault {
    /// What is wrong, as the end of a sentence that begins with the text.
    pub const fn description(self) -> &'static str {
        match self {
            Self::SaysNothing => "says nothing",
            Self::Unseen(..) => "has a character that cannot be seen",
            Self::Blanks => "has blanks that nobody sees",
        }
    }
}

/// What people write where they know nothing, in small letters and digits alone. Names that are honest ones somewhere, such
/// as `Ng` or `No`, are not among them.
const NOTHING: [&str; 41] = [
    "anon",
    "anonymous",
    "anybody",
    "anyone",
    "blank",
    "ditto",
    "dummy",
    "empty",
    "missing",
    "na",
    "nil",
    "nobody",
    "noname",
    "none",
    "noone",
    "notapplicable",
    "notavailable",
    "notgiven",
    "nothing",
    "notknown",
    "notrecorded",
    "null",
    "pending",
    "placeholder",
    "seeabove",
    "somebody",
    "someone",
    "something",
    "tba",
    "tbc",
    "tbd",
    "tobeannounced",
    "tobeconfirmed",
    "tobedecided",
    "tobedone",
    "todo",
    "tofollow",
    "undefined",
    "unknown",
    "unnamed",
    "various",
];

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
    blanks.then_some(NameFault::Blanks)
}

fn says_nothing(text: &str) -> bool {
    let speaks = |c: &char| c.is_alphanumeric() && !is_stroke(*c) && unseen_in_name(*c).is_none();
    if is_blank(text) || !text.chars().any(|c| speaks(&c)) {
        return true;
    }
    let plain = |text: &str| text.chars().filter(speaks).flat_map(char::to_lowercase).collect::<String>();
    let word = plain(text);
    if word.chars().count() > LONGEST_NOTHING {
        return false;
    }
    let crosses = |word: &str| word.chars().all(|c| c == 'x');
    if word.is_ascii() {
        return crosses(&word) || NOTHING.contains(&word.as_str());
    }
    // Written with letters that only look like these, it says as little.
    let shape = shape(&word.nfkc().collect::<String>());
    crosses(&shape) || NOTHING.iter().any(|nothing| skeleton(nothing).eq(shape.chars()))
}

/// Characters of the longest of [`NOTHING`].
const LONGEST_NOTHING: usize = 13;

fn shape(text: &str) -> String {
    skeleton(text).collect()
}

/// How a name looks, to tell whether two would be taken for one another: in small letters, and as it is written, since
/// letters look alike in one case and not in the other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Look([String; 2]);

impl Look {
    /// The look of a name.
    pub fn of(name: &str) -> Self {
        let words: Vec<&str> = name.split_whitespace().collect();
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
mod tests {
    use proptest::prelude::*;

    use super::*;

    const HONEST: [&str; 40] = [
        "A",
        "B",
        "7",
        "12",
        "X-1",
        "XL",
        "No. 7",
        "No",
        "Ng",
        "Ø",
        "李",
        "O'Neil",
        "O\u{2019}Neil",
        "J. R.",
        "HT-0311",
        "G-2",
        "PS-118",
        "loader 4, left front",
        "east bay floor",
        "Søren Ó Briain",
        "Мария Иванова",
        "李 小龍",
        "forklift 2",
        "P-1",
        "0",
        "T1",
        "a/b",
        "#3",
        "N-A-7",
        "Noah",
        "Nils",
        "Anil",
        "Nilsson",
        "Various Tyres Ltd",
        "Xx1",
        "TBC-4",
        "Unknown 3",
        "مريم",
        "ナカムラ",
        "3½",
    ];

    #[test]
    fn honest_names_are_names() {
        for name in HONEST {
            assert_eq!(name_fault(name), None, "{name:?}");
        }
    }

    #[test]
    fn what_is_written_where_nothing_is_known_is_no_name() {
        for text in [
            "",
            " ",
            "-",
            "—",
            "––",
            "...",
            "…",
            "?",
            "???",
            "n.a.",
            "n/a",
            "N/A",
            "N. A.",
            "TBC",
            "t.b.c.",
            "tba",
            "T.B.D.",
            "nobody",
            "Nobody.",
            "none",
            "(none)",
            "unknown",
            "Unknown!",
            "x",
            "X",
            "xxx",
            "x-x-x",
            "х",
            "ｎ／ａ",
            "ｘ",
            "nоne",
            "unknоwn",
            "\u{17b4}",
            "\u{200d}",
            "\u{3164}",
            "\u{ffa0}",
            "\u{115f}",
            "ـــ",
            "ー",
            "№",
            "☐",
            "·",
            "´",
            "to be confirmed",
            "not known",
            "\u{a0}",
            "\u{2800}",
            "✓",
            "\u{301}",
        ] {
            assert_eq!(name_fault(text), Some(NameFault::SaysNothing), "{text:?}");
        }
        assert_eq!(NOTHING.iter().map(|word| word.len()).max(), Some(LONGEST_NOTHING));
    }

    #[test]
    fn names_that_print_alike_are_alike() {
        let like = |one: &str, other: &str| Look::of(one).is_like(&Look::of(other));
        for (one, other) in [
            ("G-2", "g-2"),
            ("G-A", "G-\u{410}"),
            ("G-0", "G-O"),
            ("L-1", "L-l"),
            ("Ivo", "lvo"),
            ("Søren", "SØREN"),
            ("G\u{2010}2", "G-2"),
            ("é", "e\u{301}"),
            ("modern", "modem"),
        ] {
            assert!(like(one, other), "{one} and {other}");
        }
        for (one, other) in [("G-2", "G-3"), ("1-1", "11"), ("left front", "right front"), ("A", "B"), ("李", "王")] {
            assert!(!like(one, other), "{one} and {other}");
        }
    }

    /// Characters that show nothing, blanks, and punctuation.
    fn mute() -> impl Strategy<Value = char> {
        let silent = (0..=0x0010_ffff_u32).filter_map(char::from_u32).filter(|c| unseen_in_name(*c).is_some());
        let silent: Vec<char> = silent.collect();
        let marks: Vec<char> =
            (' '..='~').filter(|c| !c.is_ascii_alphanumeric()).chain("—–‐…·•“”’«»¿¡※。、・".chars()).collect();
        prop_oneof![prop::sample::select(silent), prop::sample::select(marks)]
    }

    proptest! {
        #[test]
        fn what_shows_neither_letter_nor_digit_names_nothing(text in prop::collection::vec(mute(), 0..12)) {
            let text: String = text.into_iter().collect();
            prop_assert_eq!(name_fault(&text), Some(NameFault::SaysNothing));
        }

        #[test]
        fn what_nobody_sees_spoils_a_name_wherever_it_stands(name in prop::sample::select(HONEST.to_vec()), c in mute(), at in 0_usize..20) {
            let mut text: Vec<char> = name.chars().collect();
            text.insert(at.min(text.len()), c);
            let text: String = text.into_iter().collect();
            prop_assert_eq!(name_fault(&text).is_some(), unseen_in_name(c).is_some() || text.trim() != text || text.contains("  "));
        }

        #[test]
        fn a_name_is_like_itself_in_any_case(name in prop::sample::select(HONEST.to_vec())) {
            prop_assert!(Look::of(name).is_like(&Look::of(&name.to_uppercase())));
            prop_assert!(Look::of(name).is_like(&Look::of(&name.to_lowercase())));
        }
    }
}
