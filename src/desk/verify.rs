//! Verifying: what checklists are worth, each held against the same trust, packs, record and instant.

use super::permit::PermitLine;
use super::world::Source;
use super::{Desk, Refusal, earlier, packs};
use crate::checklist::chain::Earlier;
use crate::checklist::packs::{PackPart, Packs, parts};
use crate::checklist::trust::Trust;
use crate::checklist::verify::{self, Question, Verification};
use crate::explain::AtFrom;
use crate::pack::PackSet;
use crate::units::{Instant, Zone};

/// What is asked of checklists.
#[derive(Debug)]
pub struct VerifyOrder {
    /// The local packs that judged as well.
    pub packs: Vec<Source>,
    /// The record as it stands now; without it no fill may start.
    pub record: Option<Source>,
    /// The number of the job that is meant.
    pub job: Option<String>,
    /// The instant to verify as of instead of now: whether a fill could have started then, never whether it may now.
    pub at: Option<Instant>,
    /// Whether judging again is demanded.
    pub rejudge: bool,
    /// The checklists of earlier hold points, of which those are looked at that the checklists follow.
    pub before: Vec<Source>,
}

/// What every checklist is held against, read once for all of them.
#[derive(Debug)]
pub struct Against {
    trust: Trust,
    at: Instant,
    chosen: bool,
    job: Option<String>,
    record: Option<Vec<u8>>,
    set: PackSet,
    parts: Vec<PackPart>,
    rejudge: bool,
    earlier: Vec<Earlier>,
}

/// What a checklist is worth, in one word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// The fill may start.
    MayStart,
    /// It could have started at the instant that was chosen, given here by the clock of the job's zone.
    CouldHaveStarted {
        /// That instant.
        at: Instant,
    },
    /// The file is in order, but a fill may not start.
    InOrder,
    /// The file is not to be relied on.
    Doubtful,
}

/// One checklist, verified.
#[derive(Debug)]
pub struct Verified {
    /// What it is worth.
    pub answer: Answer,
    /// The content as far as it could be read, the signatures, and everything that speaks against it.
    pub report: Verification,
    /// The permits that it relies on.
    pub permits: Vec<PermitLine>,
    /// The zone by whose days it was judged; that of the trust file, where it cannot be read.
    pub zone: Zone,
}

impl Desk<'_> {
    /// Reads what checklists are to be held against.
    ///
    /// # Errors
    /// The faults of the packs.
    pub fn against(&self, order: VerifyOrder, trust: Trust) -> Result<Against, Refusal> {
        let (at, from) = self.at(order.at, trust.zone())?;
        let set = packs(&order.packs)?;
        Ok(Against {
            trust,
            at,
            chosen: from == AtFrom::Given,
            job: order.job,
            record: order.record.map(|record| record.bytes),
            parts: parts(&set),
            set,
            rejudge: order.rejudge,
            earlier: order.before.iter().map(earlier).collect(),
        })
    }
}

impl Against {
    /// Verifies one checklist.
    pub fn verify(&self, checklist: &Source) -> Verified {
        let question = Question {
            trust: &self.trust,
            at: self.at,
            chosen: self.chosen,
            job: self.job.as_deref(),
            record: self.record.as_deref(),
            packs: Some(Packs { set: &self.set, parts: &self.parts }),
            rejudge: self.rejudge,
            earlier: &self.earlier,
        };
        let report = verify::verify(&checklist.label(), &checklist.bytes, &question);
        let named = report.body.as_ref().and_then(|body| Zone::find(&body.time_zone).ok());
        let zone = named.unwrap_or_else(|| self.trust.zone().clone());
        let answer = if report.may_start() {
            Answer::MayStart
        } else if report.could_have_started() {
            Answer::CouldHaveStarted { at: self.at.in_zone(&zone) }
        } else if report.in_order() {
            Answer::InOrder
        } else {
            Answer::Doubtful
        };
        let permits =
            report.body.as_ref().map(|body| PermitLine::all(body, |kid| self.trust.name_of(kid))).unwrap_or_default();
        Verified { answer, report, permits, zone }
    }
}
