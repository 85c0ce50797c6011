//! The next version of a trust file: keys that are added and ended, and everything that it says otherwise.

use fillward::checklist::trust::{
    Approval, EditFault, Ending, FormerName, FormerRole, Key, Person, Revocation, TrustBody, TrustChange, changes,
};
use fillward::units::Instant;
use fillward::vocabulary::Role;

use crate::shop::{self, MAIRE, ODILE, Shop, entry, key};

const FROM: &str = "2026-03-01T00:00:00-06:00";
const UNTIL: &str = "2027-03-01T00:00:00-06:00";

fn add(body: &mut TrustBody, name: &str, roles: &[Role], seed: u8) -> Result<(), EditFault> {
    body.add(name, roles, Some(key(seed).public()), (shop::at(FROM), shop::at(UNTIL)))
}

fn names(body: &TrustBody, seed: u8) -> Vec<&str> {
    let pem = key(seed).public().to_pem();
    let has = |person: &&Person| person.keys.iter().any(|key| key.public_key == pem);
    body.people.iter().filter(has).map(|person| person.name.as_str()).collect()
}

#[test]
fn a_key_is_added_to_whom_it_belongs() {
    let mut body = Shop::new().trust_body();
    assert_eq!(add(&mut body, "Odile Varga", &[Role::Supervisor, Role::Auditor], 70), Ok(()));
    assert_eq!(names(&body, 70), ["Odile Varga"]);
    assert_eq!(body.people[0].roles, [Role::Supervisor, Role::Auditor]);
    let added = body.people[0].keys.last().unwrap();
    assert_eq!((added.from.as_str(), added.until.as_str(), added.keys_end()), (FROM, UNTIL, (false, false)));
    // Somebody new needs a role, and nobody gets a key that another one has.
    assert_eq!(add(&mut body, "Juna Halloran", &[], 71), Err(EditFault::NoRole));
    assert_eq!(add(&mut body, "Juna Halloran", &[Role::Auditor], 71), Ok(()));
    assert_eq!(names(&body, 71), ["Juna Halloran"]);
    let there = Err(EditFault::KeyThere { who: "Maire Lindqvist".to_owned() });
    assert_eq!(add(&mut body, "Juna Halloran", &[], MAIRE), there);
    // Somebody who is there may get a role alone, with the key that is there or none, and must get something.
    let nothing = Err(EditFault::NothingNew { who: "Maire Lindqvist".to_owned() });
    assert_eq!(add(&mut body, "Maire Lindqvist", &[], MAIRE), nothing);
    let before = body.people.clone();
    assert_eq!(add(&mut body, "Maire Lindqvist", &[Role::Auditor], MAIRE), Ok(()));
    let span = (shop::at(FROM), shop::at(UNTIL));
    assert_eq!(body.add("Maire Lindqvist", &[Role::Supervisor], None, span), Ok(()));
    assert_eq!(body.add("Ivo Nobody", &[Role::Supervisor], None, span), Err(EditFault::NoKeyYet));
    let of = |people: &[Person]| people.iter().find(|person| person.name == "Maire Lindqvist").cloned().unwrap();
    let (then, now) = (of(&before), of(&body.people));
    assert_eq!(now.keys, then.keys);
    assert_eq!(now.roles, [then.roles, vec![Role::Auditor, Role::Supervisor]].concat());
}

