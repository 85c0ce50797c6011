//! The meaning of the rule language: small packs and records as data in `tests/language/`, one folder a construct, which
//! another reader of the language could run as well. The README there tells how.

use std::collections::BTreeSet;

use fillward::document::Document;
use fillward::engine::Scene;
use fillward::pack::PackSet;
use fillward::record;
use fillward::units::{Instant, Zone};
use fillward::vocabulary::Outcome;
use serde::Deserialize;
use serde_yaml::{Mapping, Value};

use crate::common;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct CaseFile {
    #[expect(dead_code, reason = "read by people")]
    says: String,
    #[serde(default)]
    #[expect(dead_code, reason = "read by people")]
    source: Option<String>,
    at: String,
    /// The zone in which the shop lies; that of the demo shop where it is left out.
    zone: Option<String>,
    #[serde(default)]
    facts: Option<Value>,
    #[serde(default)]
    limits: Option<Mapping>,
    rule: Mapping,
    cases: Vec<Case>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    #[serde(default)]
    says: String,
    at: Option<String>,
    /// Another zone for this case.
    zone: Option<String>,
    #[serde(default)]
    record: Mapping,
    outcome: Option<String>,
    outcomes: Option<Vec<String>>,
}

fn value(text: &str) -> Value {
    serde_yaml::from_str(text).unwrap()
}

/// Adds what the schema asks of every rule and limit, and what has no bearing on the outcome.
fn with_defaults(mut given: Mapping, defaults: &[(&str, &str)]) -> Value {
    for (key, text) in defaults {
        given.entry(Value::from(*key)).or_insert_with(|| value(text));
    }
    Value::Mapping(given)
}

const RULE: &[(&str, &str)] = &[
    ("title", "A fault"),
    ("covers", "job"),
    ("why", "It does harm."),
    ("air", "{stays: nothing is touched}"),
    ("put_right", "Put it right."),
    ("source", "{kind: common practice, cite: no published source}"),
    ("on_fault", "hold"),
    ("permit", "none"),
    ("examples", "{passes: [{says: not judged here}], holds: [{says: not judged here}]}"),
];

const LIMIT: &[(&str, &str)] =
    &[("about", "A limit."), ("safer", "higher"), ("source", "{kind: common practice, cite: no published source}")];

fn document(name: &str, of: &Value) -> Document {
    let text = serde_yaml::to_string(of).unwrap();
    Document::read(name, text.as_bytes()).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)))
}

fn pack(path: &str, file: &CaseFile) -> PackSet {
    let mut root = Mapping::new();
    for (key, text) in [("pack", "1"), ("name", "case"), ("edition", "'1'"), ("title", "A case")] {
        root.insert(Value::from(key), value(text));
    }
    root.insert(Value::from("examples_at"), Value::from(file.at.clone()));
    if let Some(facts) = &file.facts {
        root.insert(Value::from("facts"), facts.clone());
    }
    if let Some(limits) = &file.limits {
        let limits = limits
            .iter()
            .map(|(name, limit)| (name.clone(), with_defaults(limit.as_mapping().unwrap().clone(), LIMIT)));
        root.insert(Value::from("limits"), Value::Mapping(limits.collect()));
    }
    let mut rules = Mapping::new();
    rules.insert(Value::from("fault"), with_defaults(file.rule.clone(), RULE));
    root.insert(Value::from("rules"), Value::Mapping(rules));
    let documents = vec![document(path, &Value::Mapping(root))];
    PackSet::alone(documents).unwrap_or_else(|faults| panic!("{path}: {:?}", miette::Report::new(faults)))
}

/// What the rule says of each subject of the record.
fn outcomes(path: &str, packs: &PackSet, file: &CaseFile, case: &Case) -> Vec<&'static str> {
    let record = document(path, &Value::Mapping(case.record.clone()));
    let job = record::read_fragment(record.source(), record.root(), packs.catalogue())
        .unwrap_or_else(|faults| panic!("{path}: {}: {:?}", case.says, miette::Report::new(faults)));
    let at = Instant::parse(case.at.as_ref().unwrap_or(&file.at)).unwrap();
    let zone =
        case.zone.as_ref().or(file.zone.as_ref()).map_or_else(common::demo_zone, |name| Zone::find(name).unwrap());
    let judgement = Scene::new(packs, &job, at, &zone).judge();
    judgement.findings.iter().map(|finding| Outcome::word(finding.outcome)).collect()
}

fn folders() -> BTreeSet<String> {
    std::fs::read_dir(common::project("tests/language"))
        .unwrap()
        .map(|entry| entry.unwrap())
        .filter(|entry| entry.file_type().unwrap().is_dir())
        .map(|entry| entry.file_name().into_string().unwrap())
        .collect()
}

#[test]
fn every_case_comes_out_as_it_says() {
    let mut wrong = Vec::new();
    let mut count = 0;
    for folder in folders() {
        for path in common::files(&format!("tests/language/{folder}"), ".yaml") {
            let file: CaseFile =
                serde_yaml::from_str(&common::read(&path)).unwrap_or_else(|error| panic!("{path}: {error}"));
            assert!(!file.cases.is_empty(), "{path} has no case");
            let packs = pack(&path, &file);
            for (number, case) in file.cases.iter().enumerate() {
                let expected = match (&case.outcome, &case.outcomes) {
                    (Some(outcome), None) => vec![outcome.clone()],
                    (None, Some(outcomes)) => outcomes.clone(),
                    _ => panic!("{path}: case {number} must have `outcome` or `outcomes`"),
                };
                let found = outcomes(&path, &packs, &file, case);
                if found != expected {
                    wrong.push(format!(
                        "{path}, case {}, {}: expected {expected:?}, found {found:?}",
                        number + 1,
                        case.says
                    ));
                }
                count += 1;
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {count}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(count > 200, "only {count} cases");
}

/// The names that the schema allows at one place.
fn names(schema: &serde_json::Value, place: &str) -> Vec<String> {
    schema.pointer(place).and_then(serde_json::Value::as_object).unwrap().keys().cloned().collect()
}

#[test]
fn every_construct_of_the_schema_has_its_cases() {
    let schema: serde_json::Value = serde_json::from_str(fillward::pack::schema()).unwrap();
    let mut constructs = names(&schema, "/$defs/tests/properties");
    constructs.extend(names(&schema, "/$defs/condition/properties"));
    constructs.extend(names(&schema, "/$defs/operand/properties").into_iter().map(|part| format!("operand-{part}")));
    let folders = folders();
    let without: Vec<&String> = constructs.iter().filter(|construct| !folders.contains(*construct)).collect();
    assert!(without.is_empty(), "no cases for {without:?}");
}

/// The 21 values of the ternary tables, each shown once.
#[test]
fn the_kleene_tables_are_whole() {
    for (name, rows) in [("all", 9), ("any", 9), ("not", 3)] {
        let path = format!("tests/language/{name}/kleene-table.yaml");
        let file: CaseFile = serde_yaml::from_str(&common::read(&path)).unwrap();
        let records: BTreeSet<String> =
            file.cases.iter().map(|case| serde_yaml::to_string(&case.record).unwrap()).collect();
        assert_eq!((file.cases.len(), records.len()), (rows, rows), "{path}");
    }
}
