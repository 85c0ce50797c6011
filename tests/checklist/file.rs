//! What a checklist holds, how large it is, and that its schema says the same.

use fillward::checklist::schemas;
use fillward::checklist::signing::{against, sign};
use fillward::checklist::verify::{Question, verify};
use fillward::vocabulary::Role;
use serde_json::{Value, json};

use crate::common;
use crate::shop::{self, Shop, codes, held, key, later, passing};

fn validator() -> jsonschema::Validator {
    let schema: Value = serde_json::from_str(schemas::CHECKLIST).unwrap();
    jsonschema::draft202012::options().should_validate_formats(true).build(&schema).unwrap()
}

#[test]
fn a_signed_pass_may_start() {
    let shop = Shop::new();
    let record = passing();
    let file = shop.signed(&record);
    let report = shop.verify(&file, &record);
    assert_eq!(codes(&report), [""; 0]);
    assert!(report.may_start());
    let [window] = &report.aims.each[..] else { panic!("{:?}", report.aims) };
    assert_eq!(
        (window.assembly.as_str(), window.target.to_record_text()),
        ("loader 4, left front", "60 psi".to_owned())
    );
    assert!(window.floor.base() < window.target.base() && window.target.base() < window.ceiling.base(), "{window:?}");
    let body = report.body.unwrap();
    assert_eq!((body.job.as_str(), body.verdict.word()), ("HT-0311", "PASS"));
    assert_eq!(body.inputs.record.text, record);
    assert_eq!(report.signatures[0].who, "Odile Varga");
}

/// RFC 8785 by two implementations and the plain serialiser: the payload of the file is the canonical form of its body.
#[test]
fn the_payload_is_canonical_by_every_implementation() {
    let shop = Shop::new();
    let file = shop.signed(&passing());
    let value: Value = serde_json::from_slice(&file).unwrap();
    let (_, envelope) = shop.make(&passing(), |_| {});
    assert_eq!(envelope.payload(), serde_json_canonicalizer::to_vec(&value["checklist"]).unwrap());
    assert_eq!(envelope.payload(), serde_jcs::to_vec(&value["checklist"]).unwrap());
    assert_eq!(envelope.payload(), serde_json::to_vec(&value["checklist"]).unwrap());
    let mut pretty = serde_json::to_vec_pretty(&value).unwrap();
    pretty.push(b'\n');
    assert_eq!(file, pretty);
}

#[test]
fn every_demo_job_gives_a_file_that_fits_the_schema_and_judges_the_same_again() {
    let shop = Shop::new();
    let validator = validator();
    let trust = shop.trust();
    for path in common::files("shared/demo/jobs", ".yaml") {
        let record = common::read(&path);
        let document = common::document(&path);
        let job = fillward::record::read(&document, shop.set.catalogue(), &common::demo_zone()).unwrap();
        if job.number().is_none() {
            continue;
        }
        let (body, mut envelope) = shop.make(&record, |_| {});
        sign(&mut envelope, &body, &key(shop::ODILE), Role::Supervisor, &trust, later(0)).unwrap();
        let file = envelope.to_file().unwrap();
        let value: Value = serde_json::from_slice(&file).unwrap();
        let wrong: Vec<String> = validator.iter_errors(&value).map(|error| error.to_string()).collect();
        assert!(wrong.is_empty(), "{path}: {wrong:?}");
        let question = Question { at: later(0), ..shop.question(&trust, &record) };
        let report = verify(&path, &file, &question);
        // A new tyre was under air for its stretch, and this file names no checklist of that.
        let new = record.contains("      state: new\n");
        let due = match path.contains("/pass-") {
            true if new => ["link-left-out"].as_slice(),
            true => &[],
            false => &["hold"],
        };
        assert_eq!(codes(&report), due, "{path}");
        assert_eq!(report.in_order(), due != ["link-left-out"], "{path}");
    }
}

#[test]
fn the_schema_refuses_what_the_reader_refuses() {
    let validator = validator();
    let file = Shop::new().signed(&passing());
    let good: Value = serde_json::from_slice(&file).unwrap();
    assert!(validator.is_valid(&good));
    for (pointer, value) in [
        ("/checklist/verdict", json!("MAYBE")),
        ("/checklist/format", json!("fillward-checklist/1")),
        ("/checklist/rehearsal", json!("no")),
        ("/checklist/judged_at", json!("yesterday")),
        ("/checklist/inputs/record/sha256", json!("00")),
        ("/checklist/required_roles", json!(["driver"])),
        ("/checklist/register", json!({})),
        ("/signatures/0/signature", json!("AA==")),
        ("/signatures/0", json!({"protected": "e30", "signature": "", "header": {}})),
    ] {
        let mut bad = good.clone();
        *bad.pointer_mut(pointer).unwrap() = value;
        assert!(!validator.is_valid(&bad), "{pointer}");
        let (bytes, _) = fillward::checklist::canonical::file("t", &bad).unwrap();
        assert!(!Shop::new().verify(&bytes, &passing()).in_order(), "{pointer}");
    }
}

#[test]
fn a_hold_is_written_and_signed_and_never_starts() {
    let shop = Shop::new();
    let record = held();
    let report = shop.verify(&shop.signed(&record), &record);
    assert_eq!(codes(&report), ["hold"]);
    assert!(report.in_order() && !report.may_start());
    let body = report.body.unwrap();
    assert_eq!(body.valid_until, None);
    let fault = body.findings.each_fault().into_iter().find(|fault| fault.rule == "tyre-fill/cold-material").unwrap();
    assert_eq!((fault.outcome.word(), fault.holds()), ("broken", true));
    assert!(!fault.title.is_empty() && !fault.shown.is_empty(), "{fault:?}");
}

