//! The commented record that a supervisor fills in, made from the catalogue.
//!
//! Must not know rules.

use std::fmt::Write as _;

use super::catalogue::{Catalogue, GROUPS, HoldsFor, OPTIONAL_COLUMNS, Wanted};
use super::{FactKind, FactSpec};
use crate::document::prose::{capital, in_quotes, laid_out};
use crate::document::{Content, Document, Node};
use crate::vocabulary::{HoldPoint, Subject};

/// Columns of a comment.
pub(super) const COLUMNS: usize = 92;

const HEAD: &str = "\
# yaml-language-server: $schema=./job-record.schema.json
# Job record for fillward. Write what is known after the colons; what stays empty is not
# known yet, and holds the job until it is found out. Quantities carry their unit, and times
# the offset of the shop's clock, as in `2026-03-04T09:30:00-06:00`. Repeat the block of a
# list entry (from its `-`) for each further one.
";

/// A blank record: every fact with its meaning above it and nothing after its colon.
pub fn blank(catalogue: &Catalogue) -> String {
    written(catalogue, None)
}

/// A new record after an old one: the facts that hold for the shop with their values, every other one left open.
pub fn reuse(old: &Document, catalogue: &Catalogue) -> String {
    written(catalogue, Some(old.root()))
}

fn written(catalogue: &Catalogue, old: Option<&Node>) -> String {
    let mut page = RecordPage { out: format!("{HEAD}{}", head_of_record()), catalogue };
    page.group(Subject::Job, "", 0, &Block { old, opens: false, explained: true });
    page.section("assemblies", "one entry for each tyre on its wheel");
    page.group(Subject::Assembly, "", 4, &Block { old: None, opens: true, explained: true });
    page.section("components", "the two liquids");
    for (index, side) in ["isocyanate", "polyol"].into_iter().enumerate() {
        let _ = writeln!(page.out, "  {side}:");
        page.group(Subject::Component, "", 4, &Block { old: None, opens: false, explained: index == 0 });
    }
    for (subject, about) in [
        (Subject::Person, "everyone who takes part in the fill"),
        (Subject::Gauge, "the pressure gauges used; other lines refer to them by mark"),
        (Subject::Thermometer, "the thermometers used; other lines refer to them by mark"),
    ] {
        let key = subject.record_key().unwrap_or("");
        page.section(key, about);
        let before = old.and_then(|old| old.entry(key)).map(|entry| &entry.node.value);
        let entries: Vec<Option<&Node>> = match before {
            Some(Content::List(items)) if !items.is_empty() => items.iter().map(Some).collect(),
            _ => vec![None],
        };
        for (index, old) in entries.into_iter().enumerate() {
            page.group(subject, "", 4, &Block { old, opens: true, explained: index == 0 });
        }
    }
    page.out
}

/// One thing that the record describes.
struct Block<'a> {
    /// What the old record says of it.
    old: Option<&'a Node>,
    /// It is an entry of a list, and its first fact opens it: every entry needs its mark or name.
    opens: bool,
    /// Its facts are explained; entries after the first are not.
    explained: bool,
}

/// What the person who goes out to find the facts reads first, as comments, and the line that makes the file a record.
pub(super) fn head_of_record() -> String {
    let mut said = "#\n# Never touch, loosen or pump anything just to fill in a line.".to_owned();
    for point in HoldPoint::ALL {
        let moment = point.moment();
        let told = format!("{}: {} {}", capital(point.word()), moment.first, moment.stand);
        let _ = write!(said, "\n#\n{}", laid_out(&told, COLUMNS, "# ", "#   "));
    }
    said + "\nrecord: 1\n"
}

struct RecordPage<'a> {
    out: String,
    catalogue: &'a Catalogue,
}

impl RecordPage<'_> {
    fn section(&mut self, key: &str, about: &str) {
        let _ = write!(self.out, "\n# {about}\n{key}:\n");
    }

    fn group(&mut self, subject: Subject, prefix: &str, indent: usize, entity: &Block<'_>) {
        let mut first = entity.opens && prefix.is_empty();
        let mut stage = None;
        for line in lines(self.catalogue, subject, prefix, &|_, _| true) {
            if let Some(due) = line.heading_behind(&mut stage).filter(|_| entity.explained) {
                let _ = writeln!(self.out, "{:indent$}# {due}", "");
            }
            if let Some(spec) = line.fact {
                self.line(spec, line.head, indent, first, entity);
                first = false;
            } else {
                let head = line.head;
                let place = format!("{prefix}{head}");
                let about = match GROUPS.iter().find(|(s, g, _)| *s == subject && *g == place) {
                    Some((_, _, about)) => about,
                    None if place == "local" => "What only a local pack asks for.",
                    None => "",
                };
                if !about.is_empty() && entity.explained {
                    let _ = writeln!(self.out, "{:indent$}# {about}", "");
                }
                let _ = writeln!(self.out, "{:indent$}{head}:", "");
                self.group(subject, &format!("{place}."), indent + 2, entity);
            }
        }
    }

    fn line(&mut self, spec: &FactSpec, key: &str, indent: usize, opens_entry: bool, entity: &Block<'_>) {
        let carried = entity.old.filter(|_| spec.asked.holds_for == HoldsFor::Shop);
        let value = carried.and_then(|old| found(old, &spec.name)).map(flow).unwrap_or_default();
        if value.is_empty() && entity.explained {
            let before = format!("{:indent$}# ", "");
            let _ = writeln!(self.out, "{}", laid_out(&explained(spec), COLUMNS, &before, &before));
        }
        let (indent, dash) = if opens_entry { (indent.saturating_sub(2), "- ") } else { (indent, "") };
        let line = format!("{:indent$}{dash}{key}: {value}", "");
        let _ = writeln!(self.out, "{}", line.trim_end());
    }
}

