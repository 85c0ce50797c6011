//! Takes a sidewall text apart: prefix, numbers, construction, rim code; the rest goes to the markings.
//!
//! The reader remembers in words what it has understood, so that a refusal can show it. This module must not know
//! dimensions or what a size is used for.

mod suffix;

use super::error::{BARE_WIDTH, DesignationError, DesignationFault as Fault};
use super::{Construction, Designation, LowSection, Number, Prefix, Size, Style};
use crate::units::{Exact, Unit};

/// Longest text taken, in bytes: a full sidewall text with every marking stays below this.
const MAX_TEXT_BYTES: usize = 96;
/// Longest piece of user text that an error repeats.
const MAX_ECHO_CHARS: usize = 48;
/// From this number on a width is in millimetres: the widest tyres measured in inches stay far below, and the
/// narrowest named in millimetres start here.
const FIRST_METRIC_WIDTH: i64 = 100;
/// Width codes taken, in inches.
const CODE_WIDTHS: (i64, i64) = (2, 75);
/// Metric widths taken, in millimetres.
const METRIC_WIDTHS: (i64, i64) = (FIRST_METRIC_WIDTH, 1400);
/// Metric widths taken where the name has no aspect, in millimetres: industrial sizes. `700-12` is 7.00 in without its
/// point, not a tyre 700 mm wide.
const BARE_METRIC_WIDTHS: (i64, i64) = (FIRST_METRIC_WIDTH, 400);
/// Aspects taken after a metric width, in percent.
const ASPECTS: (i64, i64) = (15, 110);
/// Aspects taken after a width in inches: below, the number is the width of a second size, as in `18.4/15-34`.
const CODE_ASPECTS: (i64, i64) = (25, 110);
/// Overall diameters taken, in inches; the largest loader tyres are about 170.
const DIAMETERS: (i64, i64) = (6, 180);
/// Rim codes taken, in inches: from hand trucks to the largest dump trucks.
const RIMS: (i64, i64) = (3, 63);
/// Most decimal places of a number in a designation.
const MAX_PLACES: usize = 2;
/// Most digits before the point.
const MAX_WHOLE: usize = 4;

/// Reads a whole sidewall text.
pub(super) fn designation(text: &str) -> Result<Designation, DesignationError> {
    let mut reader = Reader { text, at: 0, understood: Vec::new() };
    if text.len() > MAX_TEXT_BYTES {
        return Err(reader.fail(Fault::TooLong));
    }
    reader.skip_blanks();
    if reader.rest().is_empty() {
        return Err(reader.fail(Fault::Empty));
    }
    let prefix = reader.prefix()?;
    let size = reader.size()?;
    let low_section = reader.low_section(size);
    let construction = reader.construction(size)?;
    reader.skip_blanks();
    let before_rim = reader.at;
    let rim = reader.number("rim diameter", RIMS)?;
    reader.understood.push(format!("rim {rim} in"));
    let (width, unit, diameter) = match size {
        Size::Metric { width, .. } | Size::MetricWidth { width } => (width, Unit::Millimetre, None),
        Size::Code { width } | Size::CodeAspect { width, .. } => (width, Unit::Inch, None),
        Size::DiameterFirst { diameter, width } => (width, Unit::Inch, Some(diameter)),
    };
    if diameter.is_some_and(|diameter| diameter.value <= rim.value) {
        return Err(reader.fail_at(before_rim, Fault::NoHeight));
    }
    let markings = suffix::markings(&mut reader)?;
    // The ranges above keep every number far inside what a quantity holds.
    let too_long = |reader: &Reader| reader.fail_at(0, Fault::TooLong);
    Ok(Designation {
        prefix,
        size,
        low_section,
        construction,
        rim,
        markings,
        rim_diameter: rim.in_unit(Unit::Inch).ok_or_else(|| too_long(&reader))?,
        section_width: width.in_unit(unit).ok_or_else(|| too_long(&reader))?,
        named_diameter: diameter.and_then(|diameter| diameter.in_unit(Unit::Inch)),
    })
}

