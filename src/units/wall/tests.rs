//! Times of walls against the transitions that the tz database publishes.
//!
//! The rules are those of the database's own source files as published by IANA, quoted from MEMORY:
//! northamerica: `Rule US 2007 max - Mar Sun>=8 2:00 1:00 D` and `Rule US 2007 max - Nov Sun>=1 2:00 0 S`;
//! asia: `Zone Asia/Kolkata ... 5:30 - IST`; australasia: `Rule LH 2008 max - Apr Sun>=1 2:00 0 -` and
//! `Rule LH 2008 max - Oct Sun>=1 2:00 0:30 -` with `Zone Australia/Lord_Howe 10:30 LH +1030/+11`;
//! europe: `Rule EU 1981 max - Mar lastSun 1:00u 1:00 S` and `Rule EU 1996 max - Oct lastSun 1:00u 0 -`.

use super::*;

/// What a time means: the instant as a record writes it, or both readings of a doubtful one behind `twice` or `never`.
fn meant(zone: &str, text: &str) -> String {
    let zone = Zone::find(zone).unwrap();
    let day = Day::parse("2026-03-04").unwrap();
    match WallTime::parse(text).unwrap().unwrap().instant(day, &zone) {
        Ok(at) => {
            assert_eq!(zone.check(at), Ok(()), "{text}");
            at.to_record_text()
        }
        Err(doubt) => {
            let readings: Vec<String> = doubt.readings.iter().map(|at| at.to_record_text()).collect();
            format!("{} {}", if doubt.doubled { "twice" } else { "never" }, readings.join(" "))
        }
    }
}

#[test]
fn times_are_those_of_the_published_transitions() {
    for (zone, text, due) in [
        // The second Sunday of March and the first of November 2026 are the 8th and the 1st.
        ("America/Chicago", "07:45", "2026-03-04T07:45:00-06:00"),
        ("America/Chicago", "2026-03-08 01:59:59", "2026-03-08T01:59:59-06:00"),
        ("America/Chicago", "2026-03-08 02:00", "never 2026-03-08T03:00:00-05:00 2026-03-08T01:00:00-06:00"),
        ("America/Chicago", "2026-03-08 02:59:59.9", "never 2026-03-08T03:59:59.9-05:00 2026-03-08T01:59:59.9-06:00"),
        ("America/Chicago", "2026-03-08 03:00", "2026-03-08T03:00:00-05:00"),
        ("America/Chicago", "2026-11-01 00:59", "2026-11-01T00:59:00-05:00"),
        ("America/Chicago", "2026-11-01 01:00", "twice 2026-11-01T01:00:00-05:00 2026-11-01T01:00:00-06:00"),
        ("America/Chicago", "2026-11-01 02:00", "2026-11-01T02:00:00-06:00"),
        // No change of the clock at all, and half an hour.
        ("Asia/Kolkata", "2026-03-08 02:30", "2026-03-08T02:30:00+05:30"),
        // A change by half an hour: forward on 4 October, back on 5 April 2026.
        ("Australia/Lord_Howe", "2026-10-04 01:59", "2026-10-04T01:59:00+10:30"),
        ("Australia/Lord_Howe", "2026-10-04 02:29", "never 2026-10-04T02:59:00+11:00 2026-10-04T01:59:00+10:30"),
        ("Australia/Lord_Howe", "2026-10-04 02:30", "2026-10-04T02:30:00+11:00"),
        ("Australia/Lord_Howe", "2026-04-05 01:29", "2026-04-05T01:29:00+11:00"),
        ("Australia/Lord_Howe", "2026-04-05 01:30", "twice 2026-04-05T01:30:00+11:00 2026-04-05T01:30:00+10:30"),
        ("Australia/Lord_Howe", "2026-04-05 02:00", "2026-04-05T02:00:00+10:30"),
        // Universal time half the year, and nearly so: 29 March and 25 October 2026 at 01:00 UTC.
        ("Europe/London", "2026-03-29 00:59", "2026-03-29T00:59:00Z"),
        ("Europe/London", "2026-03-29 01:30", "never 2026-03-29T02:30:00+01:00 2026-03-29T00:30:00Z"),
        ("Europe/London", "2026-10-25 01:30", "twice 2026-10-25T01:30:00+01:00 2026-10-25T01:30:00Z"),
    ] {
        assert_eq!(meant(zone, text), due, "{text} in {zone}");
    }
}

#[test]
fn other_shapes_are_no_times_of_walls() {
    for text in
        ["", "7:45", "0745", "07:45Z", "07:45-06:00", "2026-03-03", "2026-03-03T16:00", "3 March 16:00", "07.45"]
    {
        assert_eq!(WallTime::parse(text), None, "{text}");
    }
    for (text, part) in [("24:00", "hour"), ("07:60", "minute"), ("2026-02-30 07:00", "day"), ("23:59:60", "second")] {
        let error = WallTime::parse(text).unwrap().unwrap_err();
        assert!(error.to_string().contains(part), "{error}");
    }
}

