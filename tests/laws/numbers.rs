//! The numbers that a report prints are good: whoever types the number that stands behind "clears when" into the record, and
//! nothing else, is rid of the finding. What is tried is what is read off the words, not what the program had in mind.

use std::collections::BTreeMap;

use fillward::document::Document;
use fillward::engine::{self, Act, ActKind, Scene};
use fillward::explain::{AtFrom, Explained, Report};
use fillward::record::{self, FactKind, Job};
use fillward::units::{Instant, Quantity};
use fillward::vocabulary::{HoldPoint, Outcome};
use serde_yaml::Value;

use super::cures::{again, list_place};
use super::jobs::{EVERY, PACKS};
use crate::common;

/// The values that an alternative prints as good.
fn printed(said: &str) -> Vec<&str> {
    let said = said.split(" (").next().unwrap();
    if let Some((_, needs)) = said.split_once(" is recorded; it needs ") {
        return ends(needs);
    }
    said.split_once(" is ").map_or_else(Vec::new, |(_, value)| ends(value))
}

fn ends(value: &str) -> Vec<&str> {
    if let Some((low, high)) = value.strip_prefix("from ").and_then(|ends| ends.split_once(" to ")) {
        return vec![low, high];
    }
    let one = [" or more", " or less", " or earlier", " or later"].iter().find_map(|side| value.strip_suffix(side));
    one.into_iter().collect()
}

/// A printed value as somebody types it into a record; nothing where it is of another kind than the fact.
fn typed(printed: &str, kind: &FactKind) -> Option<String> {
    if let Some(dimension) = kind.dimension() {
        let text = printed.replace('°', "deg").replace("US gal", "gal").replace("·", ".");
        return Quantity::parse(text.trim(), dimension).ok().map(Quantity::to_record_text);
    }
    matches!(kind, FactKind::Planned | FactKind::Event).then(|| instant(printed))?
}

/// `4 March 2026 11:30 (-06:00)` without its offset, which is that of the shop on the morning of the demo.
fn instant(printed: &str) -> Option<String> {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let mut words = printed.split(' ');
    let (day, month, year, clock) = (words.next()?, words.next()?, words.next()?, words.next()?);
    let month = MONTHS.iter().position(|name| *name == month)? + 1;
    let seconds = if clock.len() == 5 { ":00" } else { "" };
    let text = format!("{year}-{month:02}-{day:0>2}T{clock}{seconds}-06:00");
    Instant::parse(&text).ok().map(|_| text)
}

/// The only fact of this kind of value that a way of the finding changes alone, and by a number; nothing where there
/// are several.
fn only_number(scene: &Scene<'_>, finding: &Explained<'_>, printed: &str) -> Option<Act> {
    let is_number = |act: &Act| {
        let kind = &PACKS.catalogue().spec(act.key()).unwrap().kind;
        let moves = matches!(
            act.kind,
            ActKind::Number(_) | ActKind::Between { .. } | ActKind::Moment { .. } | ActKind::Recorded
        );
        moves && typed(printed, kind).is_some()
    };
    let alone = engine::remedy(scene, &finding.finding).ways.into_iter().filter(|way| way.acts.len() == 1);
    let mut found: Vec<Act> = alone.flat_map(|way| way.acts).filter(is_number).collect();
    found.dedup_by_key(|act| (act.edit.entity, act.key()));
    let only = found.pop()?;
    found.is_empty().then_some(only)
}

/// The record with a number typed where it stands, in a reading as its number alone.
fn with_typed(tree: &Value, job: &Job, act: &Act, text: &str) -> Value {
    let mut tree = tree.clone();
    let spec = PACKS.catalogue().spec(act.key()).unwrap();
    let mut place = list_place(&mut tree, job, act.key(), act.edit.entity);
    for part in spec.name.split('.') {
        if !place.is_mapping() {
            *place = Value::Mapping(serde_yaml::Mapping::new());
        }
        place = place.as_mapping_mut().unwrap().entry(part.into()).or_insert(Value::Null);
    }
    match place {
        Value::Mapping(reading) => {
            reading.insert("reading".into(), text.into());
        }
        place if spec.kind == FactKind::Count => *place = serde_yaml::from_str(text).unwrap(),
        place => *place = text.into(),
    }
    tree
}

/// Of one record: how many printed numbers were tried, under the name of the rule, and what did not come out.
fn tried(
    (name, tree, point, at): &(String, Value, HoldPoint, Instant),
    count: &mut BTreeMap<String, usize>,
    wrong: &mut Vec<String>,
) {
    let text = serde_yaml::to_string(tree).unwrap();
    let document = Document::read(name.as_str(), text.as_bytes()).unwrap();
    let job = record::read(&document, PACKS.catalogue(), &common::demo_zone()).unwrap();
    let scene = Scene::new(&PACKS, &job, *at, &common::demo_zone()).at_hold_point(*point);
    let report = Report::new(&scene, scene.judge(), &document, AtFrom::Given);
    for finding in &report.holding {
        let lines = finding.clears();
        // Where several things must come about one of them alone is not enough.
        if lines.iter().any(|line| line.starts_with("and ")) {
            continue;
        }
        let ways = lines.iter().flat_map(|line| line.split("; or ")).map(|way| way.trim_start_matches("or "));
        for way in
            ways.filter(|way| !way.contains(", and ") && !way.contains("; ") || way.contains("recorded; it needs"))
        {
            for number in printed(way) {
                let Some(act) = only_number(&scene, finding, number) else { continue };
                let text = typed(number, &PACKS.catalogue().spec(act.key()).unwrap().kind).unwrap();
                let after = with_typed(tree, &job, &act, &text);
                *count.entry(finding.code()).or_default() += 1;
                let after = super::cures::read(&PACKS, &after);
                let outcome = after.map(|job| again(&PACKS, &job, (*point, *at), &finding.finding));
                if !matches!(outcome, Ok(Outcome::Met | Outcome::DoesNotApply)) {
                    wrong.push(format!("{name} {}: {} is {outcome:?} at {text}: {way}", point.word(), finding.code()));
                }
            }
        }
    }
}

/// Of every demo job at every hold point, and of the record of every rule.
#[test]
fn every_printed_number_clears_its_finding() {
    let (mut count, mut wrong) = (BTreeMap::new(), Vec::new());
    EVERY.iter().for_each(|record| tried(record, &mut count, &mut wrong));
    let numbers: usize = count.values().sum();
    println!("{numbers} numbers tried, of {} rules", count.len());
    assert!(wrong.is_empty(), "{} of {numbers}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(numbers > 200 && count.len() > 35, "only {numbers} numbers of {} rules", count.len());
}
