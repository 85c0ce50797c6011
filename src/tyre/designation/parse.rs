//! Takes a sidewall text apart: prefix, sizes, and the rest for the markings.
//!
//! The reader remembers in words what it has understood, so that a refusal can show it. This module must not know
//! dimensions or what a size is used for.

mod number;
mod size;
mod suffix;

use super::error::{DesignationError, DesignationFault};
use super::marking::{Markings, Service};
use super::name::{Name, Number, Size, Style};
use super::{Designation, Prefix};
use crate::units::{Exact, Quantity, Unit};

/// Longest text taken, in bytes: a full sidewall text with every marking stays below this.
const MAX_TEXT_BYTES: usize = 96;
/// Longest piece of user text that an error repeats.
const MAX_ECHO_CHARS: usize = 48;
/// Widths that a rim has between its flanges, in inches: from hand carts to the largest dump trucks.
const RIM_WIDTHS: (i64, i64) = (2, 44);

/// Reads a whole sidewall text.
pub(super) fn designation(text: &str) -> Result<Designation, DesignationError> {
    let mut reader = DesignationReader::begin(text)?;
    let (prefix, services) = reader.prefix()?;
    let (name, mut also) = reader.names()?;
    let rim_width = reader.rim_width();
    reader.other_sizes(&name, &mut also)?;
    let light = matches!(prefix, Some(Prefix::LightTruck | Prefix::SpecialTrailer));
    let markings = suffix::markings(&mut reader, Markings { services, ..Markings::default() }, light)?;
    // The ranges keep every number far inside what a quantity holds.
    let too_long = || reader.fail_at(0, DesignationFault::TooLong);
    let section_width = section_width(&name, &also).ok_or_else(too_long)?;
    Ok(Designation {
        prefix,
        name,
        also,
        rim_width,
        markings,
        rim_diameter: name.rim.in_unit(name.rim_unit()).ok_or_else(too_long)?,
        section_width,
        named_diameter: name.diameter(),
        named_rim_width: rim_width.and_then(|width| width.in_unit(Unit::Inch)),
    })
}

/// The nominal section width. Of a small size with two widths, `4.10/3.50-4`, the narrower is that of the section, and
/// the wider only names it: tyres of these sizes are 1.0 to 1.1 times as wide as the narrower says (MEMORY, Tire and
/// Rim Association).
fn section_width(name: &Name, also: &[Name]) -> Option<Quantity> {
    let of_code = |name: &Name| match name.size {
        Size::Code { width } if width.style == Style::Decimals(2) => Some(width),
        _ => None,
    };
    let small = of_code(name).filter(|width| Some(width.value) < Exact::new(13, 2));
    let narrowest = small.and_then(|_| also.iter().filter_map(of_code).min_by_key(|width| width.value));
    match small.zip(narrowest) {
        Some((first, narrow)) if narrow.value < first.value => narrow.in_unit(Unit::Inch),
        _ => name.section_width(),
    }
}

/// Reads the sizes that a tube is marked for, and returns them with what follows.
pub(super) fn sizes(text: &str) -> Result<(Vec<Name>, &str), DesignationError> {
    let mut reader = DesignationReader::begin(text)?;
    let mut all = Vec::new();
    loop {
        reader.prefix()?;
        let (name, also) = reader.names()?;
        all.push(name);
        all.extend(also);
        let here = reader.at;
        let separated = reader.take(|c| matches!(c, '/' | ',' | ';' | '+' | '&' | '(' | ')')).is_some();
        reader.skip_blanks();
        if !separated && reader.at == here || !reader.peek().is_some_and(|c| c.is_ascii_digit()) {
            return Ok((all, reader.rest()));
        }
    }
}

/// The text, how far it has been read, and what was understood of it.
struct DesignationReader<'t> {
    text: &'t str,
    at: usize,
    understood: Vec<String>,
}

impl<'t> DesignationReader<'t> {
    /// A reader at what stands first in a text.
    fn begin(text: &'t str) -> Result<Self, DesignationError> {
        let mut reader = Self { text, at: 0, understood: Vec::new() };
        if text.len() > MAX_TEXT_BYTES {
            return Err(reader.fail(DesignationFault::TooLong));
        }
        reader.skip_blanks();
        if reader.rest().is_empty() {
            return Err(reader.fail(DesignationFault::Empty));
        }
        Ok(reader)
    }

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

