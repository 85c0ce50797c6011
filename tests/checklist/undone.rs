//! The law of revoking: whatever a key has signed, its end is taken; and what it signed from that end on counts for nothing,
//! in the trust file itself as well.

use fillward::checklist::trust::{Revocation, Trust, TrustBody};
use fillward::units::Instant;
use fillward::vocabulary::Role;
use proptest::prelude::*;

use crate::shop::{MAIRE, Shop, at, key, later};

const STEP: i128 = 3600;

/// A trust file in which the safety officer has approved the base pack at these instants, in steps from the demo instant.
fn approved_at(steps: &[i128]) -> TrustBody {
    let mut body = Shop::new().trust_body();
    let one = body.packs.remove(0);
    for step in steps {
        let mut approval = one.clone();
        approval.from = later(step * STEP).to_record_text();
        approval.sign(&body.shop, &key(MAIRE), later(step * STEP)).unwrap();
        body.packs.push(approval);
    }
    body
}

fn approves(trust: &Trust, at: Instant) -> Result<(), &'static str> {
    let pack = &trust.body().packs[0];
    let approved = trust.approves(&pack.name, &pack.edition, &pack.sha256, at);
    approved.map_err(|reason| reason.code().word().trim_start_matches("checklist/"))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(100) })]

    #[test]
    fn no_end_of_a_key_is_refused_for_what_it_signed(
        steps in prop::collection::vec(-40_i128..40, 1..5),
        end in -45_i128..45,
        revoked in any::<bool>(),
        asked in -45_i128..90,
    ) {
        let mut body = approved_at(&steps);
        let end_at = Some(Revocation { at: later(end * STEP).to_record_text(), why: "the van was broken into".to_owned() });
        let officer = &mut body.people[2].keys[0];
        if revoked { officer.revoked = end_at } else { officer.retired = end_at }
        let trust = Trust::of(body.clone());
        prop_assert!(trust.is_ok(), "{:?}", trust.err());
        let trust = trust.unwrap();
        let undone: Vec<String> = trust.undone().map(|approval| approval.from.clone()).collect();
        let due: Vec<String> =
            steps.iter().filter(|step| **step >= end).map(|step| later(step * STEP).to_record_text()).collect();
        prop_assert_eq!(&undone, &due);
        let at = later(asked * STEP + 1);
        let (stands, falls): (Vec<i128>, Vec<i128>) = steps.iter().partition(|step| **step < end);
        let answer = match () {
            () if stands.iter().any(|step| *step <= asked) => Ok(()),
            () if falls.iter().any(|step| *step <= asked) => Err("pack-approval-undone"),
            () => Err("pack-approval-over"),
        };
        prop_assert_eq!(approves(&trust, at), answer);
        prop_assert_eq!(trust.required(at).is_empty(), answer.is_err());
    }
}

/// What is no approval is none, whether or not the key has ended: an end excuses no name, no role and no other text.
#[test]
fn an_end_makes_no_approval_of_what_is_none() {
    let refused = |change: &dyn Fn(&mut TrustBody)| {
        let mut body = approved_at(&[0]);
        let at = later(-STEP).to_record_text();
        body.people[2].keys[0].revoked = Some(Revocation { at, why: "stolen".to_owned() });
        change(&mut body);
        Trust::of(body).err().unwrap_or_default().iter().map(|reason| reason.code().word()).collect::<Vec<_>>()
    };
    assert_eq!(refused(&|_| {}), [""; 0]);
    assert_eq!(refused(&|body| body.packs[0].seal = None), ["checklist/trust-unsound"]);
    assert_eq!(refused(&|body| body.packs[0].edition = "2031.1".to_owned()), ["checklist/trust-unsound"]);
    assert_eq!(
        refused(&|body| {
            body.people[0].roles.push(Role::SafetyOfficer);
            body.packs[0].approved_by = "Odile Varga".to_owned();
        }),
        ["checklist/trust-unsound"]
    );
    // A key that came to its planned end does not sign on: that is no theft.
    let ended = |body: &mut TrustBody| {
        body.people[2].keys[0].revoked = None;
        body.people[2].keys[0].until = later(-STEP).to_record_text();
    };
    assert_eq!(refused(&ended), ["checklist/key-expired"]);
    assert!(at(&approved_at(&[0]).packs[0].from) == later(0));
}

/// Of what counts for nothing a version drops only what its draft brought in; what the version in force has stays
/// written, and so does what counts.
#[test]
fn a_version_drops_what_its_own_draft_brought_in_for_nothing() {
    let (counts, for_nothing) = (-20, 5);
    let next = || {
        let mut body = approved_at(&[counts, for_nothing]);
        let at = later(0).to_record_text();
        body.people[2].keys[0].revoked = Some(Revocation { at, why: "the van was broken into".to_owned() });
        body
    };
    let trust = Trust::of(next()).unwrap();
    let left = |in_force: &[i128]| {
        let mut body = next();
        trust.drop_undone(&approved_at(in_force), &mut body);
        body.packs.into_iter().map(|approval| approval.from).collect::<Vec<_>>()
    };
    let from = |step: i128| later(step * STEP).to_record_text();
    assert_eq!(left(&[counts]), [from(counts)]);
    assert_eq!(left(&[]), [from(counts)]);
    assert_eq!(left(&[counts, for_nothing]), [from(counts), from(for_nothing)]);
    assert_eq!(left(&[for_nothing]), [from(counts), from(for_nothing)]);
}
