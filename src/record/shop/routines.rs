//! The log of routines: of the rows on one thing the latest counts that is not after the judgement. What a record or an
//! entry says itself of when something was last done is as good as a row, and the latest counts of all of them.
//!
//! Must not know what the facts mean.

use super::expand::Expander;
use super::nodes::{at_mut, at_place, items, moved, said, said_at, scalar};
use super::sections::{ROUTINES, Routine, Section};
use super::times;
use crate::document::{Code, Content, Fault, Node};
use crate::record::FactKind;
use crate::record::FactSpec;
use crate::units::{Day, Instant};

/// The key of the log in the shop file.
pub(super) const KEY: &str = "routines";

impl Expander<'_> {
    /// What the log says of one entry, as facts below its section's base.
    pub(super) fn routines(&mut self, section: &Section, mark: &str) -> Vec<Node> {
        let of_section = ROUTINES.iter().filter(|routine| routine.section == section);
        of_section.filter_map(|routine| self.latest(routine, mark)).collect()
    }

    /// Of two statements of when something was last done keeps the later one: it is done from time to time, and whoever has
    /// just done it says so where they are.
    pub(super) fn later_done(&self, into: &mut Node, from: &mut Node, section: &Section) {
        for (routine, spec) in self.states_when(section) {
            let Some(place) = spec.name.strip_prefix(routine.section.base) else { continue };
            let (Some(one), Some(other)) = (said_at(into, place), said_at(from, place)) else { continue };
            let when = |node: &Node| self.when(node, matches!(spec.kind, FactKind::Day)).ok();
            let earlier = match (when(one), when(other)) {
                (Some(one), Some(other)) if one < other => &mut *into,
                // What cannot be read is left to the reader of its fact.
                _ => &mut *from,
            };
            if let Some(node) = at_mut(earlier, place) {
                node.value = Content::Null;
            }
        }
    }

    /// The routines of a section whose rows state when something was done, and not until when it is good.
    fn states_when(&self, section: &Section) -> Vec<(&'static Routine, &FactSpec)> {
        let of_section = ROUTINES.iter().filter(|routine| routine.section == section && !routine.states_due);
        of_section.filter_map(|routine| Some((routine, self.catalogue.spec(routine.fact)?))).collect()
    }

    fn latest(&mut self, routine: &Routine, mark: &str) -> Option<Node> {
        let root = self.shop?.document().root();
        let spec = self.catalogue.spec(routine.fact)?;
        let takes_a_day = matches!(spec.kind, FactKind::Day) || routine.states_due;
        let mut best: Option<(Day, Option<Instant>, usize, Node)> = None;
        for (index, row) in items(root, KEY).iter().enumerate() {
            let is = |key: &str, word: &str| said(row, key).and_then(scalar) == Some(word);
            if !is("did", routine.did) || !is("of", mark) {
                continue;
            }
            let row = self.without_own_day(row);
            let Some(at) = said(&row, "at") else { continue };
            let when = match self.when(at, takes_a_day) {
                Ok(when) => when,
                Err(fault) => {
                    self.refuse(fault);
                    continue;
                }
            };
            // What lies ahead of the judgement has not been done yet.
            let ahead = when.1.map_or(when.0 > self.at.day_in(self.zone), |at| at > self.at);
            let Some(value) = self.stated(routine, &row, at, when, takes_a_day) else { continue };
            let later = best.as_ref().is_none_or(|(day, at, ..)| (*day, *at) <= when);
            if !ahead && later {
                best = Some((when.0, when.1, index, value));
            }
        }
        let (_, _, index, value) = best?;
        self.note(KEY, index);
        let place = spec.name.strip_prefix(routine.section.base)?;
        Some(at_place(place, value))
    }

    /// A row in the places of the texts laid end to end, its times made into instants.
    fn without_own_day(&mut self, row: &Node) -> Node {
        let mut row = moved(row, self.base);
        self.times(&mut row, None);
        row
    }

    /// When a row says that it was done.
    fn when(&self, at: &Node, takes_a_day: bool) -> Result<(Day, Option<Instant>), Fault> {
        match scalar(at).and_then(|text| Instant::parse(text).ok()) {
            Some(instant) => Ok((instant.day_in(self.zone), Some(instant))),
            None if takes_a_day => times::day(at).map(|day| (day, None)),
            None => Err(Fault::new(Code::RecordNotAnInstant, "this row does not say its time of day")
                .label(at.span, "here")
                .help("write the day and the time, such as `2026-03-03 16:00`")),
        }
    }

    /// The value of the fact that a row states.
    fn stated(
        &mut self,
        routine: &Routine,
        row: &Node,
        at: &Node,
        (day, _): (Day, Option<Instant>),
        takes_a_day: bool,
    ) -> Option<Node> {
        if !routine.states_due {
            let text = if takes_a_day { day.to_record_text() } else { scalar(at)?.to_owned() };
            return Some(Node { span: at.span, value: Content::Text(text) });
        }
        let due = said(row, "due").cloned();
        if due.is_none() {
            self.refuse(
                Fault::new(Code::SchemaMissingKey, "the key `due` is missing")
                    .label(row.span, "`due` is missing in here")
                    .help("add `due:` with the last day of the calibration, such as `2026-09-30`"),
            );
        }
        due
    }
}
