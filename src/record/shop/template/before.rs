//! What a new short record is told of the record before it, and the lines of a further tyre that is like the first one.
//!
//! Must not know how a template is laid out.

use std::collections::BTreeSet;

use crate::document::prose::in_quotes;
use crate::document::{Content, Node, Span};
use crate::record::catalogue::{Wanted, assembly, stages};
use crate::record::shop::Shop;
use crate::record::shop::assemblies::CARDS;
use crate::record::shop::nodes::{items, mark_of, said, said_at, scalar};
use crate::record::shop::sections::{CREW, Section, TYRES, is_alike};
use crate::record::template::flow;
use crate::record::{Catalogue, FactSpec};
use crate::vocabulary::{HoldPoint, Subject};

/// The record before, as it was written.
pub(super) struct Before<'o>(pub(super) Option<&'o Node>);

impl Before<'_> {
    /// The instrument with which it was read: that of its head, or the gauge with which all its targets are read. What
    /// a log was read with is of that log.
    pub(super) fn read_with(&self, key: &str) -> String {
        let Some(old) = self.0 else { return String::new() };
        if let Some(named) = said(old, "read").and_then(|read| said(read, key)) {
            return flow(named);
        }
        let named = items(old, "assemblies").iter().filter_map(|one| said_at(one, &format!("target.{key}")));
        let named: BTreeSet<String> = named.map(flow).collect();
        if named.len() == 1 { named.into_iter().collect() } else { String::new() }
    }

    /// Its people, by their marks in the shop file, else by their names: what one of them wore, did or was that day is
    /// seen and said again.
    pub(super) fn people(&self, shop: &Shop) -> String {
        let Some(old) = self.0 else { return String::new() };
        let crew = items(shop.document().root(), CREW.key);
        let named = |one: &Node, key: &str, name: &str| said(one, key).and_then(scalar) == Some(name);
        let mark = |name: &str| crew.iter().find(|one| named(one, "name", name)).and_then(mark_of);
        let of_one = |one: &Node| {
            if let Some(mark) = scalar(one).or_else(|| mark_of(one)) {
                return Some(quote(mark));
            }
            let name = said(one, "name").and_then(scalar)?;
            Some(mark(name).map_or_else(|| format!("{{name: {}}}", quote(name)), quote))
        };
        let people: Vec<String> = items(old, "people").iter().filter_map(of_one).collect();
        if people.is_empty() { String::new() } else { format!("[{}]", people.join(", ")) }
    }

    /// What its assemblies name under a key, as a sentence: a name, or the mark of a card of a section. The stamping is read
    /// before it is written again.
    pub(super) fn names(&self, key: &str, section: Option<&Section>) -> String {
        let Some(old) = self.0 else { return String::new() };
        let by = CARDS.iter().find(|(_, of)| *of == key).map_or("mark", |(section, _)| section.named_by);
        let mut found: Vec<&str> = Vec::new();
        for one in items(old, "assemblies") {
            let named = said(one, key).and_then(|named| scalar(named).or_else(|| scalar(said(named, by)?)));
            found.extend(named.filter(|named| !found.contains(named)));
        }
        if found.is_empty() {
            return String::new();
        }
        let look = match section {
            Some(section) if *section == TYRES => "; read the sidewall before you write it",
            Some(_) => "; read the stamping before you write it",
            None => "",
        };
        format!(" In the record before: {}{look}.", in_quotes(found))
    }
}

/// A text in quotes.
fn quote(text: &str) -> String {
    flow(&Node { span: Span::empty(0), value: Content::Text(text.into()) })
}

/// The lines of a tyre that is like another one: what is looked at on each, up to the fill.
pub(super) fn further_tyre(catalogue: &Catalogue, wanted: Wanted<'_>) -> Vec<String> {
    let looked_at = catalogue.keys_of(Subject::Assembly).filter_map(|key| {
        let spec: &FactSpec = catalogue.spec(key)?;
        let due = spec.asked.at.iter().min().filter(|point| **point <= HoldPoint::BeforeFill)?;
        let is_own = key != assembly::MARK && key != stages::SEATED_BY && !is_alike(catalogue, key);
        (is_own && wanted(key, spec)).then_some((*due, &*spec.name))
    });
    let mut looked_at: Vec<(HoldPoint, &str)> = looked_at.collect();
    // In the order of the work; stable, so that each hold point keeps the order of the record.
    looked_at.sort_by_key(|(due, _)| *due);
    let looked_at: Vec<&str> = looked_at.into_iter().map(|(_, name)| name).collect();
    // Who looked at the first one looked at this one and saw it seated, unless it says otherwise.
    let opening = ["- mark:", "  like:", "  bench: {at: , found: }"].map(str::to_owned);
    let facts = groups(&looked_at).into_iter().map(|(head, below)| format!("  {head}: {}", in_braces(&below)));
    opening.into_iter().chain(facts).collect()
}

/// Dotted names by their first word, in their order, each with what is below it.
fn groups<'n>(names: &[&'n str]) -> Vec<(&'n str, Vec<&'n str>)> {
    let mut groups: Vec<(&str, Vec<&str>)> = Vec::new();
    for name in names {
        let (head, below) = name.split_once('.').map_or((*name, None), |(head, below)| (head, Some(below)));
        match groups.iter_mut().find(|(known, _)| *known == head) {
            Some((_, known)) => known.extend(below),
            None => groups.push((head, below.into_iter().collect())),
        }
    }
    groups
}

/// What is below a key as one line with room to write; nothing where the key itself takes the value.
fn in_braces(names: &[&str]) -> String {
    if names.is_empty() {
        return String::new();
    }
    let inner: Vec<String> =
        groups(names).into_iter().map(|(head, below)| format!("{head}: {}", in_braces(&below))).collect();
    format!("{{{}}}", inner.join(", "))
}
