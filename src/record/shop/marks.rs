//! The marks of a shop file, held against one another: no two for one thing, and none named that is not there.
//!
//! Must not know records, nor what the entries say.

use std::borrow::Cow;

use super::nodes::{entries, items, mark_of, said, scalar};
use super::sections::{CREW, DAY_SECTIONS, LOTS, MACHINES, MACHINES_OF, MATERIALS, PLACES, ROUTINES, named_by_place};
use super::{called, days_of, is_blank, marks, overlap, refusals, routines, sheets, times};
use crate::document::{Fault, Node, Source, Span};
use crate::vocabulary::{name_fault, plain_name};

/// Letters by which a slip makes a mark longer.
const LONGER_BY_SLIP: usize = 1;

/// Holds the marks of a shop file against one another.
pub(super) struct Marks<'a> {
    source: &'a Source,
    faults: Vec<Fault>,
}

impl<'a> Marks<'a> {
    /// Those of a file in which nothing was found yet.
    pub(super) const fn of(source: &'a Source) -> Self {
        Self { source, faults: Vec::new() }
    }

    /// What was found.
    pub(super) fn faults(self) -> Vec<Fault> {
        self.faults
    }

    pub(super) fn refuse(&mut self, fault: Fault) {
        self.faults.push(fault.in_source(self.source));
    }

    /// Refuses marks of one section that would be taken for one another: by ear, or on a worn label.
    pub(super) fn told_apart(&mut self, root: &Node, section: &str) {
        for item in items(root, section) {
            if said(item, "mark").is_none() && !is_blank(item) {
                self.refuse(refusals::no_mark(section, item.span));
            }
        }
        let mut marked: Vec<(Cow<'_, str>, &str, &Node, Span)> = Vec::new();
        for item in items(root, section) {
            self.days(item);
            let Some((node, mark)) = said(item, "mark").and_then(|node| Some((node, scalar(node)?))) else { continue };
            marked.push((plain_name(mark.trim()), mark, item, node.span));
        }
        let mut names: Vec<&str> = marked.iter().map(|(name, ..)| &**name).collect();
        names.sort_unstable();
        if names.windows(2).all(|two| matches!(two, [one, other] if one != other)) {
            return;
        }
        for (index, (name, mark, item, span)) in marked.iter().enumerate() {
            // One mark may have an entry for each time: what it says then is told by the day.
            let mut alike = marked.iter().take(index).filter(|(other, ..)| other == name);
            let twin = alike.find(|(_, before, other, _)| before != mark || overlap(other, item));
            if let Some((_, before, other, place)) = twin {
                let are_dated =
                    before == mark && [*other, *item].into_iter().flat_map(days_of).any(|day| day.is_some());
                let fault = refusals::mark_twice(section, before, [*place, *span], are_dated);
                self.faults.push(fault.in_source(self.source));
            }
        }
    }

    /// Refuses days that are none, and an entry that is in force on no day.
    fn days(&mut self, entry: &Node) {
        let [from, until] = ["from", "until"].map(|key| {
            let node = said(entry, key)?;
            times::day(node).map_err(|fault| self.refuse(fault)).ok().map(|day| (day, node.span))
        });
        if let Some((from, until)) = from.zip(until).filter(|(from, until)| until.0 < from.0) {
            self.refuse(refusals::never_in_force((from.0, until.0), (from.1, until.1)));
        }
    }

    /// Refuses what names an entry that is not there.
    pub(super) fn all_known(&mut self, root: &Node) {
        for place in items(root, PLACES.key) {
            for (section, key) in named_by_place() {
                self.known(root, section.key, section.one, said(place, key));
            }
        }
        for lot in items(root, LOTS.key) {
            self.known(root, MATERIALS.key, MATERIALS.one, said(lot, "material"));
        }
        for row in items(root, routines::KEY) {
            let did = said(row, "did").and_then(scalar);
            let routine = ROUTINES.iter().find(|routine| Some(routine.did) == did);
            if let Some(routine) = routine {
                self.known(root, routine.section.key, routine.section.one, said(row, "of"));
            }
            // A laboratory is nobody of the crew, however short its name is.
            if routine.is_none_or(|routine| !routine.states_due) {
                self.person_known(root, said(row, "by"));
            }
        }
        for round in items(root, sheets::ROUNDS) {
            self.known(root, PLACES.key, PLACES.one, said(round, "place"));
            for met in items(round, sheets::MET) {
                self.known(root, CREW.key, CREW.one, Some(met));
            }
        }
        for card in items(root, MACHINES.key) {
            for (node, machine) in items(card, MACHINES_OF).iter().filter_map(|node| Some((node, scalar(node)?))) {
                if let Some(fault) = name_fault(machine) {
                    self.refuse(refusals::no_name(machine, fault.description(), node.span));
                }
            }
        }
        self.one_card_each(root);
        self.one_sheet_says_one_thing(root);
        for sheet in items(root, sheets::DAYS) {
            if said(sheet, "day").is_none() && !is_blank(sheet) {
                self.refuse(refusals::sheet_without_day(sheet.span));
            }
            self.person_known(root, said(sheet, "round").and_then(|round| said(round, "by")));
            self.known(root, PLACES.key, PLACES.one, said(sheet, "place"));
            if let Some(round) = said(sheet, "round") {
                self.known(root, sheets::ROUNDS, "round", said(round, "mark"));
                let rounds = items(root, sheets::ROUNDS).iter().filter(|one| !is_blank(one)).count();
                let is_walked = said(round, "at").and_then(scalar).is_some();
                if is_walked && mark_of(round).is_none() && rounds > 1 {
                    self.refuse(refusals::which_round(round.span, rounds));
                }
            }
            for section in DAY_SECTIONS {
                for entry in said(sheet, section.key).map(entries).unwrap_or_default() {
                    self.named(root, section.key, section.one, &entry.key, entry.key_span);
                }
            }
        }
    }

    /// Refuses who is named by a mark that nobody has. A name has a blank; a house of one word is longer than any mark.
    fn person_known(&mut self, root: &Node, by: Option<&Node>) {
        let Some((node, text)) = by.and_then(|node| Some((node, scalar(node)?))) else { return };
        let letters = |text: &str| text.chars().count();
        let longest = marks(root, CREW.key).into_iter().map(letters).max().unwrap_or_default();
        if let Some(fault) = name_fault(text) {
            self.refuse(refusals::no_name(text, fault.description(), node.span));
        } else if !text.contains(' ') && letters(text) <= longest + LONGER_BY_SLIP {
            self.named(root, CREW.key, CREW.one, text, node.span);
        }
    }

    fn known(&mut self, root: &Node, section: &str, one: &str, mark: Option<&Node>) {
        if let Some((node, mark)) = mark.and_then(|node| Some((node, scalar(node)?))) {
            self.named(root, section, one, mark, node.span);
        }
    }

    fn named(&mut self, root: &Node, section: &str, one: &str, mark: &str, span: Span) {
        if called(root, section, mark).next().is_none() {
            self.refuse(refusals::unknown_mark(one, section, mark, span, &marks(root, section)));
        }
    }
}
