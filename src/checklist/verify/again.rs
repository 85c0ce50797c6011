//! The record inside a checklist, judged again by the packs it names.
//!
//! Must not know signatures.

use super::otherwise::{Comparing, Otherwise};
use super::{Question, Verification, link};
use crate::checklist::body::{ChecklistBody, Instants, Program, findings};
use crate::checklist::evidence::subject;
use crate::checklist::filled::filled;
use crate::checklist::jws::instant;
use crate::checklist::lapse::holds_until;
use crate::checklist::packs::{Packs, required_roles, roles_left_out};
use crate::checklist::permit::{BoundPermit, Permit, apply};
use crate::checklist::reason::{JudgedDiffers, NotJudged, Reason, ShopDiffers, SubjectName};
use crate::document::{Document, Faults};
use crate::engine::Scene;
use crate::record::{self, Job, shop};
use crate::units::{Instant, Zone};
use crate::vocabulary::Verdict;

/// The job of the record inside, where packs are given; otherwise nothing.
pub(super) fn read(
    instants: Option<&Instants>,
    record: Option<&Result<Document, Faults>>,
    question: &Question<'_>,
) -> Option<Result<Job, Reason>> {
    let (packs, record) = (question.packs?, record?);
    let unfit = |faults: Faults| Reason::NotJudgeable(NotJudged::Unfit(faults));
    let read = |zone: &Zone| {
        let document = record.as_ref().map_err(|faults| unfit(faults.clone()))?;
        record::read(document, packs.set.catalogue(), zone).map_err(unfit)
    };
    Some(instants.ok_or(Reason::NotJudgeable(NotJudged::NoInstant)).and_then(|instants| read(&instants.zone)))
}

/// Judges again where the packs are given; where they are not, nothing may start.
pub(super) fn check(
    body: &ChecklistBody,
    instants: Option<&Instants>,
    job: Option<&Result<Job, Reason>>,
    question: &Question<'_>,
    report: &mut Verification,
) {
    let (packs, job) = match (question.packs, job) {
        (Some(packs), Some(job)) if body.packs() == packs.parts => (packs, job),
        (packs, _) => {
            let demanded = question.rejudge;
            without(body, packs, demanded, report);
            return;
        }
    };
    let missing = roles_left_out(&required_roles(packs.set), &body.required_roles);
    if !missing.is_empty() {
        report.faults.push(Reason::RolesLowered { missing });
    }
    let faults = report.faults.len();
    let judged = match (job, instants) {
        (Ok(job), Some(instants)) => judge(body, instants, job, packs, question, report),
        (Ok(_), None) => Ok(()),
        (Err(reason), _) => Err(reason.clone()),
    };
    report.faults.extend(judged.err());
    report.rejudged = report.faults.len() == faults;
}

/// What is left open where the packs of the checklist are not given.
fn without(body: &ChecklistBody, packs: Option<Packs<'_>>, demanded: bool, report: &mut Verification) {
    let differ = packs.and_then(|packs| body.same_packs(packs).err());
    match (differ, demanded) {
        (Some(reason), true) => report.faults.push(reason),
        (None, true) => report.faults.push(Reason::NotJudgeable(NotJudged::NoPacks)),
        (Some(reason), false) => report.bars.push(Reason::NotRejudged { other: Some(Box::new(reason)) }),
        (None, false) => report.bars.push(Reason::NotRejudged { other: None }),
    }
    if !body.permits.is_empty() {
        report.bars.push(Reason::PermitsNotChecked);
    }
}

