//! Ends by succession: a role taken off, a key given back, an approval withdrawn or followed by another. They are drafted,
//! and take effect once the owners have signed; until then the version before is in force.

use std::path::Path;

use fillward::checklist::jws::Envelope;
use fillward::checklist::trust::Ending;
use fillward::desk::{Answer, ApprovalOrder, Consent, OwnerAsks, Purpose};
use fillward::vocabulary::{Kind, Role};
use proptest::prelude::*;

use super::trust::{DRAFT, two_owners};
use crate::shop::counter::{FILE, RECORD, TRUST, with_hand};
use crate::shop::world::World;
use crate::shop::{MAIRE, ODILE, OWNER, SECOND, Shop, key, later, passing};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum End {
    Role,
    Key,
    Approval,
    /// The approval of the same pack that need not judge.
    Followed,
}

/// A shop of two owners, both of whom sign.
fn counter() -> Shop<World> {
    let mut counter = Shop::new().at_desk();
    let mut body = two_owners(&counter, 1, 2);
    body.people[0].roles.push(Role::Auditor);
    counter.drop(TRUST);
    for seed in [OWNER, SECOND] {
        counter.sign_trust(seed, &body, TRUST).unwrap();
    }
    counter.owners = vec![OWNER, SECOND];
    counter
}

fn begin(counter: &Shop<World>, end: End) {
    let (out, desk) = (Path::new(TRUST), counter.desk());
    let person = "Odile Varga";
    let asks = match end {
        End::Role => OwnerAsks::TakeRoles { person, roles: &[Role::Supervisor] },
        End::Key => OwnerAsks::EndKeys { person, keys: Vec::new(), how: Ending::Retired, from: None, why: "has left" },
        End::Approval => OwnerAsks::EndApprovals { pack: "tyre-fill", from: None },
        End::Followed => {
            let order = ApprovalOrder { pack: None, required: false, from: None, trust: TRUST.into() };
            let draft = desk.draft_approval(order).unwrap();
            with_hand((MAIRE, Role::SafetyOfficer), |hand| draft.sign(&desk, hand, &Consent::Given)).unwrap();
            sign_what_waits(counter, OWNER);
            return;
        }
    };
    let draft = desk.draft_next(desk.next_trust(out).unwrap(), &asks, out).unwrap();
    let signed = with_hand((OWNER, Role::Owner), |hand| draft.sign(&desk, hand, &Consent::Given)).unwrap();
    assert!(!signed.missing.is_empty());
}

fn sign_what_waits(counter: &Shop<World>, seed: u8) -> bool {
    let desk = counter.desk();
    let draft = desk.draft_that_waits(Path::new(TRUST)).unwrap();
    let signed = with_hand((seed, Role::Owner), |hand| draft.sign(&desk, hand, &Consent::Given)).unwrap();
    signed.missing.is_empty()
}

/// What is said of the file, by code.
fn told(counter: &Shop<World>) -> (Answer, Vec<&'static str>) {
    let verified = counter.verify(|_| {}).unwrap();
    (verified.answer, verified.report.faults.iter().map(|reason| reason.code().word()).collect())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(6) })]

    /// The law: what was in order by the version that was in force when it was signed is made doubtful by no end but a
    /// revocation, however long that end had waited, and by no later version; and nothing is signed after it.
    #[test]
    fn an_end_that_waits_makes_nothing_doubtful(
        end in prop::sample::select(vec![End::Role, End::Key, End::Approval, End::Followed]),
        drafted in 0_i128..600, waits in 1_i128..900, complete in 1_i128..900, further in 1_i128..900,
    ) {
        let counter = counter();
        counter.clock(drafted);
        begin(&counter, end);
        let signed_at = drafted + waits;
        counter.clock(signed_at);
        counter.put(RECORD, passing());
        counter.sign(|_| {}).unwrap();
        prop_assert_eq!(told(&counter), (Answer::MayStart, vec![]));
        let complete = signed_at + complete;
        counter.clock(complete);
        prop_assert!(sign_what_waits(&counter, SECOND));
        // In the very second, and later.
        for after in [0, 60] {
            counter.clock(complete + after);
            prop_assert_eq!(told(&counter).1, Vec::<&str>::new(), "{:?}", end);
        }
        // Whoever names the version before, and a time after the end, is not believed.
        let file: serde_json::Value = serde_json::from_slice(&counter.get(FILE).unwrap()).unwrap();
        let late = |at: i128, body: &serde_json::Value| {
            let mut envelope = Envelope::new(Kind::Checklist, body).unwrap();
            envelope.sign(&key(ODILE), Role::Supervisor, later(at)).unwrap();
            envelope.to_file().unwrap()
        };
        if matches!(end, End::Role | End::Key) {
            let honest = counter.get(FILE).unwrap();
            counter.put(FILE, late(complete + 30, &file["checklist"]));
            prop_assert_eq!(told(&counter).0, Answer::Doubtful, "{:?}", end);
            counter.put(FILE, honest);
        }
        if end == End::Approval {
            let body = &mut file["checklist"].clone();
            body["judged_at"] = later(complete + 30).to_record_text().into();
            let honest = counter.get(FILE).unwrap();
            counter.put(FILE, late(complete + 30, body));
            prop_assert!(told(&counter).1.contains(&"checklist/pack-approval-over"), "{:?}", end);
            counter.put(FILE, honest);
        }
        // A further version states the end, is taken by the same account, and changes nothing of it.
        counter.clock(complete + further);
        let (out, desk) = (Path::new(TRUST), counter.desk());
        let asks = OwnerAsks::Renew { until: None, keys: false, owners_needed: None, clock_anew: false };
        let draft = desk.draft_next(desk.next_trust(out).unwrap(), &asks, out).unwrap();
        with_hand((OWNER, Role::Owner), |hand| draft.sign(&desk, hand, &Consent::Given)).unwrap();
        counter.clock(complete + further + 60);
        prop_assert!(sign_what_waits(&counter, SECOND));
        prop_assert_eq!(counter.open(Purpose::Look).unwrap().trust.version(), 3);
        prop_assert_eq!(told(&counter).1, Vec::<&str>::new(), "{:?}", end);
        if matches!(end, End::Role | End::Key) {
            counter.put(FILE, late(complete + 30, &file["checklist"]));
            prop_assert_eq!(told(&counter).0, Answer::Doubtful, "{:?}", end);
        }
    }
}

