//! What a cure must not offer instead of the honest way: a number for what a maker gives, another reading of what is there
//! while something is missing, less than the load needs while a finer gauge would do, and more air than a later step allows.

use std::cell::Cell;
use std::collections::BTreeMap;

use fillward::engine::{self, Act, ActKind, Finding, InTheWay, Known, Remedy, Scene};
use fillward::figures::Obstacle;
use fillward::pack::sides::Base;
use fillward::pack::test::End;
use fillward::pack::{PackSet, Term};
use fillward::record::catalogue::{Comes, GIVEN, READ_OFF, assembly, stages};
use fillward::record::{FactKey, Job};
use fillward::units::{Dimension, Instant, Truth};
use fillward::vocabulary::{HoldPoint, Outcome};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::jobs::{DEMO, PACKS, made, read};
use crate::common;

/// Looks at what is offered for every finding that holds a record.
fn each_remedy(
    (tree, point, at): (&Value, HoldPoint, Instant),
    mut look: impl FnMut(&Scene<'_>, &Finding, &Remedy),
) -> Option<()> {
    let job: Job = read(&PACKS, tree)?;
    let scene = Scene::new(&PACKS, &job, at, &common::demo_zone()).at_hold_point(point);
    for finding in scene.judge().findings.iter().filter(|finding| finding.holds()) {
        look(&scene, finding, &engine::remedy(&scene, finding));
    }
    Some(())
}

fn acts(remedy: &Remedy) -> impl Iterator<Item = &Act> {
    remedy
        .ways
        .iter()
        .chain(remedy.at_a_price.iter().map(|(way, _)| way))
        .flat_map(|way| &way.acts)
        .chain(&remedy.first)
}

fn name(scene: &Scene<'_>, finding: &Finding) -> String {
    scene.rule(finding).unwrap().name.to_string()
}

/// A fact that rules hold from both sides to shares of one value of a maker is that value and no other: of it no cure
/// names a number. The nuts of a wheel are the example; a torque of any kind is a maker's.
#[test]
fn no_cure_names_a_number_for_what_a_maker_gives() {
    let catalogue = PACKS.catalogue();
    let mut tied: Vec<(FactKey, FactKey)> = Vec::new();
    // What is too little and what is too much of a torque are told by two rules, since they are put right otherwise.
    let group = |name: &str| if name == "nuts-overtightened" { "nuts-not-torqued".to_owned() } else { name.to_owned() };
    let mut of_each: BTreeMap<String, Vec<(FactKey, FactKey, End)>> = BTreeMap::new();
    for rule in PACKS.packs().iter().flat_map(|pack| &pack.rules) {
        let ends = of_each.entry(group(&rule.name)).or_default();
        rule.asks.demands.leaves(&mut |leaf| {
            let Term::Fact(key) = leaf.term else { return };
            for (position, operand) in leaf.test.operands().enumerate() {
                if let (Base::Term(Term::Fact(given)), Some(end)) = (&operand.base, leaf.test.row().end(position)) {
                    ends.push((key, *given, end));
                }
            }
        });
    }
    for ends in of_each.values() {
        let both = |(key, given, end): &(FactKey, FactKey, End)| {
            ends.iter().any(|(other, by, far)| (other, by) == (key, given) && far != end)
        };
        tied.extend(ends.iter().filter(|end| both(end)).map(|(key, given, _)| (*key, *given)));
    }
    assert!(tied.contains(&(stages::REFIT_NUT_TORQUE, assembly::WHEEL_NUT_TORQUE)), "{tied:?}");
    for (key, given) in tied {
        if GIVEN.contains(&given) || READ_OFF.contains(&given) {
            assert_ne!(catalogue.comes(key), Comes::Made, "{}", catalogue.full_name(key));
        }
    }
    for key in catalogue.keys() {
        let is_torque = catalogue.spec(key).and_then(|spec| spec.kind.dimension()) == Some(Dimension::Torque);
        assert!(!(is_torque && catalogue.comes(key) == Comes::Made), "{}", catalogue.full_name(key));
    }
}

/// Whether what would decide a demand is not on record.
fn lacks(scene: &Scene<'_>, finding: &Finding) -> bool {
    let rule = scene.rule(finding).unwrap();
    let demands = engine::trace(scene, &rule.asks.demands, &scene.here(rule.covers, finding.entity));
    let is_open = |known: &Known| matches!(known, Known::NotRecorded | Known::Obstacle(Obstacle::GaugeDoubtUnknown));
    let parts = demands.in_the_way();
    demands.truth() == Truth::Unknown
        && parts.iter().any(|part| match part {
            InTheWay::List { recorded, .. } => !recorded,
            InTheWay::Comparison { leaf, .. } => {
                is_open(&leaf.left.known) || leaf.right.iter().any(|right| is_open(&right.known))
            }
        })
}

/// While something is missing, nobody is told that what is there was misread.
#[test]
fn what_is_there_is_not_read_again_for_what_is_missing() {
    let open = Cell::new(0_u32);
    let wrong = |scene: &Scene<'_>, finding: &Finding, remedy: &Remedy| {
        let is_lacking = lacks(scene, finding);
        open.set(open.get() + u32::from(is_lacking));
        let again = |act: &Act| matches!(act.kind, ActKind::ReadAgain(_) | ActKind::DateReadAgain { .. });
        (is_lacking && acts(remedy).any(again)).then(|| format!("{}: {:?}", name(scene, finding), remedy.ways))
    };
    let outcome = TestRunner::new(super::config()).run(&made(3), |made| {
        let (file, tree, point, at) = made.anywhere();
        let mut found = Vec::new();
        each_remedy((&tree, point, at), |scene, finding, remedy| found.extend(wrong(scene, finding, remedy)));
        prop_assert!(found.is_empty(), "{file} {}: {found:?}", point.word());
        Ok(())
    });
    outcome.unwrap();
    assert!(open.get() > 300, "{} findings lacked something", open.get());
}

