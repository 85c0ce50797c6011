//! What passes before the fill and is filled as it was planned passes after it: amount and pressure of the record
//! decide both times, and what is too little or too much for the tyre is told while something can still be done about
//! it.

use std::cell::Cell;

use fillward::vocabulary::Verdict;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::deleting_later::carried;
use super::jobs::{PACKS, judged_then};

/// Pounds that one cycle of the carried job's pump gives.
const CYCLE: f64 = 0.81;
/// Cycles for a gallon of the inside of the carried job's tyre: 925 for 82.
const FOR_A_GALLON: f64 = 925.0 / 82.0;

fn text(number: f64, unit: &str) -> Value {
    Value::String(format!("{number} {unit}"))
}

/// The carried job with this need of each side, target, and inside volume, if anybody has looked one up.
fn planned(tree: &Value, (need, target): (u32, u32), volume: Option<u32>) -> Value {
    let mut tree = tree.clone();
    for side in ["isocyanate", "polyol"] {
        let part = &mut tree["components"][side];
        part["needed"] = text(f64::from(need), "lb");
        part["on_hand"]["reading"] = text(f64::from(need + 60), "lb");
    }
    let assembly = &mut tree["assemblies"][0];
    assembly["target"]["pressure"] = text(f64::from(target), "psi");
    match volume {
        Some(gallons) => assembly["tyre"]["inside_volume"] = text(f64::from(gallons), "gal"),
        None => drop(assembly["tyre"].as_mapping_mut().unwrap().remove("inside_volume")),
    }
    tree
}

#[test]
fn what_is_filled_as_planned_passes_after_the_fill() {
    let ((before, point, at), (after, point_after, at_after)) = (carried("2-before-fill"), carried("3-after-fill"));
    let (passed, known) = (Cell::new(0), Cell::new(0));
    let strategy = (200..560u32, 56..71u32, prop::option::of(60..110u32));
    let outcome = TestRunner::new(super::config()).run(&strategy, |(need, target, volume)| {
        let tree = planned(&before, (need, target), volume);
        let Some(judged) = judged_then(&PACKS, &tree, point, at) else { return Ok(()) };
        if judged.verdict != Verdict::Pass {
            return Ok(());
        }
        passed.set(passed.get() + 1);
        known.set(known.get() + u32::from(volume.is_some()));
        let mut tree = planned(&after, (need, target), volume);
        let fill = &mut tree["assemblies"][0]["fill"];
        // A tyre whose volume somebody has looked up takes that, and another one what its chart says.
        let cycles = volume.map_or(f64::from(2 * need) / CYCLE, |gallons| f64::from(gallons) * FOR_A_GALLON);
        fill["strokes"] = serde_yaml::from_str(&format!("{cycles:.0}")).unwrap();
        fill["final"] = text(f64::from(target), "psi");
        fill["peak"] = text(f64::from(target), "psi");
        let judged = judged_then(&PACKS, &tree, point_after, at_after).unwrap();
        let held: Vec<_> = judged.holding().collect();
        prop_assert!(judged.verdict == Verdict::Pass, "{need} lb, {target} psi, {volume:?} gal: {held:?}");
        Ok(())
    });
    outcome.unwrap();
    assert!(passed.get() > 60 && known.get() > 10, "{} pass, {} by a volume", passed.get(), known.get());
}

/// More than any tyre of the size takes is held after the fill, whether or not anybody has looked up what this one holds.
#[test]
fn what_no_tyre_of_the_size_takes_is_held() {
    let (after, point, at) = carried("3-after-fill");
    let strategy = (1_160..4_000_u32, any::<bool>());
    let outcome = TestRunner::new(super::config()).run(&strategy, |(cycles, is_measured)| {
        let mut tree = planned(&after, (380, 60), is_measured.then_some(82));
        tree["assemblies"][0]["fill"]["strokes"] = cycles.into();
        let judged = judged_then(&PACKS, &tree, point, at).unwrap();
        let rule = if is_measured { "too-much-went-in" } else { "much-by-the-likely-volume" };
        let held: Vec<_> = judged.holding().collect();
        prop_assert!(held.iter().any(|(name, _)| name == rule), "{cycles} cycles, {is_measured}: {held:?}");
        Ok(())
    });
    outcome.unwrap();
}
