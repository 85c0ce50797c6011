//! What a change of the trust file goes on from: nothing that this account would let nothing start by, and nothing that can
//! never come in force.

use std::path::Path;

use fillward::checklist::trust::{Ending, TrustBody};
use fillward::desk::{ApprovalOrder, OwnerAsks, Purpose};

use super::trust::{DRAFT, signed, two_owners};
use crate::shop::counter::{TRUST, refused};
use crate::shop::{OWNER, SECOND, Shop, later};

/// The law: whatever lies in the place of the trust file, no change goes on from it, is shown beside it or is approved into
/// it, where the same account would let nothing start by it; and each is refused for the same reason.
#[test]
fn no_change_goes_on_from_what_starts_nothing_here() {
    let counter = Shop::new().at_desk();
    counter.drop(TRUST);
    let first = two_owners(&counter, 1, 2);
    let second = TrustBody { made_at: later(0).to_record_text(), ..two_owners(&counter, 2, 2) };
    for body in [&first, &second] {
        for seed in [OWNER, SECOND] {
            counter.sign_trust(seed, body, TRUST).unwrap();
        }
    }
    let out = Path::new(TRUST);
    let honest = counter.get(TRUST).unwrap();
    let both = [OWNER, SECOND];
    let of = |version, change: fn(&mut TrustBody)| {
        let mut body = TrustBody { version, ..second.clone() };
        change(&mut body);
        body
    };
    let planted = [
        ("an older version", signed(&first, &both)),
        ("another one of this number", signed(&of(2, |body| body.ends_at = later(9_000_000).to_record_text()), &both)),
        ("one owner's, of two", signed(&of(3, |body| body.owners_needed = 1), &[OWNER])),
        ("one that leaves somebody out", signed(&of(3, |body| drop(body.people.remove(0))), &both)),
        ("one of another shop", signed(&of(3, |body| body.shop = "Another".to_owned()), &both)),
    ];
    for (what, file) in planted {
        counter.put(TRUST, file);
        let due = refused(counter.open(Purpose::Look));
        assert!(!due.is_empty(), "{what}");
        assert_eq!(refused(counter.desk().next_trust(out)), due, "{what}");
        let approval = ApprovalOrder { pack: None, required: false, from: None, trust: TRUST.into() };
        assert_eq!(refused(counter.desk().draft_approval(approval)), due, "{what}");
        let next = of(4, |_| {});
        assert_eq!(refused(counter.sign_trust(SECOND, &next, TRUST)), due, "{what}");
        counter.put(DRAFT, signed(&next, &[OWNER]));
        assert_eq!(refused(counter.desk().draft_that_waits(out)), due, "{what}");
        counter.drop(DRAFT);
    }
    counter.put(TRUST, honest);
    let asks = OwnerAsks::Rename { shop: "Kestrel and Sons" };
    let draft = counter.desk().draft_next(counter.desk().next_trust(out).unwrap(), &asks, out).unwrap();
    let before = draft.proposal().before.as_ref().unwrap();
    assert_eq!((before.version, before.is_known, before.seen_before.is_none()), (2, true, true));
    // An account that has seen nothing of this shop is told so, with the words to be found on its paper.
    let elsewhere = Shop::new().at_desk();
    elsewhere.put(TRUST, counter.get(TRUST).unwrap());
    let next = elsewhere.desk().next_trust(out).unwrap();
    let draft = elsewhere.desk().draft_next(next, &asks, out).unwrap();
    assert!(!draft.proposal().before.as_ref().unwrap().is_known);
}

/// A version that too few of the owners could sign is refused at once, and not left to wait for ever.
#[test]
fn what_can_never_come_in_force_does_not_wait() {
    for (needed, due) in [(2, Some("Draft(TooFewOwnersLeft")), (1, None)] {
        let counter = Shop::new().at_desk();
        counter.drop(TRUST);
        let body = two_owners(&counter, 1, needed);
        for seed in [OWNER, SECOND] {
            if counter.sign_trust(seed, &body, TRUST).unwrap().missing.is_empty() {
                break;
            }
        }
        let out = Path::new(TRUST);
        let person = "Marit Osei";
        let (how, from, why) = (Ending::Revoked, Some(later(-60)), "stolen from the office");
        let asks = OwnerAsks::EndKeys { person, keys: Vec::new(), how, from, why };
        let next = counter.desk().next_trust(out).unwrap();
        let drafted = counter.desk().draft_next(next, &asks, out).map(drop);
        match due {
            Some(due) => assert!(refused(drafted)[0].starts_with(due), "{needed}"),
            None => drafted.unwrap(),
        }
    }
}
