//! The JSON Schema of the short record: that of the long one, and the marks and short forms that stand for more.
//!
//! Must not know what an entry of the shop file may state.

use serde_json::{Value as Json, json};

use super::{TIME, TIME_DUE, at, day, set, stamp, time, times, word};
use crate::record::catalogue::built_in;
use crate::record::schema::{generate as generate_record, object};
use crate::record::shop::brought::{BROUGHT, BROUGHT_FROM, STANDS_AT_PLACES};
use crate::record::shop::expand::SIDES;
use crate::record::shop::sections::{BELONGS, CREW, LOTS, MACHINES, PLACES, Section};
use crate::record::shop::{assemblies, bench, logs};
use crate::record::{Catalogue, FactKind, FactSpec};
use crate::vocabulary::Subject;

/// Makes the schema of the short record: that of the long one, and what stands for more.
pub fn generate_short() -> Json {
    let mut schema = generate_record();
    let about = [
        ("$id", "urn:fillward:schema:short-record:1"),
        ("title", "fillward short job record"),
        ("description", "What is known about one fill job, with marks that name entries of the shop file."),
    ];
    for (key, text) in about {
        set(&mut schema, key, json!(text));
    }
    at(&mut schema, &["properties"], |properties| {
        set(properties, "day", day("The day of the job; times without a day are of it."));
        let about = "The mark of the place of the shop file in which the fill is done.";
        set(properties, "place", word(about, PLACES.example));
        set(properties, "read", stamp());
        for (section, key) in BELONGS {
            at(properties, &[key], |group| named(group, section));
        }
        for (_, key) in STANDS_AT_PLACES {
            at(properties, &[key, "properties"], |group| set(group, BROUGHT_FROM, word(BROUGHT, PLACES.example)));
        }
        for side in SIDES {
            at(properties, &["components", "properties", side], |side| named(side, &LOTS));
        }
        at(properties, &["people", "items"], |person| {
            named(person, &CREW);
            set(person, "required", json!([]));
        });
        at(properties, &["assemblies", "items", "properties"], short_assembly);
        rows_on_one_line(properties, Subject::Job, &[]);
        rows_on_one_line(properties, Subject::Assembly, &["assemblies", "items", "properties"]);
        for side in SIDES {
            rows_on_one_line(properties, Subject::Component, &["components", "properties", side, "properties"]);
        }
    });
    times(schema)
}

fn short_assembly(assembly: &mut Json) {
    for (section, key) in assemblies::CARDS {
        if **section == MACHINES {
            set(assembly, key, word("The mark of the machine card.", MACHINES.example));
        } else {
            at(assembly, &[key], |group| named(group, section));
        }
    }
    let like = "The mark of another assembly of this record that this one is like: what is written here counts before what is written there, and what is found by looking at each tyre is not taken over.";
    set(assembly, "like", word(like, "loader 4, left front"));
    set(assembly, "bench", look());
    at(assembly, &["seated"], |group| {
        set(group, "type", json!(["object", "string", "null"]));
        set(group, "description", json!(SEATED));
        set(group, "pattern", json!(TIME));
        set(group, "x-due", json!(TIME_DUE));
    });
}

/// Lets the rows of every log of a subject stand on one line each; its facts stand at a place of the schema.
fn rows_on_one_line(properties: &mut Json, subject: Subject, place: &[&str]) {
    for spec in built_in(subject) {
        if let FactKind::Log(columns) = &spec.kind {
            let below = spec.name.split('.').flat_map(|key| ["properties", key]).skip(1);
            let keys: Vec<&str> = place.iter().copied().chain(below).chain(["items"]).collect();
            at(properties, &keys, |row| on_one_line(row, columns));
        }
    }
}

/// Lets a row of a log stand on one line.
fn on_one_line(row: &mut Json, columns: &[FactSpec]) {
    let example = logs::example(columns);
    set(row, "type", json!(["object", "string"]));
    set(row, "x-due", json!(format!("a row on one line, such as `{example}`, or a mapping")));
    set(row, "examples", json!([example]));
}

/// Lets the mark of an entry stand for a mapping, or in it.
fn named(schema: &mut Json, section: &Section) {
    set(schema, "type", json!(["object", "string", "integer", "null"]));
    let about = format!("The mark of the {} of the shop file.", section.one);
    at(schema, &["properties"], |properties| {
        if properties.get(section.named_by).is_none() {
            set(properties, section.named_by, word(&about, section.example));
        }
    });
}

/// What a lone time says of an assembly that stands in the cage.
const SEATED: &str = "How the assembly was seen in the cage, from outside the path of flying parts; a lone time is of whoever saw the parts on the bench.";

fn look() -> Json {
    object(
        "The look at the parts as they lay apart on the bench: casing inside and outside, rim, wheel and valve.",
        &json!({
            "at": time("When."),
            "by": word("Who: the mark of the person, or a full name.", "OV"),
            "found": {
                "type": ["array", "string", "null"],
                "items": {"type": "string", "enum": every_find()},
                "description": "What was found at casing, inside, rim, wheel and valve, in any words of the list; the rest counts as looked at: no damage, dry, clean, nothing that does not belong there, no leak. An empty list says that nothing was found.",
                "examples": [[]],
            },
        }),
        &[],
    )
}

/// Every word for a find, alone and behind its place.
fn every_find() -> Vec<String> {
    let catalogue = Catalogue::default();
    let mut words = bench::find_words(&catalogue);
    words.extend(bench::full_words(&catalogue));
    words.sort();
    words.dedup();
    words
}
