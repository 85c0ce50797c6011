//! The shop file: what lasts in a shop stands there once, and a record names it by mark.
//!
//! A short record and a shop file are put together into the long record that everything behind this module reads, by a
//! transformation of trees ([`expand`]); values keep their places in whichever file they stand. Nothing is guessed, and
//! nothing that is written twice is preferred: what cannot mean one thing only is refused.
//!
//! [`sections`] says what a shop file holds; the schemas and the template are made from it and from the catalogue. This
//! module must not know packs, rules or where files lie.

mod assemblies;
mod begun;
mod bench;
mod brought;
mod cards;
mod empty;
mod expand;
mod groups;
mod head_marks;
mod in_force;
mod instruments;
mod left_open;
mod lines;
mod logs;
mod machine_names;
mod machines;
mod marks;
mod midnight;
mod named;
mod nodes;
mod one_sheet;
mod other_places;
mod place_reads;
mod prune;
mod refusals;
mod routines;
mod schema;
pub mod sections;
mod settle;
mod shape;
mod sheets;
mod spelt;
mod template;
mod times;
mod values;

pub use empty::LeftEmpty;
pub use expand::{Expanded, UsedEntry, end_of_its_day, expand, expand_written};
pub use in_force::InForce;
pub use lines::{entry_line, later_reading, section_around};
pub use schema::{
    generate as generate_schema, generate_short as generate_short_schema, short_text as compiled_short_schema,
    text as compiled_schema,
};
pub use sections::{SECTIONS, Section};
pub use template::{blank_shop as blank_template, blank_short as blank_short_template};

use std::collections::BTreeSet;

use crate::document::{Code, Content, Document, Fault, Faults, Node};
use crate::units::{Day, Zone};
use crate::vocabulary::{FileSort, names_one_thing};
use marks::Marks;
use nodes::{entries, items, mark_of, said, scalar};

/// A shop file that can be drawn on: its marks are told apart, and whatever it names of itself is there.
#[derive(Debug, Clone)]
pub struct Shop {
    document: Document,
    zone: Zone,
    /// Whether both readers have read the whole file.
    confirmed: bool,
}

impl Shop {
    /// Takes a document as a shop file.
    ///
    /// # Errors
    /// Every fault of its shape, its zone and its marks.
    pub fn read(document: Document) -> Result<Self, Faults> {
        Self::checked(document, true, true)
    }

    /// Takes a file to be drawn on by a record: a shop file is long, and a record names a little of it. The second
    /// reading is made of what a record draws on, by [`expand`], and of the whole where anything is wrong with it.
    ///
    /// # Errors
    /// As [`Shop::read`], with those of the text before them.
    pub fn read_to_draw_on(name: &str, bytes: &[u8]) -> Result<Self, Faults> {
        let (document, confirmed) = Document::read_first(name, bytes)?;
        Self::checked(document, true, confirmed)
    }

    /// Takes the part of a shop file that a record drew on. Its entries may name others that the record did not need.
    ///
    /// # Errors
    /// As [`Shop::read`].
    pub fn read_part(document: Document) -> Result<Self, Faults> {
        Self::checked(document, false, true)
    }

    fn checked(document: Document, whole: bool, confirmed: bool) -> Result<Self, Faults> {
        match Self::zone_of(&document, whole) {
            Ok(zone) => Ok(Self { document, zone, confirmed }),
            Err(faults) if confirmed => Err(faults),
            // What the readers differ about comes before everything that follows from a reading.
            Err(faults) => document.confirm().and(Err(faults)),
        }
    }

    /// Makes the second reading of what a record draws on, or of the whole file where the part alone would be read
    /// otherwise.
    fn confirm(&self, used: &[UsedEntry]) -> Result<(), Faults> {
        if self.confirmed {
            return Ok(());
        }
        let (text, pieces) = prune::pruned(self, used);
        if Document::reads_as(&text, &pieces) { Ok(()) } else { self.document.confirm() }
    }

    /// Checks a file, and finds where the shop lies.
    fn zone_of(document: &Document, whole: bool) -> Result<Zone, Faults> {
        let root = document.root();
        if let Some(fault) = refusals::header(root, FileSort::Shop) {
            return Err(fault.in_source(document.source()).into());
        }
        let mut faults = Vec::new();
        if let Err(shape) = schema::check(document) {
            faults.extend(shape);
        }
        let zone = said(root, "zone").and_then(|node| {
            let found = Zone::find(scalar(node)?);
            found.map_err(|error| faults.push(refusals::zone(&error, node.span).in_source(document.source()))).ok()
        });
        let mut marks = Marks::of(document.source());
        for section in SECTIONS {
            marks.told_apart(root, section.key);
        }
        marks.told_apart(root, sheets::ROUNDS);
        if whole {
            marks.all_known(root);
        }
        faults.extend(marks.faults());
        Faults::none_of(faults)?;
        // The schema asks for a zone.
        Ok(zone.unwrap_or_else(Zone::universal))
    }

