//! Starting a record: a new one takes over what holds for the shop, and has a line for everything else.

use fillward::document::{Content, Document, Node};
use fillward::pack::PackSet;
use fillward::record::catalogue::{GROUPS, HoldsFor};
use fillward::record::{self, Catalogue};
use fillward::vocabulary::Subject;

use crate::common;

fn document(name: &str, text: &str) -> Document {
    Document::read(name, text.as_bytes()).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)))
}

/// The entries of a subject in a record.
fn entries(record: &Document, subject: Subject) -> Vec<&Node> {
    let at = |key: &str| record.root().entry(key).map(|entry| &entry.node);
    match subject {
        Subject::Job => vec![record.root()],
        Subject::Component => {
            ["isocyanate", "polyol"].into_iter().filter_map(|side| Some(&at("components")?.entry(side)?.node)).collect()
        }
        other => match at(other.record_key().unwrap()).map(|node| &node.value) {
            Some(Content::List(items)) => items.iter().collect(),
            _ => Vec::new(),
        },
    }
}

fn found<'a>(node: &'a Node, name: &str) -> Option<&'a Node> {
    name.split('.').try_fold(node, |node, key| Some(&node.entry(key)?.node))
}

/// A value without its places.
fn bare(node: &Node) -> String {
    match &node.value {
        Content::List(items) => items.iter().map(bare).collect::<Vec<_>>().join(", "),
        Content::Map(entries) => {
            entries.iter().map(|entry| format!("{}: {}", entry.key, bare(&entry.node))).collect::<Vec<_>>().join("; ")
        }
        other => format!("{other:?}"),
    }
}

/// What a record made from `old` has for each fact of each entry: the old value where the fact holds for the shop,
/// an empty line otherwise.
fn takes_over_what_holds(old: &Document, catalogue: &Catalogue) -> usize {
    let text = record::reuse_template(old, catalogue);
    let new = Document::read("new.yaml", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults:?}\n{text}"));
    record::read_anywhere(&new, catalogue).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)));
    let mut carried = 0;
    for key in catalogue.keys() {
        let spec = catalogue.spec(key).unwrap();
        let before = entries(old, key.subject);
        for (index, entry) in entries(&new, key.subject).into_iter().enumerate() {
            let name = catalogue.full_name(key);
            let line = found(entry, &spec.name).unwrap_or_else(|| panic!("no line for {name}"));
            let due = before
                .get(index)
                .and_then(|entry| found(entry, &spec.name))
                .filter(|_| spec.asked.holds_for == HoldsFor::Shop);
            carried += usize::from(due.is_some());
            assert_eq!(bare(line), due.map_or_else(|| format!("{:?}", Content::Null), bare), "{name}");
        }
    }
    carried
}

#[test]
fn a_new_record_takes_over_what_holds_for_the_shop_and_leaves_a_line_for_the_rest() {
    let packs = PackSet::base().unwrap();
    for path in common::files("shared/demo/jobs", ".yaml") {
        assert!(takes_over_what_holds(&common::document(&path), packs.catalogue()) > 5, "{path}");
    }
}

/// A pack with one fact for each span.
const SPANS: &str = "
pack: 1
name: yard-book
edition: '1'
title: What the yard keeps a book of
examples_at: 2026-03-04T09:30:00-06:00
facts:
  hoist_number: {covers: job, holds_for: shop, kind: text, about: The number of the hoist., example: H-1}
  axle_number: {covers: job, holds_for: assembly, kind: text, about: The number of the axle., example: A-1}
  permit_number: {covers: job, holds_for: job, kind: text, about: The number of the permit., example: P-1}
  noise_reading: {covers: job, holds_for: day, kind: text, about: The noise of the day., example: 70 dB}
  gate_shut: {covers: job, holds_for: hold point, kind: flag, about: Whether the gate is shut., example: 'true'}
  locker: {covers: person, holds_for: shop, kind: text, about: The locker of this person., example: '4'}
  breathalysed: {covers: person, holds_for: day, kind: flag, about: Whether the person was sober., example: 'true'}
";

#[test]
fn facts_of_a_pack_hold_as_long_as_the_pack_says() {
    let pack = document("yard-book.yaml", SPANS);
    let packs = PackSet::base().unwrap().with(vec![pack]).unwrap();
    let text = common::read("shared/demo/jobs/pass-loader-bias-used.yaml")
        .replacen("\nsite:", "\nlocal: {hoist_number: H-7, axle_number: A-7, permit_number: P-7, noise_reading: 71 dB, gate_shut: true}\nsite:", 1)
        .replacen("    role: supervisor\n", "    role: supervisor\n    local: {locker: '9', breathalysed: true}\n", 1);
    let old = document("old.yaml", &text);
    let without =
        takes_over_what_holds(&common::document("shared/demo/jobs/pass-loader-bias-used.yaml"), packs.catalogue());
    assert_eq!(takes_over_what_holds(&old, packs.catalogue()), without + 2);
}

/// A block of facts says what it is: templates and schemas take that from one list.
#[test]
fn every_block_of_facts_is_explained() {
    let catalogue = Catalogue::default();
    let mut blocks = 0;
    for key in catalogue.keys() {
        let name = &catalogue.spec(key).unwrap().name;
        for (end, _) in name.match_indices('.') {
            let block = name.get(..end).unwrap();
            let is_told = GROUPS.iter().any(|(of, place, _)| *of == key.subject && *place == block);
            assert!(is_told, "{}: nothing is said of `{block}`", catalogue.full_name(key));
            blocks += 1;
        }
    }
    assert!(blocks > 100, "{blocks}");
}
