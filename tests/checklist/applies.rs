//! Why a rule applies, as a signed file says it.

use fillward::checklist::verify::verify;
use serde_json::json;

use super::evidence::{content, resigned};
use crate::shop::{Shop, codes, held, passing};

/// Why a rule applies is compared as well as why it is broken.
#[test]
fn why_a_rule_applies_is_compared() {
    let shop = Shop::new();
    let trust = shop.trust();
    for record in [held(), passing().replacen("faults: []", "faults: [crack]", 1)] {
        let honest = content(&shop, &record);
        let mut forged = honest.clone();
        for fault in forged["findings"]["faults"].as_array_mut().unwrap() {
            let case = fault["of"].as_object_mut().unwrap().values_mut().next().unwrap();
            // What would say nothing is left out: a rule that always applies has no such member.
            let mut applies = case["applies"].as_array().cloned().unwrap_or_default();
            applies.push(json!("cure.flat true"));
            case["applies"] = applies.into();
        }
        assert_ne!(forged, honest);
        let report = verify("f", &resigned(&forged), &shop.question(&trust, &record));
        assert!(codes(&report).contains(&"judged-otherwise"), "{:?}", codes(&report));
        // One form for each content: what says nothing does not stand there.
        for (member, nothing) in
            [("applies", json!([])), ("mark", json!(null)), ("permitted", json!(false)), ("advice", json!(false))]
        {
            let mut padded = honest.clone();
            let group = &mut padded["findings"]["faults"][0];
            let case = group["of"].as_object_mut().unwrap().values_mut().next().unwrap();
            if ["applies", "mark"].contains(&member) {
                case[member] = nothing;
            } else {
                group[member] = nothing;
            }
            let report = verify("f", &resigned(&padded), &shop.question(&trust, &record));
            assert_eq!(codes(&report), ["content"], "{member}");
        }
    }
}
