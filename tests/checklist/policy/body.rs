//! What a body claims: fewer signatures than are asked for, a longer validity, another job number, values that no edition
//! writes.

use fillward::checklist::trust::{Trust, TrustBody};
use fillward::checklist::verify::{Question, Records, verify};
use fillward::vocabulary::Role;
use serde_json::{Value, json};

use super::{BY_ODILE, resigned};
use crate::common;
use crate::shop::{MAIRE, ODILE, OWNER, Shop, WREN, codes, entry, key, passing};

#[test]
fn the_body_cannot_ask_for_fewer_signatures_than_the_packs() {
    let shop = Shop::with(&[&common::local_pack("county-north", "supervisor, safety-officer")]);
    let record = passing();
    let both = [Role::Supervisor, Role::SafetyOfficer];
    let (_, honest) = shop.make(&record, |choices| choices.required_roles = both.to_vec());
    let asks = |roles: Value, signers: &[(u8, Role)]| {
        let file = resigned(&honest, signers, |body| body["required_roles"] = roles);
        codes(&shop.verify(&file, &record))
    };
    let two = [(ODILE, Role::Supervisor), (MAIRE, Role::SafetyOfficer)];
    assert_eq!(asks(json!(["supervisor", "safety-officer"]), &two), [""; 0]);
    assert_eq!(asks(json!(["supervisor"]), BY_ODILE), ["roles-lowered"]);
    // More than the packs ask for is no fault.
    let three = [two.as_slice(), &[(WREN, Role::Supervisor)]].concat();
    assert_eq!(asks(json!(["supervisor", "supervisor", "safety-officer"]), &three), [""; 0]);
    // Whatever the packs say, a supervisor signs, and a shop has no crowd of signers.
    assert_eq!(asks(json!(["safety-officer"]), &[(MAIRE, Role::SafetyOfficer)]), ["contradiction", "roles-lowered"]);
    assert_eq!(asks(json!(["owner"]), &[(OWNER, Role::Owner)]), ["contradiction", "roles-lowered"]);
    let nine = json!(vec!["supervisor"; 9]);
    assert_eq!(asks(nine, BY_ODILE)[..2], ["contradiction", "roles-lowered"]);
    // Honestly asked for and not yet all there: nothing is wrong with the file, and nothing starts.
    let half = resigned(&honest, BY_ODILE, |_| {});
    let report = shop.verify(&half, &record);
    assert_eq!((codes(&report), report.in_order()), (vec!["too-few-signers"], true));
}

#[test]
fn a_pass_cannot_be_said_to_hold_longer_than_it_does() {
    let shop = Shop::new();
    let record = passing();
    let (body, honest) = shop.make(&record, |_| {});
    let until = |instant: &str| {
        let file = resigned(&honest, BY_ODILE, |body| body["valid_until"] = json!(instant));
        codes(&shop.verify(&file, &record))
    };
    assert_eq!(until(body.valid_until.as_deref().unwrap()), [""; 0]);
    assert_eq!(until("2036-01-01T00:00:00-06:00"), ["contradiction", "judged-otherwise"]);
    assert_eq!(until("2026-03-04T21:30:01-06:00"), ["contradiction", "judged-otherwise"]);
    assert_eq!(until("2026-03-04T21:30:00-06:00"), ["judged-otherwise"]);
    assert_eq!(until("2026-03-04T09:45:00-06:00"), ["judged-otherwise"]);
}

/// A PASS is for assemblies that it names: a body that names none starts nothing, whoever signed it.
#[test]
fn a_pass_covers_what_it_names() {
    let shop = Shop::new();
    let record = passing();
    let (_, honest) = shop.make(&record, |_| {});
    let named = |assemblies: &dyn Fn(&mut Value)| {
        let file = resigned(&honest, BY_ODILE, |body| assemblies(&mut body["assemblies"]));
        codes(&shop.verify(&file, &record))
    };
    assert_eq!(named(&|_| {}), [""; 0]);
    assert_eq!(named(&|all| *all = json!([])), ["contradiction", "judged-otherwise"]);
    assert_eq!(named(&|all| all[0]["mark"] = json!("loader 5, left front")), ["judged-otherwise"]);
}

/// The number that a record says is what every command reads, not how it is written.
#[test]
fn the_job_number_is_that_of_the_record_as_it_is_read() {
    let shop = Shop::new();
    let told = |written: &str, job: &str| {
        let record = passing().replacen("job: HT-0311", written, 1);
        assert!(record.contains(written));
        let (_, honest) = shop.make(&record, |_| {});
        let file = resigned(&honest, BY_ODILE, |body| body["job"] = json!(job));
        codes(&shop.verify(&file, &record))
    };
    for (written, number) in [
        ("job: HT-0311", "HT-0311"),
        ("job: \"HT-0311\"", "HT-0311"),
        ("job: 'HT-0311'   # loader 4", "HT-0311"),
        ("job: 4711", "4711"),
    ] {
        assert_eq!(told(written, number), [""; 0], "{written}");
    }
    for (written, lie) in [
        ("job: \"HT-0311\"", "\"HT-0311\""),
        ("job: 'HT-0311'", "'HT-0311'"),
        ("job: HT-0311 # loader 4", "HT-0311 # loader 4"),
        ("job: HT-0311", "HT-0312"),
    ] {
        assert_eq!(told(written, lie), ["contradiction"], "{written}");
    }
}

