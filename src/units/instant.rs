//! A point in time together with the offset from UTC at which it was written, after RFC 3339.
//!
//! The offset is kept because a supervisor reads the shop's own clock. Which day an instant belongs to is for the zone
//! of a place to say, never for the offset. This module must not know what time it is, nor zones.

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};

use jiff::civil::{DateTime, Time};
use jiff::tz::Offset;
use jiff::{SignedDuration, Timestamp};

use serde::{Deserialize, Serialize};

use super::day::{all_digits, bounded, date_parts, push_date, push_two};
use super::error::echo;
use super::{Day, Exact, FIRST_YEAR, InstantError, Interval, LAST_YEAR};

/// Greatest distance of any place on earth from UTC, in hours (Line Islands, UTC+14).
const MAX_OFFSET_HOURS: i32 = 14;
/// Longest text taken for an instant: nine decimals of a second and the offset, with room.
const MAX_TEXT_BYTES: usize = 64;
/// The length of an instant with seconds and offset.
const RECORD_TEXT_BYTES: usize = 25;
/// Nanoseconds in a second, the finest step of an instant.
const NANOSECONDS: i128 = 1_000_000_000;

/// A point in time with its written offset from UTC.
///
/// Equality, order and hash are those of the point in time: `09:30-06:00` and `15:30Z` are equal.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub struct Instant {
    // INVARIANT: the local year is from `FIRST_YEAR` to one day after `LAST_YEAR`, far within what jiff can hold.
    point: Timestamp,
    offset: Offset,
}

impl Instant {
    /// Reads an RFC 3339 date-time with its offset; seconds may be left out: `2026-03-04T09:30-06:00`.
    pub fn parse(text: &str) -> Result<Instant, InstantError> {
        let text = text.trim();
        let not_an_instant = || InstantError::NotAnInstant { text: echo(text) };
        if text.len() > MAX_TEXT_BYTES {
            return Err(not_an_instant());
        }
        let Some((date, clock)) = text.split_once(['T', 't']) else {
            return Err(if date_parts(text).is_some() {
                InstantError::NoTime { text: echo(text) }
            } else {
                not_an_instant()
            });
        };
        let parts = date_parts(date).ok_or_else(not_an_instant)?;
        let (time, offset) = match clock.find(['Z', 'z', '+', '-', '\u{2212}']) {
            Some(end) => clock.split_at(end),
            None => (clock, ""),
        };
        let day = Day::from_parts(text, parts)?;
        let time = parse_time(text, time)?.ok_or_else(not_an_instant)?;
        if offset.is_empty() {
            return Err(InstantError::NoOffset { text: echo(text) });
        }
        let offset = parse_offset(text, offset)?;
        let point = offset.to_timestamp(day.date().to_datetime(time)).map_err(|_| not_an_instant())?;
        Ok(Instant { point, offset })
    }

    /// The instant so many seconds after the start of 1970 in universal time, as clocks of machines count; `None` outside
    /// the years taken.
    pub fn since_1970(seconds: i64) -> Option<Instant> {
        let point = Timestamp::from_second(seconds).ok()?;
        let instant = Instant { point, offset: Offset::UTC };
        (FIRST_YEAR..=LAST_YEAR).contains(&instant.local().year()).then_some(instant)
    }

    /// A point in time at an offset, both within the years taken.
    pub(super) const fn at_offset(point: Timestamp, offset: Offset) -> Instant {
        Instant { point, offset }
    }

    /// The civil day at the offset with which it is written.
    pub fn day_as_written(self) -> Day {
        Day::from_date(self.local().date())
    }

    pub(super) const fn point(self) -> Timestamp {
        self.point
    }

    pub(super) const fn offset(self) -> Offset {
        self.offset
    }

    /// Whether it is written in universal time.
    pub const fn is_universal(self) -> bool {
        self.offset.seconds() == 0
    }

