//! The ends of spans and sizes in the signed checklist: what counts on the second itself, and what just before and after.
//!
//! A span holds from its first instant, that one included, to its last, that one excluded (half-open, as ISO 8601-1 leaves
//! it to say): two spans that meet then leave no second uncovered and none covered twice.

use fillward::checklist::jws::Envelope;
use fillward::checklist::packs;
use fillward::checklist::trust::{self, CLOCK_SKEW_SECONDS, Revocation, Trust};
use fillward::checklist::{NameFlaw, Reason};
use fillward::document::Document;
use fillward::pack::PackSet;
use fillward::units::{Exact, Instant};
use fillward::vocabulary::{Kind, Role};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use crate::shop::{self, ODILE, Shop, key};

/// The instant so many seconds after another.
fn after(text: &str, seconds: i128) -> Instant {
    shop::at(text).checked_add_seconds(Exact::new(seconds, 1).unwrap()).unwrap()
}

/// What is said of a signature by Odile Varga at an instant: afterwards, by the file, and beforehand, by who asks.
fn said(trust: &Trust, at: Instant) -> [&'static str; 2] {
    let mut envelope = Envelope::new(Kind::Permit, &json!({"a": "b"})).unwrap();
    envelope.sign(&key(ODILE), Role::Supervisor, at).unwrap();
    let signer = envelope.signers().remove(0).unwrap();
    let word = |reason: Reason| reason.code().word();
    [
        trust.standing(&envelope, &signer).map_or_else(word, |_| "stands"),
        trust.may_sign(key(ODILE).public().kid(), Role::Supervisor, at).map_or_else(word, |_| "stands"),
    ]
}

#[test]
fn a_key_holds_from_its_first_second_to_the_one_before_its_last() {
    let body = Shop::new().trust_body();
    let span = &body.people[0].keys[0];
    let (from, until) = (span.from.clone(), span.until.clone());
    let trust = Trust::of(body).unwrap();
    assert_eq!(said(&trust, after(&from, -1)), ["checklist/key-not-yet-valid"; 2]);
    assert_eq!(said(&trust, after(&from, 0)), ["stands"; 2]);
    assert_eq!(said(&trust, after(&until, -1)), ["stands"; 2]);
    assert_eq!(said(&trust, after(&until, 0)), ["checklist/key-expired"; 2]);
}

#[test]
fn a_key_is_revoked_from_the_second_named() {
    let mut body = Shop::new().trust_body();
    let at = "2026-03-04T09:30:00-06:00";
    body.people[0].keys[0].revoked = Some(Revocation { at: at.to_owned(), why: "lost".to_owned() });
    let trust = Trust::of(body).unwrap();
    // Nobody may sign with it any more, whatever the instant; what it signed before still stands, and says so.
    assert_eq!(said(&trust, after(at, -1)), ["stands", "checklist/key-revoked"]);
    assert_eq!(said(&trust, after(at, 0)), ["checklist/key-revoked"; 2]);
    let mut envelope = Envelope::new(Kind::Permit, &json!({"a": "b"})).unwrap();
    envelope.sign(&key(ODILE), Role::Supervisor, after(at, -1)).unwrap();
    let signer = envelope.signers().remove(0).unwrap();
    assert_eq!(trust.standing(&envelope, &signer).unwrap().revoked_since, Some((shop::at(at), "lost")));
}

#[test]
fn an_approval_holds_from_its_first_second_to_the_one_before_its_last() {
    let shop = Shop::new();
    let mut body = shop.trust_body();
    let from = body.packs[0].from.clone();
    let until = "2026-05-01T00:00:00-06:00";
    body.packs[0].until = Some(until.to_owned());
    let trust = Trust::of(body).unwrap();
    let part = &shop.parts[0];
    let said = |at: Instant| {
        let approved = trust.approves(&part.name, &part.edition, &part.sha256, at);
        (approved.map_or_else(|reason| reason.code().word(), |()| "approved"), trust.required(at).len())
    };
    assert_eq!(said(after(&from, -1)), ("checklist/pack-approval-over", 0));
    assert_eq!(said(after(&from, 0)), ("approved", 1));
    assert_eq!(said(after(until, -1)), ("approved", 1));
    assert_eq!(said(after(until, 0)), ("checklist/pack-approval-over", 0));
}

