//! Phrases that reports and rule pages do not use, since readers in a workshop stumbled over them.

use fillward::engine::Scene;
use fillward::explain;
use fillward::pack::{Limit, PackSet};
use fillward::record::{Catalogue, FactKind, Job};
use fillward::units::{Dimension, Exact, Quantity, Zone};

use crate::common;

/// A phrase, and what to write for it.
const BARRED: &[(&str, &str)] = &[
    ("no leave to start", "this does not allow a start"),
    ("a rehearsal", "a practice run"),
    ("an instant given", "a time given by hand"),
    ("must not be so", "not allowed"),
    ("must not be recorded", "never offered"),
    ("dealt with", "put right as described"),
    ("whoever looks then", "a new look at it"),
    ("whatever the doubts", "in any case"),
    ("is recorded, with which", "is recorded (compared with it)"),
    ("it cannot be compared yet", "cannot be checked until then"),
    ("not ruled out", "not shown"),
    ("leaves open whether", "it is not clear from this whether"),
    ("hold nothing", "do not hold the job"),
    ("holds nothing", "does not hold the job"),
    ("set this rule aside", "permit going on in spite of it"),
    ("waive", "permit going on in spite of it"),
    ("possible: ", "perhaps, in front of the title"),
    ("stands at rules/", "the command that shows the page"),
    ("judgement plus", "before or after the check"),
    ("assemblies[", "assembly, with its number"),
    ("people[", "person, with its number"),
    (" is yes)", "on record: label: yes"),
    (" is no)", "on record: label: no"),
    ("` as well", "is added to"),
    (" anew", "again"),
    ("goes first", "takes priority"),
    ("go first", "take priority"),
    ("goes before", "takes priority over"),
    ("held against", "compared with"),
    ("hold against", "compared with"),
    ("hold it against", "compare it with"),
    (", and hold.", "hold is for verdicts"),
    ("not earlier than 1 ", "no more than 1 ... before"),
    ("some assembly: ", "at least one assembly: "),
    ("slip of the pen", "typing error"),
    ("lies too far back", "was too long ago"),
    ("sign anew", "sign again"),
    ("reckon", "work out"),
    ("stands here twice", "appears twice"),
    ("is due here", "is expected here"),
    ("a set of names with values", "a block of `name: value` lines"),
];

/// The pages for users.
const PAGES_FOR_USERS: &[&str] = &[
    "README.md",
    "benches/README.md",
    "rules/CODES.md",
    "rules/LANGUAGE.md",
    "rules/README.md",
    "schemas/CHECKLIST.md",
    "shared/README.md",
    "shared/demo/README.md",
    "schemas/job-record.schema.json",
    "schemas/report.schema.json",
    "schemas/short-record.schema.json",
    "schemas/shop.schema.json",
];

/// What somebody reads: by name, the reports as they are printed, the pages for users, and the page of every rule.
fn read() -> Vec<(String, String)> {
    let for_programs = |name: &str| ["json", "sarif", "help", "refusals"].iter().any(|part| name.contains(part));
    let reports = common::files("tests/snapshots", ".snap").into_iter().filter(|name| !for_programs(name));
    let mut read: Vec<(String, String)> = reports.map(|name| (name.clone(), common::read(&name))).collect();
    let pages = PAGES_FOR_USERS.iter().map(|page| ((*page).to_owned(), common::read(page)));
    read.extend(pages);
    let packs = PackSet::base_with_examples().unwrap();
    let (nothing, zone) = (Job::blank(), Zone::universal());
    let scene = Scene::new(&packs, &nothing, common::demo_at(), &zone);
    for pack in packs.packs() {
        let pages = pack.rules.iter().map(|rule| (rule.name.to_string(), explain::page(&scene, pack, rule, 100)));
        read.extend(pages);
    }
    read.extend(explain::PAGES.iter().map(|(name, _)| ((*name).to_owned(), explain::page_beyond(name).unwrap())));
    read
}

/// A text on one line and in small letters: a phrase is seen over the end of a line, and at the beginning of a sentence.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

#[test]
fn nothing_that_is_read_has_a_barred_phrase() {
    let read = read();
    assert!(read.len() > 350, "{}", read.len());
    let mut found = Vec::new();
    assert_eq!(flat("It is Dealt\n      with"), "it is dealt with");
    for (name, text) in &read {
        let text = flat(text);
        for (phrase, instead) in BARRED {
            // A page for users tells of paths; a report counts its tyres.
            let is_a_path = phrase.ends_with('[') && PAGES_FOR_USERS.contains(&name.as_str());
            let times = if is_a_path { 0 } else { text.matches(phrase).count() };
            if times > 0 {
                found.push(format!("{name}: `{phrase}` {times} times; write: {instead}"));
            }
        }
    }
    assert!(found.is_empty(), "{} places\n{}", found.len(), found.join("\n"));
}

/// A word with a comma is read as two in a list that somebody writes in brackets.
#[test]
fn no_word_of_a_list_has_a_comma() {
    let catalogue = Catalogue::default();
    let mut lists = 0;
    for key in catalogue.keys() {
        if let FactKind::Choices(words) = &catalogue.spec(key).unwrap().kind {
            assert!(words.iter().all(|word| !word.contains(',')), "{}: {words:?}", catalogue.full_name(key));
            lists += 1;
        }
    }
    assert!(lists > 5, "{lists}");
}

/// A limit that stands in a text of the rules in two units: the number that was converted is on its safer side, and within a
/// hundredth of it.
#[test]
fn no_limit_in_a_text_is_rounded_away() {
    let packs = PackSet::base().unwrap();
    let quantity = |text: &str| Dimension::ALL.into_iter().find_map(|dimension| Quantity::parse(text, dimension).ok());
    let mut pairs = 0;
    for path in common::files("rules/tyre-fill", ".yaml") {
        let text = flat(&common::read(&path));
        for (place, _) in text.match_indices(" (") {
            let (before, behind) = (text.get(..place).unwrap(), text.get(place + 2..).unwrap());
            let Some(inside) = behind.split(')').next().and_then(quantity) else { continue };
            let words: Vec<&str> = before.rsplit(' ').take(2).collect();
            let [unit, number] = words.as_slice() else { continue };
            let Some(told) = quantity(&format!("{number} {unit}")) else { continue };
            if told.dimension() != inside.dimension() {
                continue;
            }
            // The one in brackets is as the source has it.
            let is_inside = |limit: &&Limit| limit.values[0].value.base() == inside.base();
            for limit in packs.limits().iter().filter(is_inside) {
                let (value, other) = (inside.base(), told.base());
                pairs += 1;
                let off = other.checked_sub(value).unwrap().abs();
                let hundredth = value.abs().checked_mul(Exact::new(1, 100).unwrap()).unwrap();
                assert!(off <= hundredth, "{path}: {number} {unit}");
                let safe = other == value || limit.safer.allows(value, other);
                assert!(safe, "{path}: {number} {unit} lets pass what `{}` does not", limit.name);
            }
        }
    }
    assert!(pairs > 1, "{pairs}");
}
