//! Whether a card is of the machine and of the place on which a tyre goes: by the name of the machine, with which the mark of
//! the tyre begins, and by the words for the place behind it.
//!
//! A card of another machine, or of another axle, brings another load and another pressure, and agrees with itself. Must not
//! know facts.

use std::cell::OnceCell;

use super::expand::Expander;
use super::nodes::{further, items, mark_of, said, scalar};
use super::refusals;
use super::sections::{MACHINES, MACHINES_OF, Section, WHEELS};
use super::{Marks, Shop, is_in_force, overlap};
use crate::document::{Node, Span};
use crate::vocabulary::{TyrePlace, plain_name};

/// Words for the place of a tyre, which name no machine.
const PLACES_ON: &[&str] = &[
    "left", "right", "front", "rear", "inner", "outer", "middle", "axle", "lf", "rf", "lr", "rr", "spare", "wheel",
    "tyre", "tire",
];

/// Letters up to which a name may be an abbreviation of another one.
const ABBREVIATION: usize = 3;

/// A machine in front of which a place is read, so that its words are taken for those of a place.
const ANY_MACHINE: &str = "m 1 ";

/// The machine that a text begins with: its words up to the first with a digit, or all of them up to the first comma, without
/// those for the place.
#[derive(Debug, PartialEq, Eq)]
struct Machine {
    words: Vec<String>,
    /// The digits of its number, if it has one.
    number: String,
}

/// A machine, and what stands in front of its words and behind them.
#[derive(Debug)]
pub(super) struct MachineName {
    machine: Machine,
    around: [String; 2],
    /// The place on the machine, where it was asked for.
    place: OnceCell<TyrePlace>,
}

impl MachineName {
    fn of(text: &str) -> Self {
        let plain = plain_name(text);
        let comma = plain.find(',').unwrap_or(plain.len());
        let first = Self::read(&plain, 0, comma);
        // `left front, loader 4`: the place may stand first.
        let second = first.machine.is_none().then(|| Self::read(&plain, comma, plain.len()));
        match second {
            Some(second) if !second.machine.words.is_empty() && !second.machine.number.is_empty() => second,
            _ => first,
        }
    }

    /// Reads the machine between two places of a text.
    fn read(plain: &str, from: usize, to: usize) -> Self {
        let (mut words, mut number) = (Vec::new(), String::new());
        let (mut first, mut last) = (None, from);
        let part = plain.get(from..to).unwrap_or_default();
        let mut at = from;
        for word in part.split(|c: char| !c.is_alphanumeric()) {
            let begin = at;
            let end = begin + word.len();
            at = end + plain.get(end..).and_then(|rest| rest.chars().next()).map_or(0, char::len_utf8);
            if word.is_empty() || PLACES_ON.contains(&word) {
                continue;
            }
            first.get_or_insert(begin);
            last = end;
            let letters: String = word.chars().filter(|c| !c.is_numeric()).collect();
            number = word.chars().filter(|c| c.is_numeric()).collect();
            words.extend((!letters.is_empty()).then_some(letters));
            if !number.is_empty() {
                break;
            }
        }
        let text = |range: std::ops::Range<usize>| plain.get(range).unwrap_or_default().to_owned();
        let around = [text(0..first.unwrap_or(from)), text(last..plain.len())];
        Self { machine: Machine { words, number }, around, place: OnceCell::new() }
    }

    /// The place on the machine. In front of its name words count only where they say an end of an axle: a front loader is a
    /// machine, and so is a rear loader.
    fn place(&self) -> &TyrePlace {
        self.place.get_or_init(|| {
            let [before, behind] = &self.around;
            let in_front = TyrePlace::of(&format!("{ANY_MACHINE}{before}"));
            if in_front.has_side() {
                return TyrePlace::of(&format!("{ANY_MACHINE}{before} {behind}"));
            }
            TyrePlace::of(&format!("{ANY_MACHINE}{behind}"))
        })
    }

    /// Whether a card of this name may be that of a tyre.
    fn fits(&self, tyre: &Self) -> bool {
        (tyre.machine.is_none() || self.machine.is(&tyre.machine)) && !self.place().says_otherwise(tyre.place())
    }

