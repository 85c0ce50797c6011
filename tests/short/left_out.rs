//! A mark that is left out is one errand: whoever reads the report is asked for the mark, and not for all that comes
//! with it.

use fillward::document::Document;
use fillward::explain::{self, Layout, Missing, MissingPart};
use fillward::pack::PackSet;
use fillward::record::shop::{self, Shop};
use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, Subject};

use super::{RECORD, SHOP, changed, expanded};
use crate::common;
use crate::common::tree::{name, paths, without};

const WIDE: Layout = Layout { width: 80, colour: false };
/// Lines that a person sees of a report without turning a page, by the needs of a shop's screen.
const SCREEN: usize = 60;

/// The errands of a brief report, each without its further lines.
fn errands(brief: &str) -> Vec<&str> {
    brief.lines().filter(|line| line.starts_with("  ? ") || line.starts_with("  ! ")).collect()
}

#[test]
fn one_mark_left_out_is_one_line() {
    let packs = PackSet::base().unwrap();
    let round = "    round: {mark: EB morning, at: 07:10, by: OV}\n";
    for (record, shop, asks, written_at) in [
        (&[("place: EB\n", "")][..], &[][..], "place by its mark", "place"),
        (&[("    lot: PS-118\n", "")], &[], "isocyanate: lot by its mark", "components.isocyanate.lot"),
        (&[("    lot: PL-641\n", "")], &[], "polyol: lot by its mark", "components.polyol.lot"),
        (&[("card: 17.5-25 16, ", "")], &[], "tyre card by its mark", "assemblies[0].tyre.card"),
        (&[("    wheel: loader 4 wheel\n", "")], &[], "wheel card by its mark", "assemblies[0].wheel.card"),
        (&[("    machine: loader 4\n", "")], &[], "machine card by its mark", "assemblies[0].machine.card"),
        (
            &[],
            &[("  - day: 2026-03-04\n    round: {mark: EB", "  - day: 2026-03-03\n    round: {mark: EB")],
            "sheet of 4 March 2026 at EB",
            "days",
        ),
        (&[], &[(round, "    place: EB\n")], "round on the sheet of 4 March 2026 at EB", "days.round"),
        (&[], &[("    pump: P-1\n", "")], "pump by its mark", "pump.mark"),
        (&[], &[("    cage: C-1\n", "")], "cage by its mark", "cage.mark"),
        (&[], &[("    handling: FL-2\n", "")], "lifting gear by its mark", "handling.mark"),
    ] {
        let made = expanded(&packs, &changed(RECORD, record), Some(&changed(SHOP, shop)));
        let document = made.unwrap_or_else(|faults| panic!("{asks}: {faults:?}")).document;
        let (brief, sheet, json) = common::with_report(&packs, &document, common::demo_at(), |report| {
            (explain::brief(report, WIDE), explain::sheet(report), explain::json(report).unwrap())
        });
        let lines = errands(&brief);
        assert!(lines.len() == 1 && lines[0].contains(asks), "{asks}:\n{brief}");
        assert!(brief.contains("0 to put right · 1 to find out"), "{brief}");
        assert!(!brief.contains("Air out first"), "{brief}");
        assert!(!sheet.contains("Air out first"), "{sheet}");
        let words: Vec<&str> = sheet.split_whitespace().collect();
        assert_eq!(words.join(" ").matches(asks).count(), 1, "{asks}: {sheet}");
        // Other programs are told each fact, and where one value answers it.
        let json: serde_json::Value = serde_json::from_str(&json).unwrap();
        let stops = json["worklist"].as_array().unwrap().iter();
        let places: Vec<&serde_json::Value> = stops
            .flat_map(|stop| stop["missing"].as_array().unwrap())
            .filter(|fact| fact["may_not_be_asked"] == false)
            .map(|fact| &fact["write_at"])
            .collect();
        assert!(!places.is_empty() && places.iter().all(|place| *place == written_at), "{asks}: {places:?}");
    }
}

