//! The JSON Schemas of the shop file and of the short record, made from the sections and the catalogue.
//!
//! The shop file is held against its schema; a short record is expanded and then held against that of the long one, so its
//! own schema is for editors. Must not know a shop file.

mod short;

pub use short::generate_short;

use std::sync::LazyLock;

use serde_json::{Map, Value as Json, json};

use super::sections::{
    BELONGS, CREW, LOTS, MACHINES, MACHINES_OF, MATERIALS, MIX, PLACES, ROUTINES, SECTIONS, Section, UNCERTAINTY,
    UNLISTED, WALL, WALL_ABOUT, WHEELS, day_takes, mix_takes, round_takes,
};
use super::{broken_program, routines, shape, sheets};
use crate::document::{Document, Faults, Schema};
use crate::record::schema::{DAY, INSTANT, INSTANT_DUE, SPEAKS, merge, object, some_of_group};
use crate::record::{Catalogue, FactKey, FactKind, FactSpec};
use crate::vocabulary::Subject;

/// The schema as published; a test holds it equal to [`generate`].
const TEXT: &str = include_str!("../../../schemas/shop.schema.json");
/// That of the short record, likewise.
const SHORT: &str = include_str!("../../../schemas/short-record.schema.json");

static COMPILED: LazyLock<Option<Schema>> = LazyLock::new(|| Schema::compile_shape(TEXT).ok());

/// The text of the published schema of the shop file.
pub fn text() -> &'static str {
    TEXT
}

/// The text of the published schema of the short record.
pub fn short_text() -> &'static str {
    SHORT
}

/// Checks the shape of a shop file.
pub(super) fn check(document: &Document) -> Result<(), Faults> {
    if shape::fits(document.root()) {
        return Ok(());
    }
    by_schema(document)
}

/// Checks the shape of a shop file by its published schema, which words what is wrong.
fn by_schema(document: &Document) -> Result<(), Faults> {
    match COMPILED.as_ref() {
        Some(schema) => schema.check(document),
        None => Err(broken_program("the built-in schema of the shop file does not compile")
            .in_source(document.source())
            .into()),
    }
}

/// An instant, or a time as people write it.
const TIME: &str =
    "^([0-9]{4}-[0-9]{2}-[0-9]{2}[ Tt])?[0-9]{2}:[0-9]{2}(:[0-9]{2}([.][0-9]+)?)?([Zz]|[+-][0-9]{2}:[0-9]{2})?$";
const TIME_DUE: &str = "a time, such as `07:45` or `2026-03-03 16:00`, or a date and time with its offset from UTC";

/// Makes the schema of the shop file.
pub fn generate() -> Json {
    let mut properties = Map::new();
    let mut put = |key: &str, schema: Json| properties.insert(key.to_owned(), schema);
    put(
        "shop",
        json!({"const": 1, "title": "shop file format", "description": "The format of this file; always 1.", "examples": [1]}),
    );
    put("name", word("The name of the shop.", "Hollow Tarn"));
    let mut zone = word("The time zone in which the shop lies, by the IANA database.", "America/Chicago");
    set(&mut zone, "type", json!("string"));
    set(&mut zone, "x-due", json!("the time zone in which the shop lies, such as `America/Chicago`"));
    put("zone", zone);
    for section in SECTIONS {
        put(section.key, entries(section));
    }
    put(routines::KEY, routine_rows());
    put(sheets::ROUNDS, rounds());
    put(sheets::DAYS, days());
    times(json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:fillward:schema:shop:1",
        "title": "fillward shop file",
        "description": "What lasts in a shop. Records name its entries by mark.",
        "type": "object",
        "required": ["shop", "zone"],
        "additionalProperties": false,
        "properties": properties,
    }))
}

/// Changes a part of a schema, if it is there.
fn at(schema: &mut Json, keys: &[&str], change: impl FnOnce(&mut Json)) {
    if let Some(part) = keys.iter().try_fold(schema, |schema, key| schema.get_mut(key)) {
        change(part);
    }
}

fn set(schema: &mut Json, key: &str, value: Json) {
    if let Json::Object(map) = schema {
        map.insert(key.to_owned(), value);
    }
}

