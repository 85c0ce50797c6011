//! A shop that has lost its only owner's key, or had it stolen, and begins again with another one.

use fillward::checklist::jws::Envelope;
use fillward::desk::{Acceptance, Answer, Purpose};
use fillward::vocabulary::{Kind, Role};

use crate::shop::counter::{FILE, MALLORY, TRUST, refused};
use crate::shop::world::World;
use crate::shop::{OWNER, Shop, at, key, person, sealed};

/// A shop that has begun again, with another owner's key and the same name.
fn begun_again(counter: &mut Shop<World>) {
    let mut anew = counter.trust_body();
    anew.version = 1;
    anew.people[3] = person(&(MALLORY, "Ansel Prewitt-Okoro", Role::Owner));
    let mut envelope = Envelope::new(Kind::Trust, &sealed(&anew)).unwrap();
    envelope.sign(&key(MALLORY), Role::Owner, at(&anew.made_at)).unwrap();
    counter.put(TRUST, envelope.to_file().unwrap());
    counter.owners = vec![MALLORY];
}

fn accept(counter: &Shop<World>, seed: u8) {
    let key = key(seed).public().clone();
    let words = counter.open(Purpose::Look).unwrap().trust.digest_in_words();
    let owners = vec![(key.clone(), key.fingerprint_words())];
    counter.desk().accept_owners(&Acceptance { file: counter.source(TRUST), owners, words }).unwrap();
}

/// By a trust file with no owner in common nothing is said of a checklist, neither good nor bad: the one by which it was
/// signed was in force all the same.
#[test]
fn what_other_owners_let_sign_is_no_less_in_order() {
    let mut counter = Shop::new().at_desk();
    counter.sign(|order| order.out = Some(FILE.into())).unwrap();
    assert_eq!(counter.verify(|_| {}).unwrap().answer, Answer::MayStart);
    let of_then = counter.get(TRUST).unwrap();
    begun_again(&mut counter);
    accept(&counter, MALLORY);
    let verified = counter.verify(|_| {}).unwrap();
    let codes: Vec<&str> = verified.report.reasons().map(|reason| reason.code().word()).collect();
    assert_eq!((verified.answer, codes), (Answer::DoesNotFit, vec!["checklist/other-shop"]));
    // By the file of then it says what it said.
    counter.put(TRUST, of_then);
    counter.owners = vec![OWNER];
    assert_eq!(counter.verify(|_| {}).unwrap().answer, Answer::MayStart);
}

/// What was accepted is taken back by the same account: nothing starts by that owner any more, until the key is accepted
/// again.
#[test]
fn an_acceptance_can_be_taken_back() {
    let counter = Shop::new().at_desk();
    let owner = key(OWNER).public().clone();
    counter.sign(|order| order.out = Some(FILE.into())).unwrap();
    assert!(counter.desk().disown_owner(&owner).unwrap());
    assert!(!counter.desk().disown_owner(&owner).unwrap(), "it was taken back before");
    assert_eq!(counter.verify(|_| {}).unwrap().answer, Answer::OwnerNotAccepted);
    assert_eq!(refused(counter.open(Purpose::Sign)), ["owner-not-accepted"]);
    accept(&counter, OWNER);
    assert_eq!(counter.verify(|_| {}).unwrap().answer, Answer::MayStart);
}
