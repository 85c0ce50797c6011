//! The owners of a trust file: who signs which version, how many of them, and where a version waits until all have.

use fillward::checklist::jws::Envelope;
use fillward::checklist::trust::{TrustBody, TrustChange};
use fillward::desk::world::Trouble;
use fillward::desk::{Consent, Purpose, TrustOrder};
use fillward::vocabulary::{Kind, Role};
use proptest::prelude::*;

use super::trust::{DRAFT, not_taken, of_two, signed, two_owners};
use crate::shop::counter::{MALLORY, TRUST, accepted, refused, with_hand};
use crate::shop::{MAIRE, ODILE, OWNER, SECOND, Shop, entry, later, sealed};

#[test]
fn a_trust_file_is_followed_only_by_its_next_version_from_its_owners() {
    let counter = Shop::new().at_desk();
    counter.drop(TRUST);
    let one = TrustBody { version: 1, ..counter.trust_body() };
    let version = |version| TrustBody { version, made_at: later(0).to_record_text(), ..one.clone() };
    let sign = |body: &TrustBody, seed| counter.sign_trust(seed, body, TRUST);
    assert_eq!(sign(&one, OWNER).unwrap().owners, 1);
    let before = counter.get(TRUST);
    let shop = sealed(&TrustBody { shop: "Another".to_owned(), ..one.clone() });
    assert_eq!(refused(sign(&shop, OWNER)), ["trust-older"]);
    let skipped = sign(&version(3), OWNER);
    assert_eq!(refused(skipped), ["trust-unsound"]);
    // A new owner in the new version does not sign it in place of the one before.
    let mut taken = version(2);
    taken.people[3].keys.push(entry(MALLORY));
    assert_eq!(refused(sign(&taken, MALLORY)), ["trust-not-by-owner"]);
    assert_eq!(counter.get(TRUST), before);
    sign(&version(2), OWNER).unwrap();
    counter.open(Purpose::Look).unwrap();
    // The file taken away, what is remembered of it still stands.
    counter.drop(TRUST);
    assert_eq!(refused(sign(&one, OWNER)), ["trust-older"]);
    let twin = TrustBody { ends_at: "2026-07-01T00:00:00-06:00".to_owned(), ..version(2) };
    assert_eq!(refused(sign(&twin, OWNER)), ["trust-twin"]);
    let another = sealed(&TrustBody { shop: "Another".to_owned(), ..version(2) });
    assert_eq!(refused(sign(&another, OWNER)), ["trust-of-another-shop"]);
    let ahead = TrustBody { made_at: "2026-03-05T09:30:00-06:00".to_owned(), ..version(2) };
    assert_eq!(refused(sign(&ahead, OWNER)), ["clock-behind"]);
    // Somebody else changes the file while the passphrase is asked for.
    sign(&version(2), OWNER).unwrap();
    counter.trouble(TRUST, Trouble::Changed);
    assert_eq!(refused(sign(&version(3), OWNER)), ["Changed"]);
}

#[test]
fn only_an_owner_signs_it() {
    let counter = Shop::new().at_desk();
    counter.drop(TRUST);
    let body = TrustBody { version: 1, ..counter.trust_body() };
    for seed in [ODILE, MAIRE] {
        assert_eq!(refused(counter.sign_trust(seed, &body, TRUST)), ["wrong-role"]);
    }
    assert_eq!(refused(counter.sign_trust(SECOND, &body, TRUST)), ["unknown-key"]);
    assert!(!counter.has(TRUST));
}

/// People are counted: one owner with two keys is one owner, and a signature that does not hold is none.
#[test]
fn owners_are_counted_and_not_their_signatures() {
    let counter = Shop::new().at_desk();
    counter.drop(TRUST);
    let mut body = counter.trust_body();
    (body.version, body.owners_needed) = (1, 2);
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
    (body.version, body.made_at) = (2, later(0).to_record_text());
    assert_eq!(counter.sign_trust(OWNER, &body, TRUST).unwrap().owners, 1);
}

