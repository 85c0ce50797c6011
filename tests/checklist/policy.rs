//! Holes that a supervisor with a good key could use: a body that asks for less than the packs and the trust file do, and
//! questions that are asked too narrowly to let a fill start.

use fillward::checklist::body::ChecklistBody;
use fillward::checklist::jws::{Envelope, Kind, Role};
use fillward::checklist::permit::{self, Permit};
use fillward::checklist::signing::{against, sign};
use fillward::checklist::trust::{Pins, Trust};
use fillward::checklist::verify::{Question, Verification, verify};
use fillward::checklist::{Reason, canonical};
use serde_json::{Value, json};

use crate::common;
use crate::shop::{self, MAIRE, ODILE, OWNER, Shop, WREN, codes, key, later, passing};

/// A rule that fails between five and ten minutes after the planned start, and between no two quarters of an hour.
const GAP: &str = "\
pack: 1
name: gap
edition: \"1\"
title: A gap between two looks
examples_at: 2026-03-04T09:30:00-06:00
rules:
  start-in-between:
    title: The planned start lies five to ten minutes back
    covers: job
    demands:
      any:
        - planned_start: {at_least: {moment: judgement, plus: -5 min}}
        - planned_start: {at_most: {moment: judgement, plus: -10 min}}
    why: Invented for a test.
    put_right: Wait.
    source: {kind: local code, cite: invented for this test}
    on_fault: hold
    permit: none
    examples:
      passes:
        - {planned_start: 2026-03-04T09:28:00-06:00}
      holds:
        - {planned_start: 2026-03-04T09:22:00-06:00}
        - {outcome: not shown}
";

/// A checklist changed as somebody with these keys would change it: everything else is in order and signed anew.
fn resigned(envelope: &Envelope, signers: &[(u8, Role)], change: impl FnOnce(&mut Value)) -> Vec<u8> {
    let mut value = envelope.to_value().unwrap();
    change(&mut value["checklist"]);
    let mut envelope = Envelope::new(Kind::Checklist, &value["checklist"]).unwrap();
    for (seed, role) in signers {
        envelope.sign(&key(*seed), *role, later(60)).unwrap();
    }
    envelope.to_file().unwrap()
}

const BY_ODILE: &[(u8, Role)] = &[(ODILE, Role::Supervisor)];

fn said(reasons: &[Reason]) -> Vec<&'static str> {
    reasons.iter().map(|reason| reason.code().word().trim_start_matches("checklist/")).collect()
}

fn faults(report: &Verification) -> Vec<&'static str> {
    said(&report.faults)
}

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
fn a_pack_that_must_judge_cannot_be_left_out() {
    let shop = Shop::with(&[&common::local_pack("county-north", "supervisor")]);
    let base = Shop::new();
    let record = passing();
    let trust = shop.trust();
    let (body, mut envelope) = base.make(&record, |choices| choices.trust = trust.clone());
    let kid = key(ODILE).public().kid().to_owned();
    assert_eq!(said(&against(&envelope, &body, &kid, Role::Supervisor, &trust, later(60))), ["pack-left-out"]);
    envelope.sign(&key(ODILE), Role::Supervisor, later(60)).unwrap();
    let file = envelope.to_file().unwrap();
    // Whoever verifies with the same packs that the forger used is told by the trust file.
    assert_eq!(codes(&verify("f", &file, &base.question(&trust, &record))), ["pack-left-out"]);
    let other = Question { rejudge: false, ..shop.question(&trust, &record) };
    assert_eq!(codes(&verify("f", &file, &other)), ["pack-left-out", "not-rejudged"]);
    // The owner may approve a pack that only some jobs need, and an approval has its time.
    let approved = |change: &dyn Fn(&mut fillward::checklist::trust::Approval)| {
        let mut body = shop.trust_body();
        change(&mut body.packs[1]);
        let trust = Shop::next(&body);
        codes(&verify("f", &file, &base.question(&trust, &record)))
    };
    assert_eq!(approved(&|_| {}), ["pack-left-out"]);
    assert_eq!(approved(&|pack| pack.required = false), [""; 0]);
    assert_eq!(approved(&|pack| pack.until = Some("2026-03-04T09:00:00-06:00".to_owned())), [""; 0]);
    assert_eq!(approved(&|pack| pack.from = "2026-03-04T09:30:01-06:00".to_owned()), [""; 0]);
    // The base pack judges every job, before all others, whatever the trust file says of it.
    let mut unasked = shop.trust_body();
    unasked.packs.iter_mut().for_each(|pack| pack.required = false);
    let unasked = Shop::next(&unasked);
    let question = Question { packs: None, rejudge: false, ..shop.question(&unasked, &record) };
    let (_, honest) = shop.make(&record, |_| {});
    let with = |packs: &dyn Fn(&mut Vec<Value>)| {
        let file = resigned(&honest, BY_ODILE, |body| packs(body["inputs"]["packs"].as_array_mut().unwrap()));
        faults(&verify("f", &file, &question))
    };
    assert_eq!(with(&|_| {}), [""; 0]);
    assert_eq!(with(&|packs| drop(packs.remove(0))), ["pack-left-out"]);
    assert_eq!(with(&|packs| packs.reverse()), ["pack-left-out"]);
    assert_eq!(with(&|packs| packs.push(packs[1].clone())), ["contradiction"]);
}

