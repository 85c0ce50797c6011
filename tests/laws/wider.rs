//! Wider never clears: whatever is known with more doubt than before, nothing that held the job is in order for it.

use std::cell::RefCell;
use std::collections::BTreeSet;

use fillward::record::FactKind;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::changes::scaled;
use super::jobs::{PACKS, judged, judged_then, made};
use super::stricter::several;
use super::tighter::Held;
use crate::common::classes::coarser;
use crate::common::tree::{Step, at, name, paths, with};

/// What most records know with a doubt: each is widened in some case.
const DOUBTS: &[&str] = &[
    "component.core_temperature",
    "component.on_hand.uncertainty",
    "gauge.accuracy",
    "gauge.uncertainty",
    "pump.mass_per_cycle.uncertainty",
    "thermometer.uncertainty",
    "workspace.temperature",
];

/// Every way in which the tree can be known with more doubt: the place, and what stands there then.
fn widenings(tree: &Value, thousandths: u32) -> Vec<(Vec<Step>, Value)> {
    let catalogue = PACKS.catalogue();
    let readings: Vec<String> = catalogue
        .keys()
        .filter(|key| matches!(catalogue.spec(*key).unwrap().kind, FactKind::Reading(_)))
        .map(|key| catalogue.full_name(key))
        .collect();
    let instruments = ["thermometer", "gauge"];
    let mut all = Vec::new();
    paths(tree, &[], &mut all);
    let wider = |path: Vec<Step>| {
        let value = at(tree, &path)?;
        let key = match path.last()? {
            Step::Key(key) => key.as_str(),
            Step::Item(_) => return None,
        };
        if key == "uncertainty" {
            return Some((path.clone(), scaled(value, thousandths)?));
        }
        if key == "accuracy" {
            let classes: Vec<&str> = coarser(value.as_str()?).collect();
            let class = classes.get(usize::try_from(thousandths).ok()? % classes.len().max(1))?;
            return Some((path.clone(), Value::String((*class).to_owned())));
        }
        // A reading by an instrument states a doubt of its own beside the instrument's.
        let due = readings.contains(&name(&path));
        let stated = |number: &Value| {
            let text = number.as_str()?;
            let (number, unit) = text.split_once(' ')?;
            let doubt = number.parse::<f64>().ok()?.abs() * f64::from(thousandths) / 100_000.0;
            let unit = match unit {
                "degF" => "degF",
                "degC" => "K",
                other => other,
            };
            Some(Value::String(format!("{doubt:.4} {unit}")))
        };
        match value {
            Value::Mapping(map) if due && instruments.iter().any(|key| map.contains_key(*key)) => {
                let mut map = map.clone();
                map.insert("uncertainty".into(), stated(map.get("reading")?)?);
                Some((path.clone(), Value::Mapping(map)))
            }
            _ => None,
        }
    };
    all.into_iter().filter_map(wider).collect()
}

/// Of every rule: what held the job goes on holding it.
#[test]
fn more_doubt_clears_nothing() {
    let by = prop::option::of(several());
    let strategy = (made(3), any::<Index>(), prop::sample::select(vec![1_200, 2_000, 5_000, 30_000]), by);
    let (held, tried) = (RefCell::new(Held::default()), RefCell::new(BTreeSet::new()));
    let outcome = TestRunner::new(super::config()).run(&strategy, |(made, place, factor, by)| {
        let (job, tree, point, at) = made.anywhere();
        let by = by.map(|several| several.packs());
        let packs = by.as_ref().map_or(&*PACKS, |stricter| &stricter.packs);
        let widenings = widenings(&tree, factor);
        prop_assume!(!widenings.is_empty());
        let (path, value) = place.get(widenings.as_slice());
        let wider = with(&tree, path, value.clone());
        let judged = |tree| judged_then(packs, tree, point, at);
        let (Some(before), Some(after)) = (judged(&tree), judged(&wider)) else { return Ok(()) };
        held.borrow_mut().by(&before);
        tried.borrow_mut().insert(name(path));
        let cleared = before.cleared(&after);
        prop_assert!(cleared.is_empty(), "{job} {}: {} wider clears {cleared:?}", point.word(), name(path));
        Ok(())
    });
    outcome.unwrap();
    held.into_inner().enough(85, 40);
    let tried = tried.into_inner();
    let missing: Vec<&&str> = DOUBTS.iter().filter(|name| !tried.contains(**name)).collect();
    assert!(missing.is_empty(), "never widened: {missing:?}");
}

/// A container that rose faster than it can goes on holding the job, however much its thermometer may be off.
#[test]
fn no_doubt_makes_room_for_a_rise() {
    let strategy = (10..4_000u32, 1..600i64, 1..200u32, 2..40u32);
    let outcome = TestRunner::new(super::config()).run(&strategy, |(hundredths, minutes, doubt, wider)| {
        let (_, tree) =
            super::jobs::DEMO.iter().find(|(file, _)| file.ends_with("pass-loader-bias-used.yaml")).unwrap();
        let rose = |doubt: u32| {
            let mut tree = tree.clone();
            let side = &mut tree["components"]["isocyanate"];
            let read = side["core_temperature"].clone();
            let at = fillward::units::Instant::parse(read["at"].as_str().unwrap()).unwrap();
            let before = at.checked_add_seconds(fillward::units::Exact::from_int(-60 * minutes)).unwrap();
            side["core_temperature"]["uncertainty"] = Value::String(format!("{}.{:02} degF", doubt / 100, doubt % 100));
            side["warming"] = serde_yaml::from_str(&format!(
                "[{{at: {}, temperature: {:.2} degF}}]",
                before.to_record_text(),
                75.0 - f64::from(hundredths) / 100.0
            ))
            .unwrap();
            judged(&PACKS, &tree)
                .map(|judged| judged.outcomes[&("warming-implausible".to_owned(), "isocyanate".to_owned())])
        };
        let (before, after) = (rose(doubt), rose(doubt * wider));
        prop_assert!(before.is_some());
        prop_assert_eq!(before, after, "{} of 100 degF in {} min", hundredths, minutes);
        Ok(())
    });
    outcome.unwrap();
}
