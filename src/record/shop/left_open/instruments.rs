//! The instruments that a short record does not name: which there are, so that one mark at its head is asked for.
//!
//! Must not know which rules ask for it.

use crate::document::{LeftOpen, Node, Path, Unnamed};
use crate::record::catalogue::HoldsFor;
use crate::record::instrument::{instrument_named, list_for};
use crate::record::shop::expand::{Expander, SIDES};
use crate::record::shop::head_marks::HeadMarks;
use crate::record::shop::is_in_force;
use crate::record::shop::nodes::{entries, items, mark_of, said, said_at};
use crate::record::shop::sections::{INSTRUMENTS, Section};
use crate::record::{FactKind, FactSpec};
use crate::vocabulary::Subject;

/// So many marks are listed; the person who has more instruments looks at the shop file.
const LISTED: usize = 3;

impl Expander<'_> {
    /// The gauge and the thermometer that readings of the record lack, each as one mark under `read`.
    pub(super) fn instruments_left_open(&self, root: &Node, head: &HeadMarks<'_>) -> Vec<LeftOpen> {
        let of = |(section, key): &(&'static Section, &'static str)| {
            let marks = self.marks_in_force(section);
            let is_named = head.stamp.is_some_and(|stamp| said(stamp, key).is_some());
            if is_named {
                return head.stamp.and_then(|stamp| Self::read_with_none(root, section, stamp));
            }
            if marks.is_empty() {
                return None;
            }
            let places = self.without_instrument(root, section, key);
            if places.is_empty() {
                return None;
            }
            let span = head.stamp.map(|stamp| stamp.span).or_else(|| Some(root.entry("record")?.key_span))?;
            let more = marks.len().saturating_sub(LISTED);
            let marks = marks.into_iter().take(LISTED).map(str::to_owned).collect();
            Some(LeftOpen {
                what: Unnamed::Instrument { one: section.one, marks, more },
                written_at: Path::root().child("read").child(*key),
                span,
                places,
            })
        };
        INSTRUMENTS.iter().filter_map(of).collect()
    }

    /// An instrument that the stamp names and nothing was read with yet: it comes into the record with the first reading.
    fn read_with_none(root: &Node, section: &Section, stamp: &Node) -> Option<LeftOpen> {
        let list = Path::root().child(section.key);
        items(root, section.key).is_empty().then(|| LeftOpen {
            what: Unnamed::Readings { one: section.one },
            written_at: Path::root().child("read"),
            span: stamp.span,
            places: vec![list],
        })
    }

    /// The marks of a section that are in force on the day of the job.
    fn marks_in_force(&self, section: &Section) -> Vec<&str> {
        let Some(shop) = self.shop else { return Vec::new() };
        let all = items(shop.document().root(), section.key).iter();
        let in_force = all.filter(|entry| is_in_force(entry, self.day));
        in_force.filter_map(mark_of).collect()
    }

    /// Where an instrument is named, by the readings that are taken with one, and is not.
    fn without_instrument(&self, root: &Node, section: &Section, key: &str) -> Vec<Path> {
        let mut places: Vec<Path> = Vec::new();
        let holders = std::iter::once((Path::root(), Some(root), Subject::Job));
        let assemblies = items(root, "assemblies")
            .iter()
            .enumerate()
            .map(|(index, one)| (Path::root().child("assemblies").child(index), Some(one), Subject::Assembly));
        let sides = SIDES.into_iter().map(|side| {
            let node = said(root, "components").and_then(|sides| said(sides, side));
            (Path::root().child("components").child(side), node, Subject::Component)
        });
        for (base, holder, subject) in holders.chain(assemblies).chain(sides) {
            let Some(holder) = holder else { continue };
            for (fact, spec) in self.catalogue.keys_of(subject).filter_map(|key| Some((key, self.catalogue.spec(key)?)))
            {
                let place = || spec.name.split('.').fold(base.clone(), |path, step| path.child(step));
                if instrument_named(fact) == Some(section.subject) && said_at(holder, &spec.name).is_none() {
                    places.push(place());
                } else if self.is_read_without(holder, spec, (section.subject, key)) {
                    places.push(place().child(key));
                }
            }
        }
        // Without a mark there is no instrument either.
        if items(root, section.key).is_empty() && !places.is_empty() {
            places.push(Path::root().child(section.key));
        }
        places
    }

    /// Whether a reading of the record itself does not say with what it was taken.
    fn is_read_without(&self, holder: &Node, spec: &FactSpec, (list, key): (Subject, &str)) -> bool {
        let FactKind::Reading(dimension) = spec.kind else { return false };
        // What an instrument's own calibration says was not read on the day.
        if list_for(dimension) != Some(list) || spec.asked.holds_for <= HoldsFor::Assembly {
            return false;
        }
        said_at(holder, &spec.name)
            .is_some_and(|reading| self.is_of_record(reading) && entries(reading).iter().all(|entry| entry.key != key))
    }
}
