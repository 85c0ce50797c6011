//! A permit held against a record: whether it serves for it, and what a judgement comes to with it.
//!
//! This module must not know who signed a permit.

use super::{Permit, PermitBody, things};
use crate::checklist::evidence::{EvidenceLines, subject};
use crate::checklist::filled::{Filled, all_filled};
use crate::checklist::packs::{PackPart, Packs};
use crate::checklist::reason::{PermitReason, Reason};
use crate::engine::{Finding, Judgement, Scene};
use crate::record::catalogue::job as whole;
use crate::record::{Job, Value};
use crate::units::{Instant, Zone};
use crate::vocabulary::{HoldPoint, Verdict};

/// When the pump is to start, as the record has it.
fn planned_start(job: &Job) -> Option<Instant> {
    match job.whole()?.facts.get(whole::PLANNED_START)? {
        Value::Instant(start) => Some(*start),
        _ => None,
    }
}

/// What the fault of a permit is of in the record, where that is not what the permit names. Of what had no name then nobody
/// knows that it was this one.
fn named_otherwise(permit: &Permit, packs: Packs<'_>, scene: &Scene<'_>, judgement: &Judgement) -> Option<Vec<String>> {
    let found = judgement.findings.iter().find(|finding| permit.names(scene, packs.parts, finding))?;
    let now = things(scene, found);
    (now != permit.body.things).then_some(now)
}

/// A permit held against the record that it is to serve for. Only such a permit can set a finding aside.
#[derive(Debug, Clone)]
pub struct BoundPermit<'p> {
    permit: &'p Permit,
    misfit: Option<PermitMisfit>,
}

/// Why a permit does not serve for a record.
#[derive(Debug, Clone, PartialEq, Eq)]
enum PermitMisfit {
    /// Another job, hold point or zone.
    Elsewhere(Reason),
    /// Other tyres, or to other pressures: those of the record.
    Fill(Vec<Filled>),
    /// Another fault, by what it shows, or none.
    Evidence(Vec<String>),
    /// What shows alike under another title, or of another subject: those of the record.
    Called(String),
    /// The same fault of something else: what it is of.
    Things(Vec<String>),
    /// A start that is planned for after its end.
    Start(Instant),
}

impl PermitMisfit {
    /// What of a fault is not that of a permit; of no fault nothing is shown.
    fn of_fault(body: &PermitBody, scene: &Scene<'_>, found: Option<&Finding>) -> Self {
        let Some(found) = found else { return Self::Evidence(Vec::new()) };
        let evidence = EvidenceLines::of(scene, found);
        if evidence != body.evidence {
            return Self::Evidence(evidence.lines());
        }
        let ((subject, mark), rule) = (subject(scene, found), scene.rule(found));
        let title = rule.map(|rule| rule.title.to_string()).unwrap_or_default();
        Self::Called(PermitBody { mark, subject, title, ..body.clone() }.called())
    }
}

impl<'p> BoundPermit<'p> {
    /// Judges the record at the instant at which the permit was asked for, and compares what is filled and what it shows:
    /// readings grow older, but a fault that is worse, or shown by something else, is not what was permitted.
    pub fn new(permit: &'p Permit, packs: Packs<'_>, job: &Job, zone: &Zone, point: HoldPoint) -> Self {
        // One that nobody has signed was not asked for, and serves for nothing from its end on.
        Self::seen_at(permit, packs, job, zone, point, permit.asked_at.unwrap_or(permit.until))
    }

    /// The same by what the record shows at another instant: the person who permits sees it later than the person who asked.
    pub fn seen_at(
        permit: &'p Permit,
        packs: Packs<'_>,
        job: &Job,
        zone: &Zone,
        point: HoldPoint,
        at: Instant,
    ) -> Self {
        let scene = Scene::new(packs.set, job, at, zone).at_hold_point(point);
        let judgement = scene.judge();
        let mut named = judgement.findings.iter().filter(|finding| permit.names(&scene, packs.parts, finding));
        let body = &permit.body;
        let shows = |finding: &Finding| {
            subject(&scene, finding) == (body.subject.clone(), body.mark.clone())
                && scene.rule(finding).is_some_and(|rule| rule.title == body.title)
                && EvidenceLines::of(&scene, finding) == body.evidence
        };
        let elsewhere = permit.elsewhere(job.number(), point, zone.name());
        let misfit = if let Some(reason) = elsewhere {
            Some(PermitMisfit::Elsewhere(reason))
        } else if all_filled(job) != body.filled {
            Some(PermitMisfit::Fill(all_filled(job)))
        } else if let Some(other) = named.next().map_or(Some(None), |found| (!shows(found)).then_some(Some(found))) {
            Some(PermitMisfit::of_fault(body, &scene, other))
        } else if let Some(now) = named_otherwise(permit, packs, &scene, &judgement) {
            Some(PermitMisfit::Things(now))
        } else {
            planned_start(job).filter(|start| *start >= permit.until).map(PermitMisfit::Start)
        };
        Self { permit, misfit }
    }

