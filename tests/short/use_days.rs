//! An entry is in force on the day of its use, and a time without its day is of a day that everybody knows.

use fillward::document::{Document, Faults};
use fillward::pack::PackSet;
use fillward::record::shop::{self, Expanded, Shop};
use fillward::units::Instant;
use proptest::prelude::*;

use super::{NEW, RECORD, SHOP, changed, expanded};
use crate::common;

fn codes(faults: &Faults) -> Vec<&'static str> {
    faults.iter().map(|fault| fault.code().word()).collect()
}

/// The demo's record and shop file with changes, judged at an instant.
fn at(record: &[(&str, &str)], shop: &[(&str, &str)], at: &str) -> Result<Expanded, Faults> {
    let packs = PackSet::base().unwrap();
    let shop = Shop::read(Document::read("shop.yaml", changed(SHOP, shop).as_bytes())?)?;
    let record = Document::read("job.yaml", changed(RECORD, record).as_bytes())?;
    shop::expand(record, Some(&shop), &packs, shop.zone(), Instant::parse(at).unwrap())
}

/// What counts is the day on which somebody looked or read, and not the day of the job.
#[test]
fn an_entry_is_in_force_on_the_day_of_its_use() {
    let packs = PackSet::base().unwrap();
    let yesterday = ("bench: {at: 07:55, by: OV", "bench: {at: 2026-03-03 16:00, by: ML");
    let today = ("bench: {at: 07:55, by: OV", "bench: {at: 07:55, by: ML");
    let left = ("mark: ML\n", "mark: ML\n    until: 2026-03-03\n");
    let came = ("mark: ML\n", "mark: ML\n    from: 2026-03-04\n");
    let seated = ("seated: 08:25", "seated: {at: 08:25, by: OV}");
    for (record, shop, due) in
        [(yesterday, left, true), (yesterday, came, false), (today, left, false), (today, came, true)]
    {
        let made = expanded(&packs, &changed(RECORD, &[record, seated]), Some(&changed(SHOP, &[shop])));
        match made {
            Ok(_) => assert!(due, "{record:?} {shop:?}"),
            Err(faults) => {
                assert!(!due, "{record:?} {shop:?}: {faults:?}");
                assert_eq!(codes(&faults), ["shop/not-in-force"]);
            }
        }
    }
    // The thermometer of a stretch was read on the days of its rows.
    let new = common::read(NEW);
    assert!(new.contains("      thermometer: T-1\n") && new.contains("- 2026-03-03 "), "{new}");
    for (days, due) in [("until: 2026-03-02", false), ("from: 2026-03-03", true), ("from: 2026-03-04", false)] {
        let shop = changed(SHOP, &[("{mark: T-1,", &format!("{{mark: T-1, {days},"))]);
        assert_eq!(expanded(&packs, &new, Some(&shop)).is_ok(), due, "{days}");
    }
}

/// One mark may have an entry for each time, and each record draws on that of its day.
#[test]
fn one_mark_may_have_an_entry_for_each_time() {
    let packs = PackSet::base().unwrap();
    let rating = |old: &str, new: &str| {
        let cages = format!("cages:\n  - {{mark: C-1, kind: cage, rating: 200 psi, {old}}}\n");
        let shop = changed(
            SHOP,
            &[
                ("cages:\n", &cages),
                (
                    "{mark: C-1, kind: cage, rating: 240 psi}",
                    &format!("{{mark: C-1, kind: cage, rating: 240 psi, {new}}}"),
                ),
            ],
        );
        expanded(&packs, &common::read(RECORD), Some(&shop))
            .map(|made| made.document.to_json()["cage"]["rating"].clone())
    };
    assert_eq!(rating("until: 2026-03-03", "from: 2026-03-04").unwrap(), "240 psi");
    assert_eq!(rating("from: 2026-03-04", "until: 2026-03-03").unwrap(), "200 psi");
    for (old, new) in [("until: 2026-03-04", "from: 2026-03-04"), ("until: 2026-03-03", "until: 2026-12-31")] {
        assert_eq!(codes(&rating(old, new).unwrap_err()), ["shop/mark-twice"]);
    }
    let faults = rating("until: 2026-02-28", "from: 2026-03-05").unwrap_err();
    assert_eq!(codes(&faults), ["shop/not-in-force"]);
}

