//! Nuts that are too tight are loosened and renewed, and nuts that are too loose are brought up: no finding on a
//! torque tells both, and none tells the one of the other. A wrench that is set to the right torque clicks at once on
//! a nut that is too tight. Common practice, no source.

use std::collections::{BTreeMap, BTreeSet};

use fillward::document::Document;
use fillward::vocabulary::{HoldPoint, Outcome};

use super::jobs::PACKS;
use super::words::{flat, report_at};
use crate::common;

const BRINGS_UP: &str = "bring the wheel nuts, and nothing else, to that torque";
const RENEWS: &str = "loosen one wheel nut at a time, renew what that maker names";
const NONE_AGAIN: &str = "tighten no nut of this wheel again";

/// Torques in N.m, from those of a garden machine to those of nothing.
const TORQUES: [u32; 16] = [5, 20, 45, 60, 110, 160, 200, 305, 420, 500, 680, 900, 1_100, 1_500, 4_000, 9_000];

/// Rules on the torque of one wheel, by their names.
fn is_of_a_torque(rule: &str) -> bool {
    rule.ends_with("torque-implausible") || rule.ends_with("torque-too-high")
}

/// The findings on torques of a wheel whose nuts have what its manual is said to give: the rule, and all its steps.
fn found(tree: &serde_yaml::Value, at: fillward::units::Instant, torque: u32) -> BTreeMap<String, String> {
    let mut tree = tree.clone();
    let written = serde_yaml::Value::from(format!("{torque} N.m"));
    let wheel = &mut tree["assemblies"][0];
    wheel["wheel"]["nut_torque"] = written.clone();
    wheel["refit"]["nut_torque"] = written;
    let text = serde_yaml::to_string(&tree).unwrap();
    let document = Document::read("job.yaml", text.as_bytes()).unwrap();
    report_at(&document, (at, HoldPoint::BeforeService), |_, report| {
        let of_torques = report.holding.iter().filter(|of| is_of_a_torque(&of.rule.name));
        let broken = of_torques.filter(|of| of.finding.outcome == Outcome::Broken);
        let steps = |of: &fillward::explain::Explained<'_>| {
            of.steps().iter().map(|step| flat(&step.text)).collect::<Vec<_>>().join(" ")
        };
        broken.map(|of| (of.rule.name.to_string(), steps(of))).collect()
    })
    .unwrap()
}

#[test]
fn nuts_that_are_too_tight_are_never_brought_to_a_torque() {
    let mut met = BTreeSet::new();
    let mut jobs: Vec<_> = crate::sole::records()
        .filter(|(rule, .., point, _)| is_of_a_torque(rule) && *point == HoldPoint::BeforeService)
        .collect();
    jobs.retain(|(rule, ..)| rule != "axle-torques-apart");
    for (row, tree, _, at) in jobs {
        let each: Vec<(u32, BTreeMap<String, String>)> =
            TORQUES.map(|torque| (torque, found(&tree, at, torque))).into();
        for (torque, findings) in &each {
            for (rule, steps) in findings {
                let clears = |other: &&(u32, BTreeMap<String, String>)| !other.1.contains_key(rule);
                let (less, more) = (
                    each.iter().any(|other| other.0 < *torque && clears(&other)),
                    each.iter().any(|other| other.0 > *torque && clears(&other)),
                );
                assert!(less != more, "{row}: {rule} at {torque} N.m finds fault with both ends, or with every torque");
                assert_eq!(steps.contains(RENEWS), less, "{row}: {rule} at {torque} N.m: {steps}");
                assert_eq!(steps.contains(NONE_AGAIN), less, "{row}: {rule} at {torque} N.m: {steps}");
                assert_eq!(steps.contains(BRINGS_UP), more, "{row}: {rule} at {torque} N.m: {steps}");
                assert!(!steps.contains("studs that were overtightened"), "{steps}");
                met.insert(rule.clone());
            }
        }
    }
    let all = PACKS.packs().iter().flat_map(|pack| &pack.rules).map(|rule| rule.name.to_string());
    let all: BTreeSet<String> = all.filter(|rule| is_of_a_torque(rule)).collect();
    assert_eq!(met, all, "a rule on a torque that no record brings to hold");
}

/// Of the two ends of an axle either may be the wrong one, so the cure says of which nuts it speaks.
#[test]
fn what_is_brought_to_another_torque_was_set_by_the_lower_one() {
    let mut told = 0;
    for rule in PACKS.packs().iter().flat_map(|pack| &pack.rules) {
        let steps = rule.told.put_right.steps.iter().map(|step| flat(&step.text));
        for step in steps.filter(|step| step.contains("bring them, and nothing else, to the right one")) {
            assert!(step.starts_with("Nuts that were set by the lower of the two"), "{}: {step}", rule.name);
            told += 1;
        }
    }
    assert_eq!(told, 1, "{}", common::DEMO_AT);
}
