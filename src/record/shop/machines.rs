//! Whether a card is of the machine and of the place on which a tyre goes: by the name of the machine, with which the
//! mark of the tyre begins, and by the words for the place behind it.
//!
//! A card of another machine, or of another axle, brings another load and another pressure, and agrees with itself. Must not
//! know facts.

use super::expand::Expander;
use super::machine_names::{CardNames, MachineName, names_of};
use super::marks::Marks;
use super::nodes::{further, items, mark_of, said, scalar};
use super::refusals;
use super::sections::{MACHINES, MACHINES_OF, Section, WHEELS};
use super::{is_in_force, overlap};
use crate::document::{Node, Span};
use crate::vocabulary::plain_name;

impl<'a> Expander<'a> {
    /// The cards of a section that are in force on the day of the job, each with its names.
    fn named_cards(&self, section: &Section) -> impl Iterator<Item = (&'a Node, &[MachineName])> {
        let shop = self.shop;
        let names = shop.map(|shop| self.card_names.get_or_init(|| CardNames::of(shop)));
        let names = names.map_or(&[][..], |names| names.of_section(section));
        let cards = shop.map_or(&[][..], |shop| items(shop.document().root(), section.key));
        let day = self.day;
        let in_force = cards.iter().zip(names).filter(move |(entry, _)| is_in_force(entry, day));
        in_force.map(|(entry, names)| (entry, names.as_slice()))
    }

    /// The card that a name stands for which lists it under `of`; the name itself where an entry has it as its mark, or
    /// where not one card alone lists it.
    pub(super) fn card_by_name(&self, named: &Node) -> Node {
        let Some((shop, name)) = self.shop.zip(scalar(named)) else { return named.clone() };
        if shop.find(MACHINES.key, name).is_some() {
            return named.clone();
        }
        let lists = |entry: &&Node| {
            let mut listed = items(entry, MACHINES_OF).iter().filter_map(scalar);
            is_in_force(entry, self.day) && listed.any(|one| plain_name(one) == plain_name(name))
        };
        let mut cards = items(shop.document().root(), MACHINES.key).iter().filter(lists);
        match (cards.next().and_then(|card| said(card, "mark")), cards.next()) {
            (Some(mark), None) => Node { span: named.span, value: mark.value.clone() },
            _ => named.clone(),
        }
    }

    /// The marks of the cards of a section that are of a tyre, by the machine and the place that its mark names; none
    /// where it names no machine.
    pub(super) fn cards_of(&self, section: &Section, assembly: &Node) -> Vec<String> {
        let tyre = MachineName::of(mark_of(assembly).unwrap_or_default());
        if tyre.machine.is_none() {
            return Vec::new();
        }
        let fit = self.named_cards(section).filter(|(_, names)| names.iter().any(|named| named.fits(&tyre)));
        fit.filter_map(|(card, _)| mark_of(card)).map(str::to_owned).collect()
    }

    /// Refuses a card of another machine, or of another place on it, than the mark of the assembly names, and one
    /// beside which the shop has another card that is more of this tyre.
    pub(super) fn of_this_machine(&mut self, assembly: &Node, named: &Node) {
        let (Some(shop), Some(card)) = (self.shop, scalar(named)) else { return };
        let Some(mark) = said(assembly, "mark") else { return };
        let Some((_, entry)) = shop.find_on(MACHINES.key, card, self.day) else { return };
        let tyre = MachineName::of(scalar(mark).unwrap_or_default());
        let whole = scalar(mark).unwrap_or_default();
        let place = said(entry, "mark").map_or(named.span, |own| further(own.span, self.base));
        let at = (named.span, mark.span, place);
        let own_names: Vec<MachineName> = names_of(entry).map(|(_, name)| MachineName::of(name)).collect();
        let ours: Vec<&MachineName> = own_names.iter().filter(|named| named.fits(&tyre)).collect();
        let mut fit: Vec<&str> = Vec::new();
        let mut better: Vec<&str> = Vec::new();
        for (other, names) in self.named_cards(&MACHINES) {
            let Some(mark) = mark_of(other).filter(|_| !std::ptr::eq(other, entry)) else { continue };
            let theirs = || names.iter().filter(|named| named.fits(&tyre));
            if theirs().next().is_none() {
                continue;
            }
            fit.push(mark);
            if ours.iter().all(|ours| theirs().any(|other| ours.is_bettered(other, &tyre))) {
                better.push(mark);
            }
        }
        if ours.is_empty() {
            let same = !tyre.machine.is_none() && own_names.iter().any(|named| named.machine.is(&tyre.machine));
            // Of another machine the machine is told, and of another place on it the place.
            let of = if same || tyre.machine.is_none() { whole } else { without_place(whole) };
            self.refuse(refusals::other_machine((MACHINES.one, card), at, of, &fit));
        } else if !better.is_empty() {
            self.refuse(refusals::vaguer_card(card, at, whole, &better));
        }
    }

