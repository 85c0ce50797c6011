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
            // What would say nothing is left out: a rule that always applies has no such member.
            let mut applies = fault["applies"].as_array().cloned().unwrap_or_default();
            applies.push(json!("cure.flat true"));
            fault["applies"] = applies.into();
        }
        assert_ne!(forged, honest);
        let report = verify("f", &resigned(&forged), &shop.question(&trust, &record));
        assert!(codes(&report).contains(&"judged-otherwise"), "{:?}", codes(&report));
        // One form for each content: what says nothing does not stand there.
        for (member, nothing) in
            [("applies", json!([])), ("mark", json!(null)), ("permitted", json!(false)), ("advice", json!(false))]
        {
            let mut padded = honest.clone();
            padded["findings"]["faults"][0][member] = nothing;
            let report = verify("f", &resigned(&padded), &shop.question(&trust, &record));
            assert_eq!(codes(&report), ["content"], "{member}");
        }
    }
}
