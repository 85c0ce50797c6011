//! Reads one number of a size as it is written: with a point or a comma, or with a fraction.
//!
//! This module must not know what the number stands for.

use super::DesignationReader;
use crate::tyre::designation::error::{DesignationError, DesignationFault};
use crate::tyre::designation::name::{Number, Style};
use crate::units::Exact;

/// Most decimal places of a number in a designation.
const MAX_PLACES: usize = 2;
/// Most digits before the point.
const MAX_WHOLE: usize = 4;

impl DesignationReader<'_> {
    /// Reads a number before the rim code: `12`, `12.00`, `12,00`, `4 1/2` or `4½`.
    pub(super) fn any_number(&mut self, due: &'static str) -> Result<Number, DesignationError> {
        let comma = self.comma_after_digits(|decimals| (1..=MAX_PLACES).contains(&decimals.len()));
        self.number_with(due, comma, true)
    }

    /// Reads a rim code. A comma belongs to it only before a lone 1, 3 or 5, the decimals that rims have: `20,16PR` is
    /// rim 20 with something after it. A point and a fraction cannot be mistaken here, so `16.5/8PR` is taken.
    pub(super) fn rim_number(&mut self) -> Result<Number, DesignationError> {
        let comma = self.comma_after_digits(|decimals| matches!(decimals, "1" | "3" | "5"))
            && !self.rest().trim_start_matches(|c: char| c.is_ascii_digit() || c == ',').starts_with(['P', 'p']);
        self.number_with("rim diameter", comma, false)
    }

    /// Whether the digits here are followed by a comma and decimals of the form asked for.
    fn comma_after_digits(&self, fits: impl Fn(&str) -> bool) -> bool {
        let whole = self.run(|c| c.is_ascii_digit());
        let after = self.rest().get(whole.len()..).and_then(|rest| rest.strip_prefix(','));
        after.is_some_and(|after| {
            let end = after.find(|c: char| !c.is_ascii_digit()).unwrap_or(after.len());
            fits(after.get(..end).unwrap_or(""))
        })
    }

    /// Reads a number; `comma` says that a comma here is a decimal point, `fractions` that `4.1/2` is a slip.
    fn number_with(&mut self, due: &'static str, comma: bool, fractions: bool) -> Result<Number, DesignationError> {
        let start = self.at;
        let bad = |reader: &Self, what| reader.fail_at(start, DesignationFault::BadNumber { due, what });
        let whole = self.run(|c| c.is_ascii_digit());
        if whole.is_empty() {
            return Err(self.fail(DesignationFault::NoNumber { due }));
        }
        self.at += whole.len();
        let (value, style) = match self.peek() {
            Some(point) if point == '.' || point == ',' && comma => {
                self.at += 1;
                let decimals = self.run(|c| c.is_ascii_digit());
                if decimals.is_empty() {
                    return Err(bad(self, "decimal point without a digit after it"));
                }
                if decimals.len() > MAX_PLACES {
                    return Err(bad(self, "third decimal place"));
                }
                self.at += decimals.len();
                if fractions && self.rest().starts_with('/') && decimals.len() == 1 {
                    // `4.1/2` is written for four and a half, but also begins `12.5/80` and `9.5/9-24`.
                    let after = self.rest().trim_start_matches('/');
                    let digits = after.find(|c: char| !c.is_ascii_digit()).unwrap_or(after.len());
                    if matches!(after.get(..digits), Some(den @ ("2" | "4" | "8")) if decimals < den) {
                        return Err(bad(self, "point between a whole number and a fraction"));
                    }
                }
                let places = u8::try_from(decimals.len()).unwrap_or(u8::MAX);
                (Exact::parse_decimal(&format!("{whole}.{decimals}")), Style::Decimals(places))
            }
            Some(sign @ ('¼' | '½' | '¾')) => {
                self.at += sign.len_utf8();
                let quarters = match sign {
                    '¼' => 1,
                    '½' => 2,
                    _ => 3,
                };
                (mixed(whole, quarters, 4), Style::Fraction)
            }
            _ => match self.fraction() {
                Some((num, den)) if num > 0 && num < den && matches!(den, 2 | 4 | 8 | 16) => {
                    (mixed(whole, num, den), Style::Fraction)
                }
                Some(_) => return Err(bad(self, "fraction that is not in halves, quarters, eighths or sixteenths")),
                None => (Exact::parse_decimal(whole), Style::Decimals(0)),
            },
        };
        match value {
            Some(value) if whole.len() <= MAX_WHOLE => Ok(Number { value, style }),
            _ => Err(bad(self, "row of digits longer than any size has")),
        }
    }

    /// Takes ` 1/2` after a whole number; leaves the position alone when nothing of that form follows.
    fn fraction(&mut self) -> Option<(i128, i128)> {
        let rest = self.rest();
        let next = rest.trim_start();
        if next.len() == rest.len() {
            return None;
        }
        let (num, after) = next.split_once('/')?;
        let end = after.find(|c: char| !c.is_ascii_digit()).unwrap_or(after.len());
        let den = after.get(..end)?;
        let all_digits = !num.is_empty() && num.bytes().all(|byte| byte.is_ascii_digit());
        if !all_digits || den.is_empty() || num.len() > 2 || den.len() > 2 {
            return None;
        }
        let parts = (num.parse().ok()?, den.parse().ok()?);
        self.at += rest.len() - after.len() + end;
        Some(parts)
    }
}

/// A whole number and a fraction.
fn mixed(whole: &str, num: i128, den: i128) -> Option<Exact> {
    Exact::parse_decimal(whole)?.checked_add(Exact::new(num, den)?)
}