    fn fail(&self, fault: DesignationFault) -> DesignationError {
        self.fail_at(self.at, fault)
    }

    fn fail_at(&self, at: usize, fault: DesignationFault) -> DesignationError {
        let understood = if self.understood.is_empty() { "nothing".to_owned() } else { self.understood.join(", ") };
        DesignationError { text: self.text.trim().chars().take(MAX_ECHO_CHARS).collect(), understood, at, fault }
    }

    /// Takes a prefix and the service words before the first number.
    fn prefix(&mut self) -> Result<(Option<Prefix>, Vec<Service>), DesignationError> {
        let (mut prefix, mut services) = (None, Vec::new());
        loop {
            let letters = self.run(char::is_alphabetic);
            let word = letters.to_ascii_uppercase();
            match (Prefix::from_letters(&word), Service::from_word(&word)) {
                _ if letters.is_empty() => return Ok((prefix, services)),
                (Some(found), _) if prefix.is_none() => {
                    self.understood.push(format!("prefix {found}"));
                    prefix = Some(found);
                }
                (None, Some(service)) if !services.contains(&service) => {
                    self.understood.push(service.word().to_owned());
                    services.push(service);
                }
                _ => {
                    let found = letters.chars().take(MAX_ECHO_CHARS).collect();
                    return Err(self.fail(DesignationFault::UnknownPrefix { found }));
                }
            }
            self.at += letters.len();
            self.skip_blanks();
        }
    }

    /// Takes `/4.33` or `/7.5` after the rim code: the width of the rim. A slash before anything but a number with a point
    /// belongs to what follows.
    fn rim_width(&mut self) -> Option<Number> {
        let (at, understood) = (self.at, self.understood.len());
        self.take(|c| c == '/')?;
        let number = self.any_number("rim width").ok();
        let ends = !self.peek().is_some_and(|c| c.is_alphanumeric() || c == '-' || c == '/');
        let (least, most) = RIM_WIDTHS;
        let found = number.filter(|number| {
            let within = number.value >= Exact::from_int(least) && number.value <= Exact::from_int(most);
            ends && within && matches!(number.style, Style::Decimals(1 | 2))
        });
        match found {
            Some(width) => self.understood.push(format!("rim width {width} in")),
            None => self.back_to(at, understood),
        }
        found
    }

    /// Takes the other sizes that the sidewall shows, each after a slash or in brackets.
    fn other_sizes(&mut self, first: &Name, also: &mut Vec<Name>) -> Result<(), DesignationError> {
        loop {
            let (at, understood) = (self.at, self.understood.len());
            let Some(mark) = self.take(|c| matches!(c, '/' | '(' | '=')) else { return Ok(()) };
            self.skip_blanks();
            let begins = self.at;
            let names = self.names();
            // `(152D 20)` is a load index with something after it: a width in millimetres takes a dash or an `R`.
            let told = self.text.get(begins..self.at).is_some_and(|size| !size.contains(['B', 'b', 'D', 'd']));
            let closed = if mark == '(' {
                self.take(|c| c == ')').is_some()
            } else {
                !self.peek().is_some_and(char::is_alphanumeric)
            };
            match names {
                Ok((name, _)) if matches!(name.size, Size::MetricWidth { .. }) && !told => {
                    self.back_to(at, understood);
                    return Ok(());
                }
                Ok((name, more)) if closed && name.rim.value == first.rim.value => {
                    also.push(name);
                    also.extend(more);
                }
                Ok((name, _)) if closed => {
                    return Err(self.fail_at(begins, DesignationFault::OtherRim { found: name.to_string() }));
                }
                _ => {
                    self.back_to(at, understood);
                    return Ok(());
                }
            }
        }
    }

    /// Undoes a trial.
    fn back_to(&mut self, at: usize, understood: usize) {
        self.at = at;
        self.understood.truncate(understood);
    }
}
