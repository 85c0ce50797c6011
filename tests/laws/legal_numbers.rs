//! No figure vanishes for numbers that a record may write: whatever decimals they have, and in whatever unit, nothing leaves
//! the range in which figures are worked out.

use fillward::engine::Scene;
use fillward::figures::{Lack, Obstacle};
use fillward::vocabulary::Subject;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::jobs::{DEMO, PACKS, read, scalars};
use crate::common;
use crate::common::tree::{Step, at, with};

/// Another unit for one that records write, with how many of it one is. Exact enough for a number to stay what it was; the
/// record writes its own digits anyway.
const OTHERWISE: &[(&str, &str, f64)] = &[
    ("psi", "bar", 0.068_947_572_931_683),
    ("psi", "kPa", 6.894_757_293_168_3),
    ("bar", "psi", 14.503_773_773_020_9),
    ("lb", "kg", 0.453_592_37),
    ("kg", "lb", 2.204_622_621_848_8),
    ("in", "mm", 25.4),
    ("mm", "in", 0.039_370_078_740_157),
    ("ft", "m", 0.304_8),
    ("gal", "L", 3.785_411_784),
    ("L", "gal", 0.264_172_052_358_1),
    ("lb/gal", "kg/L", 0.119_826_427_316_9),
    ("kg/L", "kg/m3", 1_000.0),
];

/// A number of a record with other decimals, and perhaps in another unit.
fn rewritten(value: &Value, (tail, places, unit): (u32, usize, Option<usize>)) -> Option<Value> {
    let decimals = |number: f64| {
        // A little off, by the decimals alone: what it says stays near.
        let digits = format!("{tail:09}");
        format!("{:.0}.{}", number.trunc(), digits.get(..places).unwrap_or("0"))
    };
    match value {
        Value::String(text) => {
            let (number, own) = text.split_once(' ')?;
            let number: f64 = number.parse().ok()?;
            let others: Vec<_> = OTHERWISE.iter().filter(|(from, _, _)| *from == own).collect();
            let other = unit.and_then(|unit| others.get(unit % others.len().max(1)));
            let (number, unit) = other.map_or((number, own), |(_, to, each)| (number * each, *to));
            let written = if number.abs() < 3.0 { format!("{number:.places$}") } else { decimals(number) };
            Some(Value::String(format!("{} {unit}", written.trim_end_matches('.'))))
        }
        Value::Number(number) => {
            let number = number.as_f64()?;
            let written = if number < 3.0 { format!("{number:.1}{tail:08}") } else { decimals(number) };
            serde_yaml::from_str(written.trim_end_matches('.')).ok()
        }
        _ => None,
    }
}

/// The tree with all of the new values that a record may have: what cannot be so, or not beside the rest, is refused with a
/// place and a cure. Most can, so they are put in together.
fn taken(tree: Value, news: &[(&Vec<Step>, Value)]) -> (Value, usize) {
    let changed = news.iter().fold(tree.clone(), |tree, (path, new)| with(&tree, path, new.clone()));
    if read(&PACKS, &changed).is_some() {
        return (changed, news.len());
    }
    if news.len() < 2 {
        return (tree, 0);
    }
    let (first, second) = news.split_at(news.len() / 2);
    let (tree, one) = taken(tree, first);
    let (tree, other) = taken(tree, second);
    (tree, one + other)
}

#[test]
fn no_figure_vanishes_for_legal_numbers() {
    let passing: Vec<&(String, Value)> = DEMO.iter().filter(|(file, _)| file.contains("/pass-")).collect();
    let change = (0..1_000_000_000_u32, 1..=9_usize, prop::option::of(0..4_usize));
    let (mut tried, mut rewrote) = (0_usize, 0_usize);
    // A case rewrites every number of a record, and reads it again for each that is refused.
    let cases = super::config().cases / 4;
    let mut runner = TestRunner::new(proptest::test_runner::Config { cases, ..super::config() });
    let strategy = (any::<Index>(), prop::collection::vec(change, 120));
    let counted = std::cell::RefCell::new((&mut tried, &mut rewrote));
    let outcome = runner.run(&strategy, |(job, changes)| {
        let (name, tree) = job.get(&passing);
        let all = scalars(tree);
        let news = all.iter().zip(changes.iter().cycle());
        let news: Vec<(&Vec<Step>, Value)> = news
            .filter_map(|(path, change)| Some((path, at(tree, path).and_then(|value| rewritten(value, *change))?)))
            .collect();
        let (tree, taken) = taken(tree.clone(), &news);
        let job = read(&PACKS, &tree).unwrap();
        let scene = Scene::new(&PACKS, &job, common::demo_at(), &common::demo_zone());
        for subject in Subject::ALL {
            for entity in job.of(subject).unwrap_or(&[]) {
                for (spec, figure, _) in scene.figures_of(subject, entity) {
                    let lost = matches!(&figure, Err(Lack::Obstacle { obstacle: Obstacle::OutOfRange, .. }));
                    prop_assert!(!lost, "{name}: {}\n{}", spec.full_name(), serde_yaml::to_string(&tree).unwrap());
                }
            }
        }
        let mut counted = counted.borrow_mut();
        *counted.0 += 1;
        *counted.1 += taken;
        Ok(())
    });
    outcome.unwrap();
    assert!(rewrote > tried * 15, "only {rewrote} numbers rewritten in {tried} records");
}
