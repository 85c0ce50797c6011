//! Names and words in the source: one name for one thing, and no sentence that is taken apart once it is worded.

use std::collections::{BTreeMap, BTreeSet};

use super::{code_lines, rust_files};

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
    "to_lowercase(",
    "to_uppercase(",
    "contains(\"",
    "contains(\'",
    "starts_with(\"",
    "ends_with(\"",
    "find(\"",
];

/// The functions that take texts apart, each with its reason: see the head of the file.
const TAKEN_APART_BY: &str = include_str!("taken-apart.txt");

/// The functions that take texts apart, by file and name.
fn readers() -> BTreeSet<(&'static str, &'static str)> {
    let paragraphs = TAKEN_APART_BY.split("\n\n").skip(1);
    let mut found = BTreeSet::new();
    for paragraph in paragraphs {
        let (reason, files) = paragraph.split_once('\n').unwrap();
        assert!(reason.starts_with("# ") && reason.split(' ').count() > 2 || reason == "# passphrases", "{reason}");
        for file in files.lines() {
            let (path, functions) = file.split_once(": ").unwrap_or_else(|| panic!("{file}"));
            for function in functions.split(' ') {
                assert!(found.insert((path, function)), "{path}: {function} stands twice");
            }
        }
    }
    found
}

/// The name of the function that a line opens.
fn function_opened(line: &str) -> Option<&str> {
    let (before, rest) = line.split_once("fn ")?;
    let opens = before.split(' ').all(|word| word.is_empty() || word == "const" || word.starts_with("pub"));
    rest.split(['(', '<']).next().filter(|_| opens || before.trim_start().starts_with("pub(in"))
}

