//! What is offered is all that passes: beyond either end of a range that a cure offers the finding stays, or another
//! one comes; and what is told to be needed at one end only has no other end.

use std::cell::Cell;
use std::collections::BTreeSet;

use fillward::document::Document;
use fillward::engine::{self, Act, ActKind, Finding, InTheWay, Scene, Way};
use fillward::explain;
use fillward::pack::Term;
use fillward::pack::test::End;
use fillward::record::catalogue::assembly;
use fillward::record::{Edit, Job, Measured, Value};
use fillward::units::{Dimension, Exact, Quantity};
use fillward::vocabulary::{HoldPoint, Outcome, Subject};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use super::cures::{When, again};
use super::jobs::{DEMO, PACKS, made, read};
use crate::common;

/// By how many thousandths a number goes past the end of what is offered: what the search promises, and the tenth of a
/// degree that a thermometer shows.
const BEYOND: i64 = 15;

/// A number as it would be read again, with the doubt that it has.
fn read_as(now: &Measured, to: Quantity) -> Value {
    let mut new = Measured { uncertainty: None, stated: None, ..Measured::exact(to) };
    new.at = now.at;
    new.instrument.clone_from(&now.instrument);
    new.stated = now.stated;
    Value::Measured(Box::new(match now.stated {
        Some(stated) => new.with_uncertainty(stated).unwrap(),
        None => new,
    }))
}

fn scaled(of: Quantity, thousandths: i64) -> Option<Quantity> {
    let factor = Exact::from_int(thousandths).checked_div(Exact::from_int(1_000))?;
    Quantity::new(of.value().checked_mul(factor)?, of.unit())
}

/// The job with another number in the one act of a way; nothing where no record could state it.
fn with(job: &Job, act: &Act, to: Quantity) -> Option<Job> {
    let Value::Measured(now) = &act.edit.value else { return None };
    job.amended(PACKS.catalogue(), &[Edit { value: read_as(now, to), ..act.edit.clone() }])
}

/// The holding findings that are met, or do not apply.
fn in_order(scene: &Scene<'_>) -> BTreeSet<(usize, usize, Option<usize>)> {
    let findings = scene.judge().findings.into_iter();
    let clear = findings.filter(|finding| matches!(finding.outcome, Outcome::Met | Outcome::DoesNotApply));
    clear.map(|finding| (finding.pack, finding.rule, finding.entity)).collect()
}

/// The ends of a range past which nothing is the matter: what is offered is less than what passes.
fn too_narrow(job: &Job, (point, at): When, finding: &Finding, way: &Way) -> Vec<String> {
    let [act] = way.acts.as_slice() else { return Vec::new() };
    let ActKind::Between { low, high } = &act.kind else { return Vec::new() };
    // A target is brought between load and ratings also where the load is asked only later.
    if act.key() == assembly::TARGET_PRESSURE {
        return Vec::new();
    }
    let zone = common::demo_zone();
    let of = |job: &Job| in_order(&Scene::new(&PACKS, job, at, &zone).at_hold_point(point));
    let mut before = of(job);
    // The number is enough for every finding on the fact; what is obeyed once brings nobody back.
    before.extend(job.amended(PACKS.catalogue(), std::slice::from_ref(&act.edit)).iter().flat_map(of));
    let ends = [("below", *low, 1_000 - BEYOND), ("above", *high, 1_000 + BEYOND)];
    let passes = |to: Quantity| {
        let Some(moved) = with(job, act, to) else { return false };
        let outcome = again(&PACKS, &moved, (point, at), finding);
        matches!(outcome, Outcome::Met | Outcome::DoesNotApply) && of(&moved).is_superset(&before)
    };
    let past = ends.into_iter().filter_map(|(side, end, by)| Some((side, end, scaled(end, by)?)));
    let past = past.filter(|(_, _, to)| passes(*to));
    past.map(|(side, end, to)| format!("{to} passes {side} {end}")).collect()
}