    /// The exact number of seconds from the other instant to this one; negative when this one is earlier.
    pub fn seconds_since(self, other: Instant) -> Exact {
        let between = self.point.duration_since(other.point);
        if between.subsec_nanos() == 0 {
            return Exact::from_int(between.as_secs());
        }
        Exact::reduced(between.as_nanos(), NANOSECONDS)
    }

    /// The instant so many seconds later, at the same offset; a part of a nanosecond is rounded up, to the later side,
    /// because waiting is the safe side. `None` when it leaves the years taken.
    #[must_use]
    pub fn checked_add_seconds(self, seconds: Exact) -> Option<Instant> {
        // Rounded up where it does not fit, as the nanoseconds are.
        let scaled = Interval::point(seconds).checked_scale(Exact::in_lowest_terms(NANOSECONDS, 1))?.hi();
        let floor = scaled.numer().div_euclid(scaled.denom());
        let nanoseconds = if scaled.denom() == 1 { floor } else { floor.checked_add(1)? };
        let whole = i64::try_from(nanoseconds.div_euclid(NANOSECONDS)).ok()?;
        let part = i32::try_from(nanoseconds.rem_euclid(NANOSECONDS)).ok()?;
        let point = self.point.checked_add(SignedDuration::new(whole, part)).ok()?;
        let later = Instant { point, offset: self.offset };
        (FIRST_YEAR..=LAST_YEAR).contains(&later.local().year()).then_some(later)
    }

    /// The instant one step of time earlier: between the two there is none.
    #[must_use]
    pub fn just_before(self) -> Instant {
        self.moved(SignedDuration::from_nanos(-1))
    }

    /// The instant one step of time later.
    #[must_use]
    pub fn just_after(self) -> Instant {
        self.moved(SignedDuration::from_nanos(1))
    }

    /// The whole second that it lies in.
    #[must_use]
    pub fn whole_second(self) -> Instant {
        let part = i64::try_from(self.point.as_nanosecond().rem_euclid(NANOSECONDS)).unwrap_or_default();
        self.moved(SignedDuration::from_nanos(-part))
    }

    /// A step too small to lead out of what can be held.
    fn moved(self, step: SignedDuration) -> Instant {
        Instant { point: self.point.checked_add(step).unwrap_or(self.point), ..self }
    }

    /// The text that reads back as the same point and offset, in the form of RFC 3339.
    pub fn to_record_text(self) -> String {
        let local = self.local();
        let mut text = String::with_capacity(RECORD_TEXT_BYTES);
        push_date(&mut text, local.date());
        text.push('T');
        push_two(&mut text, local.hour());
        text.push(':');
        push_two(&mut text, local.minute());
        if local.subsec_nanosecond() == 0 {
            text.push(':');
            push_two(&mut text, local.second());
        } else {
            text.push_str(&self.seconds_text(true));
        }
        if self.offset.seconds() == 0 {
            text.push('Z');
        } else {
            text.push_str(&self.offset_text());
        }
        text
    }

    fn local(self) -> DateTime {
        self.offset.to_datetime(self.point)
    }

    fn minutes_text(self) -> String {
        format!("{:02}:{:02}", self.local().hour(), self.local().minute())
    }

    /// Seconds with their colon; empty where they are zero and may be left out.
    fn seconds_text(self, always: bool) -> String {
        let (seconds, part) = (self.local().second(), self.local().subsec_nanosecond());
        if part != 0 {
            format!(":{seconds:02}.{}", format!("{part:09}").trim_end_matches('0'))
        } else if always || seconds != 0 {
            format!(":{seconds:02}")
        } else {
            String::new()
        }
    }

    /// The time of day as its own clock shows it, `09:30`; seconds only where they are not zero.
    pub fn clock_text(self) -> String {
        format!("{}{}", self.minutes_text(), self.seconds_text(false))
    }

    /// A text of a file that states an instant, as people read instants; any other text as it is.
    pub fn told(text: &str) -> String {
        Self::parse(text).map_or_else(|_| text.to_owned(), |at| at.to_string())
    }

