//! Cures and leaves that lead astray: to a number that is wrong itself, to a look at what is spoilt, to air let out for
//! a line that is only empty, past the pressure at which beads are seated. Common practice, no source.

use fillward::document::Document;
use fillward::explain::{self, Explained, Report};
use fillward::pack::Air;
use fillward::units::Exact;
use fillward::vocabulary::{HoldPoint, Outcome};
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;

use super::jobs::scalars;
use super::lasting::passing_demo;
use super::words::{WIDE, asked, each, flat, report_at};
use crate::common;
use crate::common::tree::{Step, without};

/// Looks at the report of a demo record in which texts were exchanged.
fn of_demo<T>(file: &str, changed: &[(&str, &str)], look: impl FnOnce(&Report<'_>) -> T) -> T {
    let text = common::read(file);
    let made = changed.iter().fold(text.clone(), |made, (old, new)| {
        assert!(made.contains(old), "{file} has no {old:?}");
        made.replacen(old, new, 1)
    });
    let document = Document::read("job.yaml", made.as_bytes()).unwrap();
    report_at(&document, asked(&text), |_, report| look(report)).unwrap()
}

fn clears_of(report: &Report<'_>, rule: &str) -> String {
    let found = report.holding.iter().find(|finding| finding.rule.name == rule);
    found.unwrap_or_else(|| panic!("{rule} does not hold")).clears().join(" ")
}

/// The manual's torque lacks a nought, which another rule sees: nobody is told to back the nuts off to it.
#[test]
fn nobody_is_brought_to_a_number_that_another_finding_rejects() {
    of_demo("shared/demo/carried/hold-torque-without-a-nought.yaml", &[], |report| {
        let said = clears_of(report, "nuts-overtightened");
        assert!(said.contains("is put right first"), "{said}");
        assert!(!said.contains("lbf"), "{said}");
    });
}

/// An empty line is found out before air is let out for it, and no nut is touched to find it out; a fault is not.
#[test]
fn a_line_that_is_only_empty_lets_no_air_out_before_it_is_found_out() {
    let file = "shared/demo/jobs/pass-telehandler-on-the-vehicle.yaml";
    of_demo(file, &[("      nuts_tight: true\n", "")], |report| {
        let brief = flat(&explain::long(report, WIDE));
        assert!(brief.contains("Find out first what is asked for") && brief.contains("touch no nut"), "{brief}");
        assert!(!brief.contains("Air out first:"), "{brief}");
    });
    of_demo(file, &[("      nuts_tight: true\n", "      nuts_tight: false\n")], |report| {
        let brief = flat(&explain::long(report, WIDE));
        assert!(brief.contains("Air out first:"), "{brief}");
    });
}

/// Whatever lines of a passing job are empty, and a fresh record has nothing else: nobody is sent to a tyre before they are
/// found out.
#[test]
fn empty_lines_alone_let_no_air_out() {
    let demo = passing_demo();
    let strategy = (any::<Index>(), prop::collection::vec(any::<Index>(), 1..6));
    let outcome = TestRunner::new(super::config()).run(&strategy, |(job, out)| {
        let (name, tree) = job.get(&demo);
        let mut fewer = (*tree).clone();
        let mut left_out = Vec::new();
        for place in &out {
            let all = scalars(&fewer);
            let path: &Vec<Step> = place.get(&all);
            left_out.push(common::tree::name(path));
            fewer = without(&fewer, path);
        }
        let text = serde_yaml::to_string(&fewer).unwrap();
        let Ok(document) = Document::read("job.yaml", text.as_bytes()) else { return Ok(()) };
        let when = (common::demo_at(), HoldPoint::BeforeFill);
        let drawn = report_at(&document, when, |_, report| [explain::long(report, WIDE), explain::brief(report, WIDE)]);
        for said in drawn.unwrap_or_default() {
            let said = flat(&said);
            // Nor is anybody told that what nobody wrote was written wrong.
            for order in ["Air out first:", "Look at the entr", "look at the entry"] {
                prop_assert!(!said.contains(order), "{name} without {left_out:?}: {said}");
            }
        }
        Ok(())
    });
    outcome.unwrap();
}

/// A job that is checked before what it says has come, by a day or a time that is wrong: no air is let out for that alone.
#[test]
fn what_is_dated_ahead_alone_lets_no_air_out() {
    let demo = passing_demo();
    let strategy = (any::<Index>(), 1..2880_i64);
    let asked_for = std::cell::Cell::new(0);
    let outcome = TestRunner::new(super::config()).run(&strategy, |(job, minutes)| {
        let (name, tree) = job.get(&demo);
        let text = serde_yaml::to_string(&tree).unwrap();
        let Ok(document) = Document::read("job.yaml", text.as_bytes()) else { return Ok(()) };
        let at = common::demo_at().checked_add_seconds(Exact::from_int(-60 * minutes)).unwrap();
        let said = report_at(&document, (at, HoldPoint::BeforeFill), |_, report| {
            let is_fault = |finding: &&Explained<'_>| {
                finding.outcome() == Outcome::Broken && finding.rule.told.put_right.air == Some(Air::Out)
            };
            let faults = report.holding.iter().filter(is_fault).count();
            (faults, [explain::long(report, WIDE), explain::brief(report, WIDE)].map(|text| flat(&text)))
        });
        let Some((0, forms)) = said else { return Ok(()) };
        for said in forms {
            prop_assert!(!said.contains("Air out first:"), "{name}, {minutes} min early: {said}");
            asked_for.set(asked_for.get() + u32::from(said.contains("Look at the entry first")));
        }
        Ok(())
    });
    outcome.unwrap();
    assert!(asked_for.get() > 20, "{}", asked_for.get());
}

