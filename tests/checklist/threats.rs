//! Each threat with an attack: files as someone would change them who has a text editor, old files, or even a key.

use base64ct::Encoding;
use fillward::checklist::TrustReason;
use fillward::checklist::jws::Envelope;
use fillward::checklist::packs::PackPart;
use fillward::checklist::permit::{self, Permit};
use fillward::checklist::signing::sign;
use fillward::checklist::trust::{Pins, Revocation, Trust, TrustPart};
use fillward::checklist::verify::{Intended, Question, Records, verify};
use fillward::checklist::{Reason, canonical};
use fillward::vocabulary::{HoldPoint, Kind, Role};
use serde_json::{Value, json};

use crate::shop::{self, MAIRE, ODILE, OWNER, Shop, codes, key, later, passing};

/// Changes a file and writes it in exact form again, as a careful forger would.
pub(super) fn forged(file: &[u8], change: impl FnOnce(&mut Value)) -> Vec<u8> {
    let mut value: Value = serde_json::from_slice(file).unwrap();
    change(&mut value);
    canonical::file("forged", &value).unwrap().0
}

pub(super) fn setup() -> (Shop, String, Vec<u8>) {
    let shop = Shop::new();
    let record = passing();
    let file = shop.signed(&record);
    (shop, record, file)
}

#[test]
fn replayed_for_another_job_or_record() {
    let (shop, record, file) = setup();
    let trust = shop.trust();
    let question =
        Question { meant: Intended { job: Some("HT-0999"), ..Intended::default() }, ..shop.question(&trust, &record) };
    assert_eq!(codes(&verify("f", &file, &question)), ["other-job"]);
    let other = crate::common::read("shared/demo/jobs/pass-grader-vacuum-drilled.yaml");
    assert_eq!(codes(&shop.verify(&file, &other)), ["record-changed"]);
    let renamed = forged(&file, |value| value["checklist"]["job"] = json!("HT-0999"));
    assert_eq!(codes(&shop.verify(&renamed, &record)), ["changed", "contradiction", "too-few-signers"]);
}

#[test]
fn the_record_edited_after_signing() {
    let (shop, record, file) = setup();
    let edited = record.replacen("stand_off: 12 ft", "stand_off: 13 ft", 1);
    let report = shop.verify(&file, &edited);
    assert_eq!(codes(&report), ["record-changed"]);
    let line = record.lines().position(|line| line.contains("stand_off: 12 ft")).unwrap() + 1;
    assert!(
        report.bars[0].to_string().contains(&format!("first in line {line}: `air_stage.stand_off` was 12 ft")),
        "{}",
        report.bars[0]
    );
    assert!(report.in_order() && !report.may_start());
    // The record edited inside the file as well, with and without its digest.
    let inside = forged(&file, |value| value["checklist"]["inputs"]["record"]["text"] = json!(edited));
    assert_eq!(codes(&shop.verify(&inside, &edited))[..3], ["record-digest", "changed", "judged-otherwise"]);
    let trust = shop.trust();
    let without = Question { records: Records::None, ..shop.question(&trust, &record) };
    let report = verify("f", &file, &without);
    assert_eq!(codes(&report), ["record-not-given"]);
    assert!(report.in_order() && !report.may_start());
}

