//! The morning of the tests: the program reads the real clock, so the demo morning is moved to today.

use std::sync::OnceLock;
use std::time::{SystemTime, UNIX_EPOCH};

use fillward::units::{Exact, Instant};

use crate::common;

const HOUR: i64 = 3600;
const DAY: i64 = 24 * HOUR;
const EPOCH_2000: i64 = 10_957 * DAY;
/// Characters of a calendar day, `2026-03-04`.
const DAY_LENGTH: usize = 10;

/// The shop's place on the globe: one where it is past ten in the morning, wherever and whenever the tests run, so that
/// what was inspected today still is when they end.
struct Place {
    /// For the environment of the program.
    zone: String,
    /// Any instant with the offset of the place.
    offset: Instant,
}

fn place() -> &'static Place {
    static PLACE: OnceLock<Place> = OnceLock::new();
    PLACE.get_or_init(|| {
        let east = 10 - unix() / HOUR % 24;
        Place {
            zone: format!("<{east:+03}>{}", -east),
            offset: Instant::parse(&format!("2026-01-01T00:00:00{east:+03}:00")).unwrap(),
        }
    })
}

/// Seconds since 1970.
fn unix() -> i64 {
    i64::try_from(SystemTime::now().duration_since(UNIX_EPOCH).unwrap().as_secs()).unwrap()
}

/// The first instant of the year 2000, which is `EPOCH_2000` seconds after 1970.
fn start_of_2000() -> Instant {
    Instant::parse("2000-01-01T00:00:00Z").unwrap()
}

/// The instant of the clock, at the shop's offset.
fn at_the_shop(unix: i64) -> Instant {
    plus(start_of_2000(), unix - EPOCH_2000).at_offset_of(place().offset)
}

fn plus(instant: Instant, seconds: i64) -> Instant {
    instant.checked_add_seconds(Exact::new(seconds.into(), 1).unwrap()).unwrap()
}

/// The time zone of the shop, as `TZ` gives it.
pub(crate) fn zone() -> &'static str {
    &place().zone
}

/// The instant so many seconds from now, as files spell it.
pub(crate) fn from_now(seconds: i64) -> String {
    plus(at_the_shop(unix()), seconds).to_record_text()
}

/// A demo record with its instants and days moved so that the demo morning is now, as `shared/demo/move_to_today.py`
/// does.
pub(crate) fn moved(record: &str) -> String {
    let then = common::demo_at();
    let now = at_the_shop(unix() / 60 * 60);
    let days = whole_days(now) - whole_days(then);
    let mut text = String::new();
    let mut rest = record;
    while let Some(at) = rest.find("20") {
        let (before, found) = rest.split_at(at);
        let (stamp, after) = found.split_at(stamp_length(found).max(1));
        text.push_str(before);
        match stamp.len() {
            1 => text.push_str(stamp),
            DAY_LENGTH => {
                let midnight = Instant::parse(&format!("{stamp}T00:00:00Z")).unwrap();
                text.push_str(&plus(midnight, days * DAY).day().to_record_text());
            }
            _ => {
                let since = Instant::parse(stamp).unwrap().seconds_since(then);
                let there = now.checked_add_seconds(since).unwrap();
                text.push_str(&there.to_record_text());
            }
        }
        rest = after;
    }
    text + rest
}

/// Days from 2000 to the day that the instant has at its own place.
fn whole_days(instant: Instant) -> i64 {
    let midnight = format!("{}T00:00:00Z", instant.day().to_record_text());
    let seconds = Instant::parse(&midnight).unwrap().seconds_since(start_of_2000());
    seconds.to_decimal_exact(0).unwrap().parse::<i64>().unwrap() / DAY
}

/// How long the instant or day is that the text begins with; 0 where it begins with neither.
fn stamp_length(text: &str) -> usize {
    let fits = |form: &str| {
        text.len() >= form.len()
            && form.bytes().zip(text.bytes()).all(|(due, found)| match due {
                b'0' => found.is_ascii_digit(),
                b'+' => matches!(found, b'+' | b'-'),
                _ => due == found,
            })
    };
    let forms = ["0000-00-00T00:00:00+00:00", "0000-00-00T00:00:00Z", "0000-00-00"];
    forms.into_iter().find(|form| fits(form)).map_or(0, str::len)
}

#[test]
fn a_moved_record_keeps_its_distances() {
    let text = moved("2026-03-04T09:30:00-06:00 2026-03-04T08:30:00-06:00 2026-03-05 lot 20260, 2 by 20");
    let words: Vec<&str> = text.split(' ').collect();
    let [now, earlier] = [words[0], words[1]].map(|word| Instant::parse(word).unwrap());
    assert_eq!(now.seconds_since(earlier), Exact::new(HOUR.into(), 1).unwrap());
    assert_eq!(whole_days(now) + 1, whole_days(Instant::parse(&format!("{}T12:00:00Z", words[2])).unwrap()));
    assert_eq!(words[3..], ["lot", "20260,", "2", "by", "20"]);
    let past_ten = ["T10:", "T11:"].iter().any(|hour| now.to_record_text().contains(hour));
    assert!(past_ten, "the tests begin between ten and eleven: {now}");
}
