//! The page for developers says what is: the files that it names are there, and every crate has its reason.

use std::collections::BTreeSet;
use std::path::Path;

use crate::common;

/// Names in backticks of a page.
fn in_backticks(page: &str) -> impl Iterator<Item = &str> {
    page.split('`').skip(1).step_by(2)
}

#[test]
fn every_file_that_the_page_for_developers_names_is_there() {
    let page = common::read("DEVELOPERS.md");
    let (mut named, mut fenced) = (0, false);
    for line in page.lines() {
        fenced ^= line.starts_with("```");
        if fenced {
            continue;
        }
        let paths = in_backticks(line).filter(|name| {
            let folder = name.split('/').next().unwrap_or_default();
            let is_path =
                ["benches", "rules", "schemas", "shared", "src", "tests"].contains(&folder) && name.contains('/');
            is_path && !name.contains([' ', '*', '<']) && !name.contains("NAME")
        });
        for path in paths.map(|path| path.split("::").next().unwrap_or_default()) {
            named += 1;
            assert!(Path::new(env!("CARGO_MANIFEST_DIR")).join(path).exists(), "there is no {path}: {line}");
        }
    }
    assert!(named > 100, "{named}");
}

#[test]
fn every_crate_has_its_reason() {
    let page = common::read("DEVELOPERS.md");
    let (_, section) = page.split_once("\n### Crates\n").unwrap();
    let first = |row: &str| row.split('|').nth(1).unwrap_or_default().to_owned();
    let table: String = section.lines().take_while(|line| !line.starts_with("## ")).map(first).collect();
    let given: Vec<&str> = in_backticks(&table).collect();
    let manifest = common::read("Cargo.toml");
    let mut within = false;
    let mut crates = 0;
    for line in manifest.lines() {
        if line.starts_with('[') {
            within = line == "[dependencies]" || line == "[dev-dependencies]";
            continue;
        }
        let Some((name, _)) = line.split_once(" = ").filter(|_| within && !line.starts_with('#')) else { continue };
        crates += 1;
        assert!(given.contains(&name), "`{name}` has no row in the table of crates: {given:?}");
    }
    assert!(crates > 30, "{crates}");
}

/// The table of tests has a row for every file of tests, by its name or by its folder.
#[test]
fn every_file_of_tests_is_told() {
    let page = common::read("DEVELOPERS.md");
    let (_, section) = page.split_once("\n## Testing\n").unwrap();
    let table: BTreeSet<&str> = section.lines().filter(|line| line.starts_with("| ")).flat_map(in_backticks).collect();
    // The first file only names the others.
    let files = common::files("tests", ".rs").into_iter().filter(|file| file != "tests/main.rs");
    let is_told = |file: &String| {
        let folder = format!("{}/", file.trim_end_matches(".rs"));
        table.contains(file.as_str()) || table.contains(folder.as_str())
    };
    let untold: Vec<String> = files.filter(|file| !is_told(file)).collect();
    assert!(untold.is_empty(), "no row of the table of tests: {untold:?}");
}
