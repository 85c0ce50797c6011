//! The reference of the rule language: its lists are made from the schema, the catalogues and the source, and the pack
//! that it shows is a pack.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use fillward::document::{Code, Document};
use fillward::engine::check_examples;
use fillward::figures;
use fillward::pack::PackSet;
use fillward::pack::test::{ROWS, Takes};
use fillward::record::{Catalogue, FactKind};
use fillward::vocabulary::Subject;
use serde_json::{Value as Json, json};

use crate::common;
use crate::common::parts::with_part;

const REFERENCE: &str = "rules/LANGUAGE.md";
const CODES: &str = "rules/CODES.md";

/// One row of a Markdown table; an upright bar inside a cell would end it.
fn row(out: &mut String, cells: &[&str]) {
    let cells: Vec<String> = cells.iter().map(|cell| cell.replace('|', "\\|").replace('\n', " ")).collect();
    let _ = writeln!(out, "| {} |", cells.join(" | "));
}

fn heading(out: &mut String, text: &str, columns: &[&str]) {
    let _ = write!(out, "\n### {text}\n\n");
    row(out, columns);
    row(out, &vec!["---"; columns.len()]);
}

/// The definition that `schema` refers to, by its name.
fn referred(schema: &Json) -> Option<&str> {
    schema["$ref"].as_str()?.strip_prefix("#/$defs/")
}

/// What is due at a key, in words.
fn due(schema: &Json) -> String {
    if let Some(text) = schema["x-due"].as_str() {
        return text.to_owned();
    }
    if let Some(name) = referred(schema) {
        return format!("see `{name}`");
    }
    if let Some(only) = schema.get("const") {
        return format!("`{only}`");
    }
    if let Some(words) = schema["enum"].as_array() {
        let words: Vec<String> = words.iter().filter_map(Json::as_str).map(|word| format!("`{word}`")).collect();
        return words.join(", ");
    }
    let types = match &schema["type"] {
        Json::String(one) => vec![one.as_str()],
        Json::Array(several) => several.iter().filter_map(Json::as_str).collect(),
        _ => Vec::new(),
    };
    let words: Vec<String> = types
        .into_iter()
        .map(|kind| match kind {
            "string" => "text".to_owned(),
            "boolean" => "true or false".to_owned(),
            "array" => format!("a list; each entry: {}", due(&schema["items"])),
            "object" if schema["additionalProperties"].is_object() => {
                format!("a mapping; each entry: {}", due(&schema["additionalProperties"]))
            }
            "object" => "a mapping".to_owned(),
            other => format!("a {other}"),
        })
        .collect();
    words.join(", or ")
}

/// What a key means: its own words, or those of the definition that it refers to, and an example where one is given.
fn meaning(schema: &Json, definitions: &Json) -> String {
    let own = schema["description"].as_str();
    let of_definition = || definitions[referred(schema)?]["description"].as_str();
    let mut text = own.or_else(of_definition).unwrap_or_default().to_owned();
    assert!(!text.is_empty(), "a key of the pack schema has no description: {schema}");
    let examples: Vec<String> = schema["examples"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|example| match example {
            Json::String(text) => format!("`{text}`"),
            other => format!("`{other}`"),
        })
        .collect();
    if !examples.is_empty() {
        let _ = write!(text, " Such as {}.", examples.join(", "));
    }
    text
}

/// The keys of one mapping, then those of the mappings inside it that have no definition of their own.
fn mapping(out: &mut String, name: &str, schema: &Json, definitions: &Json) {
    let Some(properties) = schema["properties"].as_object() else { return };
    heading(out, name, &["key", "must it stand", "what is due", "meaning"]);
    let required: Vec<&str> = schema["required"].as_array().into_iter().flatten().filter_map(Json::as_str).collect();
    for (key, inner) in properties {
        let must = if required.contains(&key.as_str()) { "yes" } else { "" };
        row(out, &[&format!("`{key}`"), must, &due(inner), &meaning(inner, definitions)]);
    }
    for (key, inner) in properties {
        mapping(out, &format!("{name}: `{key}`"), inner, definitions);
    }
}

fn keys() -> String {
    let schema: Json = serde_json::from_str(fillward::pack::schema()).unwrap();
    let definitions = &schema["$defs"];
    let mut out = String::new();
    mapping(&mut out, "A file of a pack", &schema, definitions);
    for (name, definition) in definitions.as_object().unwrap() {
        mapping(&mut out, &format!("`{name}`"), definition, definitions);
        mapping(&mut out, &format!("`{name}`, each entry"), &definition["items"], definitions);
    }
    out
}

fn facts() -> String {
    let catalogue = Catalogue::default();
    let mut out = String::new();
    for subject in Subject::ALL {
        let of = match subject {
            Subject::Job => "the job".to_owned(),
            other => format!("each {}", other.word()),
        };
        heading(
            &mut out,
            &format!("Facts of {of}"),
            &["fact", "kind", "meaning", "example", "holds for", "asked", "found at"],
        );
        for key in catalogue.keys().filter(|key| key.subject == subject) {
            let spec = catalogue.spec(key).unwrap();
            let example = match spec.kind {
                // A whole log is too wide for a cell; its columns give their own examples.
                FactKind::Log(_) => String::new(),
                _ => format!("`{}`", spec.example),
            };
            let name = catalogue.full_name(key);
            let asked = [spec.asked.holds_for.word(), &spec.asked.points(), spec.asked.station.word()];
            row(
                &mut out,
                &[&[&*format!("`{name}`"), &spec.kind.describe(), &spec.about, &example], &asked[..]].concat(),
            );
            if let FactKind::Log(columns) = &spec.kind {
                for column in *columns {
                    let (kind, example) = (column.kind.describe(), format!("`{}`", column.example));
                    row(
                        &mut out,
                        &[&format!("`{}` in each row of it", column.name), &kind, &column.about, &example, "", "", ""],
                    );
                }
            }
        }
    }
    out
}

