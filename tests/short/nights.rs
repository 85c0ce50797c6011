//! Jobs that are begun in the evening and filled after midnight: no time is taken for that of the wrong day, and what the
//! new day says of the shop counts.

use fillward::document::{Document, Faults};
use fillward::pack::PackSet;
use fillward::record::shop::{self, Shop};
use fillward::units::Instant;
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::Value;

use super::{RECORD, SHOP, changed};

type Changes<'c> = &'c [(&'c str, &'c str)];

const EVENING: Changes<'static> = &[
    ("planned_start: 10:00", "planned_start: 2026-03-05 00:20"),
    ("read: {at: 08:30}", "read: {at: 23:30}"),
    ("seated: 08:25", "seated: 22:25"),
    ("bench: {at: 07:55", "bench: {at: 21:55"),
];
const EVENING_SHOP: Changes<'static> = &[
    ("round: {mark: EB morning, at: 07:10", "round: {mark: EB morning, at: 21:10"),
    ("read: {at: 08:50, thermometer: T-1}", "read: {at: 23:20, thermometer: T-1}"),
];
const NOW: &str = "2026-03-05T00:12:00-06:00";
const NEW_SHEET: &str = "days:
  - day: 2026-03-05
    round: {mark: EB morning, at: 00:05, by: OV}
    read: {at: 00:10, thermometer: T-1}
    workspace: {temperature: 41 degF}
    lots:
      PS-118: {core_temperature: 58 degF, container: bulging}
";

/// A job of the evening with further changes, which stood as it does when it was written, as it is put together later.
fn written(record: Changes<'_>, shop: Changes<'_>, written_by: &str, at: &str) -> Result<Value, Faults> {
    let packs = PackSet::base().unwrap();
    let shop = Shop::read(Document::read("shop.yaml", changed(SHOP, &[EVENING_SHOP, shop].concat()).as_bytes())?)?;
    let record = Document::read("job.yaml", changed(RECORD, &[EVENING, record].concat()).as_bytes())?;
    let [written_by, at] = [written_by, at].map(|text| Instant::parse(text).unwrap());
    shop::expand_written(record, written_by, Some(&shop), &packs, shop.zone(), at).map(|made| made.document.to_json())
}

fn night(record: Changes<'_>, shop: Changes<'_>, at: &str) -> Result<Value, Faults> {
    written(record, shop, at, at)
}

fn codes(made: &Result<Value, Faults>) -> Vec<&'static str> {
    made.as_ref().err().into_iter().flat_map(Faults::iter).map(|fault| fault.code().word()).collect()
}

/// A line of the record or, where it says so, of the shop file, with a time in the place of `@`.
const TIMES: &[(bool, &str, &str)] = &[
    (false, "read: {at: 23:30}", "read: {at: @}"),
    (false, "seated: 22:25", "seated: @"),
    (false, "bench: {at: 21:55", "bench: {at: @"),
    (false, "    machine: loader 4\n", "    acts: {air: @}\n    machine: loader 4\n"),
    (false, "pump: {mixer", "pump: {ratio_checked: @, ratio_found: off, mixer"),
    (false, "workspace: {", "workspace: {temperature: {reading: 41 degF, at: @, thermometer: T-1}, "),
    (
        false,
        "on_hand: {reading: 530 lb}",
        "on_hand: {reading: 530 lb}\n    core_temperature: {reading: 58 degF, at: @, thermometer: T-1}",
    ),
    (true, "read: {at: 23:20, thermometer: T-1}", "read: {at: @, thermometer: T-1}"),
    (true, "round: {mark: EB morning, at: 21:10", "round: {mark: EB morning, at: @"),
];

