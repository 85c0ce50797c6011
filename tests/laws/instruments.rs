//! A reading that proves a limit needs its instrument, or says itself how far it may be off: without either it would count
//! as one without doubt, and who left the instrument out would pass where who named it is held.

use fillward::pack::PackSet;
use fillward::vocabulary::{HoldPoint, Verdict};
use proptest::prelude::*;
use serde_yaml::Value;

use super::config;
use super::jobs::judged_at;
use crate::common;
use crate::common::tree::{Step, at, name, paths, with, without};

/// What tells the doubt of a reading.
const DOUBTS: [&str; 3] = ["thermometer", "gauge", "uncertainty"];

/// Readings that decide nothing by their doubt, each with the reason.
const NOT_NEEDED: [(&str, &str); 2] = [
    ("workspace.air.nco", "a method of a laboratory, whose paper tells its doubt; the limits have room for it"),
    ("workspace.air.vapour", "as with all isocyanates together"),
];

/// Every reading of a record that says something of its doubt, and the record without that.
fn bare(tree: &Value) -> Vec<(String, Value)> {
    let mut all = Vec::new();
    paths(tree, &[], &mut all);
    let is_reading = |path: &&Vec<Step>| at(tree, path).is_some_and(|value| value.get("reading").is_some());
    let without_doubt = |path: &Vec<Step>| {
        let below = |word: &&str| [path.as_slice(), &[Step::Key((*word).to_owned())]].concat();
        let told = DOUBTS.iter().map(below).filter(|doubt| at(tree, doubt).is_some());
        told.fold(None, |bare, doubt| Some(without(bare.as_ref().unwrap_or(tree), &doubt)))
    };
    all.iter().filter(is_reading).filter_map(|path| Some((name(path), without_doubt(path)?))).collect()
}

#[test]
fn no_honest_job_passes_without_the_doubt_of_a_reading() {
    let packs = PackSet::base().unwrap();
    let mut tried = 0;
    for file in common::files("shared/demo/jobs", ".yaml").iter().filter(|path| path.contains("/pass-")) {
        let tree: Value = serde_yaml::from_str(&common::read(file)).unwrap();
        for (reading, tree) in bare(&tree) {
            let passes = judged_at(&packs, &tree, HoldPoint::BeforeFill).is_some_and(|it| it.verdict == Verdict::Pass);
            let is_listed = NOT_NEEDED.iter().any(|(listed, _)| *listed == reading);
            assert!(!passes || is_listed, "{file} without the doubt of {reading}");
            tried += 1;
        }
    }
    assert!(tried > 60, "{tried}");
}

proptest! {
    #![proptest_config(config())]

    /// Near a limit or far from it, wide or narrow: what is held with its instrument is held without it.
    #[test]
    fn leaving_the_instrument_out_clears_no_hold(tenths in 350_i32..1_250, doubt in 1_i32..80, which in 0_usize..2) {
        let packs = PackSet::base().unwrap();
        let tree: Value = serde_yaml::from_str(&common::read("shared/demo/carried/2-before-fill.yaml")).unwrap();
        let place: Vec<Step> = match which {
            0 => vec![Step::Key("workspace".into()), Step::Key("temperature".into())],
            _ => ["tyre", "casing", "temperature"].into_iter().fold(
                vec![Step::Key("assemblies".into()), Step::Item(0)],
                |mut place, key| { place.push(Step::Key(key.into())); place },
            ),
        };
        let degrees = |tenths: i32| format!("{}.{} degF", tenths / 10, tenths % 10);
        let reading = |doubt: &str| serde_yaml::from_str::<Value>(&format!(
            "{{reading: {}, at: 2026-03-04T08:50:00-06:00{doubt}}}", degrees(tenths)
        )).unwrap();
        let judged = |doubt: &str| judged_at(&packs, &with(&tree, &place, reading(doubt)), HoldPoint::BeforeFill);
        let told = judged(&format!(", uncertainty: {}", degrees(doubt))).unwrap().verdict;
        let left_out = judged("").unwrap().verdict;
        prop_assert!(told == Verdict::Pass || left_out == Verdict::Hold);
    }
}
