//! The trust file at the desk: what is remembered of it, and why another is not taken for it.

use fillward::checklist::jws::Envelope;
use fillward::checklist::trust::{Revocation, TrustBody, TrustChange, changes};
use fillward::desk::world::Trouble;
use fillward::desk::{Consent, NamedBytes, Purpose, Refusal, Unfit};
use fillward::document::Fault;
use fillward::vocabulary::{Kind, Role};

use crate::common;
use crate::shop::counter::{FILE, MALLORY, RECORD, TRUST, accepted, refused, with_hand};
use crate::shop::world::World;
use crate::shop::{MAIRE, ODILE, OWNER, PEOPLE, SECOND, Shop, entry, key, later, passing};

/// Where a version waits that not all have signed who must.
pub(super) const DRAFT: &str = "trust.next.json";

fn kid(seed: u8) -> String {
    key(seed).public().kid().to_owned()
}

/// What is written down where trust files signed with a key have been seen, and the shop's owners accepted.
pub(super) fn marked(marks: &[(u8, i64)]) -> Vec<u8> {
    let mut known: serde_json::Value = serde_json::from_slice(&accepted()).unwrap();
    for (seed, version) in marks {
        known["seen"][kid(*seed)] = serde_json::json!({
            "approvals": {}, "clock_anew": null, "formerly": [], "keys": {}, "needed": 1, "owners": [[kid(*seed)]],
            "people": [], "says": {}, "sha256": "0".repeat(64),
            "shop": "Hollow Tarn",
            "time": common::DEMO_AT, "version": version,
            "versions": {},
        });
    }
    (serde_json::to_string_pretty(&known).unwrap() + "\n").into_bytes()
}

fn mark(version: i64) -> Vec<u8> {
    marked(&[(OWNER, version)])
}

/// What is remembered of the files of the shop's owner.
pub(super) fn remembered(counter: &Shop<World>) -> serde_json::Value {
    let known: serde_json::Value = serde_json::from_slice(&counter.memory().unwrap()).unwrap();
    known["seen"][kid(OWNER)].clone()
}

/// The trust file of the shop with a second owner, as whoever is given signed it.
pub(super) fn of_two(counter: &Shop<World>, version: i64, needed: u16, signers: &[u8]) -> Vec<u8> {
    signed(&two_owners(counter, version, needed), signers)
}

pub(super) fn two_owners(counter: &Shop<World>, version: i64, needed: u16) -> TrustBody {
    let mut body = counter.trust_body();
    (body.version, body.owners_needed) = (version, needed);
    body.people.push(crate::shop::person(&PEOPLE[4]));
    body
}

pub(super) fn signed(body: &TrustBody, signers: &[u8]) -> Vec<u8> {
    let mut envelope = Envelope::new(Kind::Trust, body).unwrap();
    for seed in signers {
        envelope.sign(&key(*seed), Role::Owner, crate::shop::at(&body.made_at)).unwrap();
    }
    envelope.to_file().unwrap()
}

/// Opened to look and to sign, it is refused alike.
#[track_caller]
pub(super) fn not_taken(counter: &Shop<World>, codes: &[&str]) {
    assert_eq!(refused(counter.open(Purpose::Look)), codes);
    assert_eq!(refused(counter.open(Purpose::Sign)), codes);
}

#[test]
fn an_older_version_put_back_is_noticed() {
    let counter = Shop::new().at_desk();
    let three = counter.get(TRUST).unwrap();
    counter.sign(|_| {}).unwrap();
    assert_eq!(remembered(&counter)["version"], 3);
    counter.trust(|body| body.version = 4);
    assert!(counter.open(Purpose::Look).unwrap().unremembered.is_none());
    assert_eq!(remembered(&counter)["version"], 4);
    counter.put(TRUST, &three);
    not_taken(&counter, &["trust-older"]);
    assert_eq!(refused(counter.verify(|_| {})), ["trust-older"]);
    // A machine that knows nothing is told by the version from paper, or by the checklist.
    counter.remember(Some(accepted()));
    assert_eq!(refused(counter.open_at_least(Purpose::Look, 4)), ["trust-older"]);
    counter.trust(|body| body.version = 4);
    counter.sign(|order| order.out = Some("four.checklist.json".into())).unwrap();
    counter.remember(Some(accepted()));
    counter.put(TRUST, three);
    counter.put(FILE, counter.get("four.checklist.json").unwrap());
    let verified = counter.verify(|_| {}).unwrap();
    assert_eq!(verified.report.bars[0].code().word(), "checklist/trust-older");
}

