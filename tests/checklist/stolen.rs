//! A stolen key, and what bears out that something was signed before the theft.

use fillward::checklist::permit::{Permit, PermitBody};
use fillward::checklist::signing::sign;
use fillward::checklist::trust::Revocation;
use fillward::checklist::verify::{Question, Verification, verify};
use fillward::vocabulary::Role;

use crate::checklist::things::asked;
use crate::shop::{MAIRE, ODILE, Shop, WREN, codes, key, later, passing};

/// What is said of a file once keys of these people, by position, are revoked from so many seconds after the judgement.
fn after_theft(shop: &Shop, record: &str, file: &[u8], stolen: &[(usize, i128)]) -> Verification {
    let mut body = shop.trust_body();
    for (person, seconds) in stolen {
        let end = Revocation { at: later(*seconds).to_record_text(), why: "stolen".to_owned() };
        body.people[*person].keys[0].revoked = Some(end);
    }
    verify("f", file, &shop.question(&shop.next(&body), record))
}

/// A key is stolen: what it signed before is in order where another person signed the same before the theft, and nothing
/// starts by it; what only the stolen key says of itself is not.
#[test]
fn what_a_stolen_key_signed_is_borne_out_by_another_person_alone() {
    let (shop, record) = (Shop::new(), passing());
    // Signed by each at these seconds after the judgement.
    let file = |signers: &[(u8, i128)]| {
        let (body, mut envelope) = shop.make(&record, |_| {});
        for (seed, seconds) in signers {
            sign(&mut envelope, &body, &key(*seed), Role::Supervisor, &shop.trust(), later(*seconds)).unwrap();
        }
        envelope.to_file().unwrap()
    };
    let said = |file: &[u8], stolen: &[(usize, i128)]| {
        let report = after_theft(&shop, &record, file, stolen);
        (codes(&report), report.in_order(), report.may_start())
    };
    let doubtful = (vec!["key-revoked-since"], false, false);
    let borne_out = (vec!["key-revoked-since"], true, false);
    assert_eq!(said(&file(&[(ODILE, 60)]), &[(0, 300)]), doubtful);
    let both = file(&[(ODILE, 60), (WREN, 120)]);
    assert_eq!(said(&both, &[(0, 300)]), borne_out);
    assert_eq!(said(&both, &[(0, 121)]), borne_out);
    // The other one signed when the key was stolen already, or has lost a key as well.
    assert_eq!(said(&both, &[(0, 120)]), doubtful);
    assert_eq!(said(&both, &[(0, 300), (1, 300)]), (vec!["key-revoked-since"; 2], false, false));
    // From the theft on nothing by the key counts, whoever else signs.
    assert_eq!(said(&both, &[(0, 60)]).0, ["key-revoked"]);
}

/// The passing job without its signs, and the permit for it: asked for by Wren ten minutes before the judgement, given by
/// Maire five minutes later.
fn permitted(shop: &Shop) -> (String, Permit) {
    let record = passing().replacen("no_smoking_signs: true", "no_smoking_signs: false", 1);
    let (held, _) = shop.make(&record, |_| {});
    let fault = &held.findings.each_fault()[0];
    let body = PermitBody {
        asked_by: "Wren Castellane".to_owned(),
        reason: "a watch stands at the door".to_owned(),
        ..asked(shop, &held, fault)
    };
    let mut permit = Permit::new(&body).unwrap();
    permit.sign(&key(WREN), Role::Supervisor, later(-600)).unwrap();
    permit.sign(&key(MAIRE), Role::SafetyOfficer, later(-300)).unwrap();
    (record, permit)
}

/// A permit by a stolen key is judged by the same law. Whoever signed the checklist before the theft signed the permit
/// in it, signature and all; whoever only asked for it signed before anybody had permitted it, and bears out nothing.
#[test]
fn a_permit_by_a_stolen_key_is_borne_out_by_who_signed_the_checklist() {
    let shop = Shop::new();
    let (record, permit) = permitted(&shop);
    let (body, mut envelope) = shop.make(&record, |choices| choices.permits = vec![&permit]);
    sign(&mut envelope, &body, &key(ODILE), Role::Supervisor, &shop.trust(), later(60)).unwrap();
    let file = envelope.to_file().unwrap();
    assert!(verify("f", &file, &shop.question(&shop.trust(), &record)).may_start());
    let words = |stolen: &[(usize, i128)]| {
        let report = after_theft(&shop, &record, &file, stolen);
        report.reasons().map(ToString::to_string).collect::<Vec<_>>().join("; ")
    };
    for (person, name) in [(1, "Wren Castellane"), (2, "Maire Lindqvist")] {
        let told = words(&[(person, 61)]);
        let due =
            format!("the key of {name} has been revoked since (stolen); Odile Varga signed the checklist with this");
        assert!(told.contains(&due), "{told}");
        assert!(words(&[(person, 60)]).contains("nobody else signed before"));
    }
}

