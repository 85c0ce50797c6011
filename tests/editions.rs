//! The table of changes in `rules/README.md` is complete: what the rules ask now and did not ask in the edition before is
//! named there, by rule, by limit, or by the file in which it is new.
//!
//! The edition before is a committed list of its rules, each with the digest of what it asks, and of its limits.

use std::collections::{BTreeMap, BTreeSet};

use serde_yaml::Value;
use sha2::{Digest as _, Sha256};

use crate::common;

const BEFORE: &str = "tests/packs/edition-2026.1.txt";

/// Rules and limits of an edition: what each asks or is, and the file in which it stands.
#[derive(Default)]
struct Edition {
    rules: BTreeMap<String, (String, String)>,
    limits: BTreeMap<String, (String, String)>,
}

/// A value as one text, the keys of its mappings in order.
fn canonical(value: &Value) -> String {
    match value {
        Value::Mapping(map) => {
            let entries: BTreeMap<&str, String> =
                map.iter().map(|(key, value)| (key.as_str().unwrap(), canonical(value))).collect();
            let entries: Vec<String> = entries.iter().map(|(key, value)| format!("{key}: {value}")).collect();
            format!("{{{}}}", entries.join(", "))
        }
        Value::Sequence(items) => format!("[{}]", items.iter().map(canonical).collect::<Vec<_>>().join(", ")),
        other => serde_yaml::to_string(other).unwrap().trim().to_owned(),
    }
}

/// The first twelve digits of the digest of what a rule asks, of whom and where.
fn asked(rule: &Value) -> String {
    let parts = ["covers", "applies", "demands"].map(|key| rule.get(key).map(canonical).unwrap_or_default());
    let digest = Sha256::digest(parts.join("\n"));
    digest.iter().take(6).fold(String::new(), |text, byte| format!("{text}{byte:02x}"))
}

/// What the texts of a folder say.
fn now(folder: &str) -> Edition {
    let mut edition = Edition::default();
    for path in common::files(folder, ".yaml") {
        let file = path.rsplit('/').next().unwrap().to_owned();
        let text: Value = serde_yaml::from_str(&common::read(&path)).unwrap();
        let entries = |key: &str| text.get(key).and_then(Value::as_mapping).cloned().unwrap_or_default();
        for (name, rule) in entries("rules") {
            edition.rules.insert(name.as_str().unwrap().to_owned(), (asked(&rule), file.clone()));
        }
        for (name, limit) in entries("limits") {
            let value = limit.get("value").or(limit.get("values")).map(canonical).unwrap_or_default();
            edition.limits.insert(name.as_str().unwrap().to_owned(), (value, file.clone()));
        }
    }
    edition
}

/// The committed list: `rule NAME FILE DIGEST`, `limit NAME FILE VALUE`.
fn before() -> Edition {
    let mut edition = Edition::default();
    for line in common::read(BEFORE).lines().filter(|line| !line.starts_with('#')) {
        let [kind, name, file, what] = line.splitn(4, ' ').collect::<Vec<_>>()[..] else { panic!("{line}") };
        let list = if kind == "rule" { &mut edition.rules } else { &mut edition.limits };
        list.insert(name.to_owned(), (what.to_owned(), file.to_owned()));
    }
    edition
}

/// The rows of the table of changes, each with what it names in backticks.
fn rows() -> Vec<(String, BTreeSet<String>)> {
    let text = common::read("rules/README.md");
    let (_, from) = text.split_once("## What changed since 2026.1").unwrap();
    let (table, _) = from.split_once("and it was not done").unwrap();
    let names = |row: &str| row.split('`').skip(1).step_by(2).map(str::to_owned).collect();
    table.lines().filter(|line| line.starts_with("| ")).skip(2).map(|row| (row.to_owned(), names(row))).collect()
}

/// The names that are new, gone or changed, with the file of each.
fn differing(
    before: &BTreeMap<String, (String, String)>,
    now: &BTreeMap<String, (String, String)>,
) -> BTreeMap<String, String> {
    let names: BTreeSet<&String> = before.keys().chain(now.keys()).collect();
    let differs = |name: &&&String| before.get(**name).map(|(what, _)| what) != now.get(**name).map(|(what, _)| what);
    let file = |name: &String| now.get(name).or(before.get(name)).map(|(_, file)| file.clone()).unwrap();
    names.iter().filter(differs).map(|name| ((*name).clone(), file(name))).collect()
}

