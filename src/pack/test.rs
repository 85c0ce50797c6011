//! The tests of the language, one row each: what the word is, what it suits, what it takes, and what it asks.
//!
//! Reader, schema, reference, words, cures and the check of limits' directions read these rows. What a test asks is stated
//! once, as its [`Relation`]; its opposite, which way a greater number moves it, and whether the bound itself is enough
//! follow from that. This module must not know a record, nor how truth is found out.

use serde::{Deserialize, Serialize};

use super::{Class, Operand};
use crate::record::Value;
use crate::units::Dimension;

/// One row of the language.
#[derive(Debug)]
pub struct Row {
    /// The word in packs.
    pub word: &'static str,
    /// What it can be asked of.
    pub suits: Suits,
    /// What stands behind the word, and how the two become a test.
    pub takes: Takes,
    /// What it asks.
    pub relation: Relation,
    /// What it means, for schema and reference.
    pub about: &'static str,
    /// How it is said.
    pub words: Words,
}

/// What a test can be asked of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suits {
    /// Anything at all.
    Anything,
    /// Values of these sorts.
    Sorts(&'static [Sort]),
    /// What has an instant: readings, events, days, and the `.at` of a reading.
    Dated,
}

/// The sorts of value that a test can be asked of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// Text and words.
    Text,
    /// True or false.
    Flag,
    /// A plain number.
    Count,
    /// A number of any dimension.
    Number,
    /// An instant.
    Instant,
    /// A calendar day.
    Day,
}

impl Sort {
    const fn takes(self, class: Class) -> bool {
        match self {
            Self::Text => matches!(class, Class::Text),
            Self::Flag => matches!(class, Class::Flag),
            Self::Count => matches!(class, Class::Number(Dimension::Count)),
            Self::Number => matches!(class, Class::Number(_)),
            Self::Instant => matches!(class, Class::Instant),
            Self::Day => matches!(class, Class::Day),
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Text => "text, word",
            Self::Flag => "flag",
            Self::Count => "plain number",
            Self::Number => "number",
            Self::Instant => "instant",
            Self::Day => "day",
        }
    }
}

impl Suits {
    /// Whether the test can be asked of a value of this class, which has an instant or has none.
    pub fn takes(self, class: Class, dated: bool) -> bool {
        match self {
            Self::Anything => true,
            Self::Sorts(sorts) => sorts.iter().any(|sort| sort.takes(class)),
            Self::Dated => dated,
        }
    }

    /// What it suits, in words.
    pub fn words(self) -> String {
        match self {
            Self::Anything => "anything".to_owned(),
            Self::Sorts(sorts) => sorts.iter().map(|sort| sort.word()).collect::<Vec<_>>().join(", "),
            Self::Dated => "reading, event, day, `….at`".to_owned(),
        }
    }
}

/// What stands behind the word of a test, with the constructor of the test.
#[derive(Debug, Clone, Copy)]
pub enum Takes {
    /// One operand of the term's own class.
    One(fn(Operand) -> Test),
    /// Two operands of the term's own class.
    Two(fn(Operand, Operand) -> Test),
    /// A list of values.
    Values(fn(Vec<Value>) -> Test),
    /// True or false.
    Flag(fn(bool) -> Test),
    /// A duration.
    Span(fn(Operand) -> Test),
}

/// What a test asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relation {
    /// Equal to what it takes, or to one of it; or, where false, equal to none of it.
    Equal(bool),
    /// Within bounds, one for each operand.
    Within(&'static [Bound]),
    /// Recorded at all.
    Recorded,
    /// Taken or done no longer before the judgement than the operand.
    Fresh,
}

/// A bound that an operand sets on a term.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bound {
    /// Which end it bounds.
    pub end: End,
    /// Whether the bound itself is enough.
    pub inclusive: bool,
}

/// The end at which a bound stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The term is to be that much or more.
    Low,
    /// The term is to be that much or less.
    High,
}

impl Bound {
    const LEAST: Self = Self { end: End::Low, inclusive: true };
    const MOST: Self = Self { end: End::High, inclusive: true };
    const ABOVE: Self = Self { end: End::Low, inclusive: false };
    const BELOW: Self = Self { end: End::High, inclusive: false };

    /// The bound that holds exactly where this one does not.
    #[must_use]
    pub const fn opposite(self) -> Self {
        let end = match self.end {
            End::Low => End::High,
            End::High => End::Low,
        };
        Self { end, inclusive: !self.inclusive }
    }
}

