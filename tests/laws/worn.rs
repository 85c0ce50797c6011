//! Each word that a safety data sheet may ask to be worn decides: where the sheet asks for it and nobody has it, the
//! pump stays off. The sheet decides what is worn, 29 CFR 1910.132(d), from memory.

use fillward::document::Document;
use fillward::record::FactKind;
use fillward::record::catalogue::job::WEAR;
use fillward::vocabulary::{HoldPoint, Verdict};
use serde_yaml::Value;

use super::jobs::PACKS;
use super::words::report_at;
use crate::common;

#[test]
fn whatever_a_sheet_asks_to_be_worn_is_asked_of_the_crew() {
    let Some(FactKind::Choices(words)) = PACKS.catalogue().spec(WEAR).map(|spec| &spec.kind) else { panic!("no list") };
    let words: Vec<String> = words.iter().map(ToString::to_string).collect();
    let path = "shared/demo/carried/2-before-fill.yaml";
    let (point, at) = crate::hold_points::judged(path);
    assert_eq!(point, HoldPoint::BeforeFill);
    let tree: Value = serde_yaml::from_str(&common::read(path)).unwrap();
    let list = |words: &[&String]| Value::from(words.iter().map(|word| word.as_str()).collect::<Vec<_>>());
    // Gloves and eye protection are asked in any case; a respirator also says when it was fitted.
    let judged = |asked: &[&String], worn: &[&String]| {
        let mut tree = tree.clone();
        tree["mix"]["wear"] = list(asked);
        for person in tree["people"].as_sequence_mut().unwrap() {
            person["protection"] = list(worn);
            person["respirator_fitted"] = Value::from("2026-01-12");
        }
        let text = serde_yaml::to_string(&tree).unwrap();
        let document = Document::read("job.yaml", text.as_bytes()).unwrap();
        report_at(&document, (at, point), |_, report| {
            (report.judgement.verdict, report.holding.iter().map(|of| of.rule.name.to_string()).collect::<Vec<_>>())
        })
        .unwrap()
    };
    let all: Vec<&String> = words.iter().collect();
    assert_eq!(judged(&all, &all).0, Verdict::Pass, "{:?}", judged(&all, &all).1);
    assert!(words.len() >= 6, "{words:?}");
    for word in &words {
        let others: Vec<&String> = words.iter().filter(|other| *other != word).collect();
        let (verdict, rules) = judged(&all, &others);
        assert_eq!(verdict, Verdict::Hold, "{word} is asked, and nobody has it");
        assert!(!rules.is_empty());
    }
}
