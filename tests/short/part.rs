//! The part of a shop file that goes with a checklist judges as the whole file does: with the record it makes the same long
//! record, and draws on all of itself.

use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;

use fillward::document::Document;
use fillward::pack::PackSet;
use fillward::record::shop::{self, Shop};
use fillward::units::Instant;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::{RECORD, SHOP, with_like_tyres};
use crate::common;
use crate::common::tree::{Step, at, paths, put, with, without};

/// Whether a record and a shop file can be put together, and if so, whether the part that was used makes the same of it.
fn is_the_same(packs: &PackSet, record: &str, shop: &str, now: Instant) -> Option<Result<(), String>> {
    let whole = Shop::read(Document::read("shop.yaml", shop.as_bytes()).ok()?).ok()?;
    let document = Document::read("job.yaml", record.as_bytes()).ok()?;
    let made = shop::expand(document.clone(), Some(&whole), packs, whole.zone(), now).ok()?;
    let text = whole.part(&made.used);
    let again = || {
        let part = Shop::read_part(Document::read("part.yaml", text.as_bytes())?)?;
        let again = shop::expand(document, Some(&part), packs, whole.zone(), now)?;
        Ok::<_, fillward::document::Faults>((again.document.to_json(), part.part(&again.used)))
    };
    Some(match again() {
        Err(faults) => {
            Err(format!("{:?}\n{text}", faults.iter().map(|fault| fault.message().to_owned()).collect::<Vec<_>>()))
        }
        Ok((json, _)) if json != made.document.to_json() => Err("another record".to_owned()),
        Ok((_, part)) if part != text => Err(format!("another part: {text}\n---\n{part}")),
        Ok(_) => Ok(()),
    })
}

#[test]
fn the_part_that_was_used_makes_the_same_record() {
    let packs = PackSet::base().unwrap();
    let (at, shop) = (common::demo_at(), common::read(SHOP));
    for (record, drop) in [(common::read(RECORD), ""), (with_like_tyres(), ""), (common::read(RECORD), "WC")] {
        let record = record.replace(&format!(", {drop}]"), "]");
        assert_eq!(is_the_same(&packs, &record, &shop, at), Some(Ok(())));
        let whole = Shop::read(common::document(SHOP)).unwrap();
        let document = Document::read("job.yaml", record.as_bytes()).unwrap();
        let text = whole.part(&shop::expand(document, Some(&whole), &packs, whole.zone(), at).unwrap().used);
        // Nobody who takes no part is seen.
        assert_eq!(text.contains("Wren Castellane"), drop.is_empty());
        assert!(text.contains("Odile Varga"));
    }
}

/// What is done to a record, or to the shop file.
#[derive(Debug, Clone)]
enum Change {
    /// Something is left out.
    Without(Index),
    /// A word takes the place of another one: marks are named that were not, and kinds are others.
    Word(Index, Index),
    /// The head, a sheet or a round names an instrument by which nothing need have been read.
    Stamped(Index, bool, Index),
    /// A row of the log of routines stands there once more, half a year earlier or later, and says less.
    Row(Index, bool),
}

fn change() -> impl Strategy<Value = (bool, Change)> {
    let place = any::<Index>;
    let one = prop_oneof![
        2 => place().prop_map(Change::Without),
        4 => (place(), place()).prop_map(|(place, word)| Change::Word(place, word)),
        1 => (place(), any::<bool>(), place()).prop_map(|(place, gauge, word)| Change::Stamped(place, gauge, word)),
        1 => (place(), any::<bool>()).prop_map(|(row, later)| Change::Row(row, later)),
    ];
    (any::<bool>(), one)
}

fn all(tree: &Value) -> Vec<Vec<Step>> {
    let mut found = Vec::new();
    paths(tree, &[], &mut found);
    found
}

/// The places that end in one of these keys.
fn ending_in(tree: &Value, keys: &[&str]) -> Vec<Vec<Step>> {
    let is_meant = |path: &Vec<Step>| matches!(path.last(), Some(Step::Key(key)) if keys.contains(&key.as_str()));
    all(tree).into_iter().filter(is_meant).collect()
}

