//! The cases of Wycheproof for JSON Web Signature, `json_web_signature_test.json` as in the crate
//! `wycheproof-ng-kdf-jose`: 401 tokens under HMAC, RSA and ECDSA, 355 of them spoilt.
//!
//! None is under Ed25519, so none may be taken, the good ones neither. What each spoilt one changed in its header or
//! signature is then changed in a signature of ours as well: that is the part of the set which applies to any algorithm.

use std::collections::BTreeSet;

use base64ct::{Base64UrlUnpadded, Encoding};
use fillward::checklist::Reason;
use fillward::checklist::jws::Envelope;
use fillward::units::Instant;
use fillward::vocabulary::{Kind, Role};
use serde_json::{Value, json};
use wycheproof_ng_core::TestResult;
use wycheproof_ng_kdf_jose::json_web::{Test, TestGroup, TestName, TestSet};

use crate::shop::key;

/// An edit longer than this is another signature, not a slip or a trick in the spelling of one.
const LONGEST_EDIT: usize = 8;

fn groups() -> Vec<TestGroup> {
    TestSet::load(TestName::JsonWebSignature).unwrap().test_groups
}

/// A case as text: the compact form, or what stands in the JSON form.
fn token(test: &Test) -> String {
    match test.jws.as_ref().unwrap() {
        Value::String(compact) => compact.clone(),
        value => value.to_string(),
    }
}

fn file(protected: &str, signature: &str) -> Value {
    json!({"checklist": {}, "signatures": [{"protected": protected, "signature": signature}]})
}

fn algorithm(protected: &str) -> Option<String> {
    let header = Base64UrlUnpadded::decode_vec(protected).ok()?;
    let header: Value = serde_json::from_slice(&header).ok()?;
    Some(header.get("alg")?.as_str()?.to_owned())
}

#[test]
fn wycheproof_jws_tokens_are_no_checklists_and_no_seals() {
    let (mut files, mut by_algorithm, mut by_member, mut by_form) = (0, 0, 0, 0);
    for test in groups().iter().flat_map(|group| &group.tests) {
        let token = token(test);
        assert!(Envelope::read(Kind::Checklist, "token", token.as_bytes()).is_err(), "tcId {}", test.tc_id);
        files += 1;
        let parts: Vec<&str> = token.split('.').collect();
        let (Some(protected), Some(signature)) = (parts.first(), parts.get(2)) else { continue };
        // A text that JSON of the narrow profile cannot hold is refused with the file, before anybody looks at seals.
        let Ok(envelope) = Envelope::nested(Kind::Checklist, &file(protected, signature)) else { continue };
        match envelope.signers().pop().unwrap().unwrap_err() {
            Reason::Algorithm { found, .. } => {
                assert_eq!(Some(found), algorithm(protected), "tcId {}", test.tc_id);
                by_algorithm += 1;
            }
            Reason::HeaderMember { member, .. } => {
                assert_eq!(member, "jwk", "tcId {}", test.tc_id);
                by_member += 1;
            }
            Reason::HeaderNotExact { .. } => by_form += 1,
            other => panic!("tcId {}: {other:?}", test.tc_id),
        }
    }
    assert_eq!(files, 401);
    // The 16 others have no three parts.
    assert_eq!((by_algorithm, by_member, by_form), (375, 1, 9));
}

/// What turns `from` into `to`: the place, how many bytes go, and what comes for them.
fn edit<'t>(from: &str, to: &'t str) -> (usize, usize, &'t str) {
    let same = |(a, b): &(u8, u8)| a == b;
    let head = from.bytes().zip(to.bytes()).take_while(same).count();
    let rest = from.len().min(to.len()) - head;
    let tail = from.bytes().rev().zip(to.bytes().rev()).take(rest).take_while(same).count();
    (head, from.len() - tail - head, to.split_at(to.len() - tail).0.split_at(head).1)
}

/// Does to `ours` what turned `from` into `to`, as far from the nearer end; `None` if it is no small edit.
fn repeat(ours: &str, from: &str, to: &str) -> Option<String> {
    if to.is_empty() {
        return Some(String::new());
    }
    let (place, gone, come) = edit(from, to);
    if gone.max(come.len()) > LONGEST_EDIT {
        return None;
    }
    let from_end = from.len() - place - gone;
    let place = if place <= from_end { place } else { ours.len() - gone - from_end };
    let ((before, _), (_, after)) = (ours.split_at(place), ours.split_at(place + gone));
    Some(format!("{before}{come}{after}"))
}

/// A header that was spoilt and then signed with the right key is signed with the right key here as well.
#[test]
fn wycheproof_jws_edits_are_refused_in_a_checklist_too() {
    let key = key(1);
    let mut envelope = Envelope::new(Kind::Checklist, &json!({})).unwrap();
    envelope.sign(&key, Role::Supervisor, Instant::parse("2026-03-04T09:30:00-06:00").unwrap()).unwrap();
    let seal = envelope.seals()[0].clone();
    let signed = |protected: &str| {
        let input = format!("{protected}.{}", Base64UrlUnpadded::encode_string(envelope.payload()));
        Base64UrlUnpadded::encode_string(&key.sign(input.as_bytes()))
    };
    assert_eq!(signed(&seal.protected), seal.signature);
    let holds = |protected: &str, signature: &str| {
        let envelope = Envelope::nested(Kind::Checklist, &file(protected, signature)).ok();
        envelope.is_some_and(|envelope| {
            envelope.signers().into_iter().all(|signer| signer.is_ok_and(|s| envelope.holds(&s, key.public())))
        })
    };
    assert!(holds(&seal.protected, &seal.signature));

    let mut names = BTreeSet::new();
    let mut tried = 0;
    for group in groups() {
        let tokens = |due: TestResult| group.tests.iter().filter(move |test| test.result == due);
        let Some(good) = tokens(TestResult::Valid).next().map(token) else { continue };
        let [header, _, signature] = good.split('.').collect::<Vec<_>>()[..] else { continue };
        for test in tokens(TestResult::Invalid) {
            let spoilt = token(test);
            let [spoilt_header, _, spoilt_signature] = spoilt.split('.').collect::<Vec<_>>()[..] else { continue };
            let Some(ours) = repeat(&seal.protected, header, spoilt_header) else { continue };
            let ours_signed = match repeat(&seal.signature, signature, spoilt_signature) {
                Some(edited) => edited,
                None => signed(&ours),
            };
            // The case spoils the payload alone, or is another signature altogether.
            if (&ours, &ours_signed) == (&seal.protected, &seal.signature) {
                continue;
            }
            assert!(!holds(&ours, &ours_signed), "tcId {}: {}", test.tc_id, test.comment);
            tried += 1;
            names.insert(test.comment.clone());
        }
    }
    assert_eq!((tried, names.len()), (25, 14), "{names:?}");
}
