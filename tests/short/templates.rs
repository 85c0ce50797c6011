//! What is written to be filled in: no thing is offered twice, and what is due
//! later stands behind what is due now.

use fillward::pack::PackSet;
use fillward::record;
use fillward::record::shop::sections::{Routine, SECTIONS};
use fillward::record::shop::{self, Shop};
use fillward::vocabulary::HoldPoint;

use super::SHOP;
use crate::common;

#[test]
fn a_shop_file_offers_nothing_twice() {
    let packs = PackSet::base().unwrap();
    let template = shop::blank_template(packs.catalogue());
    let parsed: serde_yaml::Value = serde_yaml::from_str(&template).unwrap();
    for key in packs.catalogue().keys().filter(|key| Routine::is_of(*key)) {
        let spec = packs.catalogue().spec(key).unwrap();
        for section in SECTIONS {
            let Some(below) = spec.name.strip_prefix(section.base) else { continue };
            let entry = &parsed[section.key][0];
            let at = below.split('.').try_fold(entry, |node, key| node.get(key));
            assert!(
                at.is_none() || section.subject != key.subject,
                "{} is offered by an entry of {}",
                spec.name,
                section.key
            );
        }
    }
}

/// In every group of a new record what is asked at a later hold point stands behind what is asked at an earlier one, and a
/// comment says where that begins.
#[test]
fn a_new_record_is_in_the_order_of_the_work() {
    let packs = PackSet::base().unwrap();
    let shop = Shop::read(common::document(SHOP)).unwrap();
    for text in [shop::blank_short_template(packs.catalogue(), &shop, None), record::blank_template(packs.catalogue())]
    {
        let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("no `{words}` in {text}"));
        assert!(at("  - mark:") < at("\n    fill:") && at("\n    vent_path:") < at("\n    fill:"), "{text}");
        assert!(at("\n    fill:") < at("\n    refit:") && at("\npump:") < at("\nservice:"));
        for point in [HoldPoint::AfterFill, HoldPoint::BeforeService] {
            assert!(text.contains(&format!("# -- {}", point.word())), "{text}");
        }
    }
    // In the short one what is written once the pump has stopped stands behind everything else.
    let text = shop::blank_short_template(packs.catalogue(), &shop, None);
    assert!(text.find("\nsample:").unwrap() > text.find("  polyol:").unwrap());
    assert!(text.contains("seated: {at: , by: }"));
    // What is seen once the air is in stands behind what is done before it and with it, on the first tyre and on a
    // further one.
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("no `{words}` in {text}"));
    let walk = ["\n    bench:", "\n    mounting:", "\n    acts:", "\n    seated:", "\n    fill:", "\n  # - mark:"];
    assert!(walk.map(at).is_sorted(), "{text}");
    let further = ["\n  #   bench: {at: , found: }", "\n  #   mounting:", "\n  #   seated: {at: }", "\ncomponents:"];
    assert!(further.map(at).is_sorted(), "{text}");
}
