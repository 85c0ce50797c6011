//! Verification: everything that stands against a checklist, each with its own words.
//!
//! A checklist lets a fill start only when nothing is left to say. What makes the file itself doubtful is kept apart from
//! what only bars the start, such as a HOLD that is perfectly in order, or a question that was not asked in full. Must
//! not know where files lie, or how an answer is told.

mod again;
mod clock;
pub mod link;
mod not_yet;
mod otherwise;
mod permits;
mod records;
mod signers;
mod subject;

use super::body::{ChecklistBody, Instants};
use super::changes::FactChange;
use super::filled::{Filled, not_covered};
use super::jws::Envelope;
use super::links::Links;
use super::packs::{PackPart, Packs};
use super::reason::{NotMeant, Reason, TrustReason};
use super::trust::{Trust, ahead_of};
use crate::engine::Aims;
use crate::record::Job;
use crate::record::shop::Shop;
use crate::units::{Exact, Instant};
use crate::vocabulary::{HoldPoint, Kind, Role};

use clock::Behind;

pub use otherwise::Otherwise;
pub use records::{Given, Present, Records};

/// What somebody means who asks by a checklist: nothing, where the checklist alone is to say it.
#[derive(Debug, Clone, Copy, Default)]
pub struct Intended<'a> {
    /// The job that is to be filled.
    pub job: Option<&'a str>,
    /// The hold point that is to be passed.
    pub point: Option<HoldPoint>,
    /// The assemblies that are to go on, by their marks.
    pub assemblies: &'a [String],
}

/// What a checklist is held against.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// The shop's trust file.
    pub trust: &'a Trust,
    /// The present instant, or the one as of which is asked.
    pub at: Instant,
    /// The present, where `at` is known to lie before it: the person who signed between the two is a witness.
    pub present: Option<Instant>,
    /// Whether `at` was chosen rather than read from the clock. Then the question is what was, and nothing may start.
    pub chosen: bool,
    /// What is meant, where somebody says so.
    pub meant: Intended<'a>,
    /// The records as they stand now.
    pub records: Records<'a>,
    /// The packs given. Where they are those of the checklist, the record inside is judged again, and permits and roles
    /// are held against their rules; otherwise nothing may start.
    pub packs: Option<Packs<'a>>,
    /// Whether the packs are an edition that is no longer in force: then nothing may start.
    pub old_edition: bool,
    /// Whether judging again is demanded: where it cannot be done, that is then a fault.
    pub rejudge: bool,
    /// The shop file as it stands now.
    pub shop: Option<&'a Shop>,
    /// Signed checklists of earlier hold points, of which those are looked at that the checklist follows.
    pub earlier: &'a Links,
}

impl Question<'_> {
    /// Whether it is asked how something stood, and not how it stands: then the clock of this machine is not in question.
    const fn looks_back(&self) -> bool {
        self.chosen || self.present.is_some()
    }
}

/// One signature and what became of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CheckedSignature {
    /// Who signed, or the key where nobody is known to hold it; empty where the header cannot be read.
    pub who: String,
    /// The thumbprint of the key.
    pub kid: String,
    /// The role claimed.
    pub role: Option<Role>,
    /// The instant claimed.
    pub at: Option<Instant>,
    /// Why it does not count, if it does not.
    pub fault: Option<Reason>,
    /// Whether it was made when the judgement no longer held: it fills no role, and bears out that the content was there.
    pub witness: bool,
    /// What has happened to the key since. One that ended was good when it signed; of one that was revoked nobody knows when
    /// it did.
    pub since: Option<Reason>,
}

