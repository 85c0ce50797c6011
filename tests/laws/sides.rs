//! A cure bounds no fact on its safer side, and fits nothing to a target that lies outside its window.

use fillward::engine::{self, Act, ActKind, Finding, Remedy, Scene};
use fillward::record::{Job, Value as Known};
use fillward::units::{Dimension, Quantity};
use fillward::vocabulary::HoldPoint;
use serde_yaml::Value;

use super::jobs::{DEMO, PACKS, read};
use crate::common;

/// Facts of which more is always safer: people farther off, longer hoses, longer cures. Common practice, no source; for the
/// distance also 29 CFR 1910.177, which sends people out of the trajectory and sets no farthest place (from memory).
const MORE_IS_SAFER: [&str; 3] = ["air_stage.stand_off", "air_stage.hose_length", "cure.planned"];

/// What is offered before the fill for every finding that holds the job, by the rules' names.
fn offered(job: &Job) -> Vec<(String, Remedy)> {
    offered_at(job, HoldPoint::BeforeFill)
}

fn offered_at(job: &Job, point: HoldPoint) -> Vec<(String, Remedy)> {
    let zone = common::demo_zone();
    let scene = Scene::new(&PACKS, job, common::demo_at(), &zone).at_hold_point(point);
    let held: Vec<Finding> = scene.judge().findings.into_iter().filter(Finding::holds).collect();
    let named = |finding: &Finding| scene.rule(finding).unwrap().name.to_string();
    held.iter().map(|finding| (named(finding), engine::remedy(&scene, finding))).collect()
}

fn acts(remedy: &Remedy) -> impl Iterator<Item = &Act> {
    let priced = remedy.at_a_price.iter().map(|(way, _)| way);
    remedy.ways.iter().chain(priced).flat_map(|way| &way.acts).chain(&remedy.first)
}

#[test]
fn no_cure_bounds_a_fact_on_its_safer_side() {
    let mut open = 0;
    for (file, tree) in DEMO.iter() {
        for (stand_off, hose) in [("4 ft", "12 ft"), ("1 m", "40 ft"), ("2.9 m", "5 m")] {
            let mut tree = tree.clone();
            let Some(air) = tree.get_mut("air_stage").and_then(Value::as_mapping_mut) else { continue };
            air.insert("stand_off".into(), stand_off.into());
            air.insert("hose_length".into(), hose.into());
            tree["cure"]["planned"] = Value::String("2 h".to_owned());
            let Some(job) = read(&PACKS, &tree) else { continue };
            for (rule, remedy) in offered(&job) {
                for act in acts(&remedy) {
                    let name = PACKS.catalogue().full_name(act.key());
                    if !MORE_IS_SAFER.contains(&name.as_str()) {
                        continue;
                    }
                    let is_bounded = match &act.kind {
                        ActKind::Between { .. } => true,
                        ActKind::Number(reach) | ActKind::Along { reach, .. } => !reach.upward,
                        _ => false,
                    };
                    assert!(!is_bounded, "{file}: {rule} bounds {name}: {:?}", act.kind);
                    open += 1;
                }
            }
        }
    }
    assert!(open > 200, "{open} acts");
}

/// The law: to be rid of a finding nobody seats a bead by more air.
#[test]
fn no_cure_raises_the_pressure_at_which_beads_are_seated() {
    let mut held = 0;
    for (file, tree) in DEMO.iter() {
        for (seating, regulator) in [("20 psi", "110 psi"), ("35 psi", "90 psi"), ("60 psi", "61 psi")] {
            let mut tree = tree.clone();
            tree["air_stage"]["regulator"] = regulator.into();
            for assembly in tree["assemblies"].as_sequence_mut().into_iter().flatten() {
                assembly["mounting"]["seating_pressure"] = seating.into();
            }
            let Some(job) = read(&PACKS, &tree) else { continue };
            let planned = Quantity::parse(seating, Dimension::Pressure).unwrap();
            for (rule, remedy) in offered_at(&job, HoldPoint::BeforeAir) {
                held += usize::from(rule == "regulator-too-high");
                let of_seating =
                    |act: &&Act| PACKS.catalogue().full_name(act.key()) == "assembly.mounting.seating_pressure";
                for act in acts(&remedy).filter(of_seating) {
                    let Known::Measured(to) = &act.edit.value else { panic!("{file}: {rule}: {act:?}") };
                    assert!(to.shown.base() <= planned.base(), "{file}: {rule} seats at {}", to.shown);
                }
            }
        }
    }
    assert!(held > 50, "{held}");
}

#[test]
fn nothing_is_fitted_to_a_target_outside_its_window() {
    let mut first_the_target = 0;
    for (file, tree) in DEMO.iter().filter(|(file, _)| file.contains("/pass-")) {
        let written = tree["assemblies"][0]["target"]["pressure"].as_str().unwrap_or_default();
        let target = Quantity::parse(written, Dimension::Pressure).unwrap();
        for percent in [130, 160, 220] {
            let mut tree = tree.clone();
            let raised = target.scaled(fillward::units::Exact::new(percent, 100).unwrap()).unwrap();
            tree["assemblies"][0]["target"]["pressure"] = Value::String(raised.to_record_text());
            let Some(job) = read(&PACKS, &tree) else { continue };
            for (rule, remedy) in offered(&job) {
                for act in acts(&remedy).filter(|act| PACKS.catalogue().full_name(act.key()) == "pump.stops_at") {
                    let Known::Measured(to) = &act.edit.value else { panic!("{file}: {rule}: {act:?}") };
                    let is_below = to.shown.base() < raised.base();
                    assert!(is_below, "{file} at {raised}: {rule} offers a stop at {}", to.shown);
                }
                if rule == "stop-below-the-target" && remedy.ways.is_empty() {
                    let first = remedy.first.unwrap_or_else(|| panic!("{file} at {raised}: nothing to begin with"));
                    let ActKind::Between { high, .. } = first.kind else { panic!("{file}: {first:?}") };
                    assert!(high.base() < raised.base(), "{file}: the target goes to {high} from {raised}");
                    first_the_target += 1;
                }
            }
        }
    }
    assert!(first_the_target > 10, "{first_the_target}");
}
