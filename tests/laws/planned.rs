//! Who passes may start as planned: judged PASS with a start that lies ahead, and nothing new happening until then, a record
//! is a PASS at that start and all the way to it.
//!
//! Tried on the demo jobs, moved in time, by the base pack; and on random rules that ask ages, days and dates, where the
//! outcome must be the same all the way, whatever it is.

use std::cell::Cell;

use fillward::engine::{LONGEST, Scene, latest_start};
use fillward::record;
use fillward::units::Instant;
use fillward::vocabulary::Verdict;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::jobs::{PACKS, scalars};
use super::lasting::{later, moved, moves, passes, passing_demo, read};
use crate::common;
use crate::common::tree::{Step, at, with};
use crate::remedies::read_pack;

/// Whether anything but the plan is dated after `from` and not after `to`: that happens on the way.
fn anything_happens(tree: &Value, from: Instant, to: Instant) -> bool {
    let dated = |path: &Vec<Step>| match at(tree, path) {
        Some(Value::String(text)) => Instant::parse(text).is_ok_and(|at| from < at && at <= to),
        _ => false,
    };
    scalars(tree).iter().any(|path| path != &plan() && dated(path))
}

fn plan() -> Vec<Step> {
    vec![Step::Key("planned_start".to_owned())]
}

#[test]
fn a_pass_is_one_at_its_planned_start() {
    let (passing, far) = (Cell::new(0), Cell::new(0));
    let strategy = (moves(), 0..30 * 60_i64, 0..130 * 60_i64, any::<Index>());
    let outcome =
        TestRunner::new(super::config()).run(&strategy, |((job, start, moves, all), judged, ahead, between)| {
            let demo = passing_demo();
            let (name, tree) = job.get(&demo);
            let at = later(common::demo_at(), 60 * all + judged);
            let planned = later(at, ahead);
            let tree = moved(tree, start % 64, &moves, all);
            let tree = with(&tree, &plan(), Value::String(planned.to_record_text()));
            if anything_happens(&tree, at, planned) {
                return Ok(());
            }
            let Some(job) = read(&tree) else { return Ok(()) };
            let scene = Scene::new(&PACKS, &job, at, &common::demo_zone());
            let judgement = scene.judge();
            if judgement.verdict != Verdict::Pass {
                return Ok(());
            }
            passing.set(passing.get() + 1);
            far.set(far.get() + u32::from(ahead > 60 * 60));
            let then = later(at, i64::try_from(between.index(usize::try_from(ahead).unwrap() + 1)).unwrap());
            prop_assert!(passes(&job, then), "{name}: judged at {at} for {planned}, held at {then}");
            prop_assert!(passes(&job, planned), "{name}: judged at {at}, held at its start, {planned}");
            let latest = latest_start(&scene, &judgement).unwrap();
            prop_assert!(latest >= planned, "{name}: judged at {at} for {planned}, to start until {latest}");
            Ok(())
        });
    outcome.unwrap();
    println!("{} of the records pass, {} of them for a start more than an hour ahead", passing.get(), far.get());
    assert!(passing.get() > 20 && far.get() > 5);
}

/// A comparison with time, as YAML in flow style: of an event, of a reading, of a day.
fn comparison() -> BoxedStrategy<String> {
    let order = || prop::sample::select(vec!["at_least", "at_most", "before", "after"]);
    let instant = || prop::sample::select(vec!["local.done", "local.first.at"]);
    let moment = || prop::sample::select(vec!["start", "today"]);
    let dated = prop::sample::select(vec!["local.done", "local.first"]);
    prop_oneof![
        (dated, 0..2_000_i64).prop_map(|(fact, span)| format!("{{{fact}: {{read_within: {span} min}}}}")),
        (0..4_i64).prop_map(|span| format!("{{local.seen: {{read_within: {span} d}}}}")),
        (instant(), order(), moment(), -2_000..60_i64)
            .prop_map(|(fact, order, of, by)| format!("{{{fact}: {{{order}: {{moment: {of}, plus: {by} min}}}}}}")),
        (order(), moment(), -3..2_i64)
            .prop_map(|(order, of, by)| format!("{{local.seen: {{{order}: {{moment: {of}, plus: {by} d}}}}}}")),
        (order(), -2_000..2_000_i64)
            .prop_map(|(order, by)| format!("{{local.done: {{{order}: {{fact: planned_start, plus: {by} min}}}}}}")),
    ]
    .boxed()
}

fn condition() -> impl Strategy<Value = String> {
    comparison().prop_recursive(2, 6, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 2..4).prop_map(|parts| format!("{{all: [{}]}}", parts.join(", "))),
            prop::collection::vec(inner.clone(), 2..4).prop_map(|parts| format!("{{any: [{}]}}", parts.join(", "))),
            inner.prop_map(|part| format!("{{not: {part}}}")),
        ]
    })
}

#[test]
fn what_a_rule_asks_of_time_is_asked_of_the_start() {
    let changed = Cell::new(0);
    let strategy = (condition(), 0..1_440_i64, 0..1_500_i64, 0..2_000_i64, 0..2_000_i64, 0..4_i64, any::<Index>());
    let zone = common::demo_zone();
    let outcome =
        TestRunner::new(super::config()).run(&strategy, |(condition, judged, ahead, done, first, seen, between)| {
            let at = later(Instant::parse("2026-03-04T00:00:00-06:00").unwrap(), 60 * judged);
            let planned = later(at, 60 * ahead);
            let before = |minutes: i64| later(at, -60 * minutes).to_record_text();
            let seen = at.day_in(&zone).checked_add_days(-seen).unwrap().to_record_text();
            let record = format!(
                "record: 1\nplanned_start: {}\nlocal: {{done: {}, first: {{reading: 40 psi, at: {}}}, seen: {seen}}}",
                planned.to_record_text(),
                before(done),
                before(first)
            );
            // Clauses that exclude each other are refused.
            let Ok(packs) = read_pack(&[("job", &condition)]) else { return Ok(()) };
            let document = fillward::document::Document::read("job.yaml", record.as_bytes()).unwrap();
            let job = record::read_fragment(document.source(), document.root(), packs.catalogue()).unwrap();
            let judge = |at| Scene::new(&packs, &job, at, &zone).judge();
            let now = judge(at);
            let then = later(at, 60 * i64::try_from(between.index(usize::try_from(ahead).unwrap() + 1)).unwrap());
            for later in [then, planned] {
                prop_assert_eq!(
                    &judge(later).findings,
                    &now.findings,
                    "{}, {}, {} and {}",
                    condition,
                    record,
                    at,
                    later
                );
            }
            if let Some(latest) = latest_start(&Scene::new(&packs, &job, at, &zone), &now) {
                prop_assert!(latest >= planned.min(later(at, LONGEST)), "{condition}, {record}: {at}, until {latest}");
            }
            // The rule looks at time at all: by the clock of another day it comes out otherwise.
            changed.set(changed.get() + u32::from(judge(later(planned, 172_800)).findings != now.findings));
            Ok(())
        });
    outcome.unwrap();
    println!("{} of the findings change two days after the start", changed.get());
    assert!(changed.get() > 50);
}