#[test]
fn a_pack_swapped_or_edited_under_its_name() {
    let (shop, record, file) = setup();
    let mut edited = shop.parts.clone();
    let last = if edited[0].sha256.ends_with('0') { "1" } else { "0" };
    edited[0].sha256.replace_range(63.., last);
    // The shop's pack was edited after the safety officer approved it.
    let mut body = shop.trust_body();
    body.packs[0].sha256.clone_from(&edited[0].sha256);
    let trust = shop.next(&body);
    let question = shop.question(&trust, &record);
    assert_eq!(codes(&verify("f", &file, &question)), ["pack-not-approved"]);
    // The packs given are not those that judged.
    let trust = shop.trust();
    let mut question = shop.question(&trust, &record);
    question.packs = Some(fillward::checklist::packs::Packs { set: &shop.set, parts: &edited });
    assert_eq!(codes(&verify("f", &file, &question)), ["other-packs"]);
    // The forger writes another digest into the file.
    let renamed = forged(&file, |value| value["checklist"]["inputs"]["packs"][0]["sha256"] = json!(edited[0].sha256));
    assert!(codes(&shop.verify(&renamed, &record)).contains(&"changed"));
    // An edition withdrawn since does not make the old file doubtful, but nothing starts by it.
    let mut body = shop.trust_body();
    body.packs[0].until = Some("2026-03-04T09:35:00-06:00".to_owned());
    let trust = shop.next(&body);
    let report = verify("f", &file, &shop.question(&trust, &record));
    assert_eq!(codes(&report), ["pack-approval-over"]);
    assert!(report.in_order());
}

#[test]
fn back_dated_and_future_dated_signatures() {
    let (shop, record, _) = setup();
    let trust = shop.trust();
    let signed_at = |instant| {
        let (_, mut envelope) = shop.make(&record, |_| {});
        envelope.sign(&key(ODILE), Role::Supervisor, instant).unwrap();
        envelope.to_file().unwrap()
    };
    let said = |instant| codes(&verify("f", &signed_at(instant), &shop.question(&trust, &record)));
    assert_eq!(said(later(60)), [""; 0]);
    assert_eq!(said(later(-3600)), ["signed-before-judged", "too-few-signers"]);
    assert_eq!(said(later(600 + 301)), ["signed-ahead"]);
    assert_eq!(said(later(40 * 3600)), ["signed-ahead"]);
    // Judged and signed with the clock set back, so that old readings look fresh: the trust file in force was made later.
    let mut body = shop.trust_body();
    body.made_at = "2026-03-04T11:00:00-06:00".to_owned();
    let newer = Shop::trusted(&body);
    let question = Question { at: later(2 * 3600), ..shop.question(&newer, &record) };
    assert!(codes(&verify("f", &signed_at(later(60)), &question)).contains(&"back-dated"));
}

#[test]
fn the_clock_set_back_or_ahead_when_verifying() {
    let (shop, record, file) = setup();
    let trust = shop.trust();
    let said = |at| codes(&verify("f", &file, &Question { at, ..shop.question(&trust, &record) }));
    assert_eq!(said(later(-86_400)), ["signed-ahead", "judged-ahead"]);
    assert_eq!(said(shop::at("2026-01-04T09:30:00-06:00")), ["clock-behind"]);
    assert_eq!(said(later(13 * 3600)), ["lapsed"]);
    assert_eq!(said(shop::at("2026-09-04T09:30:00-06:00")), ["lapsed", "trust-ended"]);
    // Clocks of two machines differ by minutes, and that is no fault.
    assert_eq!(said(later(-200)), [""; 0]);
}

