//! What a checklist speaks of: the job that is meant, and the record as it stands now. One that fits neither is no forgery.

use super::{Question, Verification};
use crate::checklist::body::ChecklistBody;
use crate::checklist::reason::Reason;
use crate::document::{Document, Faults, Value};

/// The records as they stand now, that a checklist is held against.
#[derive(Debug, Clone, Copy)]
pub enum Records<'a> {
    /// None was given.
    None,
    /// The one that the checklist must be of.
    One(&'a [u8]),
    /// Several, of which the one of its job is taken.
    Of(&'a [Present]),
}

/// A record as it stands now, with its job number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Present {
    /// Nothing where the text cannot be read, or has no number.
    pub job: Option<String>,
    /// The bytes.
    pub bytes: Vec<u8>,
}

impl Present {
    /// Takes the job number from a record.
    pub fn of(name: &str, bytes: Vec<u8>) -> Self {
        let document = Document::read(name, &bytes).ok();
        Self { job: document.as_ref().and_then(number_of).map(str::to_owned), bytes }
    }
}

impl<'a> Records<'a> {
    /// The record of a checklist: the very one inside, else the first of its job. A lone record whose number cannot be read
    /// is taken for the one that was meant.
    fn of(self, body: &ChecklistBody) -> Result<&'a [u8], Reason> {
        let none = |others| Reason::RecordNotGiven { job: body.job.clone(), others };
        match self {
            Self::None | Self::Of([]) => Err(none(false)),
            Self::One(bytes) => Ok(bytes),
            Self::Of([Present { job: None, bytes }]) => Ok(bytes),
            Self::Of(several) => {
                let same = several.iter().find(|record| record.bytes == body.inputs.record.text.as_bytes());
                let of_job = || several.iter().find(|record| record.job.as_ref() == Some(&body.job));
                same.or_else(of_job).map(|record| record.bytes.as_slice()).ok_or_else(|| none(true))
            }
        }
    }
}

pub(super) fn check(
    body: &ChecklistBody,
    record: Option<&Result<Document, Faults>>,
    question: &Question<'_>,
    report: &mut Verification,
) {
    if let Some(due) = question.job.filter(|due| *due != body.job) {
        report.bars.push(Reason::OtherJob { found: body.job.clone(), due: due.to_owned() });
    }
    match question.records.of(body) {
        Err(none) => report.bars.push(none),
        // The digest of the text inside has been held against the digest that the body states.
        Ok(record) if record == body.inputs.record.text.as_bytes() => {}
        Ok(record) => {
            let now = String::from_utf8_lossy(record);
            report.bars.push(Reason::RecordChanged { first: first_difference(&body.inputs.record.text, &now) });
        }
    }
    if let Some(record) = record {
        job_number(body, record, report);
    }
}

fn number_of(record: &Document) -> Option<&str> {
    match &record.root().entry("job")?.node.value {
        Value::Text(text) | Value::Number(text) => Some(text.as_str()),
        _ => None,
    }
}

/// The number on the checklist must be the number in the record inside it, as every command reads it: what stands in the
/// text around it, quotes or a comment, is not the number.
fn job_number(body: &ChecklistBody, record: &Result<Document, Faults>, report: &mut Verification) {
    let what = match record.as_ref().ok().and_then(number_of) {
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
