//! Tests of instants against RFC 3339, POSIX seconds and jiff's own reader.

use super::*;
use crate::units::Zone;
use proptest::prelude::*;

fn at(text: &str) -> Instant {
    Instant::parse(text).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn the_examples_of_rfc_3339_denote_the_points_it_says() {
    // RFC 3339, 5.8: the second example "is equivalent to 1996-12-20T00:39:57Z". The first is of 1985, before the years
    // taken here, so its clock part is tried in a later year.
    assert_eq!(at("1996-12-19T16:39:57-08:00"), at("1996-12-20T00:39:57Z"));
    assert_eq!(at("1995-04-12T23:20:50.52Z").to_record_text(), "1995-04-12T23:20:50.52Z");
    assert!(matches!(Instant::parse("1985-04-12T23:20:50.52Z"), Err(InstantError::OutOfRange { part: "year", .. })));
    // 4.3: an unknown local offset is written -00:00.
    assert!(matches!(Instant::parse("2026-03-04T09:30:00-00:00"), Err(InstantError::BadOffset { .. })));
    // 5.6: "T" and "Z" may be lower case.
    assert_eq!(at("2026-03-04t09:30:00z"), at("2026-03-04T09:30:00Z"));
}

#[test]
fn seconds_are_counted_as_posix_counts_them() {
    // POSIX.1-2017, base definitions 4.16 with the well-known 1 000 000 000 at 2001-09-09T01:46:40Z and 2 000 000 000
    // at 2033-05-18T03:33:20Z (from memory).
    let seconds = at("2033-05-18T03:33:20Z").seconds_since(at("2001-09-09T01:46:40Z"));
    assert_eq!(seconds, Exact::from_int(1_000_000_000));
    let half = at("2026-03-04T09:30:00Z").seconds_since(at("2026-03-04T09:30:00.5Z"));
    assert_eq!(half, Exact::new(-1, 2).unwrap());
}

#[test]
fn the_written_offset_decides_the_text_and_the_zone_the_day() {
    let evening = at("2026-03-04T23:30:00-06:00");
    assert_eq!(evening.day_as_written().to_record_text(), "2026-03-04");
    let there = Zone::find("Asia/Kolkata").unwrap();
    assert_eq!(evening.day_in(&there).to_record_text(), "2026-03-05");
    assert_eq!(evening.in_zone(&there), evening);
    assert_eq!(evening.in_zone(&there).to_record_text(), "2026-03-05T11:00:00+05:30");
    // 2026-03-05T05:30:00Z by `date -u -d @1772688600` of GNU coreutils.
    assert_eq!(Instant::since_1970(1_772_688_600), Some(evening));
    assert_eq!(Instant::since_1970(0), None);
}

#[test]
fn waiting_is_rounded_to_the_later_side_and_bounded() {
    let start = at("2026-03-04T09:30:00-06:00");
    let add = |seconds: Exact| start.checked_add_seconds(seconds).map(Instant::to_record_text);
    assert_eq!(add(Exact::from_int(86_400)).as_deref(), Some("2026-03-05T09:30:00-06:00"));
    assert_eq!(add(Exact::new(1, 3).unwrap()).as_deref(), Some("2026-03-04T09:30:00.333333334-06:00"));
    assert_eq!(add(Exact::new(-1, 3).unwrap()).as_deref(), Some("2026-03-04T09:29:59.666666667-06:00"));
    assert_eq!(add(Exact::from_int(i64::MAX)), None);
    assert_eq!(add(Exact::from_int(200 * 366 * 86_400)), None);
    assert_eq!(add(Exact::from_int(-40 * 366 * 86_400)), None);
}

#[test]
fn what_is_missing_is_said_with_its_cure() {
    let cases = [
        ("2026-03-04", "has a date but no time of day", "2026-03-04T09:30-06:00"),
        ("2026-03-04T09:30", "does not say how far its time is from UTC", "2026-03-04T09:30-06:00"),
        ("2026-03-04T09:30:00.25", "does not say how far", "`2026-03-04T09:30:00.25-06:00`"),
        ("2026-03-04T09:30-0600", "has the offset `-0600`", "`-06:00`"),
        ("2026-03-04T09:30\u{2212}06:00", "has the offset `\u{2212}06:00`", "`-06:00`"),
        ("2026-03-04T09:30+6", "has the offset `+6`", "`-06:00`"),
        ("2026-03-04 09:30-06:00", "is not a date and time", "a `T`"),
        ("2026-03-04T9:30Z", "is not a date and time", "a `T`"),
        ("2026-03-04T09Z", "is not a date and time", "a `T`"),
        ("2026-03-04T09:30:00:00Z", "is not a date and time", "a `T`"),
        ("2026-03-04T09:30:00.Z", "is not a date and time", "a `T`"),
        ("2026-03-04T09:30:00.1234567890Z", "is not a date and time", "a `T`"),
        ("yesTerday", "is not a date and time", "a `T`"),
        ("", "is not a date and time", "a `T`"),
        ("2026-03-04T24:00Z", "has hour 24, which must be from 0 to 23", "hour"),
        ("2026-03-04T09:60Z", "has minute 60", "minute"),
        ("2026-03-04T09:30:60Z", "has second 60", "second"),
        ("2026-04-31T09:30Z", "has day 31, which that month does not have", "day"),
        ("2026-03-04T09:30+15:00", "has offset hours 15, which must be from 0 to 14", "offset hours"),
        ("2026-03-04T09:30+14:30", "has offset minutes 30", "offset minutes"),
        ("1926-03-04T09:30Z", "has year 1926, which must be from 1990 to 2200", "four digits"),
    ];
    for (text, message, cure) in cases {
        let error = Instant::parse(text).unwrap_err();
        assert!(error.to_string().contains(message), "{text}: {error}");
        assert!(error.help().contains(cure), "{text}: {}", error.help());
    }
    let long = "2026-03-04T09:30Z".repeat(9);
    assert!(matches!(Instant::parse(&long), Err(InstantError::NotAnInstant { text }) if text.chars().count() == 41));
}

proptest! {
    #[test]
    fn record_text_reads_back_and_jiff_agrees_on_the_point(
        seconds in 700_000_000_i64..7_200_000_000, nanosecond in 0_i32..1_000_000_000, quarter_hours in -56_i32..=56,
    ) {
        let offset = Offset::from_seconds(quarter_hours * 900).unwrap();
        let instant = Instant { point: Timestamp::new(seconds, nanosecond).unwrap(), offset };
        let text = instant.to_record_text();
        let back = at(&text);
        prop_assert_eq!(back, instant);
        prop_assert_eq!(back.offset, offset);
        // The reference is jiff's own reader of RFC 3339.
        prop_assert_eq!(text.parse::<Timestamp>().unwrap(), instant.point);
    }

    #[test]
    fn adding_the_seconds_between_two_instants_leads_from_one_to_the_other(
        a in 700_000_000_i64..7_200_000_000, b in 700_000_000_i64..7_200_000_000, nanosecond in 0_i32..1_000_000_000,
    ) {
        let start = Instant { point: Timestamp::new(a, nanosecond).unwrap(), offset: Offset::UTC };
        let end = Instant { point: Timestamp::new(b, 0).unwrap(), offset: Offset::UTC };
        prop_assert_eq!(start.checked_add_seconds(end.seconds_since(start)), Some(end));
        prop_assert_eq!(start < end, !end.seconds_since(start).is_negative() && start != end);
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "[0-9TZ:+.\u{2212}-]{0,40}") {
        if let Ok(instant) = Instant::parse(&text) {
            prop_assert_eq!(at(&instant.to_record_text()), instant);
        }
    }
}