/// Left out in the trust file, `required` means yes.
#[test]
fn approved_packs_are_required_unless_the_owner_says_otherwise() {
    let body = Shop::new().trust_body();
    let mut value = serde_json::to_value(&body).unwrap();
    assert_eq!(value["packs"][0]["required"], true);
    value["packs"][0].as_object_mut().unwrap().remove("required");
    assert_eq!(serde_json::from_value::<fillward::checklist::trust::TrustBody>(value).unwrap(), body);
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

/// What the published schema refuses, whoever signed it, is not in order.
#[test]
fn values_out_of_the_schemas_bounds_are_refused() {
    let shop = Shop::new();
    let record = passing();
    let (_, honest) = shop.make(&record, |_| {});
    let schema: Value = serde_json::from_str(fillward::checklist::body::schema()).unwrap();
    let schema = jsonschema::validator_for(&schema).unwrap();
    let refused = |change: &dyn Fn(&mut Value)| {
        let file = resigned(&honest, BY_ODILE, |body| change(body));
        let value: Value = serde_json::from_slice(&file).unwrap();
        (schema.is_valid(&value), codes(&shop.verify(&file, &record)).contains(&"content"))
    };
    let root = "0".repeat(64);
    assert_eq!(refused(&|_| {}), (true, false));
    let head = |root: &str, size: i64| json!({"head": {"root": root, "size": size}, "origin": null, "sequence": 7});
    assert_eq!(refused(&|body| body["register"] = head(&root, 5)), (true, false));
    for (what, change) in [
        ("version", &(|body: &mut Value| body["inputs"]["trust"]["version"] = json!(-9)) as &dyn Fn(&mut Value)),
        ("no version", &|body| body["inputs"]["trust"]["version"] = json!(0)),
        ("digest of the trust file", &|body| body["inputs"]["trust"]["sha256"] = json!("zz")),
        ("hold point", &|body| body["hold_point"] = json!("before lunch")),
        ("title", &|body| body["findings"]["met"]["stand-off-short"] = json!([])),
        ("size", &|body| body["register"] = head(&root, -5)),
        ("root", &|body| body["register"] = head("zz", 5)),
        ("capital digits", &|body| body["register"] = head(&"AB".repeat(32), 5)),
        ("sequence", &|body| body["register"]["sequence"] = json!(-1)),
        ("digest of the record", &|body| body["inputs"]["record"]["sha256"] = json!("zz")),
        ("digest of a pack", &|body| body["inputs"]["packs"][0]["sha256"] = json!("zz")),
        ("job", &|body| body["job"] = json!("")),
    ] {
        assert_eq!(refused(change), (false, true), "{what}");
    }
}

#[test]
fn a_job_that_does_not_pass_now_does_not_start_now() {
    let shop = Shop::with(&[GAP]);
    let record =
        passing().replacen("planned_start: 2026-03-04T10:00:00-06:00", "planned_start: 2026-03-04T09:28:00-06:00", 1);
    let trust = shop.trust();
    let (body, mut envelope) = shop.make(&record, |_| {});
    assert_eq!(body.verdict, "PASS", "{:?}", body.findings.faults);
    sign(&mut envelope, &body, &key(ODILE), Role::Supervisor, &trust, later(60)).unwrap();
    let file = envelope.to_file().unwrap();
    let at = |seconds| verify("f", &file, &Question { at: later(seconds), ..shop.question(&trust, &record) });
    assert!(at(60).may_start());
    // It passes again later; what was signed has ended by then.
    for seconds in [6 * 60, 15 * 60] {
        let report = at(seconds);
        assert_eq!((codes(&report), report.in_order()), (vec!["lapsed"], true));
    }
    let until = shop::at(body.valid_until.as_deref().unwrap());
    let verdict = |seconds: i64| {
        let then = until.checked_add_seconds(fillward::units::Exact::from_int(seconds)).unwrap();
        shop.make(&record, |choices| choices.at = then).0.verdict
    };
    assert_eq!((verdict(0).as_str(), verdict(1).as_str()), ("PASS", "HOLD"));
}

#[test]
fn judging_again_needs_no_asking() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = shop::held();
    let (_, honest) = shop.make(&record, |_| {});
    let lie = resigned(&honest, BY_ODILE, |body| {
        body["verdict"] = json!("PASS");
        body["valid_until"] = json!("2026-03-04T12:00:00-06:00");
        body["findings"]["faults"] = json!([]);
    });
    let unasked = Question { rejudge: false, ..shop.question(&trust, &record) };
    let report = verify("f", &lie, &unasked);
    assert_eq!(codes(&report), ["judged-otherwise"]);
    assert!(!report.rejudged);
    // Without packs the lie is not seen, and does not start a fill either.
    let blind = Question { packs: None, ..unasked };
    assert_eq!(codes(&verify("f", &lie, &blind)), ["not-rejudged"]);
    assert_eq!(codes(&verify("f", &lie, &Question { rejudge: true, ..blind })), ["not-judgeable"]);
    // Nor with packs that are not those of the checklist.
    let other = Shop::with(&[&common::local_pack("county-north", "supervisor")]);
    let wrong = Question { packs: Some(other.packs()), ..unasked };
    assert_eq!(codes(&verify("f", &lie, &wrong)), ["not-rejudged"]);
    assert_eq!(codes(&verify("f", &lie, &Question { rejudge: true, ..wrong })), ["other-packs"]);
    let record = passing();
    assert!(
        verify("f", &shop.signed(&record), &Question { rejudge: false, ..shop.question(&trust, &record) }).rejudged
    );
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
            codes(&verify("f", &file, &Question { record: Some(quoted.as_bytes()), ..blind })),
            due,
            "{written}"
        );
    }
}