#[test]
fn an_approval_is_of_one_name_one_edition_and_one_digest() {
    let shop = Shop::new();
    let trust = shop.trust();
    let part = &shop.parts[0];
    let at = shop::at(shop::AT);
    let other = "0".repeat(64);
    assert!(trust.approves(&part.name, &part.edition, &part.sha256, at).is_ok());
    for (name, edition, sha256) in [
        ("another", part.edition.as_str(), part.sha256.as_str()),
        (&part.name, "1999.1", &part.sha256),
        (&part.name, &part.edition, &other),
    ] {
        let reason = trust.approves(name, edition, sha256, at).unwrap_err();
        assert_eq!(reason.code().word(), "checklist/pack-not-approved", "{name} {edition} {sha256}");
    }
}

#[test]
fn a_trust_file_lapses_on_the_second_of_its_end_and_clocks_may_differ_by_the_skew() {
    let shop = Shop::new();
    let trust = shop.trust();
    let body = trust.body();
    let said = |at: Instant| trust.lapses(at).map(|reason| reason.code().word());
    assert_eq!(said(after(&body.ends_at, -1)), None);
    assert_eq!(said(after(&body.ends_at, 0)), Some("checklist/trust-ended"));
    assert_eq!(said(after(&body.made_at, -CLOCK_SKEW_SECONDS)), None);
    assert_eq!(said(after(&body.made_at, -CLOCK_SKEW_SECONDS - 1)), Some("checklist/clock-behind"));
}

/// A permit whose one signature has this protected header.
fn with_header(header: &Value) -> Envelope {
    let mut envelope = Envelope::new(Kind::Permit, &json!({"a": "b"})).unwrap();
    envelope.sign(&key(ODILE), Role::Supervisor, shop::at(shop::AT)).unwrap();
    let mut file = envelope.to_value().unwrap();
    let mut protected = Vec::new();
    fillward::checklist::canonical::base64url(header.to_string().as_bytes(), &mut protected);
    file["signatures"][0]["protected"] = String::from_utf8(protected).unwrap().into();
    Envelope::nested(Kind::Permit, &file).unwrap()
}

/// Whoever writes the header chooses its texts; a report that repeats them must stay readable.
#[test]
fn a_report_never_repeats_a_long_text_of_a_header() {
    let most = 80;
    let header = |alg: &str| {
        json!({"alg": alg, "kid": key(ODILE).public().kid(), "role": "supervisor", "signed_at": shop::AT,
            "typ": Kind::Permit.typ()})
    };
    let with_member = |name: &str| {
        let mut header = header("Ed25519");
        header[name] = "x".into();
        header
    };
    let said = |header: &Value| with_header(header).signers().remove(0).unwrap_err();
    // A text that fits is repeated whole, counted in characters and not in bytes; one character more is not.
    for letter in ["A", "é"] {
        let (fits, long) = (letter.repeat(most), letter.repeat(most + 1));
        for (named, beyond) in [(header(&fits), header(&long)), (with_member(&fits), with_member(&long))] {
            let named = said(&named);
            assert!(named.to_string().contains(&fits), "{named}");
            let beyond = said(&beyond);
            assert_eq!(beyond.code().word(), "checklist/header-not-exact");
            assert!(beyond.to_string().chars().count() < most, "{beyond}");
        }
    }
    // Nor one that would act on a terminal, break the line, or turn it round.
    for odd in ["none\n", "none\t", "no\u{202e}ne", "no\u{1b}[2Jne"] {
        assert_eq!(said(&header(odd)).code().word(), "checklist/header-not-exact", "{odd:?}");
        assert_eq!(said(&with_member(odd)).code().word(), "checklist/header-not-exact", "{odd:?}");
    }
}