/// Places at which entries name one another, or say what they are.
const NAMES: &[&str] = &[
    "cage",
    "pump",
    "lifting",
    "place",
    "gauge",
    "thermometer",
    "mark",
    "kind",
    "tyre",
    "wheel",
    "machine",
    "material",
    "of",
    "brought_from",
    "site",
    "round",
    "lot",
];

fn made(change: &Change, tree: &Value, marks: &[Value]) -> Value {
    match change {
        Change::Without(place) => without(tree, place.get::<Vec<Step>>(&all(tree))),
        Change::Word(place, word) => {
            let places: Vec<_> = ending_in(tree, NAMES);
            let Some(path) = (!places.is_empty()).then(|| place.get(places.as_slice())) else { return tree.clone() };
            if at(tree, path).is_some_and(Value::is_string) {
                with(tree, path, word.get(marks).clone())
            } else {
                tree.clone()
            }
        }
        Change::Stamped(place, gauge, word) => {
            let places = ending_in(tree, &["read"]);
            let Some(path) = (!places.is_empty()).then(|| place.get(places.as_slice())) else { return tree.clone() };
            let key = Step::Key(if *gauge { "gauge" } else { "thermometer" }.to_owned());
            let path: Vec<Step> = path.iter().cloned().chain([key]).collect();
            put(tree, &path, word.get(marks))
        }
        Change::Row(row, later) => {
            let Some(Value::Sequence(rows)) = tree.get("routines") else { return tree.clone() };
            let mut rows = rows.clone();
            let mut one = row.get(rows.as_slice()).clone();
            if let Some(map) = one.as_mapping_mut() {
                map.insert("at".into(), if *later { "2026-03-03 06:30" } else { "2025-09-03 06:30" }.into());
                map.remove("found");
            }
            rows.push(one);
            with(tree, &[Step::Key("routines".to_owned())], Value::Sequence(rows))
        }
    }
}

#[test]
fn the_part_judges_as_the_whole_file_does() {
    let packs = PackSet::base().unwrap();
    let parsed = |text: &str| serde_yaml::from_str::<Value>(text).unwrap();
    let of = |folder: &str| common::files(folder, ".yaml").into_iter();
    let records: Vec<(String, Value, Instant)> = of("shared/demo/short")
        .map(|file| (file.clone(), parsed(&common::read(&file)), common::demo_at()))
        .chain(of("shared/demo/carried-short").map(|file| {
            let (_, at) = crate::hold_points::judged(&file);
            (file.clone(), parsed(&common::read(&file)), at)
        }))
        .collect();
    let shop = parsed(&common::read(SHOP));
    let marks: Vec<Value> = {
        let found: BTreeSet<String> = ending_in(&shop, &["mark", "kind", "site"])
            .iter()
            .filter_map(|path| at(&shop, path)?.as_str().map(str::to_owned))
            .collect();
        found.into_iter().map(Value::String).collect()
    };
    for (file, record, now) in &records {
        let text = serde_yaml::to_string(record).unwrap();
        let same = is_the_same(&packs, &text, &serde_yaml::to_string(&shop).unwrap(), *now);
        assert_eq!(same.unwrap_or(Ok(())), Ok(()), "{file}");
    }
    let (taken, files) = (Cell::new(0), RefCell::new(BTreeSet::new()));
    let strategy = (any::<Index>(), prop::collection::vec(change(), 1..5));
    let outcome = TestRunner::new(crate::laws::config()).run(&strategy, |(which, changes)| {
        let (file, record, now) = which.get(records.as_slice());
        let (mut record, mut whole) = (record.clone(), shop.clone());
        for (of_shop, change) in &changes {
            let tree = if *of_shop { &mut whole } else { &mut record };
            *tree = made(change, tree, &marks);
        }
        let texts = [&record, &whole].map(|tree| serde_yaml::to_string(tree).unwrap());
        if let Some(same) = is_the_same(&packs, &texts[0], &texts[1], *now) {
            taken.set(taken.get() + 1);
            files.borrow_mut().insert(file.clone());
            prop_assert_eq!(same, Ok(()), "{}", file);
        }
        Ok(())
    });
    outcome.unwrap();
    println!("{} taken, of {} files", taken.get(), files.borrow().len());
    assert!(taken.get() > 250 && files.borrow().len() > 80, "{} taken", taken.get());
}
