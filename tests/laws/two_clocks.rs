//! A log is in one clock. Rows in universal time among rows by the shop's clock make hours that never were, so such a log is
//! refused with both places, whichever log it is and wherever the row stands; a log in one clock is read, whichever it is.

use fillward::document::Document;
use fillward::record::{self, FactKind};
use fillward::units::Instant;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use serde_yaml::{Mapping, Value};

use super::jobs::{DEMO, PACKS};
use crate::common;

/// The logs of the catalogue: the path of the list of the subject, the path in it, and a row.
fn logs() -> Vec<(Vec<String>, Value)> {
    let catalogue = PACKS.catalogue();
    let mut found = Vec::new();
    for key in catalogue.keys() {
        let Some(spec) = catalogue.spec(key).filter(|spec| matches!(spec.kind, FactKind::Log(_))) else { continue };
        let rows: Value = serde_yaml::from_str(&spec.example).unwrap();
        let list = match key.subject.record_key() {
            Some("components") => vec!["components".to_owned(), "polyol".to_owned()],
            Some(list) => vec![list.to_owned(), "0".to_owned()],
            None => Vec::new(),
        };
        found.push((list.into_iter().chain(spec.name.split('.').map(str::to_owned)).collect(), rows[0].clone()));
    }
    found
}

/// The record with a log at this place, of rows an hour apart, those that are so marked in universal time.
fn with_log(tree: &Value, (path, row): &(Vec<String>, Value), universal: &[bool]) -> Value {
    let mut tree = tree.clone();
    let mut place = &mut tree;
    for part in path {
        place = if let Ok(index) = part.parse::<usize>() {
            &mut place.as_sequence_mut().unwrap()[index]
        } else {
            if !place.is_mapping() {
                *place = Value::Mapping(Mapping::new());
            }
            place.as_mapping_mut().unwrap().entry(part.as_str().into()).or_insert(Value::Null)
        };
    }
    let rows = universal.iter().enumerate().map(|(hour, universal)| {
        let mut row = row.clone();
        let at = if *universal {
            format!("2026-03-03T{:02}:00:00Z", hour + 12)
        } else {
            format!("2026-03-03T{:02}:00:00-06:00", hour + 6)
        };
        Instant::parse(&at).unwrap();
        row["at"] = at.into();
        row
    });
    *place = Value::Sequence(rows.collect());
    tree
}

#[test]
fn a_log_is_in_one_clock() {
    let logs = logs();
    assert!(logs.len() > 2, "{} logs", logs.len());
    let tree = &DEMO.iter().find(|(file, _)| file.ends_with("pass-skid-steer-new-pair.yaml")).unwrap().1;
    let strategy = (0..logs.len(), prop::collection::vec(any::<bool>(), 2..9));
    let outcome = TestRunner::new(super::config()).run(&strategy, |(log, universal)| {
        let tree = with_log(tree, &logs[log], &universal);
        let text = serde_yaml::to_string(&tree).unwrap();
        let document = Document::read("job.yaml", text.as_bytes()).unwrap();
        let faults = match record::read(&document, PACKS.catalogue(), &common::demo_zone()) {
            Ok(_) => Vec::new(),
            Err(faults) => faults.iter().map(|fault| fault.code().word()).collect(),
        };
        let is_mixed = universal.contains(&true) && universal.contains(&false);
        let due: &[&str] = if is_mixed { &["record/log-in-two-clocks"] } else { &[] };
        prop_assert_eq!(faults, due, "{:?} {:?}", &logs[log].0, universal);
        Ok(())
    });
    outcome.unwrap();
}
