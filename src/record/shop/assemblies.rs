//! Assemblies: those that are like another one, and cards of tyres, wheels and machines.
//!
//! Must not know the rest of the record, nor what a look at the parts says.

use super::bench::BENCH;
use super::expand::Expander;
use super::nodes::{at_place, entries, items, items_mut, mark_of, said, said_at, scalar, take, value_mut};
use super::refusals;
use super::sections::{MACHINES, Section, TYRES, WHEELS, is_alike};
use super::sheets::fill_facts;
use crate::document::{Content, Entry, Node, Path};
use crate::record::FactKey;
use crate::record::catalogue::assembly;
use crate::vocabulary::Subject;

/// The keys of an assembly that may name a card, with the section of it.
pub(super) const CARDS: &[(&Section, &str)] = &[(&TYRES, "tyre"), (&WHEELS, "wheel"), (&MACHINES, "machine")];

/// Whether a part is fitted, with what else is said of it: nobody knows the state of a part that is not there.
const FITTED: &[(FactKey, &[FactKey])] = &[
    (assembly::TUBE_FITTED, &[assembly::TUBE_STATE, assembly::TUBE_SIZE]),
    (assembly::FLAP_FITTED, &[assembly::FLAP_STATE]),
];

/// Whether a fact follows from what else is said of its part.
pub(super) fn is_told_by_others(key: FactKey) -> bool {
    FITTED.iter().any(|(fitted, _)| *fitted == key)
}

impl Expander<'_> {
    pub(super) fn assemblies(&mut self, root: &mut Node) {
        self.likenesses(root);
        for (index, assembly) in items_mut(root, "assemblies").iter_mut().enumerate() {
            let path = Path::root().child("assemblies").child(index);
            let bench = take(assembly, BENCH).map(|entry| entry.node);
            self.seated(assembly, bench.as_ref().and_then(|bench| said(bench, "by")), &path);
            if let Some(bench) = &bench {
                self.bench(assembly, bench, &path);
            }
            for (section, key) in CARDS {
                self.card(assembly, section, key, &path);
            }
        }
    }

    /// A part of which an assembly of a short record says more is fitted, unless it says that it is not.
    pub(super) fn parts_fitted(&self, root: &mut Node) {
        for assembly in items_mut(root, "assemblies") {
            self.parts_fitted_of(assembly);
        }
    }

    fn parts_fitted_of(&self, assembly: &mut Node) {
        let name = |key: FactKey| self.catalogue.spec(key).map(|spec| spec.name.as_ref());
        for (fitted, more) in FITTED {
            let told = more.iter().find_map(|key| said_at(assembly, name(*key)?));
            let (Some(place), Some(span)) = (name(*fitted), told.map(|told| told.span)) else { continue };
            fill_facts(assembly, at_place(place, Node { span, value: Content::Bool(true) }));
        }
    }

    fn card(&mut self, assembly: &mut Node, section: &Section, key: &str, path: &Path) {
        // A machine has no facts of its own in a record: its key is there for the card alone.
        let mut alone = if *section == MACHINES { take(assembly, key).map(|entry| entry.node) } else { None };
        if let Some(machine) = &alone {
            let strange = refusals::unknown_key(machine, &[section.named_by]);
            if strange.is_empty() && said(machine, section.named_by).is_none() {
                let cure = format!("write the mark of the card, such as `{}`", section.example);
                self.refuse(refusals::shape("the mark of a machine card", &cure, machine.span));
            }
            for fault in strange {
                self.refuse(fault);
            }
        }
        let Some(group) = alone.as_mut().or_else(|| value_mut(assembly, key)) else { return };
        let Some(Entry { node: mut named, .. }) = take(group, section.named_by) else { return };
        if *section == MACHINES {
            named = self.card_by_name(&named);
            let fit = self.cards_of(section, assembly);
            let is_known = |mark: &str| self.shop.is_none_or(|shop| shop.find(section.key, mark).is_some());
            if let (Some(name), false) = (scalar(&named).filter(|mark| !is_known(mark)), fit.is_empty()) {
                self.refuse(refusals::card_by_another_name(name, named.span, &fit));
                return;
            }
            self.of_this_machine(assembly, &named);
        }
        if *section == WHEELS {
            self.wheel_of_this_machine(assembly, &named);
        }
        let Some(facts) = self.entry(section, &named) else { return };
        let facts = if section.base.is_empty() { facts } else { at_place(section.base.trim_end_matches('.'), facts) };
        self.lay(assembly, facts, (section.one, scalar(&named).unwrap_or_default()), path);
    }

    /// Gives assemblies that are like another one what that one says.
    fn likenesses(&mut self, root: &mut Node) {
        let count = items(root, "assemblies").len();
        let likes: Vec<Option<Node>> =
            items_mut(root, "assemblies").iter_mut().map(|item| take(item, "like").map(|entry| entry.node)).collect();
        let mut done: Vec<bool> = likes.iter().map(Option::is_none).collect();
        let place =
            |root: &Node, mark: &str| items(root, "assemblies").iter().position(|item| mark_of(item) == Some(mark));
        // Each round takes over what is settled; an assembly that is never settled is like itself.
        for _ in 0..count {
            for (index, like) in likes.iter().enumerate() {
                let Some(like) = like.as_ref().filter(|_| done.get(index) == Some(&false)) else { continue };
                let other = scalar(like).and_then(|mark| place(root, mark));
                let Some(other) = other.filter(|other| done.get(*other) == Some(&true)) else { continue };
                let other = items(root, "assemblies").get(other);
                let alike = other.map(|other| self.alike(other));
                let by = other.and_then(|other| said(said(other, BENCH)?, "by").cloned());
                if let (Some(alike), Some(assembly)) = (alike, items_mut(root, "assemblies").get_mut(index)) {
                    // Anyone who looked at the one looked at the other, unless it says otherwise; when, it says itself.
                    if let (Some(by), true) = (by, said(assembly, BENCH).is_some()) {
                        fill_facts(assembly, at_place(BENCH, at_place("by", by)));
                    }
                    fill_facts(assembly, alike);
                    if let Some(done) = done.get_mut(index) {
                        *done = true;
                    }
                }
            }
        }
        for (like, _) in likes.iter().zip(&done).filter(|(_, done)| !**done) {
            let Some(like) = like else { continue };
            let known: Vec<&str> = items(root, "assemblies").iter().filter_map(mark_of).collect();
            let fault = match scalar(like) {
                Some(mark) if known.contains(&mark) => refusals::like_ring(like.span),
                mark => refusals::like_unknown(mark.unwrap_or_default(), like.span, &known),
            };
            self.refuse(fault);
        }
    }

    /// What an assembly says that another one like it has from there: facts and the names of cards.
    fn alike(&self, other: &Node) -> Node {
        let mut alike = Node { span: other.span, value: Content::Map(Vec::new()) };
        let facts = self.catalogue.keys_of(Subject::Assembly).filter(|key| is_alike(self.catalogue, *key));
        let facts = facts.filter_map(|key| self.catalogue.spec(key)).map(|spec| spec.name.to_string());
        let cards = CARDS.iter().map(|(section, key)| format!("{key}.{}", section.named_by));
        for place in facts.chain(cards) {
            if let Some(node) = said_at(other, &place) {
                fill_facts(&mut alike, at_place(&place, node.clone()));
            }
        }
        debug_assert!(entries(&alike).iter().all(|entry| entry.key != BENCH));
        alike
    }
}
