//! Packs that say what cannot be meant: one file a code in `tests/packs-invalid/`, each refused at the right words.
//!
//! The first lines of a file are comments: `# points at:` gives the words under the first label, `# says:` a phrase of
//! the message and `# cure:` one of the help. `# refused as:` gives the code where the schema is first to refuse the shape,
//! `# also:` those of faults that follow from the first. `NAME.second.yaml` is read together with `NAME.yaml`.
//!
//! `tests/packs-misread/` has what people write who have not read the language: one mistake in a file, which is one fault,
//! and the cure names what was meant.

use std::collections::BTreeSet;

use fillward::document::{Code, Document, Fault, Faults};
use fillward::pack::PackSet;

use crate::common;

const FOLDER: &str = "tests/packs-invalid";

const MISREAD: &str = "tests/packs-misread";

/// Codes that no pack can show: a fault of the program itself, and one that only judging the examples finds; the cases
/// of the command line have it.
const NOT_BY_READING: [&str; 2] = ["broken-program", "example-differs"];

fn stem(path: &str) -> &str {
    path.rsplit('/').next().unwrap().strip_suffix(".yaml").unwrap()
}

fn firsts() -> Vec<String> {
    common::files(FOLDER, ".yaml").into_iter().filter(|path| !stem(path).contains('.')).collect()
}

fn misread() -> Vec<String> {
    common::files(MISREAD, ".yaml")
}

/// The faults of the pack in a file, as a local pack beside the base pack.
fn faults(path: &str) -> Faults {
    let mut documents = vec![common::document(path)];
    let second = path.replace(".yaml", ".second.yaml");
    if common::project(&second).exists() {
        documents.push(common::document(&second));
    }
    match PackSet::base().unwrap().with(documents) {
        Ok(_) => panic!("{path} is taken without a fault"),
        Err(faults) => faults,
    }
}

fn remark(path: &str, name: &str) -> Option<String> {
    let text = common::read(path);
    let line = text.lines().find_map(|line| line.strip_prefix(&format!("# {name}: ")))?;
    Some(line.to_owned())
}

/// The first line of the words under the first label.
fn pointed_at(fault: &Fault) -> String {
    let label = fault.labels().first().unwrap();
    let words = fault.source().unwrap().slice(label.span);
    words.lines().next().unwrap_or_default().to_owned()
}

#[test]
fn every_invalid_pack_is_refused_at_the_right_words() {
    let mut wrong = Vec::new();
    for path in firsts().into_iter().chain(misread()) {
        let code = remark(&path, "refused as").unwrap_or_else(|| format!("pack/{}", stem(&path)));
        let also = remark(&path, "also").unwrap_or_default();
        let found = faults(&path);
        let mut said = Vec::new();
        for fault in &found {
            said.push(format!(
                "{} at `{}`: {} ({})",
                fault.code(),
                pointed_at(fault),
                fault,
                fault.cure().unwrap_or("")
            ));
        }
        let fits = |fault: &&Fault| {
            fault.code().word() == code
                && remark(&path, "points at").is_some_and(|words| pointed_at(fault) == words)
                && remark(&path, "says").is_none_or(|phrase| fault.message().contains(&phrase))
                && remark(&path, "cure").is_none_or(|phrase| fault.cure().unwrap_or_default().contains(&phrase))
        };
        let expected =
            |fault: &Fault| fault.code().word() == code || also.split(", ").any(|other| other == fault.code().word());
        let is_one = !path.starts_with(MISREAD) || found.iter().count() == 1;
        if !is_one || !found.iter().any(|fault| fits(&fault)) || !found.iter().all(expected) {
            wrong.push(format!("{path}:\n  {}", said.join("\n  ")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_fault_of_a_pack_has_a_place_and_a_cure() {
    for path in firsts().into_iter().chain(misread()) {
        for fault in &faults(&path) {
            let span = fault.span().unwrap_or_else(|| panic!("{path}: no place"));
            assert!(span.end <= fault.source().unwrap().text().len() && span.start < span.end, "{path}: {span:?}");
            assert!(!fault.cure().unwrap_or_default().is_empty(), "{path}: no cure");
            let message = fault.message();
            let opens_small = message.chars().next().is_some_and(|c| !c.is_uppercase());
            assert!(opens_small && !message.ends_with('.') && !message.contains('\n'), "{path}: `{message}`");
        }
    }
}

/// A number where a text is due is a fault of shape, and nothing else is said of it.
#[test]
fn a_number_for_a_text_is_said_once() {
    let text = common::local_pack("county-north", "supervisor");
    let edition = text.lines().find(|line| line.starts_with("edition: ")).unwrap();
    let read = |text: &str| PackSet::base().unwrap().with(vec![Document::read("p", text.as_bytes()).unwrap()]);
    assert!(read(&text).is_ok());
    let faults = read(&text.replacen(edition, "edition: 3", 1)).unwrap_err();
    let codes: Vec<&str> = faults.iter().map(|fault| fault.code().word()).collect();
    assert!(matches!(codes[..], [code] if code.starts_with("schema/")), "{faults:?}");
}

#[test]
fn every_code_of_the_pack_floor_has_its_file() {
    let shown: BTreeSet<String> = firsts().iter().map(|path| stem(path).to_owned()).collect();
    let codes: BTreeSet<String> =
        Code::ALL.iter().filter_map(|code| code.word().strip_prefix("pack/")).map(str::to_owned).collect();
    assert_eq!(shown, &codes - &NOT_BY_READING.map(str::to_owned).into());
}

/// A choice lists its words, and a number says what of; the other kinds need nothing more.
#[test]
fn a_fact_says_what_its_kind_needs() {
    for (declared, taken) in [
        ("kind: text, example: said", true),
        ("kind: flag, example: 'true'", true),
        ("kind: flag, example: true", true),
        ("kind: count, example: '3'", true),
        ("kind: event, example: 2026-03-04T09:00:00-06:00", true),
        ("kind: day, example: 2026-03-04", true),
        ("kind: choice, words: [red, green], example: red", true),
        ("kind: choices, words: [red, green], example: red", true),
        ("kind: choice, example: red", false),
        ("kind: choices, example: red", false),
        ("kind: quantity, of: length, example: 1 ft", true),
        ("kind: reading, of: pressure, example: 1 psi", true),
        ("kind: quantity, example: 1 ft", false),
        ("kind: reading, example: 1 psi", false),
    ] {
        let text = format!(
            "pack: 1\nname: county-north\nedition: \"1\"\ntitle: Additions of a county\nexamples_at: 2026-03-04T09:30:00-06:00\n\
             facts:\n  added: {{covers: job, holds_for: job, {declared}, about: What was added.}}\n"
        );
        let document = fillward::document::Document::read("pack.yaml", text.as_bytes()).unwrap();
        let codes: Vec<Code> = match PackSet::base().unwrap().with(vec![document]) {
            Ok(_) => Vec::new(),
            Err(faults) => faults.iter().map(Fault::code).collect(),
        };
        assert_eq!(codes, vec![Code::PackFactWithoutKind; usize::from(!taken)], "{declared}");
    }
}
