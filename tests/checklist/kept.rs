//! A checklist that was signed once and kept: it stays in order, whatever words reports are given in.
//!
//! The file, its record and its pack are kept as they are. The pack is one of its own, so that an edition of the base pack
//! changes nothing; only another format of the file, or another way to judge, does.

use std::collections::BTreeSet;

use fillward::checklist::verify::verify;
use fillward::document::Document;
use fillward::pack::PackSet;

use crate::common;
use crate::shop::{Shop, codes};

const FILE: &str = "tests/checklist/kept/checklist.json";
const PACK: &str = "tests/checklist/kept/pack.yaml";
const RECORD: &str = "tests/checklist/kept/record.yaml";

/// The shop as it judged then: by its own pack alone.
fn then() -> Shop {
    let document = Document::read("pack.yaml", common::read(PACK).as_bytes()).unwrap();
    let set = PackSet::alone(vec![document]).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)));
    Shop::of(set)
}

#[test]
fn a_kept_file_is_in_order_and_judged_again_alike() {
    let (shop, record) = (then(), common::read(RECORD));
    if std::env::var_os("UPDATE_GENERATED").is_some() {
        std::fs::write(common::project(FILE), shop.signed(&record)).unwrap();
    }
    let file = common::read(FILE);
    let trust = shop.trust();
    let question = shop.question(&trust, &record);
    assert!(question.rejudge);
    assert_eq!(codes(&verify("checklist.json", file.as_bytes(), &question)), ["hold"]);
    // It holds something of every kind: what is met, what is broken and what is not shown.
    let content: serde_json::Value = serde_json::from_str(&file).unwrap();
    let findings = &content["checklist"]["findings"];
    let outcomes: BTreeSet<&str> =
        findings["faults"].as_array().unwrap().iter().map(|fault| fault["outcome"].as_str().unwrap()).collect();
    assert_eq!(outcomes, BTreeSet::from(["broken", "not shown"]));
    assert!(!findings["ruled_out"].as_array().unwrap().is_empty());
    assert!(!content["checklist"]["figures"].as_object().unwrap().is_empty());
}

/// No sentence that a report draws stands in a body: words may be mended without touching what is signed.
#[test]
fn no_sentence_of_a_report_is_signed() {
    let shop = Shop::new();
    let mut sentences = 0;
    for path in common::files("shared/demo/jobs", ".yaml") {
        let record = common::read(&path);
        let document = common::document(&path);
        common::with_report(&shop.set, &document, common::demo_at(), |report| {
            if report.job().is_none() {
                return;
            }
            let (_, envelope) = shop.make(&record, |_| {});
            let body = std::str::from_utf8(envelope.payload()).unwrap();
            for finding in report.holding.iter().chain(&report.advice) {
                let places = finding.places();
                let said = places.iter().map(|place| finding.said_of(place));
                for sentence in finding.clears().into_iter().chain(said).chain([finding.clause(), finding.permit()]) {
                    sentences += 1;
                    assert!(!body.contains(&sentence), "{path}: {sentence}");
                }
            }
        });
    }
    assert!(sentences > 500, "{sentences}");
}
