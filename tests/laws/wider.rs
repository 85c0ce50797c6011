//! Wider never clears: whatever is known with more doubt than before, nothing that held the job is in order for it.

use fillward::record::Kind;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::jobs::{PACKS, judged, made, scaled};
use crate::common::classes::coarser;
use crate::common::tree::{Step, at, name, paths, with};

/// Every way in which the tree can be known with more doubt: the place, and what stands there then.
fn widenings(tree: &Value, thousandths: u32) -> Vec<(Vec<Step>, Value)> {
    let catalogue = PACKS.catalogue();
    let readings: Vec<String> = catalogue
        .keys()
        .filter(|key| matches!(catalogue.spec(*key).unwrap().kind, Kind::Reading(_)))
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
    let strategy = (made(3), any::<Index>(), prop::sample::select(vec![1_200, 2_000, 5_000, 30_000]));
    let outcome = TestRunner::new(super::config()).run(&strategy, |(made, place, factor)| {
        let (job, tree) = made.tree();
        let widenings = widenings(&tree, factor);
        prop_assume!(!widenings.is_empty());
        let (path, value) = place.get(widenings.as_slice());
        let wider = with(&tree, path, value.clone());
        let (Some(before), Some(after)) = (judged(&PACKS, &tree), judged(&PACKS, &wider)) else { return Ok(()) };
        let cleared = before.cleared(&after);
        prop_assert!(cleared.is_empty(), "{job}: {} wider clears {cleared:?}", name(path));
        Ok(())
    });
    outcome.unwrap();
}