/// A role of somebody who stays, and the approvals of a pack, end without a word about keys.
#[test]
fn roles_and_approvals_end_by_themselves() {
    let mut body = Shop::new().trust_body();
    let honest = body.clone();
    let none = EditFault::NotInRole { who: "Odile Varga".to_owned(), role: Role::Auditor };
    assert_eq!(body.take_roles("Odile Varga", &[Role::Auditor]), Err(none));
    assert!(matches!(body.take_roles("Nobody", &[Role::Auditor]), Err(EditFault::NoSuchPerson { .. })));
    assert_eq!(body, honest);
    assert_eq!(body.take_roles("Odile Varga", &[Role::Supervisor]), Ok(()));
    assert!(body.people[0].roles.is_empty() && body.people[0].keys == honest.people[0].keys);
    let former = FormerRole { role: Role::Supervisor, until: honest.made_at.clone(), again: None, once_signed: true };
    assert_eq!(body.people[0].former_roles, [former]);
    let at = shop::at(FROM);
    assert_eq!(body.end_approvals("yard", at), Err(EditFault::NoApproval { pack: "yard".to_owned() }));
    assert_eq!(body.end_approvals("tyre-fill", at), Ok(()));
    assert_eq!(body.packs[0].until.as_deref(), Some(FROM));
    // What has ended by then does not end again, and no end is put off.
    assert!(body.end_approvals("tyre-fill", shop::at(UNTIL)).is_err());
}

trait Ends {
    fn keys_end(&self) -> (bool, bool);
}

impl Ends for Key {
    /// Whether it is retired, and whether it is revoked.
    fn keys_end(&self) -> (bool, bool) {
        (self.retired.is_some(), self.revoked.is_some())
    }
}

#[test]
fn keys_are_ended_by_person_or_one_by_one() {
    let at = shop::at("2026-03-04T12:00:00-06:00");
    let end = |body: &mut TrustBody, name: &str, seed: Option<u8>, how| {
        let held = seed.map(key);
        let held: Vec<_> = held.iter().map(|held| held.public().clone()).collect();
        body.end(name, &held, how, at, "left the shop")
    };
    let of = |body: &TrustBody| body.people[0].keys.iter().map(Ends::keys_end).collect::<Vec<_>>();
    let mut two = Shop::new().trust_body();
    two.people[0].keys.push(entry(70));
    // The one that is named.
    let mut body = two.clone();
    assert_eq!(end(&mut body, "Odile Varga", Some(70), Ending::Retired), Ok(()));
    assert_eq!(of(&body), [(false, false), (true, false)]);
    let said = Some(Revocation { at: at.to_record_text(), why: "left the shop".to_owned() });
    assert_eq!(body.people[0].keys[1].retired, said);
    // Those that have not ended yet; a thief has the others as well, so all that are not revoked are.
    assert_eq!(end(&mut body, "Odile Varga", None, Ending::Retired), Ok(()));
    assert_eq!(of(&body), [(true, false), (true, false)]);
    assert_eq!(body.people[0].keys[0].retired, said);
    let nothing_left = Err(EditFault::NoKey { who: "Odile Varga".to_owned() });
    assert_eq!(end(&mut body, "Odile Varga", None, Ending::Retired), nothing_left);
    // Only what others may have is revoked: of several somebody says which.
    let Err(EditFault::SeveralKeys { keys, .. }) = end(&mut body, "Odile Varga", None, Ending::Revoked) else {
        panic!("all of them were revoked")
    };
    assert_eq!(keys.len(), 2);
    assert_eq!(of(&body), [(true, false), (true, false)]);
    assert_eq!(end(&mut body, "Odile Varga", Some(70), Ending::Revoked), Ok(()));
    assert_eq!(of(&body), [(true, false), (true, true)]);
    assert_eq!(end(&mut body, "Odile Varga", None, Ending::Revoked), Ok(()));
    assert_eq!(of(&body), [(true, true), (true, true)]);
    assert_eq!(end(&mut body, "Odile Varga", None, Ending::Revoked), nothing_left);
    assert!(body.people[1..].iter().all(|person| person.keys.iter().all(|key| key.keys_end() == (false, false))));
    // A key whose time is over by then needs no ending; at the instant itself it is over.
    for (until, due) in [("2026-03-04T12:00:00-06:00", (false, false)), ("2026-03-04T12:00:01-06:00", (true, false))] {
        let mut body = two.clone();
        until.clone_into(&mut body.people[0].keys[1].until);
        assert_eq!(end(&mut body, "Odile Varga", None, Ending::Retired), Ok(()));
        assert_eq!(of(&body), [(true, false), due], "{until}");
    }
    // A key that is younger than the theft was not stolen by it.
    let mut body = two.clone();
    "2026-03-04T12:00:01-06:00".clone_into(&mut body.people[0].keys[1].from);
    let later = EditFault::KeyLater { who: "Odile Varga".to_owned(), from: body.people[0].keys[1].from.clone() };
    assert_eq!(end(&mut body, "Odile Varga", Some(70), Ending::Revoked), Err(later));
    assert_eq!(end(&mut body, "Odile Varga", Some(ODILE), Ending::Revoked), Ok(()));
    assert_eq!(of(&body), [(false, true), (false, false)]);
    // An end has a reason in words, and a key that ended serves nobody again.
    let mut body = two.clone();
    for why in ["", " ", ".", "\u{2800}"] {
        assert_eq!(body.end("Odile Varga", &[], Ending::Retired, at, why), Err(EditFault::NoReason), "{why:?}");
    }
    assert_eq!(end(&mut body, "Odile Varga", Some(70), Ending::Retired), Ok(()));
    let again = Err(EditFault::KeyEnded { who: "Odile Varga".to_owned(), at: at.to_record_text() });
    assert_eq!(add(&mut body, "Odile Varga", &[], 70), again);
    // Of other people's keys and of people who are not there.
    let mut body = two.clone();
    assert_eq!(end(&mut body, "Odile Varga", Some(MAIRE), Ending::Revoked), nothing_left);
    assert!(end(&mut body, "Wren Castellane", Some(ODILE), Ending::Revoked).is_err());
    let known = body.people.iter().map(|person| person.name.clone()).collect();
    let nobody = Err(EditFault::NoSuchPerson { name: "Juna Halloran".to_owned(), known });
    assert_eq!(end(&mut body, "Juna Halloran", None, Ending::Revoked), nobody);
    assert_eq!(body, two);
}

