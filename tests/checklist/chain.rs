//! What the checklist of a hold point must show to bear the next one: that it was in force when it was acted on.

use fillward::checklist::links::{Earlier, Links, content_digest};
use fillward::checklist::signing::sign;
use fillward::checklist::trust::{Pins, Revocation, Trust};
use fillward::checklist::verify::{Question, verify};
use fillward::units::{Exact, Instant};
use fillward::vocabulary::{HoldPoint, Role};

use crate::shop::{self, ODILE, Shop, before_air, codes, key, later, passing};

/// A local pack by which a fill follows the checklist of the air.
const GATE: &str = "pack: 1\nname: gate\nedition: \"1\"\ntitle: Rules of a test\nexamples_at: 2026-03-04T09:30:00-06:00\n\
    follows:\n  - at: before fill\nrules:\n  people-near:\n    title: People stand near\n    covers: job\n    \
    asked_at: [before air]\n    demands: {air_stage.people_clear: {is: true}}\n    why: Parts fly.\n    \
    air: {stays: nothing is touched}\n    put_right: Keep away.\n    source: {kind: local code, cite: invented for this test}\n    on_fault: hold\n    \
    permit: none\n    examples: {passes: [{air_stage.people_clear: true}], holds: [{air_stage.people_clear: false}]}\n";

/// The passing job with the instant at which air went in.
fn with_air_at(at: Instant) -> String {
    let seated = at.checked_add_seconds(Exact::from_int(30)).unwrap().to_record_text();
    let record = passing().replacen("2026-03-04T08:25:00-06:00", &seated, 1);
    record.replacen("    target: {", &format!("    acts: {{air: {}}}\n    target: {{", at.to_record_text()), 1)
}

/// The checklist of the air, signed a minute after it was judged, with the digest by which the next one names it.
fn of_air(shop: &Shop) -> (Earlier, String, Instant) {
    let (body, mut envelope) = shop.make(&before_air(&passing()), |choices| choices.point = HoldPoint::BeforeAir);
    sign(&mut envelope, &body, &key(ODILE), Role::Supervisor, &shop.trust(), later(60)).unwrap();
    let until = shop::at(body.valid_until.as_deref().unwrap());
    (Earlier { name: "air.json".to_owned(), bytes: envelope.to_file().unwrap() }, content_digest(&envelope), until)
}

/// What is said against a fill for which air went in at an instant, judged a minute later and asked ten minutes after that.
fn said(shop: &Shop, trust: &Trust, earlier: &Links, named: &str, air: Instant) -> Vec<&'static str> {
    let after = |seconds: i64| air.checked_add_seconds(Exact::from_int(seconds)).unwrap();
    let record = with_air_at(air);
    let (_, mut envelope) = shop.make(&record, |choices| {
        choices.at = after(60);
        choices.before = Some(named.to_owned());
    });
    envelope.sign(&key(ODILE), Role::Supervisor, after(120)).unwrap();
    let file = envelope.to_file().unwrap();
    codes(&verify("fill.json", &file, &Question { at: after(660), earlier, ..shop.question(trust, &record) }))
}

#[test]
fn a_link_counts_while_it_was_in_force() {
    let shop = Shop::with(&[GATE]);
    let trust = shop.trust();
    let (air, named, until) = of_air(&shop);
    let earlier = &Links::of([air]);
    let is_broken = |at: Instant| said(&shop, &trust, earlier, &named, at).contains(&"link-broken");
    assert_eq!(said(&shop, &trust, earlier, &named, later(120)), [""; 0]);
    // From when it was signed, less the five minutes by which two clocks may differ, and through its last second.
    for (at, broken) in [(later(60 - 301), true), (later(60 - 300), false), (until, false)] {
        assert_eq!(is_broken(at), broken, "{at}");
    }
    assert!(is_broken(until.checked_add_seconds(Exact::ONE).unwrap()));
    assert_eq!(said(&shop, &trust, Links::NONE, &named, later(120)), ["link-not-given"]);
    assert_eq!(said(&shop, &trust, earlier, &"0".repeat(64), later(120)), ["link-not-given"]);
}

/// A theft after the act breaks no link where somebody else's signature bears out the stolen key's; one before it does.
#[test]
fn a_link_outlives_a_later_theft_that_is_borne_out() {
    let shop = Shop::with(&[GATE]);
    let (body, mut envelope) = shop.make(&before_air(&passing()), |choices| choices.point = HoldPoint::BeforeAir);
    for (signer, at) in [(ODILE, 60), (shop::WREN, 70)] {
        sign(&mut envelope, &body, &key(signer), Role::Supervisor, &shop.trust(), later(at)).unwrap();
    }
    let air = Earlier { name: "air.json".to_owned(), bytes: envelope.to_file().unwrap() };
    let stolen_from = |seconds: i128| {
        let mut body = shop.trust_body();
        let end = Revocation { at: later(seconds).to_record_text(), why: "stolen".to_owned() };
        body.people[1].keys[0].revoked = Some(end);
        said(&shop, &shop.next(&body), &Links::of([air.clone()]), &content_digest(&envelope), later(120))
    };
    assert_eq!(stolen_from(121), [""; 0]);
    assert_eq!(stolen_from(120), ["link-broken"]);
}

/// What keeps every start from being made by a trust file is said once, of the fill, and breaks no link.
#[test]
fn what_bars_every_start_breaks_no_link() {
    let shop = Shop::with(&[GATE]);
    let (air, named, _) = of_air(&shop);
    let file = Shop::trust_file(&shop.trust_body());
    let unpinned = Trust::open("trust.json", &file, &Pins::default()).unwrap();
    assert_eq!(said(&shop, &unpinned, &Links::of([air]), &named, later(120)), ["trust-unpinned"]);
}

/// Who countersigns the earlier checklist once the act is done is a witness: the link holds as before, by those who had
/// signed by then, and a witness fills in for nobody who had not.
#[test]
fn a_witness_of_the_earlier_checklist_leaves_the_link_as_it_was() {
    let shop = Shop::with(&[GATE]);
    let trust = shop.trust();
    let of = |signers: &[(u8, i128)]| {
        let (body, mut envelope) = shop.make(&before_air(&passing()), |choices| choices.point = HoldPoint::BeforeAir);
        for (signer, at) in signers {
            sign(&mut envelope, &body, &key(*signer), Role::Supervisor, &trust, later(*at)).unwrap();
        }
        let air = Earlier { name: "air.json".to_owned(), bytes: envelope.to_file().unwrap() };
        said(&shop, &trust, &Links::of([air]), &content_digest(&envelope), later(120))
    };
    assert_eq!(of(&[(ODILE, 60)]), [""; 0]);
    assert_eq!(of(&[(ODILE, 60), (shop::WREN, 700)]), [""; 0]);
    assert_eq!(of(&[(shop::WREN, 700)]), ["link-broken"]);
    // One that is still to come now is no witness.
    assert_eq!(of(&[(ODILE, 60), (shop::WREN, 120 + 660 + 301)]), ["link-broken"]);
}

/// An earlier checklist by a version that this account has not seen breaks no link; by a fill's own nothing starts.
#[test]
fn a_version_that_nobody_here_has_seen_breaks_no_link() {
    let shop = Shop::with(&[GATE]);
    let (air, named, _) = of_air(&shop);
    let unseen = Shop::trusted(&fillward::checklist::trust::TrustBody { version: 4, ..shop.trust_body() });
    assert_eq!(said(&shop, &unseen, &Links::of([air]), &named, later(120)), ["trust-unseen"]);
}
