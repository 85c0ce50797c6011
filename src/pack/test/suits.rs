//! What a test of the language can be asked of: the sorts of value, and whether an instant is needed.
//!
//! Must not know what a test asks.

use crate::pack::Class;
use crate::units::Dimension;

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
    pub fn described(self) -> String {
        match self {
            Self::Anything => "anything".to_owned(),
            Self::Sorts(sorts) => sorts.iter().map(|sort| sort.word()).collect::<Vec<_>>().join(", "),
            Self::Dated => "reading, event, day, `….at`".to_owned(),
        }
    }
}