/// The answer.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "each says one thing by itself, and all may be so together")]
pub struct Verification {
    /// The content, as far as it could be read. Show nothing of a file but this.
    pub body: Option<ChecklistBody>,
    /// The signatures in their order.
    pub signatures: Vec<CheckedSignature>,
    /// What makes the file doubtful.
    pub faults: Vec<Reason>,
    /// What bars a start although the file may be in order.
    pub bars: Vec<Reason>,
    /// Whether the record inside was judged again, with the same findings.
    pub rejudged: bool,
    /// What the assemblies of a PASS that was judged again are brought to.
    pub aims: Aims,
    /// Whether what it was for is long past: then nobody is told to do anything about it.
    pub old: bool,
    /// What the record says otherwise than at the hold point before, and was judged again by.
    pub changes: Vec<FactChange>,
    /// The assemblies of the record that it does not cover, as far as the record could be read: nothing happens to them
    /// by it.
    pub not_covered: Vec<Filled>,
    /// Whether the shop file given is another one than was judged by, and says the same of all that the record draws on.
    pub shop_elsewhere: bool,
    /// Whether only the question, asked for a chosen instant, and what was found out later bar the start.
    could_start_then: bool,
    /// What another edition or build of the program had worked out otherwise; no fault, and nothing that the verdict
    /// hangs on.
    pub otherwise: Vec<Otherwise>,
}

impl Verification {
    /// Whether the fill may start: a PASS, signed, unchanged, in force, for this record.
    pub const fn may_start(&self) -> bool {
        self.faults.is_empty() && self.bars.is_empty()
    }

    /// Whether a fill could have started at the instant that was chosen for the question, as far as is known today: a key
    /// that was revoked later counts where somebody else bears out what it signed.
    pub fn could_have_started(&self) -> bool {
        self.in_order() && self.could_start_then
    }

    /// Whether the file is what it says, whatever its verdict.
    pub const fn in_order(&self) -> bool {
        self.faults.is_empty()
    }

    /// Whether it is of another shop than the trust file: by that nothing is known of it but whether a key that both shops
    /// know made a signature, and nothing else is said.
    pub fn is_of_another_shop(&self) -> bool {
        self.bars.iter().any(|bar| matches!(bar, Reason::OtherShop { .. } | Reason::OtherOwners(_)))
    }

    /// Whether it was signed by a later version of the trust file than the one given, by which it cannot be judged.
    pub fn is_of_a_later_version(&self) -> bool {
        self.bars.iter().any(|bar| matches!(bar, Reason::OfTrust(TrustReason::LaterThanGiven { .. })))
    }

    /// Whether nothing can be said of it by the trust file given, but that a key made a signature.
    pub fn is_beyond_the_trust_file(&self) -> bool {
        self.is_of_another_shop() || self.is_of_a_later_version()
    }

    /// Whether it was asked for as of an instant at which it was not there yet; nothing could start by it then.
    pub fn was_not_there(&self) -> bool {
        self.bars.iter().any(|bar| matches!(bar, Reason::NotMeant(NotMeant::NotYet { .. })))
    }

    /// Why it is of another shop, version, job, hold point, assembly or record than the one given, whatever it is worth by
    /// itself.
    pub fn misfits(&self) -> impl Iterator<Item = &Reason> {
        let is_misfit = |bar: &&Reason| {
            matches!(
                bar,
                Reason::OtherShop { .. }
                    | Reason::OtherOwners(_)
                    | Reason::OfTrust(TrustReason::LaterThanGiven { .. })
                    | Reason::NotMeant(_)
                    | Reason::RecordChanged(_)
            )
        };
        let is_not_yet = |bar: &&Reason| matches!(bar, Reason::NotMeant(NotMeant::NotYet { .. }));
        self.bars.iter().filter(is_misfit).filter(move |bar| !is_not_yet(bar))
    }

    /// The hold point beyond which nobody goes by it: the one that was meant, where it is for another.
    pub fn stops_at(&self) -> HoldPoint {
        let meant = self.bars.iter().find_map(|bar| match bar {
            Reason::NotMeant(NotMeant::HoldPoint { due, .. }) => Some(*due),
            _ => None,
        });
        meant.or_else(|| self.body.as_ref().map(|body| body.hold_point)).unwrap_or_default()
    }

    /// Every reason, the doubtful first.
    pub fn reasons(&self) -> impl Iterator<Item = &Reason> {
        self.faults.iter().chain(&self.bars)
    }
}

/// The packs that a checklist names, as far as it can be read; nothing of it has been verified yet.
pub fn packs_of(name: &str, bytes: &[u8]) -> Option<Vec<PackPart>> {
    let envelope = Envelope::read(Kind::Checklist, name, bytes).ok()?;
    Some(envelope.body::<ChecklistBody>().ok()?.inputs.packs)
}

