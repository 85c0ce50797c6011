//! The record's JSON Schema, made from the catalogue.
//!
//! Must not know a record.

use std::sync::LazyLock;

use serde_json::{Map, Value as Json, json};

use super::catalogue::{GROUPS, OPTIONAL_COLUMNS, Wanted, built_in};
use super::{FactKey, FactKind, FactSpec, list_for, shape};
use crate::document::{Code, Document, Fault, Faults, Schema};
use crate::units::Dimension;
use crate::vocabulary::Subject;

/// The schema as published; a test holds it equal to [`generate`].
const TEXT: &str = include_str!("../../schemas/job-record.schema.json");

static COMPILED: LazyLock<Option<Schema>> = LazyLock::new(|| Schema::compile_shape(TEXT).ok());

/// The text of the published record schema.
pub fn compiled() -> &'static str {
    TEXT
}

/// Checks the shape of a record.
pub(super) fn check(document: &Document) -> Result<(), Faults> {
    if shape::fits(document.root()) {
        return Ok(());
    }
    by_schema(document)
}

/// Checks the shape of a record by the schema alone.
pub(super) fn by_schema(document: &Document) -> Result<(), Faults> {
    match COMPILED.as_ref() {
        Some(schema) => schema.check(document),
        None => Err(Fault::new(Code::RecordBrokenProgram, "the built-in record schema does not compile")
            .help("report this: the program is at fault, not the record")
            .in_source(document.source())
            .into()),
    }
}

/// Makes the schema from the catalogue.
pub fn generate() -> Json {
    let mut properties = Map::new();
    properties.insert(
        "record".to_owned(),
        json!({"const": 1, "title": "record format", "description": "The format of this file; always 1.", "examples": [1]}),
    );
    merge(&mut properties, group_schema(Subject::Job, ""));
    properties.insert(
        "assemblies".to_owned(),
        list_schema(Subject::Assembly, "One entry for each tyre on its wheel.", 1, &["mark"]),
    );
    properties.insert("components".to_owned(), components_schema());
    properties.insert(
        "people".to_owned(),
        list_schema(Subject::Person, "Everyone who takes part in the fill.", 0, &["name"]),
    );
    properties.insert(
        "gauges".to_owned(),
        list_schema(Subject::Gauge, "The pressure gauges used for this job.", 0, &["mark"]),
    );
    properties.insert(
        "thermometers".to_owned(),
        list_schema(Subject::Thermometer, "The thermometers used for this job.", 0, &["mark"]),
    );
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:fillward:schema:job-record:1",
        "title": "fillward job record",
        "description": "What is known about one fill job before the pump starts. Leave out what is not known: a missing fact holds the job until it is found out.",
        "type": "object",
        "required": ["record", "assemblies"],
        "additionalProperties": false,
        "properties": properties,
    })
}

pub(super) fn merge(into: &mut Map<String, Json>, object: Json) {
    if let Json::Object(map) = object {
        into.extend(map);
    }
}

/// Lets a key stand with nothing after its colon: the fact is then as unknown as if the key were absent.
fn allow_nothing(schema: &mut Json) {
    let Json::Object(map) = schema else { return };
    match map.get_mut("type") {
        Some(Json::Array(types)) => types.push(json!("null")),
        Some(one) => *one = json!([one.clone(), "null"]),
        None => {}
    }
    if let Some(Json::Array(words)) = map.get_mut("enum") {
        words.push(Json::Null);
    }
}

pub(super) fn object(description: &str, properties: &Json, required: &[&str]) -> Json {
    let mut schema = json!({
        "type": ["object", "null"],
        "description": description,
        "additionalProperties": false,
        "required": required,
        "properties": properties,
    });
    let first = properties.as_object().into_iter().flatten().find_map(|(key, of)| Some((key, of["examples"].get(0)?)));
    if let Some((key, example)) = first {
        let example = example.as_str().map_or_else(|| example.to_string(), str::to_owned);
        merge_into(&mut schema, json!({"x-due": format!("a block of facts, such as `{{{key}: {example}}}`")}));
    }
    schema
}

fn merge_into(schema: &mut Json, object: Json) {
    if let Json::Object(map) = schema {
        merge(map, object);
    }
}

/// Words that people write in a group for what stands elsewhere in the record: the group, the word, the place.
const ELSEWHERE: &[(Subject, &str, &str, &str)] = &[
    (Subject::Assembly, "fill", "started", "acts.fill"),
    (Subject::Assembly, "fill", "begun", "acts.fill"),
    (Subject::Assembly, "fill", "start", "acts.fill"),
    (Subject::Assembly, "fill", "sample", "sample.taken"),
    (Subject::Assembly, "fill", "pressure", "final"),
    (Subject::Assembly, "tyre", "repairs", "tyre.casing.damage"),
    (Subject::Assembly, "tyre", "damage", "tyre.casing.damage"),
    (Subject::Assembly, "rim", "damage", "wheel.faults"),
    (Subject::Assembly, "wheel", "damage", "wheel.faults"),
    (Subject::Assembly, "refit", "torque", "nut_torque"),
];

