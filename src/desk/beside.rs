//! Checklists that lie in one folder and are of one job, hold point and assembly: only the last one of them may start anything,
//! whoever gave which of them. Must not know how an answer is drawn.

use std::path::{Path, PathBuf};

use super::Desk;
use super::several::{Files, rivals};
use super::world::{LookIn, NamedBytes};
use crate::checklist::Reason;
use crate::checklist::body::ChecklistBody;
use crate::checklist::jws::Envelope;
use crate::units::Instant;
use crate::vocabulary::Kind;

/// How the names of checklists end.
pub const CHECKLIST_ENDING: &str = ".checklist.json";

/// Another checklist of the same job, hold point and assembly.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OtherChecklist {
    /// What reports call the file.
    pub name: String,
    /// Its verdict.
    pub verdict: String,
    /// When it was judged.
    pub judged_at: String,
}

/// Those of the files that are checklists of the same job, hold point and assembly, by the instants of their judgements.
pub(super) fn same(body: &ChecklistBody, files: &[NamedBytes]) -> Vec<OtherChecklist> {
    let read = |file: &NamedBytes| {
        let other = read(file)?;
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

/// That one of them was judged later than the checklist, or at its instant: nothing starts by it.
pub(super) fn later(body: &ChecklistBody, others: &[OtherChecklist]) -> Option<Reason> {
    let at = Instant::parse(&body.judged_at).ok()?;
    let is_later = |other: &&OtherChecklist| Instant::parse(&other.judged_at).is_ok_and(|of| of >= at);
    let OtherChecklist { name, verdict, judged_at } = others.iter().rev().find(is_later)?.clone();
    Some(Reason::LaterChecklist { name, at: judged_at, verdict })
}

fn read(file: &NamedBytes) -> Option<ChecklistBody> {
    Envelope::read(Kind::Checklist, &file.label(), &file.bytes).ok()?.body().ok()
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

    /// Bars the start by every file beside which a later checklist lies that is not among those given.
    pub fn bar_by_later(&self, files: Files<'_, '_>) {
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
            let body = self.readable(vec![name.clone()]).first().and_then(read);
            if let Some(bar) = body.and_then(|body| later(&body, &same(&body, others))) {
                verified.bar(bar);
            }
        }
    }
}
