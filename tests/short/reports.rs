//! What reports say of the shop file: what is wrong in it once, at its place, and what runs out soon.

use fillward::document::Document;
use fillward::explain::{self, Layout, Report};
use fillward::pack::PackSet;
use fillward::units::Day;
use fillward::vocabulary::Verdict;

use super::{RECORD, SHOP, expanded, with_like_tyres};
use crate::common;

const WIDE: Layout = Layout { width: 80, colour: false };

/// The demo's shop file, changed.
fn shop(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(common::read(SHOP), |text, (old, new)| {
        assert_eq!(text.matches(old).count(), 1, "`{old}`");
        text.replace(old, new)
    })
}

/// Hands the report of a short record with its shop file to `look`.
fn with_report<T>(packs: &PackSet, record: &str, shop: &str, look: impl FnOnce(&Report<'_>) -> T) -> T {
    let document = expanded(packs, record, Some(shop)).unwrap_or_else(|faults| panic!("{faults:?}")).document;
    common::with_report(packs, &document, common::demo_at(), look)
}

fn line_of(shop: &str, text: &str) -> usize {
    1 + shop.lines().position(|line| line.contains(text)).unwrap_or_else(|| panic!("no line has `{text}`"))
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn one_value_of_the_shop_file_is_one_fault_with_every_rule_that_it_breaks() {
    let packs = PackSet::base().unwrap();
    let shop = shop(&[(
        "name: Wren Castellane\n    role: helper\n    trained_in: [rim wheels, isocyanates]",
        "name: Wren Castellane\n    role: helper\n    trained_in: []",
    )]);
    let place = format!("line {} of shop.yaml", line_of(&shop, "trained_in: []"));
    let forms = with_report(&packs, &common::read(RECORD), &shop, |report| {
        assert_eq!(report.holding.len(), 2);
        [("brief", explain::brief(report, WIDE)), ("sheet", explain::sheet(report))]
    });
    for (name, text) in forms {
        let text = flat(&text);
        for code in ["tyre-fill/untrained-in-isocyanates", "tyre-fill/untrained-in-rim-wheels"] {
            assert!(text.contains(code), "{name} lacks {code}");
        }
        // Nothing that clears either of them is lost.
        for ticked in ["isocyanates", "rim wheels"] {
            assert!(text.contains(&format!("recorded (training: {ticked})")), "{name}: {text}");
        }
        match name {
            "brief" => assert_eq!((text.matches(&place).count(), text.matches("! ").count()), (1, 1), "{text}"),
            _ => assert_eq!(text.matches("[ ]").count(), 1, "{text}"),
        }
    }
}

/// Each row of the log that is not there is one thing to write, however many there are.
#[test]
fn each_row_that_the_log_lacks_is_asked_for_by_itself() {
    let packs = PackSet::base().unwrap();
    let shop = common::read(SHOP).replace(", calibration_due: 2026-09-30", "");
    with_report(&packs, &common::read(RECORD), &shop, |report| {
        let brief = flat(&explain::brief(report, WIDE));
        for row in ["gauge calibrated, of: G-2", "thermometer calibrated, of: T-1", "thermometer calibrated, of: T-2"] {
            let told = format!("? row of the log `- {{did: {row}, at: , by: , due: }}`");
            assert_eq!(brief.matches(&told).count(), 1, "{row}: {brief}");
        }
        assert_eq!(report.verdict(), Verdict::Hold);
    });
}

#[test]
fn what_an_entry_lacks_is_asked_for_at_the_entry_once_and_with_its_rules() {
    let packs = PackSet::base().unwrap();
    // A thermometer that five readings of a job may name, and the card of a wheel that four tyres stand on.
    let papers = shop(&[(
        "  - {mark: T-1, range: {from: 0 degF, to: 220 degF}, uncertainty: 0.5 degF, calibration_due: 2026-09-30}",
        "  - {mark: T-1, range: {from: 0 degF, to: 220 degF}}",
    )]);
    let card = common::read(SHOP).replace("    wheel: {rating: 80 psi, mass: 214 lb}", "    wheel: {mass: 214 lb}");
    let card = card.replacen("      rating: 75 psi\n      parts_identified: true\n      parts_match: true\n      needs_flap: false\n    wheel: {mass", "      parts_identified: true\n      parts_match: true\n      needs_flap: false\n    wheel: {mass", 1);
    let cases = [
        (
            (common::read(RECORD), &papers),
            line_of(&papers, "mark: T-1,"),
            "uncertainty of the thermometer",
            "tyre-fill/thermometer-uncertainty-unknown",
        ),
        (
            (with_like_tyres(), &card),
            line_of(&card, "mark: loader 4 wheel"),
            "rating of the wheel",
            "tyre-fill/ratings-unknown",
        ),
    ];
    for ((record, shop), line, facts, rule) in cases {
        with_report(&packs, &record, shop, |report| {
            assert_eq!(report.verdict(), Verdict::Hold);
            let brief = flat(&explain::brief(report, WIDE));
            let place = format!("line {line} of shop.yaml");
            let asked: Vec<&str> = brief.split("? ").skip(1).filter(|one| one.contains(&place)).collect();
            assert_eq!(asked.len(), 1, "{place}: {brief}");
            assert!(asked[0].contains(facts) && asked[0].contains(rule), "{}", asked[0]);
            for missing in report.worklist.missing().filter(|missing| missing.file(report) == "shop.yaml") {
                // What is done from time to time stands in the log, and the row that is to be written is told.
                if missing.write_at().is_some_and(|at| at.to_string() == "routines") {
                    assert!(
                        brief.contains("row of the log `- {did: thermometer calibrated, of: T-1, at: , by: , due: }`")
                    );
                    continue;
                }
                assert_eq!(missing.line(report), line, "{}", missing.place);
            }
        });
    }
}

/// The days in the report on which things run out, by what they are.
fn running_out(report: &Report<'_>) -> Vec<(String, String)> {
    let one = |soon: &fillward::explain::RunsOut| {
        let of = report.label(soon.whose).map_or_else(|| soon.name(report), str::to_owned);
        (of, soon.last.to_record_text())
    };
    report.worklist.running_out.iter().map(one).collect()
}

#[test]
fn what_runs_out_within_a_month_is_said_and_holds_nothing() {
    let packs = PackSet::base().unwrap();
    let today = Day::parse("2026-03-04").unwrap();
    let usual = with_report(&packs, &common::read(RECORD), &common::read(SHOP), |report| {
        assert_eq!(running_out(report), []);
        report.judgement.findings.clone()
    });
    for ahead in -2..=40 {
        let last = today.checked_add_days(ahead).unwrap().to_record_text();
        let gauge = shop(&[(
            "accuracy: EN 0.6, calibration_due: 2026-09-30}",
            &format!("accuracy: EN 0.6, calibration_due: {last}}}"),
        )]);
        let due = if (0..=30).contains(&ahead) { vec![("G-2".to_owned(), last.clone())] } else { Vec::new() };
        let line = format!("line {} of shop.yaml", line_of(&gauge, "mark: G-2,"));
        let (forms, json, sarif) = with_report(&packs, &common::read(RECORD), &gauge, |report| {
            assert_eq!(running_out(report), due, "{ahead} days ahead");
            assert_eq!(report.verdict() == Verdict::Hold, ahead < 0, "{ahead} days ahead");
            assert!(ahead < 0 || report.judgement.findings == usual);
            let forms = [
                explain::brief(report, WIDE),
                explain::long(report, WIDE),
                explain::plain(report),
                explain::sheet(report),
            ];
            (forms, explain::json(report).unwrap(), explain::sarif(report).unwrap())
        });
        for text in forms {
            let said = flat(&text).contains(&format!(
                "calibration of the gauge is good until the end of {}",
                today.checked_add_days(ahead).unwrap()
            ));
            assert_eq!(said && flat(&text).contains(&line), !due.is_empty(), "{text}");
        }
        assert_eq!(sarif.contains("is good until the end of"), !due.is_empty());
        assert_eq!(json.contains(&format!("\"last_day\": \"{last}\"")), !due.is_empty());
        Document::read("report", json.as_bytes())
            .and_then(|json| fillward::document::Schema::compile(explain::json_schema()).unwrap().check(&json))
            .unwrap();
    }
}

#[test]
fn what_is_done_from_time_to_time_is_said_to_run_out_in_the_last_quarter_of_its_time() {
    let packs = PackSet::base().unwrap();
    let with = |routine: &str, at: &str| {
        let usual = if routine == "eyewash run" { "2026-03-02" } else { "2026-02-20" };
        let shop = shop(&[(
            &format!("{{did: {routine}, of: EB, at: {usual}}}"),
            &format!("{{did: {routine}, of: EB, at: {at}}}"),
        )]);
        with_report(&packs, &common::read(RECORD), &shop, running_out)
    };
    // Good for 7 days, and for 31: of a week the last day, of a month the last seven.
    for (routine, at, last) in [
        ("eyewash run", "2026-02-26", Some("2026-03-05")),
        ("eyewash run", "2026-02-27", None),
        ("extinguisher checked", "2026-02-08", Some("2026-03-11")),
        ("extinguisher checked", "2026-02-09", None),
    ] {
        let found: Vec<String> = with(routine, at).into_iter().map(|(_, last)| last).collect();
        assert_eq!(found, last.into_iter().collect::<Vec<_>>(), "{routine} at {at}");
    }
}