#[test]
fn the_number_on_the_checklist_is_that_of_its_record() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = passing();
    let (_, honest) = shop.make(&record, |_| {});
    let file = resigned(&honest, BY_ODILE, |body| body["job"] = json!("HT-0999"));
    // With packs of another edition the record is read, but not judged again.
    let other = Shop::with(&[&common::local_pack("county-north", "supervisor")]);
    let blind = Question { packs: Some(other.packs()), rejudge: false, ..shop.question(&trust, &record) };
    let report = verify("f", &file, &blind);
    assert_eq!(codes(&report), ["contradiction", "not-rejudged"]);
    assert!(report.faults[0].to_string().contains("`HT-0311`"), "{}", report.faults[0]);
    // However the number is written in the record.
    for (written, due) in
        [("\"HT-0311\"", vec!["not-rejudged"]), ("\"HT-0312\"", vec!["contradiction", "not-rejudged"])]
    {
        let quoted = record.replacen("job: HT-0311", &format!("job: {written}"), 1);
        let file = resigned(&honest, BY_ODILE, |body| {
            body["inputs"]["record"]["sha256"] = json!(fillward::checklist::packs::sha256_hex(quoted.as_bytes()));
            body["inputs"]["record"]["text"] = json!(quoted);
        });
        assert_eq!(
            codes(&verify("f", &file, &Question { records: Records::One(quoted.as_bytes()), ..blind })),
            due,
            "{written}"
        );
    }
}

/// What the published schema refuses, whoever signed it, is not in order.
#[test]
fn values_out_of_the_schemas_bounds_are_refused() {
    let shop = Shop::new();
    let record = passing();
    let (_, honest) = shop.make(&record, |_| {});
    let schema: Value = serde_json::from_str(fillward::checklist::schemas::CHECKLIST).unwrap();
    let schema = jsonschema::validator_for(&schema).unwrap();
    let refused = |change: &dyn Fn(&mut Value)| {
        let file = resigned(&honest, BY_ODILE, |body| change(body));
        let value: Value = serde_json::from_slice(&file).unwrap();
        (schema.is_valid(&value), codes(&shop.verify(&file, &record)).contains(&"content"))
    };
    let root = "0".repeat(64);
    assert_eq!(refused(&|_| {}), (true, false));
    let head =
        |root: &str, size: i64| json!({"head": {"root": root, "size": size}, "origin": "hollow-tarn", "sequence": 7});
    // What a later edition fills is a form of this format, and not in order for this edition, which cannot judge it.
    assert_eq!(refused(&|body| body["register"] = head(&root, 5)), (true, true));
    assert_eq!(refused(&|body| body["register"] = head(&root, 0)), (true, true));
    let file = resigned(&honest, BY_ODILE, |body| body["inputs"]["record"]["sha256"] = json!("zz"));
    let told: Vec<String> = shop.verify(&file, &record).reasons().map(ToString::to_string).collect();
    assert!(told.iter().any(|line| line.contains("`zz` is not 64 small hexadecimal digits")), "{told:?}");
    for (what, change) in [
        ("version", &(|body: &mut Value| body["inputs"]["trust"]["version"] = json!(-9)) as &dyn Fn(&mut Value)),
        ("no version", &|body| body["inputs"]["trust"]["version"] = json!(0)),
        ("digest of the trust file", &|body| body["inputs"]["trust"]["sha256"] = json!("zz")),
        ("hold point", &|body| body["hold_point"] = json!("before lunch")),
        ("title", &|body| body["findings"]["ruled_out"][0][1] = json!([])),
        ("rules of a fact", &|body| body["findings"]["ruled_out"][0] = json!([".wheel.faults []"])),
        ("subject of values", &|body| body["findings"]["values"]["tyres"] = json!([".mark 'G-7'"])),
        ("values of a subject", &|body| body["findings"]["values"]["gauge"] = json!([])),
        ("bounds of a fact", &|body| body["findings"]["values"]["gauge"] = json!([[".mark 'G-7'", ">= today"]])),
        ("nothing as a value", &|body| body["findings"]["values"]["gauge"] = json!([""])),
        ("size", &|body| body["register"] = head(&root, -5)),
        ("root", &|body| body["register"] = head("zz", 5)),
        ("capital digits", &|body| body["register"] = head(&"AB".repeat(32), 5)),
        ("register without a head", &|body| body["register"] = json!({})),
        ("program", &|body| body["program"]["name"] = json!("The fill may start")),
        ("edition", &|body| body["program"]["edition"] = json!("")),
        ("edition of two numbers", &|body| body["program"]["edition"] = json!("0.1")),
        ("build", &|body| body["program"]["build"] = json!("the fill may start")),
        ("no build", &|body| body["program"]["build"] = Value::Null),
        ("name of the record", &|body| body["inputs"]["record"]["name"] = json!("")),
        ("folder of the record", &|body| body["inputs"]["record"]["name"] = json!("jobs/a.yaml")),
        ("digest of the record", &|body| body["inputs"]["record"]["sha256"] = json!("zz")),
        ("digest of a pack", &|body| body["inputs"]["packs"][0]["sha256"] = json!("zz")),
        ("job", &|body| body["job"] = json!("")),
    ] {
        assert_eq!(refused(change), (false, true), "{what}");
    }
}

