//! What a checklist speaks of: the job that is meant, and the record as it stands now.

use super::{Question, Report};
use crate::checklist::body::Body;
use crate::checklist::reason::Reason;
use crate::document::Document;

pub(super) fn check(body: &Body, question: &Question<'_>, report: &mut Report) {
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
    job_number(body, report);
}

/// The number on the checklist must be the number in the record inside it.
fn job_number(body: &Body, report: &mut Report) {
    if plain_job(&body.record.text) == Some(body.job.as_str()) {
        return;
    }
    let number = Document::read("the record in the checklist", body.record.text.as_bytes())
        .ok()
        .and_then(|document| document.to_json().get("job")?.as_str().map(str::to_owned));
    let what = match number {
        Some(number) if number == body.job => return,
        Some(number) => format!("its record is of the job `{number}`"),
        None => "its record has no job number".to_owned(),
    };
    report.faults.push(Reason::Contradiction { what });
}

/// The job number of a record that is written plainly: every line at the margin is `key:`, a list item or a comment, and
/// one of them is `job: NUMBER`. Reading the whole record takes fifty times as long; whatever is written otherwise is read.
fn plain_job(text: &str) -> Option<&str> {
    let mut number = None;
    for line in text.lines().filter(|line| !line.is_empty() && !line.starts_with([' ', '#'])) {
        if line.starts_with("- ") {
            continue;
        }
        let (key, rest) = line.split_once(':')?;
        if key.is_empty() || !key.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'_') {
            return None;
        }
        if key == "job" && number.replace(rest.trim()).is_some() {
            return None;
        }
    }
    number
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

#[cfg(test)]
mod tests {
    use super::plain_job;

    #[test]
    fn only_a_plain_record_is_read_at_a_glance() {
        assert_eq!(plain_job("# a job\nrecord: 1\njob: HT-0311\npeople:\n- name: Odile\n"), Some("HT-0311"));
        for text in [
            "record: 1\n",
            "{job: HT-0311}\n",
            "\"job\": HT-0999\njob: HT-0311\n",
            "? job\n: HT-0999\n",
            "job : HT-0999\n",
            "job: HT-0999\njob: HT-0311\n",
            "  job: HT-0311\n",
            "\tjob: HT-0311\n",
            "---\njob: HT-0311\n",
        ] {
            assert_eq!(plain_job(text), None, "{text:?}");
        }
    }
}
