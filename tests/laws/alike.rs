//! Like things agree: of the assemblies of one job two of one size, of one rim or on one axle do not differ by more than the
//! pack allows, whichever of them is off, up or down; within it they may.

use fillward::pack::PackSet;
use fillward::vocabulary::Outcome;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::jobs::{DEMO, PACKS, judged};

/// The four assemblies of one size that the demo shop fills in one job: two new ones in front, two used ones behind.
fn four() -> Value {
    DEMO.iter().find(|(file, _)| file.ends_with("pass-four-assemblies.yaml")).unwrap().1.clone()
}

/// What must be alike: the place in an assembly, its unit, what stands there in all of them, the rule, and the limit as a
/// share of the lesser.
const ALIKE: [(&[&str], &str, f64, &str, &str); 8] = [
    (&["tyre", "sidewall_maximum"], "psi", 80.0, "pressures-not-alike", "alike_maximum"),
    (&["tyre", "inside_volume"], "gal", 24.0, "tyres-not-alike", "alike_volume"),
    (&["tyre", "mass"], "lb", 84.0, "tyres-not-alike", "alike_mass"),
    (&["tyre", "overall_diameter"], "in", 32.0, "tyres-not-alike", "alike_diameter"),
    (&["wheel", "rating"], "psi", 85.0, "rims-not-alike", "alike_rim_rating"),
    (&["target", "pressure"], "psi", 66.0, "axle-not-even", "axle_target"),
    (&["target", "load"], "lb", 4000.0, "axle-loads-apart", "axle_load"),
    (&["rim", "width"], "in", 9.75, "axle-rims-unlike", "axle_rim_width"),
];

/// The value of a limit of the base pack that is a percentage, as a factor.
fn limit(packs: &PackSet, name: &str) -> f64 {
    let limit = packs.limits().iter().find(|limit| limit.name == name).unwrap();
    limit.values[0].value.value().to_f64() / 100.0
}

fn put(tree: &mut Value, index: usize, path: &[&str], value: String) {
    let mut here = &mut tree["assemblies"][index];
    for key in path {
        here = &mut here[*key];
    }
    *here = Value::String(value);
}

/// The four with one value of each, that of `odd` times `factor`; rim and wheel bear the same.
fn with_odd((path, unit, usual): (&[&str], &str, f64), odd: usize, factor: f64) -> Value {
    let mut tree = four();
    for index in 0..4 {
        let value = usual * if index == odd { factor } else { 1.0 };
        put(&mut tree, index, path, format!("{value:.3} {unit}"));
        if path[0] == "wheel" {
            put(&mut tree, index, &["rim", "rating"], format!("{value:.3} {unit}"));
        }
    }
    tree
}

#[test]
fn what_is_alike_agrees_whichever_of_it_is_off() {
    let strategy = (0..ALIKE.len(), 0..4usize, 1.005..3.0f64, any::<bool>());
    let outcome = TestRunner::new(super::config()).run(&strategy, |(which, odd, off, down)| {
        let (path, unit, usual, rule, name) = ALIKE[which];
        let most = limit(&PACKS, name);
        prop_assume!((off - most).abs() > 0.002);
        let tree = with_odd((path, unit, usual), odd, if down { 1.0 / off } else { off });
        let Some(judged) = judged(&PACKS, &tree) else { return Ok(()) };
        let marks: Vec<&str> = (0..4).map(|index| tree["assemblies"][index]["mark"].as_str().unwrap()).collect();
        let held: Vec<usize> = (0..4)
            .filter(|index| judged.outcomes[&(rule.to_owned(), marks[*index].to_owned())] == Outcome::Broken)
            .collect();
        // Of an axle only the other end is compared.
        let expected: Vec<usize> = match (off > most, rule) {
            (false, _) => Vec::new(),
            (true, rule) if rule.starts_with("axle-") => (0..4).filter(|index| index / 2 == odd / 2).collect(),
            (true, _) => (0..4).collect(),
        };
        prop_assert_eq!(held, expected, "{}: {} of {} times {}, down {}", rule, path.join("."), marks[odd], off, down);
        Ok(())
    });
    outcome.unwrap();
}

