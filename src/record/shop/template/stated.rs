//! What a shop file states somewhere, so that a short record need not ask for it.
//!
//! Must not know how a template is laid out.

use crate::document::Node;
use crate::record::shop::expand;
use crate::record::shop::nodes::{entries, items, said, said_at, scalar};
use crate::record::shop::sections::{BELONGS, Home, LOTS, MATERIALS, PLACES, Section};
use crate::record::shop::{routines, sheets};
use crate::record::{Catalogue, FactKey, FactSpec};

/// What a shop file states somewhere, so that no record need ask for it.
pub(super) struct Stated<'a> {
    pub(super) catalogue: &'a Catalogue,
    pub(super) root: &'a Node,
}

impl Stated<'_> {
    fn any(&self, list: &str, place: &str) -> bool {
        items(self.root, list).iter().any(|entry| said_at(entry, place).is_some())
    }

    /// Whether a fact is for the entries of a section, which has some.
    pub(super) fn on_entries(&self, section: &Section, key: FactKey) -> bool {
        let takes = self.catalogue.spec(key).is_some_and(|spec| section.takes(key, spec));
        takes && items(self.root, section.key).iter().any(|entry| said(entry, "mark").is_some())
    }

    pub(super) fn asks_job(&self, key: FactKey, spec: &FactSpec) -> bool {
        let name = spec.name.as_ref();
        let by_mark = BELONGS.iter().any(|(section, _)| {
            let is_mark = name.strip_prefix(section.base).is_some_and(|below| section.mark_is == Some(below));
            is_mark || self.on_entries(section, key)
        });
        let routine = match Home::of(self.catalogue, key) {
            Home::Routine(routine) => {
                let mut logged = items(self.root, routines::KEY).iter().filter_map(|row| scalar(said(row, "did")?));
                logged.any(|did| did == routine.did)
            }
            _ => false,
        };
        let lists = [PLACES.key, MATERIALS.key, sheets::ROUNDS, sheets::DAYS];
        let inspected = name.starts_with("cage.inspected.") && self.any(sheets::ROUNDS, "cage");
        !(by_mark || routine || inspected || lists.into_iter().any(|list| self.any(list, name)))
    }

    pub(super) fn of_lots(&self, key: FactKey, place: &str) -> bool {
        let sides = items(self.root, MATERIALS.key)
            .iter()
            .flat_map(|material| expand::SIDES.into_iter().filter_map(|side| said(material, side)));
        let daily = items(self.root, sheets::DAYS).iter().filter_map(|sheet| said(sheet, LOTS.key)).flat_map(entries);
        let rounds = items(self.root, sheets::ROUNDS).iter().filter_map(|round| said(round, "each_lot"));
        self.on_entries(&LOTS, key)
            || self.on_entries(&MATERIALS, key)
            || self.any(LOTS.key, place)
            || sides.chain(daily.map(|entry| &entry.node)).chain(rounds).any(|node| said_at(node, place).is_some())
    }
}