/// The text, how far it has been read, and what was understood of it.
struct Reader<'t> {
    text: &'t str,
    at: usize,
    understood: Vec<String>,
}

impl<'t> Reader<'t> {
    fn rest(&self) -> &'t str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn skip_blanks(&mut self) {
        let rest = self.rest();
        self.at += rest.len() - rest.trim_start().len();
    }

    /// Takes the next character if it fits, after blanks; leaves the position alone otherwise.
    fn take(&mut self, fits: impl Fn(char) -> bool) -> Option<char> {
        let rest = self.rest();
        let next = rest.trim_start();
        let found = next.chars().next().filter(|&c| fits(c))?;
        self.at += rest.len() - next.len() + found.len_utf8();
        Some(found)
    }

    fn run(&self, fits: impl Fn(char) -> bool) -> &'t str {
        let rest = self.rest();
        let end = rest.find(|c: char| !fits(c)).unwrap_or(rest.len());
        rest.get(..end).unwrap_or("")
    }

    fn fail(&self, fault: Fault) -> DesignationError {
        self.fail_at(self.at, fault)
    }

    fn fail_at(&self, at: usize, fault: Fault) -> DesignationError {
        let understood = if self.understood.is_empty() { "nothing".to_owned() } else { self.understood.join(", ") };
        DesignationError { text: self.text.trim().chars().take(MAX_ECHO_CHARS).collect(), understood, at, fault }
    }

    fn prefix(&mut self) -> Result<Option<Prefix>, DesignationError> {
        let letters = self.run(char::is_alphabetic);
        let prefix = match letters.to_ascii_uppercase().as_str() {
            "" => return Ok(None),
            "P" => Prefix::Passenger,
            "LT" => Prefix::LightTruck,
            "ST" => Prefix::SpecialTrailer,
            "IF" => Prefix::ImprovedFlexion,
            "VF" => Prefix::VeryHighFlexion,
            _ => {
                let found = letters.chars().take(MAX_ECHO_CHARS).collect();
                return Err(self.fail(Fault::UnknownPrefix { found }));
            }
        };
        self.at += letters.len();
        self.skip_blanks();
        self.understood.push(format!("prefix {prefix}"));
        Ok(Some(prefix))
    }

    /// Reads everything before low-section letters and construction; the separator decides what the numbers mean.
    fn size(&mut self) -> Result<Size, DesignationError> {
        let start = self.at;
        let first = self.any_number("first number")?;
        if self.take(|c| c == '/').is_some() {
            return self.with_aspect(start, first);
        }
        if self.take(|c| matches!(c, 'x' | 'X' | '×')).is_some() {
            self.check(start, first, "overall diameter", DIAMETERS)?;
            self.understood.push(format!("overall diameter {first} in"));
            self.skip_blanks();
            let width = self.number("section width", CODE_WIDTHS)?;
            self.understood.push(format!("section width {width} in"));
            return Ok(Size::DiameterFirst { diameter: first, width });
        }
        if is_metric(first) {
            self.check(start, first, BARE_WIDTH, BARE_METRIC_WIDTHS)?;
            self.understood.push(format!("section width {first} mm"));
            return Ok(Size::MetricWidth { width: first });
        }
        self.check(start, first, "section width", CODE_WIDTHS)?;
        self.understood.push(format!("section width {first} in"));
        Ok(Size::Code { width: first })
    }

    fn with_aspect(&mut self, start: usize, width: Number) -> Result<Size, DesignationError> {
        let metric = is_metric(width);
        let (range, unit) = if metric { (METRIC_WIDTHS, "mm") } else { (CODE_WIDTHS, "in") };
        self.check(start, width, "section width", range)?;
        self.understood.push(format!("section width {width} {unit}"));
        self.skip_blanks();
        let aspect = self.number("aspect", if metric { ASPECTS } else { CODE_ASPECTS })?;
        self.understood.push(format!("aspect {aspect} %"));
        Ok(if metric { Size::Metric { width, aspect } } else { Size::CodeAspect { width, aspect } })
    }

    /// Takes `L` or `LL` after a width in inches.
    fn low_section(&mut self, size: Size) -> Option<LowSection> {
        if !matches!(size, Size::Code { .. } | Size::DiameterFirst { .. }) {
            return None;
        }
        let letters = self.run(|c| matches!(c, 'L' | 'l'));
        let low = match letters.len() {
            1 => LowSection::L,
            2 => LowSection::Ll,
            _ => return None,
        };
        self.at += letters.len();
        self.understood.push("low section".to_owned());
        Some(low)
    }

    fn construction(&mut self, size: Size) -> Result<Construction, DesignationError> {
        let mark = self.take(|c| is_dash(c) || matches!(c, 'R' | 'r' | 'D' | 'd' | 'B' | 'b'));
        let (construction, word) = match mark.map(|c| c.to_ascii_uppercase()) {
            Some('R') => (Construction::Radial, "radial"),
            Some('B') => (Construction::BiasBelted, "bias-belted"),
            Some(_) => (Construction::Diagonal, "diagonal"),
            None => {
                self.skip_blanks();
                if matches!(size, Size::DiameterFirst { .. }) && !matches!(self.peek(), Some('x' | 'X' | '×')) {
                    return Err(self.fail(Fault::OnlyTwoNumbers));
                }
                let found = self.peek().map_or_else(|| "nothing".to_owned(), |c| format!("`{c}`"));
                return Err(self.fail(Fault::NoConstruction { found }));
            }
        };
        self.understood.push(word.to_owned());
        Ok(construction)
    }

    /// Reads a number and checks its range.
    fn number(&mut self, due: &'static str, range: (i64, i64)) -> Result<Number, DesignationError> {
        let start = self.at;
        let number = self.any_number(due)?;
        self.check(start, number, due, range)?;
        Ok(number)
    }

    fn check(&self, at: usize, number: Number, due: &'static str, range: (i64, i64)) -> Result<(), DesignationError> {
        let (lowest, highest) = range;
        if number.value < Exact::from_int(lowest) || number.value > Exact::from_int(highest) {
            return Err(self.fail_at(at, Fault::OutOfRange { due, found: number.to_string(), lowest, highest }));
        }
        Ok(())
    }

    /// Reads `12`, `12.00`, `4 1/2` or `4½`.
    fn any_number(&mut self, due: &'static str) -> Result<Number, DesignationError> {
        let start = self.at;
        let bad = |reader: &Self, what| reader.fail_at(start, Fault::BadNumber { due, what });
        let whole = self.run(|c| c.is_ascii_digit());
        if whole.is_empty() {
            return Err(self.fail(Fault::NoNumber { due }));
        }
        self.at += whole.len();
        let (value, style) = match self.peek() {
            Some(',') if self.rest().chars().nth(1).is_some_and(|c| c.is_ascii_digit()) => {
                return Err(bad(self, "decimal comma"));
            }
            Some('.') => {
                self.at += 1;
                let decimals = self.run(|c| c.is_ascii_digit());
                if decimals.is_empty() {
                    return Err(bad(self, "decimal point without a digit after it"));
                }
                if decimals.len() > MAX_PLACES {
                    return Err(bad(self, "third decimal place"));
                }
                self.at += decimals.len();
                if self.rest().starts_with('/') && decimals.len() == 1 {
                    // `4.1/2` is written for four and a half, but also begins `12.5/80`; the aspect tells them apart.
                    let after = self.rest().trim_start_matches('/');
                    let digits = after.find(|c: char| !c.is_ascii_digit()).unwrap_or(after.len());
                    if digits == 1 {
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

fn is_metric(width: Number) -> bool {
    width.value >= Exact::from_int(FIRST_METRIC_WIDTH) && width.style == Style::Decimals(0)
}

/// The hyphen and the dashes that word processors put in its place.
fn is_dash(c: char) -> bool {
    matches!(c, '-' | '\u{2010}'..='\u{2015}' | '\u{2212}')
}