/// Two tyres of one size and state, on rims as wide, took the same, whichever of the two was counted wrongly.
#[test]
fn like_tyres_took_the_same() {
    let packs: &PackSet = &PACKS;
    let text = crate::common::read("shared/demo/carried/3-after-fill.yaml");
    let one: Value = serde_yaml::from_str(&text).unwrap();
    let (point, at) = crate::hold_points::judged("shared/demo/carried/3-after-fill.yaml");
    let strategy = (1.005..2.0f64, any::<bool>(), any::<bool>());
    let outcome = TestRunner::new(super::config()).run(&strategy, |(off, first, used)| {
        let most = limit(packs, "pumped_alike");
        prop_assume!((off - most).abs() > 0.01);
        let mut tree = one.clone();
        let mut twin = tree["assemblies"][0].clone();
        twin["mark"] = Value::from("loader 4, right front");
        let strokes = twin["fill"]["strokes"].as_f64().unwrap();
        tree["assemblies"].as_sequence_mut().unwrap().push(twin);
        // The more over the less, whichever of the two it is.
        tree["assemblies"][usize::from(!first)]["fill"]["strokes"] =
            serde_yaml::from_str(&format!("{:.0}", strokes * off)).unwrap();
        if used {
            tree["assemblies"][1]["tyre"]["state"] = Value::from("new");
        }
        let Some(judged) = super::jobs::judged_then(packs, &tree, point, at) else { return Ok(()) };
        let held = judged
            .outcomes
            .iter()
            .filter(|((rule, _), outcome)| rule == "pumped-not-alike" && **outcome == Outcome::Broken);
        prop_assert_eq!(held.count(), if off > most && !used { 2 } else { 0 }, "{} times, first {}", off, first);
        Ok(())
    });
    outcome.unwrap();
}

/// The nuts of one axle have one torque, whichever of the two is off, up or down; those of two axles may have two.
#[test]
fn the_nuts_of_one_axle_have_one_torque() {
    let packs: &PackSet = &PACKS;
    let file = "shared/demo/carried/hold-torques-of-one-axle.yaml";
    let one: Value = serde_yaml::from_str(&crate::common::read(file)).unwrap();
    let (point, at) = crate::hold_points::judged(file);
    let strategy = (1.005..3.0f64, any::<bool>(), any::<bool>(), any::<bool>());
    let outcome = TestRunner::new(super::config()).run(&strategy, |(off, first, down, rear)| {
        let most = limit(packs, "axle_torque");
        prop_assume!((off - most).abs() > 0.002);
        let mut tree = one.clone();
        for index in 0..2 {
            let odd = (index == 0) == first;
            let factor = if down { 1.0 / off } else { off };
            let torque = if odd { 400.0 * factor } else { 400.0 };
            for part in ["wheel", "refit"] {
                put(&mut tree, index, &[part, "nut_torque"], format!("{torque:.3} N.m"));
            }
        }
        if rear {
            tree["assemblies"][1]["mark"] = Value::from("telehandler 2, right rear");
        }
        let Some(judged) = super::jobs::judged_then(packs, &tree, point, at) else { return Ok(()) };
        let held = judged
            .outcomes
            .iter()
            .filter(|((rule, _), outcome)| rule == "axle-torques-apart" && **outcome == Outcome::Broken);
        prop_assert_eq!(held.count(), if off > most && !rear { 2 } else { 0 }, "{} times, {} {}", off, first, down);
        Ok(())
    });
    outcome.unwrap();
}

/// Fewer plies at the same pressure are a slip as well, and fewer plies at less pressure are not.
#[test]
fn plies_and_pressure_go_together() {
    let strategy = (prop::sample::select(vec![6u32, 8, 10, 14, 16]), any::<bool>());
    let outcome = TestRunner::new(super::config()).run(&strategy, |(plies, with_pressure)| {
        let mut tree = four();
        tree["assemblies"][3]["tyre"]["ply_rating"] = Value::from(plies);
        if with_pressure {
            put(&mut tree, 3, &["tyre", "sidewall_maximum"], format!("{:.2} psi", 80.0 * f64::from(plies) / 12.0));
        }
        let judged = judged(&PACKS, &tree).unwrap();
        let mark = tree["assemblies"][3]["mark"].as_str().unwrap().to_owned();
        let held = judged.outcomes[&("pressures-not-alike".to_owned(), mark)] == Outcome::Broken;
        let apart = f64::from(plies.max(12)) / f64::from(plies.min(12));
        prop_assert_eq!(held, !with_pressure && apart > limit(&PACKS, "alike_maximum_by_plies"), "{} plies", plies);
        Ok(())
    });
    outcome.unwrap();
}

