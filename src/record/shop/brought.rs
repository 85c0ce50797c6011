//! A pump or a cage that stands at another place of the shop than that of the job: said to have been brought, or refused.
//!
//! Who names the pump of the next bay by a slip brings its calibration, its ratio and its hose. What no place names moves
//! about, and lifting gear drives. Must not know facts.

use super::expand::Expander;
use super::is_in_force;
use super::nodes::{further, items, mark_of, said, scalar, take, value_mut};
use super::refusals;
use super::sections::{CAGES, PLACES, PUMPS, Section};
use crate::document::{Node, Span};
use crate::vocabulary::names_one_thing;

/// Where a record says from which place of the shop something was brought for this job.
pub(super) const BROUGHT_FROM: &str = "brought_from";

/// What is said there, for the schema.
pub(super) const BROUGHT: &str =
    "The mark of the place at which it stands otherwise, where it was brought here for this job.";

/// What stands at a place, with the key by which record and place name it.
pub(super) const STANDS_AT_PLACES: &[(&Section, &str)] = &[(&PUMPS, "pump"), (&CAGES, "cage")];

impl Expander<'_> {
    /// Holds pump and cage of the record against the places that name them.
    pub(super) fn stand_here(&mut self, root: &mut Node, place: Option<&str>) {
        let Some(shop) = self.shop else { return };
        // Where the record writes the site out, it is at the place of the shop that has that site.
        let site = said(root, "site").and_then(scalar);
        let at_site = |entry: &&Node| {
            let known = said(entry, "site").and_then(scalar);
            is_in_force(entry, self.day) && site.zip(known).is_some_and(|(one, other)| names_one_thing(one, other))
        };
        let there = || items(shop.document().root(), PLACES.key).iter().find(at_site);
        let place = place.or_else(|| said(there()?, "mark").and_then(scalar));
        for (section, key) in STANDS_AT_PLACES {
            let Some(group) = value_mut(root, key) else { continue };
            let brought = take(group, BROUGHT_FROM).map(|entry| entry.node);
            let Some(named) = said(group, section.named_by).cloned() else { continue };
            self.stands_here(&named, place, brought.as_ref(), (section, key));
        }
    }

    fn stands_here(
        &mut self,
        named: &Node,
        place: Option<&str>,
        brought: Option<&Node>,
        (section, key): (&Section, &str),
    ) {
        let Some(mark) = scalar(named) else { return };
        let homes = self.homes_of(key, mark);
        if let Some(brought) = brought {
            let from = scalar(brought).unwrap_or_default();
            if let Some(home) = homes.iter().find(|home| home.mark == from) {
                // Anyone who judges again by the part that was used finds the place there.
                self.note(PLACES.key, home.index);
            } else {
                let known: Vec<&str> = homes.iter().map(|home| home.mark.as_str()).collect();
                self.refuse(refusals::not_from_there((section.one, mark), from, brought.span, &known));
            }
            return;
        }
        let Some(place) = place else { return };
        let here = homes.iter().any(|home| home.mark == place);
        if let Some(home) = homes.first().filter(|_| !here) {
            let at = (named.span, home.span);
            self.refuse(refusals::other_place((section.one, mark), place, &home.mark, at));
        }
    }

    /// The places that name this pump or cage as theirs.
    pub(super) fn homes_of(&self, key: &str, mark: &str) -> Vec<HomePlace> {
        let Some(shop) = self.shop else { return Vec::new() };
        let places = items(shop.document().root(), PLACES.key).iter().enumerate();
        let homes = places.filter(|(_, entry)| is_in_force(entry, self.day)).filter_map(|(index, entry)| {
            let named = said(entry, key).filter(|named| scalar(named) == Some(mark))?;
            let mark = mark_of(entry)?.to_owned();
            Some(HomePlace { index, mark, span: further(named.span, self.base) })
        });
        homes.collect()
    }
}

/// A place that names something as its own.
pub(super) struct HomePlace {
    index: usize,
    mark: String,
    span: Span,
}

impl HomePlace {
    /// Whether this is the mark of the place.
    pub(super) fn is_called(&self, mark: &str) -> bool {
        self.mark == mark
    }

    /// Its position among the places of the shop file.
    pub(super) const fn index(&self) -> usize {
        self.index
    }
}
