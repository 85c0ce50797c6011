//! Permits: who may permit what, and how a broken finding stops holding without ceasing to be broken.

use fillward::checklist::evidence::EvidenceLines;
use fillward::checklist::filled::{Filled, filled_words};
use fillward::checklist::permit::{self, BoundPermit, Permit};
use fillward::checklist::signing::sign;
use fillward::checklist::trust::TrustPart;
use fillward::checklist::verify::{Question, verify};
use fillward::checklist::{Reason, canonical};
use fillward::vocabulary::{HoldPoint, Role};
use serde_json::{Value, json};

use crate::shop::{self, MAIRE, ODILE, OWNER, Shop, WREN, codes, key, later, passing};

/// The passing job with its no-smoking signs missing: a rule that the safety officer may permit for eight hours.
fn no_signs() -> String {
    let record = passing();
    assert!(record.contains("no_smoking_signs: true"));
    record.replacen("no_smoking_signs: true", "no_smoking_signs: false", 1)
}

fn body(shop: &Shop) -> permit::PermitBody {
    permit::PermitBody {
        format: permit::FORMAT.to_owned(),
        hold_point: HoldPoint::BeforeFill,
        time_zone: "America/Chicago".to_owned(),
        trust: TrustPart::of(&shop.trust()),
        asked_by: "Odile Varga".to_owned(),
        evidence: evidence(shop),
        filled: vec![Filled {
            mark: Some("loader 4, left front".to_owned()),
            target_pressure: Some("60 psi".to_owned()),
            tyre_size: Some("17.5-25".to_owned()),
        }],
        job: "HT-0311".to_owned(),
        mark: None,
        pack: shop.parts[0].clone(),
        reason: "the signs are being reprinted; a watch stands at the door".to_owned(),
        rule: "no-smoking-signs-missing".to_owned(),
        subject: String::new(),
        things: super::things::of_rule(shop, &no_signs(), "no-smoking-signs-missing"),
        title: "No-smoking signs are missing".to_owned(),
        until: "2026-03-04T17:00:00-06:00".to_owned(),
    }
}

/// What the record shows of the missing signs.
fn evidence(shop: &Shop) -> EvidenceLines {
    let record = no_signs();
    let (held, _) = shop.make(&record, |_| {});
    let fault = held
        .findings
        .each_fault()
        .into_iter()
        .find(|fault| fault.rule == "tyre-fill/no-smoking-signs-missing")
        .unwrap();
    assert!(!fault.shown.is_empty());
    fault.evidence()
}

fn signed(body: &permit::PermitBody, seed: u8, role: Role) -> Permit {
    let mut permit = Permit::new(body).unwrap();
    permit.sign(&key(seed), role, shop::at("2026-03-04T09:00:00-06:00")).unwrap();
    permit
}

fn said(reasons: &[Reason]) -> Vec<&'static str> {
    reasons.iter().map(|reason| reason.code().word().trim_start_matches("checklist/")).collect()
}

#[test]
fn a_permitted_finding_stays_broken_and_lets_the_job_pass() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = no_signs();
    let (held, _) = shop.make(&record, |_| {});
    assert_eq!(held.verdict.word(), "HOLD");
    let permit = signed(&body(&shop), MAIRE, Role::SafetyOfficer);
    assert_eq!(said(&permit.check(&trust, Some(shop.packs()), later(0))), [""; 0]);
    let (checklist, mut envelope) = shop.make(&record, |choices| choices.permits = vec![&permit]);
    assert_eq!(checklist.verdict.word(), "PASS");
    let fault = &checklist.findings.each_fault()[0];
    assert_eq!((fault.outcome.word(), fault.permitted), ("broken", true));
    sign(&mut envelope, &checklist, &key(ODILE), Role::Supervisor, &trust, later(60)).unwrap();
    let file = envelope.to_file().unwrap();
    let question = shop.question(&trust, &record);
    assert!(verify("f", &file, &question).may_start());
    // The permit ends before the working day does, and with it the pass.
    let until = shop::at(checklist.valid_until.as_deref().unwrap());
    assert!(until < shop::at("2026-03-04T17:00:00-06:00"));
    // A permit in its own file is the same document.
    let again = Permit::read("p", &permit.envelope().to_file().unwrap()).unwrap();
    assert_eq!(again.body(), permit.body());
    // Taken out of the signed file, or changed in it, it is missed.
    let forged = |change: &dyn Fn(&mut Value)| {
        let mut value: Value = serde_json::from_slice(&file).unwrap();
        change(&mut value["checklist"]);
        codes(&verify("f", &canonical::file("f", &value).unwrap().0, &question))
    };
    assert!(forged(&|body| body["permits"] = json!([])).contains(&"contradiction"));
    let longer = forged(&|body| body["permits"][0]["permit"]["until"] = json!("2026-03-05T17:00:00-06:00"));
    assert_eq!(longer.iter().filter(|code| **code == "changed").count(), 2, "{longer:?}");
    // The key of the safety officer is revoked later on: the supervisor's signature bears out that the permit was there, and
    // nothing starts by it any more.
    let mut body = shop.trust_body();
    body.people[2].keys[0].revoked = Some(fillward::checklist::trust::Revocation {
        at: "2026-03-04T09:35:00-06:00".to_owned(),
        why: "left the shop".to_owned(),
    });
    let trust = shop.next(&body);
    let report = verify("f", &file, &Question { trust: &trust, ..question });
    assert_eq!((codes(&report), report.in_order()), (vec!["key-revoked-since"], true));
    assert!(!report.may_start());
}

