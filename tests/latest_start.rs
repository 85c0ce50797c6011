//! How long a PASS lasts, one comparison with time at a time: the job passes at every second up to the latest start, and a
//! second after it no more.
//!
//! Which instants those are stands in each row, worked out by hand; the records are then judged before and after them. On
//! random rules and records it is a law (`laws/lasting.rs`).

use fillward::document::Document;
use fillward::engine::{LONGEST, Scene, lasts, latest_start};
use fillward::pack::PackSet;
use fillward::record::{self, Job};
use fillward::units::{Exact, Instant};
use fillward::vocabulary::Verdict;

use crate::common;
use crate::remedies::pack;

fn job(packs: &PackSet, record: &str) -> Job {
    let document = Document::read("job.yaml", format!("record: 1\n{record}").as_bytes()).unwrap();
    record::read_fragment(document.source(), document.root(), packs.catalogue())
        .unwrap_or_else(|faults| panic!("{:?}\n{record}", miette::Report::new(faults)))
}

fn later(at: Instant, seconds: i64) -> Instant {
    at.checked_add_seconds(Exact::from_int(seconds)).unwrap()
}

/// Judged at half past nine: the last second of the day given as `HH:MM:SS`; empty where the job is held at once.
#[test]
fn a_pass_lasts_to_the_last_second_at_which_it_is_one() {
    let now = common::demo_at();
    let longest = later(now, LONGEST);
    let of_nine = "local: {done: 2026-03-04T09:00:00-06:00, first: {reading: 50 psi, at: 2026-03-04T09:00:00-06:00}, seen: 2026-03-04}";
    let fresh = |fact: &str, span: &str| format!("{{local.{fact}: {{read_within: {span}}}}}");
    for (demands, record, due) in [
        // An age: of an event, of a reading, and of when a reading was taken. At exactly two hours it is within two hours.
        (fresh("done", "2 h"), of_nine, "11:00:00"),
        (fresh("first", "2 h"), of_nine, "11:00:00"),
        (fresh("first.at", "2 h"), of_nine, "11:00:00"),
        (fresh("done", "31 min"), of_nine, "09:31:00"),
        (fresh("done", "20 min"), of_nine, ""),
        // The first of two to end.
        (format!("{{all: [{}, {}]}}", fresh("done", "3 h"), fresh("first", "2 h")), of_nine, "11:00:00"),
        // The last of two to end.
        (format!("{{any: [{}, {}]}}", fresh("done", "3 h"), fresh("first", "2 h")), of_nine, "12:00:00"),
        // Over before the second at which it becomes true that it is no longer fresh.
        (format!("{{not: {}}}", fresh("done", "2 h")), of_nine, ""),
        // After a moment of the start's own, on either side of it.
        ("{local.done: {at_least: {moment: start, plus: -2 h}}}".to_owned(), of_nine, "11:00:00"),
        ("{local.done: {after: {moment: start, plus: -2 h}}}".to_owned(), of_nine, "10:59:59"),
        ("{local.first.at: {at_least: {moment: start, plus: -90 min}}}".to_owned(), of_nine, "10:30:00"),
        // What was otherwise before the judgement says nothing of what comes.
        (
            format!(
                "{{all: [{}, {{local.done: {{at_most: {{moment: start, plus: -25 min}}}}}}]}}",
                fresh("first", "2 h")
            ),
            of_nine,
            "11:00:00",
        ),
        // A plan goes by the clock of the judgement.
        (
            "{planned_start: {at_least: {moment: judgement}}}".to_owned(),
            "planned_start: 2026-03-04T11:15:00-06:00",
            "11:15:00",
        ),
        (
            "{planned_start: {after: {moment: judgement}}}".to_owned(),
            "planned_start: 2026-03-04T11:15:00-06:00",
            "11:14:59",
        ),
        (
            "{planned_start: {at_least: {moment: judgement, plus: 30 min}}}".to_owned(),
            "planned_start: 2026-03-04T11:15:00-06:00",
            "10:45:00",
        ),
        // Of several subjects the first to end.
        (
            "{for_each: {of: assembly, meets: {assembly.wheel.inspected.at: {read_within: 2 h}}}}".to_owned(),
            "assemblies: [{wheel: {inspected: {at: 2026-03-04T09:20:00-06:00}}}, {wheel: {inspected: {at: 2026-03-04T09:05:00-06:00}}}]",
            "11:05:00",
        ),
        // Nothing but a day: the working day ends first.
        ("{local.seen: {at_least: {moment: today}}}".to_owned(), of_nine, "21:30:00"),
        ("{local.first: {at_least: 50 psi}}".to_owned(), of_nine, "21:30:00"),
    ] {
        let packs = pack(&[("job", &demands)]);
        let job = job(&packs, record);
        let scene = Scene::new(&packs, &job, now, &common::demo_zone());
        let verdict = |at| Scene::new(&packs, &job, at, &common::demo_zone()).judge().verdict;
        let found = latest_start(&scene, &scene.judge());
        let text = found.map(|at| at.to_record_text().get(11..19).unwrap().to_owned()).unwrap_or_default();
        assert_eq!(text, due, "{demands}");
        let Some(last) = found else {
            assert_eq!(verdict(now), Verdict::Hold, "{demands}");
            continue;
        };
        assert_eq!(verdict(last), Verdict::Pass, "{demands}");
        assert_eq!(verdict(later(last, 1)) == Verdict::Pass, last == longest, "{demands}");
        let between = (last.seconds_since(now).to_f64() / 3.0).floor();
        #[expect(clippy::cast_possible_truncation, reason = "half a day of seconds")]
        let between = later(now, between as i64);
        assert_eq!(verdict(between), Verdict::Pass, "{demands}");
    }
}

