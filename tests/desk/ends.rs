//! Keys that ended before their time stay ended, and nobody is told that a file is in order whose trust file nobody knows.

use fillward::checklist::jws::Envelope;
use fillward::checklist::trust::{EndsSoon, PlannedEnd, Revocation, TrustBody};
use fillward::checklist::{Reason, TrustReason};
use fillward::desk::{Answer, Purpose, Refusal, TrustOrder};
use fillward::vocabulary::{Kind, Role};
use proptest::prelude::*;

use crate::shop::counter::{FILE, MALLORY, TRUST, refused};
use crate::shop::world::World;
use crate::shop::{OWNER, SECOND, Shop, key, later};

const DAY: i128 = 86_400;

fn from(at: i128) -> Revocation {
    Revocation { at: later(at).to_record_text(), why: "the van was broken into".to_owned() }
}

/// Whether the account takes a version, made now, in which the first key has these ends.
fn takes(counter: &Shop<World>, retired: Option<i128>, revoked: Option<i128>, made: i128) -> bool {
    counter.trust(|body| {
        body.made_at = later(made).to_record_text();
        let key = &mut body.people[0].keys[0];
        (key.retired, key.revoked) = (retired.map(from), revoked.map(from));
    });
    match counter.open(Purpose::Look) {
        Ok(_) => true,
        refusal => {
            assert_eq!(refused(refusal), ["trust-unsound"]);
            false
        }
    }
}

#[test]
fn what_ended_in_one_version_stays_ended_in_the_next() {
    // Each row: the ends in a version that was seen, those in the next one, and whether that is taken.
    for (what, then, now, taken) in [
        ("the same", (None, Some(-DAY)), (None, Some(-DAY)), true),
        ("revoked from earlier", (None, Some(-DAY)), (None, Some(-2 * DAY)), true),
        ("revoked from later", (None, Some(-DAY)), (None, Some(-DAY + 1)), false),
        ("no longer revoked", (None, Some(-DAY)), (None, None), false),
        ("retired instead of revoked", (None, Some(-DAY)), (Some(-DAY), None), false),
        ("retired from earlier", (Some(-DAY), None), (Some(-2 * DAY), None), true),
        ("retired from later", (Some(-DAY), None), (Some(0), None), false),
        ("no longer retired", (Some(-DAY), None), (None, None), false),
        ("revoked instead of retired", (Some(-DAY), None), (None, Some(-DAY)), true),
        ("revoked instead of retired, from later", (Some(-DAY), None), (None, Some(0)), false),
        ("revoked as well", (Some(-DAY), None), (Some(-DAY), Some(-2 * DAY)), true),
        ("a plan to retire, put off", (Some(9 * DAY), None), (Some(20 * DAY), None), true),
        ("a plan to retire, given up", (Some(9 * DAY), None), (None, None), true),
    ] {
        let counter = Shop::new().at_desk();
        assert!(takes(&counter, then.0, then.1, 0), "{what}");
        assert_eq!(takes(&counter, now.0, now.1, 60), taken, "{what}");
    }
}

/// The owner who signs it, too, is refused: by the version in force, and by what the account remembers.
#[test]
fn an_owner_brings_no_ended_key_back() {
    let counter = Shop::new().at_desk();
    let body = |version, change: &dyn Fn(&mut TrustBody)| {
        let made_at = later(0).to_record_text();
        let mut body = TrustBody { version, made_at, ..counter.trust_body() };
        change(&mut body);
        body
    };
    let revoked = |body: &mut TrustBody| body.people[0].keys[0].revoked = Some(from(-DAY));
    counter.sign_trust(OWNER, &body(4, &revoked), TRUST).unwrap();
    let left_out = |body: &mut TrustBody| body.people[0].keys.clear();
    let moved = |body: &mut TrustBody| {
        let key = body.people[0].keys.remove(0);
        body.people[1].keys.push(key);
    };
    for back in [&|_: &mut TrustBody| {}, &left_out, &moved] as [&dyn Fn(&mut TrustBody); 3] {
        assert_eq!(refused(counter.sign_trust(OWNER, &body(5, back), TRUST)), ["trust-unsound"]);
        // Elsewhere there is no version in force to be held against; what is remembered is.
        assert_eq!(refused(counter.sign_trust(OWNER, &body(5, back), "elsewhere.json")), ["trust-unsound"]);
    }
    let both = |body: &mut TrustBody| {
        revoked(body);
        moved(body);
    };
    counter.sign_trust(OWNER, &body(5, &both), TRUST).unwrap();
    // A theft that is still to come is none.
    let ahead = |body: &mut TrustBody| {
        both(body);
        body.people[1].keys[0].revoked = Some(from(301));
    };
    assert_eq!(refused(counter.sign_trust(OWNER, &body(6, &ahead), TRUST)), ["trust-unsound"]);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(120) })]

    /// The law: of the versions that an account takes, one after the other, none lets a key sign later than an earlier one
    /// did from an end that had come.
    #[test]
    fn no_version_lets_an_ended_key_sign_longer(
        versions in prop::collection::vec((prop::option::of(-3_i128..3), prop::option::of(-3_i128..1)), 1..7)
    ) {
        let counter = Shop::new().at_desk();
        let (mut stolen, mut left): (Option<i128>, Option<i128>) = (None, None);
        for (place, (retired, revoked)) in (0_i128..).zip(versions) {
            let is_back = stolen.is_some_and(|end| revoked.is_none_or(|at| at > end));
            let by = |end: i128| [retired, revoked].into_iter().flatten().any(|at| at <= end);
            let is_longer = left.is_some_and(|end| end <= 0 && !by(end));
            let (retired_at, revoked_at) = (retired.map(|at| at * DAY), revoked.map(|at| at * DAY));
            let taken = takes(&counter, retired_at, revoked_at, place);
            prop_assert_eq!(taken, !is_back && !is_longer, "{:?} {:?} after {:?} {:?}", retired, revoked, left, stolen);
            if taken {
                stolen = stolen.into_iter().chain(revoked).min();
                left = left.filter(|end| *end <= 0).into_iter().chain(retired).min();
            }
        }
    }
}

