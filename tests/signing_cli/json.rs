//! `fillward sign --format json`: what was signed, or why nothing was, for other programs.

use serde_json::{Value, json};

use crate::common;
use crate::shop::Shop;
use crate::shop::folder::{Folder, ODILE, Ran, TRUST, passing_but, with_key};

const FILE: &str = "job.checklist.json";

/// The one object that is printed, valid by the published schema; what it says and the exit code agree.
fn told(shop: &Shop<Folder>, ran: &Ran) -> Value {
    let told: Value = serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("{error}: {ran:?}"));
    let schema: Value = serde_json::from_str(&shop.run(&["schema", "signing"]).exits(0).out).unwrap();
    let validator = jsonschema::draft202012::options().should_validate_formats(true).build(&schema).unwrap();
    let wrong: Vec<String> = validator.iter_errors(&told).map(|error| error.to_string()).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
    assert_eq!(told["may_start"], json!(ran.exit == Some(0)), "{ran:?}");
    assert_eq!(told["against"] == json!([]), ran.exit == Some(0), "{ran:?}");
    assert_eq!(told["signed"], json!(!told["signatures"].as_array().unwrap().is_empty()));
    told
}

fn signed(shop: &Shop<Folder>, further: &[&str], exit: i32) -> Value {
    let ran = shop.sign(&[&["--format", "json"], further].concat()).exits(exit);
    told(shop, &ran)
}

fn codes(told: &Value) -> Vec<&str> {
    told["against"].as_array().unwrap().iter().map(|reason| reason["code"].as_str().unwrap()).collect()
}

#[test]
fn what_was_signed_is_one_object_and_people_read_beside_it() {
    let shop = Shop::new().in_folder();
    let ran = shop.sign(&["--format", "json"]).exits(0);
    for words in ["SIGNED. The fill may start until", "once signed by all, good until", "By the trust file of"] {
        assert!(ran.err.contains(words), "{words}: {ran:?}");
    }
    let told = told(&shop, &ran);
    let of_file: Value = serde_json::from_str(&shop.read(FILE)).unwrap();
    for member in ["job", "hold_point", "verdict", "judged_at", "valid_until", "rehearsal", "time_zone", "assemblies"] {
        assert_eq!(told[member], of_file["checklist"][member], "{member}");
    }
    assert_eq!(told["file"], FILE);
    assert_eq!(told["signatures"].as_array().unwrap().len(), 1);
    assert_eq!(
        (&told["signatures"][0]["who"], &told["signatures"][0]["counts"]),
        (&json!("Odile Varga"), &json!(true))
    );
    assert_eq!((&told["missing_roles"], &told["trust"]["shop"]), (&json!([]), &json!("Hollow Tarn")));
}

#[test]
fn whoever_has_still_to_sign_is_named() {
    let shop = Shop::with(&[&common::local_pack("two-people", "supervisor, safety-officer")]).in_folder();
    let told = signed(&shop, &["--pack", "local.yaml"], 1);
    assert_eq!((&told["signed"], &told["missing_roles"]), (&json!(true), &json!(["safety-officer"])));
    assert_eq!(codes(&told), ["checklist/too-few-signers"]);
}

#[test]
fn a_hold_is_told_with_its_rules_signed_or_not() {
    let shop = Shop::new().in_folder();
    shop.put("job.yaml", passing_but("reading: 75.2 degF", "reading: 68 degF"));
    let refused = signed(&shop, &[], 1);
    assert_eq!(
        (&refused["signed"], &refused["file"], &refused["verdict"]),
        (&json!(false), &Value::Null, &json!("HOLD"))
    );
    assert_eq!(codes(&refused), ["checklist/hold"]);
    assert_eq!(refused["held_by"][0]["rule"], "tyre-fill/cold-material");
    assert_eq!(refused["missing_roles"], json!(["supervisor"]));
    let kept = signed(&shop, &["--hold"], 1);
    assert_eq!((&kept["signed"], &kept["held_by"]), (&json!(true), &refused["held_by"]));
    assert_eq!(codes(&kept), ["checklist/hold"]);
}

/// Whatever keeps it from being signed is told by code, and by the same words beside it.
#[test]
fn why_nothing_was_signed_is_told() {
    let shop = Shop::new().in_folder();
    shop.put("broken.yaml", "record: [\n");
    let by = |arguments: &[&str], exit| {
        let all = [&["sign"], arguments, &["--yes", "--format", "json"], &TRUST].concat();
        let ran = shop.run(&with_key(&all, ODILE)).exits(exit);
        let told = told(&shop, &ran);
        assert_eq!((&told["signed"], &told["file"]), (&json!(false), &Value::Null));
        assert!(ran.err.contains("Nothing was signed."), "{ran:?}");
        codes(&told).join(" ")
    };
    assert_eq!(by(&["none.yaml"], 2), "cli/unreadable");
    assert!(by(&["broken.yaml"], 2).starts_with("document/"));
    assert_eq!(by(&["job.yaml", "--role", "safety-officer"], 3), "checklist/wrong-role");
    assert!(!shop.has(FILE));
}