/// What is remembered is taken only as it was written, and belongs to an owner's key.
#[test]
fn what_is_remembered_is_of_one_owner_and_read_exactly() {
    let counter = Shop::new().at_desk();
    let odd = |bytes: &[u8]| {
        counter.remember(Some(bytes.to_owned()));
        assert!(matches!(counter.open(Purpose::Look), Err(Refusal::Memory { .. })), "{bytes:?}");
    };
    odd(b"{}\n");
    odd(b"");
    let text = String::from_utf8(mark(9)).unwrap();
    odd(text.replace(": 9", ": \"nine\"").as_bytes());
    odd(text.trim_end().as_bytes());
    // Another owner's files have a history of their own.
    counter.remember(Some(marked(&[(MALLORY, 9)])));
    counter.open(Purpose::Sign).unwrap();
    let known: serde_json::Value = serde_json::from_slice(&counter.memory().unwrap()).unwrap();
    assert_eq!([&known["seen"][kid(MALLORY)]["version"], &known["seen"][kid(OWNER)]["version"]], [9, 3]);
}

/// Who puts a key to use must be able to remember the trust file; who only looks is told that it is not remembered.
#[test]
fn what_cannot_be_remembered_signs_nothing() {
    let counter = Shop::new().at_desk();
    for what in [Trouble::Busy, Trouble::Nowhere, Trouble::Unwritable { why: "read-only".to_owned() }] {
        counter.trouble("memory", what.clone());
        let opened = counter.open(Purpose::Look).unwrap();
        assert!(matches!(opened.unremembered, Some(Refusal::Store(fault)) if fault.what == what));
        counter.trouble("memory", what);
        assert!(matches!(counter.sign(|_| {}), Err(Refusal::Store(_))));
    }
    assert!(counter.memory() == Some(accepted()) && !counter.has(FILE));
    counter.sign(|_| {}).unwrap();
}

/// Two acts at once: what the faster one remembered is taken in, whoever's it is.
#[test]
fn what_others_remember_meanwhile_is_kept() {
    let counter = Shop::new().at_desk();
    counter.rival(marked(&[(MALLORY, 1)]));
    counter.open(Purpose::Sign).unwrap();
    let both: serde_json::Value = serde_json::from_slice(&counter.memory().unwrap()).unwrap();
    assert_eq!([&both["seen"][kid(MALLORY)]["version"], &both["seen"][kid(OWNER)]["version"]], [1, 3]);
    // The faster one has seen a later version of the same file, or another one of the same.
    for (version, code) in [(4, "trust-older"), (3, "trust-twin")] {
        counter.remember(Some(accepted()));
        counter.rival(mark(version));
        not_taken(&counter, &[code]);
    }
    // As many others as a shop never has: it ends, and does not turn for ever.
    counter.remember(Some(accepted()));
    for number in 0..100 {
        counter.rival(mark(if number % 2 == 0 { 1 } else { 2 }));
    }
    assert_eq!(refused(counter.open(Purpose::Sign)), ["Changed"]);
}

#[test]
fn a_key_is_put_to_use_only_by_a_trust_file_of_a_known_owner() {
    let mut counter = Shop::new().at_desk();
    counter.owners.clear();
    assert_eq!(refused(counter.open(Purpose::Sign)), ["NoOwner"]);
    // Looking is free, and nothing is remembered of a file that anybody could have made.
    assert!(!counter.open(Purpose::Look).unwrap().trust.is_pinned());
    assert_eq!(counter.memory(), Some(accepted()));
    // Somebody else's key is none of its owner's.
    for seed in [SECOND, ODILE] {
        counter.owners = vec![seed];
        not_taken(&counter, &["trust-not-by-owner"]);
    }
}