#[test]
fn permits_that_do_not_count() {
    let shop = Shop::new();
    let trust = shop.trust();
    let packs = Some(shop.packs());
    let changed = |change: &dyn Fn(&mut permit::PermitBody)| {
        let mut body = body(&shop);
        change(&mut body);
        said(&signed(&body, MAIRE, Role::SafetyOfficer).check(&trust, packs, later(0)))
    };
    assert_eq!(changed(&|_| {}), [""; 0]);
    assert_eq!(changed(&|body| body.until = "2026-03-04T17:00:01-06:00".to_owned()), ["permit-too-long"]);
    assert_eq!(changed(&|body| body.until = "2026-03-04T09:30:00-06:00".to_owned()), ["permit-not-in-force"]);
    // One that is given once the job was judged does not count, but for what clocks may differ.
    let given = |seconds| {
        let mut permit = Permit::new(&body(&shop)).unwrap();
        permit.sign(&key(MAIRE), Role::SafetyOfficer, later(seconds)).unwrap();
        said(&permit.check(&trust, packs, later(0)))
    };
    assert_eq!((given(300), given(301)), (vec![], vec!["permit-afterwards", "permit-not-in-force"]));
    assert_eq!(changed(&|body| body.rule = "cold-material".to_owned()), ["permit-none"]);
    assert_eq!(changed(&|body| body.rule = "no-such-rule".to_owned()), ["permit-other"]);
    assert_eq!(changed(&|body| body.pack.sha256 = "0".repeat(64)), ["permit-other"]);
    assert_eq!(changed(&|body| body.asked_by = "Maire Lindqvist".to_owned()), ["permit-self"]);
    assert_eq!(changed(&|body| body.asked_by = "Nobody Known".to_owned()), ["unknown-person"]);
    let by = |seed, role, packs| said(&signed(&body(&shop), seed, role).check(&trust, packs, later(0)));
    assert_eq!(by(WREN, Role::Supervisor, packs), ["permit-role"]);
    assert_eq!(by(ODILE, Role::Supervisor, packs), ["permit-self"]);
    assert_eq!(by(MAIRE, Role::Supervisor, packs), ["wrong-role", "permit-role"]);
    assert_eq!(by(OWNER, Role::Owner, None), ["wrong-role"]);
    assert_eq!(by(99, Role::SafetyOfficer, packs), ["unknown-key"]);
    assert_eq!(said(&Permit::new(&body(&shop)).unwrap().check(&trust, packs, later(0))), ["not-signed"]);
    // Whoever asked may sign as well, in whatever order the two stand; anybody else may not, nor anybody twice, nor in
    // another's role.
    let and = |others: &[(u8, Role)]| {
        let mut permit = signed(&body(&shop), MAIRE, Role::SafetyOfficer);
        for (seed, role) in others {
            permit.sign(&key(*seed), *role, shop::at("2026-03-04T09:00:00-06:00")).unwrap();
        }
        (said(&permit.check(&trust, packs, later(0))), permit.asker_signed(&trust))
    };
    let asker = (ODILE, Role::Supervisor);
    assert_eq!(and(&[]), (vec![], false));
    assert_eq!(and(&[asker]), (vec![], true));
    assert_eq!(and(&[(ODILE, Role::Owner)]), (vec!["wrong-role"], false));
    assert_eq!(and(&[(WREN, Role::Supervisor)]), (vec!["permit-signers"], false));
    assert_eq!(and(&[(MAIRE, Role::SafetyOfficer)]), (vec!["permit-signers"], false));
    assert_eq!(and(&[asker, asker]), (vec!["permit-signers"], true));
    let mut asker_first = signed(&body(&shop), ODILE, Role::Supervisor);
    asker_first.sign(&key(MAIRE), Role::SafetyOfficer, shop::at("2026-03-04T09:00:00-06:00")).unwrap();
    assert_eq!(said(&asker_first.check(&trust, packs, later(0))), [""; 0]);
    let name_of = |kid: &str| trust.name_of(kid);
    assert_eq!(asker_first.permitter(name_of).map(|signer| name_of(&signer.kid)).as_deref(), Some("Maire Lindqvist"));
}

