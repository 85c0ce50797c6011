//! Deleting at every hold point: taking a fact out of a record of the carried job that is held at its own hold point does
//! not make it pass there, but for the facts that are listed with the reason in `deleting-clears-later.txt`.
//!
//! A later point asks little that is new and judges what is there, so it holds the less the less there is. What it
//! reads it therefore demands; what it only asks again where it is recorded is listed.

use std::collections::BTreeSet;

use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, Verdict};
use serde_yaml::Value;

use super::changes::{Change, changed, scaled};
use super::jobs::{PACKS, judged_then, scalars};
use crate::common;
use crate::common::tree::{Step, name, paths, with, without};

pub(super) const LIST: &str = "tests/laws/deleting-clears-later.txt";

/// The carried records that pass, each at its point.
pub(super) const CARRIED: [&str; 4] = ["1-before-air", "2-before-fill", "3-after-fill", "4-before-service"];

pub(super) fn carried(record: &str) -> (Value, HoldPoint, Instant) {
    let path = format!("shared/demo/carried/{record}.yaml");
    let (point, at) = crate::hold_points::judged(&path);
    (serde_yaml::from_str(&common::read(&path)).unwrap(), point, at)
}

fn passes(tree: &Value, point: HoldPoint, at: Instant) -> Option<bool> {
    judged_then(&PACKS, tree, point, at).map(|judged| judged.verdict == Verdict::Pass)
}

/// What clears a held record, of all that can be taken out of it.
fn clearing<'p>(
    tree: &Value,
    point: HoldPoint,
    at: Instant,
    out: impl Iterator<Item = &'p Vec<Step>>,
) -> BTreeSet<String> {
    let cleared = out.filter(|path| passes(&without(tree, path), point, at) == Some(true));
    cleared.map(|path| name(path)).collect()
}

/// Records that were found to pass with less: the carried record, when it is judged, what is changed, and what of it may
/// clear it all the same, since it is a second source of one thing.
type Found = (&'static str, &'static str, &'static [(&'static str, &'static str)], &'static [&'static str]);
const FOUND: [Found; 9] = [
    ("3-after-fill", "", &[("assemblies.0.fill.strokes", "868")], &["assembly.tyre.inside_volume"]),
    ("3-after-fill", "", &[("assemblies.0.fill.strokes", "800")], &[]),
    ("3-after-fill", "", &[("assemblies.0.fill.mass", "650 lb")], &["assembly.fill.mass"]),
    ("4-before-service", "2026-03-06T13:00:00-06:00", &[("cure.planned", "72 h")], &[]),
    (
        "4-before-service",
        "2026-03-05T12:00:00-06:00",
        &[("cure.planned", "24 h"), ("workspace.temperature.reading", "60.5 degF")],
        &[],
    ),
    (
        "4-before-service",
        "2026-03-05T13:00:00-06:00",
        &[
            ("cure.planned", "24 h"),
            (
                "workspace.log",
                "[{at: 2026-03-04T12:00:00-06:00, temperature: 72 degF}, {at: 2026-03-05T02:00:00-06:00, temperature: 44 degF}, {at: 2026-03-05T12:00:00-06:00, temperature: 70 degF}]",
            ),
        ],
        &[],
    ),
    (
        "4-before-service",
        "2026-03-05T12:00:00-06:00",
        &[
            ("cure.planned", "24 h"),
            (
                "workspace.log",
                "[{at: 2026-03-04T14:00:00-06:00, temperature: 60.5 degF}, {at: 2026-03-04T20:00:00-06:00, temperature: 60.5 degF}, {at: 2026-03-05T02:00:00-06:00, temperature: 60.5 degF}, {at: 2026-03-05T08:00:00-06:00, temperature: 60.5 degF}, {at: 2026-03-05T11:30:00-06:00, temperature: 60.5 degF}]",
            ),
        ],
        &[],
    ),
    (
        "1-before-air",
        "",
        &[("assemblies.0.tyre.seating_maximum", "40 psi"), ("assemblies.0.mounting.seating_pressure", "60 psi")],
        &["assembly.mounting.seating_pressure", "assembly.mounting"],
    ),
    ("4-before-service", "", &[("assemblies.0.fill.ended", "2026-02-04T10:52:00-06:00")], &[]),
];

fn step(part: &str) -> Step {
    part.parse().map_or_else(|_| Step::Key(part.to_owned()), Step::Item)
}

#[test]
fn what_passed_with_less_passes_no_more() {
    for (record, at, changes, second) in FOUND {
        let (mut tree, point, own) = carried(record);
        let at = if at.is_empty() { own } else { Instant::parse(at).unwrap() };
        for (path, value) in changes {
            let path: Vec<Step> = path.split('.').map(step).collect();
            tree = with(&tree, &path, serde_yaml::from_str(value).unwrap());
        }
        assert_eq!(passes(&tree, point, at), Some(false), "{record} {changes:?}");
        let mut all = Vec::new();
        paths(&tree, &[], &mut all);
        let mut found = clearing(&tree, point, at, all.iter());
        found.retain(|name| !second.contains(&name.as_str()) && name != "assembly");
        assert!(found.is_empty(), "{record} {changes:?}: passes without {found:?}");
    }
}

/// Every value of every carried record changed in turn; the value itself and all that it stands in are taken out.
#[test]
fn no_carried_record_passes_without_a_fact_that_is_not_listed() {
    let listed = super::deleting::listed(LIST);
    let (mut found, mut held) = (BTreeSet::new(), 0_u32);
    for record in CARRIED {
        let (whole, point, at) = carried(record);
        assert_eq!(passes(&whole, point, at), Some(true), "{record}");
        for path in scalars(&whole) {
            for change in [Change::Scaled(500), Change::Scaled(2_000), Change::Turned] {
                if matches!(change, Change::Scaled(_))
                    && scaled(crate::common::tree::at(&whole, &path).unwrap(), 500).is_none()
                {
                    continue;
                }
                let tree = changed(&whole, &path, &change);
                if passes(&tree, point, at) != Some(false) {
                    continue;
                }
                held += 1;
                let above: Vec<Vec<Step>> = (1..=path.len()).map(|length| path[..length].to_vec()).collect();
                found.extend(
                    clearing(&tree, point, at, above.iter()).into_iter().map(|name| format!("{} {name}", point.word())),
                );
            }
        }
    }
    println!("{held} held records");
    assert!(held > 150, "only {held} held records");
    let new: Vec<&String> = found.difference(&listed).collect();
    let gone: Vec<&String> = listed.difference(&found).collect();
    assert!(new.is_empty() && gone.is_empty(), "clears, not listed: {new:#?}\nlisted, clears no more: {gone:#?}");
}