#[test]
fn a_key_revoked_or_expired_or_not_yet_valid() {
    let (shop, record, file) = setup();
    let said = |change: &dyn Fn(&mut fillward::checklist::trust::Key)| {
        let mut body = shop.trust_body();
        change(&mut body.people[0].keys[0]);
        let trust = shop.next(&body);
        let report = verify("f", &file, &shop.question(&trust, &record));
        (codes(&report), report.in_order())
    };
    let revoked = |at: &str| {
        let at = at.to_owned();
        move |key: &mut fillward::checklist::trust::Key| {
            key.revoked = Some(Revocation { at: at.clone(), why: "the laptop was stolen".to_owned() });
        }
    };
    assert_eq!(said(&revoked("2026-03-04T09:00:00-06:00")), (vec!["key-revoked", "too-few-signers"], false));
    // Signed at 09:31, revoked at 09:35: the signature was good when it was made, and is not relied on any more.
    assert_eq!(said(&revoked("2026-03-04T09:35:00-06:00")), (vec!["key-revoked-since"], false));
    assert_eq!(
        said(&|key| key.until = "2026-03-04T09:31:00-06:00".to_owned()),
        (vec!["key-expired", "too-few-signers"], false)
    );
    assert_eq!(
        said(&|key| key.from = "2026-03-04T09:31:01-06:00".to_owned()),
        (vec!["key-not-yet-valid", "too-few-signers"], false)
    );
    // Signed in its last minute and asked for after its end: in order, and nothing starts by it.
    assert_eq!(said(&|key| key.until = "2026-03-04T09:32:00-06:00".to_owned()), (vec!["key-ended"], true));
    assert_eq!(said(&|key| key.until = "2026-03-04T09:40:00-06:00".to_owned()), (vec!["key-ended"], true));
    // A claimed instant before the revocation proves nothing, whatever the clock says and whatever instant is asked about.
    let as_of = |revoked_at: &str, seconds, chosen| {
        let mut body = shop.trust_body();
        revoked(revoked_at)(&mut body.people[0].keys[0]);
        let trust = shop.next(&body);
        let report = verify("f", &file, &Question { at: later(seconds), chosen, ..shop.question(&trust, &record) });
        (codes(&report), report.in_order(), report.could_have_started())
    };
    let nine_35 = "2026-03-04T09:35:00-06:00";
    assert_eq!(as_of(nine_35, 299, true), (vec!["key-revoked-since", "not-now"], false, false));
    assert_eq!(as_of(nine_35, 300, true), (vec!["key-revoked-since", "not-now"], false, false));
    assert_eq!(as_of(nine_35, 299, false), (vec!["key-revoked-since"], false, false));
    assert_eq!(
        as_of("2026-03-04T09:31:00-06:00", 299, true),
        (vec!["key-revoked", "too-few-signers", "not-now"], false, false)
    );
    assert_eq!(said(&|key| key.until = "2026-03-04T09:40:01-06:00".to_owned()), (vec![], true));
    // Whoever left before the key's own end has signed until then, and no longer.
    let retired = |at: &str| {
        let end = Revocation { at: at.to_owned(), why: "left the shop".to_owned() };
        said(&|key| key.retired = Some(end.clone()))
    };
    assert_eq!(retired("2026-03-04T09:32:00-06:00"), (vec!["key-ended"], true));
    assert_eq!(retired("2026-03-04T09:31:00-06:00"), (vec!["key-ended"], true));
    assert_eq!(retired("2026-03-04T09:30:59-06:00"), (vec!["key-expired", "too-few-signers"], false));
    assert_eq!(retired("2028-03-04T09:31:00-06:00"), (vec![], true));
}

#[test]
fn a_key_of_the_wrong_role_or_of_nobody() {
    let (shop, record, _) = setup();
    let trust = shop.trust();
    let said = |seed, role| {
        let (_, mut envelope) = shop.make(&record, |_| {});
        envelope.sign(&key(seed), role, later(60)).unwrap();
        codes(&verify("f", &envelope.to_file().unwrap(), &shop.question(&trust, &record)))
    };
    assert_eq!(said(MAIRE, Role::Supervisor), ["wrong-role", "too-few-signers"]);
    assert_eq!(said(MAIRE, Role::SafetyOfficer), ["too-few-signers"]);
    assert_eq!(said(99, Role::Supervisor), ["unknown-key", "too-few-signers"]);
    assert_eq!(said(OWNER, Role::Owner), ["too-few-signers"]);
}

#[test]
fn an_old_trust_file_is_not_taken_for_the_latest() {
    let (shop, record, file) = setup();
    let mut body = shop.trust_body();
    body.version = 2;
    let old = Shop::trust_file(&body);
    let pins = shop.trust().pins();
    let reasons = Trust::open("t", &old, &pins).unwrap_err();
    assert_eq!(reasons, [Reason::OfTrust(TrustReason::Older { found: 2, least: 3 })]);
    // A verifier who has seen no other version learns from the checklist that there is a later one.
    let trust = Trust::open("t", &old, &Shop::pins()).unwrap();
    assert_eq!(codes(&verify("f", &file, &shop.question(&trust, &record))), ["trust-older"]);
}

