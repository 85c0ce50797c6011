//! Shared steps of a pack, and the cures of its rules.
//!
//! Must not know a job.

use super::super::PackText;
use super::super::cure::{AIR_OUT, Air, Cure, CureStep, Does, SharedStep};
use super::common::citation;
use super::{PackReader, entries};
use crate::document::{Code, Content, Node, Span, nearest};

/// The steps that a file names.
pub(in super::super) fn steps(reader: &mut PackReader<'_>, root: &Node) -> Vec<SharedStep> {
    entries(root, "steps")
        .iter()
        .map(|entry| {
            let said_so = Does::KEYS.iter().find_map(|(key, does)| Some((&entry.node.entry(key)?.node, *does)));
            let (node, does) = said_so.unwrap_or((&entry.node, Does::Mends));
            let texts = match &node.value {
                // The schema lets nothing but texts through.
                Content::List(items) => items.iter().filter_map(said).collect(),
                _ => said(node).into_iter().collect(),
            };
            let source = entry.node.entry("source").map(|_| citation(reader, &entry.node));
            SharedStep { name: entry.key.to_string().into(), texts, does, source, place: reader.place(entry.key_span) }
        })
        .collect()
}

/// The text of a node.
fn said(node: &Node) -> Option<PackText> {
    match &node.value {
        Content::Text(text) => Some(text.trim().to_owned().into()),
        _ => None,
    }
}

/// The cure of a rule. `steps` are those that it may call by name; those that it does are added to `used`.
pub(super) fn cure(reader: &mut PackReader<'_>, rule: &Node, steps: &[SharedStep], used: &mut Vec<String>) -> Cure {
    let mut named = |reader: &mut PackReader<'_>, name: &str, span: Span| {
        let step = steps.iter().find(|step| step.name == name);
        if step.is_some() {
            used.push(name.to_owned());
        } else {
            unknown(reader, name, span, steps);
        }
        let of = |step: &SharedStep| -> Vec<CureStep> {
            let mut source = step.source.clone();
            let own = |text: &PackText| CureStep { source: source.take(), ..CureStep::own(text.clone(), step.does) };
            step.texts.iter().map(own).collect()
        };
        step.map_or_else(Vec::new, of)
    };
    let air = rule.entry("air").map(|entry| {
        if matches!(entry.node.value, Content::Map(_)) {
            return Air::Stays { because: reader.text(&entry.node, "stays") };
        }
        // The schema lets no other word through.
        named(reader, AIR_OUT, entry.node.span);
        Air::Out
    });
    let mut step = |reader: &mut PackReader<'_>, item: &Node| {
        if let Some(text) = said(item) {
            return vec![CureStep::own(text, Does::Mends)];
        }
        let name = reader.text(item, "step");
        named(reader, &name, item.span)
    };
    let steps = match rule.entry("put_right").map(|entry| &entry.node.value) {
        Some(Content::List(items)) => items.iter().flat_map(|item| step(reader, item)).collect(),
        _ => vec![CureStep::own(reader.text(rule, "put_right"), Does::Mends)],
    };
    Cure { air, steps }
}

fn unknown(reader: &mut PackReader<'_>, name: &str, span: Span, steps: &[SharedStep]) {
    let known: Vec<&str> = steps.iter().map(|step| step.name.as_str()).collect();
    let help = match nearest(name, known.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None if known.is_empty() => "write what is to be done, or name the step under `steps:` of the pack".to_owned(),
        None => format!("steps that are named: {}", known.join(", ")),
    };
    reader.say(Code::PackUnknownStep, format!("there is no step `{name}`"), span, help);
}
