//! Reading the examples of a rule.
//!
//! Must not know how an example is judged.

use super::{PackReader, Setting, optional_text};
use crate::document::{Code, Content, Entry, Node, Span};
use crate::pack::Example;
use crate::pack::context::split;
use crate::record;
use crate::units::Instant;
use crate::vocabulary::{Outcome, Subject};

/// Keys of an example that are not facts.
const OWN_KEYS: [&str; 3] = ["outcome", "at", "says"];

impl Example {
    pub(in crate::pack) fn read(
        reader: &mut PackReader<'_>,
        node: &Node,
        passes: bool,
        setting: &Setting<'_>,
        covers: Subject,
    ) -> Option<Self> {
        let Content::Map(entries) = &node.value else {
            reader.say(
                Code::PackBadExample,
                "an example is a mapping of facts",
                node.span,
                "write `FACT: VALUE` lines",
            );
            return None;
        };
        let expected = expected(reader, node, passes)?;
        let at = match optional_text(node, "at") {
            Some(text) => Instant::parse(&text).ok(),
            None => setting.examples_at,
        };
        let Some(at) = at else {
            // Said once, at the head.
            node.entry("at")?;
            reader.say(
                Code::PackBadExample,
                "the instant of this example cannot be read",
                node.span,
                "write it with date, time and offset, such as `2026-03-04T09:30:00-06:00`",
            );
            return None;
        };
        let mut root: Vec<Entry> = Vec::new();
        let mut own: Vec<Entry> = Vec::new();
        for entry in entries.iter().filter(|entry| !OWN_KEYS.contains(&entry.key.as_str())) {
            sort(reader, entry, covers, &mut root, &mut own)?;
        }
        place_subject(&mut root, own, covers, node.span);
        let root = Node { span: node.span, value: Content::Map(root) };
        match record::read_fragment(&reader.source, &root, setting.catalogue) {
            Ok(job) => Some(Self { job, at, expected, span: node.span }),
            Err(faults) => {
                reader.faults.extend(faults.into_vec());
                None
            }
        }
    }
}

fn expected(reader: &mut PackReader<'_>, node: &Node, passes: bool) -> Option<Outcome> {
    let outcome = optional_text(node, "outcome");
    let found = match (outcome.as_deref(), passes) {
        (None | Some("met"), true) => Some(Outcome::Met),
        (Some("does not apply"), true) => Some(Outcome::DoesNotApply),
        (None | Some("broken"), false) => Some(Outcome::Broken),
        (Some("not shown"), false) => Some(Outcome::NotShown),
        _ => None,
    };
    if found.is_none() {
        reader.say(
            Code::PackBadExample,
            "this outcome does not belong in this list",
            node.span,
            "passes: met or does not apply; holds: broken or not shown",
        );
    }
    found
}

/// Puts one line of an example where it belongs in a record.
fn sort(
    reader: &mut PackReader<'_>,
    entry: &Entry,
    covers: Subject,
    root: &mut Vec<Entry>,
    own: &mut Vec<Entry>,
) -> Option<()> {
    if let ("components", Content::Map(sides)) = (entry.key.as_str(), &entry.node.value) {
        let sides = sides.iter().map(|side| Entry { node: nest_item(&side.node), ..side.clone() }).collect();
        root.push(Entry { node: Node { span: entry.node.span, value: Content::Map(sides) }, ..entry.clone() });
        return Some(());
    }
    let is_list = Subject::ALL.iter().any(|subject| subject.record_key() == Some(entry.key.as_str()));
    if let (true, Content::List(items)) = (is_list, &entry.node.value) {
        let items = items.iter().map(nest_item).collect();
        root.push(Entry { node: Node { span: entry.node.span, value: Content::List(items) }, ..entry.clone() });
        return Some(());
    }
    let (subject, rest) = split(&entry.key);
    if subject == Subject::Job {
        nest(root, rest, entry);
    } else if subject == covers {
        nest(own, rest, entry);
    } else {
        reader.say(
            Code::PackBadExample,
            format!("`{}` is not of the subject that this rule covers", entry.key),
            entry.key_span,
            format!("list it under `{}:`", subject.record_key().unwrap_or("")),
        );
        return None;
    }
    Some(())
}

/// An element of a list in an example: its keys are full names, such as `person.role`.
fn nest_item(item: &Node) -> Node {
    let Content::Map(entries) = &item.value else { return item.clone() };
    let mut nested = Vec::new();
    for entry in entries {
        nest(&mut nested, split(&entry.key).1, entry);
    }
    Node { span: item.span, value: Content::Map(nested) }
}

/// Enters `entry` under its dotted name as nested mappings.
fn nest(into: &mut Vec<Entry>, name: &str, entry: &Entry) {
    let Some((head, rest)) = name.split_once('.') else {
        into.push(Entry { key: name.into(), ..entry.clone() });
        return;
    };
    if !into.iter().any(|known| known.key == head) {
        let node = Node { span: entry.node.span, value: Content::Map(Vec::new()) };
        into.push(Entry { key: head.into(), key_span: entry.key_span, node });
    }
    if let Some(Content::Map(inner)) =
        into.iter_mut().find(|known| known.key == head).map(|known| &mut known.node.value)
    {
        nest(inner, rest, entry);
    }
}

/// Puts the covered subject's own facts into its list, so that it exists even when nothing is known of it.
fn place_subject(root: &mut Vec<Entry>, own: Vec<Entry>, covers: Subject, span: Span) {
    let Some(key) = covers.record_key() else {
        root.extend(own);
        return;
    };
    let subject = Node { span, value: Content::Map(own) };
    let value = if covers == Subject::Component {
        Content::Map(vec![Entry { key: "isocyanate".into(), key_span: span, node: subject }])
    } else {
        Content::List(vec![subject])
    };
    match root.iter_mut().find(|entry| entry.key == key) {
        Some(Entry { node: Node { value: Content::List(items), .. }, .. }) => {
            if let Content::List(first) = value {
                items.splice(0..0, first);
            }
        }
        Some(Entry { node: Node { value: Content::Map(sides), .. }, .. }) => {
            if let Content::Map(own) = value {
                sides.extend(own);
            }
        }
        _ => root.push(Entry { key: key.into(), key_span: span, node: Node { span, value } }),
    }
}