#[test]
fn a_pass_holds_until_the_judgement_itself_changes() {
    let shop = Shop::new();
    let (body, _) = shop.make(&passing(), |_| {});
    let until = shop::at(body.valid_until.as_deref().unwrap());
    let document = fillward::document::Document::read("r", passing().as_bytes()).unwrap();
    let job = fillward::record::read(&document, shop.set.catalogue(), &common::demo_zone()).unwrap();
    let verdict = |seconds: i128| {
        let at = until.checked_add_seconds(fillward::units::Exact::new(seconds, 1).unwrap()).unwrap();
        common::judge(&shop.set, &job, at, &common::demo_zone()).verdict.word()
    };
    assert_eq!((verdict(0), verdict(1)), ("PASS", "HOLD"));
}

/// Whoever signs at the last second of a judgement signs in time, and a second later as a witness, who fills no role.
#[test]
fn a_judgement_is_signed_through_its_last_instant() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = passing();
    let (body, envelope) = shop.make(&record, |_| {});
    let until = shop::at(body.valid_until.as_deref().unwrap());
    let said = |seconds: i64| {
        let at = until.checked_add_seconds(fillward::units::Exact::from_int(seconds)).unwrap();
        let mut envelope = envelope.clone();
        envelope.sign(&key(shop::ODILE), Role::Supervisor, at).unwrap();
        let file = envelope.to_file().unwrap();
        codes(&verify("f", &file, &Question { at, ..shop.question(&trust, &record) }))
    };
    assert_eq!(said(0), [""; 0]);
    assert!(said(1).contains(&"too-few-signers"), "{:?}", said(1));
}

/// A record saved on another system: its line ends are part of its bytes and so of its digest.
#[test]
fn a_record_with_carriage_returns_or_accents_is_kept_byte_for_byte() {
    let shop = Shop::new();
    let record = passing().replace('\n', "\r\n").replacen("record: 1", "# signé à 中\r\nrecord: 1", 1);
    let file = shop.signed(&record);
    let report = shop.verify(&file, &record);
    assert_eq!(codes(&report), [""; 0]);
    assert_eq!(codes(&shop.verify(&file, &record.replace("\r\n", "\n"))), ["record-changed"]);
    assert_eq!(report.body.unwrap().inputs.record.text, record);
}

/// Names, marks and lots are the record's own text, in any alphabet.
#[test]
fn a_record_may_name_people_and_things_in_any_alphabet() {
    let shop = Shop::new();
    let mut record = passing();
    for (find, put) in
        [("Tobiah Renske", "Tobiáš Renský"), ("loader 4, left front", "nakladač 4, vlevo"), ("PS-118", "ПС-118")]
    {
        assert!(record.contains(find), "{find}");
        record = record.replace(find, put);
    }
    let report = shop.verify(&shop.signed(&record), &record);
    assert_eq!(codes(&report), [""; 0]);
    assert!(report.rejudged);
}

#[test]
fn nobody_signs_what_is_not_in_order() {
    let shop = Shop::new();
    let trust = shop.trust();
    let (body, envelope) = shop.make(&passing(), |_| {});
    let said = |kid: &str, role, at| -> Vec<&'static str> {
        against(&envelope, &body, kid, role, &trust, at).iter().map(|reason| reason.code().word()).collect()
    };
    let odile = key(shop::ODILE);
    let kid = odile.public().kid();
    assert_eq!(said(kid, Role::Supervisor, later(0)), [""; 0]);
    assert_eq!(said(kid, Role::SafetyOfficer, later(0)), ["checklist/wrong-role"]);
    assert_eq!(said(key(99).public().kid(), Role::Supervisor, later(0)), ["checklist/unknown-key"]);
    assert_eq!(said(kid, Role::Supervisor, later(-1)), ["checklist/signed-before-judged"]);
    assert_eq!(said(kid, Role::Supervisor, later(13 * 3600)), ["checklist/signed-too-late"]);
    let next_year = shop::at("2027-03-04T09:30:00-06:00");
    assert_eq!(
        said(kid, Role::Supervisor, next_year),
        ["checklist/key-expired", "checklist/trust-ended", "checklist/signed-too-late"]
    );
    let mut unapproved = shop.trust_body();
    unapproved.packs.clear();
    let trust = shop.next(&unapproved);
    let reasons = against(&envelope, &body, kid, Role::Supervisor, &trust, later(0));
    assert_eq!(reasons.iter().map(|reason| reason.code().word()).collect::<Vec<_>>(), ["checklist/pack-not-approved"]);
}

/// The digest of a pack is what stock tools print: checked against `sha256sum` where the machine has it.
#[test]
fn the_digest_of_the_base_pack_is_that_of_sha256sum() {
    let script = "cd rules/tyre-fill && LC_ALL=C sha256sum *.yaml | sha256sum";
    let output =
        std::process::Command::new("sh").args(["-c", script]).current_dir(common::project("")).output().unwrap();
    let printed = String::from_utf8(output.stdout).unwrap();
    assert_eq!(printed.split_whitespace().next(), Some(Shop::new().parts[0].sha256.as_str()));
}
