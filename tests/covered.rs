//! A judgement of some of a job's assemblies: it finds what concerns them and the job as a whole, and nothing else.

use fillward::document::Document;
use fillward::engine::{Scene, remedy};
use fillward::pack::PackSet;
use fillward::record::{self, Job};
use fillward::vocabulary::Verdict;

use crate::common;
use crate::remedies::pack;

fn job(packs: &PackSet, record: &str) -> Job {
    let document = Document::read("job.yaml", format!("record: 1\n{record}").as_bytes()).unwrap();
    record::read_fragment(document.source(), document.root(), packs.catalogue())
        .unwrap_or_else(|faults| panic!("{:?}\n{record}", miette::Report::new(faults)))
}

const FOUR: &str = "local: {ready: true}\nassemblies: [{mark: a, tyre: {state: new}}, {mark: b, tyre: {state: used}}, \
                    {mark: c, tyre: {state: new}}, {tyre: {state: new}}]";

#[test]
fn what_is_covered_is_judged_and_the_rest_is_left_out() {
    let packs = pack(&[("each assembly", "{assembly.tyre.state: {is: new}}"), ("job", "{local.ready: {is: true}}")]);
    let job = job(&packs, FOUR);
    let scene = || Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
    // Without any choice it is all of them.
    let all: Vec<usize> = scene().covered().map(|(place, _)| place).collect();
    assert_eq!((all, scene().left_out().count()), (vec![0, 1, 2, 3], 0));
    assert_eq!(scene().judge().verdict, Verdict::Hold);
    for (marks, places, verdict) in [
        (&["a"][..], &[0][..], Verdict::Pass),
        (&["b"], &[1], Verdict::Hold),
        (&["c"], &[2], Verdict::Pass),
        (&["c", "a"], &[0, 2], Verdict::Pass),
        (&["a", "b"], &[0, 1], Verdict::Hold),
        (&["a", "a"], &[0], Verdict::Pass),
    ] {
        let scene = scene().covering(marks).unwrap();
        let covered: Vec<usize> = scene.covered().map(|(place, _)| place).collect();
        assert_eq!(covered, places, "{marks:?}");
        assert_eq!(scene.left_out().count(), 4 - places.len(), "{marks:?}");
        assert!(scene.left_out().all(|one| !marks.contains(&one.label.as_str())), "{marks:?}");
        let judgement = scene.judge();
        assert_eq!(judgement.verdict, verdict, "{marks:?}");
        // A finding for each that is covered, and one of the job.
        let found: Vec<(usize, Option<usize>)> =
            judgement.findings.iter().map(|finding| (finding.rule, finding.entity)).collect();
        let due: Vec<(usize, Option<usize>)> =
            places.iter().map(|place| (0, Some(*place))).chain([(1, Some(0))]).collect();
        assert_eq!(found, due, "{marks:?}");
    }
    assert_eq!(scene().covering(&["a", "d", "e"]).err(), Some("d".to_owned()));
    // What is left out stays left out at another instant and another hold point.
    let moved = scene().covering(&["a"]).unwrap().at_hold_point(fillward::vocabulary::HoldPoint::BeforeAir);
    assert_eq!(moved.covered().count(), 1);
}

/// What was found of some assemblies says nothing of others: what a way puts out of order is asked of those that are covered
/// now.
#[test]
fn other_assemblies_are_judged_anew() {
    let packs = pack(&[
        ("each assembly", "{assembly.mounting.seating_pressure: {at_most: 40 psi}}"),
        ("each assembly", "{assembly.mounting.seating_pressure: {at_least: 50 psi}}"),
    ]);
    let job = job(
        &packs,
        "assemblies: [{mark: a, mounting: {seating_pressure: 60 psi}}, {mark: b, mounting: {seating_pressure: 60 psi}}]",
    );
    let mut scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
    for mark in ["a", "b", "a"] {
        scene = scene.covering(&[mark]).unwrap();
        let judgement = scene.judge();
        let finding = judgement.findings.iter().find(|finding| finding.outcome.is_fault()).unwrap();
        let remedy = remedy(&scene, finding);
        let spoiled = remedy.at_a_price.map(|(_, spoiled)| spoiled).unwrap_or_default();
        let places: Vec<_> = spoiled.iter().map(|finding| (finding.rule, finding.entity)).collect();
        assert_eq!((remedy.ways.len(), places), (0, vec![(1, finding.entity)]), "{mark}");
    }
}