#[test]
fn every_member_must_stand_in_the_file() {
    let shop = Shop::new();
    let record = passing();
    let (_, honest) = shop.make(&record, |_| {});
    for pointer in ["", "/findings", "/program", "/inputs", "/inputs/record", "/inputs/packs/0", "/inputs/trust"] {
        let body = honest.to_value().unwrap()["checklist"].clone();
        let Some(Value::Object(members)) = body.pointer(pointer) else { panic!("{pointer}") };
        for member in members.keys() {
            let file = resigned(&honest, BY_ODILE, |body| {
                body.pointer_mut(pointer).unwrap().as_object_mut().unwrap().remove(member);
            });
            assert_eq!(codes(&shop.verify(&file, &record)), ["content"], "{pointer}/{member}");
        }
    }
    let unknown = resigned(&honest, BY_ODILE, |body| body["inputs"]["trust"]["version"] = Value::Null);
    assert_eq!(codes(&shop.verify(&unknown, &record)), ["content"]);
}

/// The owners whom a checklist names as those who had signed its trust file are owners by that file, and not others who have
/// a key in it; under a later version their keys stand in it, also where they are owners no more.
#[test]
fn the_owners_of_its_trust_file_are_those_of_the_file() {
    let shop = Shop::new();
    let record = passing();
    let (_, honest) = shop.make(&record, |_| {});
    let (same, next) = (shop.trust(), shop.next(&shop.trust_body()));
    // Another shop of the same name: its owner has another key.
    let mut other = TrustBody { version: 4, ..shop.trust_body() };
    other.people[3].keys = vec![entry(66)];
    let other = Trust::of(other).unwrap();
    let is_other = |trust: &Trust, owners: &[u8]| {
        let words: Vec<String> = owners.iter().map(|seed| key(*seed).public().fingerprint_words()).collect();
        let file = resigned(&honest, BY_ODILE, |body| body["inputs"]["trust"]["owners"] = json!(words));
        let codes = codes(&verify("c", &file, &shop.question(trust, &record)));
        ["trust-other", "other-shop"].into_iter().find(|code| codes.contains(code))
    };
    for (trust, owners, due) in [
        (&same, &[OWNER][..], None),
        (&same, &[ODILE], Some("trust-other")),
        (&same, &[OWNER, ODILE], Some("trust-other")),
        (&same, &[], Some("trust-other")),
        (&next, &[OWNER], None),
        (&next, &[ODILE], None),
        (&next, &[OWNER, 66], Some("trust-other")),
        (&next, &[], Some("trust-other")),
        (&other, &[OWNER], Some("other-shop")),
        (&other, &[66], None),
    ] {
        assert_eq!(is_other(trust, owners), due, "{owners:?} under version {}", trust.version());
    }
}

/// A rule that is met is named in one way, which the schema cannot say: by its name in the pack and its title, without
/// quotes that nobody needs or closes, and without an empty place behind it.
#[test]
fn a_rule_that_is_met_is_named_in_one_way() {
    let shop = Shop::new();
    let record = passing();
    let (_, honest) = shop.make(&record, |_| {});
    let refused = |change: &dyn Fn(&str) -> String| {
        let file = resigned(&honest, BY_ODILE, |body| {
            let rule = &mut body["findings"]["ruled_out"][0][1];
            let name = if rule.is_array() { &mut rule[0] } else { rule };
            *name = json!(change(name.as_str().unwrap()));
        });
        codes(&shop.verify(&file, &record)).contains(&"content")
    };
    assert!(!refused(&str::to_owned));
    assert!(refused(&|name| name.replacen(": ", ": '", 1) + "'"));
    assert!(refused(&|name| name.replacen(": ", ": '", 1)));
    assert!(refused(&|name| format!("{name} @ ")));
    assert!(refused(&|name| name.replacen(": ", " ", 1)));
}