/// What a greater number does to a statement, in the order false, unknown, true.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effect {
    /// Nothing.
    Nothing,
    /// It may make the statement truer, never less true.
    Helps,
    /// It may make the statement less true, never truer.
    Hurts,
    /// Either, as the numbers stand.
    Either,
}

impl Effect {
    /// The effect on the opposite statement; or that of a smaller number.
    #[must_use]
    pub const fn turned(self) -> Self {
        match self {
            Self::Helps => Self::Hurts,
            Self::Hurts => Self::Helps,
            same => same,
        }
    }
}

/// How a test is said; `{0}` and `{1}` stand for its operands.
#[derive(Debug, Clone, Copy)]
pub struct Words {
    /// Behind the name of the term, of numbers and of moments.
    says: (&'static str, &'static str),
    /// What is needed for it to hold, of numbers and of moments.
    needs: (&'static str, &'static str),
    /// What is needed for it not to hold; `None` where its opposite says so.
    must_not: Option<&'static str>,
}

impl Words {
    const fn of(says: &'static str, needs: &'static str) -> Self {
        Self { says: (says, says), needs: (needs, needs), must_not: None }
    }

    const fn or_else(self, must_not: &'static str) -> Self {
        Self { must_not: Some(must_not), ..self }
    }
}

impl Row {
    /// The row of a word.
    pub fn find(word: &str) -> Option<&'static Self> {
        ROWS.iter().copied().find(|row| row.word == word)
    }

    /// The bounds that its operands set on its term, one for each; none where it sets none.
    pub const fn bounds(&self) -> &'static [Bound] {
        match self.relation {
            Relation::Within(bounds) => bounds,
            Relation::Equal(_) | Relation::Recorded | Relation::Fresh => &[],
        }
    }

    /// The row that holds exactly where this one does not, if the language has it.
    pub fn opposite(&self) -> Option<&'static Self> {
        let relation = match self.relation {
            Relation::Equal(so) => Relation::Equal(!so),
            Relation::Within(&[bound]) => {
                let opposite = bound.opposite();
                let is_it = |row: &&Self| row.bounds() == [opposite];
                return ROWS.iter().copied().find(is_it);
            }
            Relation::Within(_) | Relation::Recorded | Relation::Fresh => return None,
        };
        let alike = |row: &&Self| std::mem::discriminant(&row.takes) == std::mem::discriminant(&self.takes);
        ROWS.iter().copied().filter(alike).find(|row| row.relation == relation)
    }

    /// What a greater term does to the test; of what is dated, a later instant.
    pub const fn greater_term(&self) -> Effect {
        match self.relation {
            Relation::Within([bound]) => match bound.end {
                End::Low => Effect::Helps,
                End::High => Effect::Hurts,
            },
            Relation::Equal(_) | Relation::Within(_) => Effect::Either,
            Relation::Recorded => Effect::Nothing,
            Relation::Fresh => Effect::Helps,
        }
    }

    /// What a greater operand at this position does to the test.
    pub fn greater_operand(&self, position: usize) -> Effect {
        match self.relation {
            Relation::Equal(_) => Effect::Either,
            Relation::Within(_) => match self.end(position) {
                Some(End::Low) => Effect::Hurts,
                Some(End::High) => Effect::Helps,
                None => Effect::Nothing,
            },
            Relation::Recorded => Effect::Nothing,
            Relation::Fresh => Effect::Helps,
        }
    }

    /// Which end of the term an operand bounds, if it is a bound.
    pub fn end(&self, position: usize) -> Option<End> {
        match self.relation {
            Relation::Within(bounds) => bounds.get(position).map(|bound| bound.end),
            _ => None,
        }
    }

    /// How it is said behind the name of its term.
    pub const fn says(&self, of_moments: bool) -> &'static str {
        if of_moments { self.words.says.1 } else { self.words.says.0 }
    }

    /// What is needed for it to hold, or not to hold.
    pub fn needs(&self, wanted: bool, of_moments: bool) -> &'static str {
        let own = if of_moments { self.words.needs.1 } else { self.words.needs.0 };
        if wanted {
            return own;
        }
        match (self.words.must_not, self.opposite()) {
            (Some(words), _) => words,
            (None, Some(opposite)) => opposite.needs(true, of_moments),
            (None, None) => own,
        }
    }
}