    /// Refuses the wheel card of another machine of the shop for a tyre whose own machine has a wheel card: the wheel of the
    /// next machine in the file fits its own tyre and its own ratings. A wheel that goes on both lists the other one.
    pub(super) fn wheel_of_this_machine(&mut self, assembly: &Node, named: &Node) {
        let (Some(shop), Some(card)) = (self.shop, scalar(named)) else { return };
        let Some(mark) = said(assembly, "mark") else { return };
        let Some((_, entry)) = shop.find_on(WHEELS.key, card, self.day) else { return };
        let whole = scalar(mark).unwrap_or_default();
        let tyre = MachineName::of(whole);
        if tyre.machine.is_none() {
            return;
        }
        let own_names: Vec<MachineName> = names_of(entry).map(|(_, name)| MachineName::of(name)).collect();
        let is_ours = |names: &[MachineName]| names.iter().any(|named| named.machine.is(&tyre.machine));
        let own: Vec<&str> = self
            .named_cards(&WHEELS)
            .filter(|(_, names)| is_ours(names))
            .filter_map(|(card, _)| mark_of(card))
            .collect();
        let machines = self.card_names.get().map_or(&[][..], |names| names.of_section(&MACHINES));
        let is_of_another = own_names.iter().any(|named| {
            let is = |known: &MachineName| known.machine.is_exactly(&named.machine);
            !named.machine.is_none() && machines.iter().flatten().any(is)
        });
        if !is_ours(&own_names) && is_of_another && !own.is_empty() {
            let place = said(entry, "mark").map_or(named.span, |own| further(own.span, self.base));
            let at = (named.span, mark.span, place);
            self.refuse(refusals::other_machine((WHEELS.one, card), at, without_place(whole), &own));
        }
    }
}

/// The machine in front of the place on it, as a mark writes both.
fn without_place(mark: &str) -> &str {
    mark.split(',').next().unwrap_or(mark).trim()
}

impl Marks<'_> {
    /// Refuses two cards that are for one place of one machine: which of them a record names would decide what it must hold.
    pub(super) fn one_card_each(&mut self, root: &Node) {
        let mut known: Vec<(&Node, MachineName, Span, &str)> = Vec::new();
        for entry in items(root, MACHINES.key) {
            for (node, text) in names_of(entry) {
                let named = MachineName::of(text);
                let twin = known.iter().find(|(other, known, ..)| {
                    !std::ptr::eq(*other, entry)
                        && known.machine.is_exactly(&named.machine)
                        && known.place() == named.place()
                        && overlap(other, entry)
                });
                let is_mark = |span: Span, entry: &Node| said(entry, "mark").is_some_and(|mark| mark.span == span);
                if let Some((other, _, span, before)) = twin {
                    // Two marks that are taken for one another are told as such.
                    let both = is_mark(*span, other) && is_mark(node.span, entry);
                    if !both || plain_name(before) != plain_name(text) {
                        self.refuse(refusals::two_cards(before, *span, node.span));
                    }
                }
                known.push((entry, named, node.span, text));
            }
        }
    }
}