/// The owner accepts days after the fill: on a later day than that at the head a lone time is of no day that anybody knows.
#[test]
fn a_lone_time_of_what_comes_days_later_says_its_day() {
    let accepted = |time: &str, now: &str| {
        let begun = ("    seated: 08:25\n", "    seated: 08:25\n    acts: {fill: 10:05}\n");
        at(&[("record: 1\n", &format!("record: 1\nservice: {{accepted: {{at: {time}}}}}\n")), begun], &[], now)
            .map(|made| made.document.to_json()["service"]["accepted"]["at"].clone())
    };
    assert_eq!(accepted("07:30", "2026-03-04T09:30:00-06:00").unwrap(), "2026-03-04T07:30:00-06:00");
    let faults = accepted("07:30", "2026-03-06T09:30:00-06:00").unwrap_err();
    assert_eq!(codes(&faults), ["shop/time-without-day"]);
    // The cure is taken as it stands.
    let cure = faults.iter().next().unwrap().cure().unwrap().split('`').nth(1).unwrap().to_owned();
    assert_eq!(accepted(&cure, "2026-03-06T09:30:00-06:00").unwrap(), "2026-03-06T07:30:00-06:00");
    // What was done on the day of the fill itself is of that day, however late it is looked at.
    let act = ("    seated: 08:25\n", "    seated: 08:25\n    acts: {fill: 10:05, off_stand: 11:00}\n");
    let made = at(&[act], &[], "2026-03-06T09:30:00-06:00").unwrap().document.to_json();
    assert_eq!(made["assemblies"][0]["acts"]["off_stand"], "2026-03-04T11:00:00-06:00");
}

