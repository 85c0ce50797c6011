//! What is read on the instruments of a place: with which thermometer, and how far it may be off.

use fillward::document::{Document, Faults};
use fillward::pack::PackSet;
use fillward::record::shop::Shop;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use super::{RECORD, SHOP, changed, expanded, judged};
use crate::common;

const METRIC: &str = "shared/demo/short/pass-super-single-metric.yaml";
const WALL: &str = "    thermometer: T-2\n";
const AIR: &str = "    workspace: {temperature: 74 degF}\n";
const HYGROMETER: &str = "    hygrometer: {uncertainty: 3 %RH, calibration_due: 2026-10-20}\n";

/// With what the air of a record was read, by its head and the shop file.
fn read_with(packs: &PackSet, record: &[(&str, &str)], shop: &[(&str, &str)]) -> Option<String> {
    let made = expanded(packs, &changed(RECORD, record), Some(&changed(SHOP, shop))).unwrap();
    let json = made.document.to_json();
    json["workspace"]["temperature"].get("thermometer").and_then(|mark| mark.as_str().map(str::to_owned))
}

/// The nearest word counts: a reading's own, then what hangs at its place, then the head of the sheet or of the record.
#[test]
fn the_nearest_word_says_with_what_the_air_was_read() {
    let packs = PackSet::base().unwrap();
    let some = |mark: &str| Some(mark.to_owned());
    let workspace = ("workspace: {ventilated", "workspace: {temperature: {reading: 74 degF, at: 09:10}, ventilated");
    let head = ("read: {at: 08:30", "read: {at: 08:30, thermometer: T-6");
    let none = (WALL, "");
    let own = (AIR, "    workspace: {temperature: {reading: 74 degF, thermometer: T-5}}\n");
    let apart = (AIR, "    workspace: {temperature: {reading: 74 degF, at: 08:55}}\n");
    let nameless = ("read: {at: 08:50, thermometer: T-1}", "read: {at: 08:50}");
    for (record, shop, due) in [
        (vec![], vec![], some("T-2")),
        (vec![], vec![own], some("T-5")),
        (vec![], vec![apart], some("T-2")),
        (vec![], vec![none, apart], some("T-1")),
        (vec![], vec![none, nameless], None),
        (vec![workspace], vec![], some("T-2")),
        (vec![workspace, head], vec![], some("T-2")),
        (vec![workspace, head], vec![none], some("T-6")),
    ] {
        assert_eq!(read_with(&packs, &record, &shop), due, "{record:?} {shop:?}");
    }
    // A sheet that is good for several places says at its head with what the air was read: nobody read it on every wall.
    let for_all = ("    round: {mark: EB morning, at: 07:10, by: OV}\n    read: {at: 08:50", "    read: {at: 08:50");
    assert_eq!(read_with(&packs, &[], &[for_all, apart]), some("T-1"));
    assert_eq!(read_with(&packs, &[], &[for_all, nameless]), some("T-2"), "nobody says with what else");
}

/// What hangs on the wall holds the job as any other instrument: out of calibration, without papers, or off its scale.
#[test]
fn an_instrument_of_the_place_holds_the_job_once_its_papers_run_out() {
    let packs = PackSet::base().unwrap();
    let found = |file: &str, shop: &[(&str, &str)]| {
        let made = expanded(&packs, &common::read(file), Some(&changed(SHOP, shop))).unwrap();
        let (verdict, findings) = judged(&packs, &made.document);
        let bad = findings.into_iter().filter(|(_, _, outcome)| ["broken", "not shown"].contains(outcome));
        (verdict.word(), bad.map(|(rule, ..)| rule).collect::<Vec<_>>())
    };
    let due =
        ("{mark: T-2, range: {from: 0 degF, to: 120 degF}, uncertainty: 1 degF, calibration_due: 2026-09-30}", "");
    let due = |text: &'static str| [(due.0, text)];
    let rules = |rules: &[&str]| rules.iter().map(ToString::to_string).collect::<Vec<_>>();
    assert_eq!(found(RECORD, &[]).0, "PASS");
    for (shop, rule) in [
        (
            due("{mark: T-2, range: {from: 0 degF, to: 120 degF}, uncertainty: 1 degF, calibration_due: 2026-03-03}"),
            "thermometer-out-of-calibration",
        ),
        (
            due("{mark: T-2, range: {from: 0 degF, to: 120 degF}, calibration_due: 2026-09-30}"),
            "thermometer-uncertainty-unknown",
        ),
    ] {
        assert_eq!(found(RECORD, &shop), ("HOLD", rules(&[rule])), "{shop:?}");
    }
    assert_eq!(found(METRIC, &[]).0, "PASS");
    let row = "  - {did: eyewash run, of: EB, at: 2026-03-02}\n";
    let calibrated =
        |due: &str| format!("{row}  - {{did: hygrometer calibrated, of: AG, at: 2025-10-20, due: {due}}}\n");
    let undated = (HYGROMETER, "    hygrometer: {uncertainty: 3 %RH}\n");
    for (shop, due) in [
        (
            vec![(HYGROMETER, "    hygrometer: {uncertainty: 3 %RH, calibration_due: 2026-03-03}\n")],
            vec!["hygrometer-out-of-calibration"],
        ),
        (
            vec![(HYGROMETER, "    hygrometer: {uncertainty: 3 %RH, calibration_due: 2036-10-20}\n")],
            vec!["hygrometer-out-of-calibration"],
        ),
        (vec![undated], vec!["hygrometer-out-of-calibration"]),
        (vec![undated, (row, &*calibrated("2026-03-03"))], vec!["hygrometer-out-of-calibration"]),
        (vec![undated, (row, &*calibrated("2026-10-20"))], vec![]),
        (vec![(HYGROMETER, "    hygrometer: {calibration_due: 2026-10-20}\n")], vec!["hygrometer-unnamed"]),
        (
            vec![(HYGROMETER, "    hygrometer: {uncertainty: 19 %RH, calibration_due: 2026-10-20}\n")],
            vec!["damper-than-the-sheet"],
        ),
    ] {
        let verdict = if due.is_empty() { "PASS" } else { "HOLD" };
        assert_eq!(found(METRIC, &shop), (verdict, rules(&due)), "{shop:?}");
    }
}

