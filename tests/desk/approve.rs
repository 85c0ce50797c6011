//! The approval of a pack: the safety officer's signature, and neither a name nor anybody else's.

use std::path::Path;

use fillward::checklist::trust::{Approval, Ending, Revocation, Trust, TrustBody};
use fillward::desk::{ApprovalOrder, Consent, Purpose, Refusal, TrustDraft, TrustOrder, Unfit};
use fillward::vocabulary::Role;

use crate::common;
use crate::shop::counter::{FILE, TRUST, refused, with_hand};
use crate::shop::world::World;
use crate::shop::{MAIRE, ODILE, OWNER, Shop, WREN, at, key, later};

const DRAFT: &str = "trust.next.json";

/// Proposes the base pack.
fn order(required: bool) -> ApprovalOrder {
    ApprovalOrder { pack: None, required, from: None, trust: TRUST.into() }
}

fn codes(body: TrustBody) -> Vec<&'static str> {
    Trust::of(body).err().unwrap_or_default().iter().map(|reason| reason.code().word()).collect()
}

/// A shop whose trust file approves nothing yet.
fn unapproved() -> Shop<World> {
    let counter = Shop::new().at_desk();
    counter.trust(|body| body.packs.clear());
    counter
}

#[test]
fn a_typed_name_approves_nothing() {
    let body = Shop::new().trust_body();
    let with = |change: &dyn Fn(&mut Approval)| {
        let mut body = body.clone();
        change(&mut body.packs[0]);
        codes(body)
    };
    assert_eq!(with(&|_| {}), [""; 0]);
    assert_eq!(with(&|pack| pack.seal = None), ["checklist/trust-unsound"]);
    // Nothing of what she signed can be changed, and nobody signs in her place, whatever they are.
    let changed = ["checklist/trust-unsound"];
    assert_eq!(with(&|pack| pack.edition = "2031.1".to_owned()), changed);
    assert_eq!(with(&|pack| pack.sha256 = "0".repeat(64)), changed);
    assert_eq!(with(&|pack| pack.required = false), changed);
    assert_eq!(with(&|pack| pack.from = "2026-01-01T00:00:00-06:00".to_owned()), changed);
    for seed in [OWNER, ODILE] {
        assert_eq!(
            with(&|pack| pack.sign(&body.shop, &key(seed), at(&body.made_at)).unwrap()),
            ["checklist/wrong-role"]
        );
    }
    // Two officers: neither gives the other's name.
    let mut two = body.clone();
    two.people[0].roles.push(Role::SafetyOfficer);
    two.packs[0].sign(&body.shop, &key(ODILE), at(&body.made_at)).unwrap();
    assert_eq!(codes(two), ["checklist/trust-unsound"]);
    // An owner may end what she allowed.
    assert_eq!(with(&|pack| pack.until = Some("2026-03-01T00:00:00-06:00".to_owned())), [""; 0]);
    // Her key can be revoked without undoing what the owners have signed as well.
    let mut stolen = body;
    let at = "2026-03-01T00:00:00-06:00".to_owned();
    stolen.people[2].keys[0].revoked = Some(Revocation { at, why: "stolen".to_owned() });
    assert_eq!(codes(stolen), [""; 0]);
}

#[test]
fn a_pack_is_approved_by_its_officer_and_counts_once_the_owners_have_signed() {
    let counter = unapproved();
    assert_eq!(refused(counter.sign(|_| {})), ["pack-not-approved"]);
    let desk = counter.desk();
    let approve = |seed, consent: Consent| {
        let draft = desk.draft_approval(order(true))?;
        with_hand((seed, Role::SafetyOfficer), |hand| draft.sign(&desk, hand, &consent))
    };
    // She is shown which pack it is, and writes its name.
    let draft = desk.draft_approval(order(true)).unwrap();
    let proposal = draft.proposal();
    assert_eq!((&proposal.part, proposal.ends.len()), (&counter.parts[0], 0));
    assert!(proposal.rules > 100);
    let unmeant = approve(MAIRE, Consent::Written("yes".to_owned()));
    assert!(matches!(unmeant, Err(Refusal::Unfit(Unfit::PackNotConfirmed))));
    for seed in [ODILE, OWNER] {
        assert_eq!(refused(approve(seed, Consent::Given)), ["wrong-role"]);
    }
    assert!(!counter.has(DRAFT));
    assert_eq!(approve(MAIRE, Consent::Written("tyre-fill\n".to_owned())).unwrap(), Path::new(DRAFT));
    assert_eq!(refused(counter.sign(|_| {})), ["pack-not-approved"]);
    let waiting = desk.draft_that_waits(Path::new(TRUST)).unwrap();
    assert_eq!((waiting.proposal().changes.len(), &*waiting.proposal().changes[0].what), (2, "made"));
    assert!(waiting.proposal().changes[1].what.starts_with("pack tyre-fill "));
    let signed = with_hand((OWNER, Role::Owner), |hand| waiting.sign(&desk, hand, &Consent::Given)).unwrap();
    assert!(signed.missing.is_empty());
    assert!(counter.sign(|_| {}).unwrap().report.may_start());
    assert!(counter.has(FILE));
    // Once more it is approved already; otherwise than before, the one before ends.
    assert!(matches!(approve(MAIRE, Consent::Given), Err(Refusal::Unfit(Unfit::ApprovedAlready { .. }))));
    let draft = desk.draft_approval(order(false)).unwrap();
    assert_eq!(draft.proposal().ends, [counter.parts[0].clone()]);
    with_hand((MAIRE, Role::SafetyOfficer), |hand| draft.sign(&desk, hand, &Consent::Given)).unwrap();
    let next = desk.next_trust(Path::new(TRUST)).unwrap().body;
    let ends: Vec<bool> = next.packs.iter().map(|pack| pack.until.is_some()).collect();
    assert_eq!(ends, [true, false]);
    assert_eq!(counter.open(Purpose::Sign).unwrap().trust.body().packs.len(), 1);
}

