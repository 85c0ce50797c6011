//! The trust file: what it takes, what it refuses, and the owner's YAML.

use fillward::checklist::jws::Envelope;
use fillward::checklist::keys::fingerprint_words;
use fillward::checklist::trust::{Pins, Trust, TrustBody};
use fillward::checklist::{Reason, canonical};
use fillward::document::Document;
use fillward::vocabulary::{Kind, Role};
use sha2::{Digest, Sha256};

use crate::shop::{self, MAIRE, ODILE, OWNER, Shop, entry, key};

fn said(reasons: &[Reason]) -> Vec<&'static str> {
    reasons.iter().map(|reason| reason.code().word().trim_start_matches("checklist/")).collect()
}

fn refused(change: impl FnOnce(&mut TrustBody)) -> Vec<String> {
    let mut body = Shop::new().trust_body();
    change(&mut body);
    Trust::of(body).err().unwrap_or_default().iter().map(ToString::to_string).collect()
}

#[test]
fn a_trust_file_that_does_not_hold_together_is_refused() {
    assert!(Trust::of(Shop::new().trust_body()).is_ok());
    assert_eq!(refused(|body| body.version = 1), [""; 0]);
    for (told, part) in [
        (refused(|body| body.version = 0), "version"),
        (refused(|body| body.format = "fillward-trust/2".to_owned()), "format"),
        (refused(|body| body.owners_needed = 2), "2 owners must sign"),
        (refused(|body| body.owners_needed = 0), "0 owners must sign"),
        (refused(|body| body.ends_at.clone_from(&body.made_at)), "ends before it is made"),
        (refused(|body| body.made_at = "2026-02-01".to_owned()), "not an instant"),
        (refused(|body| body.zone = "america/chicago".to_owned()), "is written `America/Chicago`"),
        (refused(|body| body.zone = "Hollow Tarn".to_owned()), "its time zone"),
        (refused(|body| body.packs[0].approved_by = "Odile Varga".to_owned()), "no safety officer"),
        (refused(|body| body.packs[0].sha256 = "AB".repeat(32)), "hexadecimal"),
        (refused(|body| body.packs[0].from = "soon".to_owned()), "span"),
        (refused(|body| body.people[1].keys[0] = entry(ODILE)), "stands there twice"),
        (refused(|body| body.people[1].name = "Odile Varga".to_owned()), "two people are called"),
        (refused(|body| body.people[1].keys[0].until = body.people[1].keys[0].from.clone()), "ends before it begins"),
        (refused(|body| body.packs[0].seal = None), "approved by a name, and not by the signature"),
        (refused(|body| body.shop = "Cafe\u{301}".to_owned()), "is not in Unicode's form NFC"),
        (refused(|body| body.people[1].name = "Rene\u{301}e".to_owned()), "is not in Unicode's form NFC"),
        (refused(|body| body.people[1].keys[0].public_key = "ssh-ed25519 AAAA".to_owned()), "not a public key"),
    ] {
        assert!(told.iter().any(|line| line.contains(part)), "{part}: {told:?}");
    }
}

/// An approval that ended comes back only with a new signature: its end may come sooner, and neither later nor not at all.
#[test]
fn an_ended_approval_is_not_brought_back() {
    let ending = |until: Option<&str>| {
        let mut body = Shop::new().trust_body();
        body.packs[0].until = until.map(str::to_owned);
        body
    };
    let (end, sooner, later) = ("2026-06-01T00:00:00-06:00", "2026-05-31T23:59:59-06:00", "2026-06-01T00:00:01-06:00");
    let trust = Trust::of(ending(Some(end))).unwrap();
    for (until, brought_back) in [(Some(end), false), (Some(sooner), false), (Some(later), true), (None, true)] {
        assert_eq!(trust.brought_back(&ending(until)).is_some(), brought_back, "{until:?}");
    }
}

