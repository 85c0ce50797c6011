//! `fillward verify` of what cannot be read: programs and people are told why.

use serde_json::Value;

use super::verify::{FILE, signed};
use crate::shop::folder::TRUST;

const OWNER: &str = TRUST[3];

/// A byte order mark is named where it makes a signed file or a key another one; in what is written by hand it is no part of
/// the text, in settings and trust as in a record.
#[test]
fn a_byte_order_mark_is_named_or_no_part_of_the_text() {
    let shop = signed();
    let marked = |name: &str| shop.put(name, format!("\u{feff}{}", shop.read(name)));
    let said = &["begins with a byte order mark"];
    let verify = || shop.verify(&[FILE, "--record", "job.yaml"]);
    for (name, exit) in [(FILE, 3), ("trust.json", 3), (OWNER, 2)] {
        let whole = shop.read(name);
        marked(name);
        verify().exits(exit).says(said);
        shop.put(name, whole);
    }
    verify().exits(0);
    shop.put("settings.yaml", format!("settings: 1\ntrust: trust.json\nowners: [{OWNER}]\n"));
    marked("settings.yaml");
    let by_settings = ["verify", FILE, "--record", "job.yaml", "--settings", "settings.yaml"];
    shop.run(&by_settings).exits(0).says(&["The fill may start"]);
}

/// A program gets an answer whatever keeps a file from being verified: of each file that it is not, and why.
#[test]
fn a_program_is_answered_whatever_is_wrong() {
    let shop = signed();
    shop.put("copy.checklist.json", shop.read(FILE));
    let good = shop.read("trust.json");
    let schema: Value = serde_json::from_str(&shop.run(&["schema", "verification"]).exits(0).out).unwrap();
    let validator = jsonschema::draft202012::options().should_validate_formats(true).build(&schema).unwrap();
    let bad = "pack: [\n";
    shop.put("bad.yaml", bad);
    let cases: [(&str, &[&str], i32, &str); 4] = [
        (&good.replacen("Hollow Tarn", "Hollow Barn", 1), &[], 3, "checklist/trust-unsound"),
        ("", &[], 3, "checklist/not-json"),
        (&good, &["--pack", "bad.yaml"], 2, "document/"),
        (&good, &["--record", "none.yaml"], 2, "cli/unreadable"),
    ];
    for (trust, more, exit, code) in cases {
        shop.put("trust.json", trust);
        let ran = |format: &str| shop.verify(&[&[FILE, "copy.checklist.json", "--format", format], more].concat());
        let told = ran("json").exits(exit);
        assert!(!told.err.is_empty(), "people are told as well: {told:?}");
        let out: Value = serde_json::from_str(&told.out).unwrap_or_else(|error| panic!("{error}: {told:?}"));
        let wrong: Vec<String> = validator.iter_errors(&out).map(|error| error.to_string()).collect();
        assert!(wrong.is_empty(), "{wrong:?}");
        assert_eq!((&out["trust"], out["files"].as_array().unwrap().len()), (&Value::Null, 2));
        for file in out["files"].as_array().unwrap() {
            assert_eq!(file["answer"], "not verified");
            let against = file["against"][0]["code"].as_str().unwrap();
            assert!(against.starts_with(code), "{code}: {file}");
            assert!(!file["against"][0]["cure"].as_str().unwrap().is_empty());
        }
        let lines = ran("csv").exits(exit).out;
        is_answered(&lines, code);
    }
    // Where it is the settings that are at fault, no less is said.
    shop.put("trust.json", &good);
    for settings in ["none.yaml", "bad.yaml"] {
        let ran = |format: &str| {
            shop.run(&["verify", FILE, "copy.checklist.json", "--format", format, "--settings", settings]).exits(2)
        };
        let out: Value = serde_json::from_str(&ran("json").out).unwrap();
        let wrong: Vec<String> = validator.iter_errors(&out).map(|error| error.to_string()).collect();
        assert!(wrong.is_empty(), "{wrong:?}");
        assert_eq!(out["files"].as_array().unwrap().len(), 2);
        let code = out["files"][0]["against"][0]["code"].as_str().unwrap();
        is_answered(&ran("csv").out, code);
        let sign = ["sign", "job.yaml", "--format", "json", "--settings", settings];
        let out: Value = serde_json::from_str(&shop.run(&sign).exits(2).out).unwrap();
        assert_eq!((&out["signed"], out["against"][0]["code"].as_str()), (&Value::Bool(false), Some(code)));
        assert_eq!(ran("text").out, "");
    }
}

/// Of both files it is said that they are not verified, and why.
fn is_answered(lines: &str, code: &str) {
    let rows: Vec<&str> = lines.lines().collect();
    assert_eq!(rows.len(), 3, "{lines}");
    let fields = rows[0].split(',').count();
    for row in &rows[1..] {
        assert!(row.contains("\"not verified\"") && row.contains(code), "{row}");
        assert_eq!(row.split("\",\"").count(), fields, "{row}");
    }
}