#[test]
fn permits_not_in_order_are_not_read() {
    let shop = Shop::new();
    let refused = |change: &dyn Fn(&mut permit::PermitBody)| {
        let mut body = body(&shop);
        change(&mut body);
        Permit::new(&body).unwrap_err().code().word()
    };
    let mut ended = body(&shop);
    ended.until = "2026-03-04T09:00:00-06:00".to_owned();
    let ended = signed(&ended, MAIRE, Role::SafetyOfficer);
    let reading = Permit::read("permit", &ended.envelope().to_file().unwrap()).unwrap_err();
    assert_eq!(reading.code().word(), "checklist/permit-content");
    assert_eq!(refused(&|body| body.until = "soon".to_owned()), "checklist/permit-content");
    assert_eq!(refused(&|body| body.until = "tomorrow".to_owned()), "checklist/permit-content");
    assert_eq!(refused(&|body| body.reason = " ".to_owned()), "checklist/permit-content");
    assert_eq!(refused(&|body| body.format = "fillward-permit/2".to_owned()), "checklist/permit-content");
    assert_eq!(refused(&|body| body.reason = "\u{202e}".to_owned()), "checklist/hidden-character");
}

#[test]
fn a_permit_for_something_else_sets_nothing_aside() {
    let shop = Shop::new();
    let record = no_signs();
    let document = fillward::document::Document::read("r", record.as_bytes()).unwrap();
    let job = fillward::record::read(&document, shop.set.catalogue(), &crate::common::demo_zone()).unwrap();
    let scene = fillward::engine::Scene::new(&shop.set, &job, later(0), &crate::common::demo_zone());
    let judgement = scene.judge();
    let verdict = |change: &dyn Fn(&mut permit::PermitBody)| {
        let mut body = body(&shop);
        change(&mut body);
        let permit = signed(&body, MAIRE, Role::SafetyOfficer);
        let bound = BoundPermit::new(&permit, shop.packs(), &job, &crate::common::demo_zone(), HoldPoint::default());
        permit::apply(&scene, &shop.parts, &judgement, &[bound]).verdict.word()
    };
    assert_eq!(verdict(&|_| {}), "PASS");
    assert_eq!(verdict(&|body| body.job = "HT-0312".to_owned()), "HOLD");
    assert_eq!(verdict(&|body| body.filled.clear()), "HOLD");
    assert_eq!(verdict(&|body| body.filled[0].target_pressure = None), "HOLD");
    assert_eq!(verdict(&|body| body.filled[0].tyre_size = Some("12-16.5".to_owned())), "HOLD");
    assert_eq!(verdict(&|body| body.filled.push(body.filled[0].clone())), "HOLD");
    assert_eq!(verdict(&|body| body.subject = "components.polyol".to_owned()), "HOLD");
    assert_eq!(verdict(&|body| body.mark = Some("G-2".to_owned())), "HOLD");
    assert_eq!(verdict(&|body| body.title = "Nothing much".to_owned()), "HOLD");
    assert_eq!(verdict(&|body| body.evidence.shown.clear()), "HOLD");
    assert_eq!(verdict(&|body| body.things.clear()), "HOLD");
    assert_eq!(verdict(&|body| body.evidence.applies = body.evidence.shown.clone()), "HOLD");
    assert_eq!(verdict(&|body| body.rule = "extinguisher-missing".to_owned()), "HOLD");
    assert_eq!(verdict(&|body| body.pack.sha256 = "0".repeat(64)), "HOLD");
    assert_eq!(verdict(&|body| body.until = "2026-03-04T09:30:00-06:00".to_owned()), "HOLD");
}