/// The annotation of a group by that table.
fn elsewhere(subject: Subject, group: &str) -> Json {
    let of = ELSEWHERE.iter().filter(|(s, place, ..)| *s == subject && *place == group);
    let meant: Map<String, Json> = of.map(|(.., word, place)| ((*word).to_owned(), json!(place))).collect();
    if meant.is_empty() { json!({}) } else { json!({"x-meant": meant}) }
}

fn local_schema() -> Json {
    json!({
        "type": ["object", "null"],
        "description": "Facts that only a local pack asks for, by the names that the pack declares.",
        "examples": [{}],
    })
}

fn list_schema(subject: Subject, description: &str, least: u32, required: &[&str]) -> Json {
    let mut properties = Map::new();
    merge(&mut properties, group_schema(subject, ""));
    json!({
        "type": if least == 0 { json!(["array", "null"]) } else { json!("array") },
        "description": description,
        "minItems": least,
        "maxItems": 200,
        "items": object(description, &Json::Object(properties), required),
    })
}

fn components_schema() -> Json {
    let side = |what: &str| object(what, &group_schema(Subject::Component, ""), &[]);
    object(
        "The two liquids that are mixed.",
        &json!({
            "isocyanate": side("The isocyanate side."),
            "polyol": side("The polyol side, which carries the catalyst."),
        }),
        &[],
    )
}

/// The properties of one group of facts; `prefix` is its dotted place with a final dot, or empty.
fn group_schema(subject: Subject, prefix: &str) -> Json {
    some_of_group(subject, prefix, &|_, _| true)
}

/// The properties of a group for the facts that are wanted.
pub(super) fn some_of_group(subject: Subject, prefix: &str, wanted: Wanted<'_>) -> Json {
    let mut properties = Map::new();
    for (index, spec) in (0..).zip(built_in(subject)) {
        let Some(rest) = spec.name.strip_prefix(prefix) else { continue };
        if !wanted(FactKey { subject, index }, spec) {
            continue;
        }
        match rest.split_once('.') {
            None => {
                properties.insert(rest.to_owned(), leaf(spec));
            }
            Some((head, _)) if !properties.contains_key(head) => {
                let place = format!("{prefix}{head}");
                let about = GROUPS
                    .iter()
                    .find(|(s, group, _)| *s == subject && *group == place)
                    .map_or("", |(_, _, about)| about);
                let inner = some_of_group(subject, &format!("{place}."), wanted);
                let mut group = object(about, &inner, &[]);
                merge_into(&mut group, elsewhere(subject, &place));
                properties.insert(head.to_owned(), group);
            }
            Some(_) => {}
        }
    }
    if prefix.is_empty() {
        properties.insert("local".to_owned(), local_schema());
    }
    Json::Object(properties)
}

fn leaf(spec: &FactSpec) -> Json {
    let mut schema = kind_schema(&spec.kind);
    allow_nothing(&mut schema);
    annotated(spec, schema)
}

fn annotated(spec: &FactSpec, mut schema: Json) -> Json {
    if let Json::Object(map) = &mut schema {
        map.insert("description".to_owned(), json!(&*spec.about));
        map.insert("examples".to_owned(), json!([example(spec)]));
    }
    schema
}

/// The example as the value an editor would insert.
fn example(spec: &FactSpec) -> Json {
    match &spec.kind {
        FactKind::Text
        | FactKind::TyreSize
        | FactKind::TubeSizes
        | FactKind::Event
        | FactKind::Planned
        | FactKind::Day
        | FactKind::Quantity(_)
        | FactKind::ScaleBottom(_)
        | FactKind::Choice(_) => json!(spec.example),
        _ => Document::read("example", spec.example.as_bytes())
            .map_or_else(|_| json!(spec.example), |document| document.to_json()),
    }
}

/// Instants as RFC 3339 writes them, with the offset that the judgement needs.
pub(super) const INSTANT: &str =
    r"^[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt][0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]+)?)?([Zz]|[+-][0-9]{2}:[0-9]{2})$";
pub(super) const INSTANT_DUE: &str = "a date and time with its offset from UTC, such as `2026-03-04T09:30:00-06:00`";
/// A text that says something: it has a character that is neither a blank nor a mark of punctuation.
pub(super) const SPEAKS: &str = r"[^\s!-/:-@\[-`{-~]";
pub(super) const DAY: &str = "^[0-9]{4}-[0-9]{2}-[0-9]{2}$";

