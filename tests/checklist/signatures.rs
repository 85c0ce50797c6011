//! Signatures and the form of the file, as somebody would bend them: removed, doubled, spelt otherwise, read in two ways.

use base64ct::{Base64UrlUnpadded, Encoding};
use fillward::checklist::canonical;
use fillward::checklist::signing::{against, sign};
use fillward::checklist::verify::verify;
use fillward::vocabulary::Role;
use serde_json::{Value, json};

use super::threats::{forged, setup};
use crate::shop::{self, MAIRE, ODILE, Shop, WREN, codes, key, later, passing};

fn countersigned(shop: &Shop, seeds: &[(u8, Role)]) -> Vec<u8> {
    let (body, mut envelope) =
        shop.make(&passing(), |choices| choices.required_roles = vec![Role::Supervisor, Role::SafetyOfficer]);
    for (seed, role) in seeds {
        sign(&mut envelope, &body, &key(*seed), *role, &shop.trust(), later(60)).unwrap();
    }
    envelope.to_file().unwrap()
}

#[test]
fn a_signature_removed_reordered_or_duplicated() {
    let shop = Shop::new();
    let record = passing();
    let file = countersigned(&shop, &[(ODILE, Role::Supervisor), (MAIRE, Role::SafetyOfficer)]);
    assert!(shop.verify(&file, &record).may_start());
    let signatures = |change: &dyn Fn(&mut Vec<Value>)| {
        let file = forged(&file, |value| change(value["signatures"].as_array_mut().unwrap()));
        codes(&shop.verify(&file, &record))
    };
    assert_eq!(signatures(&|list| drop(list.pop())), ["too-few-signers"]);
    assert_eq!(signatures(&|list| drop(list.remove(0))), ["too-few-signers"]);
    assert_eq!(signatures(&Vec::clear), ["not-signed"]);
    // The order carries no meaning: people are counted.
    assert_eq!(signatures(&|list| list.reverse()), [""; 0]);
    assert_eq!(signatures(&|list| list.push(list[0].clone())), ["signed-twice"]);
    assert_eq!(signatures(&|list| list[1] = list[0].clone()), ["signed-twice", "too-few-signers"]);
    // The signed body says who must sign, so the demand cannot be lowered.
    let lowered = forged(&file, |value| value["checklist"]["required_roles"] = json!(["supervisor"]));
    assert!(codes(&shop.verify(&lowered, &record)).contains(&"changed"));
    // One bad signature among good ones is never passed over.
    let bad = forged(&file, |value| value["signatures"][1]["signature"] = value["signatures"][0]["signature"].clone());
    assert_eq!(codes(&shop.verify(&bad, &record)), ["changed", "too-few-signers"]);
}

#[test]
fn one_person_with_two_keys_counts_once() {
    let shop = Shop::new();
    let mut body = shop.trust_body();
    body.people[0].keys.push(shop::entry(77));
    let trust = shop.next(&body);
    let (checklist, mut envelope) =
        shop.make(&passing(), |choices| choices.required_roles = vec![Role::Supervisor, Role::Supervisor]);
    sign(&mut envelope, &checklist, &key(ODILE), Role::Supervisor, &trust, later(60)).unwrap();
    let again = against(&envelope, &checklist, key(77).public().kid(), Role::Supervisor, &trust, later(90));
    assert_eq!(again.iter().map(|reason| reason.code().word()).collect::<Vec<_>>(), ["checklist/signed-twice"]);
    envelope.sign(&key(77), Role::Supervisor, later(90)).unwrap();
    let record = passing();
    let question = shop.question(&trust, &record);
    assert_eq!(codes(&verify("f", &envelope.to_file().unwrap(), &question)), ["too-few-signers"]);
    envelope.sign(&key(WREN), Role::Supervisor, later(90)).unwrap();
    assert!(verify("f", &envelope.to_file().unwrap(), &question).may_start());
}

