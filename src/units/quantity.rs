//! A number with its unit, as written, and its exact value in base units.
//!
//! The written form is kept so that a report can repeat it; comparisons use the base value. This module must not know
//! what is measured or whether the value is acceptable: a negative pressure can be written, and the caller refuses it.

use std::borrow::Cow;
use std::fmt;

use serde::{Deserialize, Serialize};

use super::error::echo;
use super::exact::{MAX_DECIMAL_DIGITS, MAX_WHOLE_DIGITS};
use super::number::{self, NotANumber};
use super::{Dimension, Exact, QuantityError, Rounding, Unit};

/// Longest text taken for a quantity: two 39-digit parts of a fraction, a sign and the longest unit, with room.
const MAX_TEXT_BYTES: usize = 120;
/// Up to this many decimal places an exact decimal is shown to people as it is.
const EXACT_PLACES: u32 = 4;
/// However small the number, people are never shown more decimal places than this.
const MOST_PLACES: u32 = 12;

/// A value in a unit.
///
/// Two quantities are equal when they were written with the same number and unit; compare [`base`](Quantity::base)
/// values to ask whether they are the same amount.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(into = "(Exact, Unit)", try_from = "(Exact, Unit)")]
pub struct Quantity {
    value: Exact,
    unit: Unit,
    // INVARIANT: `base` is `value` in base units of the unit's dimension.
    base: Exact,
}

impl Quantity {
    /// Reads a quantity of the given dimension, such as `105 psi`, `16 1/2 in`, `72 degF` or, for a count, `16`.
    ///
    /// Blanks, non-breaking ones included, are allowed around and between number and unit, and may be left out.
    pub fn parse(text: &str, due: Dimension) -> Result<Quantity, QuantityError> {
        let trimmed = text.trim();
        if trimmed.len() > MAX_TEXT_BYTES {
            return Err(QuantityError::TooLong { text: echo(trimmed) });
        }
        let (number, value, rest) = number::split(trimmed).map_err(|refusal| match refusal {
            NotANumber::Fault(fault) => QuantityError::NotANumber { text: echo(trimmed), fault, due },
            NotANumber::TooLong => QuantityError::TooLong { text: echo(trimmed) },
        })?;
        // Nearly every unit is one word.
        let mut words = rest.split_whitespace();
        let spelling = match (words.next(), words.next()) {
            (None, _) => Cow::Borrowed(""),
            (Some(word), None) => Cow::Borrowed(word),
            _ => Cow::Owned(rest.split_whitespace().collect::<Vec<_>>().join(" ")),
        };
        let unit = find_unit(trimmed, number, &spelling, due)?;
        Quantity::new(value, unit).ok_or_else(|| QuantityError::TooLong { text: echo(trimmed) })
    }

    /// A value in a unit; `None` when its base value does not fit.
    pub fn new(value: Exact, unit: Unit) -> Option<Quantity> {
        Some(Quantity { value, unit, base: unit.to_base(value)? })
    }

    /// The quantity of a base value, expressed in a unit; `None` when it does not fit.
    pub fn from_base(base: Exact, unit: Unit) -> Option<Quantity> {
        Some(Quantity { value: unit.from_base(base)?, unit, base })
    }

    /// The quantity of a base value, expressed in a unit; where that does not fit, the nearest that has as many decimal
    /// places as a record may write. `None` when it leaves all range.
    pub fn near_base(base: Exact, unit: Unit) -> Option<Quantity> {
        Quantity::from_base(base, unit).or_else(|| Quantity::new(unit.near_from_base(base, MAX_DECIMAL_DIGITS)?, unit))
    }

    /// The value in base units (see [`Dimension`]).
    pub const fn base(self) -> Exact {
        self.base
    }

    /// The value in its own unit.
    pub const fn value(self) -> Exact {
        self.value
    }

    /// The unit it is written in.
    pub const fn unit(self) -> Unit {
        self.unit
    }

    /// What it measures.
    pub const fn dimension(self) -> Dimension {
        self.unit.dimension()
    }

    /// The same amount in another unit; `None` when that unit measures something else or the value does not fit.
    #[must_use]
    pub fn in_unit(self, unit: Unit) -> Option<Quantity> {
        (unit.dimension() == self.dimension()).then(|| Quantity::from_base(self.base, unit))?
    }

    /// This less the other, in this quantity's unit: of two temperatures, a temperature difference.
    ///
    /// `None` for different dimensions or when the result does not fit.
    #[must_use]
    pub fn difference(self, other: Quantity) -> Option<Quantity> {
        if self.dimension() != other.dimension() {
            return None;
        }
        Quantity::from_base(self.base.checked_sub(other.base)?, self.unit.of_difference())
    }

    /// The quantity times a factor, in the same unit.
    ///
    /// `None` for a temperature, because twice 72 °F means nothing that the shop could mean, or when it does not fit.
    #[must_use]
    pub fn scaled(self, factor: Exact) -> Option<Quantity> {
        if self.dimension() == Dimension::Temperature {
            return None;
        }
        Quantity::new(self.value.checked_mul(factor)?, self.unit)
    }

