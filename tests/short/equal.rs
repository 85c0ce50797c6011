//! Short records are judged as the long ones, at every hold point.

use fillward::pack::PackSet;
use fillward::record::shop::{self, Shop};
use fillward::vocabulary::HoldPoint;

use super::{SHOP, expanded, judged_at};
use crate::{common, hold_points};

#[test]
fn every_short_record_is_judged_as_the_long_one() {
    let packs = PackSet::base().unwrap();
    let shop = common::read(SHOP);
    let files = common::files("shared/demo/short", ".yaml");
    for path in &files {
        let short =
            expanded(&packs, &common::read(path), Some(&shop)).unwrap_or_else(|faults| panic!("{path}: {faults:?}"));
        let long = common::document(&path.replace("/short/", "/jobs/"));
        for point in HoldPoint::ALL {
            let judged = |document| judged_at(&packs, document, point, common::demo_at());
            assert_eq!(judged(&short.document), judged(&long), "{path} {}", point.word());
        }
    }
    // The generator names the others, each with its reason.
    assert!(files.len() > 130, "only {} short records", files.len());
}

/// What is carried through the day is at every hold point, and at the instant of its first lines, what the long record is.
#[test]
fn every_carried_short_record_is_judged_as_the_long_one() {
    let packs = PackSet::base().unwrap();
    let shop = Shop::read(common::document(SHOP)).unwrap();
    let files = common::files("shared/demo/carried-short", ".yaml");
    for path in &files {
        let (_, at) = hold_points::judged(path);
        let made = shop::expand(common::document(path), Some(&shop), &packs, shop.zone(), at);
        let short = made.unwrap_or_else(|faults| panic!("{path}: {faults:?}"));
        let long = common::document(&path.replace("/carried-short/", "/carried/"));
        for point in HoldPoint::ALL {
            let judged = |document| judged_at(&packs, document, point, at);
            let ((verdict, found), (of_long, due)) = (judged(&short.document), judged(&long));
            // A thermometer with which nothing has been read yet is in the long record alone, where it holds nothing.
            let idle: Vec<_> = due.difference(&found).collect();
            let holds_nothing = |(_, subject, outcome): &&(String, String, &str)| {
                subject.starts_with("T-") && ["met", "does not apply"].contains(outcome)
            };
            assert!(idle.iter().all(holds_nothing), "{path} {}: {idle:?}", point.word());
            // That nobody has read anything is said where the rules ask for a reading.
            let unread: Vec<_> = found.difference(&due).collect();
            let is_of_none =
                |(rule, subject, _): &&(String, String, &str)| rule.starts_with("thermometer-") && subject.is_empty();
            assert!(unread.iter().all(is_of_none), "{path} {}: {unread:?}", point.word());
            assert!(unread.is_empty() || !idle.is_empty(), "{path} {}: {unread:?}", point.word());
            assert_eq!(verdict, of_long, "{path} {}", point.word());
        }
    }
    assert!(files.len() > 8, "only {} short records", files.len());
}
