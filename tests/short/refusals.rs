//! What is refused of short records and shop files: each with its places in both files and its cure, in one snapshot.

use std::fmt::Write as _;

use fillward::document::{Code, Faults};
use fillward::pack::PackSet;
use serde::Deserialize;

use super::{RECORD, SHOP, expanded};
use crate::common;

/// A change of the demo's short record and shop file that makes them be refused.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    name: String,
    code: String,
    /// Texts of the record, and what stands in their place.
    #[serde(default)]
    record: Vec<[String; 2]>,
    #[serde(default)]
    shop: Vec<[String; 2]>,
    /// No shop file is given.
    #[serde(default)]
    alone: bool,
}

fn changed(text: &str, changes: &[[String; 2]], case: &str) -> String {
    changes.iter().fold(text.to_owned(), |text, [old, new]| {
        assert!(text.contains(old.as_str()), "{case}: there is no `{old}`");
        text.replacen(old.as_str(), new, 1)
    })
}

/// A refusal as a person reads it: code, message, every place with its file, and the cure.
fn shown(faults: &Faults) -> String {
    let one = |fault: &fillward::document::Fault| {
        let source = fault.source().unwrap();
        let places = fault.labels().iter().map(|label| {
            let (line, column) = source.line_and_column(label.span.start);
            let file = source.name_at(label.span.start);
            format!("  {file}:{line}:{column} `{}` {}\n", source.slice(label.span).replace('\n', "\\n"), label.text)
        });
        let places: String = places.collect();
        format!("{}: {fault}\n{places}  cure: {}\n", fault.code(), fault.cure().unwrap())
    };
    faults.iter().map(one).collect()
}

#[test]
fn what_can_mean_two_things_is_refused() {
    let packs = PackSet::base().unwrap();
    let cases: Vec<Case> = serde_yaml::from_str(&common::read("tests/short/refusals.yaml")).unwrap();
    let mut page = String::new();
    for case in &cases {
        let record = changed(&common::read(RECORD), &case.record, &case.name);
        let shop = changed(&common::read(SHOP), &case.shop, &case.name);
        let made = expanded(&packs, &record, (!case.alone).then_some(shop.as_str()));
        let faults = made.map(|_| ()).expect_err(&case.name);
        assert!(faults.iter().any(|fault| fault.code().word() == case.code), "{}: {}", case.name, shown(&faults));
        let _ = writeln!(page, "# {}\n{}", case.name, shown(&faults));
    }
    common::snapshot("short-refusals", &page);
    let given: Vec<&str> = cases.iter().map(|case| case.code.as_str()).collect();
    let shops = Code::ALL.iter().map(|code| code.word()).filter(|word| word.starts_with("shop/"));
    let left_out: Vec<&str> = shops.filter(|word| !given.contains(word)).collect();
    assert!(left_out.is_empty(), "no case gives {left_out:?}");
}