    /// The offset from UTC in words of RFC 3339, `-06:00`; `+00:00` for universal time.
    pub fn offset_text(self) -> String {
        let minutes = self.offset.seconds() / 60;
        let mut text = String::with_capacity(6);
        text.push(if minutes < 0 { '-' } else { '+' });
        for part in [minutes.abs() / 60, minutes.abs() % 60] {
            // Both are below a hundred.
            push_two(&mut text, i8::try_from(part).unwrap_or_default());
            text.push(':');
        }
        text.pop();
        text
    }
}

/// Reads `hh:mm`, `hh:mm:ss` or `hh:mm:ss.f`; `Ok(None)` when the shape is another.
pub(super) fn parse_time(text: &str, time: &str) -> Result<Option<Time>, InstantError> {
    let mut parts = time.split(':');
    let (Some(hour), Some(minute), second, None) = (parts.next(), parts.next(), parts.next(), parts.next()) else {
        return Ok(None);
    };
    let (second, decimals) = second.map_or(("00", "0"), |second| second.split_once('.').unwrap_or((second, "0")));
    let decimals_read = (1..=9).contains(&decimals.len()) && all_digits(decimals, decimals.len());
    if !all_digits(hour, 2) || !all_digits(minute, 2) || !all_digits(second, 2) || !decimals_read {
        return Ok(None);
    }
    let hour = bounded(text, "hour", hour, 0, 23)?;
    let minute = bounded(text, "minute", minute, 0, 59)?;
    // A leap second cannot be told from the second before it by any clock in a shop, so 60 is refused.
    let second = bounded(text, "second", second, 0, 59)?;
    // The decimals filled up with noughts to nine.
    let nanosecond = decimals.bytes().chain(std::iter::repeat(b'0')).take(9);
    let nanosecond = nanosecond.fold(0, |sum, digit| sum * 10 + i32::from(digit - b'0'));
    Ok(Time::new(hour, minute, second, nanosecond).ok())
}

/// Reads `Z` or `+hh:mm`. RFC 3339 (4.3) gives `-00:00` the meaning "offset unknown", which is refused.
fn parse_offset(text: &str, offset: &str) -> Result<Offset, InstantError> {
    let bad = || InstantError::BadOffset { text: echo(text), offset: echo(offset) };
    if offset.eq_ignore_ascii_case("z") {
        return Ok(Offset::UTC);
    }
    let (sign, digits) = match (offset.strip_prefix('-'), offset.strip_prefix('+')) {
        (Some(digits), _) => (-1, digits),
        (_, Some(digits)) => (1, digits),
        _ => return Err(bad()),
    };
    let (hours, minutes) = digits.split_once(':').ok_or_else(bad)?;
    if !all_digits(hours, 2) || !all_digits(minutes, 2) || offset == "-00:00" {
        return Err(bad());
    }
    let hours: i32 = bounded(text, "offset hours", hours, 0, MAX_OFFSET_HOURS)?;
    let minutes: i32 = bounded(text, "offset minutes", minutes, 0, if hours == MAX_OFFSET_HOURS { 0 } else { 59 })?;
    Offset::from_seconds(sign * (hours * 3600 + minutes * 60)).map_err(|_| bad())
}

impl PartialEq for Instant {
    fn eq(&self, other: &Instant) -> bool {
        self.point == other.point
    }
}

impl Eq for Instant {}

impl PartialOrd for Instant {
    fn partial_cmp(&self, other: &Instant) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Instant {
    fn cmp(&self, other: &Instant) -> Ordering {
        self.point.cmp(&other.point)
    }
}

impl Hash for Instant {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.point.hash(state);
    }
}

impl fmt::Display for Instant {
    /// The text for people, `4 March 2026 09:30 (-06:00)`; seconds only where they are not zero.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (day, offset) = (self.day_as_written(), self.offset_text());
        f.pad(&format!("{day} {} ({offset})", self.clock_text()))
    }
}

#[cfg(test)]
mod tests;