    /// Whether another name fits a tyre better than this one: it is the name of the machine letter by letter, where this one
    /// is only like it, or it says more of the place.
    fn is_bettered(&self, other: &Self, tyre: &Self) -> bool {
        if !other.fits(tyre) {
            return false;
        }
        let is_exact = |named: &Self| named.machine.is_exactly(&tyre.machine);
        match (is_exact(self), is_exact(other)) {
            _ if tyre.machine.is_none() && !self.machine.is_exactly(&other.machine) => false,
            (false, true) if !tyre.machine.is_none() => true,
            (true, false) => false,
            _ => other.place().says_more_than(self.place()),
        }
    }
}

impl Machine {
    /// Whether a text names no machine at all: `left front` of the only one there is.
    const fn is_none(&self) -> bool {
        self.words.is_empty() && self.number.is_empty()
    }

    /// Whether the words and the number are the same.
    fn is_exactly(&self, other: &Self) -> bool {
        self.number == other.number && self.words.concat() == other.words.concat()
    }

    /// Whether two texts can mean one machine: one number, and one name or an abbreviation of it.
    fn is(&self, other: &Self) -> bool {
        if self.number != other.number {
            return false;
        }
        let name = |machine: &Self| machine.words.concat();
        let initials = |machine: &Self| machine.words.iter().filter_map(|word| word.chars().next()).collect::<String>();
        let short = |one: &Self, other: &Self| {
            let one_name = name(one);
            one_name.chars().count() <= ABBREVIATION
                && !one_name.is_empty()
                && (initials(other) == one_name || name(other).starts_with(&one_name))
        };
        let same_name = name(self) == name(other) || short(self, other) || short(other, self);
        // Without numbers the one may say more than the other: `front loader`, `front loader of the quarry`.
        let begins = self.number.is_empty() && self.words.iter().zip(&other.words).all(|(one, other)| one == other);
        same_name || begins
    }
}

/// What a card is for: the machine of its mark, and those that it lists.
fn names_of(entry: &Node) -> impl Iterator<Item = (&Node, &str)> {
    let listed = items(entry, MACHINES_OF).iter();
    said(entry, "mark").into_iter().chain(listed).filter_map(|node| Some((node, scalar(node)?)))
}

/// The names of every card of machines and of wheels, in the order of the file: they are asked for of every tyre.
#[derive(Debug)]
pub(super) struct CardNames {
    machines: Vec<Vec<MachineName>>,
    wheels: Vec<Vec<MachineName>>,
}

impl CardNames {
    fn of(shop: &Shop) -> Self {
        let all = |section: &Section| -> Vec<Vec<MachineName>> {
            let names = |entry: &Node| names_of(entry).map(|(_, name)| MachineName::of(name)).collect();
            items(shop.document().root(), section.key).iter().map(names).collect()
        };
        Self { machines: all(&MACHINES), wheels: all(&WHEELS) }
    }
}

impl<'a> Expander<'a> {
    /// The cards of a section that are in force on the day of the job, each with its names.
    fn named_cards(&self, section: &Section) -> impl Iterator<Item = (&'a Node, &[MachineName])> {
        let shop = self.shop;
        let names = shop.map(|shop| self.card_names.get_or_init(|| CardNames::of(shop)));
        let names = names.map_or(&[][..], |names| if *section == WHEELS { &names.wheels } else { &names.machines });
        let cards = shop.map_or(&[][..], |shop| items(shop.document().root(), section.key));
        let day = self.day;
        let in_force = cards.iter().zip(names).filter(move |(entry, _)| is_in_force(entry, day));
        in_force.map(|(entry, names)| (entry, names.as_slice()))
    }

    /// The card that a name stands for which lists it under `of`; the name itself where an entry has it as its mark, or where
    /// not one card alone lists it.
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

    /// The marks of the cards of a section that are of a tyre, by the machine and the place that its mark names; none where it
    /// names no machine.
    pub(super) fn cards_of(&self, section: &Section, assembly: &Node) -> Vec<String> {
        let tyre = MachineName::of(mark_of(assembly).unwrap_or_default());
        if tyre.machine.is_none() {
            return Vec::new();
        }
        let fit = self.named_cards(section).filter(|(_, names)| names.iter().any(|named| named.fits(&tyre)));
        fit.filter_map(|(card, _)| mark_of(card)).map(str::to_owned).collect()
    }

    /// Refuses a card of another machine, or of another place on it, than the mark of the assembly names, and one beside which
    /// the shop has another card that is more of this tyre.
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
        let machines = self.card_names.get().map_or(&[][..], |names| &names.machines);
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

#[cfg(test)]
mod tests;