#[test]
fn without_the_owners_key_nothing_starts() {
    let shop = Shop::new();
    let record = passing();
    let bytes = Shop::trust_file(&shop.trust_body());
    let trust = Trust::open("t", &bytes, &Pins::default()).unwrap();
    let report = verify("f", &shop.signed(&record), &shop.question(&trust, &record));
    assert_eq!((codes(&report), report.in_order()), (vec!["trust-unpinned"], true));
}

#[test]
fn another_instant_than_now_never_starts() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = passing();
    let file = shop.signed(&record);
    let then = Question { chosen: true, ..shop.question(&trust, &record) };
    let report = verify("f", &file, &then);
    assert_eq!((codes(&report), report.may_start(), report.could_have_started()), (vec!["not-now"], false, true));
    assert!(!verify("f", &file, &Question { at: later(13 * 3600), ..then }).could_have_started());
    assert!(!verify("f", &file, &Question { chosen: false, ..then }).could_have_started());
    // Looking back with the latest trust file, which was made afterwards, is what an auditor does.
    let mut body = shop.trust_body();
    (body.version, body.made_at) = (4, "2026-05-01T08:00:00-06:00".to_owned());
    let latest = Shop::next(&body);
    assert!(verify("f", &file, &Question { trust: &latest, ..then }).could_have_started());
    assert_eq!(codes(&verify("f", &file, &Question { trust: &latest, chosen: false, ..then })), ["clock-behind"]);
}

