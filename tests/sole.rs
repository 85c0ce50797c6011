//! Every rule holds by itself: for each rule of the base pack, and each hold point at which it is asked, a table names
//! a job of the demo shop that passes there, a change of it, and every other rule that finds fault with the changed
//! record. So no rule can go, move to another hold point or lose its bite without a row that comes out otherwise.
//!
//! A row: `rule: {of: JOB, with: {PLACE: VALUE}, and: [OTHER RULES]}`. The place is that of the record, with numbers for the
//! entries of a list, and one more than there are for a new one; an empty value takes out what stands there, and
//! `the same as PLACE` is a copy, to which later places of the row make their changes. A row with `lacks` shows a rule that
//! misses something; all others show a rule that is broken. `never: REASON` stands for a rule that no whole record can bring
//! to hold.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use fillward::document::Document;
use fillward::engine::Scene;
use fillward::pack::{OnFault, PackSet};
use fillward::record;
use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, Outcome, Verdict};
use serde::Deserialize;
use serde_yaml::{Mapping, Value};

use crate::common;

static PACKS: LazyLock<PackSet> = LazyLock::new(|| PackSet::base().unwrap());

/// What a table says of a rule.
#[derive(Deserialize)]
#[serde(untagged)]
enum Entry {
    Row(Row),
    Never(Never),
}

/// Why no whole record can bring a rule to find fault.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Never {
    never: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    /// The passing job, by its place in the demo shop.
    of: String,
    /// The change.
    with: BTreeMap<String, Value>,
    /// What else finds fault then.
    #[serde(default)]
    and: BTreeSet<String>,
    /// Whether what the rule asks for is missing, and not wrong.
    #[serde(default)]
    lacks: bool,
}

/// Rules that no whole record brings to find fault; each has its reason in the table.
const NEVER: &[&str] = &["assembly-unmarked", "gauge-unmarked", "thermometer-unmarked"];

/// The hold points, the table of each, and how many of its rules must be alone.
const TABLES: [(HoldPoint, &str, usize); 4] = [
    (HoldPoint::BeforeAir, "tests/sole/before-air.yaml", 128),
    (HoldPoint::BeforeFill, "tests/sole/before-fill.yaml", 244),
    (HoldPoint::AfterFill, "tests/sole/after-fill.yaml", 65),
    (HoldPoint::BeforeService, "tests/sole/before-service.yaml", 80),
];

/// The rows of a table; a rule that has two is refused by the first reading.
fn table(file: &str) -> BTreeMap<String, Entry> {
    let value: Value = serde_yaml::from_str(&common::read(file)).unwrap_or_else(|why| panic!("{file}: {why}"));
    serde_yaml::from_value(value).unwrap_or_else(|why| panic!("{file}: {why}"))
}

/// The record of a passing job at a hold point, and when it is judged.
fn passing(of: &str, point: HoldPoint) -> (Value, Instant) {
    let path = format!("shared/demo/{of}.yaml");
    let text = common::read(&path);
    let (text, at) = if of.starts_with("carried/") {
        let (there, at) = crate::hold_points::judged(&path);
        assert_eq!(there, point, "{path}");
        (text, at)
    } else if point == HoldPoint::BeforeAir {
        // Nobody has seen it seated yet.
        (crate::shop::before_air(&text), common::demo_at())
    } else {
        (text, common::demo_at())
    };
    (serde_yaml::from_str(&text).unwrap(), at)
}

/// What stands at a place of a record.
fn found<'t>(tree: &'t Value, place: &str) -> Option<&'t Value> {
    place
        .split('.')
        .try_fold(tree, |tree, part| part.parse().map_or_else(|_| tree.get(part), |index: usize| tree.get(index)))
}

