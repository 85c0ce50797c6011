//! What a file is held against: packs left out, a trust file without its owner, another instant than now, a job that no
//! longer passes.

use fillward::checklist::jws::Envelope;
use fillward::checklist::signing::{against, sign};
use fillward::checklist::trust::{Pins, Trust};
use fillward::checklist::verify::{Question, verify};
use fillward::vocabulary::{Kind, Role};
use serde_json::{Value, json};

use super::{BY_ODILE, resigned, said};
use crate::common;
use crate::shop::{self, ODILE, OWNER, Shop, codes, key, later, passing};

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
        let trust = shop.next(&body);
        codes(&verify("f", &file, &base.question(&trust, &record)))
    };
    assert_eq!(approved(&|_| {}), ["pack-left-out"]);
    assert_eq!(approved(&|pack| pack.required = false), [""; 0]);
    assert_eq!(approved(&|pack| pack.until = Some("2026-03-04T09:00:00-06:00".to_owned())), [""; 0]);
    // One that is required since the judgement has not judged: nothing that is still to be done starts without it.
    assert_eq!(approved(&|pack| pack.from = "2026-03-04T09:30:01-06:00".to_owned()), ["pack-left-out"]);
    let mut body = shop.trust_body();
    body.packs[1].from = "2026-03-04T09:30:01-06:00".to_owned();
    let trust = shop.next(&body);
    let report = verify("f", &file, &base.question(&trust, &record));
    assert!(report.in_order() && !report.may_start(), "{report:?}");
    // What it was for is over: then it was in order, and is.
    let report = verify("f", &file, &Question { at: later(30 * 86_400), ..base.question(&trust, &record) });
    assert!(report.in_order() && !codes(&report).contains(&"pack-left-out"), "{report:?}");
    // The base pack judges every job, before all others, whatever the trust file says of it.
    let mut unasked = shop.trust_body();
    unasked.packs.iter_mut().for_each(|pack| pack.required = false);
    let unasked = shop.next(&unasked);
    let question = Question { packs: None, rejudge: false, ..shop.question(&unasked, &record) };
    let (_, honest) = shop.make(&record, |_| {});
    let with = |packs: &dyn Fn(&mut Vec<Value>)| {
        let file = resigned(&honest, BY_ODILE, |body| packs(body["inputs"]["packs"].as_array_mut().unwrap()));
        said(&verify("f", &file, &question).faults)
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
fn without_the_owners_key_nothing_starts() {
    let shop = Shop::new();
    let record = passing();
    let bytes = Shop::trust_file(&shop.trust_body());
    let trust = Trust::open("t", &bytes, &Pins::default()).unwrap();
    let report = verify("f", &shop.signed(&record), &shop.question(&trust, &record));
    assert_eq!((codes(&report), report.in_order()), (vec!["trust-unpinned"], true));
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
    assert_eq!(codes(&verify("f", &shop.signed(&record), &shop.question(&ahead, &record))), ["clock-behind"]);
    let (body, envelope) = shop.make(&record, |_| {});
    let kid = key(ODILE).public().kid().to_owned();
    assert_eq!(said(&against(&envelope, &body, &kid, Role::Supervisor, &ahead, later(60))), ["clock-behind"]);
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
    let latest = shop.next(&body);
    assert!(verify("f", &file, &Question { trust: &latest, ..then }).could_have_started());
    assert_eq!(codes(&verify("f", &file, &Question { trust: &latest, chosen: false, ..then })), ["clock-behind"]);
}

#[test]
fn a_job_that_does_not_pass_now_does_not_start_now() {
    let shop = Shop::with(&[GAP]);
    let record =
        passing().replacen("planned_start: 2026-03-04T10:00:00-06:00", "planned_start: 2026-03-04T09:28:00-06:00", 1);
    let trust = shop.trust();
    let (body, mut envelope) = shop.make(&record, |_| {});
    assert_eq!(body.verdict.word(), "PASS", "{:?}", body.findings.faults);
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
    assert_eq!((verdict(0).word(), verdict(1).word()), ("PASS", "HOLD"));
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

/// Whoever is told that the record has changed is told where.
#[test]
fn a_changed_record_is_told_with_the_line_of_its_first_change() {
    let shop = Shop::new();
    let record = passing();
    let file = shop.signed(&record);
    let lines = record.lines().count();
    let told = |now: &str| {
        let report = shop.verify(&file, now);
        assert_eq!(codes(&report), ["record-changed"]);
        report.bars[0].to_string().split_once("another than was judged").unwrap().1.to_owned()
    };
    let changed = record.replacen("stand_off: 12 ft", "stand_off: 11 ft", 1);
    let line = record.lines().position(|line| line.contains("stand_off: 12 ft")).unwrap() + 1;
    assert_eq!(
        told(&changed),
        format!(", first in line {line}: `air_stage.stand_off` was 12 ft before fill and is 11 ft now")
    );
    assert_eq!(told(&format!("{record}# more\n")), format!(", from line {} on", lines + 1));
    let shorter = record.lines().take(lines - 1).collect::<Vec<_>>().join("\n") + "\n";
    let unread = "as it stands now it cannot be read: no thermometer is marked `T-2`";
    assert_eq!(told(&shorter), format!("; it ends after line {}; {unread}", lines - 1));
    assert_eq!(told(&record.replace('\n', "\r\n")), ", in its line ends");
}