/// What was revoked in a draft waits for nobody: from the theft on nothing counts, whenever the owners sign.
#[test]
fn a_revocation_waits_for_nobody() {
    let counter = counter();
    let (out, desk) = (Path::new(TRUST), counter.desk());
    let (person, how, from) = ("Odile Varga", Ending::Revoked, Some(later(-60)));
    let asks = OwnerAsks::EndKeys { person, keys: Vec::new(), how, from, why: "stolen from the van" };
    let draft = desk.draft_next(desk.next_trust(out).unwrap(), &asks, out).unwrap();
    with_hand((OWNER, Role::Owner), |hand| draft.sign(&desk, hand, &Consent::Given)).unwrap();
    counter.clock(300);
    counter.sign(|_| {}).unwrap();
    counter.clock(600);
    assert!(sign_what_waits(&counter, SECOND));
    assert_eq!(told(&counter).0, Answer::Doubtful);
}

/// A draft of a version that is past is told as that, and nothing of it is given up by the next one.
#[test]
fn a_draft_that_is_past_is_told() {
    let counter = counter();
    begin(&counter, End::Key);
    let draft = counter.get(DRAFT).unwrap();
    counter.clock(600);
    assert!(sign_what_waits(&counter, SECOND));
    let asks = OwnerAsks::Renew { until: None, keys: false, owners_needed: None, clock_anew: false };
    let (out, desk) = (Path::new(TRUST), counter.desk());
    counter.clock(900);
    let begun = desk.draft_next(desk.next_trust(out).unwrap(), &asks, out).unwrap();
    with_hand((OWNER, Role::Owner), |hand| begun.sign(&desk, hand, &Consent::Given)).unwrap();
    assert!(sign_what_waits(&counter, SECOND));
    counter.put(DRAFT, draft);
    let refused = crate::shop::counter::refused(desk.draft_that_waits(out));
    assert!(refused[0].starts_with("Draft(Past") && refused[0].contains("version: 2, in_force: 3"), "{refused:?}");
    let next = desk.draft_next(desk.next_trust(out).unwrap(), &asks, out).unwrap();
    assert_eq!(next.proposal().gives_up, [""; 0]);
}

/// A mark that is left on an end which an earlier version brought would put that end off again, and is refused.
#[test]
fn an_end_that_has_come_waits_no_second_time() {
    let counter = counter();
    begin(&counter, End::Key);
    counter.clock(600);
    assert!(sign_what_waits(&counter, SECOND));
    let mut body = counter.open(Purpose::Look).unwrap().trust.body().next(later(900));
    assert!(!body.people[0].keys[0].once_signed);
    assert_eq!(body.people[0].keys[0].retired.as_ref().unwrap().at, later(600).to_record_text());
    body.people[0].keys[0].once_signed = true;
    counter.clock(900);
    let refused = crate::shop::counter::refused(counter.sign_trust(OWNER, &body, TRUST));
    assert_eq!(refused, ["trust-unsound"]);
}