    /// The text that reads back as the same quantity: an exact decimal where one is short enough, otherwise a fraction.
    pub fn to_record_text(self) -> String {
        let short = |decimal: &String| {
            let digits = decimal.trim_start_matches('-');
            digits.split('.').next().is_some_and(|whole| whole.len() <= MAX_WHOLE_DIGITS)
        };
        let number = u32::try_from(MAX_DECIMAL_DIGITS)
            .ok()
            .and_then(|places| self.value.to_decimal_exact(places))
            .filter(short)
            .unwrap_or_else(|| format!("{}/{}", self.value.numer(), self.value.denom()));
        join(&number, self.unit.symbol())
    }

    /// The text for people with a fixed number of decimal places, such as `72.0 °F`.
    pub fn show(self, places: u32, rounding: Rounding) -> String {
        join(&self.value.to_decimal(places, rounding), self.unit.pretty())
    }

    /// The text for people of a value that somebody wrote: with every digit that it was written with, since a rating that is
    /// rounded for show may look like another one.
    pub fn as_written(self) -> String {
        let places = u32::try_from(MAX_DECIMAL_DIGITS).unwrap_or(EXACT_PLACES);
        match self.value.to_decimal_exact(places).filter(|_| inch_fraction(self).is_none()) {
            Some(decimal) => join(&decimal, self.unit.pretty()),
            None => self.to_string(),
        }
    }

    /// Whether it is written as a fraction of an inch.
    pub fn is_fraction_of_an_inch(self) -> bool {
        inch_fraction(self).is_some()
    }

    /// Inches as a rule shows them, such as `1/4 in` or `2 1/2 in`; `None` for what is no whole number of
    /// sixty-fourths, and for whole inches.
    pub fn in_fractions_of_an_inch(self) -> Option<String> {
        fraction_of(self, &[2, 4, 8, 16, 32, 64]).map(|fraction| join(&fraction, self.unit.pretty()))
    }

    /// The number for people; see [`Display`](fmt::Display).
    fn number_for_people(self) -> String {
        if let Some(fraction) = inch_fraction(self) {
            return fraction;
        }
        if let Some(decimal) = self.value.to_decimal_exact(EXACT_PLACES) {
            return decimal;
        }
        self.value.to_decimal(places_for_people(self.value, self.unit.places()), Rounding::Nearest)
    }
}

impl fmt::Display for Quantity {
    /// The text for people. An exact decimal is shown as it is when four places hold it. Inches in eighths to
    /// sixty-fourths are shown as a fraction, `5 5/32 in`. Anything else is rounded to the nearest, to the places usual
    /// for its unit, and to more where three significant digits need them.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&join(&self.number_for_people(), self.unit.pretty()))
    }
}

/// Number and unit with a space, or the number alone for a count.
fn join(number: &str, unit: &str) -> String {
    if unit.is_empty() { number.to_owned() } else { [number, " ", unit].concat() }
}

/// Inches in eighths, sixteenths, thirty-seconds or sixty-fourths as a shop writes them; `None` for anything else.
fn inch_fraction(quantity: Quantity) -> Option<String> {
    fraction_of(quantity, &[8, 16, 32, 64])
}

/// Inches as a fraction with one of these denominators.
fn fraction_of(quantity: Quantity, denominators: &[i128]) -> Option<String> {
    let (num, den) = (quantity.value.numer(), quantity.value.denom());
    if quantity.unit != Unit::Inch || !denominators.contains(&den) {
        return None;
    }
    let sign = if num < 0 { "-" } else { "" };
    let (whole, part) = (num.abs() / den, num.abs() % den);
    Some(if whole == 0 { format!("{sign}{part}/{den}") } else { format!("{sign}{whole} {part}/{den}") })
}

/// The usual places of a unit, or more where the number is so small that they would hide its significant digits.
fn places_for_people(value: Exact, usual: u32) -> u32 {
    // From 100 upwards three significant digits need no decimal place; each tenth of that needs one more.
    let tenth = Exact::in_lowest_terms(1, 10);
    let mut needed = 0;
    let mut least = Some(Exact::from_int(100));
    while needed < MOST_PLACES && least.is_some_and(|least| value.abs() < least) {
        needed += 1;
        least = least.and_then(|least| least.checked_mul(tenth));
    }
    usual.max(needed)
}

/// The unit that a spelling names, or what is wrong with it.
fn find_unit(text: &str, number: &str, spelling: &str, due: Dimension) -> Result<Unit, QuantityError> {
    if let Some(unit) = Unit::find(spelling, due) {
        return Ok(unit);
    }
    let text = echo(text);
    if spelling.is_empty() {
        return Err(QuantityError::MissingUnit { text, due });
    }
    // `F` where a difference is due means the degree of difference, which has the same spelling.
    let habit = Unit::meant_by(spelling);
    let fitting = habit.and_then(|unit| Unit::find(unit.symbol(), due));
    let found = Dimension::ALL.into_iter().find(|&other| Unit::find(spelling, other).is_some());
    match (fitting, found.or(habit.map(Unit::dimension))) {
        (None, Some(found)) => Err(QuantityError::WrongDimension { text, found, due }),
        (fitting, _) => {
            let meant = fitting.or_else(|| Unit::like(spelling, due)).map(|unit| join(number, unit.symbol()));
            Err(QuantityError::UnknownUnit { text, unit: echo(spelling), due, meant })
        }
    }
}

#[cfg(test)]
mod tests;