/// Whose trust file it is comes before everything else that is said of a file: a shop made up from nothing gets no further,
/// were its checklists fresh or years old.
#[test]
fn nothing_is_in_order_by_a_trust_file_of_nobody_known() {
    let mut counter = Shop::new().at_desk();
    counter.sign(|order| order.out = Some(FILE.into())).unwrap();
    let says = |counter: &Shop<World>| {
        let verified = counter.verify(|_| {}).unwrap();
        let of_whose: Vec<Reason> =
            verified.report.bars.iter().filter(|bar| bar.leaves_open_whose()).cloned().collect();
        (verified.answer, of_whose)
    };
    assert_eq!(says(&counter), (Answer::MayStart, vec![]));
    for (owners, remembers) in [(vec![], true), (vec![], false), (vec![OWNER], false)] {
        counter.owners.clone_from(&owners);
        for after in [60, 13 * 3600, 3 * DAY, 3 * 365 * DAY] {
            if !remembers {
                counter.remember(None);
            }
            counter.clock(after);
            let (answer, of_whose) = says(&counter);
            assert_eq!(answer, Answer::OwnerNotAccepted, "{owners:?} {after}");
            let due = |reason: &Reason| {
                matches!(reason, Reason::OfTrust(TrustReason::Unpinned | TrustReason::OwnerNotAccepted { .. }))
            };
            assert!(of_whose.len() == 1 && of_whose.iter().all(due), "{of_whose:?}");
        }
        counter.clock(0);
    }
}

/// The law: whatever of a trust file comes to its planned end within 30 days is told by every act that opens it, and nothing
/// else is; what has been given back or revoked, or is followed by something that lasts, is no loss.
#[test]
fn what_ends_soon_is_said_by_every_act() {
    let told = |now: i128, change: &dyn Fn(&mut TrustBody)| {
        let counter = Shop::new().at_desk();
        counter.trust(|body| {
            body.ends_at = "2028-01-01T00:00:00-06:00".to_owned();
            body.people.iter_mut().for_each(|person| {
                person.keys[0].until = "2028-01-01T00:00:00-06:00".to_owned();
            });
            change(body);
        });
        counter.clock(now);
        let trust = counter.open(Purpose::Look).unwrap().trust;
        let what = |soon: EndsSoon| match soon.what {
            PlannedEnd::File => "the file".to_owned(),
            PlannedEnd::Key { who, owner } => format!("{who}{}", if owner { ", owner" } else { "" }),
            PlannedEnd::Pack { pack } => pack,
        };
        counter.desk().ends_soon(&trust).into_iter().map(what).collect::<Vec<_>>()
    };
    let end = 60 * DAY;
    for (now, due) in [(0, false), (30 * DAY - 1, false), (30 * DAY, true), (59 * DAY, true), (60 * DAY, false)] {
        let soon = |what: &str| if due { vec![what.to_owned()] } else { vec![] };
        let at = || later(end).to_record_text();
        assert_eq!(told(now, &|body| body.ends_at = at()), soon("the file"), "{now}");
        assert_eq!(told(now, &|body| body.people[0].keys[0].until = at()), soon("Odile Varga"), "{now}");
        assert_eq!(told(now, &|body| body.people[3].keys[0].until = at()), soon("Ansel Prewitt-Okoro, owner"), "{now}");
        let part = Shop::new().at_desk().parts[0].title();
        assert_eq!(told(now, &|body| body.packs[0].until = Some(at())), soon(&part), "{now}");
    }
    let at = || later(end).to_record_text();
    let soon = 31 * DAY;
    assert_eq!(
        told(soon, &|body| {
            let mut key = crate::shop::entry(99);
            (key.from, key.until) = (later(-DAY).to_record_text(), "2029-01-01T00:00:00-06:00".to_owned());
            body.people[0].keys[0].until = at();
            body.people[0].keys.push(key);
        }),
        [""; 0],
        "another key of hers lasts"
    );
    assert_eq!(
        told(soon, &|body| {
            body.people[0].keys[0].until = at();
            body.people[0].keys[0].revoked = Some(from(-DAY));
        }),
        [""; 0],
        "it is revoked"
    );
    // An approval is followed by one that begins as it ends, and by none that begins a second later.
    let part = Shop::new().at_desk().parts[0].title();
    for (gap, due) in [(0, vec![]), (1, vec![part])] {
        let followed = |body: &mut TrustBody| {
            let mut next = body.packs[0].clone();
            next.from = later(end + gap).to_record_text();
            body.packs[0].until = Some(at());
            body.packs.push(next);
        };
        assert_eq!(told(soon, &followed), due, "{gap}");
    }
}

