//! Source of every transition below: the IANA time zone database, release 2026f (the one compiled in), as `zdump -v`
//! prints them for the year 2026.

use proptest::prelude::*;

use super::*;
use crate::units::{Day, Exact};

fn at(text: &str) -> Instant {
    Instant::parse(text).unwrap()
}

fn zone(name: &str) -> Zone {
    Zone::find(name).unwrap()
}

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

/// Zone, last second before the change, the second after it, both as the clock shows them.
const CHANGES: [(&str, &str, &str); 8] = [
    ("America/Chicago", "2026-03-08T01:59:59-06:00", "2026-03-08T03:00:00-05:00"),
    ("America/Chicago", "2026-11-01T01:59:59-05:00", "2026-11-01T01:00:00-06:00"),
    ("Australia/Lord_Howe", "2026-04-05T01:59:59+11:00", "2026-04-05T01:30:00+10:30"),
    ("Australia/Lord_Howe", "2026-10-04T01:59:59+10:30", "2026-10-04T02:30:00+11:00"),
    ("America/Santiago", "2026-09-05T23:59:59-04:00", "2026-09-06T01:00:00-03:00"),
    ("America/Santiago", "2026-04-04T23:59:59-03:00", "2026-04-04T23:00:00-04:00"),
    ("Africa/Cairo", "2026-04-23T23:59:59+02:00", "2026-04-24T01:00:00+03:00"),
    ("Africa/Cairo", "2026-10-29T23:59:59+03:00", "2026-10-29T23:00:00+02:00"),
];

#[test]
fn the_clock_changes_where_the_database_says() {
    for (name, before, after) in CHANGES {
        let (zone, last, first) = (zone(name), at(before), at(after));
        assert_eq!(first.seconds_since(last), Exact::ONE, "{name}");
        for (instant, text) in [(last, before), (first, after)] {
            let utc = instant.in_zone(&Zone::universal());
            assert_eq!(utc.in_zone(&zone).to_record_text(), text);
            assert_eq!(zone.check(instant), Ok(()), "{text}");
            assert!(zone.check(utc).is_err(), "{utc}");
        }
        // The offset of the other side of the change is refused, and both are shown.
        let ((clock, own), (_, other)) = (before.split_at(19), after.split_at(19));
        let slip = at(&format!("{clock}{other}"));
        let read = slip.in_zone(&zone).to_record_text();
        if let Err(error) = zone.check(slip) {
            assert!(error.to_string().contains(other) && error.to_string().contains(own), "{error}");
            assert!(error.help().contains(&read), "{}", error.help());
        } else {
            // Where the clock goes back, the hour before the change comes twice, and both are right.
            assert_eq!(read.split_at(19), (clock, other));
        }
    }
    let error = zone("America/Chicago").check(at("2026-07-01T09:30:00-06:00")).unwrap_err();
    assert_eq!(
        error.to_string(),
        "2026-07-01T09:30:00-06:00 is written at -06:00, and America/Chicago is at -05:00 then"
    );
    assert!(error.help().ends_with("`2026-07-01T10:30:00-05:00`"), "{}", error.help());
}

#[test]
fn a_day_is_as_long_as_its_clock_makes_it() {
    for (name, of, start, hours) in [
        ("America/Chicago", "2026-03-07", "2026-03-07T00:00:00-06:00", (24, 1)),
        ("America/Chicago", "2026-03-08", "2026-03-08T00:00:00-06:00", (23, 1)),
        ("America/Chicago", "2026-11-01", "2026-11-01T00:00:00-05:00", (25, 1)),
        ("Australia/Lord_Howe", "2026-04-05", "2026-04-05T00:00:00+11:00", (49, 2)),
        ("Australia/Lord_Howe", "2026-10-04", "2026-10-04T00:00:00+10:30", (47, 2)),
        // Days without a midnight.
        ("America/Santiago", "2026-09-06", "2026-09-06T01:00:00-03:00", (23, 1)),
        ("Africa/Cairo", "2026-04-24", "2026-04-24T01:00:00+03:00", (23, 1)),
        // The last hour comes twice.
        ("America/Santiago", "2026-04-04", "2026-04-04T00:00:00-03:00", (25, 1)),
        ("Africa/Cairo", "2026-10-29", "2026-10-29T00:00:00+03:00", (25, 1)),
        ("Asia/Kathmandu", "2026-03-08", "2026-03-08T00:00:00+05:45", (24, 1)),
    ] {
        let (zone, day) = (zone(name), day(of));
        let from = day.start_in(&zone);
        assert_eq!(from.to_record_text(), start, "{name}");
        assert_eq!(from.day_in(&zone), day);
        let until = day.checked_add_days(1).unwrap().start_in(&zone);
        let due = Exact::new(hours.0 * 3600, hours.1).unwrap();
        assert_eq!(until.seconds_since(from), due, "{name} {of}");
        assert_eq!(until.checked_add_seconds(Exact::from_int(-1)).unwrap().day_in(&zone), day, "{name} {of}");
    }
}

#[test]
fn offsets_by_another_name_are_no_zones() {
    for (name, says) in [
        ("Etc/GMT+6", "bare offset"),
        ("Etc/UTC", "bare offset"),
        ("UTC", "bare offset"),
        ("-06:00", "not a time zone"),
        ("<-06>6", "not a time zone"),
        ("America/Chicagoo", "not a time zone"),
        ("../America/Chicago", "not a time zone"),
        ("", "not a time zone"),
    ] {
        let error = Zone::find(name).unwrap_err();
        assert!(error.to_string().contains(says), "{name}: {error}");
        assert!(error.help().contains("`America/Chicago`"));
    }
    assert_eq!(zone("america/chicago").name(), "America/Chicago");
}

proptest! {
    /// Whatever the clocks do: an instant keeps its point, has the offset of the zone, and lies in its own day.
    #[test]
    fn an_instant_lies_in_its_day(
        seconds in 631_200_000_i64..7_289_000_000,
        name in prop::sample::select(vec![
            "America/Chicago", "Australia/Lord_Howe", "America/Santiago", "Africa/Cairo", "Asia/Kathmandu",
            "Pacific/Apia", "Pacific/Kiritimati", "Europe/Berlin", "America/Phoenix",
        ]),
    ) {
        let zone = zone(name);
        let instant = Instant::since_1970(seconds).unwrap();
        let there = instant.in_zone(&zone);
        prop_assert_eq!(there, instant);
        prop_assert_eq!(zone.check(there), Ok(()));
        prop_assert_eq!(Instant::parse(&there.to_record_text()).unwrap().to_record_text(), there.to_record_text());
        let day = instant.day_in(&zone);
        prop_assert_eq!(day, there.day_as_written());
        prop_assert!(day.start_in(&zone) <= instant);
        prop_assert!(instant < day.checked_add_days(1).unwrap().start_in(&zone));
    }
}