/// The digest of a pack is of its files as they are called, wherever they lie: the lines of GNU `sha256sum`, sorted by name.
#[test]
fn the_digest_of_a_pack_does_not_know_its_folder() {
    let (head, rules) = {
        let text = crate::common::local_pack("two-people", "supervisor, safety-officer");
        let (head, rules) = text.split_at(text.find("\nrules:").unwrap() + 1);
        (head.to_owned(), format!("pack: 1\nname: two-people\n{rules}"))
    };
    let digest = |names: [&str; 2]| {
        let document = |name: &str, text: &str| Document::read(name, text.as_bytes()).unwrap();
        let documents = vec![document(names[0], &head), document(names[1], &rules)];
        let set = PackSet::base().unwrap().with(documents).unwrap_or_else(|faults| panic!("{faults:?}"));
        packs::pack_digest(set.packs().last().unwrap())
    };
    let hash = |text: &str| {
        let bytes = Sha256::digest(text.as_bytes());
        bytes.iter().map(|byte| format!("{byte:02x}")).collect::<Vec<_>>().concat()
    };
    // `b.yaml` holds the head, `a.yaml` the rules; the list is in the order of the names.
    let due = hash(&format!("{}  a.yaml\n{}  b.yaml\n", hash(&rules), hash(&head)));
    assert_eq!(digest(["b.yaml", "a.yaml"]), due);
    assert_eq!(digest(["packs/b.yaml", "packs/a.yaml"]), due);
    assert_eq!(digest(["a-folder/b.yaml", "z-folder/a.yaml"]), due);
    assert_eq!(digest(["C:\\packs\\b.yaml", "C:\\packs\\a.yaml"]), due);
    assert_ne!(digest(["c.yaml", "a.yaml"]), due);
}

/// A document has sixteen signatures at most; as many are read, one more is a fault of the file.
#[test]
fn a_document_has_no_crowd_of_signatures() {
    let with = |count: usize| {
        let mut envelope = Envelope::new(Kind::Permit, &json!({"a": "b"})).unwrap();
        for _ in 0..count {
            envelope.sign(&key(ODILE), Role::Supervisor, shop::at(shop::AT)).unwrap();
        }
        let file = envelope.to_file().unwrap();
        Envelope::read(Kind::Permit, "f", &file).map_or_else(|fault| fault.code().word(), |_| "read")
    };
    assert_eq!((with(16), with(17)), ("read", "checklist/signatures-form"));
}

/// Another file is told from a damaged one by how it begins.
#[test]
fn what_does_not_begin_like_a_document_is_another_file() {
    let told = |bytes: &[u8]| Envelope::read(Kind::Checklist, "f", bytes).unwrap_err().to_string();
    let other = "the file is not a checklist";
    assert!(told(b"hello\n").starts_with(other), "{}", told(b"hello\n"));
    assert_eq!(told(b"# of the day\nrecord: 1\n"), "this is a job record, not a checklist");
    assert_eq!(told(b"-----BEGIN PUBLIC KEY-----\n"), "this is a public key, not a checklist");
    assert!(!told(b"{\"checklist\": ").starts_with(other), "{}", told(b"{\"checklist\": "));
}

/// A name has eighty characters at most, counted in characters and not in bytes.
#[test]
fn a_name_has_a_longest_length() {
    for letter in ["O", "Ø"] {
        assert_eq!(trust::flaw_of_name(&letter.repeat(80)), None);
        assert_eq!(trust::flaw_of_name(&letter.repeat(81)), Some(NameFlaw::TooLong));
    }
    assert!(trust::flaw_of_name("").is_some());
}

/// A version that has been in use may be used again, and none before it.
#[test]
fn a_trust_file_is_of_the_least_version_or_a_later_one() {
    let body = Shop::new().trust_body();
    let file = Shop::trust_file(&body);
    let open = |least_version: i64| {
        let pins = trust::Pins { least_version, ..Shop::pins() };
        Trust::open("t", &file, &pins).map_or_else(|reasons| reasons[0].code().word(), |_| "taken")
    };
    assert_eq!(open(body.version - 1), "taken");
    assert_eq!(open(body.version), "taken");
    assert_eq!(open(body.version + 1), "checklist/trust-older");
}
