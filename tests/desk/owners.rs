//! The owners of a trust file: who signs which version, how many of them, and where a version waits until all have.

use fillward::checklist::trust::TrustBody;
use fillward::desk::world::Trouble;
use fillward::desk::{Consent, Purpose};
use fillward::vocabulary::Role;

use super::trust::{DRAFT, not_taken, of_two, signed, two_owners};
use crate::shop::counter::{Counter, MALLORY, TRUST, accepted, refused, with_hand};
use crate::shop::{MAIRE, ODILE, OWNER, SECOND, entry, later, sealed};

#[test]
fn a_trust_file_is_followed_only_by_its_next_version_from_its_owners() {
    let counter = Counter::new();
    counter.drop(TRUST);
    let one = TrustBody { version: 1, ..counter.shop.trust_body() };
    let version = |version| TrustBody { version, ..one.clone() };
    let sign = |body: &TrustBody, seed| counter.sign_trust(seed, body, TRUST);
    assert_eq!(sign(&one, OWNER).unwrap().owners, 1);
    let before = counter.get(TRUST);
    let shop = sealed(&TrustBody { shop: "Another".to_owned(), ..one.clone() });
    assert_eq!(refused(sign(&shop, OWNER)), ["trust-older"]);
    let skipped = sign(&version(3), OWNER);
    assert_eq!(refused(skipped), ["trust-unsound"]);
    // A new owner in the new version does not sign it in place of the one before.
    let mut taken = version(2);
    taken.people[3].keys = vec![entry(MALLORY)];
    assert_eq!(refused(sign(&taken, MALLORY)), ["trust-not-by-owner"]);
    assert_eq!(counter.get(TRUST), before);
    sign(&version(2), OWNER).unwrap();
    counter.open(Purpose::Look).unwrap();
    // The file taken away, what is remembered of it still stands.
    counter.drop(TRUST);
    assert_eq!(refused(sign(&one, OWNER)), ["trust-older"]);
    assert_eq!(refused(sign(&sealed(&TrustBody { shop: "Another".to_owned(), ..version(2) }), OWNER)), ["trust-twin"]);
    let ahead = TrustBody { made_at: "2026-03-05T09:30:00-06:00".to_owned(), ..version(2) };
    assert_eq!(refused(sign(&ahead, OWNER)), ["clock-behind"]);
    // Somebody else changes the file while the passphrase is asked for.
    sign(&version(2), OWNER).unwrap();
    counter.trouble(TRUST, Trouble::Changed);
    assert_eq!(refused(sign(&version(3), OWNER)), ["Changed"]);
}

#[test]
fn only_an_owner_signs_it() {
    let counter = Counter::new();
    counter.drop(TRUST);
    let body = counter.shop.trust_body();
    for seed in [ODILE, MAIRE] {
        assert_eq!(refused(counter.sign_trust(seed, &body, TRUST)), ["wrong-role"]);
    }
    assert_eq!(refused(counter.sign_trust(SECOND, &body, TRUST)), ["unknown-key"]);
    assert!(!counter.has(TRUST));
}

/// People are counted: one owner with two keys is one owner, and a signature that does not hold is none.
#[test]
fn owners_are_counted_and_not_their_signatures() {
    let counter = Counter::new();
    counter.drop(TRUST);
    let mut body = counter.shop.trust_body();
    body.owners_needed = 2;
    body.people[3].keys.push(entry(SECOND));
    body.people[0].roles = vec![Role::Owner];
    let sign = |seed| counter.sign_trust(seed, &body, TRUST);
    assert_eq!(sign(OWNER).unwrap().owners, 1);
    assert_eq!(refused(sign(OWNER)), ["signed-twice"]);
    let second = sign(SECOND).unwrap();
    assert_eq!((second.owners, second.missing.len()), (1, 1));
    assert!(!counter.has(TRUST));
    let good = counter.get(DRAFT).unwrap();
    let mut value: serde_json::Value = serde_json::from_slice(&good).unwrap();
    value["signatures"][1]["signature"] = value["signatures"][0]["signature"].clone();
    counter.put(DRAFT, serde_json::to_string_pretty(&value).unwrap() + "\n");
    assert_eq!(refused(sign(ODILE)), ["changed"]);
    counter.put(DRAFT, good);
    let third = sign(ODILE).unwrap();
    assert_eq!((third.owners, third.missing.len()), (2, 0));
    assert!(!counter.has(DRAFT));
    counter.open(Purpose::Sign).unwrap();
    // A change of the content starts without signatures.
    body.version += 1;
    assert_eq!(counter.sign_trust(OWNER, &body, TRUST).unwrap().owners, 1);
}

