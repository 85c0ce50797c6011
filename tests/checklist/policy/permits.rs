//! Permits in a checklist: for the fault that was permitted and no worse one, in their time, by somebody else.

use fillward::checklist::body::ChecklistBody;
use fillward::checklist::jws::Envelope;
use fillward::checklist::permit::{BoundPermit, Permit, PermitBody};
use fillward::checklist::signing::{against, sign};
use fillward::checklist::verify::{Question, verify};
use fillward::vocabulary::{HoldPoint, Role};
use serde_json::json;

use super::{BY_ODILE, resigned, said};
use crate::checklist::things::asked;
use crate::common;
use crate::shop::{self, MAIRE, ODILE, Shop, WREN, codes, key, later, passing};

/// The demo job with so much solvent in the bay: a rule that the safety officer may permit.
fn solvent(amount: &str) -> String {
    let record = passing();
    assert!(record.contains("solvent_on_hand: 2 gal"));
    record.replacen("solvent_on_hand: 2 gal", &format!("solvent_on_hand: {amount}"), 1)
}

/// A permit for what the checklist of a record says is broken, signed by this key in this role.
fn permit_for(shop: &Shop, record: &str, rule: &str, by: (u8, Role), asked_by: &str) -> Permit {
    let (held, _) = shop.make(record, |_| {});
    let fault = held.findings.each_fault().into_iter().find(|fault| fault.rule == format!("tyre-fill/{rule}")).unwrap();
    let body = PermitBody {
        asked_by: asked_by.to_owned(),
        until: "2026-03-04T10:20:00-06:00".to_owned(),
        ..asked(shop, &held, &fault)
    };
    let mut permit = Permit::new(&body).unwrap();
    permit.sign(&key(by.0), by.1, shop::at("2026-03-04T09:25:00-06:00")).unwrap();
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
    let record = solvent("11 gal");
    let permit = permit_for(&shop, &record, "solvent-excess", MAIRE_PERMITS, "Odile Varga");
    let (body, mut envelope) = permitted(&shop, &record, &permit);
    assert_eq!(body.verdict.word(), "PASS");
    sign(&mut envelope, &body, &key(ODILE), Role::Supervisor, &trust, later(60)).unwrap();
    let file = envelope.to_file().unwrap();
    assert_eq!(codes(&verify("f", &file, &shop.question(&trust, &record))), [""; 0]);
    // The supervisor writes 20 gal into the record and puts it, its digest and its evidence into the file.
    let worse = solvent("20 gal");
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
    use fillward::checklist::body::Making;
    use fillward::engine::Scene;
    let shop = Shop::new();
    let permit = permit_for(&shop, &solvent("11 gal"), "solvent-excess", MAIRE_PERMITS, "Odile Varga");
    let another = permit_for(&shop, &solvent("11 gal"), "solvent-excess", MAIRE_PERMITS, "Wren Castellane");
    let with = |record: &str, permits: &[&Permit]| {
        let document = fillward::document::Document::read("r", record.as_bytes()).unwrap();
        let job = fillward::record::read(&document, shop.set.catalogue(), &common::demo_zone()).unwrap();
        let scene = Scene::new(&shop.set, &job, later(0), &common::demo_zone());
        let judgement = scene.judge();
        let bound: Vec<BoundPermit<'_>> = permits
            .iter()
            .map(|permit| BoundPermit::new(permit, shop.packs(), &job, &common::demo_zone(), HoldPoint::default()))
            .collect();
        let making = Making {
            scene: &scene,
            judgement: &judgement,
            parts: &shop.parts,
            record_name: "record.yaml",
            record: record.as_bytes(),
            shop: None,
            permits: &bound,
            rehearsal: false,
            valid_until: Some(later(600)),
            required_roles: &[Role::Supervisor],
            trust: &shop.trust(),
            before: None,
        };
        making.envelope().map(|(body, _)| if body.passes() { "PASS" } else { "HOLD" })
    };
    let made = |record: &str| with(record, &[&permit]).unwrap_or_else(|reason| reason.code().word());
    assert_eq!(made(&solvent("11 gal")), "PASS");
    assert_eq!(made(&solvent("10.5 gal")), "checklist/permit-other-evidence");
    assert_eq!(made(&solvent("20 gal")), "checklist/permit-other-evidence");
    assert_eq!(made(&solvent("2 gal")), "checklist/permit-not-needed");
    // One fault needs one permit, and whoever gives two is told which is too much and why.
    assert_eq!(with(&solvent("11 gal"), &[&another]).ok(), Some("PASS"));
    let both = with(&solvent("11 gal"), &[&permit, &another]).unwrap_err();
    assert_eq!(both.code().word(), "checklist/permit-not-needed");
    assert!(both.to_string().contains("another permit for the same fault is given"), "{both}");
    // Where the fault is another one, the same two are not said to stand in each other's way.
    let neither = with(&solvent("20 gal"), &[&permit, &another]).unwrap_err();
    assert_eq!(neither.code().word(), "checklist/permit-other-evidence");
}