pub(super) fn kind_schema(kind: &FactKind) -> Json {
    match kind {
        FactKind::Text => json!({"type": ["string", "integer"], "pattern": SPEAKS, "maxLength": 500, "x-due": "text"}),
        FactKind::TyreSize | FactKind::TubeSizes => json!({
            "type": "string",
            "pattern": "[0-9]",
            "maxLength": 500,
            "x-due": format!("{}, such as `17.5-25`", kind.describe()),
        }),
        FactKind::Flag => json!({"type": "boolean"}),
        FactKind::Choice(words) => json!({"type": "string", "enum": words}),
        FactKind::Choices(words) => {
            json!({"type": "array", "maxItems": 50, "items": {"type": "string", "enum": words}})
        }
        FactKind::Count => json!({"type": "number", "minimum": 0}),
        FactKind::Quantity(dimension) => {
            json!({"type": "string", "pattern": pattern(*dimension), "x-due": due(*dimension)})
        }
        FactKind::ScaleBottom(dimension) => {
            json!({"type": "string", "pattern": signed_pattern(*dimension), "x-due": due(*dimension)})
        }
        FactKind::Reading(dimension) => reading_schema(*dimension),
        FactKind::Event | FactKind::Planned => json!({
            "type": "string",
            "pattern": INSTANT,
            "x-due": INSTANT_DUE,
        }),
        FactKind::Day => json!({"type": "string", "pattern": DAY, "x-due": "a calendar day, such as `2026-09-30`"}),
        FactKind::Log(columns) => {
            let properties: Map<String, Json> = columns
                .iter()
                .map(|column| (column.name.to_string(), annotated(column, kind_schema(&column.kind))))
                .collect();
            let required: Vec<&str> = columns
                .iter()
                .map(|column| column.name.as_ref())
                .filter(|name| !OPTIONAL_COLUMNS.contains(name))
                .collect();
            json!({
                "type": "array",
                "maxItems": 2000,
                "items": object("One row of readings.", &Json::Object(properties), &required),
            })
        }
    }
}

fn reading_schema(dimension: Dimension) -> Json {
    let plain = |d: Dimension| json!({"type": "string", "pattern": pattern(d), "x-due": due(d)});
    let mut value = plain(dimension);
    let difference = if dimension == Dimension::Temperature { Dimension::TemperatureDifference } else { dimension };
    let mut uncertainty = plain(difference);
    describe(&mut value, "What was read.");
    describe(&mut uncertainty, "The expanded uncertainty, where no listed instrument gives it.");
    let mut properties = Map::new();
    properties.insert("reading".to_owned(), value);
    properties.insert(
        "at".to_owned(),
        json!({
            "type": "string",
            "pattern": INSTANT,
            "description": "When it was read.",
            "x-due": INSTANT_DUE,
        }),
    );
    if let Some(instrument) = list_for(dimension).map(Subject::word) {
        properties.insert(
            instrument.to_owned(),
            json!({"type": ["string", "integer"], "description": format!("The mark of the {instrument} that read it."), "pattern": SPEAKS, "maxLength": 500, "x-due": "text"}),
        );
    }
    properties.insert("uncertainty".to_owned(), uncertainty);
    properties.values_mut().for_each(allow_nothing);
    json!({
        "type": ["string", "object"],
        "pattern": pattern(dimension),
        "x-due": format!("{}, or a mapping with `reading`, `at` and the instrument", due(dimension)),
        "required": ["reading"],
        "additionalProperties": false,
        "properties": properties,
    })
}

fn describe(schema: &mut Json, text: &str) {
    if let Json::Object(map) = schema {
        map.insert("description".to_owned(), json!(text));
    }
}

/// A number and one of the spellings of the units that fit. A value that fails is worded by its reader, whose message
/// distinguishes a wrong dimension from a misspelt unit.
fn pattern(dimension: Dimension) -> String {
    if dimension == Dimension::Temperature {
        return signed_pattern(dimension);
    }
    format!(r"^\s*[0-9][0-9 ./⁄]*\s*({})\s*$", spellings(dimension).join("|"))
}

/// The same with a sign, where what is meant may lie below zero.
fn signed_pattern(dimension: Dimension) -> String {
    format!(r"^\s*-?[0-9][0-9 ./⁄]*\s*({})\s*$", spellings(dimension).join("|"))
}

fn spellings(dimension: Dimension) -> Vec<String> {
    dimension.units().iter().flat_map(|unit| unit.spellings().map(escape)).collect()
}

/// Escapes the few characters of unit spellings that mean something in a pattern.
fn escape(text: &str) -> String {
    text.replace('.', r"\.").replace('$', r"\$")
}

fn due(dimension: Dimension) -> String {
    let units: Vec<&str> = dimension.units().iter().map(|unit| unit.symbol()).collect();
    format!("a {} with its unit, such as `{}`; units: {}", dimension.name(), dimension.example(), units.join(", "))
}
