//! The instruments that readings name, and the people whose marks stand for their names.
//!
//! Must not know what an instrument does to a reading.

use super::expand::Expander;
use super::nodes::{at_mut, entries, items, items_mut, moved, said, scalar, value_mut};
use super::sections::{CREW, GAUGES, NAMES_PERSON, THERMOMETERS};
use super::{broken_program, refusals};
use crate::document::{Content, Entry, Node, Path};
use crate::vocabulary::Subject;

impl Expander<'_> {
    /// Brings in the gauges and thermometers whose marks stand in the record.
    pub(super) fn instruments(&mut self, root: &mut Node) {
        let Some(shop) = self.shop else { return };
        for (section, key) in [(&GAUGES, "gauge"), (&THERMOMETERS, "thermometer")] {
            let mut named: Vec<Node> = Vec::new();
            marks_at(root, key, &mut named);
            let mut own: Vec<Node> = Vec::new();
            for (index, item) in items_mut(root, section.key).iter_mut().enumerate() {
                let Some(mark) = said(item, "mark").cloned() else { continue };
                // What the record says of an instrument of the shop stands beside what its entry says.
                if let Some(text) = scalar(&mark).filter(|text| shop.find(section.key, text).is_some())
                    && let Some(facts) = self.entry(section, &mark)
                {
                    self.lay(item, facts, (section.one, text), &Path::root().child(section.key).child(index));
                }
                own.push(mark);
            }
            let mut added: Vec<Node> = Vec::new();
            for mark in named {
                let is = |known: &Node| scalar(known) == scalar(&mark);
                if own.iter().any(is) || added.iter().filter_map(|entry| said(entry, "mark")).any(is) {
                    continue;
                }
                let Some(mut facts) = self.entry(section, &mark) else { continue };
                let own = scalar(&mark).and_then(|text| shop.find(section.key, text)).map(|(_, entry)| entry);
                let own = own.and_then(|entry| said(entry, "mark")).map_or(mark, |own| moved(own, self.base));
                if let Content::Map(entries) = &mut facts.value {
                    let entry = Entry { key: "mark".to_owned(), key_span: own.span, node: own };
                    entries.insert(0, entry);
                }
                added.push(facts);
            }
            self.add(root, section.key, added);
        }
    }

    /// Adds entries to a list of the record.
    fn add(&mut self, root: &mut Node, key: &str, added: Vec<Node>) {
        let Some(first) = added.first() else { return };
        let span = first.span;
        match value_mut(root, key) {
            Some(Node { value: Content::List(items), .. }) => items.extend(added),
            Some(list) if list.value == Content::Null => *list = Node { span, value: Content::List(added) },
            Some(list) => {
                let span = list.span;
                self.refuse(refusals::shape("a list", "write one entry for each, behind a dash", span));
            }
            None => match &mut root.value {
                Content::Map(entries) => {
                    let node = Node { span, value: Content::List(added) };
                    entries.push(Entry { key: key.to_owned(), key_span: span, node });
                }
                _ => self.refuse(broken_program("instruments are named and there is no record").label(root.span, "")),
            },
        }
    }

    /// Replaces marks by names wherever a person is named.
    pub(super) fn persons(&mut self, root: &mut Node) {
        let catalogue = self.catalogue;
        for fact in NAMES_PERSON {
            let Some(spec) = catalogue.spec(*fact) else { continue };
            match fact.subject {
                Subject::Assembly => {
                    let count = items(root, "assemblies").len();
                    for index in 0..count {
                        let assembly = items_mut(root, "assemblies").get_mut(index);
                        if let Some(node) = assembly.and_then(|assembly| at_mut(assembly, &spec.name)) {
                            self.person(node);
                        }
                    }
                }
                _ => {
                    if let Some(node) = at_mut(root, &spec.name) {
                        self.person(node);
                    }
                }
            }
        }
    }

    /// A mark of the crew becomes its name; a full name stays.
    fn person(&mut self, node: &mut Node) {
        let (Some(shop), Some(text)) = (self.shop, scalar(node)) else { return };
        // Names have a blank and marks have none: what is neither mark nor name is a slip.
        if shop.find(CREW.key, text).is_none() && text.contains(' ') {
            return;
        }
        let named = node.clone();
        if let Some(name) = self.entry(&CREW, &named).and_then(|entry| said(&entry, "name").cloned()) {
            node.value = name.value;
        }
    }
}

/// The marks that stand under a key anywhere in a tree, in its order.
fn marks_at(node: &Node, key: &str, found: &mut Vec<Node>) {
    if let Content::List(items) = &node.value {
        for item in items {
            marks_at(item, key, found);
        }
    }
    for entry in entries(node) {
        match scalar(&entry.node) {
            Some(_) if entry.key == key => found.push(entry.node.clone()),
            Some(_) => {}
            None => marks_at(&entry.node, key, found),
        }
    }
}
