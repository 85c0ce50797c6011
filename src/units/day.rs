//! A civil day, such as the day on which a certificate ends. It has no time and no offset of its own.
//!
//! This module must not know what day it is, nor when a day begins and ends at a place.

use std::fmt;

use jiff::Span;
use jiff::civil::Date;

use serde::{Deserialize, Serialize};

use super::InstantError;
use super::error::echo;

/// First year taken for any date. Earlier than any tyre, gauge or certificate still in a shop; a two-digit or mistyped
/// year falls outside.
pub const FIRST_YEAR: i16 = 1990;
/// Last year taken for any date: generous for a certificate "without end", and far from the end of the calendar.
pub const LAST_YEAR: i16 = 2200;

/// A day of the Gregorian calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub struct Day(Date);

impl Day {
    /// Reads `2027-01-31`, the full-date of RFC 3339.
    pub fn parse(text: &str) -> Result<Day, InstantError> {
        let text = text.trim();
        match date_parts(text) {
            Some(parts) => Day::from_parts(text, parts),
            None => Err(InstantError::NotADay { text: echo(text) }),
        }
    }

    /// The day of the parts of a date; `text` is what an error repeats.
    pub(super) fn from_parts(text: &str, [year, month, day]: [&str; 3]) -> Result<Day, InstantError> {
        let year = bounded(text, "year", year, FIRST_YEAR, LAST_YEAR)?;
        let month = bounded(text, "month", month, 1, 12)?;
        let day_number = bounded(text, "day", day, 1, 31)?;
        match Date::new(year, month, day_number) {
            Ok(date) => Ok(Day(date)),
            Err(_) => Err(InstantError::OutOfRange {
                text: echo(text),
                part: "day",
                value: day.to_owned(),
                limits: "which that month does not have".to_owned(),
            }),
        }
    }

    pub(super) const fn from_date(date: Date) -> Day {
        Day(date)
    }

    pub(super) const fn date(self) -> Date {
        self.0
    }

    /// How many calendar days this day is after the other; below zero where it is before.
    pub fn days_since(self, other: Day) -> i64 {
        // Without a unit of months or years a span between dates counts in days.
        self.0.since(other.0).map_or(0, |span| i64::from(span.get_days()))
    }

    /// The day so many calendar days later; `None` where that is far from all years taken.
    pub fn checked_add_days(self, days: i64) -> Option<Day> {
        let date = self.0.checked_add(Span::new().try_days(days).ok()?).ok()?;
        (FIRST_YEAR - 1..=LAST_YEAR + 1).contains(&date.year()).then_some(Day(date))
    }

    /// The text that reads back as the same day, `2027-01-31`.
    pub fn to_record_text(self) -> String {
        let mut text = String::with_capacity(10);
        push_date(&mut text, self.0);
        text
    }
}

impl fmt::Display for Day {
    /// The text for people, `31 January 2027`: with the month as a word no reader can take it for the day.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{} {} {}", self.0.day(), month_name(self.0.month()), self.0.year()))
    }
}

/// Adds a date as a record has it; its year has four digits.
pub(super) fn push_date(text: &mut String, date: Date) {
    let two = |part: i16| i8::try_from(part).unwrap_or_default();
    push_two(text, two(date.year() / 100));
    push_two(text, two(date.year() % 100));
    for part in [date.month(), date.day()] {
        text.push('-');
        push_two(text, part);
    }
}

/// Adds a number from 0 to 99 in two digits.
pub(super) fn push_two(text: &mut String, number: i8) {
    let digit = |number: u8| char::from(b'0' + number % 10);
    let number = number.unsigned_abs();
    text.extend([digit(number / 10), digit(number)]);
}

/// The English name of a month.
const fn month_name(month: i8) -> &'static str {
    match month {
        1 => "January",
        2 => "February",
        3 => "March",
        4 => "April",
        5 => "May",
        6 => "June",
        7 => "July",
        8 => "August",
        9 => "September",
        10 => "October",
        11 => "November",
        _ => "December",
    }
}

/// Splits a text of the shape `dddd-dd-dd` into its parts.
pub(super) fn date_parts(text: &str) -> Option<[&str; 3]> {
    let (year, rest) = text.split_once('-')?;
    let (month, day) = rest.split_once('-')?;
    (all_digits(year, 4) && all_digits(month, 2) && all_digits(day, 2)).then_some([year, month, day])
}

/// Whether the text is exactly so many digits.
pub(super) fn all_digits(text: &str, length: usize) -> bool {
    text.len() == length && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// Reads a part made of digits and holds it within its bounds.
pub(super) fn bounded<N>(text: &str, part: &'static str, digits: &str, least: N, most: N) -> Result<N, InstantError>
where
    N: std::str::FromStr + PartialOrd + fmt::Display + Copy,
{
    match digits.parse::<N>() {
        Ok(number) if least <= number && number <= most => Ok(number),
        _ => Err(InstantError::OutOfRange {
            text: echo(text),
            part,
            value: digits.to_owned(),
            limits: format!("which must be from {least} to {most}"),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_read_written_and_ordered() {
        let day = Day::parse(" 2027-01-31 ").unwrap();
        assert_eq!(day.to_string(), "31 January 2027");
        assert_eq!(day.to_record_text(), "2027-01-31");
        assert!(day < Day::parse("2027-02-01").unwrap());
    }

    #[test]
    fn leap_days_follow_the_gregorian_rule() {
        // Inter gravissimas (1582): centuries are leap years only when divisible by 400.
        for (text, exists) in [("2000-02-29", true), ("2100-02-29", false), ("2028-02-29", true), ("2027-02-29", false)]
        {
            assert_eq!(Day::parse(text).is_ok(), exists, "{text}");
        }
        let error = Day::parse("2027-02-29").unwrap_err();
        assert_eq!(error.to_string(), "`2027-02-29` has day 29, which that month does not have");
        assert_eq!(error.help(), "put the day right");
    }

    #[test]
    fn days_are_counted_by_the_calendar() {
        // 2028 is a leap year by the Gregorian rule (Inter gravissimas, 1582).
        for (from, days, to) in
            [("2027-12-31", 1, "2028-01-01"), ("2028-02-28", 2, "2028-03-01"), ("2028-03-01", -366, "2027-03-01")]
        {
            let (from, to) = (Day::parse(from).unwrap(), Day::parse(to).unwrap());
            assert_eq!(from.checked_add_days(days), Some(to));
            assert_eq!(to.days_since(from), days);
        }
        assert_eq!(Day::parse("2200-12-31").unwrap().checked_add_days(367), None);
    }

    #[test]
    fn other_shapes_and_years_are_refused_with_a_cure() {
        for text in ["", "2027", "31.01.2027", "2027-1-31", "01/31/2027", "2027-01-31T00:00Z", "27-01-31", "+027-01-31"]
        {
            let error = Day::parse(text).unwrap_err();
            assert_eq!(error, InstantError::NotADay { text: text.to_owned() });
            assert!(error.help().contains("`2027-01-31`"));
        }
        for text in ["1989-12-31", "2201-01-01", "0027-01-31"] {
            let error = Day::parse(text).unwrap_err();
            assert!(error.to_string().ends_with("which must be from 1990 to 2200"), "{error}");
            assert_eq!(error.help(), "write the year with four digits, from 1990 to 2200");
        }
        assert!(Day::parse("2027-13-01").unwrap_err().to_string().contains("month 13"));
    }
}