/// The day next to one that is offered, on the side of the present one: where it would do as well, more was asked than
/// is needed.
fn too_far(job: &Job, (point, at): When, finding: &Finding, way: &Way) -> Vec<String> {
    let [Act { edit, kind: ActKind::Moment { later } | ActKind::DateReadAgain { later } }] = way.acts.as_slice() else {
        return Vec::new();
    };
    let Value::Day(day) = &edit.value else { return Vec::new() };
    let Some(nearer) = day.checked_add_days(if *later { -1 } else { 1 }) else { return Vec::new() };
    let moved = job.amended(PACKS.catalogue(), &[Edit { value: Value::Day(nearer), ..edit.clone() }]);
    let outcome = moved.map(|moved| again(&PACKS, &moved, (point, at), finding));
    let is_clear = matches!(outcome, Some(Outcome::Met | Outcome::DoesNotApply));
    is_clear
        .then(|| format!("{} does as well as {}", nearer.to_record_text(), day.to_record_text()))
        .into_iter()
        .collect()
}

/// Rules that ask for one fact in several ways, each only where something else is on record: what a slip of the sheet asks
/// may lie beyond what the base asks, so that no number is both, and the report tells the one that is broken.
const APART: [&str; 1] = ["fault-of-the-material-known"];

/// What is needed at one end only, of a fact: the same rule asks nothing at the other end of a number far beyond it.
fn one_sided(job: &Job, (point, at): When, finding: &Finding) -> (u32, Vec<String>) {
    let zone = common::demo_zone();
    let scene = Scene::new(&PACKS, job, at, &zone).at_hold_point(point);
    let (Some(rule), Some(entity)) = (scene.rule(finding), finding.entity) else { return (0, Vec::new()) };
    let (mut told, mut wrong) = (0, Vec::new());
    let here = scene.here(rule.covers, Some(entity));
    let traced = engine::trace(&scene, &rule.asks.demands, &here);
    let parts = traced.in_the_way();
    for part in &parts {
        let InTheWay::Comparison { leaf, wanted: true } = part else { continue };
        let Term::Fact(key) = leaf.leaf.term else { continue };
        let Some(reach) = engine::reaches(&scene, leaf, true).term.filter(|_| leaf.other_end.is_none()) else {
            continue;
        };
        let Some((index, of)) = leaf.here.entity(key.subject) else { continue };
        let Some(now) = of.facts.measured(key) else { continue };
        let far = scaled(reach.to, if reach.upward { 1_900 } else { 400 });
        let moved = far.map(|to| Edit { key, entity: index, value: read_as(now, to) });
        let Some(moved) = moved.and_then(|edit| job.amended(PACKS.catalogue(), &[edit])) else { continue };
        told += 1;
        let after = Scene::new(&PACKS, &moved, at, &zone).at_hold_point(point);
        let traced = engine::trace(&after, &rule.asks.demands, &after.here(rule.covers, Some(entity)));
        let refused = traced.in_the_way().into_iter().any(|part| match part {
            InTheWay::Comparison { leaf: other, wanted: true } => {
                let end = other.leaf.test.row().end(0);
                other.leaf.term == leaf.leaf.term && end == Some(if reach.upward { End::High } else { End::Low })
            }
            _ => false,
        });
        if refused && !APART.contains(&&*rule.name) && leaf.leaf.test.row().bounds().len() == 1 {
            wrong.push(format!("{}: {:?} goes on past {} and no farther than told", rule.name, key, reach.to));
        }
    }
    (told, wrong)
}