/// Each fault of a file that does not hold together has a code, the line where it is written, and a cure of its own.
#[test]
fn unsound_trust_is_refused_at_its_line_before_anybody_signs_it() {
    let counter = Shop::new().at_desk();
    counter.drop(TRUST);
    let unsound = |phrase: &str, line: &str, change: &dyn Fn(&mut TrustBody)| {
        let mut body = counter.trust_body();
        change(&mut body);
        let Refusal::Invalid(faults) = counter.sign_trust(OWNER, &body, TRUST).unwrap_err() else { panic!("{phrase}") };
        let told = |fault: &Fault| format!("{fault} {}", fault.cure().unwrap());
        for fault in &faults {
            assert_eq!(fault.code().word(), "checklist/trust-unsound", "{phrase}");
            assert!(fault.cure().is_some_and(|cure| cure.len() > 10), "{phrase}: {fault:?}");
        }
        let found = faults.iter().find(|fault| told(fault).contains(phrase));
        let found = found.unwrap_or_else(|| panic!("{phrase}: {faults:?}"));
        let (source, span) = (found.source().unwrap(), found.span().unwrap());
        let lines: Vec<&str> = source.text().lines().collect();
        let number = source.text().get(..span.start).unwrap().matches('\n').count();
        // The text of a block begins in the line after its key.
        let found = if lines[number].contains("BEGIN PUBLIC KEY") { lines[number - 1] } else { lines[number] };
        assert!(found.contains(line), "{phrase}: `{found}` and not `{line}`");
    };
    unsound("it ends before it is made", "ends_at:", &|body| body.ends_at.clone_from(&body.made_at));
    unsound("3 owners must sign, and it names 1", "owners_needed: 3", &|body| body.owners_needed = 3);
    unsound("two people are called", "name: Wren Castellane", &|body| {
        body.people[0].name = "Wren Castellane".to_owned();
    });
    // A Cyrillic letter in a Latin name.
    unsound("has a word of two alphabets", "dile Varga", &|body| body.people[0].name = "\u{41e}dile Varga".to_owned());
    unsound("look alike", "name: Wren Castellane", &|body| body.people[0].name = "Wren CasteIlane".to_owned());
    unsound("who is no safety officer", "approved_by: Maire Lindqvist", &|body| {
        body.people[2].roles = vec![Role::Auditor];
    });
    unsound("name one who has it, such as Wren Castellane", "approved_by:", &|body| {
        body.people[2].roles = vec![Role::Auditor];
        body.people[1].roles = vec![Role::SafetyOfficer];
    });
    unsound("add Maire Lindqvist to `people` with the role `safety-officer`", "approved_by:", &|body| {
        drop(body.people.remove(2));
    });
    unsound("stands there twice", "public_key:", &|body| body.people[0].keys = vec![entry(MAIRE)]);
    unsound("ends before it begins", "until:", &|body| {
        let key = &mut body.people[0].keys[0];
        key.until.clone_from(&key.from);
    });
    unsound("it begins the clock anew after it is made", "clock_anew:", &|body| {
        body.clock_anew = Some(later(60).to_record_text());
    });
    unsound("by a name, and not by the signature", "approved_by:", &|body| body.packs[0].seal = None);
    unsound("its time zone", "zone:", &|body| body.zone = "America/Chikago".to_owned());
    unsound("is not an instant as it is written here", "ends_at:", &|body| {
        body.ends_at = "2027-13-01T00:00:00-06:00".to_owned();
    });
    unsound("is not in Unicode's form NFC", "why:", &|body| {
        let (at, why) = (later(-60).to_record_text(), "laisse\u{301}".to_owned());
        body.people[0].keys[0].retired = Some(Revocation { at, why });
    });
    assert!(!counter.has(TRUST));
}

/// The second of two that clash is the one that is pointed at, wherever it stands among how many people.
#[test]
fn of_a_crowd_the_line_is_the_one_that_clashes() {
    let counter = Shop::new().at_desk();
    for people in 2..9_usize {
        for clash in 1..people {
            let mut body = counter.trust_body();
            let extra = |number: usize| {
                let mut person = body.people[0].clone();
                person.name = format!("Zora {}", "Q".repeat(number + 1));
                (person.roles, person.keys) = (vec![Role::Auditor], Vec::new());
                person
            };
            let mut extras: Vec<_> = (0..people).map(extra).collect();
            extras[clash].name = extras[0].name.clone();
            let first = body.people.len();
            body.people.extend(extras);
            let text = serde_yaml::to_string(&body).unwrap();
            let Refusal::Invalid(faults) = counter.sign_trust(OWNER, &body, TRUST).unwrap_err() else { panic!() };
            let [fault] = faults.iter().collect::<Vec<_>>()[..] else { panic!("{faults:?}") };
            let before = text.get(..fault.span().unwrap().start).unwrap();
            assert_eq!(before.matches("name: ").count(), first + clash + 1, "{people} {clash}");
        }
    }
}