/// Where two owners must sign, one of them does not make a version that asks for one: it waits beside the one in force.
#[test]
fn the_version_in_force_stays_until_the_next_one_is_complete() {
    let mut counter = Shop::new().at_desk();
    counter.drop(TRUST);
    let two = two_owners(&counter, 1, 2);
    assert_eq!(counter.sign_trust(OWNER, &two, TRUST).unwrap().owners, 1);
    assert!(!counter.has(TRUST) && counter.has(DRAFT));
    assert_eq!(counter.sign_trust(SECOND, &two, TRUST).unwrap().owners, 2);
    let in_force = counter.get(TRUST).unwrap();
    assert!(!counter.has(DRAFT));
    let made_at = later(0).to_record_text();
    let lowered = TrustBody { version: 2, owners_needed: 1, made_at: made_at.clone(), ..two.clone() };
    let signed = counter.sign_trust(OWNER, &lowered, TRUST).unwrap();
    let missing: Vec<_> = signed.missing.iter().map(|reason| reason.code().word()).collect();
    assert_eq!(missing, ["checklist/trust-fewer-owners"]);
    assert_eq!((signed.name, counter.get(TRUST).unwrap()), (DRAFT.into(), in_force.clone()));
    assert_eq!(counter.open(Purpose::Sign).unwrap().trust.version(), 1);
    // Another draft of the same version replaces the one that waits, and its signatures with it.
    let next = TrustBody { version: 2, made_at, ..two };
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
    let counter = Shop::new().at_desk();
    counter.drop(TRUST);
    let two = two_owners(&counter, 1, 2);
    counter.sign_trust(OWNER, &two, TRUST).unwrap();
    counter.sign_trust(SECOND, &two, TRUST).unwrap();
    let next = || counter.desk().next_trust(std::path::Path::new(TRUST)).unwrap().body;
    let mut body = next();
    assert_eq!((body.version, &body.made_at), (2, &later(0).to_record_text()));
    body.rename("Hollow Tarn depot").unwrap();
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
    let mut counter = Shop::new().at_desk();
    counter.put(TRUST, of_two(&counter, 3, 2, &[OWNER, SECOND]));
    counter.owners = vec![OWNER, SECOND];
    counter.sign(|_| {}).unwrap();
    let alone = signed(&TrustBody { version: 4, ..counter.trust_body() }, &[OWNER]);
    counter.put(TRUST, &alone);
    not_taken(&counter, &["trust-not-by-owner", "trust-fewer-owners"]);
    assert_eq!(refused(counter.verify(|_| {})), ["trust-not-by-owner", "trust-fewer-owners"]);
    counter.owners = vec![OWNER];
    not_taken(&counter, &["trust-fewer-owners"]);
    // Nor with an owner made up for it, who signs as the second.
    let mut invented = TrustBody { version: 4, owners_needed: 2, ..counter.trust_body() };
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
    counter.sign(|order| order.out = Some("second.checklist.json".into())).unwrap();
}