/// What has spoilt a drum, or a casing, for good is not looked at again.
#[test]
fn what_is_spoilt_is_exchanged() {
    let spoilt = ["container-bulging", "container-leaking", "stored-outdoors", "hole-outside-the-crown"];
    let mut seen = 0;
    each(|file, _, report| {
        for finding in report.holding.iter().filter(|of| spoilt.contains(&of.rule.name.as_str())) {
            if finding.outcome() == fillward::vocabulary::Outcome::Broken {
                let said = finding.clears().join(" ");
                assert!(!said.contains("looked at again"), "{file}: {said}");
                seen += 1;
            }
        }
    });
    assert!(seen > 2, "{seen}");
}

/// What has set with stem or vent open is closed by nobody; while it flows, it is.
#[test]
fn what_has_set_open_is_closed_by_nobody() {
    for (began, over) in [("10:10", true), ("10:40", false)] {
        let acts = format!("    acts: {{fill: 2026-03-04T{began}:00-06:00}}\n    fill:\n");
        let changed = [("      closed: true\n", "      closed: false\n"), ("    fill:\n", acts.as_str())];
        of_demo("shared/demo/carried/3-after-fill.yaml", &changed, |report| {
            let said = clears_of(report, "left-open");
            assert_eq!(said.contains("it cannot be closed any more: the pot life is over"), over, "{said}");
        });
    }
}

/// Whoever lets air in is told the seating first, and that there is none where none is on record; whoever pumps is told what
/// stops the pump where nobody does.
#[test]
fn whoever_may_go_on_is_told_to_what() {
    let air = "shared/demo/carried/1-before-air.yaml";
    let seating = |value: &str| format!("    mounting: {{clean: true, seating_pressure: {value}, stem_open: true}}\n");
    let mounting = "    mounting: {clean: true, stem_open: true}\n";
    for (value, due) in [
        (
            "35 psi",
            "seat the beads with the regulator at 35 psi; once the beads are seen seated, up to 60 psi, never above 68.89 psi",
        ),
        ("63 psi", "let it down to 60 psi as soon as the beads are seen seated"),
    ] {
        let sidewall =
            ("      sidewall_maximum: 70 psi\n", "      sidewall_maximum: 70 psi\n      seating_maximum: 65 psi\n");
        of_demo(air, &[(mounting, &seating(value)), sidewall], |report| {
            let brief = flat(&explain::brief(report, WIDE));
            assert!(brief.contains(due), "{brief}");
        });
    }
    of_demo(air, &[], |report| {
        let brief = flat(&explain::brief(report, WIDE));
        assert!(brief.contains("no seating pressure is on record: find the makers' before air goes in"), "{brief}");
        assert!(brief.contains("set up: cage rated 240 psi, everybody 12 ft away"), "{brief}");
    });
    of_demo("shared/demo/carried/2-before-fill.yaml", &[], |report| {
        let brief = flat(&explain::brief(report, WIDE));
        assert!(
            brief.contains(
                "stop at 60 psi; never above 66 psi, where the pump stops by itself: if it does not, shut it off"
            ),
            "{brief}"
        );
    });
    of_demo("shared/demo/carried/3-after-fill.yaml", &[], |report| {
        let brief = flat(&explain::brief(report, WIDE));
        assert!(brief.contains("weighs ") && brief.contains("forklift 2 may carry 6000 lb"), "{brief}");
    });
}