#[test]
fn permits_are_held_against_their_rules_and_the_present() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = solvent("11 gal");
    let permit = permit_for(&shop, &record, "solvent-excess", MAIRE_PERMITS, "Odile Varga");
    let (body, mut envelope) = permitted(&shop, &record, &permit);
    sign(&mut envelope, &body, &key(ODILE), Role::Supervisor, &trust, later(60)).unwrap();
    let file = envelope.to_file().unwrap();
    let question = shop.question(&trust, &record);
    let blind = Question { packs: None, rejudge: false, ..question };
    assert_eq!(codes(&verify("f", &file, &blind)), ["not-rejudged", "permits-not-checked"]);
    let ended = Question { at: later(50 * 60), ..question };
    assert_eq!(codes(&verify("f", &file, &ended)), ["lapsed", "permit-not-in-force"]);
    // The supervisor writes a later end over it.
    let longer = resigned(&envelope, BY_ODILE, |body| body["valid_until"] = json!("2026-03-04T11:00:00-06:00"));
    let report = verify("f", &longer, &ended);
    assert_eq!(codes(&report), ["judged-otherwise", "permit-not-in-force"]);
    // The key that permitted has ended since.
    let mut body = shop.trust_body();
    body.people[2].keys[0].until = "2026-03-04T09:40:00-06:00".to_owned();
    let ended = shop.next(&body);
    let report = verify("f", &file, &Question { trust: &ended, ..question });
    assert_eq!((codes(&report), report.in_order()), (vec!["key-ended"], true));
    // Revoked since, it is borne out by who signed the checklist before; it starts nothing, whatever
    // instant is asked about.
    let mut body = shop.trust_body();
    let (at, why) = ("2026-03-04T09:38:00-06:00".to_owned(), "left the shop".to_owned());
    body.people[2].keys[0].revoked = Some(fillward::checklist::trust::Revocation { at, why });
    let revoked = shop.next(&body);
    let as_of = |seconds, chosen| {
        let report = verify("f", &file, &Question { trust: &revoked, at: later(seconds), chosen, ..question });
        assert!(!report.may_start());
        (codes(&report), report.in_order())
    };
    assert_eq!(as_of(600, false), (vec!["key-revoked-since"], true));
    assert_eq!(as_of(600, true), (vec!["key-revoked-since", "not-now"], true));
    assert_eq!(as_of(479, true), (vec!["key-revoked-since", "not-now"], true));
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

/// A permit must last until the planned start, or the fill would begin under none.
#[test]
fn a_permit_that_ends_before_the_start_sets_nothing_aside() {
    let shop = Shop::new();
    let record = solvent("11 gal");
    let signed = permit_for(&shop, &record, "solvent-excess", MAIRE_PERMITS, "Odile Varga");
    let document = fillward::document::Document::read("r", record.as_bytes()).unwrap();
    let job = fillward::record::read(&document, shop.set.catalogue(), &common::demo_zone()).unwrap();
    let misfit = |until: &str| {
        let body = PermitBody { until: until.to_owned(), ..signed.body().clone() };
        let mut permit = Permit::new(&body).unwrap();
        permit.sign(&key(MAIRE_PERMITS.0), MAIRE_PERMITS.1, shop::at("2026-03-04T09:25:00-06:00")).unwrap();
        BoundPermit::new(&permit, shop.packs(), &job, &common::demo_zone(), HoldPoint::default())
            .misfit()
            .map(|reason| reason.code().word())
    };
    assert_eq!(misfit("2026-03-04T10:00:00-06:00"), Some("checklist/permit-not-in-force"));
    assert_eq!(misfit("2026-03-04T10:00:01-06:00"), None);
}