/// Takes times as people write them wherever an instant is due.
fn times(mut schema: Json) -> Json {
    fn walk(schema: &mut Json) {
        match schema {
            Json::Object(map) => map.values_mut().for_each(walk),
            Json::Array(items) => items.iter_mut().for_each(walk),
            Json::String(text) if text == INSTANT => TIME.clone_into(text),
            Json::String(text) if text == INSTANT_DUE => TIME_DUE.clone_into(text),
            _ => {}
        }
    }
    walk(&mut schema);
    schema
}

fn word(about: &str, example: &str) -> Json {
    json!({
        "type": ["string", "integer", "null"],
        "pattern": SPEAKS,
        "maxLength": 500,
        "x-due": "text",
        "description": about,
        "examples": [example],
    })
}

fn day(about: &str) -> Json {
    json!({
        "type": ["string", "null"],
        "pattern": DAY,
        "x-due": "a calendar day, such as `2026-09-30`",
        "description": about,
        "examples": ["2026-03-04"],
    })
}

fn time(about: &str) -> Json {
    json!({"type": ["string", "null"], "pattern": TIME, "x-due": TIME_DUE, "description": about, "examples": ["07:45"]})
}

fn stamp() -> Json {
    object(
        "When, and with what, the readings were taken that do not say it themselves.",
        &json!({
            "at": time("When they were read."),
            "thermometer": word("The mark of the thermometer.", "T-1"),
            "gauge": word("The mark of the gauge.", "G-2"),
        }),
        &[],
    )
}

fn list(about: &str, properties: &Json, required: &[&str]) -> Json {
    json!({
        "type": ["array", "null"],
        "description": about,
        "maxItems": 2000,
        "items": object(about, properties, required),
    })
}

fn dated(properties: &mut Json) {
    set(properties, "from", day("The first day on which the entry is in force; left out where it has always been."));
    set(properties, "until", day("The last day on which the entry is in force; left out where none is known."));
}

fn entries(section: &'static Section) -> Json {
    let takes = |key: FactKey, spec: &FactSpec| section.takes(key, spec);
    let about = format!("The mark of the {}, by which records name it.", section.one);
    let mut properties = json!({"mark": word(&about, section.example)});
    let inner = some_of_group(section.subject, section.base, &takes);
    let mut required: Vec<&str> = Vec::new();
    if *section == MATERIALS {
        for (side, about) in [("isocyanate", "The isocyanate side."), ("polyol", "The polyol side.")] {
            set(&mut properties, side, object(about, &inner, &[]));
        }
        let of_mix = some_of_group(Subject::Job, "mix.", &mix_takes);
        set(&mut properties, MIX, object("What its data sheet says of the mix.", &of_mix, &[]));
    } else if let Json::Object(map) = &mut properties {
        merge(map, inner);
    }
    if *section == LOTS {
        set(
            &mut properties,
            "side",
            json!({
                "type": ["string", "null"],
                "enum": ["isocyanate", "polyol", null],
                "description": "Which side of the mix it is.",
                "examples": ["isocyanate"],
            }),
        );
        set(&mut properties, "material", word("The mark of the material whose side it is.", MATERIALS.example));
        required.push("side");
    }
    if [&MACHINES, &WHEELS].contains(&section) {
        let machine = word("A machine, as the marks of its tyres begin.", "loader 5");
        let of = json!({
            "type": ["array", "null"],
            "maxItems": 2000,
            "items": machine,
            "description": "Further machines that the card is good for, as the marks of their tyres begin; the one that its own mark names is not listed.",
            "examples": [["loader 5", "loader 6"]],
        });
        set(&mut properties, MACHINES_OF, of);
    }
    if *section == PLACES {
        for (other, key) in BELONGS {
            let about = format!("The mark of the {} that belongs to this place.", other.one);
            set(&mut properties, key, word(&about, other.example));
        }
        set(&mut properties, WALL.1, word(WALL_ABOUT, WALL.0.example));
        for of in UNLISTED {
            let doubt = json!({"type": ["string", "null"], "description": of.about, "examples": [of.example]});
            let mut inner = json!({(UNCERTAINTY): doubt});
            // What else is said of it are facts.
            if let (Json::Object(inner), Some(facts)) =
                (&mut inner, properties.pointer(&format!("/{}/properties", of.group)))
            {
                merge(inner, facts.clone());
            }
            set(&mut properties, of.group, object(of.about, &inner, &[]));
        }
    }
    dated(&mut properties);
    list(section.about, &properties, &required)
}

