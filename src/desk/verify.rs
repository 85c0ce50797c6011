//! Verifying: what checklists are worth, each held against the same trust, packs, record and instant.
//!
//! Must not know how an answer is drawn.

use std::borrow::Cow;
use std::path::PathBuf;

use super::editions::Editions;
use super::permit_line::PermitLine;
use super::records::{left_aside, present};
use super::world::NamedBytes;
use super::{Desk, Refusal, Unfit, packs};
use crate::checklist::Reason;
use crate::checklist::body::{ChecklistBody, FaultPart};
use crate::checklist::links::Links;
use crate::checklist::packs::{PackPart, Packs, parts};
use crate::checklist::trust::Trust;
use crate::checklist::verify::{self, Intended, Present, Question, Records, Verification, packs_of};
use crate::engine::Aims;
use crate::explain::AtFrom;
use crate::pack::PackSet;
use crate::record::shop::Shop;
use crate::units::{Instant, Zone};
use crate::vocabulary::{FileSort, HoldPoint, Kind};

/// What is asked of checklists.
#[derive(Debug, Default)]
pub struct VerifyOrder {
    /// The local packs that judged as well.
    pub packs: Vec<NamedBytes>,
    /// Records as they stand now, each for the checklists of its job; without its own no fill may start.
    pub records: Vec<NamedBytes>,
    /// What lies in folders that were given and may be a record as well. One of which nobody can tell the job bars every
    /// start by the checklists whose job number stands in it; one that was given by name bars all.
    pub found: Vec<NamedBytes>,
    /// The shop file as it stands now; without it no fill may start by a checklist whose record draws on one.
    pub shop: Option<NamedBytes>,
    /// The number of the job that is meant.
    pub job: Option<String>,
    /// The hold point that is meant.
    pub point: Option<HoldPoint>,
    /// The marks of the assemblies that are meant.
    pub assemblies: Vec<String>,
    /// The instant to verify as of instead of now: whether a fill could have started then, never whether it may now.
    pub at: Option<Instant>,
    /// Editions of packs that are no longer in force, each by its files: checklists that they judged are judged again by
    /// them, and start nothing.
    pub editions: Vec<Vec<NamedBytes>>,
    /// Whether judging again is demanded.
    pub rejudge: bool,
    /// The checklists of earlier hold points, of which those are looked at that the checklists follow.
    pub before: Vec<NamedBytes>,
    /// The checklists that are looked at together, which may follow one another.
    pub among: Vec<PathBuf>,
}

/// What every checklist is held against, read once for all of them.
#[derive(Debug)]
pub struct Against {
    trust: Trust,
    at: Instant,
    /// The present, where the instant was chosen.
    present: Option<Instant>,
    chosen: bool,
    job: Option<String>,
    point: Option<HoldPoint>,
    assemblies: Vec<String>,
    records: Vec<Present>,
    shop: Option<Shop>,
    set: PackSet,
    parts: Vec<PackPart>,
    editions: Editions,
    rejudge: bool,
    earlier: Links,
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
    /// The file is in order, and what it was for is long past.
    Old,
    /// The signatures hold by the trust file given, and nobody here has accepted its owner: the person who made up a
    /// shop of their own gets as far.
    OwnerNotAccepted,
    /// The file is in order, but not of the record, the job, the hold point or the assembly that was given; or it is of
    /// another shop than the trust file, or was signed by a later version of it, and nothing more is known of it.
    DoesNotFit,
    /// It was asked for as of an instant at which it was not there yet: of that instant it says nothing, and nothing is said
    /// against it.
    NotYet,
    /// The file is not to be relied on.
    Doubtful,
}

impl Answer {
    /// Every answer, the best first.
    pub const WORDS: [&str; 8] = [
        "may start",
        "could have started",
        "in order",
        "in order, old",
        "does not fit",
        "owner not accepted",
        "not there yet",
        "not to be relied on",
    ];

