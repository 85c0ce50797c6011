//! What a checklist speaks of: the job that is meant, and the record as it stands now.

use super::{Question, Verification};
use crate::checklist::body::ChecklistBody;
use crate::checklist::reason::Reason;
use crate::document::{Document, Faults, Value};

pub(super) fn check(
    body: &ChecklistBody,
    record: Option<&Result<Document, Faults>>,
    question: &Question<'_>,
    report: &mut Verification,
) {
    if let Some(due) = question.job.filter(|due| *due != body.job) {
        report.faults.push(Reason::OtherJob { found: body.job.clone(), due: due.to_owned() });
    }
    match question.record {
        None => report.bars.push(Reason::RecordNotGiven),
        // The digest of the text inside has been held against the digest that the body states.
        Some(record) if record == body.inputs.record.text.as_bytes() => {}
        Some(record) => {
            let now = String::from_utf8_lossy(record);
            report.faults.push(Reason::RecordChanged { first: first_difference(&body.inputs.record.text, &now) });
        }
    }
    if let Some(record) = record {
        job_number(body, record, report);
    }
}

/// The number on the checklist must be the number in the record inside it, as every command reads it: what stands in the
/// text around it, quotes or a comment, is not the number.
fn job_number(body: &ChecklistBody, record: &Result<Document, Faults>, report: &mut Verification) {
    let number = record.as_ref().ok().and_then(|record| match &record.root().entry("job")?.node.value {
        Value::Text(text) | Value::Number(text) => Some(text.as_str()),
        _ => None,
    });
    let what = match number {
        Some(number) if number == body.job => return,
        Some(number) => format!("its record is of the job `{number}`"),
        None => "its record has no job number".to_owned(),
    };
    report.faults.push(Reason::Contradiction { what });
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