#[test]
fn a_doubtful_time_shows_both_readings_and_the_cure() {
    let zone = Zone::find("America/Chicago").unwrap();
    let of = |text: &str| {
        let time = WallTime::parse(text).unwrap().unwrap();
        time.instant(time.day().unwrap(), &zone).unwrap_err()
    };
    let twice = of("2026-11-01 01:30");
    assert_eq!(
        twice.to_string(),
        "the clock in America/Chicago shows 2026-11-01 01:30:00 twice, since it was put back that day"
    );
    assert_eq!(
        twice.help(),
        "write the one that was meant: the first, before the clock was put back, is `2026-11-01T01:30:00-05:00`; the second, after it, is `2026-11-01T01:30:00-06:00`"
    );
    assert!(of("2026-03-08 02:30").to_string().contains("never shows"));
}

/// Every value that a cure offers is taken as it stands, and each means another instant.
#[test]
fn what_a_doubtful_time_offers_is_taken() {
    let mut doubtful = 0;
    for zone in ["America/Chicago", "Australia/Lord_Howe", "Europe/London", "America/St_Johns", "Pacific/Chatham"] {
        let zone = Zone::find(zone).unwrap();
        for (year, month, day) in
            (2024..2028).flat_map(|year| (1..13).flat_map(move |month| (1..29).map(move |day| (year, month, day))))
        {
            let day = Day::parse(&format!("{year}-{month:02}-{day:02}")).unwrap();
            for time in ["00:15", "01:15", "01:45", "02:15", "02:45", "03:15"] {
                let Err(doubt) = WallTime::parse(time).unwrap().unwrap().instant(day, &zone) else { continue };
                doubtful += 1;
                let help = doubt.help();
                let offered: Vec<&str> = help.split('`').skip(1).step_by(2).collect();
                let meant: Vec<Instant> = offered
                    .iter()
                    .map(|text| match WallTime::parse(text) {
                        Some(time) => {
                            time.unwrap().instant(day, &zone).unwrap_or_else(|doubt| panic!("{text}: {doubt}"))
                        }
                        None => Instant::parse(text).unwrap(),
                    })
                    .collect();
                assert!(meant.len() == 2 && meant[0] != meant[1], "{help}");
                assert!(meant.iter().all(|at| zone.check(*at).is_ok()), "{help}");
            }
        }
    }
    assert!(doubtful > 30, "only {doubtful} doubtful times");
}

/// What people write for a time is offered in the form that is taken, and means what they wrote.
#[test]
fn times_by_hand_are_offered_as_they_are_taken() {
    let twelve = |hour: u32| if hour.is_multiple_of(12) { 12 } else { hour % 12 };
    for hour in 0..24 {
        for minute in [0, 5, 30, 59] {
            let due = format!("{hour:02}:{minute:02}");
            let half = if hour < 12 { "am" } else { "pm" };
            for by_hand in [
                format!("{hour}:{minute:02}"),
                format!("{hour:02}.{minute:02}"),
                format!("{hour:02}{minute:02}"),
                format!("{hour}h{minute:02}"),
                format!("{}:{minute:02} {half}", twelve(hour)),
                format!("{}.{minute:02}{}", twelve(hour), half.to_uppercase()),
            ] {
                assert_eq!(times_meant(&by_hand), [due.as_str()], "{by_hand}");
                assert!(WallTime::parse(&due).unwrap().is_ok());
                assert_eq!(times_meant(&format!("2026-3-4 {by_hand}")), [format!("2026-03-04 {due}")], "{by_hand}");
            }
        }
    }
    for text in
        ["", "10", "25:00", "9:60", "13:00 pm", "0:30 am", "66 psi", "soon", "G-2", "10:00 Uhr", "1:2", "73 degF"]
    {
        assert!(times_meant(text).is_empty(), "{text}: {:?}", times_meant(text));
    }
}

/// Of day and month nobody guesses which is which: both are offered where both can be.
#[test]
fn days_by_hand_are_offered_as_they_are_taken() {
    for (text, due) in [
        ("2026-3-4", &["2026-03-04"][..]),
        ("2026/03/04", &["2026-03-04"]),
        ("2026.3.4", &["2026-03-04"]),
        ("20260304", &["2026-03-04"]),
        ("3/4/2026", &["2026-03-04", "2026-04-03"]),
        ("04.03.2026", &["2026-04-03", "2026-03-04"]),
        ("3/14/2026", &["2026-03-14"]),
        ("14.3.2026", &["2026-03-14"]),
        ("4 March 2026", &["2026-03-04"]),
        ("March 4th, 2026", &["2026-03-04"]),
        ("4-Mar-2026", &["2026-03-04"]),
        ("3/3/2026", &["2026-03-03"]),
        ("31/31/2026", &[]),
        ("3/4/26", &[]),
        ("Wednesday", &[]),
        ("", &[]),
    ] {
        assert_eq!(days_meant(text), due, "{text}");
        assert!(due.iter().all(|day| Day::parse(day).is_ok()));
    }
}