/// Algorithm confusion and members smuggled into the header: RFC 8725, sections 2.1 and 3.1; CVE-2018-0114 for the
/// embedded key; CVE-2025-59420 for `crit`.
#[test]
fn the_header_is_closed() {
    let (shop, record, file) = setup();
    let value: Value = serde_json::from_slice(&file).unwrap();
    let protected = value["signatures"][0]["protected"].as_str().unwrap();
    let text = String::from_utf8(Base64UrlUnpadded::decode_vec(protected).unwrap()).unwrap();
    let payload = Base64UrlUnpadded::encode_string(&canonical::bytes(&value["checklist"]).unwrap());
    // Signed by the right key over the changed header, so that only the header can be the fault.
    let said = |header: &str| {
        let encoded = Base64UrlUnpadded::encode_string(header.as_bytes());
        let signature = Base64UrlUnpadded::encode_string(&key(ODILE).sign(format!("{encoded}.{payload}").as_bytes()));
        let file = forged(&file, |value| {
            value["signatures"][0] = json!({"protected": encoded, "signature": signature});
        });
        codes(&shop.verify(&file, &record)).first().copied().unwrap_or("may start")
    };
    let with = |old: &str, new: &str| {
        assert!(text.contains(old), "{text}");
        said(&text.replacen(old, new, 1))
    };
    assert_eq!(said(&text), "may start");
    for algorithm in ["none", "HS256", "EdDSA", "ed25519", "ES256", "Ed448", ""] {
        assert_eq!(with("\"Ed25519\"", &format!("\"{algorithm}\"")), "algorithm", "{algorithm}");
    }
    let x = Base64UrlUnpadded::encode_string(key(99).public().as_bytes());
    for member in [
        "\"b64\":false".to_owned(),
        "\"crit\":[\"exp\"]".to_owned(),
        "\"jku\":\"https://example.org/keys\"".to_owned(),
        format!("\"jwk\":{{\"crv\":\"Ed25519\",\"kty\":\"OKP\",\"x\":\"{x}\"}}"),
        "\"x5c\":[]".to_owned(),
        "\"x5u\":\"https://example.org\"".to_owned(),
        "\"iat\":1".to_owned(),
    ] {
        assert_eq!(with("\"alg\"", &format!("{member},\"alg\"")), "header-member", "{member}");
    }
    assert_eq!(with("fillward-checklist+jws", "fillward-permit+jws"), "other-kind");
    assert_eq!(with("fillward-checklist+jws", "JWT"), "other-kind");
    assert_eq!(with("\"alg\":\"Ed25519\",", ""), "header-not-exact");
    assert_eq!(with("\"alg\":", " \"alg\":"), "header-not-exact");
    assert_eq!(with("{\"alg\":\"Ed25519\"", "{\"alg\":\"Ed25519\",\"alg\":\"Ed25519\""), "header-not-exact");
    assert_eq!(with("\"alg\"", "\"\\u0061lg\""), "header-not-exact");
    assert_eq!(with("supervisor", "Supervisor"), "header-not-exact");
    assert_eq!(with("T09:31:00-06:00", "T09:31-06:00"), "header-not-exact");
    assert_eq!(with("T09:31:00-06:00", "T09:31:00"), "header-not-exact");
    // A header beside the protected one, RFC 7515, section 7.2.1, has no place either.
    let beside = forged(&file, |value| value["signatures"][0]["header"] = json!({"alg": "Ed25519"}));
    assert_eq!(codes(&shop.verify(&beside, &record)), ["signatures-form"]);
    // HMAC with the public key as its secret gives 32 bytes, no signature of ours.
    let short = forged(&file, |value| {
        value["signatures"][0]["signature"] = json!(Base64UrlUnpadded::encode_string(&[7; 32]));
    });
    assert_eq!(codes(&shop.verify(&short, &record)), ["signature-form", "too-few-signers"]);
}

#[test]
fn another_key_under_the_same_thumbprint_is_not_possible() {
    let (shop, record, file) = setup();
    let value: Value = serde_json::from_slice(&file).unwrap();
    let payload = Base64UrlUnpadded::encode_string(&canonical::bytes(&value["checklist"]).unwrap());
    let protected = value["signatures"][0]["protected"].as_str().unwrap();
    let signature = key(99).sign(format!("{protected}.{payload}").as_bytes());
    let stolen = forged(&file, |value| {
        value["signatures"][0]["signature"] = json!(Base64UrlUnpadded::encode_string(&signature));
    });
    assert_eq!(codes(&shop.verify(&stolen, &record)), ["changed", "too-few-signers"]);
}

