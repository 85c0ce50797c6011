//! `--record` of `fillward verify` and `countersign`: what nobody can match to a job is named, and starts nothing.

use serde_json::{Value, json};

use super::verify::{FILE, signed};
use crate::shop::Shop;
use crate::shop::folder::{Folder, WREN, countersigning, passing_but};

/// Beside the record as it was lies the one that stands now, which a slip of the pen makes unreadable.
fn with_a_slip() -> Shop<Folder> {
    let shop = signed();
    std::fs::create_dir(shop.path("records")).unwrap();
    shop.put("records/old.yaml", shop.read("job.yaml"));
    let now = passing_but("solvent_on_hand: 2 gal", "solvent_on_hand: 11 gal") + "  note: \"not closed\n";
    shop.put("records/now.yaml", now);
    shop
}

#[test]
fn a_record_that_nobody_can_read_is_named_and_starts_nothing() {
    let shop = with_a_slip();
    let cure = "if it is, put right what is wrong in it; if it is not, leave it out";
    let said = ["“records/now.yaml” may be the record of this job as it stands now", "it cannot be read", cure];
    let not_looked_at = "Not looked at: 1 file that may be a record: “records/now.yaml”";
    let folder = |format: &str| shop.verify(&[FILE, "--record", "records", "--format", format]).exits(1);
    folder("text").says(&said).says(&[not_looked_at]).names(&["record-unmatched"]);
    folder("table").says(&["record-unmatched", not_looked_at]);
    assert!(folder("csv").out.contains("\"record-unmatched\""));
    let told: Value = serde_json::from_str(&folder("json").out).unwrap();
    assert_eq!(told["not_looked_at"], json!(["records/now.yaml"]));
    assert_eq!(told["files"][0]["against"][0]["code"], "checklist/record-unmatched");
    let named = ["--record", "records/old.yaml", "--record", "records/now.yaml"];
    shop.verify(&[&[FILE][..], &named].concat()).exits(1).says(&said).never_says("Not looked at");
    // Nor does a second person sign beside it.
    let countersign = |records: &[&str]| {
        let mut arguments = countersigning(FILE, WREN);
        let place = arguments.iter().position(|argument| argument == "job.yaml").unwrap();
        arguments.splice(place - 1..=place, records.iter().map(|word| (*word).to_owned()));
        shop.run(&arguments)
    };
    countersign(&["--record", "records"]).exits(3).names(&["record-unmatched"]).says(&said);
    countersign(&named).exits(3).names(&["record-unmatched"]);
    // What has another number in it bars nothing, and is named.
    shop.put("records/now.yaml", "job: HT-0320\n  note: \"not closed\n");
    shop.verify(&[FILE, "--record", "records"]).exits(0).says(&[not_looked_at]);
    countersign(&["--record", "records"]).exits(0).says(&["not looked at: “records/now.yaml”"]);
}

/// A file that says the same as another one is told as its copy, for programs as for people.
#[test]
fn a_copy_is_told_with_the_file_that_it_is_of() {
    let shop = signed();
    std::fs::create_dir(shop.path("kept")).unwrap();
    for name in ["a", "b", "c"] {
        shop.put(&format!("kept/{name}.checklist.json"), shop.read(FILE));
    }
    let of = "kept/a.checklist.json";
    let told = |format: &str| shop.verify(&["kept", "--record", "job.yaml", "--format", format]).exits(0).out;
    let told_json: Value = serde_json::from_str(&told("json")).unwrap();
    let copies: Vec<&Value> = told_json["files"].as_array().unwrap().iter().map(|file| &file["copy"]).collect();
    assert_eq!(copies, [&Value::Null, &json!(of), &json!(of)]);
    let schema: Value = serde_json::from_str(&shop.run(&["schema", "verification"]).exits(0).out).unwrap();
    assert!(jsonschema::draft202012::is_valid(&schema, &told_json), "{told_json}");
    let csv = told("csv");
    let rows: Vec<Vec<&str>> = csv.lines().map(|line| line.trim_end_matches('"').split("\",\"").collect()).collect();
    let place = csv.lines().next().unwrap().split(',').position(|head| head == "copy").unwrap();
    assert_eq!(rows[1..].iter().map(|row| row[place]).collect::<Vec<_>>(), ["", of, of]);
}