#[test]
fn what_a_demo_job_is_offered_is_all_that_passes() {
    let (mut ranges, mut days, mut told, mut wrong) = (0, 0, 0, Vec::new());
    for (file, tree, point, at) in super::jobs::EVERY.iter() {
        let Some(job) = read(&PACKS, tree) else { continue };
        let when = (*point, *at);
        let zone = common::demo_zone();
        let scene = Scene::new(&PACKS, &job, *at, &zone).at_hold_point(*point);
        for finding in scene.judge().findings.iter().filter(|finding| finding.holds()) {
            let (count, found) = one_sided(&job, when, finding);
            told += count;
            wrong.extend(found.into_iter().map(|what| format!("{file}: {what}")));
            for way in engine::remedy(&scene, finding).ways {
                ranges += u32::from(matches!(way.acts.as_slice(), [Act { kind: ActKind::Between { .. }, .. }]));
                let rule = &scene.rule(finding).unwrap().name;
                days += u32::from(matches!(&way.acts[0].edit.value, Value::Day(_)));
                let found = [too_narrow(&job, when, finding, &way), too_far(&job, when, finding, &way)].concat();
                wrong.extend(found.iter().map(|what| format!("{file}: {rule}: {what}")));
            }
        }
    }
    wrong.sort();
    wrong.dedup();
    assert!(wrong.is_empty(), "{}: {}", wrong.len(), wrong.join("\n"));
    println!("{ranges} ranges, {days} days, {told} needs at one end");
    assert!(ranges > 60 && days > 5 && told > 150, "{ranges} ranges, {days} days, {told} needs at one end");
}

/// The same of random records.
#[test]
fn what_is_offered_is_all_that_passes() {
    let (ranges, told) = (Cell::new(0), Cell::new(0));
    let outcome = TestRunner::new(super::config()).run(&made(2), |made| {
        let (file, tree, point, at) = made.anywhere();
        let Some(job) = read(&PACKS, &tree) else { return Ok(()) };
        let zone = common::demo_zone();
        let scene = Scene::new(&PACKS, &job, at, &zone).at_hold_point(point);
        for finding in scene.judge().findings.iter().filter(|finding| finding.holds()) {
            let (count, mut wrong) = one_sided(&job, (point, at), finding);
            told.set(told.get() + count);
            let remedy = engine::remedy(&scene, finding);
            for way in &remedy.ways {
                ranges.set(
                    ranges.get()
                        + u32::from(matches!(way.acts.as_slice(), [Act { kind: ActKind::Between { .. }, .. }])),
                );
                wrong.extend(too_narrow(&job, (point, at), finding, way));
                wrong.extend(too_far(&job, (point, at), finding, way));
            }
            // Where so much is wrong that not everything is tried for, what was found until then is offered.
            let rule = &scene.rule(finding).unwrap().name;
            prop_assert!(wrong.is_empty() || remedy.cut_off, "{file} {}: {rule}: {wrong:?}", point.word());
        }
        Ok(())
    });
    outcome.unwrap();
    println!("{} ranges, {} needs at one end", ranges.get(), told.get());
    assert!(ranges.get() > 100 && told.get() > 300, "{ranges:?} {told:?}");
}

