//! The packs of the project, read as an outsider's would be, and their examples.

use fillward::document::Document;
use fillward::engine::check_examples;
use fillward::pack::PackSet;

use crate::common;

#[test]
fn base_pack_lists_every_file_of_its_folder() {
    let mut listed: Vec<&str> = PackSet::base_files().iter().map(|(name, _)| *name).collect();
    listed.sort_unstable();
    assert_eq!(listed, common::files("rules/tyre-fill", ".yaml"));
}

#[test]
fn base_pack_is_read_alike_by_both_readers_and_fits_its_schema() {
    let documents = PackSet::base_files()
        .iter()
        .map(|(name, text)| {
            Document::read(name, text.as_bytes()).unwrap_or_else(|f| panic!("{:?}", miette::Report::new(f)))
        })
        .collect();
    let checked = PackSet::alone(documents).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)));
    let trusted = PackSet::base_with_examples().unwrap();
    assert_eq!(format!("{:?}", checked.packs()), format!("{:?}", trusted.packs()));
}

#[test]
fn every_example_of_the_base_pack_comes_out_as_it_says() {
    let packs = PackSet::base_with_examples().unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)));
    let (count, faults) = check_examples(&packs);
    let said: Vec<String> = faults
        .iter()
        .map(|fault| {
            let line = fault.rule.place.source.line_and_column(fault.example.span.start).0;
            let name = fault.rule.place.source.name();
            format!(
                "{name}:{line} {}: expected {}, found {}",
                fault.rule.name,
                fault.example.expected.word(),
                fault.found.word()
            )
        })
        .collect();
    assert!(said.is_empty(), "{}", said.join("\n"));
    assert!(count > 200, "only {count} examples");
}
