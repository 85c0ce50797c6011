//! The tests of the language, one row each: what the word is, what it suits, what it takes, and what it asks.
//!
//! Reader, schema, reference, words, cures and the check of limits' directions read these rows. What a test asks is stated
//! once, as its [`Relation`]; its opposite, which way a greater number moves it, and whether the bound itself is enough
//! follow from that. This module must not know a record, nor how truth is found out.

mod asked;
mod relation;
mod suits;
mod taken;

pub use asked::{FOR_EACH, FOR_SOME, WasAsked};
pub use relation::{Bound, Effect, End, Relation};
pub use suits::{Sort, Suits};
pub use taken::Operands;

use serde::{Deserialize, Serialize};

use super::Operand;
use crate::record::Value;

/// One row of the language.
#[derive(Debug)]
pub struct Row {
    /// The word in packs.
    pub word: &'static str,
    /// The sign by which signed lines write it in place of the word.
    pub sign: Option<&'static str>,
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

/// How a test is said; `{0}` and `{1}` stand for its operands.
#[derive(Debug, Clone, Copy)]
pub struct Words {
    /// Behind the name of the term, of numbers and of moments.
    says: (&'static str, &'static str),
    /// What is needed for it to hold, of numbers and of moments.
    needs: (Need, Need),
    /// What is needed for it not to hold; `None` where its opposite says so.
    must_not: Option<Need>,
}

/// What a test needs to hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// What stands behind `needs`; several needs of one value share the verb.
    Needs(&'static str),
    /// What has a verb of its own, or none.
    Says(&'static str),
}

impl Words {
    const fn of(says: &'static str, needs: Need) -> Self {
        Self { says: (says, says), needs: (needs, needs), must_not: None }
    }

    const fn or_else(self, must_not: Need) -> Self {
        Self { must_not: Some(must_not), ..self }
    }
}

/// A word has one row, and a row one word.
impl PartialEq for Row {
    fn eq(&self, other: &Self) -> bool {
        self.word == other.word
    }
}

impl Eq for Row {}

impl Row {
    /// The row of a word, for texts that come from outside.
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

    /// Whether it asks how long ago something was, so that its truth changes with the clock by itself.
    pub const fn asks_age(&self) -> bool {
        match self.relation {
            Relation::Fresh => true,
            Relation::Equal(_) | Relation::Within(_) | Relation::Recorded => false,
        }
    }

    /// Whether doubt of a number that it compares can leave it open.
    pub const fn is_left_open_by_doubt(&self) -> bool {
        match self.relation {
            Relation::Equal(_) | Relation::Within(_) => true,
            Relation::Recorded | Relation::Fresh => false,
        }
    }

    /// Whether the words of a rule say what it asks: what a value must be, or that there is one. A bound has a number.
    pub const fn is_spelt_out(&self) -> bool {
        match self.relation {
            Relation::Equal(_) | Relation::Recorded => true,
            Relation::Within(_) | Relation::Fresh => false,
        }
    }

    /// Which end of the term an operand bounds, if it is a bound.
    pub fn end(&self, position: usize) -> Option<End> {
        match self.relation {
            Relation::Within(bounds) => bounds.get(position).map(|bound| bound.end),
            Relation::Equal(_) | Relation::Recorded | Relation::Fresh => None,
        }
    }

    /// How it is said behind the name of its term.
    pub const fn says(&self, of_moments: bool) -> &'static str {
        if of_moments { self.words.says.1 } else { self.words.says.0 }
    }

    /// What is needed for it to hold, or not to hold.
    pub fn needs(&self, wanted: bool, of_moments: bool) -> Need {
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
        sign: None,
        suits: EQUATED,
        takes: Takes::One(Test::Is),
        relation: Relation::Equal(true),
        about: "Equal to this.",
        words: Words::of("is {0}", Need::Needs("{0}")),
    };
    /// Not equal to.
    IsNot(Operand) = Row {
        word: "is_not",
        sign: None,
        suits: EQUATED,
        takes: Takes::One(Test::IsNot),
        relation: Relation::Equal(false),
        about: "Not equal to this.",
        words: Words::of("is not {0}", Need::Says("must not be {0}")),
    };
    /// Equal to one of the literals.
    OneOf(Vec<Value>) = Row {
        word: "one_of",
        sign: None,
        suits: LISTED,
        takes: Takes::Values(Test::OneOf),
        relation: Relation::Equal(true),
        about: "Equal to one of these.",
        words: Words::of("is {0}", Need::Needs("{0}")),
    };
    /// Equal to none of the literals.
    NoneOf(Vec<Value>) = Row {
        word: "none_of",
        sign: None,
        suits: LISTED,
        takes: Takes::Values(Test::NoneOf),
        relation: Relation::Equal(false),
        about: "Equal to none of these.",
        words: Words::of("is not {0}", Need::Says("not allowed")),
    };
    /// Not below.
    AtLeast(Operand) = Row {
        word: "at_least",
        sign: Some(">="),
        suits: ORDERED,
        takes: Takes::One(Test::AtLeast),
        relation: Relation::Within(&[Bound::LEAST]),
        about: "Not below this. A reading with uncertainty must lie wholly at or above; wholly below is false; between is unknown.",
        words: Words {
            says: ("at least {0}", "not earlier than {0}"),
            needs: (Need::Needs("{0} or more"), Need::Needs("{0} or later")),
            must_not: None,
        },
    };
    /// Not above.
    AtMost(Operand) = Row {
        word: "at_most",
        sign: Some("<="),
        suits: ORDERED,
        takes: Takes::One(Test::AtMost),
        relation: Relation::Within(&[Bound::MOST]),
        about: "Not above this.",
        words: Words {
            says: ("at most {0}", "not later than {0}"),
            needs: (Need::Needs("{0} or less"), Need::Needs("{0} or earlier")),
            must_not: None,
        },
    };
    /// Strictly above.
    Above(Operand) = Row {
        word: "above",
        sign: Some(">"),
        suits: ORDERED,
        takes: Takes::One(Test::Above),
        relation: Relation::Within(&[Bound::ABOVE]),
        about: "Strictly above this.",
        words: Words {
            says: ("above {0}", "after {0}"),
            needs: (Need::Needs("more than {0}"), Need::Needs("to be after {0}")),
            must_not: None,
        },
    };
    /// Strictly below.
    Below(Operand) = Row {
        word: "below",
        sign: Some("<"),
        suits: ORDERED,
        takes: Takes::One(Test::Below),
        relation: Relation::Within(&[Bound::BELOW]),
        about: "Strictly below this.",
        words: Words {
            says: ("below {0}", "before {0}"),
            needs: (Need::Needs("less than {0}"), Need::Needs("to be before {0}")),
            must_not: None,
        },
    };
    /// From the first to the second, both included.
    Between(Box<(Operand, Operand)>) = Row {
        word: "between",
        sign: None,
        suits: ORDERED,
        takes: Takes::Two(|low, high| Test::Between(Box::new((low, high)))),
        relation: Relation::Within(&[Bound::LEAST, Bound::MOST]),
        about: "From the first to the second, both included.",
        words: Words::of("from {0} to {1}", Need::Needs("{0} to {1}")).or_else(Need::Says("must lie outside {0} to {1}")),
    };
    /// Strictly earlier than.
    Before(Operand) = Row {
        word: "before",
        sign: None,
        suits: MOMENTS,
        takes: Takes::One(Test::Before),
        relation: Relation::Within(&[Bound::BELOW]),
        about: "Strictly earlier than this instant or day.",
        words: Words::of("before {0}", Need::Needs("to be before {0}")),
    };
    /// Strictly later than.
    After(Operand) = Row {
        word: "after",
        sign: None,
        suits: MOMENTS,
        takes: Takes::One(Test::After),
        relation: Relation::Within(&[Bound::ABOVE]),
        about: "Strictly later than this instant or day.",
        words: Words::of("after {0}", Need::Needs("to be after {0}")),
    };
    /// Recorded, or not; the only test that is never unknown.
    Recorded(bool) = Row {
        word: "recorded",
        sign: None,
        suits: Suits::Anything,
        takes: Takes::Flag(Test::Recorded),
        relation: Relation::Recorded,
        about: "Whether the fact is recorded at all; the only test that is never unknown.",
        words: Words::of("recorded", Need::Says("must be recorded")).or_else(Need::Says("not expected here")),
    };
    /// Read, or done, not longer ago than this.
    ReadWithin(Operand) = Row {
        word: "read_within",
        sign: Some("within"),
        suits: Suits::Dated,
        takes: Takes::Span(Test::ReadWithin),
        relation: Relation::Fresh,
        about: "Read, or done, no longer before the start of the fill than this duration. A reading without an instant, or with one after the judgement, is unknown.",
        words: Words::of("no older than {0}", Need::Says("must be no older than {0}")).or_else(Need::Says("must be older than {0}")),
    };
}

#[cfg(test)]
mod tests;