/// Single lines elsewhere that may take a text apart: each with a part of it, and the reason.
const TAKEN_APART: &[(&str, &str, &str)] = &[
    ("src/explain/words.rs", "text.replace(&format!(\"{{{position}}}\")", "a form of words before it is filled"),
    ("src/explain/words/conditions.rs", "l.name.replace(\'_\', \" \")", "the name of a limit"),
    ("src/explain/words.rs", "word.replace(\'-\', \" \")", "the word of a role in a pack"),
    ("src/explain/worklist/missing.rs", ".strip_prefix(whole.path_of(", "steps of a path"),
    ("src/explain/sheet.rs", "about.trim_end_matches(\'.\')", "the meaning of a fact, as catalogue or pack has it"),
    ("src/explain/beyond.rs", "line.trim_start_matches([\'#\', \' \'])", "the heading of a page of rules/beyond"),
    ("src/explain/beyond.rs", "out.ends_with(\"\\n\\n\")", "whether a line of a page goes on"),
    ("src/vocabulary/characters.rs", "text.replace([", "quotation marks of what is quoted"),
    ("src/checklist/body/bounds.rs", "text.split(\'.\')", "an edition of the program in a signed file"),
    ("src/checklist/body/bounds.rs", "record.name.contains(\'/\')", "the name of a file"),
    ("src/checklist/content.rs", "meant.trim_end_matches(\'.\')", "the description of a published schema"),
    ("src/checklist/evidence.rs", "place.strip_prefix(\"components.\")", "a place in the record"),
    ("src/checklist/packs.rs", "source.name().rsplit([", "the name of a file"),
    ("src/checklist/verify/otherwise.rs", "fact: line.split(\' \')", "the notation of a signed file"),
    ("src/checklist/verify/otherwise.rs", "then.contains(\"figure.\")", "the notation of a signed file"),
    ("src/checklist/verify/otherwise.rs", "place.rsplit_once(\"figure.\")", "the place of a figure in a signed file"),
    ("src/checklist/verify/otherwise.rs", "owner.strip_suffix(\'.\')", "the place of a figure in a signed file"),
    ("src/desk/links.rs", "text.split_once(NAMES_ONE)", "what somebody typed"),
    ("src/desk/signatory.rs", "strip_suffix(PRIVATE)", "the name of a file"),
    ("src/desk/show.rs", "code.split_once(\'/\')", "the code of a rule in a signed file"),
    ("src/desk/show.rs", "name.split_once(\'/\')", "the name of a limit in a signed file"),
    ("src/cli.rs", "said.split(\"\\n\\n\")", "what the reader of arguments says of them"),
    ("src/cli.rs", "part.starts_with(\"For more information\")", "what the reader of arguments says of them"),
    ("src/cli.rs", "message.strip_prefix(\"error: \")", "what the reader of arguments says of them"),
    ("src/cli/files/lock.rs", "name.strip_prefix(BEGUN.0)", "the name of a file"),
    ("src/cli/input.rs", "text.replace(\'-\', \" \")", "what somebody typed"),
    ("src/cli/input.rs", "point.word().replace(\' \', \"-\")", "the word of a hold point, as it is typed"),
    ("src/cli/key.rs", "plain.split(\'-\')", "the name of a person, for that of a file"),
    ("src/cli/key.rs", "slug.trim_end_matches(\'-\')", "the name of a person, for that of a file"),
    ("src/cli/output.rs", "word.strip_prefix(\"--colour=\")", "what somebody typed"),
    ("src/cli/output.rs", "line.trim_start_matches(\' \')", "how far a line is set in"),
    ("src/cli/output.rs", "line.split_at(line.len() - words.len())", "how far a line is set in"),
    ("src/cli/output.rs", ".trim_end_matches(\' \'));", "blanks at the end of a line"),
    ("src/cli/pack.rs", "packs.packs().split_at(", "a list of packs"),
    ("src/cli/settings.rs", "word.strip_prefix(&with)", "what somebody typed"),
    ("src/cli/settings.rs", "owner.contains(\' \')", "whether words or a file are given"),
    ("src/cli/trust.rs", "owner.trim().contains(\' \')", "whether words or a file are given"),
    ("src/cli/verify/cells.rs", "name.strip_suffix(CHECKLIST_ENDING)", "the name of a file"),
    ("src/cli/verify/cells.rs", "body.judged_at.split(\'T\')", "an instant in a signed file"),
    ("src/cli/verify/cells.rs", "held.rule.rsplit(\'/\')", "the code of a rule in a signed file"),
    ("src/cli/verify/cells.rs", "trim_start_matches(\"checklist/\")", "the stage of a code"),
    ("src/cli/verify/csv.rs", "text.replace(\'\"\', ", "quotation marks in a cell"),
    ("src/cli/key.rs", "name.to_lowercase()", "the name of a person, for that of a file"),
    ("src/cli/show/page/rules.rs", "word().to_uppercase()", "the word of a hold point, as a heading"),
    ("src/cli/verify/table.rs", "group.state.to_uppercase()", "the word of a state, as a heading"),
    ("src/desk/keys/guessing.rs", "words.to_lowercase()", "a passphrase"),
    ("src/document/prose.rs", "first.to_uppercase()", "the first letter of a line"),
    ("src/document/schema/values.rs", "text.to_lowercase()", "a word of the document"),
    ("src/document/schema/walk.rs", "key.to_lowercase()", "a key of the document"),
    ("src/explain/sheet.rs", "heading.to_uppercase()", "a heading of the sheet"),
    ("src/explain/sheet.rs", "FIRST.to_uppercase()", "a heading of the sheet"),
    ("src/explain/sheet.rs", "heading(stop.station).to_uppercase()", "a heading of the sheet"),
    ("src/figures/markings.rs", "letter.to_lowercase()", "the letters of a title in the record"),
    ("src/record/read/value.rs", "text.to_lowercase()", "a word of the record"),
    ("src/record/shop/bench.rs", "text.trim().to_lowercase()", "a word of the record"),
    ("src/tyre/designation/parse/suffix.rs", "written.to_uppercase()", "a marking of a sidewall"),
];

/// A report is data until it is drawn: nothing looks into a sentence that the program has worded, or takes one apart.
#[test]
fn no_sentence_is_taken_apart() {
    let mut used = BTreeSet::new();
    let mut wrong = Vec::new();
    let readers = readers();
    let mut reading = BTreeSet::new();
    for path in &rust_files("src") {
        let mut function = String::new();
        for (number, line) in code_lines(path) {
            if let Some(name) = function_opened(&line) {
                name.clone_into(&mut function);
            }
            if path.contains("/tests/") || !SURGERY.iter().any(|method| line.contains(&format!(".{method}"))) {
                continue;
            }
            if let Some(reader) = readers.iter().find(|(of, name)| of == path && *name == function) {
                reading.insert(*reader);
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
    let idle: Vec<_> = readers.difference(&reading).collect();
    assert!(idle.is_empty(), "nothing is taken apart there: {idle:?}");
}