    /// What programs read.
    pub const fn word(self) -> &'static str {
        let [may_start, could_have, in_order, old, does_not_fit, not_accepted, not_yet, doubtful] = Self::WORDS;
        match self {
            Self::MayStart => may_start,
            Self::CouldHaveStarted { .. } => could_have,
            Self::InOrder => in_order,
            Self::Old => old,
            Self::DoesNotFit => does_not_fit,
            Self::OwnerNotAccepted => not_accepted,
            Self::NotYet => not_yet,
            Self::Doubtful => doubtful,
        }
    }

    /// Whether nothing speaks against the file itself, nor against what it was held against.
    pub const fn is_in_order(&self) -> bool {
        match self {
            Self::MayStart | Self::CouldHaveStarted { .. } | Self::InOrder | Self::Old => true,
            Self::DoesNotFit | Self::OwnerNotAccepted | Self::NotYet | Self::Doubtful => false,
        }
    }
}

/// What the assemblies are brought to by a checklist; nothing where nothing may start.
pub(super) fn brought_to(report: &Verification) -> Aims {
    let each = if report.may_start() { report.aims.each.clone() } else { Vec::new() };
    Aims { each, ..report.aims }
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
    /// What the assemblies are brought to; nothing where nothing may start.
    pub aims: Aims,
    /// The zone by whose days it was judged; that of the trust file, where it cannot be read.
    pub zone: Zone,
}

/// A checklist that was verified and not yet seen beside others: what it is worth comes from [`Desk::answers`].
#[derive(Debug)]
pub struct SeenAlone(Verified);

impl SeenAlone {
    /// Without what no answer tells: the texts inside, and what was in order. Of a thousand files nobody keeps those.
    #[must_use]
    pub fn without_texts(mut self) -> Self {
        if let Some(body) = &mut self.0.report.body {
            (body.findings.ruled_out, body.inputs.record.text) = (Vec::new(), String::new());
            body.findings.values.clear();
            body.inputs.shop_file = None;
            body.figures.clear();
        }
        self
    }

    pub(super) fn into_verified(self) -> Verified {
        self.0
    }
}

impl Desk<'_> {
    /// Reads what checklists are to be held against.
    ///
    /// # Errors
    /// The faults of the packs.
    pub fn against(&self, order: VerifyOrder, trust: Trust) -> Result<Against, Refusal> {
        let (at, from) = self.at_or_seen(order.at, &trust)?;
        let set = packs(&order.packs)?;
        Ok(Against {
            trust,
            at,
            present: if from == AtFrom::Given { self.clock.now() } else { None },
            chosen: from == AtFrom::Given,
            job: order.job,
            point: order.point,
            assemblies: order.assemblies,
            shop: order.shop.as_ref().map(super::shop).transpose()?,
            records: present(&order.records, &order.found),
            parts: parts(&set),
            set,
            editions: Editions::read(&order.editions)?,
            rejudge: order.rejudge,
            earlier: self.links(&order.before, &order.among),
        })
    }
}

/// What a report comes to, asked for an instant.
fn answer(report: &Verification, at: Instant, zone: &Zone) -> Answer {
    if report.may_start() {
        Answer::MayStart
    } else if !report.in_order() {
        Answer::Doubtful
    } else if report.is_beyond_the_trust_file() {
        Answer::DoesNotFit
    } else if report.bars.iter().any(Reason::leaves_open_whose) {
        Answer::OwnerNotAccepted
    } else if report.misfits().next().is_some() {
        Answer::DoesNotFit
    } else if report.was_not_there() {
        Answer::NotYet
    } else if report.could_have_started() {
        Answer::CouldHaveStarted { at: at.in_zone(zone) }
    } else if report.old {
        Answer::Old
    } else {
        Answer::InOrder
    }
}

impl Verified {
    /// Whether something may start by it, or could have.
    pub(super) const fn starts(&self) -> bool {
        matches!(self.answer, Answer::MayStart | Answer::CouldHaveStarted { .. })
    }

    /// Whether it is told that something which held until a time is over.
    pub(super) fn is_over(&self) -> bool {
        !self.report.old && self.report.bars.iter().any(Reason::is_over)
    }

    /// Takes in what was found when it was seen beside others.
    pub(super) fn bar(&mut self, reason: Reason) {
        self.report.bars.push(reason);
        self.aims.each.clear();
        if self.starts() {
            self.answer = Answer::InOrder;
        }
    }

    /// How to put a reason right: of a file of which the work is long done, nobody does that work again.
    pub fn cure<'r>(&self, reason: &'r Reason) -> Cow<'r, str> {
        if self.report.old { reason.help_when_old() } else { reason.help() }
    }

    /// The rules that hold the job, see [`held_by`].
    pub fn held_by(&self) -> Vec<HeldBy> {
        self.report.body.as_ref().map(held_by).unwrap_or_default()
    }
}

