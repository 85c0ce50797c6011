//! A time as people write it, `07:45` or `2026-03-03 16:00`, and the one instant that it means in a zone.
//!
//! Where the clock of the zone was put forward or back, a time may mean no instant or two; then nothing is guessed. This
//! module must not know what time it is.

use std::fmt;

use jiff::civil::Time;
use jiff::tz::AmbiguousOffset;

use super::day::date_parts;
use super::error::echo;
use super::instant::parse_time;
use super::{Day, Instant, InstantError, Zone};

/// Longest text taken for a time: a day, a blank, and nine decimals of a second.
const MAX_TEXT_BYTES: usize = 32;

/// What a clock on a wall shows, with its day where one is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WallTime {
    day: Option<Day>,
    time: Time,
}

impl WallTime {
    /// Reads `07:45`, `07:45:30`, or either behind a day and a blank; `None` where the text has another shape.
    ///
    /// # Errors
    /// A day or an hour that no calendar and no clock shows.
    pub fn parse(text: &str) -> Option<Result<WallTime, InstantError>> {
        let trimmed = text.trim();
        if trimmed.len() > MAX_TEXT_BYTES {
            return None;
        }
        let (date, clock) = match trimmed.split_once(' ') {
            Some((date, clock)) => (Some(date_parts(date)?), clock.trim_start()),
            None => (None, trimmed),
        };
        // What has an offset is an instant already.
        if !clock.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b':' | b'.')) {
            return None;
        }
        let time = match parse_time(trimmed, clock) {
            Ok(time) => time?,
            Err(error) => return Some(Err(error)),
        };
        let day = date.map(|parts| Day::from_parts(trimmed, parts)).transpose();
        Some(day.map(|day| WallTime { day, time }))
    }

    /// The day, where one is written.
    pub const fn day(self) -> Option<Day> {
        self.day
    }

    /// The instant at which the clock of the zone shows this time on the day that is written, or on `day` where none is.
    ///
    /// # Errors
    /// A time that the clock shows twice on that day, or never.
    pub fn instant(self, day: Day, zone: &Zone) -> Result<Instant, DoubtfulTime> {
        let local = self.day.unwrap_or(day).date().to_datetime(self.time);
        let reading = |offset: jiff::tz::Offset| {
            // Days are within the years taken, so every offset leads to a point in time.
            offset.to_timestamp(local).ok().map(|point| Instant::at_offset(point, offset))
        };
        let doubtful = |doubled, before, after| {
            let readings = [reading(before), reading(after)].into_iter().flatten().collect();
            DoubtfulTime { local: local.to_string(), zone: zone.name().to_owned(), doubled, readings }
        };
        match zone.rules().to_ambiguous_timestamp(local).offset() {
            AmbiguousOffset::Unambiguous { offset } => reading(offset).ok_or_else(|| doubtful(false, offset, offset)),
            AmbiguousOffset::Gap { before, after } => Err(doubtful(false, before, after)),
            AmbiguousOffset::Fold { before, after } => Err(doubtful(true, before, after)),
        }
    }
}

/// A time that the clock of a place shows twice on its day, or never.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DoubtfulTime {
    local: String,
    zone: String,
    /// Whether the clock shows it twice; else it shows it never.
    pub doubled: bool,
    /// What it would mean by the clock before it was put, and after.
    readings: Vec<Instant>,
}

impl DoubtfulTime {
    /// How to put it right, in one imperative sentence.
    pub fn help(&self) -> String {
        let readings: Vec<String> = self.readings.iter().map(|at| format!("`{}`", at.to_record_text())).collect();
        let which = if self.doubled { "the one that was meant" } else { "the one that the clock showed" };
        format!("write {which} with its offset: {}", readings.join(" or "))
    }
}

impl fmt::Display for DoubtfulTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let local = echo(&self.local.replace('T', " "));
        if self.doubled {
            write!(f, "the clock in {} shows {local} twice, since it was put back that day", self.zone)
        } else {
            write!(f, "the clock in {} never shows {local}, since it was put forward that day", self.zone)
        }
    }
}

impl std::error::Error for DoubtfulTime {}

#[cfg(test)]
mod tests;
