//! Verification: everything that stands against a checklist, each with its own words.
//!
//! A checklist lets a fill start only when nothing is left to say. What makes the file itself doubtful is kept apart from
//! what only bars the start, such as a HOLD that is perfectly in order.

mod again;
mod signers;

use super::body::{Body, Instants};
use super::jws::{Envelope, Kind, Role};
use super::packs::Packs;
use super::permit::Permit;
use super::reason::Reason;
use super::trust::{Trust, ahead_of};
use crate::units::Instant;

/// What a checklist is held against.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// The shop's trust file.
    pub trust: &'a Trust,
    /// The present instant.
    pub at: Instant,
    /// The job that is to be filled, if a certain one is meant.
    pub job: Option<&'a str>,
    /// The record as it stands now.
    pub record: Option<&'a [u8]>,
    /// The packs at hand; permits are held against their rules.
    pub packs: Option<Packs<'a>>,
    /// Whether the record inside is judged again by those packs.
    pub rejudge: bool,
}

/// One signature and what became of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signed {
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
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// The content, as far as it could be read. Show nothing of a file but this.
    pub body: Option<Body>,
    /// The signatures in their order.
    pub signatures: Vec<Signed>,
    /// What makes the file doubtful.
    pub faults: Vec<Reason>,
    /// What bars a start although the file may be in order.
    pub bars: Vec<Reason>,
}

impl Report {
    /// Whether the fill may start: a PASS, signed, unchanged, in force, for this record.
    pub const fn may_start(&self) -> bool {
        self.faults.is_empty() && self.bars.is_empty()
    }

    /// Whether the file is what it says, whatever its verdict.
    pub const fn in_order(&self) -> bool {
        self.faults.is_empty()
    }

    /// Every reason, the doubtful first.
    pub fn reasons(&self) -> impl Iterator<Item = &Reason> {
        self.faults.iter().chain(&self.bars)
    }
}

/// Verifies a checklist; `name` is what reports call the file.
pub fn verify(name: &str, bytes: &[u8], question: &Question<'_>) -> Report {
    let mut report = Report { body: None, signatures: Vec::new(), faults: Vec::new(), bars: Vec::new() };
    let opened = Envelope::read(Kind::Checklist, name, bytes)
        .and_then(|envelope| envelope.body::<Body>().map(|body| (envelope, body)));
    let (envelope, body) = match opened {
        Ok(opened) => opened,
        Err(fault) => {
            report.faults.push(fault.into());
            return report;
        }
    };
    let (instants, contradictions) = body.contradictions();
    report.faults.extend(contradictions);
    signers::check(&envelope, &body, instants, question, &mut report);
    if let Some(instants) = instants {
        times(&body, instants, question, &mut report);
        packs(&body, instants, question, &mut report);
        permits(&body, instants, question, &mut report);
    }
    subject(&body, question, &mut report);
    if question.rejudge {
        again::check(&body, question, &mut report);
    }
    if !body.passes() {
        report.bars.push(Reason::Hold);
    }
    if body.rehearsal {
        report.bars.push(Reason::Rehearsal);
    }
    report.bars.extend(question.trust.lapses(question.at));
    report.body = Some(body);
    report
}

/// The instants of the body against the present and the trust file. A rehearsal says nothing of the present.
fn times(body: &Body, instants: Instants, question: &Question<'_>, report: &mut Report) {
    if let Some(least) = body.trust_version.filter(|version| *version > question.trust.version()) {
        report.faults.push(Reason::TrustOlder { found: question.trust.version(), least });
    }
    if body.rehearsal {
        return;
    }
    if ahead_of(instants.judged_at, question.at) {
        report.faults.push(Reason::JudgedAhead { at: body.judged_at.clone() });
    }
    let named = body.trust_version.filter(|version| *version == question.trust.version());
    if let Some(version) = named.filter(|_| ahead_of(question.trust.made_at(), instants.judged_at)) {
        report.faults.push(Reason::BackDated { at: body.judged_at.clone(), version });
    }
    if let Some(until) = instants.valid_until.filter(|until| question.at > *until) {
        report.bars.push(Reason::Lapsed { until: until.to_record_text() });
    }
}

/// The packs must have been approved when they judged, and must still be for a start.
fn packs(body: &Body, instants: Instants, question: &Question<'_>, report: &mut Report) {
    for pack in &body.packs {
        let approved = |at| question.trust.approves(&pack.name, &pack.edition, &pack.sha256, at);
        let then = if body.rehearsal { question.at } else { instants.judged_at };
        match (approved(then), approved(question.at)) {
            (Err(reason), _) => report.faults.push(reason),
            (Ok(()), Err(reason)) => report.bars.push(reason),
            (Ok(()), Ok(())) => {}
        }
    }
}

/// Each permit must count by itself, be for this job, and be the one that its finding needs.
fn permits(body: &Body, instants: Instants, question: &Question<'_>, report: &mut Report) {
    let mut codes = Vec::new();
    for value in &body.permits {
        let permit = match Envelope::nested(Kind::Permit, value).and_then(Permit::of) {
            Ok(permit) => permit,
            Err(fault) => {
                report.faults.push(fault.into());
                continue;
            }
        };
        let packs = question.packs.filter(|packs| body.packs == packs.parts);
        for reason in permit.check(question.trust, packs, instants.judged_at) {
            let revoked_since = matches!(&reason, Reason::Permit { reason, .. }
                if matches!(**reason, Reason::KeyRevokedSince { .. }));
            if revoked_since { report.bars.push(reason) } else { report.faults.push(reason) }
        }
        let inner = permit.body();
        let mut other = |what: String| report.faults.push(permit.wrap(Reason::PermitOther { what }));
        if inner.job != body.job {
            other(format!("the job `{}`", inner.job));
        }
        if !body.packs.contains(&inner.pack) {
            other(format!("the pack `{}` in another edition or with another digest", inner.pack.title()));
        }
        codes.push((permit.code(), inner.subject.clone()));
    }
    for fault in body.findings.faults.iter().filter(|fault| fault.permitted) {
        if !codes.contains(&(fault.rule.clone(), fault.subject.clone())) {
            let what =
                format!("`{}` of {} is said to be permitted, and no permit is for it", fault.rule, fault.subject);
            report.faults.push(Reason::Contradiction { what });
        }
    }
}

/// The job and the record that are meant.
fn subject(body: &Body, question: &Question<'_>, report: &mut Report) {
    if let Some(due) = question.job.filter(|due| *due != body.job) {
        report.faults.push(Reason::OtherJob { found: body.job.clone(), due: due.to_owned() });
    }
    match question.record {
        None => report.bars.push(Reason::RecordNotGiven),
        // The digest of the text inside has been held against the digest that the body states.
        Some(record) if record == body.record.text.as_bytes() => {}
        Some(record) => {
            let now = String::from_utf8_lossy(record);
            report.faults.push(Reason::RecordChanged { first: first_difference(&body.record.text, &now) });
        }
    }
}

/// Where two texts first differ, as words.
fn first_difference(before: &str, now: &str) -> String {
    let place = before.lines().zip(now.lines()).position(|(before, now)| before != now);
    match (place, before.lines().count(), now.lines().count()) {
        (Some(place), ..) => format!(", first in line {}", place + 1),
        (None, before, now) if before < now => format!(", from line {} on", before + 1),
        (None, before, now) if now < before => format!("; it ends after line {now}"),
        _ => ", in its line ends".to_owned(),
    }
}