/// Whatever is said otherwise is told with what was said before; the version and when it was made are said to everybody
/// anyway.
#[test]
fn nothing_that_a_version_says_otherwise_is_left_out() {
    let body = Shop::new().trust_body();
    let told = |change: &dyn Fn(&mut TrustBody)| {
        let mut after = body.clone();
        change(&mut after);
        let forth = changes(Some(&body), &after);
        // Taken back, the same is told the other way round.
        let turned = |one: &TrustChange| TrustChange {
            what: one.what.clone(),
            before: one.after.clone(),
            after: one.before.clone(),
        };
        assert_eq!(changes(Some(&after), &body), forth.iter().map(turned).collect::<Vec<_>>());
        forth.into_iter().map(|one| (one.what, one.before.is_some(), one.after.is_some())).collect::<Vec<_>>()
    };
    let words = |seed: u8| key(seed).public().fingerprint_words();
    let otherwise = |what: &str| vec![(what.to_owned(), true, true)];
    let next = shop::at("2026-03-04T12:00:00-06:00");
    assert_eq!(body.next(next).version, body.version + 1);
    assert_eq!(told(&|after| *after = after.next(next)), otherwise("made"));
    assert_eq!(told(&|after| after.shop.push('s')), otherwise("shop"));
    assert_eq!(told(&|after| after.zone = "UTC".to_owned()), otherwise("time zone"));
    assert_eq!(told(&|after| UNTIL.clone_into(&mut after.ends_at)), otherwise("to be replaced by"));
    assert_eq!(told(&|after| after.owners_needed = 2), otherwise("owners who must sign"));
    let anew = told(&|after| after.clock_anew = Some(FROM.to_owned()));
    assert_eq!(anew, [("clocks count anew from".to_owned(), false, true)]);
    assert_eq!(told(&|after| after.people[0].roles.push(Role::Owner)), otherwise("Odile Varga, role"));
    let of_key = format!("Odile Varga, key {}", words(ODILE));
    for change in [
        (&|key: &mut Key| FROM.clone_into(&mut key.from)) as &dyn Fn(&mut Key),
        &|key: &mut Key| UNTIL.clone_into(&mut key.until),
        &|key: &mut Key| key.retired = Some(Revocation { at: FROM.to_owned(), why: "left".to_owned() }),
        &|key: &mut Key| key.revoked = Some(Revocation { at: FROM.to_owned(), why: "lost".to_owned() }),
    ] {
        assert_eq!(told(&|after| change(&mut after.people[0].keys[0])), otherwise(&of_key));
    }
    let added = told(&|after| after.people[0].keys.push(entry(70)));
    assert_eq!(added, [(format!("Odile Varga, key {}", words(70)), false, true)]);
    assert_eq!(told(&|after| drop(after.people.pop())).len(), 2, "a role and a key are gone");
    let pack = told(&|after| after.packs[0].required = false);
    assert!(pack.len() == 1 && pack[0].0.starts_with("pack tyre-fill "), "{pack:?}");
    for change in [
        (&|pack: &mut Approval| FROM.clone_into(&mut pack.from)) as &dyn Fn(&mut Approval),
        &|pack: &mut Approval| pack.until = Some(UNTIL.to_owned()),
        &|pack: &mut Approval| "Odile Varga".clone_into(&mut pack.approved_by),
        &|pack: &mut Approval| pack.shop = Some("Hollow Tarn depot".to_owned()),
    ] {
        assert_eq!(told(&|after| change(&mut after.packs[0])), pack);
    }
    let unsealed = told(&|after| after.packs[0].seal = None);
    assert_eq!(
        unsealed.iter().map(|(_, before, after)| (*before, *after)).collect::<Vec<_>>(),
        [(false, true), (true, false)]
    );
    let former = || FormerName { shop: "Hollow Tarn depot".to_owned(), through: 2 };
    let named = told(&|after| after.formerly.push(former()));
    assert_eq!(named, [("name of the shop through version 2".to_owned(), false, true)]);
    // What stands there twice is said twice, and of the first version everything is.
    let twice = told(&|after| after.packs.push(after.packs[0].clone()));
    assert_eq!(twice, [(format!("{} (2)", pack[0].0), false, true)]);
    let first = changes(None, &body);
    assert_eq!(first.len(), 5 + 2 * body.people.len() + body.packs.len());
    assert!(first.iter().all(|one| one.before.is_none() && one.after.is_some()));
}

