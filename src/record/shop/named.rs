//! The entry of the shop file that a mark names: found, in force on the day of its use, and with what the log of
//! routines says.
//!
//! Must not know where in the record its facts go.

use std::cmp::Ordering;

use super::expand::{Expander, SIDES};
use super::nodes::{
    at_mut, at_place, further, items_mut, lay, moved, said, said_at, scalar, standing_for, take, value_mut,
};
use super::sections::{BELONGS, CREW, LOTS, MACHINES_OF, MATERIALS, Section, TYRES};
use super::times::WrittenIn;
use super::{cards, is_in_force, refusals, times};
use crate::document::{Content, Node, Span};
use crate::record::FactSpec;
use crate::record::catalogue::HoldsFor;
use crate::record::read::read_value;
use crate::units::Day;
use crate::vocabulary::{Misnomer, NameOf, misnomer};

impl Expander<'_> {
    /// The facts of an entry that is named, in the places of the texts laid end to end, with what the log of routines says;
    /// nothing where there is none, which is refused.
    pub(super) fn entry(&mut self, section: &Section, named: &Node) -> Option<Node> {
        self.entry_on(section, named, self.day)
    }

    /// As [`Expander::entry`], for what was used on another day than that of the job.
    pub(super) fn entry_on(&mut self, section: &Section, named: &Node, day: Option<Day>) -> Option<Node> {
        let lots = |mark: &str| misnomer(NameOf::Lot, mark) == Some(Misnomer::Lots);
        let known = |mark: &str| self.shop.is_some_and(|shop| shop.find(section.key, mark).is_some());
        let is_list = matches!(named.value, Content::List(_));
        if *section == LOTS && (is_list || scalar(named).is_some_and(|mark| lots(mark) && !known(mark))) {
            self.refuse(refusals::several_lots(named.span));
            return None;
        }
        let Some(mark) = scalar(named) else {
            let what = format!("the mark of a {}", section.one);
            self.refuse(refusals::shape(&what, &format!("write it like `{}`", section.example), named.span));
            return None;
        };
        let Some(shop) = self.shop else {
            self.refuse(refusals::no_shop(section.one, mark, named.span));
            return None;
        };
        let Some((index, entry)) = shop.find_on(section.key, mark, day) else {
            let known = shop.marks(section.key);
            self.refuse(match shop.described_by(section.key, mark) {
                Some(meant) => refusals::described(section.one, mark, meant, named.span),
                None => refusals::unknown_mark(section.one, section.key, mark, named.span, &known),
            });
            return None;
        };
        self.in_force(section.one, mark, named.span, entry, day);
        self.note(section.key, index);
        let mut facts = moved(entry, self.base);
        let own = take(&mut facts, "mark").map_or(facts.span, |mark| mark.node.span);
        if *section == TYRES {
            let other = cards::other_tyre(mark, own, &facts);
            if let Some(fault) = other {
                self.refuse(fault);
            }
        }
        for key in ["from", "until", MACHINES_OF] {
            take(&mut facts, key);
        }
        if day == self.day {
            self.as_on_the_evening(section, (mark, index), &mut facts);
        }
        self.times(&mut facts, WrittenIn::Entry);
        self.with_routines(&mut facts, section, mark);
        // A material says its facts side by side.
        if *section != MATERIALS {
            self.unsaid(section, &mut facts, own);
        }
        Some(facts)
    }

    /// Where a mark had another entry on the day at the head than on that of the start, of what both state that counts which
    /// lets less pass: air goes in on the one day, and the fill on the other.
    fn as_on_the_evening(&mut self, section: &Section, (mark, index): (&str, usize), facts: &mut Node) {
        let evening = self.header.filter(|header| self.day.is_some_and(|day| *header < day));
        let Some((shop, evening)) = self.shop.zip(evening) else { return };
        let Some((other_index, other)) = shop.find_on(section.key, mark, Some(evening)) else { return };
        if other_index == index || !is_in_force(other, Some(evening)) {
            return;
        }
        let specs = self.catalogue.keys_of(section.subject).filter_map(|key| Some((key, self.catalogue.spec(key)?)));
        for (key, spec) in specs.filter(|(key, spec)| section.takes(*key, spec)) {
            let Some(place) = section.within(&spec.name) else { continue };
            let (Some(own), Some(of_evening)) = (at_mut(facts, place), said_at(other, place)) else { continue };
            let values = read_value(&spec.kind, own).ok().zip(read_value(&spec.kind, of_evening).ok());
            let order = values.and_then(|(own, of_evening)| self.in_force.less_safe(key, &own, &of_evening));
            if order == Some(Ordering::Greater) {
                *own = moved(of_evening, self.base);
            }
        }
        self.note(section.key, other_index);
    }

    /// Notes of every fact that an entry may state and does not that nothing is said of it there: what asks for the fact
    /// is shown the entry, and not the line that names it.
    pub(super) fn unsaid(&self, section: &Section, facts: &mut Node, at: Span) {
        for spec in self.taken(section) {
            let Some(place) = section.within(&spec.name) else { continue };
            if said_at(facts, place).is_none() {
                let nothing = Node { span: at, value: Content::Null };
                lay(facts, at_place(place, nothing), &mut Vec::new());
            }
        }
    }

    /// Refuses an entry that is not in force on the day of its use.
    pub(super) fn in_force(&mut self, one: &str, mark: &str, named: Span, entry: &Node, day: Option<Day>) {
        for key in ["from", "until"] {
            let Some(node) = said(entry, key) else { continue };
            // A day that is none was refused with the file.
            let Ok(bound) = times::day(node) else { continue };
            match day {
                None => self.refuse(refusals::no_day(one, mark, named)),
                Some(day) if (key == "from" && day < bound) || (key == "until" && day > bound) => {
                    let place = further(node.span, self.base);
                    self.refuse(refusals::not_in_force(one, mark, day, named, (key, place)));
                }
                Some(_) => {}
            }
        }
    }

    /// Whether a mapping that says its own mark draws on the shop file: it does if an entry has the mark, and if it states
    /// nothing else, so that a slip in the mark is not taken for an entry of the record's own.
    pub(super) fn draws_on(&self, section: &Section, group: &Node, mark: &Node) -> bool {
        let Some(shop) = self.shop else { return false };
        let known = scalar(mark).is_some_and(|mark| shop.find(section.key, mark).is_some());
        let lasting = |spec: &FactSpec| spec.asked.holds_for == HoldsFor::Shop;
        let states_its_own = self.taken(section).iter().any(|spec| {
            let place = section.within(&spec.name);
            (lasting(spec) || section.base.is_empty()) && place.is_some_and(|place| said_at(group, place).is_some())
        });
        known || !states_its_own
    }

    pub(super) fn name_entries(&mut self, root: &mut Node) {
        for (section, key) in BELONGS {
            self.name_entry(value_mut(root, key), section);
        }
        for side in SIDES {
            self.name_entry(value_mut(root, "components").and_then(|sides| value_mut(sides, side)), &LOTS);
        }
        for person in items_mut(root, "people") {
            self.name_entry(Some(person), &CREW);
        }
        for assembly in items_mut(root, "assemblies") {
            for (section, key) in super::assemblies::CARDS {
                self.name_entry(value_mut(assembly, key), section);
            }
        }
    }

    /// Makes a lone mark into the mapping that names the entry; without a shop file it names nothing.
    fn name_entry(&mut self, node: Option<&mut Node>, section: &Section) {
        let Some(node) = node else { return };
        let Some(mark) = scalar(node) else { return };
        if self.shop.is_none() {
            self.refuse(refusals::no_shop(section.one, mark, node.span));
        }
        *node = standing_for(section.named_by, node.clone());
    }
}
