//! Keys that ended before their time stay ended, and nobody is told that a file is in order whose trust file nobody knows.

use fillward::checklist::trust::{Revocation, TrustBody};
use fillward::checklist::{Reason, TrustReason};
use fillward::desk::{Answer, Purpose};
use proptest::prelude::*;

use crate::shop::counter::{Counter, FILE, TRUST, refused};
use crate::shop::{OWNER, later};

const DAY: i128 = 86_400;

fn from(at: i128) -> Revocation {
    Revocation { at: later(at).to_record_text(), why: "the van was broken into".to_owned() }
}

/// Whether the account takes a version, made now, in which the first key has these ends.
fn takes(counter: &Counter, retired: Option<i128>, revoked: Option<i128>, made: i128) -> bool {
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
        let counter = Counter::new();
        assert!(takes(&counter, then.0, then.1, 0), "{what}");
        assert_eq!(takes(&counter, now.0, now.1, 60), taken, "{what}");
    }
}

/// The owner who signs it, too, is refused: by the version in force, and by what the account remembers.
#[test]
fn an_owner_brings_no_ended_key_back() {
    let counter = Counter::new();
    let body = |version, change: &dyn Fn(&mut TrustBody)| {
        let made_at = later(0).to_record_text();
        let mut body = TrustBody { version, made_at, ..counter.shop.trust_body() };
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
        let counter = Counter::new();
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
    let mut counter = Counter::new();
    counter.sign(|order| order.out = Some(FILE.into())).unwrap();
    let says = |counter: &Counter| {
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
