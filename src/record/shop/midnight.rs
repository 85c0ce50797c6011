//! Times of a fill that went on past midnight: `00:14` under the day on which it began lies a day before it.
//!
//! A time that says no day is of the day at the head, and nothing is guessed: where that puts the end of a fill half a
//! day or more before its start, the day is asked for. This module must not know what the rules make of such times.

use super::expand::Expander;
use super::nodes::{instant, items, said_at};
use super::{refusals, times};
use crate::document::{Node, Span};
use crate::record::FactKey;
use crate::record::catalogue::{assembly, job, stages};
use crate::units::{Exact, Instant};
use crate::vocabulary::Subject;

/// What comes at the start of a fill or after it.
const FROM_THE_START: [FactKey; 4] =
    [assembly::ACT_FILL, assembly::ACT_OFF_STAND, stages::FILL_ENDED, job::SAMPLE_TAKEN];
/// Half a day: no fill lasts as long, so that from a time so far before the start either it is of the next day or the
/// start is wrong.
const HALF_A_DAY_SECONDS: i128 = 12 * 3600;

/// A time as it was written without its day.
pub(super) struct LoneTime {
    text: String,
    span: Span,
}

impl Expander<'_> {
    /// The times from the start on that are written without their day.
    pub(super) fn lone_times(&self, root: &Node) -> Vec<LoneTime> {
        let lone = |node: &Node| Some(LoneTime { text: times::lone(node)?.to_owned(), span: node.span });
        self.nodes_from_the_start(root).into_iter().filter_map(lone).collect()
    }

    /// Refuses those of them that lie half a day or more before the start of the plan.
    pub(super) fn refuse_before_the_start(&mut self, root: &Node, lone: &[LoneTime]) {
        let planned = self.catalogue.spec(job::PLANNED_START).and_then(|spec| said_at(root, &spec.name));
        let Some(start) = planned.and_then(instant) else { return };
        let half_a_day = Exact::new(HALF_A_DAY_SECONDS, 1).unwrap_or(Exact::ZERO);
        let is_before = |at: &Instant| *at < start && start.seconds_since(*at) >= half_a_day;
        let told = |node: &Node| {
            let lone = lone.iter().find(|lone| lone.span == node.span)?;
            instant(node).filter(is_before).map(|at| refusals::before_the_start(&lone.text, lone.span, (at, start)))
        };
        let faults: Vec<_> = self.nodes_from_the_start(root).into_iter().filter_map(told).collect();
        for fault in faults {
            self.refuse(fault);
        }
    }

    fn nodes_from_the_start<'n>(&self, root: &'n Node) -> Vec<&'n Node> {
        let of = |holder: &'n Node, subject: Subject| {
            let facts = FROM_THE_START.into_iter().filter(move |fact| fact.subject == subject);
            facts.filter_map(move |fact| said_at(holder, &self.catalogue.spec(fact)?.name))
        };
        let key = Subject::Assembly.record_key().unwrap_or_default();
        let assemblies = items(root, key).iter().flat_map(|one| of(one, Subject::Assembly));
        assemblies.chain(of(root, Subject::Job)).collect()
    }
}