/// Verifies a checklist; `name` is what reports call the file.
pub fn verify(name: &str, bytes: &[u8], question: &Question<'_>) -> Verification {
    verify_and_read(name, bytes, question).0
}

/// The same, with the job of the record inside where it could be read.
fn verify_and_read(name: &str, bytes: &[u8], question: &Question<'_>) -> (Verification, Option<Job>) {
    let mut report = Verification::default();
    let opened = Envelope::read(Kind::Checklist, name, bytes)
        .and_then(|envelope| envelope.body::<ChecklistBody>().map(|body| (envelope, body)));
    let (envelope, body) = match opened {
        Ok(opened) => opened,
        Err(fault) => {
            report.faults.push(fault.into());
            return (report, None);
        }
    };
    let (instants, contradictions) = body.contradictions();
    report.faults.extend(contradictions);
    // The present instant is given back by the clock of the shop, like all others of the file.
    let at = instants.as_ref().map_or(question.at, |instants| question.at.in_zone(&instants.zone));
    let question = &Question { at, ..*question };
    if let Some(bar) = by_other_trust(&body, question.trust) {
        report.bars.push(bar);
        report.faults.extend(signers::by_keys_alone(&envelope, question.trust));
        report.body = Some(body);
        return (report, None);
    }
    let (not_yet, looked_at) = not_yet::judged_since(&body, instants.as_ref(), question).unzip();
    let question = &Question { at: looked_at.unwrap_or(at), ..*question };
    let at = question.at;
    let behind = Behind::of(question, instants.as_ref(), &envelope);
    let question = &Question { at: behind.as_ref().map_or(at, |behind| behind.at), ..*question };
    let good = signers::check(&envelope, &body, instants.as_ref(), question, &mut report);
    if let Some(instants) = &instants {
        times(&body, instants, question, &mut report);
        packs(&body, instants, question, &mut report);
        permits::check(&body, instants, question, &good, &mut report);
    }
    // Read once, and only where packs are there to judge it by: it takes longer than everything else together. Without
    // them nothing starts by the checklist.
    let record = question.packs.map(|packs| {
        let written = question.records.read_inside(&body);
        match &instants {
            Some(instants) => body.whole_record_of(written?, packs.set, instants),
            None => written,
        }
    });
    let job = again::read(instants.as_ref(), record.as_ref(), question);
    let judged = job.as_ref().and_then(|job| job.as_ref().ok());
    report.not_covered = judged.map(|job| not_covered(job, &body.assemblies)).unwrap_or_default();
    subject::check((&body, instants.as_ref()), (record.as_ref(), judged), question, &mut report);
    again::check(&body, instants.as_ref(), job.as_ref(), question, &mut report);
    trust(&body, instants.as_ref(), question, &mut report);
    if !body.passes() {
        report.bars.push(Reason::Hold);
    }
    if body.rehearsal {
        report.bars.push(Reason::Rehearsal);
    }
    if question.old_edition {
        report.bars.push(Reason::OldEdition);
    }
    report.bars.extend(not_yet);
    if question.chosen && !report.was_not_there() {
        report.could_start_then = report.bars.iter().all(|bar| bar.is_borne_out_theft_after(question.at));
        report.bars.push(Reason::NotNow { at: question.at });
    }
    report.old = instants.as_ref().is_some_and(|instants| is_old(instants, question.at));
    if let Some(behind) = behind {
        behind.say(&mut report);
    }
    report.body = Some(body);
    (report, job.and_then(Result::ok))
}

/// That the trust file given tells nothing of a checklist, since it is of another shop or of an earlier version.
fn by_other_trust(body: &ChecklistBody, trust: &Trust) -> Option<Reason> {
    let named = &body.inputs.trust;
    if named.is_of_another(trust) {
        return Some(Reason::OtherShop { found: named.shop.clone(), due: trust.shop().to_owned() });
    }
    if named.has_no_owner_of(trust) {
        return Some(Reason::OtherOwners(named.shop.clone()));
    }
    named.later(trust)
}

