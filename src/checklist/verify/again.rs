//! The record inside a checklist, judged again by the packs it names.

use super::{Question, Report};
use crate::checklist::body::{Body, FaultPart, figures, findings};
use crate::checklist::jws::{Envelope, Kind, instant};
use crate::checklist::packs::Packs;
use crate::checklist::permit::{Permit, apply};
use crate::checklist::reason::Reason;
use crate::document::{Document, Faults};
use crate::engine::Scene;
use crate::explain::{self, AtFrom};
use crate::record;

/// Compares verdict and findings; the words of the findings may differ between editions of the program.
pub(super) fn check(body: &Body, question: &Question<'_>, report: &mut Report) {
    let Some(packs) = question.packs else {
        report.faults.push(Reason::NotJudgeable { why: "no packs were given".to_owned() });
        return;
    };
    if let Err(reason) = body.same_packs(packs) {
        report.faults.push(reason);
        return;
    }
    match judge(body, packs) {
        Ok(None) => {}
        Ok(Some(what)) => report.faults.push(Reason::JudgedOtherwise { what }),
        Err(why) => report.faults.push(Reason::NotJudgeable { why }),
    }
}

/// What differs when the record is judged again, or why it cannot be.
fn judge(body: &Body, packs: Packs<'_>) -> Result<Option<String>, String> {
    let first = |faults: Faults| faults.iter().next().map(ToString::to_string).unwrap_or_default();
    let at = instant(&body.judged_at).ok_or_else(|| "the instant of judgement cannot be read".to_owned())?;
    let document = Document::read("the record in the checklist", body.record.text.as_bytes()).map_err(first)?;
    let job = record::read(&document, packs.set.catalogue()).map_err(first)?;
    let scene = Scene::new(packs.set, &job, at);
    let judgement = scene.judge();
    let words = explain::Report::new(&scene, &judgement, &document, AtFrom::Given);
    let permits: Vec<Permit> = body
        .permits
        .iter()
        .filter_map(|value| Envelope::nested(Kind::Permit, value).and_then(Permit::of).ok())
        .collect();
    let permits: Vec<&Permit> = permits.iter().collect();
    let permitted = apply(&scene, packs.parts, &judgement, &permits);
    if permitted.verdict.word() != body.verdict {
        return Ok(Some(format!("{} instead of {}", permitted.verdict.word(), body.verdict)));
    }
    if job.number() != Some(body.job.as_str()) {
        return Ok(Some(format!("the record is of the job `{}`", job.number().unwrap_or_default())));
    }
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
        return Ok(Some(format!("the findings differ: {what}")));
    }
    if again.met != body.findings.met || again.not_applying != body.findings.not_applying {
        return Ok(Some("other rules are met or do not apply".to_owned()));
    }
    if figures(&scene) != body.figures {
        return Ok(Some("the figures differ".to_owned()));
    }
    Ok(None)
}