/// A gauge without papers is what is found out, and nothing on the pump, the tyre or the rim.
#[test]
fn a_gauge_without_papers_sends_nobody_to_the_plates() {
    let tree = |name: &str| DEMO.iter().find(|(file, _)| file.ends_with(name)).unwrap().1.clone();
    let tree = tree("hold-instruments-without-papers.yaml");
    let mut found = Vec::new();
    each_remedy((&tree, HoldPoint::BeforeFill, common::demo_at()), |scene, finding, remedy| {
        if ["nothing-stops-the-pump", "gauge-too-coarse"].contains(&name(scene, finding).as_str()) {
            let all: Vec<_> =
                acts(remedy).map(|act| (PACKS.catalogue().full_name(act.key()), act.kind.clone())).collect();
            found.push(all);
        }
    })
    .unwrap();
    let papers = vec![("gauge.accuracy".to_owned(), ActKind::Recorded)];
    assert_eq!(found, [papers.clone(), papers]);
}

/// The passing jobs of the demo shop whose one tyre has its target read by a gauge of a class.
fn by_class() -> Vec<Value> {
    let trees = DEMO.iter().filter(|(file, _)| file.contains("/pass-")).map(|(_, tree)| tree.clone());
    trees.filter(|tree| tree["assemblies"].as_sequence().is_some_and(|all| all.len() == 1)).collect()
}

/// Classes and grades of gauges, those of a laboratory left out.
const CLASSES: [&str; 9] = ["EN 0.6", "EN 1", "EN 1.6", "EN 2.5", "EN 4", "ASME A", "ASME B", "ASME C", "ASME D"];

/// Whatever the gauge is too coarse for, the first that is offered is a finer one where one would do, and never less
/// than the load needs.
#[test]
fn a_finer_gauge_comes_before_everything_else() {
    let trees = by_class();
    let coarse = Cell::new(0_u32);
    let strategy = (0..trees.len(), prop::sample::select(&CLASSES[..]), 60..103_u32);
    let outcome = TestRunner::new(super::config()).run(&strategy, |(job, class, share)| {
        let mut tree = trees[job].clone();
        for gauge in tree["gauges"].as_sequence_mut().into_iter().flatten() {
            gauge["accuracy"] = class.into();
            gauge.as_mapping_mut().unwrap().remove("uncertainty");
        }
        // What the load needs, close below the maximum of the tyre.
        let assembly = &mut tree["assemblies"][0];
        let highest = assembly["tyre"]["sidewall_maximum"].as_str().unwrap_or_default().to_owned();
        let Some((number, unit)) = highest.split_once(' ') else { return Ok(()) };
        let Ok(number) = number.parse::<f64>() else { return Ok(()) };
        let needed = format!("{:.2} {unit}", number * f64::from(share) / 100.0);
        assembly["target"]["operating_pressure"] = needed.into();
        let mut wrong = Vec::new();
        each_remedy((&tree, HoldPoint::BeforeFill, common::demo_at()), |scene, finding, remedy| {
            let rule = name(scene, finding);
            let lowered = |act: &Act| match &act.kind {
                ActKind::Number(reach) | ActKind::ReadAgain(reach) => {
                    act.key() == assembly::TARGET_OPERATING_PRESSURE && !reach.upward
                }
                _ => false,
            };
            let is_coarse = rule == "gauge-too-coarse" && finding.outcome == Outcome::Broken;
            if ["gauge-too-coarse", "target-below-need"].contains(&rule.as_str()) && acts(remedy).any(lowered) {
                wrong.push(format!("{rule}: {:?}", remedy.ways));
            }
            let finer = |way: &engine::Way| way.acts.iter().any(|act| act.kind == ActKind::Finer);
            if is_coarse && remedy.ways.iter().any(finer) {
                coarse.set(coarse.get() + 1);
                wrong.extend((!remedy.ways.first().is_some_and(finer)).then(|| format!("{rule}: {:?}", remedy.ways)));
            }
        });
        prop_assert!(wrong.is_empty(), "{class} {share} %: {wrong:?}");
        Ok(())
    });
    outcome.unwrap();
    assert!(coarse.get() > 60, "{} gauges were too coarse, and finer ones would do", coarse.get());
}

/// What bounds the air of a step stands before the step that lets air in up to the target, or in it.
#[test]
fn no_step_lets_more_air_in_than_the_next_one_allows() {
    let let_in = |step: &str| step.contains("to the target only when the beads are seated");
    let bounds = |step: &str| {
        ["no further than", "no more than makes", "no higher than bubbles"].iter().any(|words| step.contains(words))
    };
    let (mut rules, mut wrong) = (0, Vec::new());
    for rule in PackSet::base().unwrap().packs().iter().flat_map(|pack| &pack.rules) {
        let steps: Vec<String> = rule.told.put_right.texts().map(ToString::to_string).collect();
        let Some(first) = steps.iter().position(|step| let_in(step)) else { continue };
        rules += 1;
        let late = steps.iter().skip(first + 1).filter(|step| bounds(step) && !let_in(step));
        wrong.extend(late.map(|step| format!("{}: {step}", rule.name)));
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(rules > 5, "{rules} cures let air in");
}