    /// Where the shop lies.
    pub const fn zone(&self) -> &Zone {
        &self.zone
    }

    /// What the shop calls itself.
    pub fn name(&self) -> Option<&str> {
        said(self.document.root(), "name").and_then(scalar)
    }

    /// The file as it is written.
    pub const fn document(&self) -> &Document {
        &self.document
    }

    /// The entries that a record used, word for word, as a shop file of their own: what of this one may be handed on with
    /// the record, to be read by [`Shop::read_part`].
    pub fn part(&self, used: &[UsedEntry]) -> String {
        prune::pruned(self, used).0
    }

    /// Every entry of every list: its section, its mark, if it has one, and its text.
    pub fn entries(&self) -> Vec<(&str, Option<&str>, &str)> {
        let lists = entries(self.document.root()).iter().map(|list| (list.key.as_str(), &list.node.value));
        let items = lists.flat_map(|(section, list)| match list {
            Content::List(items) => items.iter().map(|item| (section, item)).collect(),
            _ => Vec::new(),
        });
        let source = self.document.source();
        items.map(|(section, item)| (section, mark_of(item), source.slice(item.span))).collect()
    }

    /// The entry of a section that is called by a mark, with its place in the list.
    fn find(&self, section: &str, mark: &str) -> Option<(usize, &Node)> {
        called(self.document.root(), section, mark).next()
    }

    /// Of the entries that are called by a mark the one that is in force on a day; the first where none is.
    fn find_on(&self, section: &str, mark: &str, day: Option<Day>) -> Option<(usize, &Node)> {
        let mut called = called(self.document.root(), section, mark);
        called.clone().find(|(_, entry)| is_in_force(entry, day)).or_else(|| called.next())
    }

    /// The round that somebody walked by a sheet of a day: the one that it names, or the only one that there is.
    fn round_of(&self, walked: &Node, day: Option<Day>) -> Option<(usize, &Node)> {
        if let Some(mark) = mark_of(walked) {
            return self.find_on(sheets::ROUNDS, mark, day);
        }
        let mut rounds =
            items(self.document.root(), sheets::ROUNDS).iter().enumerate().filter(|(_, one)| !is_blank(one));
        // A line that is still empty is no round.
        let walked = said(walked, "at").and_then(scalar).and(rounds.next());
        walked.filter(|_| rounds.next().is_none())
    }

    /// Every mark of a section.
    fn marks(&self, section: &str) -> Vec<&str> {
        marks(self.document.root(), section)
    }

    /// The mark of the only entry that says this of itself.
    fn described_by(&self, section: &str, text: &str) -> Option<&str> {
        let says = |entry: &&Node| {
            entries(entry).iter().filter_map(|said| scalar(&said.node)).any(|said| names_one_thing(said, text))
        };
        let mut found = items(self.document.root(), section).iter().filter(says);
        let entry = found.next().filter(|_| found.next().is_none())?;
        mark_of(entry)
    }
}

fn called<'n>(root: &'n Node, section: &str, mark: &str) -> impl Iterator<Item = (usize, &'n Node)> + Clone {
    let is_called = move |(_, item): &(usize, &Node)| mark_of(item) == Some(mark);
    items(root, section).iter().enumerate().filter(is_called)
}

/// The first and the last day on which an entry is in force, as far as it says them.
fn days_of(entry: &Node) -> [Option<Day>; 2] {
    ["from", "until"].map(|key| said(entry, key).and_then(|node| times::day(node).ok()))
}

/// Whether an entry is in force on a day; on no day it is where it says none.
fn is_in_force(entry: &Node, day: Option<Day>) -> bool {
    let [from, until] = days_of(entry);
    match day {
        Some(day) => from.is_none_or(|from| from <= day) && until.is_none_or(|until| day <= until),
        None => from.is_none() && until.is_none(),
    }
}

/// Whether two entries are in force on one day.
fn overlap(one: &Node, other: &Node) -> bool {
    let ([from, until], [other_from, other_until]) = (days_of(one), days_of(other));
    let ends_before = |until: Option<Day>, from: Option<Day>| until.zip(from).is_some_and(|(until, from)| until < from);
    !ends_before(until, other_from) && !ends_before(other_until, from)
}

fn marks<'n>(root: &'n Node, section: &str) -> Vec<&'n str> {
    let mut marks: Vec<&str> = items(root, section).iter().filter_map(mark_of).collect();
    // An entry for each time of one thing has the same mark.
    let mut seen = BTreeSet::new();
    marks.retain(|mark| seen.insert(*mark));
    marks
}

/// Whether nothing is said in a tree: an entry that nobody has filled in yet.
fn is_blank(node: &Node) -> bool {
    match &node.value {
        Content::Null => true,
        Content::Map(entries) => entries.iter().all(|entry| is_blank(&entry.node)),
        _ => false,
    }
}

/// The fault of a program whose own tables do not fit together.
fn broken_program(what: &str) -> Fault {
    Fault::new(Code::RecordBrokenProgram, what).help("report this: the program is at fault, not the record")
}