/// Unicode Technical Standard 39, section 4: confusable characters, such as Cyrillic letters among Latin ones.
#[test]
fn names_that_look_alike_are_refused() {
    let named = |name: &str| refused(|body| body.people[1].name = name.to_owned()).join("; ");
    assert!(named("\u{41e}dile Varga").contains("has a word of two alphabets"));
    assert!(named("0dile Varga").contains("look alike"));
    assert!(named("Odi1e Varga").contains("look alike"));
    assert!(named("ODILE VARGA").contains("look alike"));
    assert!(named("Odile\u{200d} Varga").contains("cannot be seen"));
    assert!(named("Odile  Varga").contains("spaces"));
    for twin in ["Odile-Varga", "OdileVarga", "Odile Varga.", "O'dile Varga", "Odile. Varga", "O\u{2019}dile-varga"] {
        assert!(named(twin).contains("look alike"), "{twin}");
    }
    assert_eq!(named("Odile Vargas"), "");
    // Wholly Cyrillic, letter by letter like a Latin name.
    let mut body = Shop::new().trust_body();
    body.people[0].name = "\u{421}\u{430}\u{440}\u{430}".to_owned();
    body.people[1].name = "Capa".to_owned();
    assert!(Trust::of(body).is_err());
}

#[test]
fn only_the_owners_make_a_trust_file() {
    let body = Shop::new().trust_body();
    let made_at = shop::at(&body.made_at);
    let open = |signers: &[(u8, Role)], pins: &Pins| {
        let mut envelope = Envelope::new(Kind::Trust, &body).unwrap();
        for (seed, role) in signers {
            envelope.sign(&key(*seed), *role, made_at).unwrap();
        }
        Trust::open("t", &envelope.to_file().unwrap(), pins).map(|trust| trust.is_pinned())
    };
    let first = Pins::default();
    let pinned = |seed| Pins { each: vec![key(seed).public().kid().to_owned()], ..Pins::default() };
    assert_eq!(open(&[(OWNER, Role::Owner)], &first), Ok(false));
    assert_eq!(open(&[(OWNER, Role::Owner)], &pinned(OWNER)), Ok(true));
    assert_eq!(said(&open(&[(OWNER, Role::Owner)], &pinned(50)).unwrap_err()), ["trust-not-by-owner"]);
    assert_eq!(said(&open(&[], &first).unwrap_err()), ["not-signed", "trust-not-by-owner"]);
    assert_eq!(said(&open(&[(MAIRE, Role::Owner)], &first).unwrap_err()), ["wrong-role", "trust-not-by-owner"]);
    assert_eq!(said(&open(&[(OWNER, Role::Auditor)], &first).unwrap_err()), ["wrong-role", "trust-not-by-owner"]);
    assert_eq!(said(&open(&[(99, Role::Owner)], &first).unwrap_err()), ["unknown-key", "trust-not-by-owner"]);
    // One good signature does not outweigh a bad one.
    assert_eq!(said(&open(&[(OWNER, Role::Owner), (99, Role::Owner)], &first).unwrap_err()), ["unknown-key"]);
}

/// Someone makes a trust file with owners of their own and the same people; who knows the owner is not deceived.
#[test]
fn a_whole_new_trust_file_by_someone_else_is_refused() {
    let shop = Shop::new();
    let pins = shop.trust().pins();
    let mut body = shop.trust_body();
    body.version = 9;
    body.people[3].keys = vec![entry(66)];
    let mut envelope = Envelope::new(Kind::Trust, &body).unwrap();
    envelope.sign(&key(66), Role::Owner, shop::at(&body.made_at)).unwrap();
    let file = envelope.to_file().unwrap();
    assert_eq!(said(&Trust::open("t", &file, &pins).unwrap_err()), ["trust-fewer-owners"]);
    assert!(!Trust::open("t", &file, &Pins::default()).unwrap().is_pinned());
}