/// Where two owners must sign, one of them does not make a version that asks for one: it waits beside the one in force.
#[test]
fn the_version_in_force_stays_until_the_next_one_is_complete() {
    let mut counter = Counter::new();
    counter.drop(TRUST);
    let two = two_owners(&counter, 1, 2);
    assert_eq!(counter.sign_trust(OWNER, &two, TRUST).unwrap().owners, 1);
    assert!(!counter.has(TRUST) && counter.has(DRAFT));
    assert_eq!(counter.sign_trust(SECOND, &two, TRUST).unwrap().owners, 2);
    let in_force = counter.get(TRUST).unwrap();
    assert!(!counter.has(DRAFT));
    let lowered = TrustBody { version: 2, owners_needed: 1, ..two.clone() };
    let signed = counter.sign_trust(OWNER, &lowered, TRUST).unwrap();
    let missing: Vec<_> = signed.missing.iter().map(|reason| reason.code().word()).collect();
    assert_eq!(missing, ["checklist/trust-fewer-owners"]);
    assert_eq!((signed.name, counter.get(TRUST).unwrap()), (DRAFT.into(), in_force.clone()));
    assert_eq!(counter.open(Purpose::Sign).unwrap().trust.version(), 1);
    // Another draft of the same version replaces the one that waits, and its signatures with it.
    let next = TrustBody { version: 2, ..two };
    assert_eq!(counter.sign_trust(OWNER, &next, TRUST).unwrap().owners, 1);
    assert_eq!(counter.get(TRUST).unwrap(), in_force);
    // The other owner signs what waits, and it comes in force.
    let draft = counter.desk().draft_that_waits(std::path::Path::new(TRUST)).unwrap();
    assert_eq!(draft.proposal().signed, ["Ansel Prewitt-Okoro"]);
    let desk = counter.desk();
    let signed = with_hand((SECOND, Role::Owner), |hand| draft.sign(&desk, hand, &Consent::Given)).unwrap();
    assert!(signed.missing.is_empty());
    assert!(!counter.has(DRAFT));
    counter.owners = vec![OWNER, SECOND];
    assert_eq!(counter.open(Purpose::Sign).unwrap().trust.version(), 2);
}

/// What several people ask for comes into one version; a draft of a version that is in force is past.
#[test]
fn the_next_version_goes_on_from_the_draft_that_waits() {
    let counter = Counter::new();
    counter.drop(TRUST);
    let two = two_owners(&counter, 1, 2);
    counter.sign_trust(OWNER, &two, TRUST).unwrap();
    counter.sign_trust(SECOND, &two, TRUST).unwrap();
    let next = || counter.desk().next_trust(std::path::Path::new(TRUST)).unwrap();
    let mut body = next();
    assert_eq!((body.version, &body.made_at), (2, &later(0).to_record_text()));
    // A shop of another name needs the officer's approvals anew.
    body.shop = "Hollow Tarn depot".to_owned();
    let body = sealed(&body);
    counter.sign_trust(OWNER, &body, TRUST).unwrap();
    assert_eq!((next().version, next().shop), (2, body.shop.clone()));
    let draft = counter.get(DRAFT).unwrap();
    counter.sign_trust(SECOND, &body, TRUST).unwrap();
    assert_eq!(next().version, 3);
    counter.put(DRAFT, draft);
    let other = TrustBody { ends_at: "2026-07-01T00:00:00-06:00".to_owned(), ..next() };
    assert_eq!((next().version, &next().ends_at), (3, &body.ends_at));
    assert_eq!(counter.sign_trust(OWNER, &other, TRUST).unwrap().missing.len(), 2);
}

/// One of two owners writes a version that asks for one owner only and leaves the other out.
#[test]
fn one_of_two_owners_cannot_take_the_shop_over() {
    let mut counter = Counter::new();
    counter.put(TRUST, of_two(&counter, 3, 2, &[OWNER, SECOND]));
    counter.owners = vec![OWNER, SECOND];
    counter.sign(|_| {}).unwrap();
    let alone = signed(&TrustBody { version: 4, ..counter.shop.trust_body() }, &[OWNER]);
    counter.put(TRUST, &alone);
    not_taken(&counter, &["trust-not-by-owner", "trust-fewer-owners"]);
    assert_eq!(refused(counter.verify(|_| {})), ["trust-not-by-owner", "trust-fewer-owners"]);
    counter.owners = vec![OWNER];
    not_taken(&counter, &["trust-fewer-owners"]);
    // Nor with an owner made up for it, who signs as the second.
    let mut invented = TrustBody { version: 4, owners_needed: 2, ..counter.shop.trust_body() };
    invented.people[0].roles = vec![Role::Owner];
    counter.put(TRUST, signed(&invented, &[OWNER, ODILE]));
    not_taken(&counter, &["trust-fewer-owners"]);
    // A machine that knows nothing of the first version is told by the keys on paper.
    counter.remember(Some(accepted()));
    counter.owners = vec![OWNER, SECOND];
    not_taken(&counter, &["trust-not-by-owner"]);
    // The shop may lawfully come to ask for one owner only: both sign that, and from then on one is enough.
    counter.put(TRUST, of_two(&counter, 3, 2, &[OWNER, SECOND]));
    counter.open(Purpose::Sign).unwrap();
    counter.put(TRUST, of_two(&counter, 4, 1, &[OWNER, SECOND]));
    counter.open(Purpose::Sign).unwrap();
    counter.owners = vec![OWNER];
    counter.put(TRUST, of_two(&counter, 5, 1, &[OWNER]));
    counter.sign(|order| order.out = Some("second.json".into())).unwrap();
}