/// One thing that somebody who can write the folder puts into a draft.
type Planted = (&'static str, fn(&mut TrustBody));

const PLANTED: [Planted; 9] = [
    ("a person", |body| body.people.push(crate::shop::person(&crate::shop::PEOPLE[5]))),
    ("a role", |body| body.people[0].roles.push(Role::SafetyOfficer)),
    ("a key", |body| body.people[0].keys.push(entry(MALLORY))),
    ("an owner", |body| body.people[1].roles.push(Role::Owner)),
    ("an end", |body| "2026-12-01T00:00:00-06:00".clone_into(&mut body.ends_at)),
    ("a key that lasts", |body| "2029-01-01T00:00:00-06:00".clone_into(&mut body.people[0].keys[0].until)),
    ("an approval ended", |body| body.packs[0].until = Some(later(0).to_record_text())),
    ("a pack without a good signature", |body| {
        let mut pack = body.packs[0].clone();
        "2031.1".clone_into(&mut pack.edition);
        body.packs.push(pack);
    }),
    ("a clock", |body| body.clock_anew = Some("2026-02-01T08:00:00-06:00".to_owned())),
];

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(60) })]

    /// The law: of a draft that waits only what an owner has signed comes into the next version, and approvals that a safety
    /// officer has signed with a key that stands. Whatever else somebody puts there, no act of an owner takes it on, nor
    /// does a signature of anybody but an owner help.
    #[test]
    fn a_draft_that_nobody_signed_brings_nothing_in(
        planted in prop::collection::btree_set(0..PLANTED.len(), 1..4),
        approved in any::<bool>(),
        signer in prop::option::of(prop::sample::select(vec![ODILE, MAIRE, MALLORY])),
    ) {
        let counter = Shop::new().at_desk();
        counter.put(TRUST, signed(&counter.trust_body(), &[OWNER]));
        let before = counter.desk().next_trust(std::path::Path::new(TRUST)).unwrap();
        prop_assert!(before.carried.is_none());
        let mut draft = before.body.clone();
        if approved {
            let mut pack = draft.packs[0].clone();
            (pack.edition, pack.from) = ("2026.9".to_owned(), later(0).to_record_text());
            pack.sign(&draft.shop, &crate::shop::key(MAIRE), later(0)).unwrap();
            (draft.packs[0].until, draft.packs[0].once_signed) = (Some(pack.from.clone()), true);
            draft.packs.push(pack);
        }
        let honest = draft.clone();
        for place in &planted {
            PLANTED[*place].1(&mut draft);
        }
        let file = |body: &TrustBody| {
            let mut envelope = Envelope::new(Kind::Trust, body).unwrap();
            if let Some(seed) = signer {
                envelope.sign(&crate::shop::key(seed), Role::Owner, later(0)).unwrap();
            }
            envelope.to_file().unwrap()
        };
        // An approval that has a successor ends by that; to end it then plants nothing.
        prop_assume!(draft != honest);
        counter.put(DRAFT, file(&draft));
        let told = refused(counter.desk().next_trust(std::path::Path::new(TRUST)));
        prop_assert!(told[0].starts_with("Draft(OfNobody"), "{:?}", told);
        prop_assert!(refused(counter.desk().draft_that_waits(std::path::Path::new(TRUST)))[0].starts_with("Draft(OfNobody"));
        // Approvals alone are gone on from; what an owner has signed is, too.
        counter.put(DRAFT, file(&honest));
        let next = counter.desk().next_trust(std::path::Path::new(TRUST)).unwrap();
        prop_assert_eq!(&next.body, &TrustBody { made_at: next.body.made_at.clone(), ..honest });
        prop_assert_eq!(next.carried.unwrap().owners, vec![]);
        counter.put(DRAFT, signed_now(&draft));
        let next = counter.desk().next_trust(std::path::Path::new(TRUST)).unwrap();
        let owners = next.carried.unwrap().owners;
        prop_assert_eq!(owners[0].0.as_str(), "Ansel Prewitt-Okoro");
    }
}

/// Signed by the shop's owner when it was made.
fn signed_now(body: &TrustBody) -> Vec<u8> {
    let mut envelope = Envelope::new(Kind::Trust, body).unwrap();
    envelope.sign(&crate::shop::key(OWNER), Role::Owner, later(0)).unwrap();
    envelope.to_file().unwrap()
}

/// Consent that is given beforehand is to what the act itself changes. What others changed is shown apart, and signed
/// only by whoever wrote the version out, or had signed that before.
#[test]
fn consent_given_beforehand_is_to_ones_own_change() {
    let counter = Shop::new().at_desk();
    counter.drop(TRUST);
    let two = two_owners(&counter, 1, 2);
    for seed in [OWNER, SECOND] {
        counter.sign_trust(seed, &two, TRUST).unwrap();
    }
    let desk = counter.desk();
    let act = |seed, days: i128, consent: Consent| {
        let from = desk.next_trust(std::path::Path::new(TRUST)).unwrap();
        let mut body = from.body.clone();
        body.renew(later(days * 86_400), false);
        let order = TrustOrder { body, name: TRUST.into(), document: None, out: TRUST.into(), from: Some(from) };
        let draft = desk.draft_trust(order)?;
        let shown = (draft.proposal().changes.clone(), draft.proposal().carried.clone());
        with_hand((seed, Role::Owner), |hand| draft.sign(&desk, hand, &consent)).map(|_| shown)
    };
    // The first owner takes on somebody new, and that waits for the second.
    let from = desk.next_trust(std::path::Path::new(TRUST)).unwrap();
    let mut body = from.body.clone();
    body.people.push(crate::shop::person(&crate::shop::PEOPLE[5]));
    counter.sign_trust(OWNER, &body, TRUST).unwrap();
    assert!(refused(act(SECOND, 90, Consent::Given))[0].starts_with("Draft(CarriedNotConfirmed"));
    let (own, carried) = act(SECOND, 90, Consent::Written("2".to_owned())).unwrap();
    let named = |changes: &[TrustChange]| changes.iter().map(|change| change.what.clone()).collect::<Vec<_>>();
    assert_eq!(named(&own), ["made", "to be replaced by"]);
    assert!(named(&carried).contains(&"Ivo Halloran, role".to_owned()), "{carried:?}");
    // What the second has signed now is the second's own.
    act(SECOND, 91, Consent::Given).unwrap();
}

