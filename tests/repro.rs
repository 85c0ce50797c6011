//! Records that were once judged wrongly, each with what it must give. The laws that they broke are tried on random
//! records elsewhere; here stand the cases by which they were found.

use std::collections::BTreeSet;

use fillward::engine::Scene;
use fillward::figures::FigureId;
use fillward::pack::PackSet;
use fillward::record;
use fillward::vocabulary::{Subject, Verdict};

use crate::common;
use crate::figures::{figure, interval};

/// A record, the local packs beside the base pack, and the rules that must hold it; none for a pass.
type Case = (&'static str, &'static [&'static str], &'static [&'static str]);

/// Judged late in the evening, for a start after midnight.
const ENDS_BEFORE_THE_START: &str = "hold-lot-ends-before-the-start";

const LEAKING: &[&str] = &["pre-stretch-leaking"];
const OFF_SCALE: &[&str] = &["stretch-off-the-scale"];
const TOO_LONG_AGO: &[&str] = &["stretch-too-long-ago"];

const CASES: &[Case] = &[
    ("hold-110-psi-lost-in-a-day", &[], LEAKING),
    ("hold-16-psi-lost-coarse-gauge", &[], LEAKING),
    ("hold-16-psi-lost-fine-gauge", &[], LEAKING),
    (
        "hold-28-percent-lost-in-a-day",
        &[],
        &["pre-stretch-leaking", "pressure-far-below-strength", "pressure-below-its-kind"],
    ),
    ("hold-leak-topped-up-29-times", &[], LEAKING),
    ("hold-rows-below-the-dial", &[], OFF_SCALE),
    ("hold-readings-off-the-thermometer", &[], OFF_SCALE),
    ("hold-stretch-ended-8-days-ago", &[], TOO_LONG_AGO),
    // The reading was of a freezing bay besides.
    ("hold-air-reading-of-2016", &[], &["workspace-unfit", "workspace-reading-stale", "casing-cold"]),
    ("bounds-by-name", &[], &[]),
    ("bounds-measured", &[], &[]),
    ("hold-810-lb-per-cycle", &[], &["cycle-beyond-any-pump", "cycle-implausible", "priming-below-a-cycle"]),
    ("hold-bay-at-minus-40", &[], &["workspace-unfit", "casing-cold"]),
    ("hold-inside-never-seen", &[], &["interior-not-seen"]),
    // Nobody wrote down what its sheet allows, either.
    ("hold-material-at-190-degF", &[], &["hot-material", "hot-without-a-sheet"]),
    ("hold-no-tube-but-its-size", &[], &["tube-contradicted"]),
    ("pass-fresh-stretch-beside-an-old-one", &[], &[]),
    ("pass-fresh-stretch-beside-an-old-one", &["pack-shorter-gap"], &[]),
    // The fresh stretch was at 26 degC, which is 78.8 degF.
    ("pass-fresh-stretch-beside-an-old-one", &["pack-warmer"], &[]),
    ("pass-old-run-beside-a-fresh-one", &[], &[]),
    ("pass-old-run-beside-a-fresh-one", &["pack-shorter-gap"], &[]),
    ("pass-old-run-beside-a-fresh-one", &["pack-warmer"], &["new-tyre-not-stretched"]),
    ("pass-heater-cycle", &[], &[]),
    ("pass-readings-on-the-thermometer", &[], &[]),
    // 250 lb for a drive tyre of eight plies, and gear that may lift 2200 lb.
    ("pass-weighed-masses", &[], &[]),
];

#[test]
fn records_once_judged_wrongly_are_judged_right() {
    for (name, local, rules) in CASES {
        let path = |name: &str| format!("tests/repro/{name}.yaml");
        let documents = local.iter().map(|pack| common::document(&path(pack))).collect();
        let packs = PackSet::base().unwrap().with(documents);
        let packs = packs.unwrap_or_else(|faults| panic!("{name}: {:?}", miette::Report::new(faults)));
        let job = common::job(&packs, &path(name));
        let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
        let judgement = scene.judge();
        let mut holding: Vec<&str> = judgement
            .findings
            .iter()
            .filter(|finding| finding.holds())
            .map(|finding| &*scene.rule(finding).unwrap().name)
            .collect();
        holding.dedup();
        assert_eq!(holding, *rules, "{name} with {local:?}");
        let verdict = if rules.is_empty() { Verdict::Pass } else { Verdict::Hold };
        assert_eq!(judgement.verdict, verdict, "{name} with {local:?}");
    }
}

/// What is used ends before the start: the lots, the gauge and the thermometers, each held by itself.
#[test]
fn what_ends_before_the_start_holds_the_job() {
    let packs = PackSet::base().unwrap();
    let job = common::job(&packs, &format!("tests/repro/{ENDS_BEFORE_THE_START}.yaml"));
    let at = fillward::units::Instant::parse("2026-03-04T23:00:00-06:00").unwrap();
    let scene = Scene::new(&packs, &job, at, &common::demo_zone());
    let held = |name: &str| {
        let of_rule = |finding: &&fillward::engine::Finding| &*scene.rule(finding).unwrap().name == name;
        scene.judge().findings.iter().filter(of_rule).filter(|finding| finding.holds()).count()
    };
    assert_eq!(held("material-expired"), 2);
    assert_eq!(held("gauge-out-of-calibration"), 1);
    assert_eq!(held("thermometer-out-of-calibration"), 2);
}

/// Records that are not judged at all, with the code of the fault.
const REFUSED: &[(&str, &str)] = &[
    // Yesterday's inspections are of "today" by the clock of the other side of the world.
    ("due-hold-day-moved-by-offset", "record/offset-of-another-zone"),
    // An offset of summer, kept in winter.
    ("due-hold-offset-an-hour-off", "record/offset-of-another-zone"),
    ("refused-dates-in-2200", "record/impossible-value"),
    ("refused-line-breaks-in-names", "record/unseen-character"),
    ("refused-placeholders", "record/says-nothing"),
    ("refused-blank-marks", "record/mark-twice"),
];

#[test]
fn records_that_nobody_can_mean_are_refused() {
    let packs = PackSet::base().unwrap();
    for (name, code) in REFUSED {
        let document = common::document(&format!("tests/repro/{name}.yaml"));
        let faults = record::read(&document, packs.catalogue(), &common::demo_zone()).unwrap_err();
        let found: Vec<&str> = faults.iter().map(|fault| fault.code().word()).collect();
        assert!(found.contains(code), "{name}: {found:?}");
    }
}

/// Every record of the folder is in a table.
#[test]
fn no_record_is_left_out() {
    for path in common::files("tests/repro", ".yaml") {
        let name = path.rsplit('/').next().unwrap().strip_suffix(".yaml").unwrap().to_owned();
        let judged = CASES.iter().any(|(record, packs, _)| *record == name || packs.contains(&name.as_str()));
        let listed = judged || name == ENDS_BEFORE_THE_START || REFUSED.iter().any(|(record, _)| *record == name);
        assert!(listed, "{name}");
    }
}

const BOUNDS: [&str; 2] = ["tests/repro/bounds-by-name.yaml", "tests/repro/bounds-measured.yaml"];

/// One forklift drive tyre by its name alone and measured: every figure that rests on the volume lies inside the same
/// figure by the name.
#[test]
fn what_is_measured_lies_inside_what_the_name_gives() {
    let packs = PackSet::base().unwrap();
    let [by_name, measured] = BOUNDS.map(|path| common::job(&packs, path));
    for (subject, id) in [
        (Subject::Assembly, FigureId::CavityVolume),
        (Subject::Assembly, FigureId::MixMass),
        (Subject::Assembly, FigureId::FilledMass),
        (Subject::Component, FigureId::ComponentNeeded),
        (Subject::Component, FigureId::ComponentLeft),
        (Subject::Job, FigureId::JobMixMass),
        (Subject::Job, FigureId::PumpCycles),
    ] {
        let [outer, inner] = [&by_name, &measured].map(|job| interval(&figure(&packs, job, subject, id)));
        assert!(outer.lo() <= inner.lo() && inner.hi() <= outer.hi(), "{id:?}: {inner:?} in {outer:?}");
        assert!(outer != inner, "{id:?}: measuring narrows nothing");
    }
}

/// No rule holds the measured tyre that lets the named one through.
#[test]
fn leaving_the_measurements_out_clears_nothing() {
    let packs = PackSet::base().unwrap();
    let [by_name, measured] = BOUNDS.map(|path| {
        let job = common::job(&packs, path);
        let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
        let findings = scene.judge().findings;
        let holding = findings.iter().filter(|finding| finding.holds());
        holding.map(|finding| scene.rule(finding).unwrap().name.clone()).collect::<BTreeSet<_>>()
    });
    assert!(measured.is_subset(&by_name), "{measured:?} against {by_name:?}");
}
