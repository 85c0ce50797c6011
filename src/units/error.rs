//! What can be wrong with a written quantity or instant, and how to put a quantity right.
//!
//! Messages are lower-case fragments that quote the text; `help` is one imperative sentence. This module must not know
//! where the text stood: the caller adds file and position.

use thiserror::Error;

use super::{Dimension, Unit};

/// Longest piece of user text that an error repeats.
const MAX_ECHO_CHARS: usize = 40;

/// Why a text is not a quantity.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum QuantityError {
    /// A bare number where a unit is needed.
    #[error("`{text}` has no unit where a {} is expected", due.name())]
    MissingUnit {
        /// The text as written.
        text: String,
        /// What was asked for.
        due: Dimension,
    },
    /// What follows the number is not a unit.
    #[error("{}", unknown_unit(text, unit, *due))]
    UnknownUnit {
        /// The text as written.
        text: String,
        /// The part after the number.
        unit: String,
        /// What was asked for.
        due: Dimension,
        /// The whole text with the unit that was probably meant.
        meant: Option<String>,
    },
    /// A quantity of another kind.
    #[error("`{text}` is a {} where a {} is expected", found.name(), due.name())]
    WrongDimension {
        /// The text as written.
        text: String,
        /// What the unit measures.
        found: Dimension,
        /// What was asked for.
        due: Dimension,
    },
    /// The number cannot be read.
    #[error("`{text}` {fault}")]
    NotANumber {
        /// The text as written.
        text: String,
        /// What is wrong with it.
        fault: NumberFault,
        /// What was asked for.
        due: Dimension,
    },
    /// More digits than are taken.
    #[error("`{text}` has more digits than a quantity may have")]
    TooLong {
        /// The beginning of the text.
        text: String,
    },
}

/// What keeps a text from being a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Error)]
#[non_exhaustive]
pub enum NumberFault {
    /// Nothing is written.
    #[error("is empty")]
    Empty,
    /// It does not begin with a digit.
    #[error("does not begin with a number")]
    Word,
    /// A typographic minus or dash stands for the sign.
    #[error("begins with a typographic minus or dash")]
    TypographicMinus,
    /// A plus sign.
    #[error("begins with a plus sign")]
    PlusSign,
    /// No digit on one side of the point, or more than one point.
    #[error("has a decimal point without a digit on each side")]
    LonePoint,
    /// A comma, probably for the decimal point.
    #[error("has a decimal comma")]
    DecimalComma,
    /// Digits in groups.
    #[error("has separators between groups of digits")]
    Grouped,
    /// A power of ten.
    #[error("has an exponent")]
    Exponent,
    /// Not a number, or infinite.
    #[error("is not a finite number")]
    NotFinite,
    /// A digit or fraction character outside 0 to 9.
    #[error("has a digit that is not one of 0 to 9")]
    OtherDigit,
    /// A fraction that is not whole number over whole number.
    #[error("has a fraction that cannot be read")]
    BadFraction,
    /// Two numbers in a row.
    #[error("holds two numbers")]
    TwoNumbers,
}

impl QuantityError {
    /// How to put it right whatever kind of quantity is meant, where that can be told.
    pub fn cure_of_any(&self) -> Option<String> {
        match self {
            QuantityError::UnknownUnit { meant: Some(_), .. } => Some(self.help()),
            QuantityError::NotANumber { text, .. } => without_the_sign(text),
            _ => None,
        }
    }

    /// How to put it right, in one imperative sentence.
    pub fn help(&self) -> String {
        match self {
            // With a number of its own: whoever reads it is not to take a unit over that is another one than they read in.
            QuantityError::MissingUnit { due, .. } => {
                format!("write the unit that it was read in behind the number, as in `{}`; {}", due.example(), takes(*due))
            }
            QuantityError::UnknownUnit { unit, .. } if is_absolute(unit) => {
                "read a gauge and write what it shows, such as `60 psi`; an absolute pressure counts the air's own in, about 14.7 psi or 1 bar"
                    .to_owned()
            }
            QuantityError::UnknownUnit { text, due: Dimension::Length, .. } if feet_and_inches(text).is_some() => {
                format!("write it in one unit: `{} in`", feet_and_inches(text).unwrap_or_default())
            }
            QuantityError::UnknownUnit { unit, due: Dimension::Pressure, .. } if is_vacuum(unit) => {
                "write what lies below the pressure of the air with its sign and nothing behind the unit, such as `-30 inHg`"
                    .to_owned()
            }
            QuantityError::UnknownUnit { meant: Some(meant), .. } => {
                format!("write `{meant}` if that is what was meant")
            }
            QuantityError::WrongDimension { found: Dimension::Volume, due: Dimension::Mass, .. } => {
                "weigh it, or take the volume times the density on the data sheet, and write the mass, such as `55 lb`".to_owned()
            }
            QuantityError::UnknownUnit { due, .. } | QuantityError::WrongDimension { due, .. } => {
                format!("write a {} such as `{}`; {}", due.name(), due.example(), takes(*due))
            }
            QuantityError::NotANumber { text, fault, due } => {
                without_the_sign(text).unwrap_or_else(|| fault.help(*due))
            }
            QuantityError::TooLong { .. } => {
                "round the number to at most 15 digits before and 9 digits after the point".to_owned()
            }
        }
    }
}

