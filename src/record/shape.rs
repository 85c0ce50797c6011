//! A quick look at the shape of a record, by the catalogue that its schema is made from.
//!
//! A record that is well is seen to be so without the schema, which takes longer to be made ready than the record to be
//! read; of every other record the schema says what is wrong. So this must never take what the schema refuses; a test holds
//! it to that. It may refuse what the schema takes. Must not know what a value means.

use super::catalogue::{Below, FactGroup, OPTIONAL_COLUMNS, Wanted};
use super::{FactKind, FactSpec, list_for};
use crate::document::{Content, Entry, Node};
use crate::units::Dimension;
use crate::vocabulary::Subject;

/// The longest text, the most subjects and the most rows of a log that the schema takes.
const LONGEST: usize = 500;
const MOST_SUBJECTS: usize = 200;
const MOST_ROWS: usize = 2000;

/// Whether a record is of the shape that its schema asks for.
pub(super) fn fits(root: &Node) -> bool {
    let Content::Map(keys) = &root.value else { return false };
    let has = |key: &str| keys.iter().any(|entry| entry.key == key);
    has("record") && has("assemblies") && keys.iter().all(top)
}

fn top(entry: &Entry) -> bool {
    let node = &entry.node;
    match entry.key.as_str() {
        "record" => matches!(&node.value, Content::Number(one) if one == "1"),
        "assemblies" => {
            subjects(Subject::Assembly, node, "mark") && matches!(&node.value, Content::List(all) if !all.is_empty())
        }
        "components" => match &node.value {
            Content::Null => true,
            Content::Map(sides) => sides.iter().all(|side| {
                ["isocyanate", "polyol"].contains(&side.key.as_str()) && of_any(Subject::Component, &side.node)
            }),
            _ => false,
        },
        "people" => subjects(Subject::Person, node, "name"),
        "gauges" => subjects(Subject::Gauge, node, "mark"),
        "thermometers" => subjects(Subject::Thermometer, node, "mark"),
        _ => fact(FactGroup::whole(Subject::Job), entry, &|_, _| true),
    }
}

/// A list of subjects, each with the key that identifies it.
fn subjects(subject: Subject, node: &Node, due: &str) -> bool {
    match &node.value {
        Content::Null => true,
        Content::List(items) => {
            let has_key =
                |item: &Node| matches!(&item.value, Content::Map(keys) if keys.iter().any(|one| one.key == due));
            items.len() <= MOST_SUBJECTS && items.iter().all(|item| has_key(item) && of_any(subject, item))
        }
        _ => false,
    }
}

/// The facts of a subject, every one of which may stand here.
fn of_any(subject: Subject, node: &Node) -> bool {
    facts(FactGroup::whole(subject), node, &|_, _| true)
}

/// The facts of a group, as far as they are wanted.
pub(super) fn facts(group: FactGroup, node: &Node, wanted: Wanted<'_>) -> bool {
    match &node.value {
        Content::Null => true,
        Content::Map(keys) => keys.iter().all(|entry| fact(group, entry, wanted)),
        _ => false,
    }
}

pub(super) fn fact(group: FactGroup, entry: &Entry, wanted: Wanted<'_>) -> bool {
    if group.is_whole() && entry.key == "local" {
        return matches!(entry.node.value, Content::Null | Content::Map(_));
    }
    match group.below(&entry.key) {
        Some(Below::Fact(key, spec)) => wanted(key, spec) && value(&spec.kind, &entry.node),
        Some(Below::Group(inner)) => {
            inner.facts().any(|(key, spec)| wanted(key, spec)) && facts(inner, &entry.node, wanted)
        }
        None => false,
    }
}

fn value(kind: &FactKind, node: &Node) -> bool {
    if matches!(node.value, Content::Null) {
        return true;
    }
    match (kind, &node.value) {
        (FactKind::Text, _) => is_word(node),
        (FactKind::Flag, Content::Bool(_)) => true,
        (FactKind::Choice(words), Content::Text(text)) => words.iter().any(|word| *word == **text),
        (FactKind::Choices(words), Content::List(items)) => {
            let known =
                |item: &Node| matches!(&item.value, Content::Text(text) if words.iter().any(|word| *word == **text));
            items.len() <= words.len() && items.iter().all(known)
        }
        (FactKind::Count, Content::Number(number)) => number.starts_with(|c: char| c.is_ascii_digit()),
        (FactKind::Log(columns), Content::List(rows)) => {
            rows.len() <= MOST_ROWS && rows.iter().all(|one| row(columns, one))
        }
        (FactKind::Reading(dimension), Content::Map(keys)) => reading(*dimension, keys),
        (
            FactKind::TyreSize
            | FactKind::TubeSizes
            | FactKind::Quantity(_)
            | FactKind::ScaleBottom(_)
            | FactKind::Reading(_)
            | FactKind::Event
            | FactKind::Planned
            | FactKind::Day,
            _,
        ) => is_text(node),
        _ => false,
    }
}