/// The corners of a machine in the order of the four, as crews write them; a row is one way.
const CORNERS: [[&str; 4]; 9] = [
    ["left front", "right front", "left rear", "right rear"],
    ["LF", "RF", "LR", "RR"],
    ["front L", "front R", "rear L", "rear R"],
    ["l/h front", "r/h front", "l/h rear", "r/h rear"],
    ["N/S/F", "O/S/F", "N/S/R", "O/S/R"],
    ["driver side front", "passenger side front", "driver side rear", "passenger side rear"],
    ["VL", "VR", "HL", "HR"],
    ["vorne links", "vorne rechts", "hintenlinks", "hinten rechts"],
    ["AVG", "AVD", "ARG", "ARD"],
];

/// The two ends of an axle have one target, one size and one construction, however their places are written; two axles
/// may have two.
#[test]
fn an_axle_is_even_however_its_ends_are_called() {
    let strategy = (0..CORNERS.len(), 0..4usize, 0..3usize, any::<bool>());
    let outcome = TestRunner::new(super::config()).run(&strategy, |(way, odd, what, whole_axle)| {
        let mut tree = four();
        let marks: Vec<String> = CORNERS[way].iter().map(|corner| format!("unit 7, {corner}")).collect();
        for (index, mark) in marks.iter().enumerate() {
            tree["assemblies"][index]["mark"] = Value::String(mark.clone());
            let is_odd = index == odd || whole_axle && index / 2 == odd / 2;
            let assembly = &mut tree["assemblies"][index];
            match (what, is_odd) {
                (0, true) => assembly["target"]["pressure"] = Value::from("50 psi"),
                (1, true) => assembly["tyre"]["size"] = Value::from("10-16.5"),
                (2, true) => assembly["tyre"]["construction"] = Value::from("radial"),
                _ => {}
            }
        }
        let rule = if what == 0 { "axle-not-even" } else { "axle-of-two-kinds" };
        let judged = judged(&PACKS, &tree).unwrap();
        let held = |index: usize| judged.outcomes[&(rule.to_owned(), marks[index].clone())] == Outcome::Broken;
        let held: Vec<usize> = (0..4).filter(|index| held(*index)).collect();
        let expected: Vec<usize> = (0..4).filter(|index| !whole_axle && index / 2 == odd / 2).collect();
        prop_assert_eq!(held, expected, "{:?}, {} at {}", CORNERS[way], rule, odd);
        Ok(())
    });
    outcome.unwrap();
}

/// One position of one machine is one tyre: written twice, in whichever two ways, the record is refused.
#[test]
fn one_position_is_written_once() {
    let strategy = (0..CORNERS.len(), 0..CORNERS.len(), 0..4usize, 0..4usize);
    let outcome = TestRunner::new(super::config()).run(&strategy, |(way, other_way, corner, other)| {
        // Near and off, driver and passenger are left or right by the country.
        let by_country = |way: usize| (4..6).contains(&way);
        prop_assume!(way == other_way || !by_country(way) && !by_country(other_way));
        let mut tree = four();
        tree["assemblies"][0]["mark"] = Value::String(format!("unit 7, {}", CORNERS[way][corner]));
        tree["assemblies"][1]["mark"] = Value::String(format!("Unit 7 {}.", CORNERS[other_way][other]));
        tree["assemblies"][2]["mark"] = Value::from("unit 8, A");
        tree["assemblies"][3]["mark"] = Value::from("unit 8, B");
        prop_assert_eq!(
            judged(&PACKS, &tree).is_none(),
            corner == other,
            "{} {}",
            CORNERS[way][corner],
            CORNERS[other_way][other]
        );
        Ok(())
    });
    outcome.unwrap();
}