fn clock(minute: u32) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Whatever is dated, and wherever: a time without its day that may be of the new day, since it does not lie ahead on
    /// that, is of no day that anybody knows. On the day itself no time is.
    #[test]
    fn a_time_of_two_days_says_which(of in select(TIMES), minute in 0_u32..1440, now in 0_u32..720, same_day in any::<bool>()) {
        let (in_shop, old, new) = of;
        let made = |time: &str, at: &str| {
            let line = new.replace('@', time);
            let change: Changes<'_> = &[(old, &line)];
            if in_shop { night(&[], change, at) } else { night(change, &[], at) }
        };
        let day = if same_day { "2026-03-04" } else { "2026-03-05" };
        let at = format!("{day}T{}:00-06:00", clock(now));
        let asks = |made: &Result<Value, Faults>| codes(made).contains(&"shop/time-without-day");
        let found = made(&clock(minute), &at);
        prop_assert_eq!(asks(&found), !same_day && minute <= now, "{:?} {:?}", of, codes(&found));
        if let Some(fault) = found.err().iter().flat_map(Faults::iter).find(|fault| fault.code().word() == "shop/time-without-day") {
            let cure = fault.cure().unwrap().to_owned();
            for offered in cure.split('`').skip(1).step_by(2) {
                prop_assert!(!asks(&made(offered, &at)), "{}", offered);
            }
        }
    }
}

/// A start that is late, too, makes a job one of the night.
#[test]
fn a_reading_after_a_late_start_says_its_day() {
    let late = ("planned_start: 2026-03-05 00:20", "planned_start: 23:50");
    let of = |time: &str| {
        let line = format!("core_temperature: {{reading: 58 degF, at: {time}, thermometer: T-1}}\n    needed: 368 lb");
        night(&[late, ("needed: 368 lb", &line)], &[], "2026-03-05T00:05:00-06:00")
    };
    assert_eq!(codes(&of("00:02")), ["shop/time-without-day"]);
    assert_eq!(of("2026-03-05 00:02").unwrap()["components"]["isocyanate"]["core_temperature"]["reading"], "58 degF");
}

/// A job of the day keeps its times, whenever it is looked at again once its fill has begun.
#[test]
fn a_job_of_the_day_keeps_its_times() {
    let packs = PackSet::base().unwrap();
    let shop = Shop::read(crate::common::document(SHOP)).unwrap();
    for at in ["2026-03-05T09:00:00-06:00", "2026-03-06T13:00:00-06:00"] {
        let record = crate::common::document("shared/demo/carried-short/4-before-service.yaml");
        let made = shop::expand(record, Some(&shop), &packs, shop.zone(), Instant::parse(at).unwrap());
        let ended = made.map(|made| made.document.to_json()["assemblies"][0]["fill"]["ended"].clone());
        assert_eq!(ended.unwrap(), "2026-03-04T10:52:00-06:00", "{at}");
    }
}

/// What the sheet of the new day says counts from midnight on, in a check and of a record that was judged before.
#[test]
fn the_sheet_of_the_new_day_counts() {
    let with_sheet = [("days:\n", NEW_SHEET)];
    for (start, written_by) in [
        ("2026-03-05 00:20", NOW),
        ("2026-03-05 00:20", "2026-03-04T23:45:00-06:00"),
        ("23:50", "2026-03-04T23:45:00-06:00"),
    ] {
        let start = format!("planned_start: {start}");
        let made = |at| written(&[(EVENING[0].1, &start)], &with_sheet, written_by, at).unwrap();
        let now = made("2026-03-05T00:14:00-06:00");
        assert_eq!(now["components"]["isocyanate"]["core_temperature"]["reading"], "58 degF", "{start}");
        assert_eq!(now["components"]["isocyanate"]["container"], "bulging", "{start}");
        assert_eq!(now["workspace"]["temperature"]["reading"], "41 degF", "{start}");
    }
    let before = night(&[], &with_sheet, "2026-03-04T23:45:00-06:00").unwrap();
    assert_eq!(before["components"]["isocyanate"]["container"], "sound");
    // Of what both days say without a time the one that lets less pass counts, in whichever order they stand.
    let new = NEW_SHEET.replace("days:\n", "");
    for (old, sheet) in [
        ("days:\n", NEW_SHEET.to_owned()),
        ("  - day: 2026-03-04\n    round: {mark: WB", format!("{new}  - day: 2026-03-04\n    round: {{mark: WB")),
    ] {
        for [evening, morning] in [["sound", "bulging"], ["bulging", "sound"]] {
            let sheet = sheet.replace("bulging", morning);
            let said = format!("core_temperature: 75.2 degF, container: {evening}}}");
            let made = night(&[], &[("core_temperature: 75.2 degF}", &said), (old, &sheet)], NOW).unwrap();
            assert_eq!(made["components"]["isocyanate"]["container"], "bulging", "{evening} {morning}");
        }
    }
}

