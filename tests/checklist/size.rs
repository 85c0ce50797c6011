//! How large the content of a checklist is.
//!
//! What stays on paper and goes by mail for years must be small. Measured are the canonical bytes of every job of the demo
//! shop with one tyre, long and short, each at the hold point and instant of its first lines, record inside; and those
//! of every such job of which something is broken that may be permitted, with a permit for each of that. What is found
//! wrong, and each permit, which is a signed document within the body, is counted apart.

use std::collections::BTreeSet;

use fillward::checklist::body::{ChecklistBody, FaultPart};
use fillward::checklist::permit::{Permit, PermitBody};
use fillward::units::{Exact, Instant};
use fillward::vocabulary::{HoldPoint, Outcome, Role};
use serde_json::Value;

use crate::checklist::things::asked;
use crate::common;
use crate::hold_points::judged;
use crate::shop::{MAIRE, ODILE, Shop, key};

/// The most bytes of a one-tyre body, its faults and permits aside.
const MOST_BYTES: usize = 24_000;
/// The most bytes of a permit in it: a document of its own, with the signatures of those who asked for it and gave it.
const MOST_OF_A_PERMIT: usize = 2_600;

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
    /// Without its faults and permits.
    bytes: usize,
    path: String,
    point: HoldPoint,
    /// The bytes of each permit.
    permits: Vec<usize>,
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

/// What of a held job may be permitted.
fn permittable(shop: &Shop, held: &ChecklistBody) -> Vec<FaultPart> {
    let may_be = |fault: &FaultPart| {
        let (_, rule) = shop.set.find_rule(&fault.rule).unwrap();
        fault.holds() && fault.outcome == Outcome::Broken && rule.told.permit.is_some()
    };
    held.findings.each_fault().into_iter().filter(may_be).collect()
}

/// A permit for a fault, asked for by the supervisor and given by the safety officer, with a reason of usual length.
fn permit_for(shop: &Shop, held: &ChecklistBody, fault: &FaultPart) -> Permit {
    let judged_at = Instant::parse(&held.judged_at).unwrap();
    let from_judgement = |seconds: i64| judged_at.checked_add_seconds(Exact::from_int(seconds)).unwrap();
    let body = PermitBody {
        reason: "what is wanted comes with the next delivery; until then a second person watches over it".to_owned(),
        until: from_judgement(4 * 3600).to_record_text(),
        ..asked(shop, held, fault)
    };
    let mut permit = Permit::new(&body).unwrap();
    permit.sign(&key(ODILE), Role::Supervisor, from_judgement(-600)).unwrap();
    permit.sign(&key(MAIRE), Role::SafetyOfficer, from_judgement(-300)).unwrap();
    permit
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
            let made = |permits: &[Permit]| {
                shop.make(&record, |choices| {
                    choices.shop = is_short.then_some(text.as_str());
                    (choices.point, choices.at) = (point, at);
                    choices.permits = permits.iter().collect();
                })
            };
            let (body, envelope) = made(&[]);
            if body.assemblies.len() != 1 {
                continue;
            }
            let mut measure = |payload: &[u8]| {
                let body: Value = serde_json::from_slice(payload).unwrap();
                let permits = body["permits"].as_array().unwrap();
                let permits: Vec<usize> = permits.iter().map(|permit| permit.to_string().len() + 1).collect();
                let faults = body["findings"]["faults"].to_string().len();
                let bytes = payload.len() - faults - permits.iter().sum::<usize>();
                let (path, payload) = (path.clone(), payload.to_vec());
                sizes.push(Sized { bytes, path, point, permits, payload });
            };
            measure(envelope.payload());
            let faults = permittable(&shop, &body);
            if !faults.is_empty() {
                let permits: Vec<Permit> = faults.iter().map(|fault| permit_for(&shop, &body, fault)).collect();
                let (body, envelope) = made(&permits);
                assert_eq!(body.permitted(), permits.len(), "{path}");
                measure(envelope.payload());
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
    let permitted: Vec<&Sized> = sizes.iter().filter(|size| !size.permits.is_empty()).collect();
    for size in &permitted {
        println!(
            "{} with permits of {:?} bytes: {} bytes without them and without faults",
            size.path, size.permits, size.bytes
        );
    }
    println!("by member: {:?}", members(&largest.payload));
    let points: BTreeSet<HoldPoint> = sizes.iter().map(|size| size.point).collect();
    assert!(sizes.len() > 300 && points.len() == HoldPoint::ALL.len(), "{} jobs at {points:?}", sizes.len());
    assert!(permitted.len() > 20, "{}", permitted.len());
    let largest_permit = permitted.iter().flat_map(|size| &size.permits).max().unwrap();
    assert!(*largest_permit <= MOST_OF_A_PERMIT, "a permit of {largest_permit} bytes");
    let over = sizes.iter().filter(|size| size.bytes > MOST_BYTES);
    let over: Vec<String> = over.map(|size| format!("{}: {} bytes", size.path, size.bytes)).collect();
    assert!(over.is_empty(), "{}\n{:?}", over.join("\n"), members(&largest.payload));
}