#[test]
fn every_member_must_stand_in_the_file() {
    let shop = Shop::new();
    let record = passing();
    let (_, honest) = shop.make(&record, |_| {});
    for pointer in
        ["", "/register", "/findings", "/program", "/inputs", "/inputs/record", "/inputs/packs/0", "/inputs/trust"]
    {
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

#[test]
fn an_owner_signs_when_the_trust_file_is_made_and_not_in_the_future() {
    let shop = Shop::new();
    let record = passing();
    let body = shop.trust_body();
    let open = |seconds: i128| {
        let mut envelope = Envelope::new(Kind::Trust, &body).unwrap();
        let made_at = shop::at(&body.made_at);
        let at = made_at.checked_add_seconds(fillward::units::Exact::new(seconds, 1).unwrap()).unwrap();
        envelope.sign(&key(OWNER), Role::Owner, at).unwrap();
        Trust::open("t", &envelope.to_file().unwrap(), &Shop::pins())
    };
    assert_eq!(said(&open(-301).unwrap_err()), ["signed-before-made", "trust-not-by-owner", "trust-not-by-owner"]);
    assert!(open(-300).is_ok());
    let ahead = open(100 * 86_400).unwrap();
    assert_eq!(codes(&verify("f", &shop.signed(&record), &shop.question(&ahead, &record))), ["signed-ahead"]);
    let (body, envelope) = shop.make(&record, |_| {});
    let kid = key(ODILE).public().kid().to_owned();
    assert_eq!(said(&against(&envelope, &body, &kid, Role::Supervisor, &ahead, later(60))), ["signed-ahead"]);
}

/// The demo job with people this far from the cage: a rule that the safety officer may permit.
fn stand_off(distance: &str) -> String {
    let record = passing();
    assert!(record.contains("stand_off: 12 ft"));
    record.replacen("stand_off: 12 ft", &format!("stand_off: {distance}"), 1)
}

/// A permit for what the checklist of a record says is broken, signed by this key in this role.
fn permit_for(shop: &Shop, record: &str, rule: &str, by: (u8, Role), asked_by: &str) -> Permit {
    let (held, _) = shop.make(record, |_| {});
    let fault = held.findings.faults.iter().find(|fault| fault.rule == format!("tyre-fill/{rule}")).unwrap();
    let body = permit::PermitBody {
        format: permit::FORMAT.to_owned(),
        asked_by: asked_by.to_owned(),
        evidence: fault.evidence(),
        filled: shop.filled(record),
        from: "2026-03-04T09:25:00-06:00".to_owned(),
        job: held.job,
        mark: fault.mark.clone(),
        pack: shop.parts[0].clone(),
        reason: "a wall stands between the cage and the people".to_owned(),
        rule: rule.to_owned(),
        subject: fault.subject.clone(),
        title: fault.title.clone(),
        until: "2026-03-04T09:50:00-06:00".to_owned(),
    };
    let mut permit = Permit::new(&body).unwrap();
    permit.envelope_mut().sign(&key(by.0), by.1, shop::at("2026-03-04T09:25:00-06:00")).unwrap();
    permit
}

const MAIRE_PERMITS: (u8, Role) = (MAIRE, Role::SafetyOfficer);

fn permitted(shop: &Shop, record: &str, permit: &Permit) -> (ChecklistBody, Envelope) {
    shop.make(record, |choices| choices.permits = vec![permit])
}

#[test]
fn a_permit_does_not_cover_a_worse_fault_of_its_rule() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = stand_off("9 ft");
    let permit = permit_for(&shop, &record, "stand-off-short", MAIRE_PERMITS, "Odile Varga");
    let (body, mut envelope) = permitted(&shop, &record, &permit);
    assert_eq!(body.verdict, "PASS");
    sign(&mut envelope, &body, &key(ODILE), Role::Supervisor, &trust, later(60)).unwrap();
    let file = envelope.to_file().unwrap();
    assert_eq!(codes(&verify("f", &file, &shop.question(&trust, &record))), [""; 0]);
    // The supervisor writes 2 ft into the record and puts it, its digest and its evidence into the file.
    let worse = stand_off("2 ft");
    let (held, _) = shop.make(&worse, |_| {});
    let forged = resigned(&envelope, BY_ODILE, |body| {
        body["inputs"]["record"] = json!(held.inputs.record);
        body["figures"] = json!(held.figures);
        body["findings"] = serde_json::to_value(&held.findings).unwrap();
        body["findings"]["faults"][0]["permitted"] = json!(true);
    });
    let report = verify("f", &forged, &shop.question(&trust, &worse));
    assert_eq!(codes(&report), ["permit-other-evidence", "judged-otherwise"]);
}

/// Making refuses it too, so that nobody is shown a PASS that would not stand.
#[test]
fn a_checklist_is_not_made_with_a_permit_for_other_evidence() {
    use fillward::checklist::body::{Making, RegisterPart};
    use fillward::checklist::permit::Bound;
    use fillward::engine::Scene;
    let shop = Shop::new();
    let permit = permit_for(&shop, &stand_off("9 ft"), "stand-off-short", MAIRE_PERMITS, "Odile Varga");
    let made = |record: &str| {
        let document = fillward::document::Document::read("r", record.as_bytes()).unwrap();
        let job = fillward::record::read(&document, shop.set.catalogue(), &common::demo_zone()).unwrap();
        let scene = Scene::new(&shop.set, &job, later(0), &common::demo_zone());
        let judgement = scene.judge();
        let making = Making {
            scene: &scene,
            judgement: &judgement,
            parts: &shop.parts,
            record: record.as_bytes(),
            permits: &[Bound::new(&permit, shop.packs(), &job, &common::demo_zone())],
            rehearsal: false,
            valid_until: Some(later(600)),
            required_roles: &[Role::Supervisor],
            trust: &shop.trust(),
            register: RegisterPart::default(),
        };
        making
            .envelope()
            .map_or_else(|reason| reason.code().word(), |(body, _)| if body.passes() { "PASS" } else { "HOLD" })
    };
    assert_eq!(made(&stand_off("9 ft")), "PASS");
    assert_eq!(made(&stand_off("9.5 ft")), "checklist/permit-other-evidence");
    assert_eq!(made(&stand_off("2 ft")), "checklist/permit-other-evidence");
    assert_eq!(made(&stand_off("12 ft")), "checklist/permit-not-needed");
}

#[test]
fn permits_are_held_against_their_rules_and_the_present() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = stand_off("9 ft");
    let permit = permit_for(&shop, &record, "stand-off-short", MAIRE_PERMITS, "Odile Varga");
    let (body, mut envelope) = permitted(&shop, &record, &permit);
    sign(&mut envelope, &body, &key(ODILE), Role::Supervisor, &trust, later(60)).unwrap();
    let file = envelope.to_file().unwrap();
    let question = shop.question(&trust, &record);
    let blind = Question { packs: None, rejudge: false, ..question };
    assert_eq!(codes(&verify("f", &file, &blind)), ["not-rejudged", "permits-not-checked"]);
    let ended = Question { at: later(20 * 60), ..question };
    assert_eq!(codes(&verify("f", &file, &ended)), ["lapsed", "permit-not-in-force"]);
    // The supervisor writes a later end over it.
    let longer = resigned(&envelope, BY_ODILE, |body| body["valid_until"] = json!("2026-03-04T11:00:00-06:00"));
    let report = verify("f", &longer, &ended);
    assert_eq!(codes(&report), ["judged-otherwise", "permit-not-in-force"]);
    // The key that permitted has ended since.
    let mut body = shop.trust_body();
    body.people[2].keys[0].until = "2026-03-04T09:40:00-06:00".to_owned();
    let ended = Shop::next(&body);
    let report = verify("f", &file, &Question { trust: &ended, ..question });
    assert_eq!((codes(&report), report.in_order()), (vec!["key-ended"], true));
    // Revoked since, it is doubtful at present, and was good by what was known before.
    let mut body = shop.trust_body();
    let (at, why) = ("2026-03-04T09:38:00-06:00".to_owned(), "left the shop".to_owned());
    body.people[2].keys[0].revoked = Some(fillward::checklist::trust::Revocation { at, why });
    let revoked = Shop::next(&body);
    let as_of = |seconds, chosen| {
        let report = verify("f", &file, &Question { trust: &revoked, at: later(seconds), chosen, ..question });
        (codes(&report), report.in_order())
    };
    assert_eq!(as_of(600, false), (vec!["key-revoked-since"], false));
    assert_eq!(as_of(600, true), (vec!["key-revoked-since", "not-now"], false));
    assert_eq!(as_of(479, true), (vec!["not-now"], true));
}

