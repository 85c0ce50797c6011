//! Documents held against a schema: codes, the text pointed at, and the words.

use super::*;
use crate::document::Fault;

const SCHEMA: &str = r##"{
  "$schema": "https://json-schema.org/draft/2020-12/schema",
  "title": "A job, for the tests",
  "type": "object",
  "additionalProperties": false,
  "required": ["job", "assemblies"],
  "properties": {
    "job": {"type": "string", "description": "The number on the work order", "examples": ["W-17"], "minLength": 2, "maxLength": 8},
    "checked": {"type": "boolean", "description": "Whether the wheel was looked at"},
    "count": {"type": "integer", "minimum": 1, "maximum": 9},
    "share": {"type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 1},
    "day": {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "x-say": "a date", "examples": ["2026-10-15"]},
    "edition": {"const": "1"},
    "colour": {"enum": ["black", "grey", "white"]},
    "anything": {},
    "people": {"type": "array", "minItems": 1, "maxItems": 2, "uniqueItems": true, "items": {"type": "string"}},
    "facts": {"type": "object", "propertyNames": {"pattern": "^[a-z-]+$", "x-say": "a word in small letters"}, "maxProperties": 2},
    "assemblies": {"type": "array", "items": {"$ref": "#/$defs/assembly"}}
  },
  "$defs": {
    "pressure": {
      "type": "string",
      "pattern": "^[0-9.]+ (psi|kPa|bar)$",
      "x-due": "a pressure with its unit, such as `105 psi`; units: psi, kPa, bar"
    },
    "assembly": {
      "type": "object",
      "required": ["tyre_size"],
      "properties": {
        "tyre_size": {"type": "string", "description": "The size on the sidewall", "examples": ["12.5/80-18"]},
        "target": {"$ref": "#/$defs/pressure", "description": "The pressure to fill to"},
        "either": {"anyOf": [{"type": "string"}, {"type": "object", "required": ["value"], "properties": {"value": {"$ref": "#/$defs/pressure"}}}]},
        "vent": {"oneOf": [
          {"type": "object", "required": ["kind"], "properties": {"kind": {"const": "drilled"}, "holes": {"type": "integer"}}},
          {"type": "object", "required": ["kind"], "properties": {"kind": {"const": "none"}, "reason": {"type": "string"}}}
        ]},
        "kind": {"enum": ["tubed", "tubeless"]}
      },
      "if": {"properties": {"kind": {"const": "tubed"}}, "required": ["kind"]},
      "then": {"required": ["tube"], "properties": {"tube": {"type": "string"}}},
      "else": {"properties": {"tube": false}},
      "unevaluatedProperties": false
    }
  }
}"##;

const SOUND: &str = "job: W-17\nassemblies:\n  - tyre_size: 12.5/80-18\n    target: 92 psi\n";

fn check(text: &str) -> Vec<Fault> {
    let document = Document::read("t", text.as_bytes()).unwrap_or_else(|faults| panic!("{text:?}: {faults:?}"));
    match Schema::compile(SCHEMA).unwrap().check(&document) {
        Ok(()) => Vec::new(),
        Err(faults) => faults.into_vec(),
    }
}

/// Code and labelled text of each fault.
fn codes(text: &str) -> Vec<(&'static str, String)> {
    let described = check(text).into_iter().map(|fault| {
        let source = fault.source().unwrap().clone();
        let code = fault.code().word().strip_prefix("schema/").unwrap();
        assert!(!fault.message().ends_with('.') && !fault.message().contains('\n'), "{}", fault.message());
        (code, source.slice(fault.span().unwrap()).to_owned())
    });
    described.collect()
}

/// Each line is added to a sound document: (line, code, labelled text).
#[test]
fn each_failure_stands_at_its_own_line() {
    assert_eq!(codes(SOUND), []);
    for (line, code, labelled) in [
        ("job_no: 1", "unknown-key", "job_no"),
        ("\"odd key\": 1", "unknown-key", "\"odd key\""),
        ("checked: yes", "wrong-kind", "yes"),
        ("checked:", "wrong-kind", "checked"),
        ("count: 1.5", "wrong-kind", "1.5"),
        ("count: '3'", "wrong-kind", "'3'"),
        ("count: 0", "too-low", "0"),
        ("count: 10", "too-high", "10"),
        ("share: 0", "too-low", "0"),
        ("share: 1.0", "too-high", "1.0"),
        ("day: 15 Oct", "not-as-due", "15 Oct"),
        ("edition: '2'", "not-in-list", "'2'"),
        ("colour: gray", "not-in-list", "gray"),
        ("colour: 7", "not-in-list", "7"),
        ("people: Ann", "wrong-kind", "Ann"),
        ("people: []", "too-few", "[]"),
        ("people: [a, b, c]", "too-many", "[a, b, c]"),
        ("people: [a, \"a\"]", "repeated-item", "\"a\""),
        ("facts: {A: 1}", "odd-key", "A"),
        ("facts: {a: 1, b: 2, c: 3}", "too-many", "{a: 1, b: 2, c: 3}"),
    ] {
        assert_eq!(codes(&format!("{SOUND}{line}\n")), [(code, labelled.to_owned())], "{line}");
    }
}

