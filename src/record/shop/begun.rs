//! Readings made after every fill had begun belong to later jobs: of what a sheet of the day says they are taken out.
//!
//! A shop reads its drums again for the job of the afternoon. A fill of the morning goes by what was read before it.
//! This module must not know how statements are settled.

use super::expand::Expander;
use super::nodes::{at_mut, instant, items, said, said_at};
use crate::document::{Content, Node};
use crate::record::FactKind;
use crate::record::catalogue::{HoldsFor, assembly, job, stages};
use crate::units::Instant;
use crate::vocabulary::Subject;

impl Expander<'_> {
    /// When the last fill of the job began, where all of them have: where no start is told and the fill is, that of the
    /// plan.
    pub(super) fn last_start(&self, root: &Node) -> Option<Instant> {
        let name = |fact| self.catalogue.spec(fact).map(|spec| spec.name.as_ref());
        let [start, ended, planned] = [assembly::ACT_FILL, stages::FILL_ENDED, job::PLANNED_START].map(name);
        let planned = said_at(root, planned?).and_then(instant);
        let started = |one: &Node| {
            let told = said_at(one, start?).and_then(instant);
            told.or_else(|| said_at(one, ended?).and(planned))
        };
        let starts: Option<Vec<Instant>> = items(root, Subject::Assembly.record_key()?).iter().map(started).collect();
        starts?.into_iter().max()
    }

    /// When those fills of several began that have begun, whatever others wait: where no start is told, when they ended.
    pub(super) fn begun_of_several(&self, root: &Node) -> Vec<Instant> {
        let name = |fact| self.catalogue.spec(fact).map(|spec| spec.name.as_ref());
        let [start, ended] = [assembly::ACT_FILL, stages::FILL_ENDED].map(name);
        let began = |one: &Node| {
            let told = said_at(one, start?).and_then(instant);
            told.or_else(|| said_at(one, ended?).and_then(instant))
        };
        match items(root, Subject::Assembly.record_key().unwrap_or_default()) {
            [_] => Vec::new(),
            several => several.iter().filter_map(began).collect(),
        }
    }

    /// Takes out the readings of a subject that were taken when every fill of the job had begun, and gives the time of one.
    pub(super) fn take_out_later(&self, node: &mut Node, subject: Subject) -> Option<Instant> {
        let begun = self.begun?;
        let mut later = None;
        for spec in self.catalogue.of(subject) {
            // What an instrument's own calibration says does not belong to one day.
            if !matches!(spec.kind, FactKind::Reading(_)) || spec.asked.holds_for <= HoldsFor::Assembly {
                continue;
            }
            let Some(reading) = at_mut(node, &spec.name) else { continue };
            if let Some(at) = said(reading, "at").and_then(instant).filter(|at| *at > begun) {
                later = Some(at);
                reading.value = Content::Null;
            }
        }
        later
    }
}
