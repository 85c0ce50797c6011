//! Lines of evidence read back as data: the one reader of the notation, for comparing and for showing.
//!
//! A line is read only where writing what was read gives the same text again, so that no two readings of one text can be
//! meant. This module must not know findings or figures.

mod reader;

use std::fmt;

use super::written::{PLACES, as_text, with_day};
use crate::pack::test::WasAsked;
use crate::units::{Exact, Instant, Rounding};
use reader::LineReader;

/// A line: a fact with its values, and what was asked of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EvidenceLine {
    /// The place of the fact; it begins with a full stop where it is the subject's own, and is empty for the record itself.
    pub fact: String,
    /// Its values, of one subject after the other; none where they stand elsewhere in the file.
    pub values: Vec<WrittenValue>,
    /// What was asked of it.
    pub asked: Vec<AskedOfFact>,
}

/// One comparison.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AskedOfFact {
    /// What was asked.
    pub test: WasAsked,
    /// What the fact was compared with.
    pub bounds: Vec<WrittenBound>,
    /// `false` or `unknown`, where it is not true.
    pub not_so: Option<NotSo>,
}

/// How a comparison comes out that is not true.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotSo {
    /// It is false.
    False,
    /// It cannot be told.
    Unknown,
}

/// A bound of a comparison.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrittenBound {
    /// Its value; nothing where that stands elsewhere in the file.
    pub value: Option<WrittenValue>,
    /// What it was made of.
    pub origins: Vec<WrittenOrigin>,
}

/// What a bound was made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WrittenOrigin {
    /// A limit, by its name, with its pack where that is not the first.
    Limit(String),
    /// A fact or figure, by its place; or `judgement`, `start`, `today`.
    Place(String),
}

/// A value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WrittenValue {
    /// Not recorded.
    Null,
    /// True or false.
    Flag(bool),
    /// Text, as the record has it.
    Text(String),
    /// A list of texts.
    Words(Vec<String>),
    /// A number.
    Number {
        /// As the record writes it; nothing where it was worked out and lies between its ends.
        shown: Option<String>,
        /// The ends between which it lies, where it is in doubt.
        ends: Option<[String; 2]>,
        /// The unit's spelling; empty for a count.
        unit: String,
    },
    /// A day or an instant.
    Moment(String),
    /// A log of so many rows.
    Log(String),
    /// An instant after the judgement.
    Ahead(String),
    /// What keeps it from being computed, by its code.
    Obstacle(String),
}

/// What stands for a day or an instant that the file states.
const STATED: [&str; 3] = ["judgement", "start", "today"];
/// Words with which values begin; no fact of the record has such a name.
pub const VALUE_WORDS: [&str; 6] = ["null", "true", "false", "log", "ahead", "obstacle"];

/// Whether a text begins with a test as lines write it, and not with a fact.
pub(in crate::checklist) fn asks(text: &str) -> bool {
    WasAsked::find_signed(text.split(' ').next().unwrap_or_default()).is_some()
}

impl EvidenceLine {
    /// Reads a line; `None` where the text is none, or is not written as it would be.
    pub fn read(text: &str) -> Option<Self> {
        let line = LineReader { rest: text }.line()?;
        (line.to_string() == text).then_some(line)
    }
}

impl WrittenValue {
    /// Reads a value that stands alone; `None` where the text is none.
    pub fn read(text: &str) -> Option<Self> {
        let mut reading = LineReader { rest: text };
        let value = reading.value()?;
        (reading.rest.is_empty() && value.to_string() == text).then_some(value)
    }

    /// Whether this may stand where the other does: both numbers of one unit, each with its ends in order, or both instants.
    pub fn is_of_the_sort_of(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Number { unit, .. }, Self::Number { unit: due, .. }) => {
                unit == due && self.is_in_order() && other.is_in_order()
            }
            (Self::Moment(text), Self::Moment(due)) => {
                [text, due].into_iter().all(|text| Instant::parse(&with_day(text)).is_ok())
            }
            _ => false,
        }
    }

    fn is_in_order(&self) -> bool {
        let Self::Number { shown, ends, .. } = self else { return true };
        let shown = shown.as_ref().map(|text| number(text));
        let ends = ends.as_ref().map(|[low, high]| number(low).zip(number(high)).filter(|(low, high)| low < high));
        shown.is_none_or(|shown| shown.is_some()) && ends.is_none_or(|ends| ends.is_some())
    }

    /// Whether a line gives the value that the list of figures does: a figure in doubt by its ends, any other to the
    /// decimals of that list.
    pub fn tells_the_figure(&self, listed: &Self) -> bool {
        match (self, listed) {
            (
                Self::Number { shown, ends, unit },
                Self::Number { shown: of_list, ends: ends_of_list, unit: unit_of_list },
            ) => {
                let near = |text: &Option<String>| {
                    text.as_ref().and_then(|text| number(text)).map(|value| value.to_decimal(PLACES, Rounding::Nearest))
                };
                let same = ends.is_some() || near(shown) == near(of_list);
                unit == unit_of_list && ends == ends_of_list && same
            }
            _ => self == listed,
        }
    }
}

/// A number as it is written: a decimal, or a fraction.
fn number(text: &str) -> Option<Exact> {
    match text.split_once('/') {
        Some((above, below)) => Exact::new(above.parse().ok()?, below.parse().ok()?),
        None => Exact::parse_decimal(text),
    }
}

impl fmt::Display for EvidenceLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.fact)?;
        for (place, value) in self.values.iter().enumerate() {
            f.write_str(if place == 0 { " " } else { "; " })?;
            value.fmt(f)?;
        }
        self.asked.iter().try_for_each(|asked| write!(f, " {asked}"))
    }
}

impl fmt::Display for AskedOfFact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.test.signed())?;
        for (place, bound) in self.bounds.iter().enumerate() {
            write!(f, "{} {bound}", if place == 0 { "" } else { "," })?;
        }
        f.write_str(match self.not_so {
            None => "",
            Some(NotSo::False) => " = false",
            Some(NotSo::Unknown) => " = unknown",
        })
    }
}

impl fmt::Display for WrittenBound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let value = self.value.iter().map(ToString::to_string);
        let parts: Vec<String> = value.chain(self.origins.iter().map(ToString::to_string)).collect();
        f.write_str(&parts.join(" "))
    }
}

impl fmt::Display for WrittenOrigin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Limit(name) => write!(f, "({name})"),
            Self::Place(place) => f.write_str(place),
        }
    }
}

impl fmt::Display for WrittenValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Null => f.write_str("null"),
            Self::Flag(flag) => flag.fmt(f),
            Self::Text(text) => f.write_str(&as_text(text)),
            Self::Words(words) => {
                let words: Vec<String> = words.iter().map(|word| as_text(word)).collect();
                write!(f, "[{}]", words.join(", "))
            }
            Self::Number { shown, ends, unit } => {
                let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
                match (shown, ends) {
                    (Some(shown), None) => write!(f, "{shown}{unit}"),
                    (Some(shown), Some([low, high])) => write!(f, "{shown}{unit} [{low}, {high}]"),
                    (None, Some([low, high])) => write!(f, "[{low}, {high}]{unit}"),
                    (None, None) => Ok(()),
                }
            }
            Self::Moment(text) => f.write_str(text),
            Self::Log(rows) => write!(f, "log {rows}"),
            Self::Ahead(at) => write!(f, "ahead {at}"),
            Self::Obstacle(code) => write!(f, "obstacle {code}"),
        }
    }
}