/// How far an account is kept from the file of one owner alone, where a second one came in: by the version that it has seen,
/// and by the second owner's key. Without either the first owner's word was enough before, and is so still, whether a
/// version is skipped or not.
#[test]
fn what_an_account_has_not_seen_only_the_second_owners_key_tells() {
    let alone = |version| signed(&TrustBody { version, ..Shop::new().at_desk().trust_body() }, &[OWNER]);
    for (seen_both, knows_both, due) in
        [(true, true, false), (true, false, false), (false, true, false), (false, false, true)]
    {
        // The version after the one with two owners, and a second one of that version.
        for version in [5, 4] {
            let mut counter = Shop::new().at_desk();
            counter.put(TRUST, alone(3));
            counter.open(Purpose::Sign).unwrap();
            if seen_both {
                counter.put(TRUST, of_two(&counter, 4, 2, &[OWNER, SECOND]));
                counter.open(Purpose::Sign).unwrap();
            }
            if knows_both {
                counter.owners = vec![OWNER, SECOND];
            }
            counter.put(TRUST, alone(version));
            let opened = counter.open(Purpose::Sign);
            assert_eq!(opened.is_ok(), due, "{seen_both} {knows_both} {version}: {opened:?}");
        }
    }
}

/// The words of the latest paper do what nothing inside a file can: whoever types them takes the owners' row and not
/// that of one alone, on an account that has seen neither, whether a version was skipped or not. And who has taken the
/// row of one alone is told so by the first checklist of another account, and by the owners' version of the same
/// number.
#[test]
fn the_words_of_the_paper_tell_the_row_of_one_owner_alone() {
    for version in [4, 5] {
        let counter = Shop::new().at_desk();
        let alone = |version| signed(&TrustBody { version, ..counter.trust_body() }, &[OWNER]);
        let both = |version| of_two(&counter, version, 2, &[OWNER, SECOND]);
        counter.put(TRUST, alone(3));
        counter.open(Purpose::Sign).unwrap();
        let words = |file: &[u8]| {
            let pins = fillward::checklist::trust::Pins::default();
            fillward::checklist::trust::Trust::open("trust", file, &pins).unwrap().digest_in_words()
        };
        let (ours, theirs) = (both(version), alone(version));
        let paper = words(&ours);
        counter.put(TRUST, &theirs);
        assert_eq!(refused(counter.open_by_paper(Purpose::Sign, &paper)), ["trust-not-on-paper"]);
        counter.put(TRUST, &ours);
        counter.open_by_paper(Purpose::Sign, &paper).unwrap();
        // Once the owners' row has been seen, one owner alone goes on no more, with whatever number.
        for number in [version, version + 1, version + 5] {
            counter.put(TRUST, alone(number));
            assert!(counter.open(Purpose::Sign).is_err(), "{number}");
        }
        // An account that has taken the other row meets the owners' version of that number, and is told.
        let fooled = Shop::new().at_desk();
        fooled.put(TRUST, &theirs);
        fooled.open(Purpose::Sign).unwrap();
        fooled.sign(|_| {}).unwrap();
        fooled.put(TRUST, &ours);
        assert_eq!(refused(fooled.open(Purpose::Sign)), ["trust-twin"]);
        // What it signed is worth nothing on an account that knows the owners' row.
        let file = fooled.get(crate::shop::counter::FILE).unwrap();
        counter.put(TRUST, &ours);
        counter.put(crate::shop::counter::FILE, file);
        let verified = counter.verify(|_| {}).unwrap();
        assert_eq!(verified.answer, fillward::desk::Answer::Doubtful, "{:?}", verified.report.bars);
    }
}
