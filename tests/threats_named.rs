//! The table of threats in DEVELOPERS.md: each row names tests, and each test that it names is there.

use crate::common;

/// `path::name` of each test that a row names, in back quotes.
fn named(row: &str) -> Vec<(String, String)> {
    let quoted = row.split('`').skip(1).step_by(2);
    quoted.filter_map(|text| text.split_once("::")).map(|(path, name)| (path.to_owned(), name.to_owned())).collect()
}

/// Whether a file of the project has a test of this name: a function behind `#[test]`, with other attributes between.
fn has_test(path: &str, name: &str) -> bool {
    let path = if path.starts_with("src/") { path.to_owned() } else { format!("tests/{path}") };
    let text = common::read(&path);
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    let due = [format!("fn {name}() {{"), format!("fn {name}(")];
    let Some(place) = lines.iter().position(|line| *line == due[0] || line.starts_with(&due[1])) else { return false };
    let in_proptest = text.find("proptest! {").is_some_and(|from| text.find(&due[1]).is_some_and(|at| at > from));
    let attributes = lines[..place].iter().rev().take_while(|line| line.starts_with("#[") || line.starts_with("//"));
    in_proptest || attributes.into_iter().any(|line| *line == "#[test]")
}

#[test]
fn every_test_that_the_table_of_threats_names_is_there() {
    let page = common::read("DEVELOPERS.md");
    let (_, section) = page.split_once("\n## Threats and their tests\n").unwrap();
    let section = section.split_once("\n## ").unwrap().0;
    let rows: Vec<&str> = section.lines().filter(|line| line.starts_with("| ") && !line.contains("| --- |")).collect();
    let mut tests = 0;
    for row in rows.iter().skip(1).filter(|row| !row.starts_with("| **")) {
        let named = named(row);
        assert!(!named.is_empty(), "no test: {row}");
        for (path, name) in named {
            assert!(has_test(&path, &name), "there is no test `{name}` in {path}");
            tests += 1;
        }
    }
    // What stands below the table names tests as well.
    for (path, name) in section.lines().filter(|line| !line.starts_with('|')).flat_map(named) {
        assert!(has_test(&path, &name), "there is no test `{name}` in {path}");
    }
    assert!(tests > 90, "{tests} tests are named");
    assert!(!has_test("threats_named.rs", "has_test"), "control: a function that is no test");
}
