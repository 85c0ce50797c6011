//! A sheet of the day that is missing comes first in every form of report: what depends on it cannot be judged before.

use fillward::engine::Scene;
use fillward::explain::{self, AtFrom, Layout, Report};
use fillward::pack::PackSet;
use fillward::record;
use fillward::vocabulary::{HoldPoint, Verdict};

use super::{SHOP, expanded};
use crate::common;

const WIDE: Layout = Layout { width: 80, colour: false };

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whatever else is the matter with the job, at either hold point at which the sheet counts.
#[test]
fn a_missing_sheet_comes_first() {
    let packs = PackSet::base().unwrap();
    let shop = common::read(SHOP);
    let (shop, _) = shop.split_once("days:\n").unwrap();
    let zone = common::demo_zone();
    let mut tried = 0;
    // A record without its day or its place states everything itself.
    let is_of_a_day = |path: &String| ["\nday: ", "\nplace: "].iter().all(|key| common::read(path).contains(key));
    for path in common::files("shared/demo/short", ".yaml").into_iter().filter(is_of_a_day) {
        let Ok(made) = expanded(&packs, &common::read(&path), Some(shop)) else { continue };
        let Ok(job) = record::read(&made.document, packs.catalogue(), &zone) else { continue };
        for point in [HoldPoint::BeforeAir, HoldPoint::BeforeFill] {
            let scene = Scene::new(&packs, &job, common::demo_at(), &zone).at_hold_point(point);
            let report = Report::new(&scene, scene.judge(), &made.document, AtFrom::Given);
            assert_eq!(report.verdict(), Verdict::Hold, "{path}");
            // Before air a job may ask nothing of the sheet.
            let first = report.worklist.comes_first();
            assert!(first.is_some() || point == HoldPoint::BeforeAir, "{path}");
            let Some(first) = first else { continue };
            assert_eq!(first.write_at().map(ToString::to_string).as_deref(), Some("days"), "{path}");
            let brief = explain::brief(&report, WIDE);
            // Nothing comes before it but what runs away, such as a drum that bulges.
            let (before, behind) = brief.split_once("First, since").unwrap();
            let is_urgent = before.contains("\nAt once\n");
            assert!(!["  ? ", "\nAt the ", "Air out first"].iter().any(|of| before.contains(of)), "{path}: {brief}");
            assert_eq!(before.contains("  ! "), is_urgent, "{path}: {brief}");
            assert!(behind.lines().nth(1).unwrap().starts_with("  ? sheet of 4 March 2026 at "), "{path}: {brief}");
            let sheet = explain::sheet(&report);
            let (before, behind) = sheet.split_once("FIRST, SINCE").unwrap();
            assert_eq!(before.contains("[ ]"), is_urgent, "{path}: {sheet}");
            assert!(behind.lines().nth(1).unwrap().starts_with("[ ]   sheet of 4 March 2026"), "{path}: {sheet}");
            for (form, opens) in
                [(explain::long(&report, WIDE), "\n 1  "), (explain::plain(&report), "\nFinding 1 of ")]
            {
                let told = form.find("First, since").unwrap_or_else(|| panic!("{path}: {form}"));
                assert!(told < form.find(opens).unwrap(), "{path}: {form}");
            }
            let json: serde_json::Value = serde_json::from_str(&explain::json(&report).unwrap()).unwrap();
            assert_eq!(json["worklist"][0]["missing"][0]["write_at"], "days", "{path}");
            // It is told once, with the line that begins it.
            for form in [brief, sheet] {
                assert_eq!(flat(&form).matches("sheet of 4 March 2026").count(), 1, "{path}: {form}");
                assert!(flat(&form).contains("`- {day: 2026-03-04, round: {mark: "), "{path}: {form}");
            }
            tried += 1;
        }
    }
    assert!(tried > 150, "{tried}");
}

/// The line that begins the sheet is one: written into the shop file, it is what was missing.
#[test]
fn the_line_that_begins_a_sheet_is_read() {
    let packs = PackSet::base().unwrap();
    let shop = common::read(SHOP);
    let (before, _) = shop.split_once("days:\n").unwrap();
    let line = "- {day: 2026-03-04, round: {mark: EB morning, at: 07:10, by: OV}, read: {at: 08:50, thermometer: T-1}}";
    let made = expanded(&packs, &common::read(super::RECORD), Some(&format!("{before}days:\n  {line}\n"))).unwrap();
    let asked = common::with_report(&packs, &made.document, common::demo_at(), |report| {
        assert_eq!(report.worklist.comes_first(), None);
        explain::brief(report, WIDE)
    });
    assert!(!asked.contains("sheet of") && !asked.contains("round on"), "{asked}");
}
