//! Whether every entry of a shop file can be drawn on, whether or not a record does.
//!
//! A record reads what it names, so that a slip in another entry would wait for the morning on which somebody names that
//! one. Each entry is read as a record that says nothing else, by the reader of records; beside that the people are read as
//! one crew. Must not know rules.

use std::collections::BTreeSet;

use super::brought::STANDS_AT_PLACES;
use super::empty::is_not_begun;
use super::nodes::{at_place, entries, items, mark_of, said, said_at, scalar, standing_for, take};
use super::sections::{
    CREW, INSTRUMENTS, LOTS, MATERIALS, MIX, PLACES, SECTIONS, Section, TYRES, UNCERTAINTY, UNLISTED,
};
use super::sheets::{DAYS, MET, ROUNDS};
use super::times::{self, Keys, WrittenIn};
use super::{Shop, cards, overlap, refusals, routines};
use crate::document::{Code, Content, Document, Entry, Fault, Faults, Node, Span};
use crate::record::read::{faults_of_part, read_value};
use crate::record::{Catalogue, FactKind};
use crate::vocabulary::Subject;

impl Shop {
    /// Reads every value of every entry, sheet, round and row, and gives how many there are in which anything is written.
    ///
    /// # Errors
    /// Everything for which a record that draws on it would be refused, with its place and cure.
    pub fn read_values(&self, catalogue: &Catalogue) -> Result<usize, Faults> {
        let root = self.document().root();
        let mut reader = ValueReader {
            shop: self,
            catalogue,
            keys: Keys::of(catalogue),
            instruments: INSTRUMENTS
                .iter()
                .map(|(section, _)| (section.key, first_of_each(root, section.key)))
                .collect(),
            faults: Vec::new(),
            entries: 0,
        };
        for section in SECTIONS {
            for item in items(root, section.key) {
                let entry = reader.entry(item, WrittenIn::Entry);
                if *section == &PLACES {
                    for instrument in UNLISTED {
                        let doubt = said(&entry, instrument.group).and_then(|group| said(group, UNCERTAINTY));
                        let kind = catalogue.spec(instrument.reads).map(|spec| &spec.kind);
                        if let Some(FactKind::Reading(dimension)) = kind {
                            reader.value(doubt, &FactKind::Quantity(*dimension));
                        }
                    }
                }
                if *section == &TYRES {
                    reader.named_as_it_is(&entry);
                }
                reader.read(as_record(section, entry));
            }
        }
        for round in items(root, ROUNDS) {
            let round = reader.entry(round, WrittenIn::Entry);
            reader.of_day(round, &[("each_lot", Subject::Component), ("each_person", Subject::Person)], false);
        }
        for sheet in items(root, DAYS) {
            match said(sheet, "day").map(times::day) {
                Some(Ok(day)) => {
                    let sheet = reader.entry(sheet, WrittenIn::Sheet(day));
                    reader.named_by_head(&sheet);
                    reader.of_day(sheet, &[(LOTS.key, Subject::Component), (CREW.key, Subject::Person)], true);
                }
                Some(Err(fault)) => reader.refuse(fault),
                None => {}
            }
        }
        reader.log();
        reader.at_one_place();
        reader.crew();
        let ValueReader { faults, entries, .. } = reader;
        Faults::none_of(faults)?;
        Ok(entries)
    }
}

/// The first entry of each mark: of one thing a record names one.
fn first_of_each(root: &Node, section: &str) -> Vec<Node> {
    let mut seen = BTreeSet::new();
    items(root, section).iter().filter(|item| mark_of(item).is_some_and(|mark| seen.insert(mark))).cloned().collect()
}

fn list_of(key: &str, items: Vec<Node>) -> Node {
    let span = items.first().map_or(Span::new(0, 0), |first| first.span);
    standing_for(key, Node { span, value: Content::List(items) })
}

/// Adds to a record what stands in another one under keys of its own.
fn add(into: &mut Node, from: Node) {
    if let (Content::Map(entries), Content::Map(more)) = (&mut into.value, from.value) {
        entries.extend(more);
    }
}

struct ValueReader<'a> {
    shop: &'a Shop,
    catalogue: &'a Catalogue,
    keys: Keys<'a>,
    /// The instruments of the shop, by their sections.
    instruments: Vec<(&'static str, Vec<Node>)>,
    faults: Vec<Fault>,
    entries: usize,
}

