//! Days and times as people write them, `9:45`, `10.00 am`, `3/4/2026`: what each can mean, to be asked for and never taken.
//!
//! Must not know whose times they are.

use std::fmt::Write as _;

use super::MAX_TEXT_BYTES;
use crate::units::Day;

/// The months by the beginnings of their names.
const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Every time that a text can mean which is no time of a clock as it is written: in the form in which it would be one,
/// `09:45` or `2026-03-04 09:45`. Empty where it means none.
pub fn times_meant(text: &str) -> Vec<String> {
    let text = text.trim();
    if text.len() > MAX_TEXT_BYTES {
        return Vec::new();
    }
    if let Some(time) = clock(text) {
        return vec![time];
    }
    let parts = text.char_indices().filter(|(_, sign)| matches!(sign, ' ' | 'T' | 't' | ','));
    let mut splits = parts.filter_map(|(at, sign)| Some((text.get(..at)?, text.get(at + sign.len_utf8()..)?)));
    let found = splits.find_map(|(day, time)| {
        let days = if Day::parse(day).is_ok() { vec![day.trim().to_owned()] } else { days_meant(day) };
        let time = clock(time.trim())?;
        (!days.is_empty()).then(|| days.into_iter().map(|day| format!("{day} {time}")).collect())
    });
    found.unwrap_or_default()
}

/// The time of a clock that a text without a day means.
fn clock(text: &str) -> Option<String> {
    let small = text.to_lowercase().replace("a.m.", "am").replace("p.m.", "pm");
    let (body, half) = match (small.strip_suffix("am"), small.strip_suffix("pm")) {
        (Some(body), _) => (body.trim_end(), Some(0)),
        (_, Some(body)) => (body.trim_end(), Some(12)),
        _ => (small.as_str(), None),
    };
    let (body, of_hours) = match body.strip_suffix('h') {
        Some(body) => (body.trim_end(), true),
        None => (body, false),
    };
    let parts: Vec<&str> = body.split([':', '.', 'h']).collect();
    let (hour, rest) = match parts.as_slice() {
        // Four figures in a row, or three.
        [whole] if whole.len() == 3 || whole.len() == 4 => whole.split_at_checked(whole.len() - 2)?,
        [hour] if half.is_some() || of_hours => (*hour, "00"),
        [hour, minute] => (*hour, *minute),
        [hour, minute, second] if second.len() == 2 && body.contains(':') => {
            return of_parts(hour, &[minute, second], half);
        }
        _ => return None,
    };
    of_parts(hour, &[rest], half)
}

fn of_parts(hour: &str, rest: &[&str], half: Option<u8>) -> Option<String> {
    let number = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse::<u8>().ok()).flatten();
    let hour = match (number(hour)?, half) {
        (hour @ 0..=23, None) => hour,
        (hour @ 1..=12, Some(half)) => hour % 12 + half,
        _ => return None,
    };
    let mut time = format!("{hour:02}");
    for part in rest {
        let figures = number(part).filter(|figures| *figures < 60 && part.len() == 2)?;
        let _ = write!(time, ":{figures:02}");
    }
    Some(time)
}

/// The first day of the month that a text means which names no day, in the form of a record.
pub fn month_meant(text: &str) -> Option<String> {
    let plain: String = text.chars().map(|c| if matches!(c, '/' | '.' | ',' | '-') { ' ' } else { c }).collect();
    let parts: Vec<&str> = plain.split_whitespace().collect();
    let is_year = |text: &str| text.len() == 4;
    let [one, other] = parts.as_slice() else { return None };
    let (year, month) = if is_year(one) { (one, other) } else { (other, one) };
    let days = days_meant(&format!("{year} {month} 01"));
    days.into_iter().next().filter(|_| is_year(year) && !is_year(month))
}

/// Every day that a text can mean, in the form of a record: two where nobody can tell day and month apart.
pub fn days_meant(text: &str) -> Vec<String> {
    let text = text.trim();
    let plain: String = text.chars().map(|c| if matches!(c, '/' | '.' | ',' | '-') { ' ' } else { c }).collect();
    let parts: Vec<&str> = plain.split_whitespace().collect();
    let number = |text: &str| {
        let figures = text.trim_end_matches(|c: char| c.is_ascii_lowercase());
        figures.bytes().all(|byte| byte.is_ascii_digit()).then(|| figures.parse::<u16>().ok()).flatten()
    };
    let month = |name: &str| {
        let name = name.to_lowercase();
        let at = MONTHS.iter().position(|month| name.len() >= 3 && month.starts_with(&name))?;
        u16::try_from(at + 1).ok()
    };
    let is_year = |text: &str| text.len() == 4 && text.bytes().all(|byte| byte.is_ascii_digit());
    let mut meant: Vec<[Option<u16>; 3]> = Vec::new();
    match parts.as_slice() {
        [year, one, other] if is_year(year) => {
            meant.push([number(year), month(one).or_else(|| number(one)), number(other)]);
        }
        [one, other, year] if is_year(year) => match (month(one), month(other)) {
            (Some(name), _) => meant.push([number(year), Some(name), number(other)]),
            (_, Some(name)) => meant.push([number(year), Some(name), number(one)]),
            _ => {
                meant.push([number(year), number(one), number(other)]);
                meant.push([number(year), number(other), number(one)]);
            }
        },
        [whole] if whole.len() == 8 && whole.is_ascii() => {
            let (year, rest) = whole.split_at(4);
            let (one, other) = rest.split_at(2);
            meant.push([number(year), number(one), number(other)]);
        }
        _ => {}
    }
    let mut days: Vec<String> = Vec::new();
    for parts in meant {
        let [Some(year), Some(month), Some(day)] = parts else { continue };
        let written = format!("{year:04}-{month:02}-{day:02}");
        if Day::parse(&written).is_ok() && !days.contains(&written) {
            days.push(written);
        }
    }
    days
}