/// Writes a value into a record, or takes out what stands there.
fn change(place: &mut Value, path: &[&str], value: &Value) {
    let (first, rest) = path.split_first().unwrap();
    if let Ok(index) = first.parse::<usize>() {
        if !place.is_sequence() {
            *place = Value::Sequence(Vec::new());
        }
        let items = place.as_sequence_mut().unwrap();
        assert!(index <= items.len(), "{path:?} leaves out an entry");
        match (rest.is_empty(), value.is_null()) {
            (true, true) => {
                items.remove(index);
            }
            (is_last, _) => {
                if index == items.len() {
                    items.push(Value::Null);
                }
                if is_last { items[index] = value.clone() } else { change(&mut items[index], rest, value) }
            }
        }
        return;
    }
    if !place.is_mapping() {
        *place = Value::Mapping(Mapping::new());
    }
    let map = place.as_mapping_mut().unwrap();
    match (rest.is_empty(), value.is_null()) {
        (true, true) => {
            map.remove(*first).unwrap_or_else(|| panic!("{first} is not there to be taken out"));
        }
        (true, false) => {
            map.insert((*first).into(), value.clone());
        }
        (false, _) => change(map.entry((*first).into()).or_insert(Value::Null), rest, value),
    }
}

/// The rules that find fault with a record, each with the graver outcome, and the verdict.
fn faults(tree: &Value, point: HoldPoint, at: Instant) -> Result<(BTreeMap<String, Outcome>, Verdict), String> {
    let told = |faults| format!("{:?}", miette::Report::new(faults));
    let text = serde_yaml::to_string(tree).unwrap();
    let document = Document::read("job.yaml", text.as_bytes()).map_err(told)?;
    let job = record::read(&document, PACKS.catalogue(), &common::demo_zone()).map_err(told)?;
    let scene = Scene::new(&PACKS, &job, at, &common::demo_zone()).at_hold_point(point);
    let judgement = scene.judge();
    let mut found = BTreeMap::new();
    for finding in judgement.findings.iter().filter(|finding| finding.outcome.is_fault()) {
        let outcome = found.entry(scene.rule(finding).unwrap().name.to_string()).or_insert(finding.outcome);
        if finding.outcome == Outcome::Broken {
            *outcome = Outcome::Broken;
        }
    }
    Ok((found, judgement.verdict))
}

impl Row {
    /// The changed record, and when it is judged.
    fn record(&self, point: HoldPoint) -> (Value, Instant) {
        let (mut tree, at) = passing(&self.of, point);
        self.change(&mut tree);
        (tree, at)
    }

    fn change(&self, tree: &mut Value) {
        for (place, value) in &self.with {
            let path: Vec<&str> = place.split('.').collect();
            let like = value.as_str().and_then(|text| text.strip_prefix("the same as "));
            let value = like.map_or(value, |like| found(tree, like).unwrap()).clone();
            change(tree, &path, &value);
        }
    }
}

/// A row whose change is a fault that is written down, made in later records of the same job: its rule, those records, and
/// where and when each is judged. A change that a later record has no place for is left out.
pub(crate) fn written_down() -> impl Iterator<Item = (String, Vec<(Value, HoldPoint, Instant)>)> {
    let early = TABLES.iter().filter(|(point, ..)| *point < HoldPoint::AfterFill);
    early.flat_map(|(_, file, _)| table(file)).filter_map(|(rule, entry)| {
        let Entry::Row(row) = entry else { return None };
        let (line, _) = row.of.strip_prefix("carried/")?.split_once("-before-")?;
        let line = line.trim_end_matches(|c: char| c.is_ascii_digit());
        let later = [(HoldPoint::AfterFill, "3-after-fill"), (HoldPoint::BeforeService, "4-before-service")];
        let changed = |(point, record): (HoldPoint, &str)| {
            let (mut tree, at) = passing(&format!("carried/{line}{record}"), point);
            let has_place = |(place, value): (&String, &Value)| !value.is_null() || found(&tree, place).is_some();
            row.with.iter().all(has_place).then(|| row.change(&mut tree)).map(|()| (tree, point, at))
        };
        (!row.lacks).then(|| (rule, later.into_iter().filter_map(changed).collect()))
    })
}

