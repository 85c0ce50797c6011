//! What one version of a trust file says binds those after it: when it was made, who is in it, how long keys sign, and what
//! was doubtful under it.

use fillward::checklist::jws::Envelope;
use fillward::checklist::trust::{Revocation, TrustBody};
use fillward::desk::{Acceptance, Answer, Purpose, Refusal};
use fillward::vocabulary::{Kind, Role};

use super::trust::{of_two, remembered, signed};
use crate::shop::counter::{FILE, TRUST, accepted, refused};
use crate::shop::world::World;
use crate::shop::{MAIRE, ODILE, OWNER, SECOND, Shop, key, later};

const DAY: i128 = 86_400;
const HOUR: i128 = 3600;

/// The next version, made at an instant, with what has changed.
fn version(counter: &Shop<World>, number: i64, made: i128, change: &dyn Fn(&mut TrustBody)) -> TrustBody {
    let mut body = counter.trust_body();
    (body.version, body.made_at) = (number, later(made).to_record_text());
    change(&mut body);
    body
}

/// What an account that has seen one version makes of the next one: by its memory alone, and by the version in force.
#[track_caller]
fn next_is(before: &dyn Fn(&mut TrustBody), made: [i128; 2], after: &dyn Fn(&mut TrustBody), due: &[&str]) {
    let counter = Shop::new().at_desk();
    counter.clock(10 * DAY);
    let [first, second] = [(4, made[0], before), (5, made[1], after)].map(|(number, made, change)| {
        let body = version(&counter, number, made, change);
        (signed(&body, &[OWNER]), body)
    });
    counter.put(TRUST, &first.0);
    counter.open(Purpose::Look).unwrap();
    counter.put(TRUST, &second.0);
    let opened = counter.open(Purpose::Look).map(|_| ());
    counter.remember(Some(accepted()));
    counter.put(TRUST, &first.0);
    let next = counter.sign_trust(OWNER, &second.1, TRUST).map(|_| ());
    for outcome in [opened, next] {
        match due {
            [] => outcome.unwrap(),
            due => assert_eq!(refused(outcome), due),
        }
    }
}

const NOTHING: &dyn Fn(&mut TrustBody) = &|_| {};

/// The law: no version is made before the one before it, nor before that was signed by more than clocks may differ.
#[test]
fn no_version_is_made_before_the_one_before_it() {
    next_is(NOTHING, [0, 0], NOTHING, &[]);
    next_is(NOTHING, [0, -1], NOTHING, &["trust-unsound"]);
    for (made, due) in [(HOUR, true), (HOUR - 300, true), (HOUR - 301, false)] {
        let counter = Shop::new().at_desk();
        counter.clock(DAY);
        let body = version(&counter, 4, 0, NOTHING);
        let mut envelope = Envelope::new(Kind::Trust, &body).unwrap();
        envelope.sign(&key(OWNER), Role::Owner, later(HOUR)).unwrap();
        let next = version(&counter, 5, made, NOTHING);
        let file = envelope.to_file().unwrap();
        counter.put(TRUST, &file);
        counter.open(Purpose::Look).unwrap();
        counter.put(TRUST, signed(&next, &[OWNER]));
        assert_eq!(counter.open(Purpose::Look).is_ok(), due, "{made}");
        counter.remember(Some(accepted()));
        counter.put(TRUST, file);
        assert_eq!(counter.sign_trust(OWNER, &next, TRUST).is_ok(), due, "{made}");
    }
}

/// The law: a retirement that has come is no plan, whatever instant a later version says that it was made at.
#[test]
fn a_retired_key_signs_no_more_by_a_version_that_says_it_is_older() {
    let retired = |body: &mut TrustBody| {
        let (at, why) = (later(0).to_record_text(), "left the shop".to_owned());
        body.people[0].keys[0].retired = Some(Revocation { at, why });
    };
    next_is(&retired, [0, -DAY], NOTHING, &["trust-unsound"]);
    next_is(&retired, [0, 60], NOTHING, &["trust-unsound"]);
    next_is(&retired, [-DAY, -60], NOTHING, &[]);
}

