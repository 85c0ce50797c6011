//! The morning of the tests: the program reads the real clock, so the demo morning is moved to today.

use std::sync::OnceLock;
use std::time::{SystemTime, UNIX_EPOCH};

use fillward::units::{Day, Exact, Instant, Zone};

use crate::common;

const HOUR: i64 = 3600;
/// Characters of a calendar day, `2026-03-04`.
const DAY_LENGTH: usize = 10;

/// Places whose clocks never change, one for each whole hour east of Greenwich from 0 to 12 and on from -11 to -1 (IANA
/// time zone database, release 2026f).
const PLACES: [&str; 24] = [
    "Africa/Abidjan",
    "Africa/Lagos",
    "Africa/Johannesburg",
    "Africa/Nairobi",
    "Asia/Dubai",
    "Asia/Karachi",
    "Asia/Dhaka",
    "Asia/Bangkok",
    "Asia/Singapore",
    "Asia/Tokyo",
    "Australia/Brisbane",
    "Pacific/Guadalcanal",
    "Pacific/Tarawa",
    "Pacific/Pago_Pago",
    "Pacific/Honolulu",
    "Pacific/Gambier",
    "Pacific/Pitcairn",
    "America/Phoenix",
    "America/Regina",
    "America/Panama",
    "America/Puerto_Rico",
    "America/Cayenne",
    "America/Noronha",
    "Atlantic/Cape_Verde",
];

/// The shop's place on the globe: one where it is past ten in the morning, wherever and whenever the tests run, so that
/// what was inspected today still is when they end.
fn place() -> &'static Zone {
    static PLACE: OnceLock<Zone> = OnceLock::new();
    PLACE.get_or_init(|| {
        let east = (10 - unix() / HOUR).rem_euclid(24);
        Zone::find(PLACES[usize::try_from(east).unwrap()]).unwrap()
    })
}

/// Seconds since 1970.
fn unix() -> i64 {
    i64::try_from(SystemTime::now().duration_since(UNIX_EPOCH).unwrap().as_secs()).unwrap()
}

/// The instant of the clock, as the shop's shows it.
fn at_the_shop(unix: i64) -> Instant {
    Instant::since_1970(unix).unwrap().in_zone(place())
}

fn plus(instant: Instant, seconds: i64) -> Instant {
    instant.checked_add_seconds(Exact::new(seconds.into(), 1).unwrap()).unwrap()
}

/// The time zone of the shop by its name, which is what `TZ` takes, too.
pub(crate) fn zone() -> &'static str {
    place().name()
}

/// The next place to the east, or to the west of the date line: an hour apart, and on the same day.
pub(crate) fn neighbour() -> &'static str {
    let own = PLACES.iter().position(|name| *name == zone()).unwrap();
    PLACES[if own == 12 { own - 1 } else { (own + 1) % PLACES.len() }]
}

/// Lets the clock go on: two judgements of one second have no order.
pub(crate) fn a_second_later() {
    std::thread::sleep(std::time::Duration::from_millis(1100));
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
    let days = now.day_in(place()).days_since(then.day_in(&common::demo_zone()));
    let mut text = String::new();
    let mut rest = record;
    while let Some(at) = rest.find("20") {
        let (before, found) = rest.split_at(at);
        let (stamp, after) = found.split_at(stamp_length(found).max(1));
        text.push_str(before);
        match stamp.len() {
            1 => text.push_str(stamp),
            DAY_LENGTH => {
                text.push_str(&Day::parse(stamp).unwrap().checked_add_days(days).unwrap().to_record_text());
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
    assert_eq!(now.day_in(place()).checked_add_days(1), Day::parse(words[2]).ok());
    assert_eq!(words[3..], ["lot", "20260,", "2", "by", "20"]);
    let past_ten = ["T10:", "T11:"].iter().any(|hour| now.to_record_text().contains(hour));
    assert!(past_ten, "the tests begin between ten and eleven: {now}");
}
