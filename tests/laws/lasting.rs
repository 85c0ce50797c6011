//! A PASS lasts as long as it says: up to its latest start the same record goes on passing, and no second longer.
//!
//! The records are demo jobs that pass, their readings moved in time and their days to about the demo day, judged at
//! random instants of two days. The other search looks at steps of a quarter of an hour and closes in by halves.

use std::cell::Cell;

use fillward::document::Document;
use fillward::engine::{LONGEST, Scene, latest_start};
use fillward::record::{self, Job};
use fillward::units::{Day, Exact, Instant};
use fillward::vocabulary::Verdict;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::jobs::{DEMO, PACKS, scalars};
use crate::common;
use crate::common::tree::{at, with};

/// Seconds between two looks of the other search.
const STEP: i64 = 15 * 60;

pub(super) fn later(at: Instant, seconds: i64) -> Instant {
    at.checked_add_seconds(Exact::from_int(seconds)).unwrap().in_zone(&common::demo_zone())
}

/// The record with its instants and days moved: each by one of `moves`, in minutes, taken in turn from a place of theirs.
pub(super) fn moved(tree: &Value, start: usize, moves: &[i64], all: i64) -> Value {
    let mut tree = tree.clone();
    for (place, path) in scalars(&tree).into_iter().enumerate() {
        let Some(Value::String(text)) = at(&tree, &path) else { continue };
        let by = moves[(start + place) % moves.len()];
        let new = if let Ok(instant) = Instant::parse(text) {
            later(instant, 60 * (by + all)).to_record_text()
        } else if Day::parse(text).is_ok() && by % 3 == 0 {
            common::demo_at()
                .day_in(&common::demo_zone())
                .checked_add_days(by.signum().max(0))
                .unwrap()
                .to_record_text()
        } else {
            continue;
        };
        tree = with(&tree, &path, Value::String(new));
    }
    tree
}

pub(super) fn read(tree: &Value) -> Option<Job> {
    let text = serde_yaml::to_string(tree).unwrap();
    let document = Document::read("job.yaml", text.as_bytes()).unwrap();
    record::read(&document, PACKS.catalogue(), &common::demo_zone()).ok()
}

pub(super) fn passes(job: &Job, at: Instant) -> bool {
    Scene::new(&PACKS, job, at, &common::demo_zone()).judge().verdict == Verdict::Pass
}

/// The last second found by looking at steps and closing in by halves; a hold shorter than a step may escape it.
fn stepped(job: &Job, from: Instant) -> Instant {
    let mut good = 0;
    while good < LONGEST && passes(job, later(from, good + STEP)) {
        good += STEP;
    }
    if good >= LONGEST {
        return later(from, LONGEST);
    }
    let mut bad = good + STEP;
    while bad - good > 1 {
        let middle = good + (bad - good) / 2;
        if passes(job, later(from, middle)) { good = middle } else { bad = middle }
    }
    later(from, good)
}

/// The demo jobs that pass.
pub(super) fn passing_demo() -> Vec<&'static (String, Value)> {
    DEMO.iter().filter(|(file, _)| file.contains("/pass-")).collect()
}

/// How a record is moved in time: which one, where its instants begin to be moved and by how many minutes each, and the
/// whole of it by day or late in the evening.
pub(super) fn moves() -> impl Strategy<Value = (Index, usize, Vec<i64>, i64)> {
    let all = prop::sample::select(vec![0_i64, 0, 60, 700, 780, 830, 865]);
    (any::<Index>(), any::<usize>(), prop::collection::vec(-15_i64..20, 1..9), all)
}

#[test]
fn a_pass_lasts_as_long_as_it_says() {
    let (passing, ended_by_a_day) = (Cell::new(0), Cell::new(0));
    let strategy = (moves(), -20_i64 * 60..100 * 60, any::<Index>());
    let outcome = TestRunner::new(super::config()).run(&strategy, |((job, start, moves, all), judged, between)| {
        let demo = passing_demo();
        let (name, tree) = job.get(&demo);
        let Some(job) = read(&moved(tree, start % 64, &moves, all)) else { return Ok(()) };
        let at = later(common::demo_at(), 60 * all + judged);
        let scene = Scene::new(&PACKS, &job, at, &common::demo_zone());
        let judgement = scene.judge();
        let latest = latest_start(&scene, &judgement);
        prop_assert_eq!(latest.is_some(), judgement.verdict == Verdict::Pass);
        let Some(latest) = latest else { return Ok(()) };
        passing.set(passing.get() + 1);
        let lasts = usize::try_from(latest.seconds_since(at).numer()).unwrap();
        prop_assert!(latest >= at && lasts <= usize::try_from(LONGEST).unwrap(), "{name} at {at}: {latest}");
        let then = later(at, i64::try_from(between.index(lasts + 1)).unwrap());
        prop_assert!(passes(&job, then), "{name}: judged at {at}, to pass until {latest}, held at {then}");
        let after = later(latest, 1);
        let ends = !passes(&job, after);
        prop_assert!(ends || latest == later(at, LONGEST), "{name}: judged at {at}, passes after {latest}");
        let other = stepped(&job, at);
        prop_assert!(latest == other || (latest < other && ends), "{name}: {latest} by events, {other} by steps");
        ended_by_a_day.set(
            ended_by_a_day.get() + u32::from(latest.day_in(&common::demo_zone()) != after.day_in(&common::demo_zone())),
        );
        Ok(())
    });
    outcome.unwrap();
    println!("{} of the records pass, {} of them until the end of a day", passing.get(), ended_by_a_day.get());
    assert!(passing.get() > 20 && ended_by_a_day.get() > 0);
}
