//! What people write in a local pack who have not read the language: found before the pack is read further, so that one
//! mistake is one fault.
//!
//! Must not know what a rule asks.

use std::sync::Arc;

use super::Pack;
use super::named::{amended_name, name_of, name_span};
use super::read::entries;
use crate::document::{Code, Content, Document, Entry, Fault, Source, Span};

/// The rules of a document that are called like one in force, each with its place and what is said of it: whatever else
/// is wrong with such a rule does not matter.
pub(super) fn rules_taken(packs: &[Pack], document: &Document) -> Vec<(Span, Fault)> {
    let name = name_of(document);
    // Packs that do not amend one another may call their rules alike; a code names the pack as well.
    let amended = amended_name(document);
    let others = || packs.iter().filter(|pack| pack.name != name && amended.as_deref() == Some(pack.name.as_str()));
    let rules = document.root().entry("rules").map(|entry| &entry.node.value);
    let Some(Content::Map(entries)) = rules else { return Vec::new() };
    let taken = entries.iter().filter_map(|entry| {
        let pack = others().find(|pack| pack.rules.iter().any(|rule| *rule.name == *entry.key))?;
        let fault = Fault::new(Code::PackRuleTaken, format!("the pack `{}` has a rule `{}`", pack.name, entry.key))
            .label(entry.key_span, "called like it")
            .help(
                "make a limit stricter under `amended_limits`, or add a rule with a name of its own; rules of another pack \
                 are never changed or withdrawn",
            )
            .in_source(document.source());
        Some((Span::new(entry.key_span.start, entry.node.span.end.max(entry.key_span.end)), fault))
    });
    taken.collect()
}

/// Whether an example of the document does not say itself when it is judged.
fn has_examples_without_time(document: &Document) -> bool {
    let lists = entries(document.root(), "rules").iter().filter_map(|rule| rule.node.entry("examples"));
    let items: Vec<&Entry> =
        lists.flat_map(|lists| ["passes", "holds"].into_iter().filter_map(|list| lists.node.entry(list))).collect();
    let listed = |list: &Entry| match &list.node.value {
        Content::List(items) => items.iter().any(|example| example.entry("at").is_none()),
        _ => false,
    };
    items.into_iter().any(listed)
}

/// Says once, at the head, that nothing tells when the examples are judged; `None` where that is told.
pub(super) fn no_time_of_examples(parts: &[(&Document, &Arc<Source>)], head: &Document) -> Option<Fault> {
    let is_told = head.root().entry("examples_at").is_some();
    let is_needed = !is_told && parts.iter().any(|(document, _)| has_examples_without_time(document));
    is_needed.then(|| {
        Fault::new(Code::PackBadExample, "nothing says when the examples are judged")
            .label(name_span(head), "here")
            .help("add `examples_at:` to the head, with date, time and offset, such as `2026-03-04T09:30:00-06:00`")
            .in_source(head.source())
    })
}