/// What is not shown cannot be permitted.
#[test]
fn missing_evidence_is_never_permitted() {
    let shop = Shop::new();
    let record =
        passing().lines().filter(|line| !line.contains("no_smoking_signs")).collect::<Vec<_>>().join("\n") + "\n";
    let permit = signed(&body(&shop), MAIRE, Role::SafetyOfficer);
    let document = fillward::document::Document::read("r", record.as_bytes()).unwrap();
    let job = fillward::record::read(&document, shop.set.catalogue(), &crate::common::demo_zone()).unwrap();
    let scene = fillward::engine::Scene::new(&shop.set, &job, later(0), &crate::common::demo_zone());
    let judgement = scene.judge();
    assert!(judgement.findings.iter().any(fillward::engine::Finding::holds));
    let bound = BoundPermit::new(&permit, shop.packs(), &job, &crate::common::demo_zone(), HoldPoint::default());
    assert!(!bound.fits());
    assert_eq!(permit::apply(&scene, &shop.parts, &judgement, &[bound]).verdict.word(), "HOLD");
}

/// A permit is told by the subject's mark, which the crew knows it by, and where there is none by its place in the record.
#[test]
fn a_permit_names_its_subject_as_the_crew_does() {
    let told = |mark: Option<&str>, subject: &str| {
        let (mark, subject) = (mark.map(str::to_owned), subject.to_owned());
        permit::PermitBody { mark, subject, ..body(&Shop::new()) }.subject_words()
    };
    assert_eq!(told(Some("loader 4, left front"), "assemblies[0]"), "loader 4, left front");
    assert_eq!(told(None, "assemblies[1]"), "assemblies[1]");
    assert_eq!(told(None, "components.side_a"), "side_a");
    assert_eq!(told(None, ""), "the job");
}

/// What a permit was given for, told tyre by tyre; what the record does not say is not left out.
#[test]
fn what_is_filled_is_told_tyre_by_tyre() {
    let one = |mark: Option<&str>, size: Option<&str>, pressure: Option<&str>| Filled {
        mark: mark.map(str::to_owned),
        target_pressure: pressure.map(str::to_owned),
        tyre_size: size.map(str::to_owned),
    };
    assert_eq!(filled_words(&[]), "nothing");
    let loader = one(Some("loader 4"), Some("17.5-25"), Some("60 psi"));
    assert_eq!(
        filled_words(std::slice::from_ref(&loader)),
        "1. “loader 4”, tyre size “17.5-25”, target pressure “60 psi”"
    );
    assert_eq!(
        filled_words(&[loader, one(None, None, None)]),
        "1. “loader 4”, tyre size “17.5-25”, target pressure “60 psi”; 2. without a mark, tyre size not recorded, target pressure not recorded"
    );
    // A mark that reads as two assemblies is one, in quotation marks that it cannot close.
    let odd = one(Some("a”, tyre size “17.5-25”; 2. “b"), None, None);
    let words = filled_words(&[odd]);
    assert_eq!(['“', '”'].map(|mark| words.matches(mark).count()), [1, 1], "{words}");
}

/// The law: a permit is asked for, given and relied on in this order, by the instants of its signatures, but for what clocks
/// may differ; in whatever order the two signatures stand. It runs from when it was asked for, and no longer than eight
/// hours.
#[test]
fn the_instants_of_a_permit_stand_in_order() {
    let shop = Shop::new();
    let (trust, packs) = (shop.trust(), Some(shop.packs()));
    let instants = [-28_800, -3600, -601, -600, -300, 0, 300, 301, 900];
    let until = later(1800);
    for asked in instants {
        for given in instants {
            for asker_first in [true, false] {
                let body = permit::PermitBody { until: until.to_record_text(), ..body(&shop) };
                let mut permit = Permit::new(&body).unwrap();
                let mut signing = [(ODILE, Role::Supervisor, asked), (MAIRE, Role::SafetyOfficer, given)];
                if !asker_first {
                    signing.reverse();
                }
                for (seed, role, seconds) in signing {
                    permit.sign(&key(seed), role, later(seconds)).unwrap();
                }
                let from = asked.min(given);
                let due = given >= asked - 300 && asked <= 300 && given <= 300 && 1800 - from <= 8 * 3600;
                let found = said(&permit.check(&trust, packs, later(0)));
                assert_eq!(found.is_empty(), due, "{asked} {given}: {found:?}");
                assert_eq!(found.contains(&"permit-before-asked"), given < asked - 300, "{asked} {given}: {found:?}");
            }
        }
    }
}
