//! The ends of what a checklist says of its own time, to the second.

use fillward::checklist::Reason;
use fillward::checklist::body::Program;
use fillward::checklist::signing::{is_witness, sign};
use fillward::units::{Exact, Instant};
use fillward::vocabulary::Role;

use crate::shop::{ODILE, Shop, at, key, passing};

fn after(at: Instant, seconds: i64) -> Instant {
    at.checked_add_seconds(Exact::from_int(seconds)).unwrap()
}

/// A PASS may end with the second in which it was judged, and not before.
#[test]
fn a_validity_ends_no_earlier_than_the_judgement() {
    let (honest, _) = Shop::new().make(&passing(), |_| {});
    let judged = at(&honest.judged_at);
    let said = |seconds: i64| {
        let mut body = honest.clone();
        body.valid_until = Some(after(judged, seconds).to_record_text());
        body.contradictions().1.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    let before = "the checklist contradicts itself: its validity ends before it was judged";
    for seconds in [-86_400, -1] {
        assert_eq!(said(seconds), [before], "{seconds}");
    }
    for seconds in [0, 1] {
        assert_eq!(said(seconds), [""; 0], "{seconds}");
    }
}

/// Through its last second a checklist can still let a fill start, so whoever signs is a signer; a second later, a witness.
#[test]
fn a_witness_signs_after_the_last_second() {
    let shop = Shop::new();
    let (body, mut envelope) = shop.make(&passing(), |_| {});
    let until = at(body.valid_until.as_deref().unwrap());
    assert!(!is_witness(&envelope, &body, after(until, 1)), "nobody has signed it");
    sign(&mut envelope, &body, &key(ODILE), Role::Supervisor, &shop.trust(), after(at(&body.judged_at), 60)).unwrap();
    for (seconds, witness) in [(-1, false), (0, false), (1, true)] {
        assert_eq!(is_witness(&envelope, &body, after(until, seconds)), witness, "{seconds}");
    }
}

/// Two builds of one edition cannot be told apart by its number; of another edition the number says enough.
#[test]
fn another_build_of_this_edition_is_told_by_its_build() {
    let this = Program::this();
    let told = |name: &str, edition: &str| {
        Program { build: "b7".to_owned(), edition: edition.to_owned(), name: name.to_owned() }.told()
    };
    assert_eq!(told(&this.name, &this.edition), format!("{}, build b7", this.title()));
    assert_eq!(told(&this.name, "1999.1"), format!("{} 1999.1", this.name));
    assert_eq!(told("another", &this.edition), format!("another {}", this.edition));
}

/// Of a file of long ago a HOLD and a rehearsal show what was so then, and are relied on for that; what was changed is not.
#[test]
fn a_hold_of_long_ago_still_shows_what_was_so() {
    let distrusts = |reason: &Reason| reason.help_when_old().contains("do not rely on it");
    for reason in [Reason::Hold, Reason::Rehearsal] {
        assert!(!distrusts(&reason), "{reason:?}");
    }
    assert!(distrusts(&Reason::RecordDigest));
}
