//! Who is about to sign, before the key is opened: by the public half beside it, and by what the record says of its people.

use fillward::desk::{Consent, PlaceInRecord};
use fillward::vocabulary::Role;

use crate::shop::counter::{FILE, refused, with_hand};
use crate::shop::{MAIRE, ODILE, Shop, key};

/// The law: by the public half that lies beside a key its holder is told before it is opened, and nobody else signs then.
#[test]
fn the_public_half_tells_who_is_about_to_sign() {
    let counter = Shop::new().at_desk();
    let trust = || counter.open(fillward::desk::Purpose::Sign).unwrap().trust;
    let told = |role| with_hand((ODILE, role), |hand| counter.desk().signatory(hand, &trust()));
    let signatory = told(Role::Supervisor).unwrap();
    assert_eq!((signatory.known, signatory.shop), (None, counter.trust_body().shop));
    let public = format!("{ODILE}.pub.pem");
    counter.put(&public, key(ODILE).public().to_pem());
    let known = told(Role::Supervisor).unwrap().known.unwrap();
    assert_eq!(known.who, "Odile Varga");
    assert_eq!(known.until.to_record_text(), counter.trust_body().people[0].keys[0].until);
    // Whoever may not sign in the role is told so before any passphrase.
    assert_eq!(refused(told(Role::SafetyOfficer)), ["wrong-role"]);
    // Another one's half: the holder of that one was told to sign, so this key does not.
    counter.put(&public, key(MAIRE).public().to_pem());
    assert_eq!(refused(told(Role::Supervisor)), ["wrong-role"]);
    assert_eq!(told(Role::SafetyOfficer).unwrap().known.unwrap().who, "Maire Lindqvist");
    let sign = || {
        let draft = counter.draft(counter.order()).unwrap();
        with_hand((ODILE, Role::Supervisor), |hand| draft.sign(&counter.desk(), hand, &Consent::Given))
    };
    let other = refused(sign());
    assert!(other[0].starts_with("OtherHalf"), "{other:?}");
    assert!(!counter.has(FILE));
    // What is no public key tells nothing.
    counter.put(&public, "no key");
    assert_eq!(told(Role::Supervisor).unwrap().known, None);
    sign().unwrap();
}

/// The law: who signs as supervisor and is nobody of the record, or does something else on the job, is told so.
#[test]
fn a_signer_whom_the_record_does_not_know_is_told() {
    let counter = Shop::new().at_desk();
    let place = |who: &str, role| {
        let draft = counter.draft(counter.order()).unwrap();
        match draft.proposal().place_of(who, role) {
            PlaceInRecord::AsSigned => "as signed".to_owned(),
            PlaceInRecord::Otherwise(one) => format!("{}: {}", one.name, one.role.clone().unwrap_or_default()),
            PlaceInRecord::NotNamed => "not named".to_owned(),
        }
    };
    for (who, due) in [
        ("Odile Varga", "as signed"),
        ("O. Varga", "as signed"),
        ("Tobiah Renske", "Tobiah Renske: operator"),
        ("Wren Castellane", "Wren Castellane: helper"),
        ("Ivo Halloran", "not named"),
    ] {
        assert_eq!(place(who, Role::Supervisor), due, "{who}");
        // Whoever signs in another role comes from outside.
        assert_eq!(place(who, Role::SafetyOfficer), "as signed", "{who}");
    }
}