/// The rules that hold the job of a checklist, by their codes, each with its title and its subjects in words.
pub fn held_by(body: &ChecklistBody) -> Vec<HeldBy> {
    let mut found: Vec<HeldBy> = Vec::new();
    let faults = body.findings.each_fault();
    for fault in faults.into_iter().filter(FaultPart::holds) {
        let subject = fault.subject_words();
        match found.iter_mut().find(|known| known.rule == fault.rule) {
            Some(known) => known.subjects.push(subject),
            None => found.push(HeldBy { rule: fault.rule, title: fault.title, subjects: vec![subject] }),
        }
    }
    found
}

/// A rule that holds the job of a checklist.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeldBy {
    /// `pack/rule`.
    pub rule: String,
    /// Its title.
    pub title: String,
    /// Its subjects in words.
    pub subjects: Vec<String>,
}

impl Against {
    /// The trust file that all are held against.
    pub const fn trust(&self) -> &Trust {
        &self.trust
    }

    /// Whether the instant of the question is the present one.
    pub(super) const fn is_of_now(&self) -> bool {
        !self.chosen
    }

    /// The packs that records are read by.
    pub(super) const fn packs(&self) -> &PackSet {
        &self.set
    }

    /// What lies in folders of records and is of no job that anybody can tell: it was not looked at.
    pub fn records_not_looked_at(&self) -> Vec<PathBuf> {
        left_aside(&self.records)
    }

    /// Editions that were given and judged none of the files verified so far.
    pub fn editions_unused(&self) -> Vec<PackPart> {
        self.editions.unused()
    }

    /// The instant of the question.
    pub const fn at(&self) -> Instant {
        self.at
    }

    /// Verifies one checklist, without those that may have taken its place.
    ///
    /// # Errors
    /// Which other file it is: of that nothing is asked here, however good it is.
    pub fn look_at(&self, checklist: &NamedBytes) -> Result<SeenAlone, Refusal> {
        is_a_checklist(checklist)?;
        Ok(SeenAlone(self.verify(checklist)))
    }

    fn verify(&self, checklist: &NamedBytes) -> Verified {
        let named = (!self.editions.is_empty()).then(|| packs_of(&checklist.label(), &checklist.bytes)).flatten();
        let old = named.and_then(|packs| Some((self.editions.set(&packs, &self.set)?, packs)));
        let packs = match &old {
            Some((set, parts)) => Packs { set, parts },
            None => Packs { set: &self.set, parts: &self.parts },
        };
        let question = Question {
            trust: &self.trust,
            at: self.at,
            present: self.present,
            chosen: self.chosen,
            meant: Intended { job: self.job.as_deref(), point: self.point, assemblies: &self.assemblies },
            records: Records::Of(&self.records),
            packs: Some(packs),
            old_edition: old.is_some(),
            rejudge: self.rejudge,
            shop: self.shop.as_ref(),
            earlier: &self.earlier,
        };
        let mut report = verify::verify(&checklist.label(), &checklist.bytes, &question);
        let given = self.editions.parts();
        report.faults.iter_mut().chain(&mut report.bars).for_each(|reason| reason.also_given(&given));
        // That time has passed says least of what is long past.
        let old = report.old;
        report.bars.sort_by_key(|bar| (bar.place(), old && bar.is_of_age()));
        let named = report.body.as_ref().and_then(|body| Zone::find(&body.time_zone).ok());
        let zone = named.unwrap_or_else(|| self.trust.zone().clone());
        let answer = answer(&report, self.at, &zone);
        let permits = report.body.as_ref().map(|body| PermitLine::all(body, Some(&self.trust))).unwrap_or_default();
        let aims = brought_to(&report);
        Verified { answer, report, permits, aims, zone }
    }
}

/// Holds a file to be a checklist, as far as it says itself what it is: of another file nothing is asked here. A file that
/// says nothing is looked at, and is not to be relied on.
pub(super) fn is_a_checklist(file: &NamedBytes) -> Result<(), Refusal> {
    match FileSort::told_by(&file.bytes) {
        Some(sort) if sort != FileSort::Signed(Kind::Checklist) => {
            Err(Unfit::NoChecklist { name: file.name.clone(), sort }.into())
        }
        _ => Ok(()),
    }
}