/// A line of a template: a fact, or the heading of a group of them.
pub(super) struct TemplateLine<'c> {
    /// The word before the colon.
    pub(super) head: &'c str,
    /// The fact, where it is one.
    pub(super) fact: Option<&'c FactSpec>,
    /// The first hold point at which it is asked, or anything of the group.
    pub(super) due: HoldPoint,
}

impl TemplateLine<'_> {
    /// The comment that says from when on lines are due, where it is another hold point than that of the line before; the
    /// first line of a group says nothing, since the group itself was placed by it.
    pub(super) fn heading_behind(&self, stage: &mut Option<HoldPoint>) -> Option<String> {
        let before = stage.replace(self.due)?;
        (before != self.due).then(|| format!("-- {}", self.due.word()))
    }
}

/// The lines below a place of a subject, in the order of the work: what is asked at the first hold point first.
pub(super) fn lines<'c>(
    catalogue: &'c Catalogue,
    subject: Subject,
    prefix: &str,
    wanted: Wanted<'_>,
) -> Vec<TemplateLine<'c>> {
    let mut lines: Vec<TemplateLine<'c>> = Vec::new();
    for key in catalogue.keys_of(subject) {
        let Some(spec) = catalogue.spec(key).filter(|spec| wanted(key, spec)) else { continue };
        let Some(rest) = spec.name.strip_prefix(prefix) else { continue };
        let due = spec.asked.at.iter().min().copied().unwrap_or_default();
        match rest.split_once('.') {
            None => lines.push(TemplateLine { head: rest, fact: Some(spec), due }),
            Some((head, _)) => match lines.iter_mut().find(|line| line.fact.is_none() && line.head == head) {
                Some(line) => line.due = line.due.min(due),
                None => lines.push(TemplateLine { head, fact: None, due }),
            },
        }
    }
    // Stable: the mark or name that opens an entry is asked first and stays in front.
    lines.sort_by_key(|line| line.due);
    lines
}

fn found<'a>(old: &'a Node, name: &str) -> Option<&'a Node> {
    name.split('.').try_fold(old, |node, key| Some(&node.entry(key)?.node))
}

pub(super) fn explained(spec: &FactSpec) -> String {
    match &spec.kind {
        FactKind::Flag => format!("{} (true or false)", spec.about),
        FactKind::Choice(words) => format!("{} (one of: {})", spec.about, in_quotes(words.iter())),
        FactKind::Choices(words) => {
            format!(
                "{} (any of: {}; in brackets, such as `[{}]`; `[]` for none)",
                spec.about,
                in_quotes(words.iter()),
                words.first().map_or("", AsRef::as_ref)
            )
        }
        FactKind::Log(columns) => {
            let optional = columns.iter().filter(|column| OPTIONAL_COLUMNS.contains(&column.name.as_ref()));
            let more = optional.map(|of| format!(" A row may also say `{}: {}`. {}", of.name, of.example, of.about));
            format!("{} Such as `{}`.{}", spec.about, spec.example, more.collect::<Vec<_>>().concat())
        }
        _ => format!("{} Such as `{}`.", spec.about, spec.example),
    }
}

/// A value as it may stand after a key; nothing for what is not known.
pub(super) fn flow(node: &Node) -> String {
    match &node.value {
        Content::Null => String::new(),
        Content::Bool(flag) => flag.to_string(),
        Content::Number(text) => text.to_string(),
        Content::Text(text) => serde_json::to_string(text.as_str()).unwrap_or_default(),
        Content::List(items) => format!("[{}]", items.iter().map(flow).collect::<Vec<_>>().join(", ")),
        Content::Map(entries) => {
            let entries: Vec<String> =
                entries.iter().map(|entry| format!("{}: {}", entry.key, flow(&entry.node))).collect();
            format!("{{{}}}", entries.join(", "))
        }
    }
}
