//! What passes before air goes in and before the fill is held after it by what is new then, and by nothing that was on
//! record already and let pass: nobody can put right what is inside a filled tyre.

use std::collections::BTreeSet;

use fillward::vocabulary::{HoldPoint, Verdict};
use serde_yaml::Value;

use super::deleting::listed;
use super::deleting_later::{CARRIED, carried};
use super::jobs::{PACKS, judged_then};
use super::kept::values;
use crate::common::tree::{Step, put};

const LIST: &str = "tests/laws/held-later.txt";

/// The carried job as it is, with a tube and a flap, and with a light casing that nobody drilled, with and without a tube.
const VARIANTS: [&[&[(&str, &str)]]; 4] = [&[], &[TUBE, SAFEGUARD], &[LIGHT], &[LIGHT, TUBE]];

const TUBE: &[(&str, &str)] = &[
    ("assemblies 0 tyre seal", "tube type"),
    ("assemblies 0 tube", "{fitted: true, state: new, size: 17.5-25}"),
    ("assemblies 0 flap", "{fitted: true, state: new}"),
    ("assemblies 0 rim needs_flap", "true"),
];

const SAFEGUARD: &[(&str, &str)] = &[("assemblies 0 vent_path tube_safeguard", "drilled before mounting")];

const LIGHT: &[(&str, &str)] = &[
    ("assemblies 0 tyre ply_rating", "12"),
    ("assemblies 0 tyre sidewall_maximum", "62 psi"),
    ("assemblies 0 target pressure", "50 psi"),
    ("assemblies 0 target operating_pressure", "47 psi"),
    ("assemblies 0 vent_path", "{drilled: false}"),
    ("air_stage regulator", "50 psi"),
    ("pump stops_at", "55 psi"),
];

/// What the gauge showed at the end of a fill to the lower target.
const LOWER: &[(&str, &str)] = &[("assemblies 0 fill peak", "51 psi"), ("assemblies 0 fill final", "50 psi")];

fn with(tree: &Value, changes: &[(&str, &str)]) -> Value {
    changes.iter().fold(tree.clone(), |tree, (place, value)| {
        let step = |word: &str| word.parse().map_or_else(|_| Step::Key(word.to_owned()), Step::Item);
        let path: Vec<Step> = place.split(' ').map(step).collect();
        put(&tree, &path, &serde_yaml::from_str(value).unwrap())
    })
}

#[test]
fn what_was_let_pass_is_no_fault_once_it_is_inside() {
    let catalogue = PACKS.catalogue();
    let [air, fill, after, service] = CARRIED.map(carried);
    let (mut tried, mut found) = (0_u32, BTreeSet::new());
    for (number, changes) in VARIANTS.into_iter().enumerate() {
        let changes = changes.concat();
        let is_light = changes.iter().any(|(place, _)| *place == "pump stops_at");
        let made = |(tree, point, at): &(Value, HoldPoint, _)| {
            let tree = with(tree, &changes);
            let tree = if is_light && *point >= HoldPoint::AfterFill { with(&tree, LOWER) } else { tree };
            (tree, *point, *at)
        };
        let [air, fill, after, service] = [&air, &fill, &after, &service].map(made);
        let is_passed = |(tree, point, at): &(Value, HoldPoint, _), path: &[Step], value: &Value| {
            judged_then(&PACKS, &put(tree, path, value), *point, *at).map(|judged| judged.verdict == Verdict::Pass)
        };
        let same = Value::from(1);
        for later in [&air, &fill, &after, &service] {
            assert_eq!(
                is_passed(later, &[Step::Key("record".to_owned())], &same),
                Some(true),
                "{number} {:?}",
                later.1
            );
        }
        for key in catalogue.keys() {
            // What comes later is new later.
            if catalogue.spec(key).unwrap().asked.at.iter().all(|point| *point >= HoldPoint::AfterFill) {
                continue;
            }
            for (path, value) in values(catalogue, key, &fill.0) {
                let before = [&air, &fill].map(|earlier| is_passed(earlier, &path, &value));
                if before != [Some(true); 2] {
                    continue;
                }
                tried += 1;
                for later in [&after, &service] {
                    if is_passed(later, &path, &value) == Some(false) {
                        let pair = format!("{}: {}", later.1.word(), catalogue.full_name(key));
                        println!("{number} {pair} {value:?}");
                        found.insert(pair);
                    }
                }
            }
        }
    }
    assert!(tried > 300, "{tried}");
    let listed = listed(LIST);
    let new: Vec<&String> = found.difference(&listed).collect();
    let gone: Vec<&String> = listed.difference(&found).collect();
    assert!(new.is_empty() && gone.is_empty(), "held later, not listed: {new:#?}\nlisted, and not held now: {gone:#?}");
}