/// All keys of a shop last for a year. Renewed in time, everybody signs on, the owner too; and an owner who comes too
/// late is told what to do before anybody asks for a passphrase.
#[test]
fn keys_are_let_last_longer_while_they_last() {
    const YEAR: i128 = 365 * DAY;
    let counter = Shop::new().at_desk();
    counter.trust(|body| body.ends_at = later(2 * YEAR).to_record_text());
    counter.clock(200 * DAY);
    counter.open(Purpose::Look).unwrap();
    let from_now = || counter.desk().next_trust(std::path::Path::new(TRUST)).unwrap().body;
    let mut body = from_now();
    body.people[1].keys[0].revoked = Some(from(-DAY));
    body.people[2].keys[0].retired = Some(from(DAY));
    counter.sign_trust(OWNER, &body, TRUST).unwrap();
    let mut body = from_now();
    assert_eq!(body.renew_keys(later(200 * DAY), later(2 * YEAR)), 2, "hers who signs, and the owner's");
    counter.sign_trust(OWNER, &body, TRUST).unwrap();
    counter.clock(YEAR + DAY);
    let may = |person: usize| {
        let trust = counter.open(Purpose::Look).unwrap().trust;
        let person = &trust.body().people[person];
        let (_, holder) = trust.keys().find(|(name, _)| *name == person.name).unwrap();
        trust.may_sign(holder.key.kid(), person.roles[0], later(YEAR + DAY)).is_ok()
    };
    assert_eq!([0, 1, 2, 3].map(may), [true, false, false, true]);
    // What has ended is not brought back by it.
    counter.clock(2 * YEAR + DAY);
    let late = counter.desk().next_trust(std::path::Path::new(TRUST)).unwrap();
    let mut body = late.body.clone();
    assert_eq!(body.renew_keys(later(2 * YEAR + DAY), later(3 * YEAR)), 0);
    body.renew(later(3 * YEAR), false);
    let order = TrustOrder { body, name: TRUST.into(), document: None, out: TRUST.into(), from: Some(late) };
    assert!(refused(counter.desk().draft_trust(order))[0].starts_with("Draft(NoOwnerLeft"));
}

/// An owner has a new key. Whoever knows the old one is told that it is the same owner's, and by which words to accept it.
#[test]
fn an_owners_newer_key_is_told_from_a_stranger() {
    let mut counter = Shop::new().at_desk();
    let mut body = counter.trust_body();
    let mut newer = crate::shop::entry(SECOND);
    newer.from = later(-DAY).to_record_text();
    body.people[3].keys.push(newer);
    body.version = 9;
    let mut envelope = Envelope::new(Kind::Trust, &body).unwrap();
    envelope.sign(&key(SECOND), Role::Owner, later(-60)).unwrap();
    counter.put(TRUST, envelope.to_file().unwrap());
    let reason = |counter: &Shop<World>| match counter.open(Purpose::Look) {
        Err(Refusal::Trust { reasons, .. }) => reasons[0].clone(),
        other => panic!("{other:?}"),
    };
    let words = key(SECOND).public().fingerprint_words();
    let due = TrustReason::NewerKey { who: "Ansel Prewitt-Okoro".to_owned(), words };
    assert_eq!(reason(&counter), Reason::OfTrust(due));
    counter.owners = vec![MALLORY];
    assert!(matches!(reason(&counter), Reason::OfTrust(TrustReason::WithoutOwner { .. })));
}
