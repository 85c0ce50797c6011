//! Signing a short record: what of the shop file goes into the checklist, and that nothing of it can be changed.

use fillward::checklist::jws::{Envelope, Kind, Role};
use fillward::desk::{Consent, Refusal, Unfit};
use serde_json::Value;

use crate::common;
use crate::shop::counter::{Counter, FILE, RECORD, with_hand};
use crate::shop::{MAIRE, ODILE, codes, key, later};

const SHOP: &str = "shop.yaml";
const BY_ODILE: (u8, Role) = (ODILE, Role::Supervisor);

/// A counter with the demo's short record and its shop file, which has one person more than the job.
fn counter() -> Counter {
    let counter = Counter::new();
    counter.put(RECORD, common::read("shared/demo/short/pass-loader-bias-used.yaml"));
    let other = "crew:\n  - mark: XX\n    name: Somebody Else\n    training_reviewed: 2024-01-31\n";
    counter.put(SHOP, common::read("shared/demo/shop.yaml").replacen("crew:\n", other, 1));
    counter
}

fn sign(counter: &Counter) -> Result<fillward::desk::Signed, Refusal> {
    counter.sign(|order| order.shop = Some(counter.source(SHOP)))
}

fn body(counter: &Counter) -> Value {
    let file: Value = serde_json::from_slice(&counter.get(FILE).unwrap()).unwrap();
    file["checklist"].clone()
}

/// The checklist with another content, signed by the supervisor as if nothing were.
fn resigned(body: &Value) -> Vec<u8> {
    let mut envelope = Envelope::new(Kind::Checklist, body).unwrap();
    envelope.sign(&key(ODILE), Role::Supervisor, later(0)).unwrap();
    envelope.to_file().unwrap()
}

#[test]
fn a_short_record_is_signed_with_the_entries_that_it_used() {
    let counter = counter();
    let signed = sign(&counter).unwrap();
    assert!(signed.report.may_start() && signed.report.rejudged, "{:?}", codes(&signed.report));
    let shop = &body(&counter)["inputs"]["shop_file"];
    let text = shop["text"].as_str().unwrap();
    assert_eq!(shop["name"], SHOP);
    assert_eq!(shop["sha256"], fillward::checklist::packs::sha256_hex(&counter.get(SHOP).unwrap()));
    assert!(text.contains("Odile Varga") && !text.contains("Somebody Else") && !text.contains("2024-01-31"));
    // Whoever verifies needs the record and no shop file.
    let verified = counter.verify(|_| {}).unwrap();
    assert!(verified.report.may_start(), "{:?}", codes(&verified.report));
}

#[test]
fn a_second_person_signs_what_the_first_one_signed() {
    let counter = counter();
    sign(&counter).unwrap();
    // The shop file has changed meanwhile; what was used stands in the checklist.
    counter.put(SHOP, "shop: 1\nzone: America/Chicago\n");
    let signed = counter.countersign((MAIRE, Role::SafetyOfficer)).unwrap();
    assert_eq!(signed.report.signatures.len(), 2);
}

#[test]
fn no_entry_in_a_checklist_can_be_changed_taken_away_or_added() {
    let counter = counter();
    sign(&counter).unwrap();
    let honest = body(&counter);
    let text = honest["inputs"]["shop_file"]["text"].as_str().unwrap();
    for (what, forged) in [
        ("a later calibration", text.replace("2026-09-30", "2027-09-30")),
        ("an entry more", text.replace("crew:\n", "crew:\n  - mark: YY\n    name: Yet Another\n")),
        ("an entry less", text.replace("  - {mark: C-1, kind: cage, rating: 240 psi}\n", "")),
        ("another zone", text.replace("America/Chicago", "America/Denver")),
        ("no shop file at all", "shop: 1\nzone: America/Chicago\n".to_owned()),
        ("a colder drum", text.replace("75.2 degF", "60.2 degF")),
    ] {
        assert_ne!(forged, text, "{what}");
        let mut body = honest.clone();
        body["inputs"]["shop_file"]["text"] = forged.into();
        counter.put(FILE, resigned(&body));
        let report = counter.verify(|_| {}).unwrap();
        assert!(!report.report.in_order(), "{what} is taken");
    }
    let mut body = honest.clone();
    body["inputs"]["shop_file"] = Value::Null;
    counter.put(FILE, resigned(&body));
    assert!(!counter.verify(|_| {}).unwrap().report.in_order(), "a record without its shop file is taken");
    counter.put(FILE, resigned(&honest));
    assert!(counter.verify(|_| {}).unwrap().report.in_order(), "the forger's own hand is what is found");
}

#[test]
fn a_shop_file_that_changes_while_the_question_waits_is_not_signed() {
    let counter = counter();
    let mut order = counter.order();
    order.shop = Some(counter.source(SHOP));
    let draft = counter.draft(order).unwrap();
    counter.put(SHOP, common::read("shared/demo/shop.yaml"));
    let refused = with_hand(BY_ODILE, |hand| draft.sign(&counter.desk(), hand, &Consent::Given));
    assert!(matches!(refused, Err(Refusal::Store(_))), "{refused:?}");
    assert!(!counter.has(FILE));
}

#[test]
fn a_shop_file_of_another_zone_than_the_trust_file_is_refused() {
    let counter = counter();
    counter.put(SHOP, common::read("shared/demo/shop.yaml").replace("America/Chicago", "America/Denver"));
    let refused = sign(&counter);
    assert!(matches!(refused, Err(Refusal::Unfit(Unfit::ShopOfAnotherZone { .. }))), "{refused:?}");
}

#[test]
fn without_its_shop_file_a_short_record_is_not_signed() {
    let counter = counter();
    assert!(matches!(counter.sign(|_| {}), Err(Refusal::Invalid(_))));
}
