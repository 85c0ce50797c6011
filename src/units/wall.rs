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
            // What the clock of the zone truly showed then.
            let readings = [reading(before), reading(after)].into_iter().flatten().map(|at| at.in_zone(zone)).collect();
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
    /// What it would mean by a clock that was not put yet, and by one that was; each as the zone has it.
    readings: Vec<Instant>,
}

impl DoubtfulTime {
    /// How to put it right, in one imperative sentence.
    pub fn help(&self) -> String {
        let [before, after] = self.readings.as_slice() else {
            return "write the instant with its offset from UTC".to_owned();
        };
        if self.doubled {
            return format!(
                "write the one that was meant: the first, before the clock was put back, is `{}`; the second, after it, is `{}`",
                before.to_record_text(),
                after.to_record_text()
            );
        }
        format!(
            "write `{}` if it was read off a clock that was not put forward yet, or `{}` if off one that was put forward too early",
            on_a_clock(*before),
            on_a_clock(*after)
        )
    }
}

/// An instant of a zone as the clock there shows it, which reads back as the same one where the clock shows it once.
fn on_a_clock(at: Instant) -> String {
    let text = at.to_record_text();
    let (day, time) = text.split_once('T').unwrap_or((&text, ""));
    let clock = time.find(['+', '-', 'Z']).and_then(|end| time.get(..end)).unwrap_or(time);
    format!("{day} {}", clock.strip_suffix(":00").filter(|clock| clock.contains(':')).unwrap_or(clock))
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

mod hand;

pub use hand::{days_meant, month_meant, times_meant};

#[cfg(test)]
mod tests;