impl ValueReader<'_> {
    /// Notes a fault; of one place only the first, which the others follow from.
    fn refuse(&mut self, fault: Fault) {
        if self.faults.iter().all(|known| known.span() != fault.span()) {
            self.faults.push(fault.in_source(self.shop.document().source()));
        }
    }

    /// An entry with its times made into instants.
    fn entry(&mut self, item: &Node, of: WrittenIn) -> Node {
        self.entries += usize::from(!is_not_begun(item));
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

    /// What a record is refused for that says this, and has the instruments of the shop.
    fn faults_of(&self, mut record: Node) -> Vec<Fault> {
        for (key, instruments) in &self.instruments {
            if record.entry(key).is_none() {
                add(&mut record, list_of(key, instruments.clone()));
            }
        }
        let document = Document::composed(self.shop.document().source().clone(), record);
        faults_of_part(&document, self.catalogue)
    }

    fn read(&mut self, record: Node) {
        for fault in self.faults_of(record) {
            self.refuse(fault);
        }
    }

    /// Reads a sheet or a round: what it says of the job, and of each lot and person by itself.
    fn of_day(&mut self, mut sheet: Node, groups: &[(&str, Subject)], by_mark: bool) {
        take(&mut sheet, MET);
        for (key, subject) in groups {
            let Some(Entry { node, .. }) = take(&mut sheet, key) else { continue };
            let facts: Vec<Node> =
                if by_mark { entries(&node).iter().map(|entry| entry.node.clone()).collect() } else { vec![node] };
            for facts in facts {
                self.read(of_subject(*subject, None, facts));
            }
        }
        self.read(sheet);
    }

    /// Refuses the card of a tyre whose mark says another one.
    fn named_as_it_is(&mut self, card: &Node) {
        let mark = said(card, "mark").and_then(|mark| Some((scalar(mark)?, mark.span)));
        if let Some(fault) = mark.and_then(|(mark, span)| cards::other_tyre(mark, span, card)) {
            self.refuse(fault);
        }
    }

    /// Refuses the instrument at the head of a sheet that the shop does not have.
    fn named_by_head(&mut self, sheet: &Node) {
        let root = self.shop.document().root();
        for (section, key) in INSTRUMENTS {
            let Some(node) = said_at(sheet, "read").and_then(|read| said(read, key)) else { continue };
            let Some(mark) = scalar(node).filter(|mark| self.shop.find(section.key, mark).is_none()) else { continue };
            let known = super::marks(root, section.key);
            self.refuse(refusals::unknown_mark(section.one, section.key, mark, node.span, &known));
        }
    }

    /// Reads all people as one crew: two marks of one name are in no record together.
    fn crew(&mut self) {
        let people = first_of_each(self.shop.document().root(), CREW.key);
        let people = people.into_iter().filter(|person| said(person, "name").is_some());
        self.read(list_of("people", people.map(|person| without_mark(&CREW, person)).collect()));
    }

    /// Reads when each row of the log was done, and until when it is good.
    fn log(&mut self) {
        let mut rows = Vec::new();
        for row in items(self.shop.document().root(), routines::KEY) {
            let row = self.entry(row, WrittenIn::Row);
            rows.push(row.clone());
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
        for fault in routines::faults_of_log(&rows, self.catalogue, self.shop.zone()) {
            self.refuse(fault);
        }
    }

    /// Refuses a pump or a cage that two places name as theirs on one day: a job at either is held to none of them.
    fn at_one_place(&mut self) {
        let places = items(self.shop.document().root(), PLACES.key);
        for (section, key) in STANDS_AT_PLACES {
            for (index, place) in places.iter().enumerate() {
                let Some(named) = said(place, key) else { continue };
                let is_twin =
                    |other: &&Node| overlap(other, place) && said(other, key).and_then(scalar) == scalar(named);
                if let Some(first) = places.iter().take(index).find(is_twin).and_then(|other| said(other, key)) {
                    self.refuse(at_two_places(
                        (section.one, scalar(named).unwrap_or_default()),
                        first.span,
                        named.span,
                    ));
                }
            }
        }
    }
}

fn at_two_places((one, mark): (&str, &str), first: Span, second: Span) -> Fault {
    Fault::new(Code::ShopOtherPlace, format!("two places name the {one} `{mark}` as theirs"))
        .label(second, "this one")
        .label(first, "and this one")
        .help("leave it at the place where it stands; a job elsewhere says from where it was brought, behind `brought_from`")
}

/// The facts of an entry, with its mark where that is a fact.
fn without_mark(section: &Section, mut entry: Node) -> Node {
    let mark = take(&mut entry, "mark");
    if let (Some(key), Some(mark), Content::Map(entries)) = (section.mark_is, mark, &mut entry.value) {
        entries.push(Entry { key: key.into(), ..mark });
    }
    entry
}

/// The record that says of one thing what an entry says.
fn as_record(section: &Section, entry: Node) -> Node {
    let mut facts = without_mark(section, entry);
    if *section == MATERIALS {
        let mix = take(&mut facts, MIX);
        let mut record = standing_for("components", facts);
        if let (Content::Map(entries), Some(mix)) = (&mut record.value, mix) {
            entries.push(mix);
        }
        return record;
    }
    let side = take(&mut facts, "side");
    let side = side.as_ref().and_then(|side| scalar(&side.node));
    let base = section.base.trim_end_matches('.');
    let facts = if base.is_empty() { facts } else { at_place(base, facts) };
    of_subject(section.subject, side, facts)
}

/// The record that says this of one thing; of a side of the mix of either where it is of both.
fn of_subject(subject: Subject, side: Option<&str>, facts: Node) -> Node {
    match (subject, subject.record_key()) {
        (_, None) => facts,
        (Subject::Component, Some(key)) => standing_for(key, standing_for(side.unwrap_or("isocyanate"), facts)),
        (_, Some(key)) => list_of(key, vec![facts]),
    }
}
