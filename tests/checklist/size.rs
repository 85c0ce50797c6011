//! How large the content of a checklist is.
//!
//! What stays on paper and goes by mail for years must be small. Measured are the canonical bytes of every job of the demo
//! shop with one tyre, long and short, each at the hold point and instant of its first lines, record inside.

use std::collections::BTreeSet;

use fillward::units::Instant;
use fillward::vocabulary::HoldPoint;
use serde_json::Value;

use crate::common;
use crate::hold_points::judged;
use crate::shop::Shop;

/// The most bytes of a one-tyre body.
const MOST_BYTES: usize = 24_000;

/// Where records lie, and which shop file they draw on.
const FOLDERS: [(&str, bool); 4] = [
    ("shared/demo/jobs", false),
    ("shared/demo/short", true),
    ("shared/demo/carried", false),
    ("shared/demo/carried-short", true),
];

/// A body that was measured.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Sized {
    bytes: usize,
    path: String,
    point: HoldPoint,
    payload: Vec<u8>,
}

/// The bytes of each member, those of `findings` and `inputs` one by one, the largest first.
fn members(payload: &[u8]) -> Vec<(usize, String)> {
    let body: Value = serde_json::from_slice(payload).unwrap();
    let mut found = Vec::new();
    for (name, value) in body.as_object().unwrap() {
        match value.as_object().filter(|_| ["findings", "inputs"].contains(&name.as_str())) {
            Some(inner) => {
                found.extend(inner.iter().map(|(of, value)| (value.to_string().len(), format!("{name}.{of}"))));
            }
            None => found.push((value.to_string().len(), name.clone())),
        }
    }
    found.sort_by(|one, other| other.cmp(one));
    found
}

/// Where and when a record of the demo is judged, as its first lines say; at the pump on the demo morning where they do not.
fn judged_at(path: &str, record: &str) -> (HoldPoint, Instant) {
    let is_told = record.lines().any(|line| line.starts_with("# hold point: "));
    if is_told { judged(path) } else { (HoldPoint::BeforeFill, common::demo_at()) }
}

#[test]
fn a_one_tyre_body_is_small() {
    let shop = Shop::new();
    let text = common::read("shared/demo/shop.yaml");
    let mut sizes = Vec::new();
    for (folder, is_short) in FOLDERS {
        for path in common::files(folder, ".yaml") {
            let record = common::read(&path);
            if !record.lines().any(|line| line.starts_with("job: ")) {
                continue;
            }
            let (point, at) = judged_at(&path, &record);
            let (body, envelope) = shop.make(&record, |choices| {
                choices.shop = is_short.then_some(text.as_str());
                (choices.point, choices.at) = (point, at);
            });
            if body.assemblies.len() == 1 {
                sizes.push(Sized {
                    bytes: envelope.payload().len(),
                    path,
                    point,
                    payload: envelope.payload().to_vec(),
                });
            }
        }
    }
    for (folder, _) in FOLDERS {
        for point in HoldPoint::ALL {
            let of = |size: &&Sized| {
                size.point == point && size.path.rsplit_once('/').map(|(in_it, _)| in_it) == Some(folder)
            };
            if let Some(largest) = sizes.iter().filter(of).max() {
                println!("{} {}: {} bytes", largest.path, point.word(), largest.bytes);
            }
        }
    }
    let largest = sizes.iter().max().unwrap();
    println!("by member: {:?}", members(&largest.payload));
    let points: BTreeSet<HoldPoint> = sizes.iter().map(|size| size.point).collect();
    assert!(sizes.len() > 300 && points.len() == HoldPoint::ALL.len(), "{} jobs at {points:?}", sizes.len());
    assert!(largest.bytes <= MOST_BYTES, "{}: {} bytes, {:?}", largest.path, largest.bytes, members(&largest.payload));
}