/// A row of a log: every column that it must have, and nothing else.
fn row(columns: &[FactSpec], node: &Node) -> bool {
    let Content::Map(keys) = &node.value else { return false };
    let is_due = |column: &&FactSpec| !OPTIONAL_COLUMNS.contains(&column.name.as_ref());
    let has = |column: &FactSpec| keys.iter().any(|entry| *entry.key == *column.name);
    let fits = |entry: &Entry| {
        let column = columns.iter().find(|column| *column.name == *entry.key);
        column.is_some_and(|column| !matches!(entry.node.value, Content::Null) && value(&column.kind, &entry.node))
    };
    columns.iter().filter(is_due).all(has) && keys.iter().all(fits)
}

fn reading(dimension: Dimension, keys: &[Entry]) -> bool {
    let instrument = list_for(dimension).map(Subject::word);
    let known = |entry: &Entry| {
        let key = entry.key.as_str();
        (["reading", "at", "uncertainty"].contains(&key) || Some(key) == instrument) && is_text_or_nothing(&entry.node)
    };
    keys.iter().any(|entry| entry.key == "reading") && keys.iter().all(known)
}

pub(super) fn is_text(node: &Node) -> bool {
    matches!(&node.value, Content::Text(text) if text.len() <= LONGEST)
}

pub(super) fn is_text_or_nothing(node: &Node) -> bool {
    matches!(node.value, Content::Null) || is_text(node)
}

/// Text, a whole number that is taken for it, or nothing.
pub(super) fn is_word(node: &Node) -> bool {
    match &node.value {
        Content::Number(number) => number.len() < 16 && number.bytes().all(|byte| byte.is_ascii_digit()),
        _ => is_text_or_nothing(node),
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::document::Document;

    /// Every tree that is this one with one value in it changed into another kind, or one key misspelt or taken away.
    pub(in crate::record) fn slips(node: &Node) -> Vec<Node> {
        let other = |value: Content| Node { span: node.span, value };
        let mut made: Vec<Node> = [
            Content::Null,
            Content::Bool(true),
            Content::Number("1".into()),
            Content::Number("-0.5".into()),
            Content::Text("word".into()),
            Content::Text("word".repeat(200).into()),
            Content::List(Vec::new()),
            Content::List(vec![other(Content::Text("gloves".into()))]),
            Content::Map(Vec::new()),
        ]
        .map(other)
        .to_vec();
        match &node.value {
            Content::List(items) => {
                for (place, item) in items.iter().enumerate() {
                    made.extend(slips(item).into_iter().map(|slip| {
                        let mut items = items.clone();
                        items[place] = slip;
                        other(Content::List(items))
                    }));
                }
            }
            Content::Map(entries) => {
                for (place, entry) in entries.iter().enumerate() {
                    let with = |change: &dyn Fn(&mut Vec<Entry>)| {
                        let mut entries = entries.clone();
                        change(&mut entries);
                        other(Content::Map(entries))
                    };
                    made.push(with(&|entries| drop(entries.remove(place))));
                    made.push(with(&|entries| entries[place].key = format!("{}s", entry.key).into()));
                    if let Content::Map(inner) = &entry.node.value {
                        // What stands in a mapping is written in one line with it.
                        let key = |one: &Entry| format!("{}.{}", entry.key, one.key).into();
                        let joined = |one: &Entry| Entry { key: key(one), ..one.clone() };
                        made.push(with(&|entries| entries.extend(inner.iter().map(joined))));
                        made.push(with(&|entries| drop(entries.splice(place..=place, inner.iter().map(joined)))));
                    }
                    for slip in slips(&entry.node) {
                        made.push(with(&|entries| entries[place].node = slip.clone()));
                    }
                }
            }
            _ => {}
        }
        made
    }
    /// What is taken without the schema, of every slip of every record.
    #[test]
    fn what_is_seen_to_fit_fits_the_schema() {
        let (mut taken, mut refused) = (0, 0);
        for name in ["pass-loader-bias-used", "hold-crew-and-stock-blank"] {
            let path = format!("{}/shared/demo/jobs/{name}.yaml", env!("CARGO_MANIFEST_DIR"));
            let demo = Document::read(name, &std::fs::read(path).unwrap()).unwrap();
            assert!(fits(demo.root()), "{name} is taken without the schema");
            for slip in slips(demo.root()) {
                let document = Document::composed(demo.source().clone(), slip);
                if fits(document.root()) {
                    taken += 1;
                    if let Err(faults) = super::super::schema::by_schema(&document) {
                        panic!("taken, and the schema refuses it: {faults:?}");
                    }
                } else {
                    refused += 1;
                }
            }
        }
        assert!(taken > 500 && refused > 1500, "{taken} taken, {refused} refused");
    }
}
