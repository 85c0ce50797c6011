//! Checklists that lie in one folder and are of one job, hold point and assembly: only the last one of them may start
//! anything, whoever gave which of them. Must not know how an answer is drawn.

use std::path::{Path, PathBuf};

use super::Desk;
use super::several::Files;
use super::verify::Against;
use super::world::{LookIn, NamedBytes};
use crate::checklist::Reason;
use crate::checklist::body::ChecklistBody;
use crate::checklist::jws::Envelope;
use crate::checklist::links::rivals;
use crate::checklist::trust::Trust;
use crate::units::Instant;
use crate::vocabulary::{Kind, Verdict, names_one_thing};

/// How the names of checklists end.
pub const CHECKLIST_ENDING: &str = ".checklist.json";

/// What stands before the number of a job in exact form.
const JOB: &str = "\"job\":";

/// Another checklist of the same job, hold point and assembly.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OtherChecklist {
    /// What reports call the file.
    pub name: String,
    /// Its verdict.
    pub verdict: Verdict,
    /// When it was judged.
    pub judged_at: String,
    /// Whether one of its signatures holds by the trust file: anybody may put a file beside others that has none.
    pub holds: bool,
}

/// Those of the files that are checklists of the same job, hold point and assembly, by the instants of their judgements.
pub(super) fn same(body: &ChecklistBody, files: &[NamedBytes], trust: &Trust) -> Vec<OtherChecklist> {
    let read = |file: &NamedBytes| {
        let (envelope, other) = read(file)?;
        let at = Instant::parse(&other.judged_at).ok()?;
        let is_rival = rivals(body, &other) && !other.rehearsal;
        let holds = is_rival && trust.bears(&envelope);
        let here = OtherChecklist { name: file.label(), verdict: other.verdict, judged_at: other.judged_at, holds };
        is_rival.then_some((at, here))
    };
    // Most files of a folder are of other jobs, and need not be read.
    let of_job = |file: &&NamedBytes| {
        std::str::from_utf8(&file.bytes).is_ok_and(|text| jobs_in(text).any(|job| names_one_thing(&job, &body.job)))
    };
    let mut found: Vec<(Instant, OtherChecklist)> = files.iter().filter(of_job).filter_map(read).collect();
    found.sort_by_key(|(at, _)| *at);
    found.into_iter().map(|(_, here)| here).collect()
}

/// That one of them was judged later than the checklist, or at its instant: nothing starts by it.
pub(super) fn later(body: &ChecklistBody, others: &[OtherChecklist]) -> Option<Reason> {
    let later = all_later(body, others).rfind(|other| other.holds)?;
    let (name, at, verdict) = (later.name.clone(), later.judged_at.clone(), later.verdict);
    let tied = Instant::parse(&at).ok() == Instant::parse(&body.judged_at).ok();
    Some(Reason::LaterChecklist { name, at, verdict, tied })
}

/// Those that say that they were judged later than the checklist, or at its instant.
fn all_later<'o>(
    body: &ChecklistBody,
    others: &'o [OtherChecklist],
) -> impl DoubleEndedIterator<Item = &'o OtherChecklist> {
    let at = Instant::parse(&body.judged_at).ok();
    others.iter().filter(move |other| Instant::parse(&other.judged_at).ok().zip(at).is_some_and(|(of, at)| of >= at))
}

/// The job numbers that a text in exact form may state, without reading it.
pub(super) fn jobs_in(text: &str) -> impl Iterator<Item = String> + '_ {
    let after = text.match_indices(JOB).filter_map(|(place, _)| text.get(place + JOB.len()..));
    after.filter_map(|rest| serde_json::Deserializer::from_str(rest).into_iter().next()?.ok())
}

fn read(file: &NamedBytes) -> Option<(Envelope, ChecklistBody)> {
    let envelope = Envelope::read(Kind::Checklist, &file.label(), &file.bytes).ok()?;
    let body = envelope.body().ok()?;
    Some((envelope, body))
}

impl Desk<'_> {
    /// The names of the checklists that are kept in the folder of a document.
    pub(super) fn checklists_beside(&self, name: &Path) -> Vec<PathBuf> {
        self.storage.list(LookIn::Beside(name), CHECKLIST_ENDING).map(|found| found.documents).unwrap_or_default()
    }

    /// Files as far as they can be read: what cannot be read starts nothing and is not in the way.
    pub(super) fn readable(&self, names: Vec<PathBuf>) -> Vec<NamedBytes> {
        names.into_iter().filter_map(|name| Some(NamedBytes { bytes: self.storage.read(&name).ok()?, name })).collect()
    }

    /// Bars the start by every file beside which a later checklist lies that is not among those given, and gives those that
    /// say that they are one and have no signature that holds.
    pub(super) fn bar_by_later(&self, against: &Against, files: Files<'_, '_>) -> Vec<OtherChecklist> {
        if against.is_of_now() && files.iter().any(|(_, verified)| verified.is_over()) {
            self.note_what_is_over(against.trust(), against.at());
        }
        let mut claims = Vec::new();
        let given: Vec<PathBuf> = files.iter().map(|(name, _)| name.clone()).collect();
        let is_given = |folder: Option<&Path>, name: &PathBuf| {
            given.iter().any(|known| known.file_name() == name.file_name() && known.parent() == folder)
        };
        let mut folders: Vec<(Option<PathBuf>, Vec<NamedBytes>)> = Vec::new();
        for (name, verified) in files.iter_mut().filter(|(_, verified)| verified.starts()) {
            let folder = name.parent();
            if !folders.iter().any(|(known, _)| known.as_deref() == folder) {
                let mut others = self.checklists_beside(name);
                others.retain(|other| !is_given(folder, other));
                folders.push((folder.map(Path::to_path_buf), self.readable(others)));
            }
            let others = folders.iter().find(|(known, _)| known.as_deref() == folder).map(|(_, others)| others);
            let Some(others) = others.filter(|others| !others.is_empty()) else { continue };
            // Of many files only what an answer tells is kept.
            let Some((_, body)) = self.readable(vec![name.clone()]).first().and_then(read) else { continue };
            let others = same(&body, others, against.trust());
            claims.extend(all_later(&body, &others).filter(|other| !other.holds).cloned());
            if let Some(bar) = later(&body, &others) {
                verified.bar(bar);
            }
        }
        claims
    }
}