/// What an instrument of the place may be off is so of every reading on it that does not say it itself, to the digit; what a
/// reading says stays. So nothing is ever believed better than by the place, but where somebody wrote that down.
#[test]
fn what_is_read_at_a_place_is_as_far_off_as_its_instrument() {
    let packs = PackSet::base().unwrap();
    let outcome = TestRunner::new(crate::laws::config()).run(
        &(1_u32..200, proptest::option::of(1_u32..200), 1_u32..90, proptest::option::of(1_u32..90)),
        |(scale, weighed, hygrometer, read)| {
            let tenths = |tenths: u32| format!("{}.{}", tenths / 10, tenths % 10);
            let doubt = |own: Option<u32>, unit: &str| {
                own.map_or_else(String::new, |own| format!(", uncertainty: {} {unit}", tenths(own)))
            };
            let shop = changed(
                SHOP,
                &[
                    (
                        "    scale: {uncertainty: 1 kg}\n",
                        &format!("    scale: {{uncertainty: {} kg}}\n", tenths(scale)),
                    ),
                    (HYGROMETER, &HYGROMETER.replace("3 %RH", &format!("{} %RH", tenths(hygrometer)))),
                    ("humidity: 62 %RH}", &format!("humidity: {{reading: 62 %RH{}}}}}", doubt(read, "%RH"))),
                ],
            );
            let record = common::read(METRIC);
            let on_hand = record.lines().find(|line| line.contains("on_hand")).unwrap();
            let doubted = on_hand.replace(" kg}", &format!(" kg{}}}", doubt(weighed, "kg")));
            let made = expanded(&packs, &record.replacen(on_hand, &doubted, 1), Some(&shop)).unwrap();
            let json = made.document.to_json();
            let due =
                |own: Option<u32>, of_place: u32, unit: &str| format!("{} {unit}", tenths(own.unwrap_or(of_place)));
            prop_assert_eq!(&json["workspace"]["humidity"]["uncertainty"], &due(read, hygrometer, "%RH"));
            let [first, second] =
                ["isocyanate", "polyol"].map(|side| json["components"][side]["on_hand"]["uncertainty"].clone());
            prop_assert_eq!(&first, &due(weighed, scale, "kg"));
            prop_assert_eq!(&second, &due(None, scale, "kg"));
            Ok(())
        },
    );
    outcome.unwrap();
}

/// A slip in what a place says of its instruments is found when the shop file is read, whether or not a record draws on it.
#[test]
fn a_slip_in_the_instruments_of_a_place_waits_for_no_record() {
    let packs = PackSet::base().unwrap();
    let read = |change: (&str, &str)| -> Result<usize, Faults> {
        Shop::read(Document::read("shop.yaml", changed(SHOP, &[change]).as_bytes())?)?.read_values(packs.catalogue())
    };
    for (change, code) in [
        ((WALL, "    thermometer: T-22\n"), "shop/unknown-mark"),
        ((HYGROMETER, "    hygrometer: {uncertainty: 3 psi}\n"), "record/not-a-quantity"),
        ((HYGROMETER, "    hygrometer: {uncertanty: 3 %RH}\n"), "schema/unknown-key"),
        ((HYGROMETER, "    hygrometer: {calibration_due: 2026-02-30}\n"), "record/not-a-day"),
    ] {
        let faults = read(change).unwrap_err();
        assert!(faults.iter().all(|fault| fault.cure().is_some()), "{change:?}");
        let codes: Vec<&str> = faults.iter().map(|fault| fault.code().word()).collect();
        assert_eq!(codes, [code], "{change:?}: {faults:?}");
    }
    assert!(read((WALL, "    thermometer:\n")).is_ok());
    assert!(read((HYGROMETER, "    hygrometer: {uncertainty: }\n")).is_ok());
}

/// What no instrument of a record reads has none to look up: that the key is there is all that is wrong.
#[test]
fn an_instrument_of_what_none_reads_is_an_unknown_key_alone() {
    let packs = PackSet::base().unwrap();
    for (old, new) in [
        ("workspace:\n", "workspace:\n  humidity: {reading: 62 %RH, at: 2026-03-04T08:50:00-06:00, @}\n"),
        ("on_hand: {reading: 530 lb,", "on_hand: {reading: 530 lb, @,"),
        ("nco: {reading: 0.004 mg/m3,", "nco: {reading: 0.004 mg/m3, @,"),
    ] {
        for named in ["thermometer: T-2", "thermometer: T-99", "gauge: G-2", "gauge: G-99"] {
            let record =
                super::changed("shared/demo/jobs/pass-loader-bias-used.yaml", &[(old, &new.replace('@', named))]);
            let record = fillward::document::Document::read("job.yaml", record.as_bytes()).unwrap();
            let faults = fillward::record::read(&record, packs.catalogue(), &common::demo_zone()).unwrap_err();
            let codes: Vec<_> = faults.iter().map(|fault| fault.code().word()).collect();
            assert_eq!(codes, ["schema/unknown-key"], "{new} {named}");
        }
    }
}
