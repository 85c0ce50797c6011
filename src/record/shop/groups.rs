//! The place, the gear that belongs to it, the people and the two sides of the mix: what their entries say, laid over
//! the record.
//!
//! Must not know how an entry is found.

use super::expand::{Expander, SIDES};
use super::nodes::{
    at_mut, items, items_mut, mark_of, said, said_at, says_same, scalar, standing_for, take, value_mut,
};
use super::other_places::SheetsOf;
use super::place_reads::{Doubts, doubts_of};
use super::refusals;
use super::sections::{BELONGS, CAGES, CREW, IDENTIFIES, LIFTING, LOTS, MATERIALS, MIX, PLACES, Section, WALL};
use super::sheets::Sheet;
use crate::document::{Content, Entry, Node, Path};
use crate::record::catalogue::job;

impl Expander<'_> {
    /// Lays what the place says over the record, and gives what its instruments may be off. What belongs to the place gives
    /// way to what the record names instead.
    pub(super) fn place(&mut self, root: &mut Node, named: Option<&Node>) -> Doubts {
        let mut facts = named.and_then(|named| self.entry(&PLACES, named));
        for (section, key) in BELONGS {
            let of_record = said(root, key).and_then(|group| said(group, section.named_by)).and_then(scalar);
            let of_place = facts.as_mut().and_then(|facts| take(facts, key)).map(|entry| entry.node);
            // A machine on which a wheel stays bolted is no cage of the place, whatever the record calls it.
            let other_kind = of_place.as_ref().and_then(|of_place| self.is_another(root, section, of_place));
            let another_kind = other_kind.is_some();
            if let Some(index) = other_kind {
                self.note(section.key, index);
            }
            // Sheets and rounds say `cage` of the one that belongs to the place, or of the only one that there is.
            let is_known = match &of_place {
                Some(_) if another_kind => false,
                Some(of_place) => of_record.is_none_or(|mark| scalar(of_place) == Some(mark)),
                None => self.two_of(section).is_none(),
            };
            if !is_known {
                self.elsewhere.push(key);
            }
            if let (Some(mark), Some(Node { value: Content::Map(entries), .. }), None) =
                (of_place.filter(|_| !another_kind), &mut facts, of_record)
            {
                let node = standing_for(section.named_by, mark);
                entries.push(Entry { key: (*key).into(), key_span: node.span, node });
            }
        }
        // The floor of the place and its lifting gear say nothing of a wheel that stays on its machine.
        if let Some(facts) = facts.as_mut().filter(|facts| self.stays_on_vehicle(root, Some(facts))) {
            if let Some((group, flat)) = self.catalogue.spec(job::CURE_FLAT).and_then(|spec| spec.name.rsplit_once('.'))
                && let Some(group) = at_mut(facts, group)
            {
                take(group, flat);
            }
            let gear = LIFTING.base.trim_end_matches('.');
            if said(root, gear).is_none() {
                take(facts, gear);
            }
        }
        let Some((mut facts, mark)) = facts.zip(named.and_then(scalar)) else { return Doubts::new() };
        take(&mut facts, WALL.1);
        let doubts = doubts_of(&mut facts);
        self.later_done(root, &mut facts, &PLACES);
        self.lay(root, facts, (PLACES.one, mark), &Path::root());
        doubts
    }

    /// Whether the wheel stays bolted on its machine, by the record or by the entry that it or its place names as the cage.
    fn stays_on_vehicle(&self, root: &Node, of_place: Option<&Node>) -> bool {
        let name = |fact| self.catalogue.spec(fact).map(|spec| spec.name.as_ref());
        let Some(kind) = name(job::CAGE_KIND) else { return false };
        let cage = |node: &Node| {
            said(node, "cage").and_then(|cage| said(cage, CAGES.named_by)).and_then(scalar).map(str::to_owned)
        };
        let mark = cage(root).or_else(|| cage(of_place?));
        let entry = || self.shop?.find_on(CAGES.key, mark.as_deref()?, self.day);
        let of_entry = || said_at(entry()?.1, CAGES.within(kind)?);
        said_at(root, kind).or_else(of_entry).and_then(scalar) == Some(job::BOLTED_ON_VEHICLE)
    }

    /// Takes out what is said of another thing than the record names. That there are several goes with the record: of
    /// the only one it would be taken as said.
    pub(super) fn leave_out_of_elsewhere(&mut self, of_day: &mut Node) {
        for (section, key) in BELONGS {
            if self.elsewhere.contains(key) && take(of_day, key).is_some() {
                for index in self.two_of(section).into_iter().flatten() {
                    self.note(section.key, index);
                }
            }
        }
    }

    /// Two entries of a section with marks of their own, where the shop has as many.
    fn two_of(&self, section: &Section) -> Option<[usize; 2]> {
        let mut marks = items(self.shop?.document().root(), section.key).iter().map(mark_of).enumerate();
        let (first, mark) = marks.next()?;
        let (other, _) = marks.find(|(_, other)| *other != mark)?;
        Some([first, other])
    }

    /// The entry that belongs to the place, where what the record says of the group tells that it is another thing.
    fn is_another(&self, root: &Node, section: &Section, of_place: &Node) -> Option<usize> {
        let (index, entry) = self.shop.zip(scalar(of_place)).and_then(|(shop, mark)| shop.find(section.key, mark))?;
        let known_by = IDENTIFIES.iter().filter(|key| key.subject == section.subject && !section.base.is_empty());
        let is_other = known_by.filter_map(|key| self.catalogue.spec(*key)).any(|spec| {
            let of_entry = section.within(&spec.name).and_then(|rest| said_at(entry, rest));
            said_at(root, &spec.name).zip(of_entry).is_some_and(|(one, other)| !says_same(one, other))
        });
        is_other.then_some(index)
    }

    /// A pump, a cage or lifting gear.
    pub(super) fn group(&mut self, root: &mut Node, section: &Section, key: &str) {
        let Some(group) = value_mut(root, key) else { return };
        // If the mark is no fact of the record, remove the key even when empty.
        let named = match section.mark_is {
            None => take(group, section.named_by).map(|entry| entry.node),
            Some(_) => said(group, section.named_by).filter(|mark| self.draws_on(section, group, mark)).cloned(),
        };
        let Some(named) = named else { return };
        let Some(mut facts) = self.entry(section, &named) else { return };
        self.later_done(group, &mut facts, section);
        self.lay(group, facts, (section.one, scalar(&named).unwrap_or_default()), &Path::root().child(key));
    }

    pub(super) fn people(&mut self, root: &mut Node, sheets: &[Sheet]) {
        for (index, person) in items_mut(root, "people").iter_mut().enumerate() {
            let Some(Entry { node: named, .. }) = take(person, CREW.named_by) else { continue };
            let Some(mut facts) = self.entry(&CREW, &named) else { continue };
            self.later_done(person, &mut facts, &CREW);
            let (mark, path) = (scalar(&named).unwrap_or_default(), Path::root().child("people").child(index));
            self.lay(person, facts, (CREW.one, mark), &path);
            self.of_mark(sheets, (&CREW, mark), person, &path);
            self.seen_on_round(sheets, (&CREW, mark), person, &path);
        }
    }

    pub(super) fn components(&mut self, root: &mut Node, sheets: SheetsOf<'_>) {
        let mut mix = None;
        self.sides(root, sheets, &mut mix);
        if let Some((material, facts)) = mix {
            self.lay(root, standing_for(MIX, facts), (MATERIALS.one, &material), &Path::root());
        }
    }

    /// Brings in what the lots and their materials say of the sides, and finds what the material says of the mix.
    fn sides(&mut self, root: &mut Node, sheets: SheetsOf<'_>, mix: &mut Option<(String, Node)>) {
        let Some(sides) = value_mut(root, "components") else { return };
        let mut materials: Vec<Node> = Vec::new();
        for key in SIDES {
            let Some(side) = value_mut(sides, key) else { continue };
            let Some(named) = said(side, LOTS.named_by).cloned() else { continue };
            if !self.draws_on(&LOTS, side, &named) {
                continue;
            }
            let Some(mut facts) = self.entry(&LOTS, &named) else { continue };
            let mark = scalar(&named).unwrap_or_default();
            self.leave_on_other_pump(&mut facts, mark, sheets);
            if said(&facts, "side").and_then(scalar) != Some(key) {
                self.refuse(refusals::other_side(mark, key, named.span, &facts));
            }
            take(&mut facts, "side");
            let path = Path::root().child("components").child(key);
            if let Some(Entry { node: material, .. }) = take(&mut facts, "material") {
                let mark = scalar(&material).unwrap_or_default();
                if let Some(mut said) = self.entry(&MATERIALS, &material) {
                    if let Some(mut sheet) = take(&mut said, key) {
                        self.unsaid(&MATERIALS, &mut sheet.node, sheet.key_span);
                        self.lay(&mut facts, sheet.node, (MATERIALS.one, mark), &path);
                    }
                    if let Some(of_mix) = take(&mut said, MIX) {
                        *mix = Some((mark.to_owned(), of_mix.node));
                    }
                }
                materials.push(material);
            }
            self.lay(side, facts, (LOTS.one, mark), &path);
            self.of_mark(sheets.0, (&LOTS, mark), side, &path);
            self.seen_on_round(sheets.0, (&LOTS, mark), side, &path);
        }
        if let [first, second] = materials.as_slice()
            && first.value != second.value
        {
            self.refuse(refusals::two_materials(first.span, second.span));
        }
    }
}