fn routine_rows() -> Json {
    let words: Vec<&str> = ROUTINES.iter().map(|routine| routine.did).collect();
    let catalogue = Catalogue::default();
    let results = ROUTINES.iter().filter_map(|routine| catalogue.spec(routine.found?));
    let results = results.flat_map(|spec| match &spec.kind {
        FactKind::Choice(words) => words.to_vec(),
        _ => Vec::new(),
    });
    let found: Vec<Json> = results.map(|word| json!(word)).chain([Json::Null]).collect();
    list(
        "The log of what is done from time to time; of the rows on one thing the latest counts that is not after the check.",
        &json!({
            "did": {"type": "string", "enum": words, "description": "What was done.", "examples": ["eyewash run"]},
            "of": word("The mark of what it was done to.", PLACES.example),
            "at": {
                "type": ["string", "null"],
                "x-due": "a day, or a day and a time, such as `2026-03-03 16:00`",
                "description": "When: the day, and the time where an hour matters.",
                "examples": ["2026-03-03 16:00"],
            },
            "by": word("Who did it.", "OV"),
            "due": day("Of a calibration: its last day."),
            "found": {
                "type": ["string", "null"],
                "enum": found,
                "description": "Of a check that has a result, such as that of the ratio: what it showed. A row without it says that it was done, and not what it showed.",
                "examples": ["within the data sheet"],
            },
        }),
        &["did"],
    )
}

fn rounds() -> Json {
    let mut properties = some_of_group(Subject::Job, "", &round_takes);
    set(&mut properties, "mark", word("The mark of the round.", "morning"));
    let place = "The mark of the place at which it is walked; left out where it is good for all of them.";
    set(&mut properties, "place", word(place, PLACES.example));
    let each = |about: &str, subject: Subject| object(about, &some_of_group(subject, "", &round_takes), &[]);
    set(
        &mut properties,
        "each_lot",
        each(
            "What is so of each lot that the sheet of the day names; what came later says it itself.",
            Subject::Component,
        ),
    );
    set(
        &mut properties,
        "each_person",
        each("What is so of each person whom the round meets or the sheet of the day names.", Subject::Person),
    );
    let met = json!({
        "type": ["array", "null"],
        "maxItems": 2000,
        "items": word("The mark of a person.", CREW.example),
        "description": "Who is met on the round, by their marks, besides whoever walks it.",
        "examples": [["OV", "TR"]],
    });
    set(&mut properties, sheets::MET, met);
    dated(&mut properties);
    list(
        "What whoever walks round in the morning looks at, and how it must be. The sheet of a day names the round that was walked; what was found otherwise is written there and counts before it.",
        &properties,
        &[],
    )
}

fn days() -> Json {
    let mut properties = some_of_group(Subject::Job, "", &day_takes);
    set(&mut properties, "day", day("The day."));
    set(
        &mut properties,
        "place",
        word(
            "The mark of the place; left out where its round says it, or where the sheet is good for all of them.",
            PLACES.example,
        ),
    );
    set(&mut properties, "read", stamp());
    set(
        &mut properties,
        "round",
        object(
            "The round that was walked.",
            &json!({
                "mark": word("The mark of the round; it may be left out where there is one only.", "morning"),
                "at": time("When the cage was looked at on it."),
                "by": word("Who walked it: the mark of the person, or a full name.", "OV"),
            }),
            &[],
        ),
    );
    let by_mark = |one: &str, example: &str, subject: Subject| {
        let about = format!("What is so today of each {one}, behind its mark, such as `{example}`.");
        let inner = example.split_once(": ").and_then(|(_, rest)| rest.strip_suffix('}')).unwrap_or(example);
        let of_one = format!("What is so today of the {one} with this mark, such as `{inner}`.");
        json!({
            "type": ["object", "null"],
            "description": about,
            "additionalProperties": object(&of_one, &some_of_group(subject, "", &day_takes), &[]),
        })
    };
    set(&mut properties, "lots", by_mark("lot", sheets::EXAMPLE_LOTS, Subject::Component));
    set(&mut properties, "crew", by_mark("person", sheets::EXAMPLE_CREW, Subject::Person));
    list("The sheets of days: values that are good for all jobs of the day.", &properties, &["day"])
}

#[cfg(test)]
mod tests;
