//! The commented record that a supervisor fills in, made from the catalogue.

use std::fmt::Write as _;

use super::catalogue::{GROUPS, built_in};
use super::{FactSpec, Kind, Subject};
use crate::document::prose::laid_out;
use crate::document::{Document, Entry, Node, Value};

const HEAD: &str = "\
# Job record for fillward. Write what is known after the colons; what stays empty is not
# known yet, and holds the job until it is found out. Quantities carry their unit, instants
# their offset from UTC. Repeat the block of a list entry (from its `-`) for each further one.
record: 1
";

/// A blank record: every fact with its meaning above it and nothing after its colon.
pub fn blank() -> String {
    let mut out = String::from(HEAD);
    group(&mut out, Subject::Job, "", 0, Marker::None);
    tyres_and_liquids(&mut out);
    for (subject, about) in [
        (Subject::Person, "everyone who takes part in the fill"),
        (Subject::Gauge, "the pressure gauges used; other lines refer to them by mark"),
        (Subject::Thermometer, "the thermometers used; other lines refer to them by mark"),
    ] {
        section(&mut out, subject.record_key().unwrap_or(""), about);
        group(&mut out, subject, "", 4, Marker::FirstLine);
    }
    out
}

fn section(out: &mut String, key: &str, about: &str) {
    let _ = write!(out, "\n# {about}\n{key}:\n");
}

#[derive(Clone, Copy, PartialEq)]
enum Marker {
    None,
    /// The first fact opens a list entry and is not commented out: every entry needs its mark or name.
    FirstLine,
}

fn group(out: &mut String, subject: Subject, prefix: &str, indent: usize, marker: Marker) {
    let mut done: Vec<&str> = Vec::new();
    let mut first = marker == Marker::FirstLine;
    for spec in built_in(subject) {
        let Some(rest) = spec.name.strip_prefix(prefix) else { continue };
        match rest.split_once('.') {
            None => {
                line(out, spec, rest, indent, first);
                first = false;
            }
            Some((head, _)) if !done.contains(&head) => {
                done.push(head);
                let place = format!("{prefix}{head}");
                if let Some((_, _, about)) = GROUPS.iter().find(|(s, g, _)| *s == subject && *g == place) {
                    let _ = writeln!(out, "{:indent$}# {about}", "");
                }
                let _ = writeln!(out, "{:indent$}{head}:", "");
                group(out, subject, &format!("{place}."), indent + 2, Marker::None);
            }
            Some(_) => {}
        }
    }
}

/// Columns of a comment.
const COLUMNS: usize = 92;

fn line(out: &mut String, spec: &FactSpec, key: &str, indent: usize, opens_entry: bool) {
    let about = match &spec.kind {
        Kind::Flag => format!("{} (true or false)", spec.about),
        Kind::Choice(words) => format!("{} (one of: {})", spec.about, words.join(", ")),
        Kind::Choices(words) => format!("{} (any of: [{}])", spec.about, words.join(", ")),
        _ => spec.about.to_string(),
    };
    let about = match &spec.kind {
        Kind::Choice(_) | Kind::Choices(_) | Kind::Flag => about,
        _ => format!("{} Such as `{}`.", about, spec.example),
    };
    let before = format!("{:indent$}# ", "");
    let _ = writeln!(out, "{}", laid_out(&about, COLUMNS, &before, &before));
    if opens_entry {
        let dash = indent.saturating_sub(2);
        let _ = writeln!(out, "{:dash$}- {key}:", "");
    } else {
        let _ = writeln!(out, "{:indent$}{key}:", "");
    }
}

/// Facts that describe the shop rather than the job; they carry over to the next record.
const SHOP: &[&str] = &["site", "pump", "cage", "workspace", "people", "gauges", "thermometers"];

/// Facts inside those that are true of one job only, because somebody looked, counted or compared for it; they are never
/// carried over. A cage is rated for the wheel that is in it, and charts and data sheets are those of what is filled.
const OF_THE_JOB: &[&str] = &[
    "inspected",
    "damage",
    "exercised",
    "counter_reset",
    "mixer_elements",
    "mixer_cycles_left",
    "rating",
    "rim_charts_at_hand",
    "data_sheets_at_hand",
    "temperature",
    "ignition_sources",
    "solvent_on_hand",
    "solvent_closed",
    "spectators_kept_out",
    "ventilated",
    "protection",
];

/// A new record that takes the shop's lasting facts from an old one and leaves out all that must be looked at again.
pub fn reuse(old: &Document) -> String {
    let mut out = String::from(HEAD);
    out.push_str("job:\nplanned_start:\n");
    if let Value::Map(entries) = &old.root().value {
        for entry in entries.iter().filter(|entry| SHOP.contains(&entry.key.as_str())) {
            out.push('\n');
            keep(&mut out, entry, 0);
        }
    }
    tyres_and_liquids(&mut out);
    out
}

/// What differs from job to job: the assemblies and the components, blank.
fn tyres_and_liquids(out: &mut String) {
    section(out, "assemblies", "one entry for each tyre on its wheel");
    group(out, Subject::Assembly, "", 4, Marker::FirstLine);
    section(out, "components", "the two liquids");
    for side in ["isocyanate", "polyol"] {
        let _ = writeln!(out, "  {side}:");
        group(out, Subject::Component, "", 4, Marker::None);
    }
}

fn keep(out: &mut String, entry: &Entry, indent: usize) {
    let key = &entry.key;
    if OF_THE_JOB.contains(&key.as_str()) {
        let _ = writeln!(out, "{:indent$}{key}:   # of this job: look again", "");
        return;
    }
    match &entry.node.value {
        Value::Map(inner) => {
            let _ = writeln!(out, "{:indent$}{key}:", "");
            for entry in inner {
                keep(out, entry, indent + 2);
            }
        }
        Value::List(items) if items.iter().any(|item| matches!(item.value, Value::Map(_))) => {
            let _ = writeln!(out, "{:indent$}{key}:", "");
            for item in items {
                keep_item(out, item, indent + 2);
            }
        }
        _ => {
            let _ = writeln!(out, "{:indent$}{key}: {}", "", flow(&entry.node));
        }
    }
}

fn keep_item(out: &mut String, item: &Node, indent: usize) {
    let Value::Map(entries) = &item.value else { return };
    let mut block = String::new();
    for entry in entries {
        keep(&mut block, entry, indent + 2);
    }
    // The dash takes the place of the first line's indent.
    let block = block.trim_start();
    let _ = write!(out, "{:indent$}- {block}", "");
}

/// A scalar or a list of scalars as it may stand after a key.
fn flow(node: &Node) -> String {
    match &node.value {
        Value::Null | Value::Map(_) => String::new(),
        Value::Bool(flag) => flag.to_string(),
        Value::Number(text) => text.clone(),
        Value::Text(text) => serde_json::to_string(text).unwrap_or_default(),
        Value::List(items) => {
            let inner: Vec<String> = items.iter().map(flow).collect();
            format!("[{}]", inner.join(", "))
        }
    }
}