/// The law: no key begins earlier than a version first said, and an end that had come is never put off.
#[test]
fn no_span_of_a_key_grows_once_it_has_begun_or_ended() {
    type Span = [i128; 2];
    let spans: [(Span, Span, i128, bool); 7] = [
        ([-DAY, DAY], [-DAY, DAY], 60, true),
        ([-DAY, DAY], [-DAY - 1, DAY], 60, false),
        ([-DAY, DAY], [-DAY + 1, DAY], 60, true),
        ([-DAY, DAY], [-DAY, 9 * DAY], DAY - 1, true),
        ([-DAY, DAY], [-DAY, 9 * DAY], DAY, false),
        ([-DAY, DAY], [-DAY, DAY + 1], 2 * DAY, false),
        ([-DAY, DAY], [-DAY, 60], 2 * DAY, true),
    ];
    for (before, after, made, taken) in spans {
        let span = |[from, until]: Span| {
            move |body: &mut TrustBody| {
                let key = &mut body.people[0].keys[0];
                (key.from, key.until) = (later(from).to_record_text(), later(until).to_record_text());
            }
        };
        let due: &[&str] = if taken { &[] } else { &["trust-unsound"] };
        next_is(&span(before), [0, made], &span(after), due);
    }
}

/// The law: nobody vanishes, and no key does.
#[test]
fn nobody_vanishes_from_a_trust_file() {
    next_is(NOTHING, [0, 60], &|body| drop(body.people.remove(0)), &["trust-unsound"]);
    next_is(NOTHING, [0, 60], &|body| body.people[0].keys.clear(), &["trust-unsound"]);
    next_is(NOTHING, [0, 60], &|body| body.people[0].name = "Odile Vargas".to_owned(), &["trust-unsound"]);
    next_is(NOTHING, [0, 60], &|body| body.people[0].keys.push(crate::shop::entry(99)), &[]);
}

/// The law: what is doubtful under one version stays doubtful under every later one that an account sees.
#[test]
fn what_was_judged_before_its_version_was_made_stays_doubtful() {
    let counter = Shop::new().at_desk();
    let four = version(&counter, 4, HOUR, NOTHING);
    let trust = fillward::checklist::trust::Trust::open("trust.json", &signed(&four, &[OWNER]), &Shop::pins()).unwrap();
    let made = Shop::new();
    let (body, mut envelope) = made.make(&crate::shop::passing(), |choices| choices.trust = trust.clone());
    assert_eq!(body.inputs.trust.version, 4);
    envelope.sign(&key(ODILE), Role::Supervisor, later(60)).unwrap();
    counter.put(FILE, envelope.to_file().unwrap());
    counter.clock(2 * HOUR);
    counter.put(TRUST, signed(&four, &[OWNER]));
    for number in [4, 5, 6, 9] {
        if number > 4 {
            let made = HOUR + i128::from(number);
            counter.put(TRUST, signed(&version(&counter, number, made, NOTHING), &[OWNER]));
        }
        let verified = counter.verify(|_| {}).unwrap();
        let said: Vec<_> = verified.report.faults.iter().map(|fault| fault.code().word()).collect();
        assert_eq!((verified.answer, said), (Answer::Doubtful, vec!["checklist/back-dated"]), "{number}");
    }
}

/// The law: over a leap, too, a version is signed by as many owners of the one that was seen as that asked for.
#[test]
fn a_leap_needs_as_many_owners_as_the_version_that_was_seen() {
    for (signers, taken) in [(&[OWNER][..], false), (&[OWNER, SECOND], true)] {
        let counter = Shop::new().at_desk();
        counter.put(TRUST, of_two(&counter, 4, 2, &[OWNER, SECOND]));
        counter.open(Purpose::Look).unwrap();
        counter.put(TRUST, of_two(&counter, 6, 1, signers));
        assert_eq!(counter.open(Purpose::Look).is_ok(), taken);
    }
}

/// The law: where nothing is in force and this account has seen nothing, a shop begins with version 1; a far one would shut
/// everybody out who took it.
#[test]
fn a_shop_begins_with_its_first_version() {
    let counter = Shop::new().at_desk();
    counter.drop(TRUST);
    let far = version(&counter, 7, 0, NOTHING);
    assert_eq!(refused(counter.sign_trust(OWNER, &far, TRUST)), ["trust-unsound"]);
    counter.sign_trust(OWNER, &version(&counter, 1, 0, NOTHING), TRUST).unwrap();
    assert_eq!(refused(counter.sign_trust(OWNER, &far, "elsewhere.json")), ["trust-unsound"]);
}

/// By an older trust file than the checklist names nothing is known of it, for good or ill, but that keys made signatures.
#[test]
fn an_older_trust_file_in_hand_judges_nothing() {
    let counter = Shop::new().at_desk();
    let three = counter.get(TRUST).unwrap();
    counter.trust(|body| body.version = 5);
    counter.sign(|_| {}).unwrap();
    counter.remember(Some(accepted()));
    counter.put(TRUST, three);
    let verified = counter.verify(|_| {}).unwrap();
    assert_eq!(verified.answer, Answer::DoesNotFit);
    let said: Vec<String> = verified.report.reasons().map(ToString::to_string).collect();
    assert_eq!(
        said,
        ["this file was signed under version 5 of the trust file; yours is version 3, so it cannot be judged"]
    );
    let countersigned = counter.countersign((MAIRE, Role::SafetyOfficer));
    assert_eq!(refused(countersigned), ["trust-older"]);
    let forged = String::from_utf8(counter.get(FILE).unwrap()).unwrap().replacen("HT-0311", "HT-0312", 1);
    counter.put(FILE, forged);
    assert_eq!(counter.verify(|_| {}).unwrap().answer, Answer::Doubtful);
}

