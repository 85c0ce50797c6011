//! A fault that is written down stays one: what breaks a rule at one hold point of the carried job is not passed at a later
//! one that can see it, but for what `not-kept.txt` lists with its reason.
//!
//! Checklists follow one another, so what was held before the fill has no signed PASS. But a fault may be found, and written
//! down, when the fill is over; and whoever looks at a later record alone must not read PASS beside it.

use std::collections::BTreeSet;

use fillward::record::catalogue::{Catalogue, FactKey, FactKind};
use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, Outcome, Subject, Verdict};
use serde_yaml::Value;

use super::changes::scaled;
use super::deleting::listed;
use super::deleting_later::{CARRIED, carried};
use super::jobs::{PACKS, judged_then};
use crate::common::tree::{Step, at, put};

const LIST: &str = "tests/laws/not-kept.txt";

/// Where the first entity of a subject stands in a record.
fn places(subject: Subject) -> Vec<Vec<Step>> {
    let key = |key: &str| Step::Key(key.to_owned());
    match subject {
        Subject::Job => vec![Vec::new()],
        Subject::Component => ["isocyanate", "polyol"].map(|side| vec![key("components"), key(side)]).to_vec(),
        Subject::Assembly | Subject::Person | Subject::Gauge | Subject::Thermometer => {
            vec![vec![key(subject.record_key().unwrap()), Step::Item(0)]]
        }
    }
}

/// Every fact that is said by a word, a flag, a number or a day, with values that it may take instead: where it stands, and
/// what may stand there. A record that has no number for a fact is given none.
pub(super) fn values(catalogue: &Catalogue, key: FactKey, tree: &Value) -> Vec<(Vec<Step>, Value)> {
    let spec = catalogue.spec(key).unwrap();
    let mut found = Vec::new();
    for place in places(key.subject) {
        let path: Vec<Step> =
            place.into_iter().chain(spec.name.split('.').map(|part| Step::Key(part.to_owned()))).collect();
        let mut path = path;
        if at(tree, &path).is_some_and(Value::is_mapping) {
            path.push(Step::Key("reading".to_owned()));
        }
        let own = at(tree, &path).cloned();
        let texts: Vec<Value> = match &spec.kind {
            FactKind::Flag => vec![Value::Bool(true), Value::Bool(false)],
            FactKind::Choice(words) => words.iter().map(|word| Value::String(word.to_string())).collect(),
            FactKind::Choices(words) => {
                let lists = words.iter().map(|word| Value::Sequence(vec![Value::String(word.to_string())]));
                lists.chain([Value::Sequence(Vec::new())]).collect()
            }
            FactKind::Day if own.is_some() => {
                ["2025-12-01", "2026-03-01"].map(|day| Value::String(day.to_owned())).to_vec()
            }
            FactKind::Count | FactKind::Quantity(_) | FactKind::ScaleBottom(_) | FactKind::Reading(_) => {
                [100, 500, 800, 1_250, 2_000, 10_000].iter().filter_map(|by| scaled(own.as_ref()?, *by)).collect()
            }
            _ => Vec::new(),
        };
        found.extend(texts.into_iter().filter(|text| Some(text) != own.as_ref()).map(|text| (path.clone(), text)));
    }
    found
}

/// The rules that are broken in a tree; nothing where it is refused.
fn broken(tree: &Value, point: HoldPoint, at: Instant) -> Option<(Verdict, Vec<String>)> {
    let judged = judged_then(&PACKS, tree, point, at)?;
    let broken = judged.outcomes.iter().filter(|(_, outcome)| **outcome == Outcome::Broken);
    Some((judged.verdict, broken.map(|((rule, _), _)| rule.clone()).collect()))
}

#[test]
fn a_fault_that_is_written_down_stays_one() {
    let listed = listed(LIST);
    let catalogue = PACKS.catalogue();
    let records = CARRIED.map(carried);
    let (mut kept, mut found) = (0_u32, BTreeSet::new());
    for (number, (earlier, point, when)) in records.iter().enumerate() {
        for key in catalogue.keys() {
            let name = catalogue.full_name(key);
            for (path, value) in values(catalogue, key, earlier) {
                let Some((_, rules)) = broken(&put(earlier, &path, &value), *point, *when) else { continue };
                if rules.is_empty() {
                    continue;
                }
                for (later, next, then) in &records[number + 1..] {
                    match broken(&put(later, &path, &value), *next, *then) {
                        Some((Verdict::Pass, _)) => {
                            let pair = format!("{}: {name}", next.word());
                            println!("{pair} {value:?}: {} held by {rules:?}", point.word());
                            found.insert(pair);
                        }
                        Some((Verdict::Hold, _)) => kept += 1,
                        None => {}
                    }
                }
            }
        }
    }
    assert!(kept > 300, "only {kept} faults were kept");
    let new: Vec<&String> = found.difference(&listed).collect();
    let gone: Vec<&String> = listed.difference(&found).collect();
    assert!(new.is_empty() && gone.is_empty(), "passed later, not listed: {new:#?}\nlisted, and kept now: {gone:#?}");
}
