//! What a shop file states somewhere, so that a short record need not ask for it.
//!
//! Must not know how a template is laid out.

use crate::document::Node;
use crate::record::shop::expand;
use crate::record::shop::nodes::{entries, has_line, items, said, scalar};
use crate::record::shop::sections::{BELONGS, Home, LOTS, MATERIALS, OF_THIS_JOB, PLACES, Section, mix_takes};
use crate::record::shop::{is_blank, routines, sheets};
use crate::record::{Catalogue, FactKey, FactSpec};

/// What a shop file states somewhere, so that no record need ask for it.
pub(super) struct Stated<'a> {
    pub(super) catalogue: &'a Catalogue,
    pub(super) root: &'a Node,
}

impl Stated<'_> {
    fn any(&self, list: &str, place: &str) -> bool {
        items(self.root, list).iter().any(|entry| !is_blank(entry) && has_line(entry, place))
    }

    fn has_entries(&self, section: &Section) -> bool {
        items(self.root, section.key).iter().any(|entry| said(entry, "mark").is_some())
    }

    /// Whether a fact is for the entries of a section, which has some.
    pub(super) fn on_entries(&self, section: &Section, key: FactKey) -> bool {
        let takes = self.catalogue.spec(key).is_some_and(|spec| section.takes(key, spec));
        takes && self.has_entries(section)
    }

    pub(super) fn asks_job(&self, key: FactKey, spec: &FactSpec) -> bool {
        let name = spec.name.as_ref();
        let by_mark = BELONGS.iter().any(|(section, _)| {
            let is_mark = section.within(name).is_some_and(|below| section.mark_is == Some(below));
            is_mark || self.on_entries(section, key)
        });
        let routine = match Home::of(self.catalogue, key) {
            Home::Routine(routine) => {
                let mut logged = items(self.root, routines::KEY).iter().filter_map(|row| scalar(said(row, "did")?));
                logged.any(|did| did == routine.did)
            }
            _ => false,
        };
        // What an entry has a line for and leaves empty is said of the shop file, and asked for where a rule needs it;
        // what is of this one job may be said in the record alone.
        let of_place = self.on_entries(&PLACES, key) && !OF_THIS_JOB.contains(&key);
        let of_mix = mix_takes(key, spec) && self.has_entries(&MATERIALS);
        let lists = [PLACES.key, MATERIALS.key, sheets::ROUNDS, sheets::DAYS];
        let inspected = name.starts_with("cage.inspected.") && self.any(sheets::ROUNDS, "cage");
        let stated = by_mark || routine || inspected || of_place || of_mix;
        !(stated || lists.into_iter().any(|list| self.any(list, name)))
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
            || sides
                .chain(daily.map(|entry| &entry.node))
                .chain(rounds)
                .any(|node| !is_blank(node) && has_line(node, place))
    }
}