/// An approval is for one shop; and once it has ended, in whatever way it is written back, it needs the officer anew.
#[test]
fn owners_neither_take_over_an_approval_nor_bring_one_back() {
    let counter = Shop::new().at_desk();
    let body = counter.trust_body();
    assert_eq!(codes(TrustBody { shop: "Blyth tyres".to_owned(), ..body.clone() }), ["checklist/trust-unsound"]);
    counter.put(TRUST, Shop::trust_file(&body));
    let next = |change: &dyn Fn(&mut Vec<Approval>)| {
        let mut next = counter.desk().next_trust(Path::new(TRUST)).unwrap().body;
        change(&mut next.packs);
        counter.sign_trust(OWNER, &next, TRUST)
    };
    let until = |text: Option<&str>| text.map(|text| format!("2026-03-{text}T00:00:00-06:00"));
    let ends = |day: Option<&'static str>| next(&move |packs| packs[0].until = until(day));
    ends(Some("20")).unwrap();
    for later in [None, Some("21")] {
        assert!(matches!(ends(later), Err(Refusal::Invalid(_))), "{later:?}");
    }
    ends(Some("20")).unwrap();
    ends(Some("19")).unwrap();
    // Taken out, it does not come back by its old signature.
    let old = body.packs[0].clone();
    next(&|packs| packs.clear()).unwrap();
    assert!(matches!(next(&|packs| packs.push(old.clone())), Err(Refusal::Invalid(_))));
    next(&|packs| {
        let mut anew = old.clone();
        anew.sign(&body.shop, &key(MAIRE), at(common::DEMO_AT)).unwrap();
        packs.push(anew);
    })
    .unwrap();
}

/// A thief with the safety officer's key approves a pack. The owner revokes the key from when it was stolen, whether the
/// approval is in force or waits; it is shown what that undoes, and another officer approves anew, from as early as it must.
#[test]
fn a_thiefs_approval_keeps_no_key_from_being_revoked() {
    let counter = Shop::new().at_desk();
    counter.trust(|body| {
        body.made_at = later(-7200).to_record_text();
        body.people[1].roles.push(Role::SafetyOfficer);
        body.packs.clear();
    });
    let (desk, trust) = (counter.desk(), Path::new(TRUST));
    let approve = |seed, from| {
        let draft = desk.draft_approval(ApprovalOrder { from, ..order(true) })?;
        with_hand((seed, Role::SafetyOfficer), |hand| draft.sign(&desk, hand, &Consent::Given))
    };
    let by_owner = |draft: TrustDraft| with_hand((OWNER, Role::Owner), |hand| draft.sign(&desk, hand, &Consent::Given));
    let revoke = || {
        let from = desk.next_trust(trust).unwrap();
        let mut body = from.body.clone();
        body.end("Maire Lindqvist", &[], Ending::Revoked, later(-3600), "the van was broken into").unwrap();
        let order = TrustOrder { body, name: TRUST.into(), document: None, out: TRUST.into(), from: Some(from) };
        let draft = desk.draft_trust(order).unwrap();
        let undoes: Vec<String> = draft.proposal().undoes.iter().map(|undone| undone.by.clone()).collect();
        let carried = draft.proposal().carried.len();
        assert!(by_owner(draft).unwrap().missing.is_empty());
        (undoes, carried)
    };
    let before = counter.get(TRUST).unwrap();
    // It waits: it does not come into the next version, and nobody has to consent to it.
    approve(MAIRE, None).unwrap();
    assert_eq!(revoke(), (vec![], 0));
    assert!(desk.next_trust(trust).unwrap().body.packs.is_empty() && !counter.has(DRAFT));
    // It is in force.
    counter.put(TRUST, before);
    counter.remember(Some(crate::shop::counter::accepted()));
    approve(MAIRE, None).unwrap();
    by_owner(desk.draft_that_waits(trust).unwrap()).unwrap();
    counter.sign(|_| {}).unwrap();
    assert_eq!(revoke(), (vec!["Maire Lindqvist".to_owned()], 0));
    assert_eq!(refused(counter.sign(|order| order.out = Some("two.checklist.json".into()))), ["pack-approval-undone"]);
    let says = |counter: &Shop<World>| {
        let verified = counter.verify(|_| {}).unwrap();
        verified.report.reasons().map(|reason| reason.code().word()).collect::<Vec<_>>()
    };
    assert_eq!(says(&counter), ["checklist/pack-approval-undone"]);
    assert_eq!(refused(approve(MAIRE, None)), ["key-revoked"]);
    approve(WREN, Some(later(-1800))).unwrap();
    let waiting = desk.draft_that_waits(trust).unwrap();
    assert!(waiting.proposal().undoes.is_empty(), "that was told once");
    by_owner(waiting).unwrap();
    assert_eq!(says(&counter), [""; 0]);
    counter.sign(|order| order.out = Some("two.checklist.json".into())).unwrap();
}
