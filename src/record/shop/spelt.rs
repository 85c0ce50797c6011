//! What an entry of a shop file says, value by value, as it is written: for telling what has changed in it.
//!
//! Must not know what a value means.

use std::collections::BTreeMap;

use super::{Shop, called};
use crate::document::{Content, Node};

impl Shop {
    /// What the entry of a section says that alone is called by a mark: each value by its place in the entry, as it is
    /// written. Nothing where no entry is called so, or several are.
    pub fn values_of(&self, section: &str, mark: &str) -> Option<BTreeMap<String, String>> {
        let mut entries = called(self.document.root(), section, mark);
        let (_, entry) = entries.next()?;
        if entries.next().is_some() {
            return None;
        }
        let mut values = BTreeMap::new();
        self.spell(entry, String::new(), &mut values);
        Some(values)
    }

    fn spell(&self, node: &Node, place: String, values: &mut BTreeMap<String, String>) {
        match &node.value {
            Content::Map(entries) => {
                for entry in entries {
                    let within =
                        if place.is_empty() { entry.key.to_string() } else { format!("{place}.{}", entry.key) };
                    self.spell(&entry.node, within, values);
                }
            }
            Content::List(items) if items.iter().any(|item| matches!(item.value, Content::Map(_))) => {
                for (number, item) in items.iter().enumerate() {
                    self.spell(item, format!("{place}[{number}]"), values);
                }
            }
            _ => drop(values.insert(place, self.document.source().slice(node.span).to_owned())),
        }
    }
}