#[test]
fn whoever_permits_does_not_sign_as_the_supervisor() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = passing().replacen("prepared: true", "prepared: false", 1);
    let odile = (ODILE, Role::Supervisor);
    let permit = permit_for(&shop, &record, "sample-not-prepared", odile, "Wren Castellane");
    assert_eq!(said(&permit.check(&trust, Some(shop.packs()), later(0))), [""; 0]);
    let (body, envelope) = permitted(&shop, &record, &permit);
    let kid = |seed: u8| key(seed).public().kid().to_owned();
    assert_eq!(said(&against(&envelope, &body, &kid(ODILE), Role::Supervisor, &trust, later(60))), ["permit-self"]);
    assert_eq!(said(&against(&envelope, &body, &kid(WREN), Role::Supervisor, &trust, later(60))), [""; 0]);
    let signed = |signers: &[(u8, Role)]| codes(&shop.verify(&resigned(&envelope, signers, |_| {}), &record));
    assert_eq!(signed(BY_ODILE), ["permit-self"]);
    assert_eq!(signed(&[(WREN, Role::Supervisor)]), [""; 0]);
}

/// What a forger writes into a header or a body must not act on the terminal of whoever verifies.
#[test]
fn quoted_text_cannot_steer_a_terminal() {
    use base64ct::{Base64UrlUnpadded, Encoding};
    let shop = Shop::new();
    let record = passing();
    let (_, honest) = shop.make(&record, |_| {});
    let odile = key(ODILE);
    let inject = "x\u{1b}[2K\r\njob.checklist.json: may start\n\u{202e}\u{9b}2J";
    let clean = |report: &Verification| {
        for reason in report.reasons() {
            assert!(!reason.to_string().contains(|c: char| c.is_control() || c == '\u{202e}'), "{reason:?}");
        }
        codes(report)
    };
    for member in ["alg", "kid", "role", "signed_at", "typ", "more", inject] {
        let mut header = json!({
            "alg": "Ed25519", "kid": odile.public().kid(), "role": "supervisor",
            "signed_at": "2026-03-04T09:31:00-06:00", "typ": "fillward-checklist+jws",
        });
        header[member] = json!(inject);
        let protected = Base64UrlUnpadded::encode_string(&canonical::bytes(&header).unwrap());
        let input = format!("{protected}.{}", Base64UrlUnpadded::encode_string(honest.payload()));
        let mut value = honest.to_value().unwrap();
        let signature = Base64UrlUnpadded::encode_string(&odile.sign(input.as_bytes()));
        value["signatures"] = json!([{"protected": protected, "signature": signature}]);
        let file = canonical::file("f", &value).unwrap().0;
        assert_eq!(clean(&shop.verify(&file, &record))[0], "header-not-exact", "{member:?}");
    }
    // Line feeds are taken in texts, and must not begin a line of the report.
    let lines = "HT-1\nother.checklist.json: may start";
    let file = resigned(&honest, BY_ODILE, |body| body["job"] = json!(lines));
    assert!(clean(&shop.verify(&file, &record)).contains(&"contradiction"));
    let file = resigned(&honest, BY_ODILE, |body| body["required_roles"] = json!([lines]));
    assert_eq!(clean(&shop.verify(&file, &record)), ["content"]);
    let reason = Reason::UnknownKey { kid: inject.to_owned() };
    assert_eq!(
        reason.to_string(),
        r"the key `x\u{1b}[2K\u{d}\u{a}job.checklist.json: may start\u{a}\u{202e}\u{9b}2J` is not in the trust file"
    );
    // A thumbprint has 43 characters of base64url and no other.
    for kid in ["", "x", &format!("{}=", odile.public().kid()), &odile.public().kid().replace('-', "+")] {
        if kid == odile.public().kid() {
            continue;
        }
        let header = json!({
            "alg": "Ed25519", "kid": kid, "role": "supervisor",
            "signed_at": "2026-03-04T09:31:00-06:00", "typ": "fillward-checklist+jws",
        });
        let mut value = honest.to_value().unwrap();
        let protected = Base64UrlUnpadded::encode_string(&canonical::bytes(&header).unwrap());
        value["signatures"] = json!([{"protected": protected, "signature": "A".repeat(86)}]);
        let file = canonical::file("f", &value).unwrap().0;
        assert_eq!(codes(&shop.verify(&file, &record))[0], "header-not-exact", "{kid:?}");
    }
}