/// Nobody signs what was not shown: the version is written out, and what is shown names everything that is said otherwise.
#[test]
fn a_version_is_signed_with_consent_to_what_it_changes() {
    let counter = Shop::new().at_desk();
    let mut body = counter.trust_body();
    body.version = 4;
    body.people[1].roles.push(Role::Owner);
    let source = NamedBytes { name: "trust.yaml".into(), bytes: serde_yaml::to_string(&body).unwrap().into_bytes() };
    let draft = || counter.draft_trust(&source, TRUST).unwrap();
    let change = TrustChange {
        what: "Wren Castellane, role".to_owned(),
        before: Some("supervisor".to_owned()),
        after: Some("supervisor, owner".to_owned()),
    };
    assert_eq!(draft().proposal().changes, [change]);
    let sign = |consent: &str| {
        let desk = counter.desk();
        with_hand((OWNER, Role::Owner), |hand| draft().sign(&desk, hand, &Consent::Written(consent.to_owned())))
    };
    for other in ["", "3", "y", "44"] {
        assert!(matches!(sign(other), Err(Refusal::Unfit(Unfit::VersionNotConfirmed))));
    }
    assert!(sign(" 4\n").unwrap().missing.is_empty());
}

/// Whatever is changed in a trust file is shown, however it came to be changed.
#[test]
fn whatever_is_changed_is_shown() {
    let shop = crate::shop::Shop::new();
    let mut body = shop.trust_body();
    body.people[0].keys[0].retired = Some(Revocation { at: body.made_at.clone(), why: "left".to_owned() });
    body.people[1].keys[0].revoked = Some(Revocation { at: body.made_at.clone(), why: "stolen".to_owned() });
    body.clock_anew = Some(body.made_at.clone());
    body.packs[0].until = Some(body.ends_at.clone());
    let good = serde_json::to_value(&body).unwrap();
    let mut tried = 0;
    for path in leaves(&good, "") {
        let mut changed = good.clone();
        let value = changed.pointer_mut(&path).unwrap();
        *value = match &value {
            serde_json::Value::String(text) if path.contains("roles") => {
                serde_json::json!(if *text == "auditor" { "owner" } else { "auditor" })
            }
            serde_json::Value::String(text) => serde_json::json!(format!("{text} otherwise")),
            serde_json::Value::Bool(so) => serde_json::json!(!*so),
            number => serde_json::json!(number.as_i64().unwrap() + 1),
        };
        let changed: TrustBody = serde_json::from_value(changed).unwrap();
        let shown = changes(Some(&body), &changed);
        let heading = ["/format", "/version"].contains(&path.as_str());
        assert_eq!(shown.is_empty(), heading, "{path}: {shown:?}");
        tried += 1;
    }
    assert!(tried > 30, "{tried}");
    assert_eq!(changes(Some(&body), &body), []);
    // One who stands there twice is not one who stands there once.
    let mut twice = body.clone();
    twice.people.push(body.people[0].clone());
    assert!(!changes(Some(&body), &twice).is_empty());
}

/// The places of all values that are no lists, maps or null.
fn leaves(value: &serde_json::Value, at: &str) -> Vec<String> {
    match value {
        serde_json::Value::Object(map) => {
            map.iter().flat_map(|(key, value)| leaves(value, &format!("{at}/{key}"))).collect()
        }
        serde_json::Value::Array(list) => {
            list.iter().enumerate().flat_map(|(place, value)| leaves(value, &format!("{at}/{place}"))).collect()
        }
        serde_json::Value::Null => Vec::new(),
        _ => vec![at.to_owned()],
    }
}

/// The YAML is held against its schema, with places, before anything else of it counts.
#[test]
fn a_trust_file_that_is_not_one_is_an_invalid_document() {
    let counter = Shop::new().at_desk();
    counter.put("odd.yaml", "shop: Hollow Tarn\n");
    let source = counter.source("odd.yaml");
    assert!(matches!(counter.draft_trust(&source, "odd.json"), Err(Refusal::Invalid(_))));
    // The YAML itself is not a signed file, and a checklist is none either.
    counter.put(TRUST, "shop: Hollow Tarn\n");
    not_taken(&counter, &["not-json"]);
}

/// The trust file's own time: past its end, or made when the clock was ahead.
#[test]
fn a_trust_file_out_of_its_time_lets_nothing_start() {
    let counter = Shop::new().at_desk();
    counter.sign(|_| {}).unwrap();
    counter.trust(|body| body.ends_at = later(60).to_record_text());
    counter.clock(60);
    let answer = |counter: &Shop<World>| {
        let verified = counter.verify(|_| {}).unwrap();
        assert!(!verified.report.may_start());
        verified.report.reasons().map(|reason| reason.code().word()).collect::<Vec<_>>()
    };
    assert_eq!(answer(&counter), ["checklist/trust-ended"]);
    counter.put(RECORD, passing());
    assert_eq!(refused(counter.sign(|order| order.out = Some("again.checklist.json".into()))), ["trust-ended"]);
    assert!(!counter.has("again.checklist.json"));
}
