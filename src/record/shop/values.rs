//! Whether every value of a shop file can be read, whether or not a record draws on it.
//!
//! A record reads what it names, so that a slip in another entry would wait for the morning on which somebody names that
//! one. Must not know records or rules.

use super::nodes::{entries, items, said, said_at};
use super::sections::{MATERIALS, MIX, SCALE_DOUBT, SECTIONS};
use super::sheets::{DAYS, ROUNDS};
use super::times::{self, Keys, WrittenIn};
use super::{Shop, refusals, routines};
use crate::document::{Fault, Faults, Node};
use crate::record::read::read_value;
use crate::record::{Catalogue, FactKind};
use crate::units::Dimension;
use crate::vocabulary::Subject;

impl Shop {
    /// Reads every value of every entry, sheet, round and row, and gives how many entries there are.
    ///
    /// # Errors
    /// Every value that cannot be read, with its place and cure.
    pub fn read_values(&self, catalogue: &Catalogue) -> Result<usize, Faults> {
        let mut reader =
            ValueReader { shop: self, catalogue, keys: Keys::of(catalogue), faults: Vec::new(), entries: 0 };
        let root = self.document().root();
        for section in SECTIONS {
            for item in items(root, section.key) {
                let item = reader.entry(item, WrittenIn::Entry);
                if *section == &MATERIALS {
                    for side in super::expand::SIDES {
                        reader.facts_of(said(&item, side), Subject::Component, "");
                    }
                    reader.facts_of(said(&item, MIX), Subject::Job, "mix.");
                } else {
                    reader.facts_of(Some(&item), section.subject, section.base);
                    reader.value(said(&item, SCALE_DOUBT.0).and_then(|scale| said(scale, SCALE_DOUBT.1)), &SCALE_KIND);
                }
            }
        }
        for round in items(root, ROUNDS) {
            let round = reader.entry(round, WrittenIn::Entry);
            reader.facts_of(Some(&round), Subject::Job, "");
            reader.facts_of(said(&round, "each_lot"), Subject::Component, "");
            reader.facts_of(said(&round, "each_person"), Subject::Person, "");
        }
        for sheet in items(root, DAYS) {
            match said(sheet, "day").map(times::day) {
                Some(Ok(day)) => reader.sheet(sheet, WrittenIn::Sheet(day)),
                Some(Err(fault)) => reader.refuse(fault),
                None => {}
            }
        }
        reader.log();
        let ValueReader { faults, entries, .. } = reader;
        Faults::none_of(faults)?;
        Ok(entries)
    }
}

/// What the doubt of the scales of a place is.
const SCALE_KIND: FactKind = FactKind::Quantity(Dimension::Mass);

struct ValueReader<'a> {
    shop: &'a Shop,
    catalogue: &'a Catalogue,
    keys: Keys<'a>,
    faults: Vec<Fault>,
    entries: usize,
}

impl ValueReader<'_> {
    fn refuse(&mut self, fault: Fault) {
        self.faults.push(fault.in_source(self.shop.document().source()));
    }

    /// An entry with its times made into instants.
    fn entry(&mut self, item: &Node, of: WrittenIn) -> Node {
        self.entries += 1;
        let (mut item, mut faults) = (item.clone(), Vec::new());
        self.keys.expand(&mut item, of, self.shop.zone(), &mut faults);
        for fault in faults {
            self.refuse(fault);
        }
        for key in ["from", "until"] {
            if let Some(Err(fault)) = said(&item, key).map(times::day) {
                self.refuse(fault);
            }
        }
        item
    }

    fn value(&mut self, node: Option<&Node>, kind: &FactKind) {
        if let Some(Err(fault)) = node.map(|node| read_value(kind, node)) {
            self.refuse(*fault);
        }
    }

    /// Reads the values of the facts of a subject whose names begin so.
    fn facts_of(&mut self, node: Option<&Node>, subject: Subject, base: &str) {
        let Some(node) = node else { return };
        for spec in self.catalogue.of(subject) {
            self.value(spec.name.strip_prefix(base).and_then(|place| said_at(node, place)), &spec.kind);
        }
    }

    fn sheet(&mut self, sheet: &Node, of: WrittenIn) {
        let sheet = self.entry(sheet, of);
        self.facts_of(Some(&sheet), Subject::Job, "");
        for (list, subject) in [("lots", Subject::Component), ("crew", Subject::Person)] {
            for entry in said(&sheet, list).map(entries).unwrap_or_default() {
                self.facts_of(Some(&entry.node), subject, "");
            }
        }
    }

    /// Reads when each row of the log was done, and until when it is good.
    fn log(&mut self) {
        for row in items(self.shop.document().root(), routines::KEY) {
            let row = self.entry(row, WrittenIn::Row);
            let takes_a_time_alone = said(&row, "did").is_some_and(|did| routines::asks_for_time(self.catalogue, did));
            if let Some(due) = said(&row, "due").map(times::day).and_then(Result::err) {
                self.refuse(due);
            }
            let Some(at) = said(&row, "at") else { continue };
            match times::day(at) {
                _ if super::nodes::instant(at).is_some() => {}
                Err(fault) => self.refuse(fault),
                Ok(_) if takes_a_time_alone => self.refuse(refusals::no_time_of_day(at.span)),
                Ok(_) => {}
            }
        }
    }
}
