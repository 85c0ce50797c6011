//! A shop reads its drums again for the job of the afternoon: of a fill that had begun by then, that says nothing.

use fillward::document::{Document, SheetOfDay, Unnamed};
use fillward::pack::PackSet;
use fillward::record::shop::{self, Shop};
use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, Verdict};
use proptest::prelude::*;

use super::{SHOP, judged_at};
use crate::common;

const AFTER_FILL: &str = "shared/demo/carried-short/3-after-fill.yaml";
const BEFORE_SERVICE: &str = "shared/demo/carried-short/4-before-service.yaml";
const CHECKED_AFTER_FILL: &str = "2026-03-04T11:05:00-06:00";

/// The demo shop, with one more sheet of the day for the east bay, read at that many minutes past ten.
fn shop_with(minute: i64, core: u16) -> String {
    let (hour, minute) = ((600 + minute).div_euclid(60), (600 + minute).rem_euclid(60));
    let sheet = format!(
        "\ndays:\n  - day: 2026-03-04\n    place: EB\n    read: {{at: {hour:02}:{minute:02}, thermometer: T-1}}\n    \
         workspace: {{temperature: {{reading: 70 degF, thermometer: T-2}}}}\n    \
         lots: {{PS-118: {{core_temperature: {core} degF}}, PL-641: {{core_temperature: {core} degF}}}}\n"
    );
    let shop = common::read(SHOP).replacen("\ndays:\n", &sheet, 1);
    assert!(shop.contains(&sheet));
    shop
}

fn made(packs: &PackSet, record: &str, shop: &str, at: &str) -> Document {
    let shop = Shop::read(Document::read("shop.yaml", shop.as_bytes()).unwrap()).unwrap();
    let record = Document::read("job.yaml", record.as_bytes()).unwrap();
    shop::expand(record, Some(&shop), packs, shop.zone(), Instant::parse(at).unwrap()).unwrap().document
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Whatever is read at whatever time after the start: the job is what it was without it, at both hold points. What
    /// is read before the start counts, and the earlier reading stays as a row of the warming.
    #[test]
    fn what_is_read_after_the_start_is_of_later_jobs(minute in -60_i64..60, core in 40_u16..110, told in any::<bool>()) {
        let packs = PackSet::base().unwrap();
        let start = if told { 7 } else { 0 };
        for (record, at) in [(AFTER_FILL, CHECKED_AFTER_FILL), (BEFORE_SERVICE, "2026-03-06T13:00:00-06:00")] {
            let mut text = common::read(record);
            if told {
                text = text.replacen("    fill:\n", "    acts: {fill: 2026-03-04 10:07}\n    fill:\n", 1);
                prop_assert!(text.contains("acts:"));
            }
            let json = |shop: &str| made(&packs, &text, shop, at).to_json();
            let (usual, again) = (json(&common::read(SHOP)), json(&shop_with(minute, core)));
            if minute > start {
                prop_assert_eq!(&again, &usual, "{} {}", record, minute);
            } else {
                let core = format!("{core} degF");
                for side in ["isocyanate", "polyol"] {
                    let side = &again["components"][side];
                    prop_assert_eq!(side["core_temperature"]["reading"].as_str(), Some(core.as_str()), "{}", minute);
                    prop_assert_eq!(side["warming"].as_array().map(Vec::len), Some(1));
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// The law for what is done from time to time: a check of the ratio from after the start says nothing of the fill, at
    /// either hold point, and one from before it is the one that counts.
    #[test]
    fn a_check_from_after_the_start_is_of_later_jobs(minute in -500_i64..60) {
        let packs = PackSet::base().unwrap();
        let (hour, of_hour) = ((600 + minute).div_euclid(60), (600 + minute).rem_euclid(60));
        let row = format!("\nroutines:\n  - {{did: ratio checked, of: P-1, at: 2026-03-04 {hour:02}:{of_hour:02}, found: within the data sheet}}\n");
        let shop = common::read(SHOP);
        let with_row = shop.replacen("\nroutines:\n", &row, 1);
        prop_assert!(with_row.contains(&row));
        for (path, at) in [(AFTER_FILL, CHECKED_AFTER_FILL), (BEFORE_SERVICE, "2026-03-06T13:00:00-06:00")] {
            let record = common::read(path);
            let json = |shop: &str| made(&packs, &record, shop, at).to_json();
            let (mut with, without) = (json(&with_row), json(&shop));
            if minute <= 0 {
                let due = format!("2026-03-04T{hour:02}:{of_hour:02}:00-06:00");
                prop_assert_eq!(with["pump"]["ratio_checked"].as_str(), Some(due.as_str()));
                with["pump"]["ratio_checked"] = without["pump"]["ratio_checked"].clone();
            }
            prop_assert_eq!(with, without, "{} at {}", path, minute);
        }
    }
}

/// Where the one sheet of the day was read again, what the job was started by is nowhere: it is asked for, and told why.
#[test]
fn a_sheet_that_was_overwritten_is_told_of() {
    let packs = PackSet::base().unwrap();
    let record = common::read(AFTER_FILL);
    let old = "round: {mark: EB morning, at: 07:10, by: OV}\n    read: {at: 08:50,";
    let shop = common::read(SHOP).replacen(old, &old.replace("08:50", "10:55"), 1);
    assert!(!shop.contains(old));
    let document = made(&packs, &record, &shop, CHECKED_AFTER_FILL);
    // With the sheet its instruments are gone, and those of the readings that stand in the record are asked for, too.
    let asked: Vec<Unnamed> = document.left_open().iter().map(|open| open.what.clone()).collect();
    let again = Instant::parse("2026-03-04T10:55:00-06:00").unwrap();
    let sheet = SheetOfDay {
        day: again.day_in(&common::demo_zone()),
        place: Some("EB".to_owned()),
        round: Some("EB morning".to_owned()),
    };
    let instrument =
        |one, marks: [&str; 3]| Unnamed::Instrument { one, marks: marks.map(str::to_owned).into(), more: 4 };
    assert_eq!(
        asked,
        [
            Unnamed::ReadBefore { sheet, again },
            instrument("gauge", ["G-2", "G-4", "G-5"]),
            instrument("thermometer", ["T-1", "T-2", "T-3"]),
            // Asked for only where a data sheet names a humidity, as no rule does here.
            Unnamed::Row("- {did: hygrometer calibrated, of: EB, at: , by: , due: }".to_owned()),
        ]
    );
    let at = Instant::parse(CHECKED_AFTER_FILL).unwrap();
    let (verdict, findings) = judged_at(&packs, &document, HoldPoint::AfterFill, at);
    assert_eq!(verdict, Verdict::Hold, "{findings:?}");
}