/// A fresh account looks at what an ended trust file let happen: its owner is accepted by the right words, and nothing
/// starts.
#[test]
fn the_owner_of_an_ended_trust_file_is_accepted_for_looking() {
    let counter = Shop::new().at_desk();
    counter.sign(|_| {}).unwrap();
    counter.remember(None);
    counter.clock(300 * DAY);
    let words = counter.open(Purpose::Look).unwrap().trust.digest_in_words();
    let owners = vec![(key(OWNER).public().clone(), key(OWNER).public().fingerprint_words())];
    counter.desk().accept_owners(&Acceptance { file: counter.source(TRUST), owners, words }).unwrap();
    assert_eq!(counter.verify(|_| {}).unwrap().answer, Answer::Old);
    assert!(matches!(
        counter.sign(|order| order.out = Some("two.checklist.json".into())),
        Err(Refusal::Held | Refusal::Reasons(_) | Refusal::Trust { .. })
    ));
}

/// At first sight of a version an account is told line by line what it says otherwise than the one that it saw last.
#[test]
fn an_account_is_told_what_a_new_version_says() {
    let counter = Shop::new().at_desk();
    assert_eq!(counter.open(Purpose::Look).unwrap().seen_before, None);
    counter.put(TRUST, signed(&version(&counter, 7, 0, &|body| body.owners_needed = 1), &[OWNER]));
    let seen = counter.open(Purpose::Look).unwrap().seen_before.unwrap();
    let changes = seen.changes.as_ref().unwrap();
    assert_eq!((seen.version, changes.len()), (3, 1), "{seen:?}");
    assert_eq!(changes[0].what, "made");
    assert_eq!(counter.open(Purpose::Look).unwrap().seen_before, None);
    let retired = |body: &mut TrustBody| {
        let (at, why) = (later(0).to_record_text(), "left the shop".to_owned());
        body.people[0].keys[0].retired = Some(Revocation { at, why });
    };
    counter.put(TRUST, signed(&version(&counter, 8, 60, &retired), &[OWNER]));
    let seen = counter.open(Purpose::Look).unwrap().seen_before.unwrap();
    let what: Vec<&str> = seen.changes.iter().flatten().map(|change| change.what.as_str()).collect();
    assert!(seen.version == 7 && what.len() == 2 && what[0].starts_with("Odile Varga, key"), "{seen:?}");
}

/// The law: what is remembered of a version is its content, which no edition of the program words otherwise, so what an
/// account is told as said otherwise is what the content says otherwise. What an earlier edition remembered in words of
/// its own is not set beside those of this one: then nothing is told as changed.
#[test]
fn what_another_edition_remembered_in_words_is_no_change() {
    let counter = Shop::new().at_desk();
    let body = counter.open(Purpose::Look).unwrap().trust.body().clone();
    assert_eq!(remembered(&counter)["says"], serde_json::to_value(&body).unwrap());
    let memory: serde_json::Value = serde_json::from_slice(&counter.memory().unwrap()).unwrap();
    let next = signed(&version(&counter, 4, 0, &|body| body.owners_needed = 1), &[OWNER]);
    let seen = |says: Option<serde_json::Value>| {
        let mut memory = memory.clone();
        if let Some(says) = says {
            memory["seen"][key(OWNER).public().kid()]["says"] = says;
        }
        counter.remember(Some((serde_json::to_string_pretty(&memory).unwrap() + "\n").into_bytes()));
        counter.put(TRUST, &next);
        let seen = counter.open(Purpose::Look).unwrap().seen_before.unwrap();
        // From now on it is remembered as this edition does.
        assert_eq!(remembered(&counter)["says"]["version"], 4);
        (seen.version, seen.changes.map(|changes| changes.len()))
    };
    assert_eq!(seen(None), (3, Some(1)));
    let in_words = serde_json::json!({ "made": "2026-02-01T08:00:00-06:00", "shop": "Hollow Tarn" });
    assert_eq!(seen(Some(in_words)), (3, None));
    assert_eq!(seen(Some(serde_json::json!({}))), (3, None));
}