/// A short record to fill in asks for its marks, and what it asks for fits a screen, for one tyre and for four.
#[test]
fn a_fresh_short_record_fits_a_screen() {
    let packs = PackSet::base().unwrap();
    let shop = Shop::read(common::document(SHOP)).unwrap();
    let one = shop::blank_short_template(packs.catalogue(), &shop, None);
    let (before, rest) = one.split_once("\nassemblies:\n").unwrap();
    let (assembly, behind) = rest.split_once("\n# the two liquids").unwrap();
    let four = format!("{before}\nassemblies:\n{}\n# the two liquids{behind}", [assembly; 4].join("\n"));
    let marked = |text: &str| {
        ["left front", "right front", "left rear", "right rear"].iter().fold(text.to_owned(), |text, place| {
            text.replacen("  - mark:\n", &format!("  - mark: loader 4, {place}\n"), 1)
        })
    };
    for (name, text) in [("one", marked(&one)), ("four", marked(&four))] {
        let made = expanded(&packs, &text, Some(&common::read(SHOP))).unwrap_or_else(|faults| panic!("{faults:?}"));
        let job = fillward::record::read(&made.document, packs.catalogue(), shop.zone()).unwrap();
        for point in HoldPoint::ALL {
            let scene = fillward::engine::Scene::new(&packs, &job, common::demo_at(), shop.zone()).at_hold_point(point);
            let report = explain::Report::new(&scene, scene.judge(), &made.document, explain::AtFrom::Given);
            let brief = explain::brief(&report, WIDE);
            assert!(brief.lines().count() <= SCREEN, "{name}, {}:\n{brief}", point.word());
            if point == HoldPoint::BeforeFill {
                common::snapshot(&format!("blank-short-brief-{name}"), &brief);
            }
        }
    }
}

/// The sheet of a short record has as many boxes as there are values to write: the look at the bench is one.
#[test]
fn the_sheet_of_a_short_record_asks_for_a_look_once() {
    let packs = PackSet::base().unwrap();
    let bench = "    bench: {at: 07:55, by: OV, found: []}\n";
    let record = changed(RECORD, &[(bench, ""), ("    seated: 08:25\n", "")]);
    let document = expanded(&packs, &record, Some(&common::read(SHOP))).unwrap().document;
    let at = Instant::parse("2026-03-04T09:30:00-06:00").unwrap();
    let (brief, sheet, json) = common::with_report(&packs, &document, at, |report| {
        (explain::brief(report, WIDE), explain::sheet(report), explain::json(report).unwrap())
    });
    assert!(sheet.contains("bench: when, who, what was found"), "{sheet}");
    assert_eq!(sheet.matches("[ ]").count(), errands(&brief).len(), "{sheet}");
    assert!(json.contains("assemblies[0].bench.found") && json.contains("assemblies[0].bench.at"), "{json}");
}

/// Nobody is asked for a list of instruments, which no short record has: whatever is left out of one, what is asked for
/// is the mark by which they come, or the reading that was taken with one.
#[test]
fn no_list_of_instruments_is_asked_for() {
    let packs = PackSet::base().unwrap();
    let zone = common::demo_zone();
    let shop = Shop::read(common::document(SHOP)).unwrap();
    let (mut tried, mut with_mark) = (0, 0);
    let mut ask = |what: &str, text: &str| {
        let Ok(made) = super::expanded_with(&packs, text, Some(&shop)) else { return };
        let job = fillward::record::read(&made.document, packs.catalogue(), &zone).unwrap();
        let scene = fillward::engine::Scene::new(&packs, &job, common::demo_at(), &zone);
        let report = explain::Report::new(&scene, scene.judge(), &made.document, explain::AtFrom::Given);
        let is_instrument = |of: &&Missing<'_>| matches!(of.key.subject, Subject::Gauge | Subject::Thermometer);
        let lists = report.worklist.missing().filter(|missing| missing.part == MissingPart::List);
        for missing in lists.filter(is_instrument) {
            assert!(missing.comes_with.is_some(), "{what}: {}", missing.name(&report));
            with_mark += 1;
        }
        tried += 1;
    };
    for file in common::files("shared/demo/short", ".yaml").into_iter().filter(|file| file.contains("/pass-")) {
        let text = common::read(&file);
        let whole: serde_yaml::Value = serde_yaml::from_str(&text).unwrap();
        let mut all = Vec::new();
        paths(&whole, &[], &mut all);
        for path in &all {
            let less = serde_yaml::to_string(&without(&whole, path)).unwrap();
            ask(&format!("{file} without {}", name(path)), &less);
        }
        let old = Document::read(&file, text.as_bytes()).unwrap();
        ask(&file, &shop::blank_short_template(packs.catalogue(), &shop, Some(old.root())));
    }
    assert!(tried > 500 && with_mark > 10, "{tried} records, {with_mark} lists");
}
