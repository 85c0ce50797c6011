//! Verifying at the desk: one word for what a checklist is worth, at the present instant or another.

use fillward::checklist::jws::Role;
use fillward::checklist::trust::Revocation;
use fillward::desk::{Answer, Refusal, VerifyOrder};

use crate::shop::counter::{Counter, FILE, RECORD};
use crate::shop::{later, passing};

fn signed() -> Counter {
    let counter = Counter::new();
    counter.sign(|_| {}).unwrap();
    counter
}

/// The answer, and the codes of everything that stands against the file.
fn told(counter: &Counter, change: impl FnOnce(&mut VerifyOrder)) -> (Answer, Vec<String>) {
    let verified = counter.verify(change).unwrap();
    let codes =
        verified.report.reasons().map(|reason| reason.code().word().trim_start_matches("checklist/").to_owned());
    (verified.answer, codes.collect())
}

fn owned(codes: &[&str]) -> Vec<String> {
    codes.iter().map(|code| (*code).to_owned()).collect()
}

#[test]
fn one_word_says_what_a_checklist_is_worth() {
    let counter = signed();
    assert_eq!(told(&counter, |_| {}), (Answer::MayStart, vec![]));
    assert_eq!(told(&counter, |order| order.record = None), (Answer::InOrder, owned(&["record-not-given"])));
    counter.put(RECORD, passing() + "# checked\n");
    assert_eq!(told(&counter, |_| {}), (Answer::Doubtful, owned(&["record-changed"])));
    counter.put(RECORD, passing());
    let job = |number: &str| told(&counter, |order| order.job = Some(number.to_owned())).0;
    assert_eq!((job("HT-0311"), job("HT-0999")), (Answer::MayStart, Answer::Doubtful));
    counter.put(FILE, "");
    assert_eq!(told(&counter, |_| {}), (Answer::Doubtful, owned(&["not-json"])));
}

#[test]
fn another_instant_says_what_was_and_starts_nothing() {
    let counter = signed();
    let at = |seconds| told(&counter, |order| order.at = Some(later(seconds)));
    assert_eq!(at(60), (Answer::CouldHaveStarted { at: later(60) }, owned(&["not-now"])));
    assert_eq!(at(13 * 3600), (Answer::InOrder, owned(&["lapsed", "not-now"])));
    let (answer, codes) = at(-12 * 3600);
    assert_eq!(answer, Answer::Doubtful);
    assert!(["judged-ahead", "signed-ahead"].iter().all(|code| codes.contains(&(*code).to_owned())), "{codes:?}");
    // In winter again, when the shop has the same offset as in March.
    let next_winter = 330 * 86_400;
    assert_eq!(at(next_winter), (Answer::Doubtful, owned(&["trust-ended", "key-ended", "lapsed", "not-now"])));
    // The clock that goes on is no choice of anybody's.
    counter.clock(13 * 3600);
    assert_eq!(told(&counter, |_| {}), (Answer::InOrder, owned(&["lapsed"])));
}

#[test]
fn a_key_revoked_since_starts_nothing() {
    let counter = signed();
    let revoked = |seconds: i128| {
        let at = later(seconds).to_record_text();
        counter.trust(|body| body.people[0].keys[0].revoked = Some(Revocation { at, why: "left".to_owned() }));
        told(&counter, |_| {})
    };
    assert_eq!(revoked(600), (Answer::Doubtful, owned(&["key-revoked-since"])));
    assert_eq!(revoked(1), (Answer::Doubtful, owned(&["key-revoked-since"])));
    // From the second of the signature on.
    assert_eq!(revoked(0).1[0], "key-revoked");
    counter.trust(|body| drop(body.people.remove(0)));
    assert_eq!(told(&counter, |_| {}), (Answer::Doubtful, owned(&["unknown-key", "too-few-signers"])));
    counter.trust(|body| body.people[0].roles = vec![Role::Auditor]);
    assert_eq!(told(&counter, |_| {}).1[0], "wrong-role");
}

/// A trust file taken at its word, and one that is none.
#[test]
fn whose_trust_file_it_is_decides_too() {
    let mut counter = signed();
    counter.owners.clear();
    assert_eq!(told(&counter, |_| {}), (Answer::InOrder, owned(&["trust-unpinned"])));
    counter.put("trust.json", counter.get(FILE).unwrap());
    assert!(matches!(counter.verify(|_| {}), Err(Refusal::Trust { .. })));
}