fn figure_list() -> String {
    let catalogue = Catalogue::default();
    let mut out = String::new();
    row(&mut out, &["figure", "kind", "meaning", "made from", "limits it uses"]);
    row(&mut out, &["---"; 5]);
    for figure in figures::TABLE {
        let inputs: Vec<String> = figure.facts().map(|key| format!("`{}`", catalogue.full_name(key))).collect();
        let limits: Vec<String> = figure.parameters.iter().map(|(limit, _)| format!("`{}`", limit.limit())).collect();
        row(
            &mut out,
            &[
                &format!("`{}`", figure.full_name()),
                &match figure.kind {
                    fillward::figures::FigureKind::Number(dimension) => format!("a {}", dimension.name()),
                    fillward::figures::FigureKind::Difference(dimension) => {
                        format!("a {}, which can be below zero", dimension.name())
                    }
                    fillward::figures::FigureKind::Instant => "a date and time".to_owned(),
                    fillward::figures::FigureKind::Flag => "true or false".to_owned(),
                },
                figure.about,
                &inputs.join(", "),
                &limits.join(", "),
            ],
        );
    }
    out
}

/// The tests of the language from their table, each text in one place.
fn test_list() -> String {
    let mut out = String::new();
    row(&mut out, &["test", "of", "true when"]);
    row(&mut out, &["---"; 3]);
    for test in ROWS {
        row(&mut out, &[&format!("`{}`", test.word), &test.suits.described(), test.about]);
    }
    out
}

/// What the schema must say is due where a test takes this.
fn due_in_schema(takes: Takes) -> Json {
    match takes {
        Takes::One(_) | Takes::Span(_) => json!({"$ref": "#/$defs/operand"}),
        Takes::Values(_) => json!({"$ref": "#/$defs/values"}),
        Takes::Two(_) => json!({"type": "array", "minItems": 2, "maxItems": 2, "items": {"$ref": "#/$defs/operand"}}),
        Takes::Flag(_) => json!({"type": "boolean"}),
    }
}

#[test]
fn the_schema_has_the_tests_of_the_table_and_no_other() {
    let schema: Json = serde_json::from_str(fillward::pack::schema()).unwrap();
    let tests = schema["$defs"]["tests"]["properties"].as_object().unwrap();
    assert_eq!(tests.len(), ROWS.len());
    for test in ROWS {
        let mut due = due_in_schema(test.takes);
        due["description"] = Json::from(test.about);
        let mut found = tests.get(test.word).cloned().unwrap_or_default();
        // Words for people, which change nothing of what is taken.
        found.as_object_mut().map(|found| found.remove("x-due"));
        assert_eq!(found, due, "{}", test.word);
    }
}

#[test]
fn generated_lists_of_the_language_reference() {
    let mut text = common::read(REFERENCE);
    for (name, part) in [
        ("keys", keys()),
        ("tests", test_list()),
        ("facts", facts()),
        ("figures", figure_list()),
        ("codes", code_list(|stage| stage == "pack")),
    ] {
        text = with_part(&text, name, &part);
    }
    common::in_step(REFERENCE, &text);
}

/// The codes of these stages with their pages.
fn code_list(belongs: impl Fn(&str) -> bool) -> String {
    let mut out = String::new();
    row(&mut out, &["code", "what it means, and what to do"]);
    row(&mut out, &["---"; 2]);
    for code in Code::ALL.iter().filter(|code| belongs(code.stage())) {
        row(&mut out, &[&format!("`{code}`"), code.page()]);
    }
    out
}

#[test]
fn generated_list_of_fault_codes() {
    common::in_step(CODES, &with_part(&common::read(CODES), "codes", &code_list(|_| true)));
}

/// All source below `folder` but the list of codes itself.
fn source(folder: &Path, into: &mut String) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.ends_with("document/code") || path.ends_with("document/code.rs") {
            continue;
        }
        if path.is_dir() {
            source(&path, into);
        } else {
            into.push_str(&fs::read_to_string(&path).unwrap());
        }
    }
}

#[test]
fn every_fault_code_is_given_somewhere() {
    let mut text = String::new();
    source(&common::project("src"), &mut text);
    let named: BTreeSet<&str> = text
        .split("Code::")
        .skip(1)
        .map(|rest| rest.split(|c: char| !c.is_ascii_alphanumeric()).next().unwrap_or_default())
        .collect();
    let idle: Vec<&Code> = Code::ALL.iter().filter(|code| !named.contains(format!("{code:?}").as_str())).collect();
    assert!(idle.is_empty(), "no source gives {idle:?}");
}

#[test]
fn the_pack_shown_in_the_language_reference_is_a_pack_and_its_examples_hold() {
    let text = common::read(REFERENCE);
    let (_, rest) = text.split_once("<!-- a whole local pack -->").unwrap();
    let shown = rest.split_once("```yaml\n").unwrap().1.split_once("\n```").unwrap().0;
    let document = Document::read("shown.yaml", shown.as_bytes()).unwrap();
    let packs = PackSet::base_with_examples()
        .unwrap()
        .with(vec![document])
        .unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)));
    let local = packs.packs().last().unwrap();
    assert_eq!(local.name, "county-north");
    let (_, faults) = check_examples(&packs);
    let wrong: Vec<&str> =
        faults.iter().filter(|fault| fault.pack.name == local.name).map(|fault| fault.rule.name.as_str()).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}