/// Two approvals of one pack are told apart by the officer's signatures: whichever is left out, its own entry is the
/// one that is gone, and no other seems to have changed.
#[test]
fn an_approval_that_is_left_out_is_told_as_itself() {
    let mut body = Shop::new().trust_body();
    let one = body.packs[0].clone();
    for hours in 1..4 {
        let mut next = one.clone();
        next.from = shop::later(hours * 3600).to_record_text();
        next.sign(&body.shop, &key(MAIRE), shop::later(hours * 3600)).unwrap();
        body.packs.push(next);
    }
    for place in 0..body.packs.len() {
        let mut after = body.clone();
        let gone = after.packs.remove(place);
        let told = changes(Some(&body), &after);
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(
            told[0].after.is_none() && told[0].before.as_ref().unwrap().contains(&Instant::told(&gone.from)),
            "{told:?}"
        );
    }
    // Nor does it matter in which order they stand.
    let mut turned = body.clone();
    turned.packs.reverse();
    assert_eq!(changes(Some(&body), &turned), []);
}

/// An end that stands there already changes nothing, and nothing is signed for it.
#[test]
fn an_end_that_stands_there_is_no_act() {
    for how in [Ending::Retired, Ending::Revoked] {
        let mut body = Shop::new().trust_body();
        let keys = [key(ODILE).public().clone()];
        let mut end = |from: &str, why: &str| body.end("Odile Varga", &keys, how, shop::at(from), why);
        assert_eq!(end(FROM, "lost"), Ok(()));
        assert_eq!(end(FROM, "lost"), Err(EditFault::EndThere { who: "Odile Varga".to_owned() }));
        assert_eq!(end("2026-02-27T00:00:00-06:00", "lost"), Ok(()));
    }
}