/// Declares the tests: the syntax tree's enum, the table, and the row of each test.
macro_rules! language {
    ($($(#[$meaning:meta])* $name:ident($($of:ty),+) = $row:expr;)+) => {
        /// What is asked of a term.
        #[derive(Debug, Clone, Serialize, Deserialize)]
        pub enum Test {
            $($(#[$meaning])* $name($($of),+),)+
        }

        impl Test {
            /// Its row in the table.
            pub const fn row(&self) -> &'static Row {
                match self {
                    $(Self::$name(..) => const { &$row },)+
                }
            }
        }

        /// Every test, in the order of the schema.
        pub static ROWS: &[&Row] = &[$(const { &$row }),+];
    };
}

/// Sorts that are told apart by equality.
const EQUATED: Suits = Suits::Sorts(&[Sort::Text, Sort::Flag, Sort::Count, Sort::Day]);
/// Sorts that stand in closed lists.
const LISTED: Suits = Suits::Sorts(&[Sort::Text, Sort::Count]);
/// Sorts that have an order.
const ORDERED: Suits = Suits::Sorts(&[Sort::Number, Sort::Instant, Sort::Day]);
/// Sorts of time.
const MOMENTS: Suits = Suits::Sorts(&[Sort::Instant, Sort::Day]);

language! {
    /// Equal to.
    Is(Operand) = Row {
        word: "is",
        suits: EQUATED,
        takes: Takes::One(Test::Is),
        relation: Relation::Equal(true),
        about: "Equal to this.",
        words: Words::of("is {0}", "needs {0}"),
    };
    /// Not equal to.
    IsNot(Operand) = Row {
        word: "is_not",
        suits: EQUATED,
        takes: Takes::One(Test::IsNot),
        relation: Relation::Equal(false),
        about: "Not equal to this.",
        words: Words::of("is not {0}", "must not be {0}"),
    };
    /// Equal to one of the literals.
    OneOf(Vec<Value>) = Row {
        word: "one_of",
        suits: LISTED,
        takes: Takes::Values(Test::OneOf),
        relation: Relation::Equal(true),
        about: "Equal to one of these.",
        words: Words::of("is {0}", "needs {0}"),
    };
    /// Equal to none of the literals.
    NoneOf(Vec<Value>) = Row {
        word: "none_of",
        suits: LISTED,
        takes: Takes::Values(Test::NoneOf),
        relation: Relation::Equal(false),
        about: "Equal to none of these.",
        words: Words::of("is not {0}", "not allowed"),
    };
    /// Not below.
    AtLeast(Operand) = Row {
        word: "at_least",
        suits: ORDERED,
        takes: Takes::One(Test::AtLeast),
        relation: Relation::Within(&[Bound::LEAST]),
        about: "Not below this. A reading with uncertainty must lie wholly at or above; wholly below is false; between is unknown.",
        words: Words {
            says: ("at least {0}", "not earlier than {0}"),
            needs: ("needs {0} or more", "needs {0} or later"),
            must_not: None,
        },
    };
    /// Not above.
    AtMost(Operand) = Row {
        word: "at_most",
        suits: ORDERED,
        takes: Takes::One(Test::AtMost),
        relation: Relation::Within(&[Bound::MOST]),
        about: "Not above this.",
        words: Words {
            says: ("at most {0}", "not later than {0}"),
            needs: ("needs {0} or less", "needs {0} or earlier"),
            must_not: None,
        },
    };
    /// Strictly above.
    Above(Operand) = Row {
        word: "above",
        suits: ORDERED,
        takes: Takes::One(Test::Above),
        relation: Relation::Within(&[Bound::ABOVE]),
        about: "Strictly above this.",
        words: Words {
            says: ("above {0}", "after {0}"),
            needs: ("needs more than {0}", "needs to be after {0}"),
            must_not: None,
        },
    };
    /// Strictly below.
    Below(Operand) = Row {
        word: "below",
        suits: ORDERED,
        takes: Takes::One(Test::Below),
        relation: Relation::Within(&[Bound::BELOW]),
        about: "Strictly below this.",
        words: Words {
            says: ("below {0}", "before {0}"),
            needs: ("needs less than {0}", "needs to be before {0}"),
            must_not: None,
        },
    };
    /// From the first to the second, both included.
    Between(Operand, Operand) = Row {
        word: "between",
        suits: ORDERED,
        takes: Takes::Two(Test::Between),
        relation: Relation::Within(&[Bound::LEAST, Bound::MOST]),
        about: "From the first to the second, both included.",
        words: Words::of("from {0} to {1}", "needs {0} to {1}").or_else("must lie outside {0} to {1}"),
    };
    /// Strictly earlier than.
    Before(Operand) = Row {
        word: "before",
        suits: MOMENTS,
        takes: Takes::One(Test::Before),
        relation: Relation::Within(&[Bound::BELOW]),
        about: "Strictly earlier than this instant or day.",
        words: Words::of("before {0}", "needs to be before {0}"),
    };
    /// Strictly later than.
    After(Operand) = Row {
        word: "after",
        suits: MOMENTS,
        takes: Takes::One(Test::After),
        relation: Relation::Within(&[Bound::ABOVE]),
        about: "Strictly later than this instant or day.",
        words: Words::of("after {0}", "needs to be after {0}"),
    };
    /// Recorded, or not; the only test that is never unknown.
    Recorded(bool) = Row {
        word: "recorded",
        suits: Suits::Anything,
        takes: Takes::Flag(Test::Recorded),
        relation: Relation::Recorded,
        about: "Whether the fact is recorded at all; the only test that is never unknown.",
        words: Words::of("recorded", "must be recorded").or_else("not expected here"),
    };
    /// Read, or done, not longer ago than this.
    ReadWithin(Operand) = Row {
        word: "read_within",
        suits: Suits::Dated,
        takes: Takes::Span(Test::ReadWithin),
        relation: Relation::Fresh,
        about: "Read, or done, no longer before the start of the fill than this duration. A reading without an instant, or with one after the judgement, is unknown.",
        words: Words::of("no older than {0}", "must be no older than {0}").or_else("must be older than {0}"),
    };
}

impl Test {
    /// The operands of the test.
    pub fn operands(&self) -> impl Iterator<Item = &Operand> {
        let (first, second) = match self {
            Self::Is(a) | Self::IsNot(a) | Self::AtLeast(a) | Self::AtMost(a) | Self::Above(a) | Self::Below(a) => {
                (Some(a), None)
            }
            Self::Before(a) | Self::After(a) | Self::ReadWithin(a) => (Some(a), None),
            Self::Between(a, b) => (Some(a), Some(b)),
            Self::OneOf(_) | Self::NoneOf(_) | Self::Recorded(_) => (None, None),
        };
        first.into_iter().chain(second)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_found_and_no_two_are_alike() {
        for row in ROWS {
            assert!(std::ptr::eq(Row::find(row.word).unwrap(), *row), "{}", row.word);
        }
        assert!(Row::find("afterwards").is_none());
    }

    #[test]
    fn the_opposite_of_the_opposite_asks_the_same() {
        let of = |word: &str| Row::find(word).unwrap().opposite().map(|row| row.word);
        for (word, opposite) in [
            ("is", Some("is_not")),
            ("is_not", Some("is")),
            ("one_of", Some("none_of")),
            ("none_of", Some("one_of")),
            ("at_least", Some("below")),
            ("at_most", Some("above")),
            ("above", Some("at_most")),
            ("below", Some("at_least")),
            ("before", Some("at_least")),
            ("after", Some("at_most")),
            ("between", None),
            ("recorded", None),
            ("read_within", None),
        ] {
            assert_eq!(of(word), opposite, "{word}");
        }
        for row in ROWS {
            if let Some(opposite) = row.opposite() {
                assert_eq!(opposite.opposite().unwrap().relation, row.relation, "{}", row.word);
                assert_eq!(opposite.greater_term(), row.greater_term().turned(), "{}", row.word);
                assert_eq!(opposite.greater_operand(0), row.greater_operand(0).turned(), "{}", row.word);
            }
        }
    }

    #[test]
    fn every_test_says_what_is_needed_both_ways() {
        for row in ROWS {
            for of_moments in [false, true] {
                let (wanted, not) = (row.needs(true, of_moments), row.needs(false, of_moments));
                assert_ne!(wanted, not, "{}", row.word);
            }
        }
        assert_eq!(Row::find("before").unwrap().needs(false, true), "needs {0} or later");
        assert_eq!(Row::find("at_least").unwrap().needs(false, true), "needs to be before {0}");
    }
}