    /// The permit.
    pub const fn permit(&self) -> &'p Permit {
        self.permit
    }

    /// When it was asked for, and until when it holds.
    pub(in crate::checklist) const fn span(&self) -> [Instant; 2] {
        match self.permit.asked_at {
            Some(asked_at) => [asked_at, self.permit.until],
            None => [self.permit.until; 2],
        }
    }

    /// Whether the record fills and shows what the permit was given for.
    pub const fn fits(&self) -> bool {
        self.misfit.is_none()
    }

    /// Why the permit does not serve for the record, if it does not.
    pub fn misfit(&self) -> Option<Reason> {
        Some(self.permit.wrap(match self.misfit.as_ref()? {
            PermitMisfit::Elsewhere(reason) => return Some(reason.clone()),
            PermitMisfit::Fill(now) => {
                let (given, now) = (self.permit.body.filled.clone(), now.clone());
                Reason::OfPermit(PermitReason::OtherFill { given, now })
            }
            PermitMisfit::Evidence(now) => {
                let (given, now) = (self.permit.body.evidence.lines(), now.clone());
                Reason::OfPermit(PermitReason::OtherEvidence { given, now })
            }
            PermitMisfit::Called(now) => {
                let given = vec![self.permit.body.called()];
                Reason::OfPermit(PermitReason::OtherThings { given, now: vec![now.clone()] })
            }
            PermitMisfit::Things(now) => {
                let own = &self.permit.body.things;
                // What is alike on both sides tells nothing.
                let [given, now] = [(own, now), (now, own)].map(|(lines, others)| {
                    lines.iter().filter(|line| !others.contains(line)).cloned().collect::<Vec<_>>()
                });
                Reason::OfPermit(PermitReason::OtherThings { given, now })
            }
            PermitMisfit::Start(start) => {
                Reason::OfPermit(PermitReason::EndsBefore { until: self.permit.until, start: *start })
            }
        }))
    }

    /// Why the permit sets nothing aside in this judgement.
    pub(in crate::checklist) fn idle(
        &self,
        scene: &Scene<'_>,
        parts: &[PackPart],
        judgement: &Judgement,
        all: &[BoundPermit<'_>],
    ) -> Reason {
        let named = judgement.findings.iter().any(|finding| self.permit.names(scene, parts, finding));
        // Of two that fit one finding the first sets it aside.
        let fitting = |bound: &&BoundPermit<'_>| bound.fits() && bound.permit.code() == self.permit.code();
        if named && self.fits() && all.iter().filter(fitting).count() > 1 {
            return self.permit.wrap(Reason::OfPermit(PermitReason::SetAsideAlready));
        }
        let elsewhere = matches!(self.misfit, Some(PermitMisfit::Elsewhere(_)));
        let misfit = self.misfit().filter(|_| named || elsewhere);
        misfit.unwrap_or_else(|| self.permit.wrap(Reason::OfPermit(PermitReason::NotNeeded)))
    }
}

/// A judgement with permits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PermittedJudgement {
    /// PASS if all that is left to hold the job is permitted.
    pub verdict: Verdict,
    /// For each finding of the judgement, the permit that sets it aside, by its position.
    pub by: Vec<Option<usize>>,
}

impl PermittedJudgement {
    /// Whether each of `count` permits sets something aside.
    pub fn unused(&self, count: usize) -> impl Iterator<Item = usize> + '_ {
        (0..count).filter(|permit| !self.by.contains(&Some(*permit)))
    }
}

/// What is left of a judgement when permits, already checked, are taken into account. A finding stays broken; it only
/// no longer holds the job.
pub fn apply(
    scene: &Scene<'_>,
    parts: &[PackPart],
    judgement: &Judgement,
    permits: &[BoundPermit<'_>],
) -> PermittedJudgement {
    let by: Vec<Option<usize>> = judgement
        .findings
        .iter()
        .map(|finding| permits.iter().position(|bound| bound.fits() && bound.permit.names(scene, parts, finding)))
        .collect();
    let holds = judgement.findings.iter().zip(&by).any(|(finding, permit)| finding.holds() && permit.is_none());
    // A HOLD without any finding that holds is a judgement by no rule; a permit cannot mend that.
    let held = judgement.findings.iter().any(Finding::holds);
    let verdict = if judgement.verdict == Verdict::Pass || (held && !holds) { Verdict::Pass } else { Verdict::Hold };
    PermittedJudgement { verdict, by }
}
