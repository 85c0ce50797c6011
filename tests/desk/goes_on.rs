//! The record of a job that goes on, beside the checklist of the air.

use fillward::desk::Answer;
use fillward::vocabulary::HoldPoint;

use super::links_in_part::carried;
use crate::common;
use crate::shop::Shop;
use crate::shop::counter::{FILE, RECORD};
use crate::shop::world::World;

const SHOP: &str = "shop.yaml";

/// A shop in which the air was signed at 08:10, and went in at 08:15.
fn with_air() -> Shop<World> {
    let counter = Shop::new().at_desk();
    counter.put(SHOP, common::read("shared/demo/shop.yaml"));
    counter.clock(-4800);
    counter.put(RECORD, carried(HoldPoint::BeforeAir));
    let signed = counter.sign(|order| {
        (order.passage.point, order.shop) = (HoldPoint::BeforeAir, Some(counter.source(SHOP)));
        order.out = Some(FILE.into());
    });
    assert!(signed.unwrap().report.may_start());
    counter
}

/// The answer, the codes but for those of age, and the words, with a record as it now stands.
fn told(counter: &Shop<World>, record: &str) -> (Answer, Vec<&'static str>, String) {
    counter.put(RECORD, record);
    let verified = counter.verify(|order| order.shop = Some(counter.source(SHOP))).unwrap();
    let reasons = || verified.report.reasons().filter(|reason| !reason.is_over());
    let words: Vec<String> = reasons().map(ToString::to_string).collect();
    (verified.answer, reasons().map(|reason| reason.code().word()).collect(), words.join("; "))
}

const STILL: &str = "what was known then it still says";

/// The law: that a record still says what was known is said where it does; where it does not, each fact is named with both
/// values.
#[test]
fn what_a_record_says_otherwise_is_told_with_both_values() {
    let counter = with_air();
    counter.clock(0);
    let honest = carried(HoldPoint::BeforeAir).replacen("    mounting:", "    acts: {air: 08:15}\n    mounting:", 1);
    let (answer, codes, words) = told(&counter, &honest);
    assert_eq!((answer, codes), (Answer::InOrder, vec!["checklist/record-gone-on"]), "{words}");
    assert!(words.contains(STILL), "{words}");
    for (was, now, values) in [
        ("regulator: 60 psi", "regulator: 90 psi", ["60 psi", "90 psi"]),
        ("stand_off: 12 ft", "stand_off: 3 ft", ["12 ft", "3 ft"]),
    ] {
        let edited = honest.replacen(was, now, 1);
        assert_ne!(edited, honest, "{was}");
        let (answer, codes, words) = told(&counter, &edited);
        assert_eq!((answer, codes), (Answer::InOrder, vec!["checklist/record-gone-on"]), "{words}");
        assert!(!words.contains(STILL) && values.iter().all(|value| words.contains(value)), "{words}");
    }
}

/// The law: with the same files, time alone makes no record another one, and no shop file one that says otherwise.
#[test]
fn midnight_makes_no_record_another_one() {
    let counter = with_air();
    let gone_on = carried(HoldPoint::BeforeAir).replacen("    mounting:", "    acts: {air: 08:15}\n    mounting:", 1);
    // From 08:40 on, every half hour to past the second midnight; then a month and three years later.
    let hours = (0..80).map(|half| -3000 + half * 1800);
    for at in hours.chain([30 * 86_400, 1100 * 86_400]) {
        counter.clock(at);
        let (answer, codes, words) = told(&counter, &gone_on);
        assert_eq!(codes, ["checklist/record-gone-on"], "{at}: {words}");
        assert!(matches!(answer, Answer::InOrder | Answer::Old), "{at}: {answer:?}");
        assert!(words.contains(STILL), "{at}: {words}");
    }
}

/// A present record that cannot be read is told so, with its first fault.
#[test]
fn a_record_that_cannot_be_read_is_told_so() {
    let counter = with_air();
    counter.clock(0);
    let honest = carried(HoldPoint::BeforeAir);
    for (was, now, part) in [("regulator: 60 psi", "regulator: 60 psy", "psy"), ("job:", "jib:", "jib")] {
        let edited = honest.replacen(was, now, 1);
        assert_ne!(edited, honest, "{was}");
        let (_, codes, words) = told(&counter, &edited);
        assert!(codes.contains(&"checklist/record-changed"), "{codes:?}");
        assert!(words.contains("as it stands now it cannot be read: ") && words.contains(part), "{words}");
    }
}