/// RFC 4648, sections 3.5 and 5: other spellings of the same bytes are refused, so one signature has one file.
#[test]
fn other_spellings_of_base64_are_refused() {
    let (shop, record, file) = setup();
    for member in ["protected", "signature"] {
        for change in [&|text: &str| format!("{text}=") as String, &|text: &str| format!("{text}\n"), &|text: &str| {
            text.replacen(['-', '_'], "+", 1)
        }] as [&dyn Fn(&str) -> String; 3]
        {
            let mut same = false;
            let respelt = forged(&file, |value| {
                let old = value["signatures"][0][member].as_str().unwrap().to_owned();
                let new = change(&old);
                same = new == old;
                value["signatures"][0][member] = json!(new);
            });
            assert!(same || !shop.verify(&respelt, &record).in_order(), "{member}");
        }
    }
    // The last of 86 characters carries four bits; the two spare ones must be zero.
    let spare = forged(&file, |value| {
        let mut text = value["signatures"][0]["signature"].as_str().unwrap().to_owned();
        let alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
        let place = alphabet.find(text.pop().unwrap()).unwrap();
        text.push(alphabet.chars().nth(place | 1).unwrap());
        value["signatures"][0]["signature"] = json!(text);
    });
    assert_eq!(codes(&shop.verify(&spare, &record)), ["signature-form", "too-few-signers"]);
}

#[test]
fn duplicate_keys_and_other_readings_of_one_text() {
    let (shop, record, file) = setup();
    let text = String::from_utf8(file).unwrap();
    let with = |old: &str, new: &str| {
        assert!(text.contains(old), "{old}");
        codes(&shop.verify(text.replacen(old, new, 1).as_bytes(), &record))[0]
    };
    assert_eq!(with("\n    \"job\":", "\n    \"job\": \"HT-0999\",\n    \"job\":"), "duplicate-key");
    assert_eq!(with("    \"verdict\"", "    \"Verdict\": \"PASS\",\n    \"verdict\""), "not-exact-form");
    assert_eq!(with("\"HT-0311\"", "\"HT-03\\u0031\\u0031\""), "not-exact-form");
    assert_eq!(with("\"version\": 3", "\"version\": 3.0"), "number-not-safe");
    assert_eq!(with("\"version\": 3", "\"version\": 9007199254740993"), "number-not-safe");
    assert_eq!(with("\"HT-0311\"", "\"HT-0311\u{200b}\""), "hidden-character");
    assert_eq!(with("\"HT-0311\"", "\"HT-0311\u{202e}\""), "hidden-character");
    assert_eq!(with("\"HT-0311\"", "\"HT-031e\u{301}\""), "not-nfc");
    // Cyrillic letters that look like H and T are other letters, and the signature says so.
    assert_eq!(with("\"HT-0311\"", "\"\u{41d}\u{422}-0311\""), "changed");
    assert_eq!(with("\n", "\r\n"), "not-exact-form");
    assert_eq!(with("{", "\u{feff}{"), "hidden-character");
    // A member more, unknown to this edition.
    let more = forged(text.as_bytes(), |value| value["checklist"]["note"] = json!("all fine"));
    assert_eq!(codes(&shop.verify(&more, &record)), ["content"]);
    let more = forged(text.as_bytes(), |value| value["note"] = json!("all fine"));
    assert_eq!(codes(&shop.verify(&more, &record)), ["other-document"]);
}

#[test]
fn a_file_half_written_or_grown() {
    let (shop, record, file) = setup();
    let trust = shop.trust();
    for end in 0..file.len() {
        let report = verify("f", &file[..end], &shop.question(&trust, &record));
        assert!(!report.in_order() && report.body.is_none(), "cut at {end}");
    }
    let twice = [file.as_slice(), file.as_slice()].concat();
    assert_eq!(codes(&shop.verify(&twice, &record)), ["not-exact-form"]);
    let zeros = [file.as_slice(), &[0; 512]].concat();
    assert_eq!(codes(&shop.verify(&zeros, &record)), ["not-exact-form"]);
}

/// Two people sign copies of one file at once: each copy is whole by itself, and the two together are one good file.
#[test]
fn two_signers_at_once() {
    let shop = Shop::new();
    let record = passing();
    let first = countersigned(&shop, &[(ODILE, Role::Supervisor)]);
    let second = countersigned(&shop, &[(MAIRE, Role::SafetyOfficer)]);
    for file in [&first, &second] {
        assert_eq!(codes(&shop.verify(file, &record)), ["too-few-signers"]);
    }
    let joined = forged(&first, |value| {
        let other: Value = serde_json::from_slice(&second).unwrap();
        value["signatures"].as_array_mut().unwrap().push(other["signatures"][0].clone());
    });
    assert!(shop.verify(&joined, &record).may_start());
}