/// An owner with two keys is one owner, also where the next version gives the second key to somebody invented.
#[test]
fn a_second_key_makes_no_second_owner_of_the_version_before() {
    let shop = Shop::new();
    let mut body = shop.trust_body();
    let owner = body.people.iter().position(|person| person.roles.contains(&Role::Owner)).unwrap();
    body.people[owner].keys.push(entry(66));
    body.people[1].roles.push(Role::Owner);
    body.owners_needed = 2;
    let sign = |body: &TrustBody, seeds: [u8; 2]| {
        let mut envelope = Envelope::new(Kind::Trust, body).unwrap();
        for seed in seeds {
            envelope.sign(&key(seed), Role::Owner, shop::at(&body.made_at)).unwrap();
        }
        envelope.to_file().unwrap()
    };
    let pins = Trust::open("t", &sign(&body, [OWNER, shop::WREN]), &Pins::default()).unwrap().pins();
    assert_eq!((pins.needed, pins.owners.len(), pins.owners.iter().flatten().count()), (2, 2, 3));
    let mut ghost = body.people[owner].clone();
    ghost.name = "Ghost Person".to_owned();
    ghost.keys = vec![body.people[owner].keys.pop().unwrap()];
    body.people.push(ghost);
    body.people[1].roles.pop();
    (body.version, body.owners_needed) = (4, 1);
    let rogue = sign(&body, [OWNER, 66]);
    assert!(Trust::open("t", &rogue, &Pins::default()).is_ok());
    assert_eq!(said(&Trust::open("t", &rogue, &pins).unwrap_err()), ["trust-fewer-owners"]);
}

/// Where two owners must sign, one of them alone cannot make it one.
#[test]
fn the_number_of_owners_cannot_be_lowered_by_one_of_them() {
    let shop = Shop::new();
    let mut body = shop.trust_body();
    body.people[1].roles.push(Role::Owner);
    body.owners_needed = 2;
    let sign = |body: &TrustBody, seeds: &[u8]| {
        let mut envelope = Envelope::new(Kind::Trust, body).unwrap();
        for seed in seeds {
            envelope.sign(&key(*seed), Role::Owner, shop::at(&body.made_at)).unwrap();
        }
        envelope.to_file().unwrap()
    };
    let pins = Trust::open("t", &sign(&body, &[OWNER, shop::WREN]), &Pins::default()).unwrap().pins();
    assert_eq!((pins.needed, pins.owners.len()), (2, 2));
    assert!(Trust::open("t", &sign(&body, &[OWNER]), &Pins::default()).is_err());
    assert!(Trust::open("t", &sign(&body, &[OWNER, OWNER]), &Pins::default()).is_err());
    body.version = 4;
    body.owners_needed = 1;
    assert_eq!(said(&Trust::open("t", &sign(&body, &[OWNER]), &pins).unwrap_err()), ["trust-fewer-owners"]);
    assert!(Trust::open("t", &sign(&body, &[OWNER, shop::WREN]), &pins).is_ok());
    // Whoever knows the owners from paper: each of them must have signed, whatever the file itself asks for ...
    let kid = |seed: u8| key(seed).public().kid().to_owned();
    let both = Pins { each: vec![kid(OWNER), kid(shop::WREN)], ..Pins::default() };
    let alone = Trust::open("t", &sign(&body, &[OWNER]), &both).unwrap_err();
    assert_eq!(said(&alone), ["trust-not-by-owner"]);
    assert!(alone[0].to_string().ends_with("not by Wren Castellane"), "{}", alone[0]);
    assert!(Trust::open("t", &sign(&body, &[OWNER, shop::WREN]), &both).is_ok());
    // ... and one of them signing twice is one of them.
    let twice = ["signed-twice", "trust-not-by-owner"];
    assert_eq!(said(&Trust::open("t", &sign(&body, &[OWNER, OWNER]), &both).unwrap_err()), twice);
    // Whoever remembers that two were asked for is not content with one.
    let remembered = Pins { each: vec![kid(OWNER)], ..pins.clone() };
    assert_eq!(said(&Trust::open("t", &sign(&body, &[OWNER]), &remembered).unwrap_err()), ["trust-fewer-owners"]);
    assert_eq!(
        said(&Trust::open("t", &sign(&body, &[OWNER, OWNER]), &remembered).unwrap_err()),
        ["signed-twice", "trust-fewer-owners"]
    );
    assert!(Trust::open("t", &sign(&body, &[OWNER, shop::WREN]), &remembered).is_ok());
}