#[test]
fn a_rehearsal_never_starts_a_fill() {
    let shop = Shop::new();
    let record = passing();
    let trust = shop.trust();
    let (body, mut envelope) = shop.make(&record, |choices| choices.rehearsal = true);
    sign(&mut envelope, &body, &key(ODILE), Role::Supervisor, &trust, later(30 * 86_400)).unwrap();
    let question = Question { at: later(30 * 86_400), ..shop.question(&trust, &record) };
    let report = verify("f", &envelope.to_file().unwrap(), &question);
    assert_eq!(codes(&report), ["rehearsal"]);
    assert!(report.in_order() && !report.may_start());
}

/// A supervisor with a good key writes PASS over a record that does not pass.
#[test]
fn a_false_pass_under_a_good_signature_is_found_by_judging_again() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = shop::held();
    let lie = |change: &dyn Fn(&mut Value)| {
        let (_, honest) = shop.make(&record, |_| {});
        let mut value = honest.to_value().unwrap();
        change(&mut value["checklist"]);
        let mut envelope = Envelope::new(Kind::Checklist, &value["checklist"]).unwrap();
        envelope.sign(&key(ODILE), Role::Supervisor, later(60)).unwrap();
        codes(&verify("f", &envelope.to_file().unwrap(), &shop.question(&trust, &record)))
    };
    let pass = |body: &mut Value| {
        body["verdict"] = json!("PASS");
        body["valid_until"] = json!("2026-03-04T12:00:00-06:00");
    };
    assert_eq!(lie(&|_| {}), ["hold"]);
    assert_eq!(lie(&pass), ["contradiction", "judged-otherwise"]);
    let clean = |body: &mut Value| {
        pass(body);
        body["findings"]["faults"] = json!([]);
    };
    assert_eq!(lie(&clean), ["judged-otherwise"]);
    let permitted = |body: &mut Value| {
        pass(body);
        for fault in body["findings"]["faults"].as_array_mut().unwrap() {
            fault["permitted"] = json!(true);
        }
    };
    assert!(lie(&permitted).contains(&"contradiction"));
}

/// A good permit for one job, put into the checklist of another that a supervisor signs all the same.
#[test]
fn a_permit_of_another_job_does_not_serve() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = passing().replacen("solvent_on_hand: 2 gal", "solvent_on_hand: 12 gal", 1);
    let (honest, _) = shop.make(&record, |_| {});
    let fault = &honest.findings.each_fault()[0];
    assert_eq!((honest.verdict.word(), fault.rule.as_str()), ("HOLD", "tyre-fill/solvent-excess"));
    let permit = |job: &str, digest: &str| {
        let body = permit::PermitBody {
            format: permit::FORMAT.to_owned(),
            hold_point: HoldPoint::BeforeFill,
            time_zone: "America/Chicago".to_owned(),
            trust: TrustPart::of(&shop.trust()),
            asked_by: "Odile Varga".to_owned(),
            evidence: fault.evidence(),
            filled: shop.filled(&record),
            job: job.to_owned(),
            mark: fault.mark.clone(),
            pack: PackPart { sha256: digest.to_owned(), ..shop.parts[0].clone() },
            reason: "the fire warden's letter is on file".to_owned(),
            rule: "solvent-excess".to_owned(),
            subject: fault.subject.clone(),
            things: crate::checklist::things::of(&shop, &honest, fault),
            title: fault.title.clone(),
            until: "2026-03-04T17:00:00-06:00".to_owned(),
        };
        let mut permit = Permit::new(&body).unwrap();
        permit.sign(&key(MAIRE), Role::SafetyOfficer, later(-1800)).unwrap();
        permit
    };
    let digest = &shop.parts[0].sha256;
    let good = permit("HT-0311", digest);
    let (passed, _) = shop.make(&record, |choices| choices.permits = vec![&good]);
    let said = |job: &str, digest: &str| {
        let permit = permit(job, digest);
        let mut value = serde_json::to_value(&honest).unwrap();
        value["verdict"] = json!("PASS");
        value["valid_until"] = json!(passed.valid_until);
        value["findings"]["faults"][0]["permitted"] = json!(true);
        value["permits"] = json!([permit.envelope().to_value().unwrap()]);
        let mut envelope = Envelope::new(Kind::Checklist, &value).unwrap();
        envelope.sign(&key(ODILE), Role::Supervisor, later(60)).unwrap();
        let question = Question { rejudge: false, ..shop.question(&trust, &record) };
        codes(&verify("f", &envelope.to_file().unwrap(), &question))
    };
    assert_eq!(said("HT-0311", digest), [""; 0], "control: the permit of this job serves");
    assert_eq!(said("HT-0312", digest), ["permit-other", "judged-otherwise"]);
    // A permit under another edition of the pack: the packs given do not have the rule, and the checklist names others.
    let other = said("HT-0311", &"0".repeat(64));
    assert_eq!(other, ["permit-other", "permit-other", "permit-other-evidence", "judged-otherwise"]);
}