/// A record that was there, as it is, on its own day has its times on that day, whenever it is looked at again. All else is
/// as on the day on which that is: what was added to the shop file since, and contradicts it, is found.
#[test]
fn a_record_that_was_there_on_its_day_keeps_its_times() {
    let packs = PackSet::base().unwrap();
    let again = |written_by: &str, shop: &[(&str, &str)]| {
        let shop = Shop::read(Document::read("shop.yaml", changed(SHOP, shop).as_bytes())?)?;
        let accepted = ("record: 1\n", "record: 1\nservice: {accepted: {at: 07:30}}\n");
        let record = Document::read("job.yaml", changed(RECORD, &[accepted]).as_bytes())?;
        let at = |text: &str| Instant::parse(text).unwrap();
        let now = at("2026-03-06T09:30:00-06:00");
        shop::expand_written(record, at(written_by), Some(&shop), &packs, shop.zone(), now)
            .map(|made| made.document.to_json()["service"]["accepted"]["at"].clone())
    };
    let (then, since) = ("2026-03-04T09:30:00-06:00", "2026-03-05T00:00:00-06:00");
    assert_eq!(again(then, &[]).unwrap(), "2026-03-04T07:30:00-06:00");
    for written_by in [since, "2026-03-06T09:30:00-06:00", "2026-03-07T09:30:00-06:00"] {
        let found = again(written_by, &[]).unwrap_err();
        assert!(codes(&found).iter().all(|code| *code == "shop/time-without-day"), "{written_by}: {found:?}");
    }
    let left = ("  - mark: OV\n", "  - mark: OV\n    until: 2026-03-01\n");
    let found = again(then, &[left]).unwrap_err();
    assert!(codes(&found).iter().all(|code| *code == "shop/not-in-force"), "{found:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Whenever a fill starts and whatever the clock shows at its end: a lone time is of the day at the head, but where
    /// it would lie half a day or more before the start, or may be of the night after that day, it is refused, and the
    /// cure is taken as it stands.
    #[test]
    fn a_fill_past_midnight_says_its_day(start in 0_u32..1440, end in 0_u32..1440) {
        let clock = |minute: u32| format!("{:02}:{:02}", minute / 60, minute % 60);
        let ended = |end: &str| {
            at(
                &[
                    ("planned_start: 10:00", &format!("planned_start: 2026-03-04 {}", clock(start))),
                    ("read: {at: 08:30}", "read: {at: 2026-03-04 08:30}"),
                    ("bench: {at: 07:55", "bench: {at: 2026-03-04 07:55"),
                    (
                        "    seated: 08:25\n",
                        &format!("    seated: 2026-03-04 08:25\n    fill: {{ended: {end}}}\n"),
                    ),
                ],
                &[
                    ("round: {mark: EB morning, at: 07:10", "round: {mark: EB morning, at: 2026-03-04 07:10"),
                    ("read: {at: 08:50, thermometer: T-1}", "read: {at: 2026-03-04 08:50, thermometer: T-1}"),
                ],
                "2026-03-05T09:30:00-06:00",
            )
            .map(|made| made.document.to_json()["assemblies"][0]["fill"]["ended"].as_str().unwrap().to_owned())
        };
        match ended(&clock(end)) {
            Ok(at) => {
                prop_assert!(end + 720 > start && end >= 240, "{} {}", start, end);
                prop_assert_eq!(at, format!("2026-03-04T{}:00-06:00", clock(end)));
            }
            Err(faults) => {
                prop_assert!(end + 720 <= start || end < 240, "{} {}: {:?}", start, end, faults);
                prop_assert_eq!(codes(&faults), ["shop/time-without-day"]);
                let cure = faults.iter().next().unwrap().cure().unwrap().split('`').nth(1).unwrap().to_owned();
                prop_assert_eq!(ended(&cure).unwrap(), format!("2026-03-05T{}:00-06:00", clock(end)));
            }
        }
    }
}

/// What a cure of a time in the shop file offers is taken on the next reading.
#[test]
fn the_cures_of_times_in_the_shop_file_are_taken() {
    let packs = PackSet::base().unwrap();
    let record = common::read(RECORD);
    for (place, slip) in [
        ("of: P-1, at: 2026-03-03 15:00", "15:00"),
        ("of: P-1, at: 2026-03-02 16:20, found", "16:20"),
        ("nco: {reading: 0.004 mg/m3, at: 2026-01-14 15:30", "15:30"),
        ("nco: {reading: 0.004 mg/m3, at: 2026-01-14 15:30", "2026-01-14"),
        ("0.81 lb, at: 2026-03-02 16:20", "16:20"),
        ("0.81 lb, at: 2026-03-02 16:20", "2026-03-02"),
    ] {
        let (before, behind) = place.split_once("at: ").unwrap();
        let time: String = behind.chars().take("2026-03-03 15:00".len()).collect();
        let with =
            |written: &str| changed(SHOP, &[(place, &format!("{before}at: {}", behind.replace(&time, written)))]);
        let faults = expanded(&packs, &record, Some(&with(slip))).map(|_| ()).expect_err(slip);
        let cure = faults.iter().next().unwrap().cure().unwrap().to_owned();
        assert!(!cure.contains("head of the record"), "{cure}");
        let offered = cure.split('`').nth(1).unwrap();
        expanded(&packs, &record, Some(&with(offered))).unwrap_or_else(|faults| panic!("{offered}: {faults:?}"));
    }
}

/// Where a shop has one round, a sheet need not name it; of several it must, and a line that is still empty is none.
#[test]
fn the_only_round_needs_no_mark() {
    let packs = PackSet::base().unwrap();
    let mut one: serde_yaml::Value = serde_yaml::from_str(&common::read(SHOP)).unwrap();
    let is_of_eb = |mark: &serde_yaml::Value| mark.as_str() == Some("EB morning");
    one["rounds"].as_sequence_mut().unwrap().retain(|round| is_of_eb(&round["mark"]));
    one["days"].as_sequence_mut().unwrap().retain(|sheet| is_of_eb(&sheet["round"]["mark"]));
    let round = |one: &serde_yaml::Value, with: &str| {
        let mut shop = one.clone();
        shop["days"][0]["place"] = "EB".into();
        shop["days"][0]["round"] = serde_yaml::from_str(with).unwrap();
        expanded(&packs, &common::read(RECORD), Some(&serde_yaml::to_string(&shop).unwrap()))
    };
    let named = round(&one, "{mark: EB morning, at: 07:10, by: OV}").unwrap();
    let alone = round(&one, "{at: 07:10, by: OV}").unwrap();
    assert_eq!(named.document.to_json(), alone.document.to_json());
    assert_eq!(named.document.left_open(), alone.document.left_open());
    let blank = round(&one, "{mark: , at: , by: }").unwrap();
    assert_ne!(named.document.left_open(), blank.document.left_open());
    let mut two = one.clone();
    two["rounds"].as_sequence_mut().unwrap().push(serde_yaml::from_str("{mark: EB evening, place: EB}").unwrap());
    assert_eq!(codes(&round(&two, "{at: 07:10, by: OV}").unwrap_err()), ["shop/no-mark"]);
    round(&two, "{mark: , at: , by: }").unwrap();
}