#[test]
fn the_owners_yaml_becomes_the_same_body() {
    let shop = Shop::new();
    let body = shop.trust_body();
    let yaml = serde_yaml::to_string(&body).unwrap();
    let document = Document::read("trust.yaml", yaml.as_bytes()).unwrap();
    assert_eq!(TrustBody::from_document(&document).unwrap(), body);
    for (old, new, code) in [
        ("version: 3", "version: three", "schema/"),
        ("supervisor", "driver", "schema/"),
        ("owners_needed: 1\n", "", "schema/"),
        ("shop: Hollow Tarn", "shop: Hollow Tarn\nowner: me", "schema/"),
        ("2026-08-01T00:00:00-06:00", "2026-08-01", "schema/"),
    ] {
        assert!(yaml.contains(old), "{old} in {yaml}");
        let document = Document::read("trust.yaml", yaml.replacen(old, new, 1).as_bytes()).unwrap();
        let faults = TrustBody::from_document(&document).unwrap_err();
        let first = faults.iter().next().unwrap();
        assert!(first.code().word().starts_with(code) && first.span().is_some(), "{old}: {first:?}");
    }
}

/// What the published schema takes, and what it does not.
#[test]
fn the_published_schema_takes_the_trust_file() {
    let schema: serde_json::Value = serde_json::from_str(fillward::checklist::schemas::TRUST).unwrap();
    let schema = jsonschema::validator_for(&schema).unwrap();
    let mut body = serde_json::to_value(Shop::new().trust_body()).unwrap();
    assert!(schema.is_valid(&body));
    body["version"] = "three".into();
    assert!(!schema.is_valid(&body));
}

/// Who has signed as owner so far: each person once, and nothing where one signature is not an owner's.
#[test]
fn the_owners_who_signed_are_people_and_not_signatures() {
    let shop = Shop::new();
    let mut body = shop.trust_body();
    body.people[1].roles.push(Role::Owner);
    body.people[3].keys.push(entry(66));
    let trust = Trust::of(body.clone()).unwrap();
    let owners = |signers: &[(u8, Role)]| {
        let mut envelope = Envelope::new(Kind::Trust, &body).unwrap();
        for (seed, role) in signers {
            envelope.sign(&key(*seed), *role, shop::at(&body.made_at)).unwrap();
        }
        trust.owners_who_signed(&envelope).map(|names| names.join(", ")).map_err(|reason| reason.code().word())
    };
    let (owner, second, wren) = ((OWNER, Role::Owner), (66, Role::Owner), (shop::WREN, Role::Owner));
    assert_eq!(owners(&[]), Ok(String::new()));
    assert_eq!(owners(&[owner]), Ok("Ansel Prewitt-Okoro".to_owned()));
    assert_eq!(owners(&[owner, second]), Ok("Ansel Prewitt-Okoro".to_owned()));
    assert_eq!(owners(&[owner, wren]), Ok("Ansel Prewitt-Okoro, Wren Castellane".to_owned()));
    assert_eq!(owners(&[owner, (shop::WREN, Role::Supervisor)]), Err("checklist/wrong-role"));
    assert_eq!(owners(&[(99, Role::Owner)]), Err("checklist/unknown-key"));
}

/// The next version is held against the owners' keys that stand, and against one revoked since that has signed this one.
#[test]
fn the_next_version_is_held_against_the_keys_that_stand_or_signed() {
    let shop = Shop::new();
    let mut body = shop.trust_body();
    body.people[3].keys.push(entry(66));
    body.people[3].keys.push(entry(67));
    let revoked = || Some(fillward::checklist::trust::Revocation { at: later_text(), why: "lost".to_owned() });
    body.people[3].keys[0].revoked = revoked();
    body.people[3].keys[1].revoked = revoked();
    let trust = Trust::open("t", &Shop::trust_file(&body), &Shop::pins()).unwrap();
    let mut pins = trust.pins().owners.concat();
    pins.sort();
    let mut due: Vec<String> = [OWNER, 67].map(|seed| key(seed).public().kid().to_owned()).into();
    due.sort();
    assert_eq!(pins, due);
}

