//! A quick look at the shape of a shop file, by the same tables that its schema is made from.
//!
//! A file that is well is seen to be so without the schema, which takes longer to be made ready than the file to be read;
//! of every other file the schema says what is wrong. So this must never take what the schema refuses; a test holds it to
//! that. It may refuse what the schema takes. Must not know what a value means.

use super::nodes::entries;
use super::sections::{
    LOTS, MACHINES, MACHINES_OF, MATERIALS, MIX, PLACES, SECTIONS, Section, UNCERTAINTY, UNLISTED, WHEELS, day_takes,
    mix_takes, named_by_place, round_takes,
};
use super::{expand, routines, sheets};
use crate::document::{Content, Entry, Node};
use crate::record::catalogue::{Below, FactGroup, built_in};
use crate::record::shape::{fact, facts, is_text, is_text_or_nothing, is_word};
use crate::record::{FactKey, FactKind, FactSpec};
use crate::vocabulary::Subject;

/// The longest list that the schema takes.
const MOST: usize = 2000;

/// Whether a shop file is of the shape that its schema asks for.
pub(super) fn fits(root: &Node) -> bool {
    let Content::Map(keys) = &root.value else { return false };
    let has = |key: &str| keys.iter().any(|entry| entry.key == key);
    has("shop") && has("zone") && keys.iter().all(|entry| top(&entry.key, &entry.node))
}

fn top(key: &str, node: &Node) -> bool {
    if let Some(section) = SECTIONS.iter().find(|section| section.key == key) {
        let Some(group) = FactGroup::at(section.subject, section.base) else { return false };
        return list(node, &|entry| of_section(section, group, entry), if **section == LOTS { &["side"] } else { &[] });
    }
    match key {
        "shop" => matches!(&node.value, Content::Number(one) if one == "1"),
        "zone" => is_text(node),
        "name" => is_word(node),
        routines::KEY => list(node, &of_routine, &["did"]),
        sheets::ROUNDS => list(node, &of_round, &[]),
        sheets::DAYS => list(node, &of_day, &["day"]),
        _ => false,
    }
}

/// A list of mappings, each with the keys that are asked for, and every entry of them as it should be.
fn list(node: &Node, fits: &dyn Fn(&Entry) -> bool, due: &[&str]) -> bool {
    match &node.value {
        Content::Null => true,
        Content::List(items) => {
            let fit = |item: &Node| match &item.value {
                Content::Map(keys) => {
                    due.iter().all(|due| keys.iter().any(|entry| entry.key == *due)) && keys.iter().all(fits)
                }
                _ => false,
            };
            items.len() <= MOST && items.iter().all(fit)
        }
        _ => false,
    }
}

/// `group` is that of the facts that the section takes.
fn of_section(section: &Section, group: FactGroup, entry: &Entry) -> bool {
    let takes = |key: FactKey, spec: &FactSpec| section.takes(key, spec);
    let node = &entry.node;
    match entry.key.as_str() {
        "mark" => is_word(node),
        "from" | "until" => is_text_or_nothing(node),
        "side" if *section == LOTS => {
            matches!(&node.value, Content::Text(side) if expand::SIDES.contains(&side.as_str()))
        }
        "material" if *section == LOTS => is_word(node),
        MACHINES_OF if [&MACHINES, &WHEELS].contains(&section) => are_words(node),
        key if *section == PLACES && named_by_place().any(|(_, named)| named == key) => is_word(node),
        key if *section == PLACES && UNLISTED.iter().any(|instrument| instrument.group == key) => {
            let known = |inner: &Entry| match group.below(key) {
                _ if inner.key == UNCERTAINTY => is_text_or_nothing(&inner.node),
                Some(Below::Group(within)) => fact(within, inner, &takes),
                _ => false,
            };
            matches!(&node.value, Content::Map(inner) if inner.iter().all(known))
        }
        MIX if *section == MATERIALS => {
            FactGroup::at(Subject::Job, "mix.").is_some_and(|mix| facts(mix, node, &mix_takes))
        }
        key if *section == MATERIALS => expand::SIDES.contains(&key) && facts(group, node, &takes),
        _ => fact(group, entry, &takes),
    }
}

/// Whether a list of words is no longer than it may be.
fn are_words(node: &Node) -> bool {
    matches!(&node.value, Content::List(items) if items.len() <= MOST && items.iter().all(is_word))
}

fn of_routine(entry: &Entry) -> bool {
    match entry.key.as_str() {
        "did" => {
            matches!(&entry.node.value, Content::Text(did) if super::sections::ROUTINES.iter().any(|known| known.did == did))
        }
        "of" | "by" => is_word(&entry.node),
        "at" | "due" => is_text_or_nothing(&entry.node),
        "found" => is_result(&entry.node),
        _ => false,
    }
}

/// Whether it is a result of one of the routines that have one.
fn is_result(node: &Node) -> bool {
    let Content::Text(word) = &node.value else { return matches!(node.value, Content::Null) };
    let results = super::sections::ROUTINES.iter().filter_map(|routine| routine.found);
    let specs = results.filter_map(|key| built_in(key.subject).nth(usize::from(key.index)));
    specs.into_iter().any(
        |spec: &FactSpec| matches!(&spec.kind, FactKind::Choice(words) if words.iter().any(|known| *known == **word)),
    )
}

fn of_round(entry: &Entry) -> bool {
    match entry.key.as_str() {
        "mark" | "place" => is_word(&entry.node),
        "from" | "until" => is_text_or_nothing(&entry.node),
        sheets::MET => are_words(&entry.node),
        "each_lot" => facts(FactGroup::whole(Subject::Component), &entry.node, &round_takes),
        "each_person" => facts(FactGroup::whole(Subject::Person), &entry.node, &round_takes),
        _ => fact(FactGroup::whole(Subject::Job), entry, &round_takes),
    }
}

fn of_day(entry: &Entry) -> bool {
    let words = |keys: &'static [&'static str]| {
        let known = |inner: &Entry| keys.contains(&inner.key.as_str()) && is_word(&inner.node);
        matches!(&entry.node.value, Content::Map(inner) if inner.iter().all(known))
    };
    let by_mark = |subject: Subject| {
        let fit = |inner: &Entry| facts(FactGroup::whole(subject), &inner.node, &day_takes);
        matches!(entry.node.value, Content::Null)
            || matches!(&entry.node.value, Content::Map(inner) if inner.iter().all(fit))
    };
    match entry.key.as_str() {
        "day" => is_text_or_nothing(&entry.node),
        "place" => is_word(&entry.node),
        "read" => words(sheets::STAMP) && times(&entry.node),
        "round" => words(&["mark", "at", "by"]) && times(&entry.node),
        "lots" => by_mark(Subject::Component),
        "crew" => by_mark(Subject::Person),
        _ => fact(FactGroup::whole(Subject::Job), entry, &day_takes),
    }
}

/// Whether `at` is text, where the other keys are words.
fn times(node: &Node) -> bool {
    entries(node).iter().all(|entry| entry.key != "at" || is_text_or_nothing(&entry.node))
}