/// What the round of the morning after found is of the jobs of that day.
#[test]
fn the_round_of_the_morning_after_is_of_later_jobs() {
    let begun = ("    machine: loader 4\n", "    acts: {fill: 2026-03-05 00:25}\n    machine: loader 4\n");
    let morning = NEW_SHEET.replace("00:05", "07:00").replace("00:10", "07:10").replace(", container: bulging", "");
    let made = night(&[begun], &[("days:\n", &morning)], "2026-03-05T09:00:00-06:00").unwrap();
    assert_eq!(made["cage"]["inspected"]["at"], "2026-03-04T21:10:00-06:00");
    assert_eq!(made["components"]["isocyanate"]["core_temperature"]["reading"], "75.2 degF");
}

/// What the fill uses is in force on the day on which it starts, or is judged to where that is later.
#[test]
fn what_is_used_is_in_force_on_the_day_of_the_start() {
    let ends = [
        ("{mark: C-1, kind: cage,", "{mark: C-1, until: @, kind: cage,"),
        ("{mark: P-1, ", "{mark: P-1, until: @, "),
        ("{mark: G-2, ", "{mark: G-2, until: @, "),
        ("  - mark: TR\n", "  - mark: TR\n    until: @\n"),
        ("{mark: PS-118, ", "{mark: PS-118, until: @, "),
        ("  - mark: loader 4 wheel\n", "  - mark: loader 4 wheel\n    until: @\n"),
    ];
    for (old, new) in ends {
        for (start, at, day) in [
            ("2026-03-05 00:20", NOW, "2026-03-05"),
            ("2026-03-05 00:20", "2026-03-04T23:45:00-06:00", "2026-03-05"),
            ("23:50", "2026-03-05T00:05:00-06:00", "2026-03-05"),
            ("23:50", "2026-03-04T23:45:00-06:00", "2026-03-04"),
        ] {
            let start = format!("planned_start: {start}");
            let until = |last: &str| {
                let line = new.replace('@', last);
                night(&[(EVENING[0].1, &start)], &[(old, &line)], at)
            };
            assert_eq!(codes(&until(day)), [""; 0], "{new} {start} {at}");
            let day_before = if day == "2026-03-05" { "2026-03-04" } else { "2026-03-03" };
            let found = codes(&until(day_before));
            assert!(
                !found.is_empty() && found.iter().all(|code| *code == "shop/not-in-force"),
                "{new} {start} {at} {found:?}"
            );
        }
    }
}

/// Of two entries of one mark that are in force one after the other, of a fill after midnight, the weaker counts.
#[test]
fn of_two_entries_over_midnight_the_one_that_lets_less_pass_counts() {
    for (evening, morning) in [("240 psi", "60 psi"), ("60 psi", "240 psi")] {
        let cages = format!(
            "  - {{mark: C-1, kind: cage, rating: {evening}, until: 2026-03-04}}\n  - {{mark: C-1, kind: cage, rating: {morning}, from: 2026-03-05}}\n"
        );
        let change = [("  - {mark: C-1, kind: cage, rating: 240 psi}\n", cages.as_str())];
        for at in [NOW, "2026-03-04T23:45:00-06:00"] {
            assert_eq!(night(&[], &change, at).unwrap()["cage"]["rating"], "60 psi", "{evening} {at}");
        }
    }
}