/// A number that is offered for one finding is enough for every other one that asks for the same fact to go the same
/// way: whoever lets a drum cool until it is not too hot finds it within its sheet too.
#[test]
fn a_number_that_is_offered_is_enough_for_every_finding_on_its_fact() {
    let mut shared = 0;
    let mut wrong = Vec::new();
    for (file, tree) in DEMO.iter().filter(|(file, _)| file.contains("/pass-")) {
        for (reading, side) in [("110 degF", 0), ("140 degF", 1), ("52 degF", 0), ("60 degF", 1)] {
            let mut tree = tree.clone();
            let side = ["isocyanate", "polyol"][side];
            tree["components"][side]["core_temperature"]["reading"] = reading.into();
            let Some(job) = read(&PACKS, &tree) else { continue };
            let zone = common::demo_zone();
            let at = common::demo_at();
            let scene = Scene::new(&PACKS, &job, at, &zone);
            let broken: Vec<Finding> = scene
                .judge()
                .findings
                .into_iter()
                .filter(|one| one.holds() && one.outcome == Outcome::Broken)
                .collect();
            let only = |finding: &Finding| match engine::remedy(&scene, finding).ways.as_slice() {
                [way] => match way.acts.as_slice() {
                    [act] if matches!(act.kind, ActKind::Number(_) | ActKind::Between { .. }) => Some(act.clone()),
                    _ => None,
                },
                _ => None,
            };
            let offered: Vec<(&Finding, Act)> =
                broken.iter().filter_map(|finding| Some((finding, only(finding)?))).collect();
            for (finding, act) in &offered {
                let fact = act.edit.key;
                for (other, same) in offered.iter().filter(|(other, same)| other != finding && same.edit.key == fact) {
                    if same.edit.entity != act.edit.entity {
                        continue;
                    }
                    shared += 1;
                    let ends = match &act.kind {
                        ActKind::Between { low, high } => vec![*low, *high],
                        _ => Vec::new(),
                    };
                    let offers = ends
                        .into_iter()
                        .filter_map(|end| with(&job, act, end))
                        .chain(job.amended(PACKS.catalogue(), std::slice::from_ref(&act.edit)));
                    for moved in offers {
                        let outcome = again(&PACKS, &moved, (HoldPoint::BeforeFill, at), other);
                        if !matches!(outcome, Outcome::Met | Outcome::DoesNotApply) {
                            wrong.push(format!(
                                "{file}: {reading}: {} is not enough for {}",
                                scene.rule(finding).unwrap().name,
                                scene.rule(other).unwrap().name
                            ));
                        }
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(shared > 20, "{shared} findings that share a fact");
}

/// Of a bead diameter one value is right, and that is said.
#[test]
fn a_number_that_must_be_one_value_is_told_as_exactly_that() {
    let mut told = 0;
    for (file, tree) in DEMO.iter().filter(|(file, _)| file.contains("/pass-")) {
        let job = read(&PACKS, tree).unwrap();
        let rim = job.of(Subject::Assembly).unwrap()[0].facts.measured(assembly::RIM_BEAD_DIAMETER).unwrap().shown;
        for by in [980, 1_031] {
            let off = scaled(rim, by).unwrap().to_record_text();
            let mut tree = tree.clone();
            tree["assemblies"][0]["rim"]["bead_diameter"] = off.clone().into();
            let text = serde_yaml::to_string(&tree).unwrap();
            let document = Document::read("job.yaml", text.as_bytes()).unwrap();
            let json =
                common::with_report(&PACKS, &document, common::demo_at(), |report| explain::json(report).unwrap());
            let right = rim.to_record_text();
            assert!(json.contains(&format!("needs exactly {right}")), "{file}: {off}: {json}");
            assert!(!json.contains(&format!("needs {right} or ")), "{file}: {off}");
            told += 1;
        }
    }
    assert!(told > 30, "{told} rims");
}

/// Where both needs are far too low by one slip, of the chart or of the number of tyres, what is offered puts both
/// right, and neither finding names the other as its price.
#[test]
fn two_needs_that_are_too_low_are_put_right_together() {
    let mut together = 0;
    for (file, tree) in DEMO.iter().filter(|(file, _)| file.contains("/pass-")) {
        for by in [100, 250, 500] {
            let mut tree = tree.clone();
            for side in ["isocyanate", "polyol"] {
                let needed = &mut tree["components"][side]["needed"];
                let now = Quantity::parse(needed.as_str().unwrap(), Dimension::Mass).unwrap();
                *needed = scaled(now, by).unwrap().to_record_text().into();
            }
            let job = read(&PACKS, &tree).unwrap();
            let zone = common::demo_zone();
            let scene = Scene::new(&PACKS, &job, common::demo_at(), &zone);
            let is_too_low = |finding: &&Finding| scene.rule(finding).unwrap().name.as_str() == "need-below-the-volume";
            let judgement = scene.judge();
            for finding in judgement.findings.iter().filter(|finding| finding.holds()).filter(is_too_low) {
                let remedy = engine::remedy(&scene, finding);
                assert!(!remedy.ways.is_empty(), "{file} at {by}: {:?}", remedy.at_a_price);
                together += u32::from(remedy.ways[0].acts.len() == 2);
            }
        }
    }
    assert!(together > 20, "{together} were put right together");
}