#[test]
fn the_table_of_changes_names_all_that_differs_from_the_edition_before() {
    let (before, now, rows) = (before(), now("rules/tyre-fill"), rows());
    assert!(before.rules.len() > 130 && before.limits.len() > 30 && rows.len() > 60);
    let named: BTreeSet<&String> = rows.iter().flat_map(|(_, names)| names).collect();
    let old_files: BTreeSet<&String> = before.rules.values().map(|(_, file)| file).collect();
    let (rules, limits) = (differing(&before.rules, &now.rules), differing(&before.limits, &now.limits));
    assert!(rules.len() > 200 && !limits.is_empty());
    let is_told = |(name, file): &(&String, &String)| {
        named.contains(*name) || !old_files.contains(*file) && named.contains(*file)
    };
    let untold: Vec<_> = rules.iter().chain(&limits).filter(|one| !is_told(one)).collect();
    assert!(untold.is_empty(), "not in the table of changes: {untold:?}");
    // A rule that is gone is one for whoever looks for it; a step that several cures share has a name too.
    let head: Value = serde_yaml::from_str(&common::read("rules/tyre-fill/pack.yaml")).unwrap();
    let unknown = |name: &&&String| {
        let is_code = name.contains('-') && !name.contains([' ', ':', '.', '/', ','])
            || name.contains('_') && !name.contains([' ', ':', '.', '/', ',']);
        let known =
            now.rules.contains_key(**name) || now.limits.contains_key(**name) || before.rules.contains_key(**name);
        is_code && !known && head["steps"].get(name.as_str()).is_none()
    };
    let unknown: Vec<_> = named.iter().filter(unknown).collect();
    assert!(unknown.is_empty(), "the table names what no edition has: {unknown:?}");
}

/// A row that gives a limit its value gives it the one that is in force: an older one stands behind "was".
#[test]
fn the_table_of_changes_states_each_limit_as_it_is() {
    let (now, mut stated) = (now("rules/tyre-fill"), 0);
    for (row, _) in rows() {
        let parts: Vec<&str> = row.split('`').collect();
        for named in parts.windows(2).skip(1).step_by(2) {
            let (Some((value, _)), behind) = (now.limits.get(named[0]), named[1].trim_start()) else { continue };
            let said = behind.strip_prefix("is ").unwrap_or(behind);
            if said.starts_with(|c: char| c.is_ascii_digit()) {
                stated += 1;
                assert!(said.starts_with(value.trim_start_matches('-')), "`{}` is {value}: {row}", named[0]);
            }
        }
    }
    assert!(stated > 15, "{stated}");
}

/// Where a page shows a comparison with a limit, the limit's value stands before its name as the pack has it.
#[test]
fn pages_show_limits_as_they_are() {
    let (now, mut shown) = (now("rules/tyre-fill"), BTreeSet::new());
    for page in ["DEVELOPERS.md", "README.md", "schemas/CHECKLIST.md", "rules/LANGUAGE.md"] {
        let text = common::read(page);
        let parts: Vec<&str> = text.split(" (").collect();
        for two in parts.windows(2) {
            let name = two[1].split(')').next().unwrap();
            let (Some((value, _)), before) = (now.limits.get(name), two[0]) else { continue };
            // A bound that is counted from today is told without its number.
            if before.ends_with(|c: char| c.is_alphanumeric()) && !before.ends_with("today") {
                shown.insert(name.to_owned());
                assert!(before.ends_with(value.trim_start_matches('-')), "{page}: `{name}` is {value}");
            }
        }
    }
    assert!(shown.len() > 2, "{shown:?}");
}

/// The first table of the page has a row for every file of the pack, beside its head, and for no other.
#[test]
fn every_file_of_the_pack_is_told() {
    let text = common::read("rules/README.md");
    let (table, _) = text.split_once("\n## ").unwrap();
    let first_cells = table.lines().filter(|line| line.starts_with("| `")).filter_map(|row| row.split('|').nth(1));
    let told: BTreeSet<String> =
        first_cells.flat_map(|cell| cell.split('`').skip(1).step_by(2)).map(str::to_owned).collect();
    let files = common::files("rules/tyre-fill", ".yaml");
    let files = files.iter().map(|path| path.rsplit('/').next().unwrap()).filter(|file| *file != "pack.yaml");
    assert_eq!(told, files.map(str::to_owned).collect());
}