/// A document of one kind given as another, whole, with its good signatures.
#[test]
fn a_trust_file_or_permit_is_no_checklist() {
    let (shop, record, file) = setup();
    let trust = Shop::trust_file(&shop.trust_body());
    assert_eq!(codes(&shop.verify(&trust, &record)), ["other-document"]);
    let reasons = Trust::open("t", &file, &Pins::default()).unwrap_err();
    assert_eq!(reasons.iter().map(|reason| reason.code().word()).collect::<Vec<_>>(), ["checklist/other-document"]);
    // The content of a checklist under the name of a trust file: the header says what was signed.
    let value: Value = serde_json::from_slice(&file).unwrap();
    let renamed = json!({"signatures": value["signatures"], "shop_trust": shop.trust_body()});
    let (bytes, _) = canonical::file("t", &renamed).unwrap();
    let reasons = Trust::open("t", &bytes, &Pins::default()).unwrap_err();
    assert_eq!(
        reasons.iter().map(|reason| reason.code().word()).collect::<Vec<_>>(),
        ["checklist/other-kind", "checklist/trust-not-by-owner"]
    );
}

/// RFC 8032, section 5.1: the neutral element, for which anybody can make signatures, as a person's key; and a second
/// encoding of a point. Both are refused when the trust file is opened, before any signature is looked at.
#[test]
fn a_weak_key_never_comes_into_the_trust_file() {
    let pem = |point: [u8; 32]| {
        let spki = [&[0x30, 0x2a, 0x30, 0x05, 0x06, 0x03, 0x2b, 0x65, 0x70, 0x03, 0x21, 0x00], &point[..]].concat();
        format!("-----BEGIN PUBLIC KEY-----\n{}\n-----END PUBLIC KEY-----\n", base64ct::Base64::encode_string(&spki))
    };
    let said = |point| {
        let mut body = Shop::new().trust_body();
        body.people[0].keys[0].public_key = pem(point);
        let (closed, opened) = (Trust::of(body.clone()), Trust::open("t", &Shop::trust_file(&body), &Pins::default()));
        let codes = |reasons: Vec<Reason>| reasons.iter().map(|reason| reason.code().word()).collect::<Vec<_>>();
        let (closed, opened) = (codes(closed.unwrap_err()), codes(opened.unwrap_err()));
        assert_eq!(closed, opened);
        opened
    };
    let mut neutral = [0; 32];
    neutral[0] = 1;
    assert_eq!(said(neutral), ["checklist/key-weak"]);
    // y = p + 1, which is y = 1 once more.
    let mut second = [0xff; 32];
    second[0] = 0xee;
    second[31] = 0x7f;
    assert_eq!(said(second), ["checklist/key-not-canonical"]);
}
