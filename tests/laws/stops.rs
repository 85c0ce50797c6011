//! What the stop of the pump allows before the fill is no hold after it: where a pump may start, it may reach the pressure
//! at which it is set to stop, and the assembly is not scrap for that.

use std::cell::Cell;

use fillward::vocabulary::{HoldPoint, Outcome};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use serde_yaml::{Mapping, Value};

use super::jobs::{Judged, PACKS, judged, judged_at, made};

const BEFORE: &str = "nothing-stops-the-pump";
const AFTER: &str = "pressed-too-high";

/// The record after a fill in which every gauge came to the pressure at which the pump stops.
fn filled_to_the_stop(tree: &Value) -> Option<Value> {
    let stop = tree.get("pump")?.get("stops_at")?.clone();
    let mut tree = tree.clone();
    for assembly in tree.get_mut("assemblies")?.as_sequence_mut()? {
        let fill = assembly.as_mapping_mut()?.entry("fill".into()).or_insert(Value::Mapping(Mapping::new()));
        fill.as_mapping_mut()?.insert("peak".into(), stop.clone());
    }
    Some(tree)
}

fn of<'j>(judged: &'j Judged, rule: &'static str) -> impl Iterator<Item = (&'j String, Outcome)> {
    judged.outcomes.iter().filter(move |((name, _), _)| name == rule).map(|((_, subject), outcome)| (subject, *outcome))
}

#[test]
fn what_the_stop_allows_before_the_fill_is_no_hold_after_it() {
    let (allowed, held) = (Cell::new(0_u32), Cell::new(0_u32));
    let outcome = TestRunner::new(super::config()).run(&made(3), |made| {
        let (file, tree) = made.tree();
        let Some(before) = judged(&PACKS, &tree) else { return Ok(()) };
        let Some(after) = filled_to_the_stop(&tree).and_then(|tree| judged_at(&PACKS, &tree, HoldPoint::AfterFill))
        else {
            return Ok(());
        };
        for (assembly, outcome) in of(&before, BEFORE) {
            let then = of(&after, AFTER).find(|(of, _)| *of == assembly).map(|(_, outcome)| outcome);
            if outcome == Outcome::Met {
                allowed.set(allowed.get() + 1);
                prop_assert_eq!(then, Some(Outcome::Met), "{}: {}", file, assembly);
            } else {
                held.set(held.get() + 1);
            }
        }
        Ok(())
    });
    outcome.unwrap();
    println!("{} assemblies filled to the stop, {} held before", allowed.get(), held.get());
    assert!(allowed.get() > 300 && held.get() > 20, "{allowed:?} {held:?}");
}
