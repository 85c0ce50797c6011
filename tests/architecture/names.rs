//! Names and words in the source: one name for one thing, and no sentence that is taken apart once it is worded.

use std::collections::{BTreeMap, BTreeSet};

use super::{code_lines, floor_of, library_files, rust_files};

/// A name is imported from where it lives: a module gives out names of its own parts, and none of another module's.
#[test]
fn every_name_has_one_path() {
    for path in rust_files("src") {
        for (number, line) in code_lines(&path) {
            let given_out = line.trim_start().starts_with("pub") && line.contains(" use ");
            let of_another = line.contains(" use crate::") || line.contains(" use super::");
            assert!(!(given_out && of_another), "{path}:{number}: {line}");
        }
    }
}

/// The name of the type that a line declares: a structure, an enumeration or a trait wherever it stands, an alias only
/// where it is none of an implementation's own types.
fn type_declared(line: &str) -> Option<&str> {
    let inner = line.trim_start();
    let inner = match inner.strip_prefix("pub(") {
        Some(rest) => rest.split_once(") ")?.1,
        None => inner.strip_prefix("pub ").unwrap_or(inner),
    };
    let (keyword, rest) = inner.split_once(' ')?;
    let is_type =
        ["struct", "enum", "trait", "union"].contains(&keyword) || keyword == "type" && !line.starts_with(' ');
    let name = rest.split(|c: char| !c.is_alphanumeric() && c != '_').next()?;
    (is_type && name.starts_with(|c: char| c.is_uppercase())).then_some(name)
}

#[test]
fn types_are_found_in_every_form() {
    for (line, name) in [
        ("pub struct Job {", Some("Job")),
        ("pub(in crate::record) enum Kept<'a> {", Some("Kept")),
        ("        enum Row { $($id),+ }", Some("Row")),
        ("type Worked = Vec<Figure>;", Some("Worked")),
        ("pub(super) type Wanted<'w> = &'w Fact;", Some("Wanted")),
        ("pub trait Storage {", Some("Storage")),
        ("    type Item = Fault;", None),
        ("impl Job {", None),
        ("    structure: Text,", None),
    ] {
        assert_eq!(type_declared(line), name, "{line}");
    }
}

/// Types of the command line that each command has: what may be typed behind it.
const OF_EACH_COMMAND: &[&str] = &["Arguments", "Command"];

/// The files whose names count: those of the library and of the command line, without tests.
fn named_files() -> impl Iterator<Item = String> {
    rust_files("src").into_iter().filter(|path| !path.contains("/tests/"))
}

/// One name for one thing: whoever reads a type's name anywhere in the program knows which one it is.
#[test]
fn no_two_types_share_a_name() {
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for path in named_files() {
        for (number, line) in code_lines(&path) {
            if let Some(name) = type_declared(&line) {
                places.entry(name.to_owned()).or_default().push(format!("{path}:{number}"));
            }
        }
    }
    assert!(places.len() > 400, "only {} types found", places.len());
    let may = |name: &str, at: &[String]| {
        OF_EACH_COMMAND.contains(&name) && at.iter().all(|place| place.starts_with("src/cli"))
    };
    let shared: Vec<String> = places
        .iter()
        .filter(|(name, at)| at.len() > 1 && !may(name, at))
        .map(|(name, at)| format!("{name}: {}", at.join(", ")))
        .collect();
    assert!(shared.is_empty(), "{}", shared.join("\n"));
}

/// What is put into words has a name that says so: a function that is only called `words` says nothing.
#[test]
fn no_function_is_called_words() {
    let mut functions = 0;
    let mut wrong = Vec::new();
    for path in named_files() {
        for (number, line) in code_lines(&path) {
            functions += usize::from(line.contains("fn "));
            if line.contains("fn words(") || line.contains("fn words<") {
                wrong.push(format!("{path}:{number}: {line}"));
            }
        }
    }
    assert!(functions > 2_000 && wrong.is_empty(), "{functions} functions: {}", wrong.join("\n"));
}

/// What takes a text apart or changes it.
const SURGERY: &[&str] = &[
    "strip_prefix(",
    "strip_suffix(",
    "split(",
    "split_once(",
    "rsplit_once(",
    "splitn(",
    "rsplit(",
    "split_terminator(",
    "split_at(",
    "trim_start_matches(",
    "trim_end_matches(",
    "replace(",
    "replacen(",
    "replace_range(",
    "insert_str(",
    "contains(\"",
    "contains(\'",
    "starts_with(\"",
    "ends_with(\"",
    "find(\"",
];

/// Where `explain` may take a text apart: what stands in the pack, in the record or in a page, and names; each with its
/// reason, and a part of its line.
const TAKEN_APART: &[(&str, &str, &str)] = &[
    ("src/explain/words.rs", "text.replace(&format!(\"{{{position}}}\")", "a form of words before it is filled"),
    ("src/explain/words/conditions.rs", "l.name.replace(\'_\', \" \")", "the name of a limit"),
    ("src/explain/finding.rs", "word.replace(\'-\', \" \")", "the word of a role in a pack"),
    ("src/explain/worklist.rs", "open.written_at.contains(\'.\')", "a place in the record"),
    ("src/explain/worklist.rs", "spec.name.split_once(\'.\')", "the dotted name of a fact"),
    (
        "src/explain/sheet.rs",
        "fact.about.trim_end_matches(\'.\')",
        "the meaning of a fact, as catalogue or pack has it",
    ),
    ("src/explain/beyond.rs", "line.trim_start_matches([\'#\', \' \'])", "the heading of a page of rules/beyond"),
    ("src/explain/beyond.rs", "out.ends_with(\"\\n\\n\")", "whether a line of a page goes on"),
    ("src/explain/worklist.rs", ".strip_prefix(whole.path_of(", "steps of a path"),
];

/// A report is data until it is drawn: nothing looks into a sentence that the program has worded, or takes one apart.
#[test]
fn no_sentence_is_taken_apart() {
    let mut used = BTreeSet::new();
    let mut wrong = Vec::new();
    for path in library_files().iter().filter(|path| floor_of(path) == Some("explain")) {
        for (number, line) in code_lines(path) {
            if !SURGERY.iter().any(|method| line.contains(&format!(".{method}"))) {
                continue;
            }
            match TAKEN_APART.iter().find(|(of, part, _)| of == path && line.contains(part)) {
                Some(listed) => drop(used.insert(listed)),
                None => wrong.push(format!("{path}:{number}: {}", line.trim())),
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let idle: Vec<_> = TAKEN_APART.iter().filter(|listed| !used.contains(listed)).collect();
    assert!(idle.is_empty(), "nothing is taken apart there: {idle:?}");
}
