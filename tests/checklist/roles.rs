//! A role that is taken off: what was signed in it before stays in order, and nothing is signed in it any more.

use fillward::checklist::Reason;
use fillward::checklist::signing::sign;
use fillward::checklist::trust::{FormerRole, Trust, TrustBody};
use fillward::units::{Exact, Instant};
use fillward::vocabulary::Role;
use proptest::prelude::*;

use crate::shop::{ODILE, Shop, at, key, passing, sealed};

/// Seconds from when the file is made: when a role was taken off, and when it was given back.
type TakenOff = (i64, Option<i64>);

fn after(at: Instant, seconds: i64) -> Instant {
    at.checked_add_seconds(Exact::from_int(seconds)).unwrap()
}

/// The trust file from which the supervisor's role was taken off at an instant, which is when that version was made;
/// `back` is when she got it back, by a version after that one.
fn without_role(body: &TrustBody, taken: Instant, back: Option<Instant>) -> TrustBody {
    let mut next = body.next(taken);
    next.take_roles("Odile Varga", &[Role::Supervisor]).unwrap();
    if let Some(back) = back {
        next = next.next(back);
        let span = (at(&body.made_at), at(&body.ends_at));
        next.add("Odile Varga", &[Role::Supervisor], None, span).unwrap();
    }
    next
}

proptest! {
    #![proptest_config(crate::laws::config())]

    /// Whenever a role is taken off, and whenever it is given back: a signature in it counts unless it was made in between.
    #[test]
    fn a_signature_counts_by_the_role_of_its_instant(signed in 0_i64..20_000, taken in 0_i64..20_000, back in prop::option::of(0_i64..9_000)) {
        let shop = Shop::new();
        let (body, mut envelope) = shop.make(&passing(), |_| {});
        let from = at(&body.judged_at);
        let signed_at = after(from, signed.min(600));
        sign(&mut envelope, &body, &key(ODILE), Role::Supervisor, &shop.trust(), signed_at).unwrap();
        let taken = after(from, taken - 10_000);
        let next = without_role(&shop.trust_body(), taken, back.map(|later| after(taken, later)));
        let trust = Trust::of(sealed(&next)).unwrap();
        let signer = envelope.signers().into_iter().next().unwrap().unwrap();
        let standing = trust.standing(&envelope, &signer);
        let counts = signed_at < taken || back.is_some_and(|later| after(taken, later) <= signed_at);
        prop_assert_eq!(standing.is_ok(), counts, "{:?}", standing);
        if !counts {
            let who = "Odile Varga".to_owned();
            prop_assert_eq!(standing.unwrap_err(), Reason::WrongRole { who, role: Role::Supervisor });
        }
        // Whatever she signed before, she signs nothing more.
        prop_assert_eq!(trust.may_sign(signer.kid.as_str(), Role::Supervisor, after(taken, 60)).is_ok(), back.is_some());
    }
}

/// What is still to end is no former role: by it somebody would sign who no longer has it.
#[test]
fn a_former_role_has_ended_by_when_the_file_is_made() {
    let body = Shop::new().trust_body();
    let made = at(&body.made_at);
    let found = |seconds: i64| {
        let mut body = body.clone();
        let until = after(made, seconds).to_record_text();
        body.people[0].former_roles = vec![FormerRole { role: Role::Auditor, until, again: None, once_signed: false }];
        let reasons = Trust::of(sealed(&body)).err().unwrap_or_default();
        reasons.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    assert_eq!(found(-60), [""; 0]);
    assert_eq!(found(0), [""; 0]);
    let said =
        "the trust file does not hold together: it does not say rightly from when Odile Varga was auditor no longer";
    assert_eq!(found(1), [said]);
    // (the role, whether she has it, when it was taken off and given back, each time; whether that can be)
    let spans: &[(bool, &[TakenOff], bool)] = &[
        (false, &[(-60, Some(-30))], false),
        (true, &[(-60, None)], false),
        (true, &[(-60, Some(-30))], true),
        (true, &[(-60, Some(-90))], false),
        (true, &[(-60, Some(1))], false),
        (false, &[(-60, Some(-30)), (-20, None)], true),
        (false, &[(-60, Some(-30)), (-40, None)], false),
        (false, &[(-60, None), (-20, None)], false),
    ];
    for (has, times, holds) in spans {
        let mut body = body.clone();
        let text = |seconds: i64| after(made, seconds).to_record_text();
        let former = |(until, again): &TakenOff| FormerRole {
            role: Role::Auditor,
            until: text(*until),
            again: again.map(text),
            once_signed: false,
        };
        body.people[0].former_roles = times.iter().map(former).collect();
        body.people[0].roles.extend(has.then_some(Role::Auditor));
        assert_eq!(Trust::of(sealed(&body)).is_ok(), *holds, "{has} {times:?}");
    }
}