/// A day is compared with the day of a moment, so it turns where that moment's day turns: an hour and a half after midnight,
/// or before it.
#[test]
fn a_day_ends_by_the_clock_of_the_shop() {
    for (demands, seen, due) in [
        // Close to midnight the day of the shop decides, not that of Greenwich.
        ("at_least: {moment: today}", "2026-03-04", "2026-03-04T23:59:59-06:00"),
        ("at_least: {moment: start}", "2026-03-04", "2026-03-04T23:59:59-06:00"),
        ("at_least: {moment: start, plus: -90 min}", "2026-03-04", "2026-03-05T01:29:59-06:00"),
        ("at_least: {moment: start, plus: 90 min}", "2026-03-04", "2026-03-04T22:29:59-06:00"),
        ("after: {moment: start, plus: 90 min}", "2026-03-05", "2026-03-04T22:29:59-06:00"),
        ("after: {moment: start, plus: -90 min}", "2026-03-05", "2026-03-05T01:29:59-06:00"),
    ] {
        let packs = pack(&[("job", &format!("{{local.seen: {{{demands}}}}}"))]);
        let job = job(&packs, &format!("local: {{seen: {seen}}}"));
        let zone = common::demo_zone();
        let at = Instant::parse("2026-03-04T20:00:00-06:00").unwrap();
        let scene = Scene::new(&packs, &job, at, &zone);
        let last = latest_start(&scene, &scene.judge()).unwrap();
        assert_eq!(last.to_record_text(), due, "{demands}");
        let verdict = |at| Scene::new(&packs, &job, at, &zone).judge().verdict;
        assert_eq!((verdict(last), verdict(later(last, 1))), (Verdict::Pass, Verdict::Hold), "{demands}");
    }
}

/// What else ends a PASS, a permit above all, ends it at its own instant, whatever order they are given in; what lies behind
/// or too far ahead ends nothing.
#[test]
fn a_pass_ends_where_something_else_does() {
    let packs = pack(&[("job", "{local.first: {at_least: 50 psi}}")]);
    let job = job(&packs, "local: {first: 50 psi}");
    let now = common::demo_at();
    let scene = Scene::new(&packs, &job, now, &common::demo_zone());
    let judgement = scene.judge();
    let until = |ends: &[i64], end: i64| {
        let ends: Vec<Instant> = ends.iter().map(|seconds| later(now, *seconds)).collect();
        let last = lasts(&scene, &judgement, &ends, |scene, judgement| {
            judgement.verdict == Verdict::Pass && scene.at() < later(now, end)
        });
        last.map(|last| last.seconds_since(now))
    };
    let seconds = |count: i64| Some(Exact::from_int(count));
    assert_eq!(until(&[600], 600), seconds(599));
    assert_eq!(until(&[7_200, -60, 600, 90_000], 600), seconds(599));
    assert_eq!(until(&[7_200, -60, 600, 90_000], 7_200), seconds(7_199));
    assert_eq!(until(&[7_200, 600, 3_600], 3_000), seconds(3_599), "seen where something ends");
    assert_eq!(until(&[LONGEST], LONGEST), seconds(LONGEST - 1));
    assert_eq!(until(&[LONGEST + 1], LONGEST + 1), seconds(LONGEST));
    assert_eq!(until(&[600], 0), None);
}

/// A row of a log that lies ahead is read when its time comes: a workspace that is then cold ends the PASS of a rule that
/// asks when the fill may serve.
#[test]
fn a_row_that_lies_ahead_counts_from_its_instant() {
    const PACK: &str = "pack: 1\nname: local\nedition: \"1\"\ntitle: Rules of a test\nexamples_at: 2026-03-04T09:30:00-06:00\nrules:\n  serves:\n    \
        title: It serves too late\n    covers: job\n    demands: {figure.ready_to_serve: {at_most: 2026-03-06T00:00:00-06:00}}\n    why: It is waited for.\n    \
        air: {stays: nothing is touched}\n    put_right: Fill sooner.\n    source: {kind: local code, cite: invented for this test}\n    on_fault: hold\n    \
        permit: none\n    examples: {passes: [{says: none}], holds: [{says: none}]}\n";
    let packs = PackSet::base().unwrap().with(vec![Document::read("local.yaml", PACK.as_bytes()).unwrap()]).unwrap();
    for (row, due) in [("50 degF", "2026-03-04T10:59:59-06:00"), ("70 degF", "2026-03-04T21:30:00-06:00")] {
        let job = job(
            &packs,
            &format!(
                "planned_start: 2026-03-04T09:00:00-06:00\nworkspace: {{temperature: 70 degF, log: [{{at: 2026-03-04T09:15:00-06:00, \
                 temperature: 70 degF}}, {{at: 2026-03-04T11:00:00-06:00, temperature: {row}}}]}}"
            ),
        );
        let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
        let is_met = |scene: &Scene<'_>, judgement: &fillward::engine::Judgement| {
            let of_rule = |finding: &&fillward::engine::Finding| scene.rule(finding).unwrap().name == "serves";
            !judgement.findings.iter().find(of_rule).unwrap().outcome.is_fault()
        };
        let last = lasts(&scene, &scene.judge(), &[], is_met).unwrap();
        assert_eq!(last.to_record_text(), due, "{row}");
    }
}