/// Who signed a trust file is told by name and by the words of the key that did, not of another key of theirs; and the file
/// by the words of its content's digest, which are those that `sha256sum` would give to whoever cuts the content out.
#[test]
fn a_trust_file_tells_who_signed_it_and_is_called_by_its_digest() {
    let shop = Shop::new();
    let mut body = shop.trust_body();
    body.people[1].roles.push(Role::Owner);
    body.people[3].keys.push(entry(66));
    let open = |seeds: &[u8]| {
        let mut envelope = Envelope::new(Kind::Trust, &body).unwrap();
        for seed in seeds {
            envelope.sign(&key(*seed), Role::Owner, shop::at(&body.made_at)).unwrap();
        }
        Trust::open("t", &envelope.to_file().unwrap(), &Pins::default()).unwrap()
    };
    let words = |seed: u8| key(seed).public().fingerprint_words();
    let signers = |trust: &Trust| {
        let mut found: Vec<_> = trust.signers().map(|(name, words)| (name.to_owned(), words)).collect();
        found.sort();
        found
    };
    let (ansel, wren) = ("Ansel Prewitt-Okoro".to_owned(), "Wren Castellane".to_owned());
    assert_eq!(signers(&open(&[66])), [(ansel.clone(), words(66))]);
    assert_eq!(signers(&open(&[OWNER, shop::WREN])), [(ansel, words(OWNER)), (wren, words(shop::WREN))]);
    let content = canonical::bytes(&body).unwrap();
    let digest: [u8; 32] = Sha256::digest(&content).into();
    assert_eq!(open(&[OWNER]).digest_in_words(), fingerprint_words(&digest));
    // The words are of what is signed, and not of who signed it.
    assert_eq!(open(&[66]).digest_in_words(), open(&[OWNER]).digest_in_words());
}

/// After the instant at which the trust file was signed.
fn later_text() -> String {
    "2026-03-01T00:00:00-06:00".to_owned()
}

/// That a key is known of another shop is said of what it signed there; of a file that it has not signed, that is said.
#[test]
fn a_file_that_a_key_has_not_signed_is_told_as_that() {
    let file = Shop::trust_file(&Shop::new().trust_body());
    for (seed, due) in [(OWNER, "checklist/trust-of-another-shop"), (shop::SECOND, "checklist/trust-not-by-owner")] {
        let each = vec![key(seed).public().kid().to_owned()];
        let pins = Pins { each, shop: Some("Another".to_owned()), least_version: 3, ..Pins::default() };
        let reasons = Trust::open("trust.json", &file, &pins).unwrap_err();
        assert_eq!(reasons.iter().map(|reason| reason.code().word()).collect::<Vec<_>>(), [due]);
    }
}

/// One key signs once: a file that it signed again, at the same instant or at another one, is refused, however many owners
/// must sign.
#[test]
fn a_second_signature_by_one_key_is_a_fault() {
    let shop = Shop::new();
    let body = &shop::sealed(&shop.trust_body());
    let signed = |instants: &[&str]| {
        let mut envelope = Envelope::new(Kind::Trust, body).unwrap();
        for at in instants {
            envelope.sign(&key(OWNER), Role::Owner, shop::at(at)).unwrap();
        }
        Trust::open("trust.json", &envelope.to_file().unwrap(), &Shop::pins())
            .map_or_else(|reasons| said(&reasons).into_iter().map(str::to_owned).collect::<Vec<_>>(), |_| Vec::new())
    };
    let (made, later) = (body.made_at.as_str(), "2026-03-04T09:00:00-06:00");
    assert_eq!(signed(&[made]), [""; 0]);
    for twice in [[made, made], [made, later], [later, made]] {
        assert_eq!(signed(&twice), ["signed-twice"], "{twice:?}");
    }
}
