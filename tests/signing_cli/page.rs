//! The page for auditors names every code that can be met, and no other.

use std::collections::BTreeSet;

use fillward::document::Code;

use crate::common;

/// The codes in a text that stand between two backticks.
fn codes(text: &str) -> BTreeSet<String> {
    let parts = text.split('`').filter(|part| part.starts_with("checklist/"));
    let plain = |part: &&str| part.bytes().all(|byte| matches!(byte, b'a'..=b'z' | b'0'..=b'9' | b'-' | b'/'));
    parts.filter(plain).map(str::to_owned).collect()
}

#[test]
fn the_page_for_auditors_lists_every_code() {
    let page = common::read("schemas/CHECKLIST.md");
    let rows: Vec<&str> = page.lines().filter(|line| line.starts_with("| `checklist/")).collect();
    let listed = codes(&rows.join("\n"));
    assert_eq!(listed.len(), rows.len(), "no code stands there twice");
    let known: BTreeSet<String> =
        Code::ALL.iter().filter(|code| code.stage() == "checklist").map(ToString::to_string).collect();
    assert_eq!(listed, known);
}
