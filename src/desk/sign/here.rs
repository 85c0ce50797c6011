//! Checklists of the same job, hold point and assembly that lie where one is signed. Must not know how they were found.

use super::proposal::OtherChecklist;
use crate::checklist::body::ChecklistBody;
use crate::checklist::jws::Envelope;
use crate::desk::several::rivals;
use crate::desk::world::NamedBytes;
use crate::units::Instant;
use crate::vocabulary::Kind;

/// Those of the files that are checklists of the same job, hold point and assembly, by the instants of their judgements.
pub(super) fn same(body: &ChecklistBody, files: &[NamedBytes]) -> Vec<OtherChecklist> {
    let read = |file: &NamedBytes| {
        let other: ChecklistBody = Envelope::read(Kind::Checklist, &file.label(), &file.bytes).ok()?.body().ok()?;
        let at = Instant::parse(&other.judged_at).ok()?;
        let here =
            OtherChecklist { name: file.label(), verdict: other.verdict.clone(), judged_at: other.judged_at.clone() };
        (rivals(body, &other) && !other.rehearsal).then_some((at, here))
    };
    // Most files of a folder are of other jobs, and need not be read.
    let number = serde_json::Value::from(body.job.as_str()).to_string();
    let of_job = |file: &&NamedBytes| std::str::from_utf8(&file.bytes).is_ok_and(|text| text.contains(&number));
    let mut found: Vec<(Instant, OtherChecklist)> = files.iter().filter(of_job).filter_map(read).collect();
    found.sort_by_key(|(at, _)| *at);
    found.into_iter().map(|(_, here)| here).collect()
}