/// Each line is added to the assembly of a sound document: (line, code, labelled text).
#[test]
fn each_failure_behind_a_reference_stands_at_its_own_line() {
    for (line, code, labelled) in [
        ("tyre_sise: x", "unknown-key", "tyre_sise"),
        ("either: 5", "no-form-fits", "5"),
        ("either: {value: 72}", "wrong-kind", "72"),
        ("either: {val: 72 psi}", "missing-key", "either"),
        ("vent: {kind: drilled, holes: many}", "wrong-kind", "many"),
        ("vent: {kind: sawn}", "no-form-fits", "{kind: sawn}"),
        ("kind: tubed", "missing-key", "tyre_size"),
        ("kind: tubeles", "not-in-list", "tubeles"),
        ("tube: x", "key-out-of-place", "tube"),
    ] {
        assert_eq!(codes(&format!("{SOUND}    {line}\n")), [(code, labelled.to_owned())], "{line}");
    }
    let without = "job: W-17\nassemblies:\n  - target: 92\n";
    assert_eq!(codes(without), [("missing-key", "target".to_owned()), ("wrong-kind", "92".to_owned())]);
}

/// (line added to the assembly, message, cure)
#[test]
fn failures_are_worded_for_people() {
    for (line, message, cure) in [
        (
            "tyre_sise: x",
            "unknown key `tyre_sise`",
            "did you mean `tyre_size`? keys allowed here: `either`, `kind`, `target`, `tyre_size`, `vent`, `tube`",
        ),
        (
            "colour: x",
            "unknown key `colour`",
            "move it, with what it says: `colour` belongs to the head of the file, without blanks before it",
        ),
        (
            "either: {value: 72}",
            "a pressure with its unit is expected here, not the number `72`",
            "write a pressure with its unit, such as `105 psi`; units: psi, kPa, bar",
        ),
        (
            "either: {value: 72 atu}",
            "a pressure with its unit is expected here, not the text `72 atu`",
            "write a pressure with its unit, such as `105 psi`; units: psi, kPa, bar",
        ),
        (
            "kind: tubeles",
            "the text `tubeles` is not one of the choices here",
            "did you mean `tubeless`? write one of `tubed`, `tubeless`",
        ),
    ] {
        let faults = check(&format!("{SOUND}    {line}\n"));
        assert_eq!((faults[0].message(), faults[0].cure()), (message, Some(cure)), "{line}");
    }
    for (text, message, cure) in [
        ("job: W-17\n", "the key `assemblies` is missing", "add `assemblies:`"),
        ("assemblies: []\n", "the key `job` is missing", "add `job: W-17` (The number on the work order)"),
        ("job: 17\nassemblies: []\n", "text is expected here, not the number `17`", "quote it: `\"17\"`"),
        (
            "job: W-17\nassemblies: []\nchecked: No\n",
            "`true` or `false` is expected here, not the text `No`",
            "write `false`",
        ),
        (
            "job: W-17\nassemblies: []\ncount: '3'\n",
            "a whole number is expected here, not the text `3`",
            "take the quotes away",
        ),
        ("job: W-17\nassemblies: []\nday: soon\n", "the text `soon` is not a date", "write, for example, `2026-10-15`"),
        (
            "job: W-17\nassemblies: {}\n",
            "a list is expected here, not a block of `name: value` lines",
            "put `- ` before it, on a line of its own",
        ),
        (
            "job: W\nassemblies: []\n",
            "the text `W` is too short; at least 2 characters are expected here",
            "write, for example, `W-17` (The number on the work order)",
        ),
        (
            "72\n",
            "a block of `name: value` lines is expected here, not the number `72`",
            "write what is expected here: A job, for the tests",
        ),
    ] {
        let faults = check(text);
        assert_eq!((faults[0].message(), faults[0].cure()), (message, Some(cure)), "{text}");
    }
}

#[test]
fn a_slip_in_a_required_key_is_one_fault_and_faults_stand_in_order() {
    let text = "jobb: W-17\nassemblies:\n  - tyre_size: 1\n    x: 2\n  - tyre-size: '5'\ncount: x\n";
    let found = codes(text);
    let expected = [
        ("unknown-key", "jobb"),
        ("wrong-kind", "1"),
        ("unknown-key", "x"),
        ("unknown-key", "tyre-size"),
        ("wrong-kind", "x"),
    ];
    assert_eq!(found, expected.map(|(code, labelled)| (code, labelled.to_owned())));
    // The key that was meant is there as well: the other one is only unknown, nothing is missing.
    assert_eq!(codes(&format!("{SOUND}jobb: 1\n")), [("unknown-key", "jobb".to_owned())]);
}

#[test]
fn a_flood_of_faults_is_cut() {
    let keys = (0..20_000).map(|key| format!("k{key}: 1\n")).collect::<Vec<_>>().concat();
    let faults = check(&keys);
    assert_eq!(faults.len(), crate::document::limits::MAX_FAULTS + 1);
    assert_eq!(faults.last().unwrap().code(), crate::document::Code::DocumentMoreFaults);
}

#[test]
fn a_schema_reaches_nothing_outside_itself_and_must_be_one() {
    for (text, part) in [
        ("{", "EOF"),
        (r#"{"type": "strnig"}"#, "strnig"),
        (r#"{"$ref": "https://example.com/x.json"}"#, "example.com"),
        (r#"{"$ref": "file:///etc/hostname"}"#, "hostname"),
        (r##"{"$ref": "#/$defs/none"}"##, "none"),
        (r#"{"pattern": "(?=x)"}"#, "x"),
    ] {
        let error = Schema::compile(text).unwrap_err().to_string();
        assert!(error.starts_with("not a usable JSON Schema: ") && error.contains(part), "{text}: {error}");
    }
}