/// How long after its end nobody waits any more to start by a checklist: the next day the job is another one.
const WAITED_FOR_SECONDS: i64 = 86_400;

/// Whether what a checklist was for is long past.
fn is_old(instants: &Instants, at: Instant) -> bool {
    let end = instants.valid_until.unwrap_or(instants.judged_at);
    at.seconds_since(end) > Exact::from_int(WAITED_FOR_SECONDS)
}

/// The trust file itself, at the instant of the question, and whether it is the one that the body names.
fn trust(body: &ChecklistBody, instants: Option<&Instants>, question: &Question<'_>, report: &mut Verification) {
    let named = &body.inputs.trust;
    report.faults.extend(named.differs(question.trust));
    report.bars.extend(named.unseen(question.trust));
    // Anyone who looks back does so with the latest trust file; that it was made later says nothing then. Anyone who
    // does not has been told of the clock alone.
    let lapses = question.trust.lapses(question.at).filter(|reason| !matches!(reason, Reason::ClockBehind { .. }));
    if let Some(reason) = lapses {
        // Every trust file ends. What was judged and signed before says no less for that; nothing starts by it any more.
        let ended = matches!(reason, Reason::OfTrust(TrustReason::Ended { .. }))
            && ended_since(instants, question.trust, report);
        let list = if ended { &mut report.bars } else { &mut report.faults };
        list.push(reason);
    }
    report.bars.extend(question.trust.bars());
}

/// Whether the trust file has ended, and everything was judged and signed before that.
fn ended_since(instants: Option<&Instants>, trust: &Trust, report: &Verification) -> bool {
    let Some(Instants { judged_at, .. }) = instants else { return false };
    let has_ended = |at: Instant| matches!(trust.lapses(at), Some(Reason::OfTrust(TrustReason::Ended { .. })));
    let mut done = report.signatures.iter().filter_map(|signed| signed.at).chain([*judged_at]);
    done.all(|at| !has_ended(at))
}

/// The instants of the body against the present and the trust file. A rehearsal says nothing of the present.
fn times(body: &ChecklistBody, instants: &Instants, question: &Question<'_>, report: &mut Verification) {
    let version = body.inputs.trust.version;
    // A shop may move, and then its trust file says so in a later version; by the old clock nothing starts any more.
    if instants.zone != *question.trust.zone() {
        let (found, due) = (body.time_zone.clone(), question.trust.zone().name().to_owned());
        let list = if version == question.trust.version() { &mut report.faults } else { &mut report.bars };
        list.push(Reason::OtherZone { found, due });
    }
    if body.rehearsal {
        return;
    }
    if ahead_of(instants.judged_at, question.at) {
        report.faults.push(Reason::JudgedAhead { at: instants.judged_at });
    }
    // Back-dating is measured against the version named, not the one in force.
    if question.trust.made_in(version).is_some_and(|made| ahead_of(made, instants.judged_at)) {
        report.faults.push(Reason::BackDated { at: instants.judged_at, version });
    }
    if let Some(until) = instants.valid_until.filter(|until| question.at > *until) {
        report.bars.push(Reason::Lapsed { until });
    }
}

/// The packs must be all that had to judge, must have been approved when they judged, and must still be for a start.
fn packs(body: &ChecklistBody, instants: &Instants, question: &Question<'_>, report: &mut Verification) {
    let then = if body.rehearsal { question.at } else { instants.judged_at };
    let packs = body.packs();
    let left_out = question.trust.left_out(packs, then);
    if left_out.is_empty() && !is_old(instants, question.at) {
        // What is required since has not judged, and its rules may hold what is still to be done.
        report.bars.extend(question.trust.left_out(packs, question.at));
    }
    report.faults.extend(left_out);
    for pack in packs {
        let approved = |at| question.trust.approves(&pack.name, &pack.edition, &pack.sha256, at);
        match (approved(then), approved(question.at)) {
            (Err(reason), _) => report.faults.push(reason),
            // What may judge today does not matter to what cannot start today.
            (Ok(()), Err(reason)) if !is_old(instants, question.at) => report.bars.push(reason),
            (Ok(()), _) => {}
        }
    }
}
