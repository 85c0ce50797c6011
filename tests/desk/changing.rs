//! Changing the trust file where something stands in the way: a damaged draft, somebody faster, one's own key.

use fillward::checklist::trust::{Ending, TrustBody};
use fillward::desk::world::{StoreFault, Trouble};
use fillward::desk::{Consent, DraftFault, Refusal, TrustOrder, Unfit};
use fillward::vocabulary::Role;

use super::trust::{DRAFT, of_two};
use crate::shop::counter::{TRUST, with_hand};
use crate::shop::{OWNER, SECOND, Shop, later};

/// What stands in the way of every change is named, with what to do about it.
#[test]
fn a_draft_that_cannot_be_read_is_named() {
    let counter = Shop::new().at_desk();
    let out = std::path::Path::new(TRUST);
    let body = counter.desk().next_trust(out).unwrap().body;
    for garbage in [&b""[..], b"garbage", b"{\"shop_trust\": 1}\n", b"\xff\xfe"] {
        counter.put(DRAFT, garbage);
        let all: [Result<(), Refusal>; 3] = [
            counter.desk().next_trust(out).map(drop),
            counter.desk().draft_that_waits(out).map(drop),
            counter.sign_trust(OWNER, &body, TRUST).map(drop),
        ];
        for refusal in all {
            let Err(Refusal::Unfit(Unfit::Draft(DraftFault::Damaged { name, .. }))) = refusal else {
                panic!("{refusal:?}")
            };
            assert_eq!(name, std::path::Path::new(DRAFT));
        }
    }
    counter.drop(DRAFT);
    counter.sign_trust(OWNER, &body, TRUST).unwrap();
}

/// Of several who change the trust file at once one is in time; each of the others hears that it was changed meanwhile.
#[test]
fn who_comes_second_hears_that_it_was_changed() {
    let counter = Shop::new().at_desk();
    let desk = counter.desk();
    let out = std::path::Path::new(TRUST);
    let draft = |until: &str| {
        let from = desk.next_trust(out).unwrap();
        let body = TrustBody { ends_at: until.to_owned(), ..from.body.clone() };
        let order = TrustOrder { body, name: TRUST.into(), document: None, out: TRUST.into(), from: Some(from) };
        desk.draft_trust(order).unwrap()
    };
    let drafts =
        [draft("2026-09-01T00:00:00-06:00"), draft("2026-10-01T00:00:00-06:00"), draft("2026-11-01T00:00:00-06:00")];
    let ends = drafts.map(|draft| {
        let consent = Consent::Written(draft.proposal().body.version.to_string());
        with_hand((OWNER, Role::Owner), |hand| draft.sign(&desk, hand, &consent))
    });
    assert!(ends[0].is_ok());
    for end in &ends[1..] {
        assert!(matches!(end, Err(Refusal::Store(StoreFault { what: Trouble::Changed, .. }))), "{end:?}");
    }
}

/// Nobody signs the end of the key that signs it: that version would be no owner's.
#[test]
fn an_owner_is_ended_by_another_owner() {
    for how in [Ending::Retired, Ending::Revoked] {
        let counter = Shop::new().at_desk();
        counter.put(TRUST, of_two(&counter, 4, 1, &[OWNER]));
        let desk = counter.desk();
        let out = std::path::Path::new(TRUST);
        let end = |seed: u8| {
            let from = desk.next_trust(out).unwrap();
            let mut body = from.body.clone();
            body.end("Marit Osei", &[], how, later(-60), "the laptop was stolen").unwrap();
            let order = TrustOrder { body, name: TRUST.into(), document: None, out: TRUST.into(), from: Some(from) };
            let draft = desk.draft_trust(order).unwrap();
            let consent = Consent::Written(draft.proposal().body.version.to_string());
            with_hand((seed, Role::Owner), |hand| draft.sign(&desk, hand, &consent))
        };
        let own = end(SECOND);
        assert!(
            matches!(&own, Err(Refusal::Unfit(Unfit::Draft(DraftFault::OwnKey { who }))) if who == "Marit Osei"),
            "{own:?}"
        );
        assert!(end(OWNER).unwrap().missing.is_empty());
    }
}