/// The changed record of every row, under the name of its rule, with where and when it is judged.
pub(crate) fn records() -> impl Iterator<Item = (String, Value, HoldPoint, Instant)> {
    TABLES.iter().flat_map(|(point, file, _)| {
        table(file).into_iter().filter_map(|(rule, entry)| match entry {
            Entry::Row(row) => {
                let (tree, at) = row.record(*point);
                Some((rule, tree, *point, at))
            }
            Entry::Never(_) => None,
        })
    })
}

/// What is wrong with a row, in words.
fn wrong(rule: &str, row: &Row, point: HoldPoint) -> Option<String> {
    let (tree, at) = row.record(point);
    let (found, verdict) = match faults(&tree, point, at) {
        Ok(found) => found,
        Err(told) => return Some(format!("{rule}: the changed record is refused: {told}")),
    };
    let mut due = row.and.clone();
    let is_new = due.insert(rule.to_owned());
    let names: BTreeSet<String> = found.keys().cloned().collect();
    if !is_new || names != due {
        let missing: Vec<_> = due.difference(&names).collect();
        let beside: Vec<_> = names.difference(&due).collect();
        return Some(format!("{rule} of {}: missing {missing:?}, not in the row {beside:?}", row.of));
    }
    let as_due = if row.lacks { Outcome::NotShown } else { Outcome::Broken };
    if found[rule] != as_due {
        return Some(format!("{rule} of {}: is {:?}, not {as_due:?}", row.of, found[rule]));
    }
    let holds = |name: &String| {
        let rules = PACKS.packs().iter().flat_map(|pack| &pack.rules);
        rules.into_iter().any(|rule| rule.name.as_str() == name && rule.on_fault == OnFault::Hold)
    };
    let due = if names.iter().any(holds) { Verdict::Hold } else { Verdict::Pass };
    (verdict != due).then(|| format!("{rule} of {}: the verdict is {verdict:?}", row.of))
}

#[test]
fn every_rule_finds_its_fault_at_every_hold_point_where_it_is_asked() {
    let mut told = Vec::new();
    for (point, file, alone_at_least) in TABLES {
        let table = table(file);
        let rules = PACKS.packs().iter().flat_map(|pack| &pack.rules);
        let asked: BTreeSet<&str> =
            rules.filter(|rule| rule.asked_at.contains(point)).map(|rule| rule.name.as_str()).collect();
        let shown: BTreeSet<&str> = table.keys().map(String::as_str).collect();
        told.extend(asked.difference(&shown).map(|rule| format!("{file} has no row for {rule}")));
        told.extend(shown.difference(&asked).map(|rule| format!("{file}: {rule} is not asked {}", point.word())));
        let mut rows = BTreeMap::new();
        for (rule, entry) in table {
            match entry {
                Entry::Row(row) => {
                    rows.insert(rule, row);
                }
                Entry::Never(Never { never }) if NEVER.contains(&rule.as_str()) && never.len() > 10 => {}
                Entry::Never(_) => told.push(format!("{file}: {rule} has no record")),
            }
        }
        for of in rows.values().map(|row| row.of.as_str()).collect::<BTreeSet<_>>() {
            let (tree, at) = passing(of, point);
            let (found, verdict) = faults(&tree, point, at).unwrap();
            if !found.is_empty() || verdict != Verdict::Pass {
                told.push(format!("{file}: {of} is no job without a fault: {found:?}"));
            }
        }
        told.extend(rows.iter().filter_map(|(rule, row)| Some(format!("{file}: {}", wrong(rule, row, point)?))));
        let alone = rows.values().filter(|row| row.and.is_empty()).count();
        println!("{file}: {} rules, {alone} alone, {} with others", rows.len(), rows.len() - alone);
        if alone < alone_at_least {
            told.push(format!("{file}: only {alone} rules are alone, {alone_at_least} were"));
        }
    }
    assert!(told.is_empty(), "{}", told.join("\n"));
}