/// The law over every theft of three keys, at instants on both sides of each signature: a signature from after the theft
/// does not count; one from before is borne out by somebody whose key stands and who signed the checklist before the theft;
/// and nothing starts once a key was stolen.
#[test]
fn every_theft_goes_by_one_law() {
    let shop = Shop::new();
    let (record, permit) = permitted(&shop);
    let (body, mut envelope) = shop.make(&record, |choices| choices.permits = vec![&permit]);
    // By position in the trust file: who signed the checklist when, and who signed the permit when.
    let (checklist, on_permit) = ([(0, 60), (1, 120)], [(1, -600), (2, -300)]);
    for (seed, seconds) in [(ODILE, 60), (WREN, 120)] {
        sign(&mut envelope, &body, &key(seed), Role::Supervisor, &shop.trust(), later(seconds)).unwrap();
    }
    let file = envelope.to_file().unwrap();
    let instants = [None, Some(-600), Some(-599), Some(-299), Some(60), Some(61), Some(120), Some(121)];
    for (odile, wren, maire) in triples(&instants) {
        let stolen = [odile, wren, maire];
        let thefts: Vec<(usize, i128)> =
            stolen.iter().enumerate().filter_map(|(person, theft)| Some((person, (*theft)?))).collect();
        let borne_out = |person: usize, theft: i128| {
            checklist.iter().any(|(other, at)| *other != person && stolen[*other].is_none() && *at < theft)
        };
        let sound =
            |(person, at): &(usize, i128)| stolen[*person].is_none_or(|theft| *at < theft && borne_out(*person, theft));
        let due = checklist.iter().chain(&on_permit).all(sound);
        let report = after_theft(&shop, &record, &file, &thefts);
        assert_eq!(
            (report.in_order(), report.may_start()),
            (due, thefts.is_empty()),
            "{stolen:?}: {:?}",
            codes(&report)
        );
    }
}

/// Every choice of three.
fn triples(of: &[Option<i128>]) -> impl Iterator<Item = (Option<i128>, Option<i128>, Option<i128>)> + '_ {
    of.iter().flat_map(move |a| of.iter().flat_map(move |b| of.iter().map(move |c| (*a, *b, *c))))
}

/// Whoever has a stolen key can add a signature with an old time to what others signed honestly. That what it says was there
/// is known all the same; that the key's owner had signed it is not, and no report says so.
#[test]
fn a_signature_added_with_a_stolen_key_is_never_called_good() {
    let (shop, record) = (Shop::new(), passing());
    let (body, mut envelope) = shop.make(&record, |_| {});
    sign(&mut envelope, &body, &key(WREN), Role::Supervisor, &shop.trust(), later(60)).unwrap();
    // The thief, a day later, writes the minute after.
    envelope.sign(&key(ODILE), Role::Supervisor, later(120)).unwrap();
    let report = after_theft(&shop, &record, &envelope.to_file().unwrap(), &[(0, 300)]);
    assert_eq!((codes(&report), report.in_order(), report.may_start()), (vec!["key-revoked-since"], true, false));
    let words = report.bars[0].to_string();
    assert!(words.contains("what it says was there, but not whether Odile Varga had signed it"), "{words}");
    assert_eq!(report.signatures[1].since.as_ref(), Some(&report.bars[0]));
}

const WEEK: i128 = 7 * 86_400;

/// A second person signs a week later, when the PASS is long over: it fills no role, and should the first key be stolen one
/// day, it bears out what that had signed, by the same law as every other signature. It also keeps what was done by the
/// checklist in order, whatever it is asked as of.
#[test]
fn a_witness_of_a_week_later_bears_it_out() {
    let (shop, record) = (Shop::new(), passing());
    let (body, mut envelope) = shop.make(&record, |_| {});
    let trust = shop.trust();
    sign(&mut envelope, &body, &key(ODILE), Role::Supervisor, &trust, later(60)).unwrap();
    let question = shop.question(&trust, &record);
    // Whoever signs first is no witness of anything, and neither is somebody who comes in time.
    let late = later(WEEK);
    let mut unsigned = shop.make(&record, |_| {}).1;
    let first = sign(&mut unsigned, &body, &key(WREN), Role::Supervisor, &trust, late).unwrap_err();
    assert_eq!(first.iter().map(|reason| reason.code().word()).collect::<Vec<_>>(), ["checklist/signed-too-late"]);
    sign(&mut envelope, &body, &key(WREN), Role::Supervisor, &trust, late).unwrap();
    let file = envelope.to_file().unwrap();
    let now = Question { at: later(WEEK + 60), ..question };
    let report = verify("f", &file, &now);
    assert!(report.in_order() && !report.may_start(), "{:?}", codes(&report));
    assert_eq!(report.signatures.iter().map(|signed| signed.witness).collect::<Vec<_>>(), [false, true]);
    // Asked as of the morning, the witness had not signed; that it has since is known, and is nothing against the file.
    let then = Question { chosen: true, present: Some(later(WEEK + 60)), ..question };
    assert!(verify("f", &file, &then).could_have_started());
    let unknown = Question { chosen: true, ..question };
    assert_eq!(codes(&verify("f", &file, &unknown))[0], "signed-ahead");
    // By the witness alone nothing is signed for.
    let (_, mut alone) = shop.make(&record, |_| {});
    alone.sign(&key(WREN), Role::Supervisor, late).unwrap();
    let alone = verify("f", &alone.to_file().unwrap(), &now);
    assert!(codes(&alone).contains(&"too-few-signers"), "{:?}", codes(&alone));
    // A theft on the day after the witness signed, or on the day before.
    for (theft, due) in [(WEEK + 86_400, true), (WEEK, false), (300, false)] {
        let mut body = shop.trust_body();
        let end = Revocation { at: later(theft).to_record_text(), why: "stolen".to_owned() };
        body.people[0].keys[0].revoked = Some(end);
        let stolen = shop.next(&body);
        let report = verify("f", &file, &Question { trust: &stolen, at: later(3 * WEEK), ..question });
        assert_eq!(report.in_order(), due, "{theft}: {:?}", codes(&report));
    }
    // The witness's own key, stolen later, is borne out by whoever signed in time.
    let mut body = shop.trust_body();
    let end = Revocation { at: later(2 * WEEK).to_record_text(), why: "stolen".to_owned() };
    body.people[1].keys[0].revoked = Some(end);
    let stolen = shop.next(&body);
    assert!(verify("f", &file, &Question { trust: &stolen, at: later(3 * WEEK), ..question }).in_order());
}
