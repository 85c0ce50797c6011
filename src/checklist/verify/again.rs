//! The record inside a checklist, judged again by the packs it names.

use super::{Question, Verification};
use crate::checklist::body::{ChecklistBody, FaultPart, figures, findings};
use crate::checklist::jws::{Role, instant};
use crate::checklist::lapse::holds_until;
use crate::checklist::packs::{PackPart, Packs, required_roles, roles_left_out};
use crate::checklist::permit::{Bound, Permit, apply, subject};
use crate::checklist::reason::Reason;
use crate::document::{Document, Faults};
use crate::engine::{Scene, Verdict};
use crate::explain::{self, AtFrom};
use crate::record::{self, Job};
use crate::units::Instant;

/// Judges again where the packs are at hand; where they are not, nothing may start.
pub(super) fn check(
    body: &ChecklistBody,
    record: Option<&Result<Document, Faults>>,
    question: &Question<'_>,
    report: &mut Verification,
) {
    let (packs, record) = match (question.packs, record) {
        (Some(packs), Some(record)) if packs.parts == body.packs => (packs, record),
        (packs, _) => {
            let demanded = question.rejudge;
            without(body, packs, demanded, report);
            return;
        }
    };
    let missing = roles_left_out(&required_roles(packs.set), &body.required_roles);
    if !missing.is_empty() {
        let words: Vec<&str> = missing.into_iter().map(Role::word).collect();
        report.faults.push(Reason::RolesLowered { missing: words.join(", ") });
    }
    let faults = report.faults.len();
    if let Err(reason) = judge(body, record, packs, question, report) {
        report.faults.push(reason);
    }
    report.rejudged = report.faults.len() == faults;
}

/// What is left open where the packs of the checklist are not at hand.
fn without(body: &ChecklistBody, packs: Option<Packs<'_>>, demanded: bool, report: &mut Verification) {
    let differ = packs.and_then(|packs| body.same_packs(packs).err());
    match (differ, demanded) {
        (Some(reason), true) => report.faults.push(reason),
        (None, true) => report.faults.push(Reason::NotJudgeable { why: "no packs were given".to_owned() }),
        (Some(reason), false) => report.bars.push(Reason::NotRejudged { why: reason.to_string() }),
        (None, false) => report.bars.push(Reason::NotRejudged { why: "no packs were given".to_owned() }),
    }
    if !body.permits.is_empty() {
        report.bars.push(Reason::PermitsNotChecked);
    }
}

/// Judges the record again at the instant of its judgement and at the present one.
fn judge(
    body: &ChecklistBody,
    record: &Result<Document, Faults>,
    packs: Packs<'_>,
    question: &Question<'_>,
    report: &mut Verification,
) -> Result<(), Reason> {
    let because = |why: String| Reason::NotJudgeable { why };
    let first = |faults: &Faults| because(faults.iter().next().map(ToString::to_string).unwrap_or_default());
    let at = instant(&body.judged_at).ok_or_else(|| because("the instant of judgement cannot be read".to_owned()))?;
    let document = record.as_ref().map_err(first)?;
    let job = record::read(document, packs.set.catalogue()).map_err(|faults| first(&faults))?;
    let permits: Vec<Permit> = body.open_permits().flatten().collect();
    let bound: Vec<Bound<'_>> = permits.iter().map(|permit| Bound::new(permit, packs, &job, document)).collect();
    report.faults.extend(bound.iter().filter_map(|bound| bound.misfit()));
    if let Some(what) = differs(body, packs, &job, document, at, &bound) {
        return Err(Reason::JudgedOtherwise { what });
    }
    let until = body.valid_until.as_deref().and_then(instant);
    if until.is_some_and(|until| question.at <= until) && !body.rehearsal {
        report.bars.extend(now(packs, &job, question.at.max(at), &bound));
    }
    Ok(())
}

/// What holds the job at the present instant, if anything does.
fn now(packs: Packs<'_>, job: &Job, at: Instant, bound: &[Bound<'_>]) -> Option<Reason> {
    let scene = Scene::new(packs.set, job, at);
    let judgement = scene.judge();
    let permitted = apply(&scene, packs.parts, &judgement, bound);
    if permitted.verdict == Verdict::Pass {
        return None;
    }
    let mut open = judgement.findings.iter().zip(&permitted.by);
    let held = open.find(|(finding, permit)| finding.holds() && permit.is_none());
    let what = held.map_or_else(
        || "no rule judges it".to_owned(),
        |(finding, _)| format!("{} of {}", code(&scene, packs.parts, finding), subject(&scene, finding)),
    );
    Some(Reason::NoLongerPasses { at: at.to_record_text(), what })
}

fn code(scene: &Scene<'_>, parts: &[PackPart], finding: &crate::engine::Finding) -> String {
    let pack = parts.get(finding.pack).map_or("", |part| part.name.as_str());
    format!("`{pack}/{}`", scene.rule(finding).map_or("", |rule| rule.name.as_str()))
}

/// What differs when the record is judged again. Verdict, findings, figures and the end of validity are compared; the
/// words of the findings may differ between editions of the program.
fn differs(
    body: &ChecklistBody,
    packs: Packs<'_>,
    job: &Job,
    document: &Document,
    at: Instant,
    bound: &[Bound<'_>],
) -> Option<String> {
    let scene = Scene::new(packs.set, job, at);
    let judgement = scene.judge();
    let permitted = apply(&scene, packs.parts, &judgement, bound);
    if permitted.verdict.word() != body.verdict {
        return Some(format!("{} instead of {}", permitted.verdict.word(), body.verdict));
    }
    let words = explain::Report::new(&scene, &judgement, document, AtFrom::Given);
    let again = findings(&scene, &judgement, &words, &permitted);
    let bare = |parts: &[FaultPart]| -> Vec<(String, String, String, bool, bool)> {
        let each = |part: &FaultPart| {
            (part.rule.clone(), part.subject.clone(), part.outcome.clone(), part.holds, part.permitted)
        };
        parts.iter().map(each).collect()
    };
    let (now, then) = (bare(&again.faults), bare(&body.findings.faults));
    if now != then {
        let odd = now.iter().find(|part| !then.contains(part)).or_else(|| then.iter().find(|part| !now.contains(part)));
        let what =
            odd.map_or_else(|| "another order".to_owned(), |(rule, subject, ..)| format!("`{rule}` of {subject}"));
        return Some(format!("the findings differ: {what}"));
    }
    if again.met != body.findings.met || again.not_applying != body.findings.not_applying {
        return Some("other rules are met or do not apply".to_owned());
    }
    if figures(&scene) != body.figures {
        return Some("the figures differ".to_owned());
    }
    let holds = (permitted.verdict == Verdict::Pass).then(|| holds_until(packs, job, at, bound)).flatten();
    if holds != body.valid_until.as_deref().and_then(instant) {
        let holds = holds.map_or_else(|| "never".to_owned(), Instant::to_record_text);
        return Some(format!("it holds until {holds}"));
    }
    None
}