/// Judges the record again at the instant of its judgement and at the present one.
fn judge(
    body: &ChecklistBody,
    Instants { judged_at: at, valid_until: until, zone }: &Instants,
    job: &Job,
    packs: Packs<'_>,
    question: &Question<'_>,
    report: &mut Verification,
) -> Result<(), Reason> {
    let point = body.hold_point;
    let permits: Vec<Permit> = body.open_permits().flatten().collect();
    let bound: Vec<BoundPermit<'_>> =
        permits.iter().map(|permit| BoundPermit::new(permit, packs, job, zone, point)).collect();
    for misfit in bound.iter().filter_map(BoundPermit::misfit) {
        // That it is for something else was said of the permit by itself.
        if !report.faults.contains(&misfit) {
            report.faults.push(misfit);
        }
    }
    let scene = body.scene(packs.set, job, *at, zone)?;
    report.otherwise = compare(body, packs, &scene, &bound).map_err(Reason::JudgedOtherwise)?;
    if body.passes() {
        report.aims = scene.aims();
    }
    let found = link::check(body, &scene, packs, question);
    report.faults.extend(found.fault);
    report.bars.extend(found.bar);
    report.changes = found.changes;
    if until.is_some_and(|until| question.at <= until) && !body.rehearsal {
        let judged_at = at;
        let at = question.at.max(*judged_at);
        // Where what the job draws on is otherwise already, that is said, and what follows from it is not.
        let is_otherwise = report.bars.iter().any(|bar| matches!(bar, Reason::ShopChanged(_)));
        let made = if is_otherwise { None } else { present(body, packs, question, (*judged_at, at, zone)) };
        match made {
            None => report.bars.extend(now(body, packs, job, (at, zone), &bound)),
            Some(Ok(job)) => {
                let bound: Vec<BoundPermit<'_>> =
                    permits.iter().map(|permit| BoundPermit::new(permit, packs, &job, zone, point)).collect();
                report.bars.extend(now(body, packs, &job, (at, zone), &bound));
            }
            Some(Err(faults)) => report.bars.push(Reason::ShopChanged(ShopDiffers::Unfit(faults))),
        }
    }
    Ok(())
}

/// The job as its record and the present shop file make it now, where the shop file is given: what was done and found there
/// since the judgement holds it as it would hold a check. Otherwise nothing. The record inside was there when it was judged.
fn present(
    body: &ChecklistBody,
    packs: Packs<'_>,
    question: &Question<'_>,
    (judged_at, at, zone): (Instant, Instant, &Zone),
) -> Option<Result<Job, Faults>> {
    let shop = question.shop.filter(|_| body.inputs.shop_file.is_some())?;
    let written = question.records.read_inside(body).ok()?;
    let made = shop::expand_written(written, judged_at, Some(shop), packs.set, zone, at);
    Some(made.and_then(|made| record::read(&made.document, packs.set.catalogue(), zone)))
}

/// What holds the job at the present instant, if anything does: the search that found the end of its validity is not relied
/// on alone.
fn now(
    body: &ChecklistBody,
    packs: Packs<'_>,
    job: &Job,
    (at, zone): (Instant, &Zone),
    bound: &[BoundPermit<'_>],
) -> Option<Reason> {
    let scene = body.scene(packs.set, job, at, zone).ok()?;
    let judgement = scene.judge();
    let permitted = apply(&scene, packs.parts, &judgement, bound);
    if permitted.verdict == Verdict::Pass {
        return None;
    }
    let mut open = judgement.findings.iter().zip(&permitted.by);
    let held = open.find(|(finding, permit)| finding.holds() && permit.is_none());
    let held = held.map(|(finding, _)| {
        let (place, mark) = subject(&scene, finding);
        (scene.code_of(finding), SubjectName { place, mark })
    });
    Some(Reason::NoLongerPasses { at, held })
}

/// What comes out otherwise when the record is judged again: everything in the body that follows from record, packs,
/// permits and instant is compared as data.
///
/// # Errors
/// What makes the body doubtful. Given is what another edition of the program may work out otherwise.
fn compare(
    body: &ChecklistBody,
    packs: Packs<'_>,
    scene: &Scene<'_>,
    bound: &[BoundPermit<'_>],
) -> Result<Vec<Otherwise>, JudgedDiffers> {
    let judgement = scene.judge();
    let permitted = apply(scene, packs.parts, &judgement, bound);
    if permitted.verdict != body.verdict {
        return Err(JudgedDiffers::Verdict { found: body.verdict, due: permitted.verdict });
    }
    if filled(scene.covered().map(|(_, entity)| entity)) != body.assemblies {
        return Err(JudgedDiffers::Assemblies);
    }
    let (own_findings, own_figures) = findings(scene, &judgement, &permitted);
    let comparing = Comparing::of(&body.figures, &own_figures, body.program.told())?;
    let otherwise = comparing.findings(&body.findings, &own_findings)?;
    if let Some(first) = otherwise.first().filter(|_| body.program == Program::this()) {
        return Err(JudgedDiffers::Figure(first.place.clone()));
    }
    let holds = holds_until(packs, scene, &judgement, bound);
    if holds != body.valid_until.as_deref().and_then(instant) {
        return Err(JudgedDiffers::Until(holds));
    }
    Ok(otherwise)
}
