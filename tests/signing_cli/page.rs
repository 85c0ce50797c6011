//! The page for auditors names every code that can be met, and no other.

use std::collections::BTreeSet;
use std::fs;

use crate::common;

/// The codes in a text that stand between two marks.
fn codes(text: &str, mark: char) -> BTreeSet<String> {
    let parts = text.split(mark).filter(|part| part.starts_with("checklist/"));
    let plain = |part: &&str| part.bytes().all(|byte| matches!(byte, b'a'..=b'z' | b'0'..=b'9' | b'-' | b'/'));
    parts.filter(plain).map(str::to_owned).collect()
}

/// The text of every source file of the signed checklist.
fn sources(folder: &str) -> String {
    let mut text = String::new();
    for entry in fs::read_dir(common::project(folder)).unwrap() {
        let path = entry.unwrap().path();
        let name = format!("{folder}/{}", path.file_name().unwrap().to_str().unwrap());
        text.push_str(&if path.is_dir() { sources(&name) } else { common::read(&name) });
    }
    text
}

#[test]
fn the_page_for_auditors_lists_every_code() {
    let page = common::read("schemas/CHECKLIST.md");
    let rows: Vec<&str> = page.lines().filter(|line| line.starts_with("| `checklist/")).collect();
    let listed = codes(&rows.join("\n"), '`');
    assert_eq!(listed.len(), rows.len(), "no code stands there twice");
    let known = codes(&sources("src/checklist"), '"');
    assert!(known.len() > 60, "control: the codes are found in the source: {known:?}");
    assert_eq!(listed, known);
}
