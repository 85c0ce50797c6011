//! What a report tells a reader to do: once, of facts that somebody can record, and of people by their names.

use std::collections::BTreeSet;

use fillward::document::Document;
use fillward::explain::{self, Layout, Report};
use fillward::pack::PackSet;
use fillward::units::Instant;

use crate::common;

const JOBS: &str = "shared/demo/jobs";
const WIDE: Layout = Layout { width: 80, colour: false };

/// The law: a report says once what is done. Of another fault with the same first steps it says for which rule they stand,
/// and what must be so of the air again.
#[test]
fn what_is_done_is_told_once() {
    let packs = PackSet::base().unwrap();
    let mut pointed = 0;
    for path in common::files(JOBS, ".yaml") {
        let wide = Layout { width: 100_000, colour: false };
        let document = common::document(&path);
        let text = common::with_report(&packs, &document, common::demo_at(), |report| explain::brief(report, wide));
        let steps = text.lines().filter_map(|line| line.trim().strip_prefix("do: "));
        let steps: Vec<&str> =
            steps.map(|steps| steps.rsplit_once(" more step").map_or(steps, |(told, _)| told)).collect();
        let (same, told): (Vec<&str>, Vec<&str>) = steps.into_iter().partition(|steps| steps.contains("he same as "));
        let once: BTreeSet<&str> =
            told.iter().map(|steps| steps.trim_end_matches(|c: char| c.is_ascii_digit())).collect();
        assert_eq!(once.len(), told.len(), "{path}: {told:?}");
        for steps in same {
            pointed += 1;
            let Some((_, rule)) = steps.split_once("he same as for ") else { continue };
            let rule = rule.split_whitespace().next().unwrap().trim_end_matches('.');
            let (before, _) = text.split_once(steps).unwrap();
            assert!(before.contains(&format!("({rule})")), "{path}: {steps}");
        }
    }
    assert!(pointed > 3, "{pointed}");
}

/// Nobody records what is computed: what is to be found out is what it is computed from.
#[test]
fn what_is_to_be_recorded_is_a_fact() {
    let packs = PackSet::base().unwrap();
    let text = common::read("shared/demo/carried/3-after-fill.yaml");
    let find = "planned_start: 2026-03-04T10:00:00-06:00\n";
    assert!(text.contains(find), "{find}");
    let document = Document::read("after", text.replacen(find, "", 1).as_bytes()).unwrap();
    let job = fillward::record::read(&document, packs.catalogue(), &common::demo_zone()).unwrap();
    let at = Instant::parse("2026-03-04T13:30:00-06:00").unwrap();
    let scene = fillward::engine::Scene::new(&packs, &job, at, &common::demo_zone());
    let scene = scene.at_hold_point(fillward::vocabulary::HoldPoint::AfterFill);
    let report = Report::new(&scene, scene.judge(), &document, explain::AtFrom::Given);
    let long = explain::long(&report, WIDE).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(long.contains("planned start is found out and recorded"), "{long}");
    assert!(!long.contains("earliest end of the fill is found out"), "{long}");
}

/// Whoever looked at a thing and is not one of the people is called by name where the record names that person.
#[test]
fn a_stranger_is_called_by_name() {
    let packs = PackSet::base().unwrap();
    let document = common::document(&format!("{JOBS}/hold-seen-by-the-carrier.yaml"));
    let text = common::with_report(&packs, &document, common::demo_at(), |report| explain::brief(report, WIDE));
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("or `Sten Brolin` is recorded among the people, with the role and the training"), "{text}");
    assert!(!text.contains("one more person"), "{text}");
    // Where nobody is named, whoever joins is a stranger.
    let document = common::document(&format!("{JOBS}/hold-no-operator.yaml"));
    let text = common::with_report(&packs, &document, common::demo_at(), |report| explain::brief(report, WIDE));
    assert!(text.contains("one more person"), "{text}");
}