/// The cure of a number behind a sign that compares, such as `>= 60 h`: which way a number bounds stands elsewhere.
fn without_the_sign(text: &str) -> Option<String> {
    let bare = text.trim_start_matches(['<', '>', '=', '~', '\u{2264}', '\u{2265}', '\u{2248}', ' ']);
    let is_number = bare.len() < text.len() && bare.starts_with(|c: char| c.is_ascii_digit());
    is_number.then(|| format!("leave the sign out and write the number alone: `{bare}`"))
}

/// Spellings of absolute pressures, which must never be taken for what a gauge shows.
const ABSOLUTE: [&str; 15] = [
    "psia", "psi a", "psi abs", "bara", "bar a", "bar abs", "mbara", "mbar a", "mbar abs", "kpaa", "kpa a", "kpa abs",
    "mpaa", "mpa abs", "ata",
];

fn is_absolute(unit: &str) -> bool {
    let plain = unit.to_lowercase().replace(['(', ')', '.'], "");
    ABSOLUTE.contains(&plain.as_str())
}

/// How many inches a text of whole feet and inches says, such as `13 ft 6 in`.
fn feet_and_inches(text: &str) -> Option<u32> {
    let (feet, inches) = text.split_once("ft").or_else(|| text.split_once('\''))?;
    let inches = inches.trim().trim_end_matches("in").trim_end_matches(['"', '\'']).trim();
    let [feet, inches] = [feet, inches].map(|number| number.trim().parse::<u32>().ok());
    feet?.checked_mul(12)?.checked_add(inches?)
}

/// Whether a text behind a number says that it counts downwards from the pressure of the air.
fn is_vacuum(unit: &str) -> bool {
    let plain = unit.to_lowercase();
    plain.split_whitespace().last().is_some_and(|word| matches!(word.trim_end_matches('.'), "vac" | "vacuum"))
}

impl NumberFault {
    /// How to put it right, in one imperative sentence.
    fn help(self, due: Dimension) -> String {
        let example = due.example();
        match self {
            NumberFault::Empty | NumberFault::Word => format!("write a {} such as `{example}`", due.name()),
            NumberFault::TypographicMinus => "write the minus sign as the hyphen `-` of the keyboard".to_owned(),
            NumberFault::PlusSign => "leave out the plus sign".to_owned(),
            NumberFault::LonePoint => "write one digit or more on each side of one point, such as `0.5`".to_owned(),
            NumberFault::DecimalComma => "write a decimal point instead of the comma, such as `12.5`".to_owned(),
            NumberFault::Grouped => {
                "leave out the separators between digits, and write a decimal point where a comma stood for one, such as `1500` or `1.5`"
                    .to_owned()
            }
            NumberFault::Exponent => "write the number out in full, such as `1500` instead of `1.5e3`".to_owned(),
            NumberFault::NotFinite => {
                "write the number that was read, or leave the entry out if there was no reading".to_owned()
            }
            NumberFault::OtherDigit => "write the number with the digits 0 to 9, and a half as `1/2`".to_owned(),
            NumberFault::BadFraction => "write the fraction as `1/8` or, after a whole number and a space, `16 1/2`".to_owned(),
            NumberFault::TwoNumbers => format!("write one number and its unit, such as `{example}` or `16 1/2 in`"),
        }
    }
}

/// The message for a text whose unit is unknown; a count has no unit to be known.
fn unknown_unit(text: &str, unit: &str, due: Dimension) -> String {
    match due {
        Dimension::Count => {
            format!("`{text}` has `{unit}` after the number where a plain count is expected")
        }
        _ => format!("`{text}` has `{unit}` after the number, which is not a unit of {}", due.name()),
    }
}

/// The clause that lists the units.
fn takes(due: Dimension) -> String {
    let symbols: Vec<&str> = due.units().iter().map(|unit| Unit::symbol(*unit)).collect();
    match symbols.as_slice() {
        [] | [""] => format!("a {} takes no unit", due.name()),
        [only] => format!("a {} takes {only}", due.name()),
        [most @ .., last] => format!("a {} takes {} or {last}", due.name(), most.join(", ")),
    }
}

/// The text, cut to a length that fits a message.
pub(super) fn echo(text: &str) -> String {
    match text.char_indices().nth(MAX_ECHO_CHARS).and_then(|(end, _)| text.get(..end)) {
        Some(short) => [short, "…"].concat(),
        None => text.to_owned(),
    }
}

/// Why a text is not an instant or a day.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum InstantError {
    /// The shape is not that of a date and time.
    #[error("`{text}` is not a date and time")]
    NotAnInstant {
        /// The text as written.
        text: String,
    },
    /// The shape is not that of a date.
    #[error("`{text}` is not a date")]
    NotADay {
        /// The text as written.
        text: String,
    },
    /// A date where the time of day matters.
    #[error("`{text}` has a date but no time of day")]
    NoTime {
        /// The text as written.
        text: String,
    },
    /// A local time without its offset from UTC.
    #[error("`{text}` does not say how far its time is from UTC")]
    NoOffset {
        /// The text as written.
        text: String,
    },
    /// The offset is not `Z` or `+hh:mm`.
    #[error("`{text}` has the offset `{offset}`, which cannot be read")]
    BadOffset {
        /// The text as written.
        text: String,
        /// The offset as written.
        offset: String,
    },
    /// A part that no calendar or clock shows.
    #[error("`{text}` has {part} {value}, {limits}")]
    OutOfRange {
        /// The text as written.
        text: String,
        /// The part, such as `month`.
        part: &'static str,
        /// The part as written.
        value: String,
        /// What it must be, such as `which must be from 1 to 12`.
        limits: String,
    },
}
