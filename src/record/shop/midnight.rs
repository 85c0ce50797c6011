//! Jobs that go on past midnight: `00:14` under the day on which they began lies a day before it, and what the next day
//! says of the shop counts as well.
//!
//! A time that says no day is of the day at the head of its record or sheet, and nothing is guessed: where it may be of
//! the day after it too, and where that puts the end of a fill half a day or more before its start, the day is asked for.
//! On the day at the head nothing can be of the next one. This module must not know what the rules make of such times.

use super::expand::Expander;
use super::nodes::{instant, items, said_at};
use super::times::{self, LoneTime, WrittenIn};
use super::{expand, refusals};
use crate::document::{Code, Fault, Node, Span};
use crate::record::FactKey;
use crate::record::catalogue::{assembly, job, stages};
use crate::units::{Day, Exact, Instant};
use crate::vocabulary::Subject;

/// What comes at the start of a fill or after it.
const FROM_THE_START: [FactKey; 4] =
    [assembly::ACT_FILL, assembly::ACT_OFF_STAND, stages::FILL_ENDED, job::SAMPLE_TAKEN];
/// Half a day: no fill lasts as long, so that from a time so far before the start either it is of the next day or the
/// start is wrong.
const HALF_A_DAY_SECONDS: i128 = 12 * 3600;

/// A time as it was written without its day.
pub(super) struct TimeFromTheStart {
    text: String,
    span: Span,
}

impl Expander<'_> {
    /// When the fill begins: when the last one did; where some are filled and others wait, when the latest did or the next
    /// is planned; or else when that is planned, and not before the record was there.
    fn start(&self) -> Instant {
        self.begun.unwrap_or_else(|| {
            let known = self.begun_of_several.iter().copied().max().unwrap_or(self.written_by);
            self.planned.map_or(known, |planned| planned.max(known))
        })
    }

    /// Whether a start comes within half a day after a fill of the same job: what is begun late in the day may go on the
    /// next.
    pub(super) fn goes_on_with(&self, start: Instant) -> bool {
        self.begun_of_several.iter().any(|begun| *begun <= start && start <= half_a_day_after(*begun))
    }

    /// The same of a fill that is as late as it may be by now, where it is not known to have begun.
    pub(super) fn latest_start(&self) -> Instant {
        let start = self.start();
        self.begun.unwrap_or_else(|| start.max(self.at.min(half_a_day_after(start))))
    }

    /// Whether the sheet of a day counts for a job with another one at its head: that and all after it, up to the day on
    /// which the fill begins, or of the judgement.
    pub(super) fn is_sheet_of(&self, head: Day, sheet: Day) -> bool {
        let last = self.begun.unwrap_or_else(|| self.latest_start().min(self.at));
        head <= sheet && sheet <= head.max(last.day_in(self.zone))
    }

    /// Keeps the times of a tree that may be of the day after that of their record or sheet; none on that day itself.
    pub(super) fn keep_lone(&mut self, node: &Node, of: WrittenIn) {
        let (day, known, is_of_record) = match of {
            // A record stood as it does when it was judged first; a sheet may have been written since.
            WrittenIn::Record(Some(day)) => (day, self.written_by, true),
            WrittenIn::Sheet(day) => (day, self.at, false),
            _ => return,
        };
        let Some(morrow) = day.checked_add_days(1).filter(|_| known.day_in(self.zone) > day) else { return };
        let planned = self.catalogue.spec(job::PLANNED_START).map(|spec| spec.name.as_ref());
        let begins = morrow.start_in(self.zone);
        let mut found = Vec::new();
        self.keys.lone(node, &mut found);
        for (key, node) in found {
            let Some(text) = times::lone(node) else { continue };
            // Where the clock is put, the next day may show it twice or never: then it is as early as it can be.
            let next = times::meant(node, WrittenIn::Sheet(morrow), self.zone).unwrap_or(begins);
            let until = if Some(key) == planned { half_a_day_after(known) } else { known };
            let is_of_the_night = is_of_record && next.seconds_since(begins) < Exact::from_int(expand::NIGHT_SECONDS);
            self.lone.push(LoneTime { text: text.to_owned(), span: node.span, day, next, until, is_of_the_night });
        }
    }

    /// Refuses those of them that may be of the next day. From half a day after the start on, what is of the job lies
    /// behind it, and is of the day at the head.
    pub(super) fn refuse_of_two_days(&mut self) {
        let ends = half_a_day_after(self.start());
        for lone in std::mem::take(&mut self.lone) {
            if lone.next <= lone.until && (lone.is_of_the_night || lone.next <= ends) {
                self.refuse(of_two_days(&lone));
            }
        }
    }

    /// The times from the start on that are written without their day.
    pub(super) fn times_from_the_start(&self, root: &Node) -> Vec<TimeFromTheStart> {
        let lone = |node: &Node| Some(TimeFromTheStart { text: times::lone(node)?.to_owned(), span: node.span });
        self.nodes_from_the_start(root).into_iter().filter_map(lone).collect()
    }

    /// Refuses those of them that lie half a day or more before the start of the plan.
    pub(super) fn refuse_before_the_start(&mut self, root: &Node, lone: &[TimeFromTheStart]) {
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

/// Half a day after an instant.
fn half_a_day_after(at: Instant) -> Instant {
    Exact::new(HALF_A_DAY_SECONDS, 1).and_then(|half| at.checked_add_seconds(half)).unwrap_or(at)
}

fn of_two_days(lone: &LoneTime) -> Fault {
    let LoneTime { text, span, day, .. } = lone;
    let after = day.checked_add_days(1).unwrap_or(*day);
    let [of, next] = [*day, after].map(Day::to_record_text);
    Fault::new(Code::ShopTimeWithoutDay, format!("`{text}` does not say its day, and may be of {day} or of {after}"))
        .label(*span, "which day")
        .help(format!("write the day in front: `{next} {text}` or `{of} {text}`"))
}
