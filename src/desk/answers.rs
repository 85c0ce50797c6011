//! What checklists are worth that are asked about together: none is answered before it was seen beside the others, so
//! that no face can let something start by one that another has taken the place of.
//!
//! Must not know how a checklist is verified, nor how an answer is drawn.

use std::path::PathBuf;

use super::Desk;
use super::beside::OtherChecklist;
use super::several::Several;
use super::verify::{Against, SeenAlone, Verified};

/// What checklists are worth.
#[derive(Debug)]
pub struct Answers<E> {
    /// Each that was asked about, in that order; an error where there is nothing to verify.
    pub files: Vec<(PathBuf, Result<Verified, E>)>,
    /// Those among them that say different things of one assembly at one hold point.
    pub several: Vec<Several>,
    /// Files beside them that claim to be later ones and bear no signature that holds: they bar nothing, and are told.
    pub claims: Vec<OtherChecklist>,
}

impl Desk<'_> {
    /// Answers for checklists that were each seen alone: starts are barred by all but the last of one job, hold point and
    /// assembly, among those given and those that lie beside them.
    pub fn answers<E>(&self, against: &Against, seen: Vec<(PathBuf, Result<SeenAlone, E>)>) -> Answers<E> {
        let mut files: Vec<(PathBuf, Result<Verified, E>)> =
            seen.into_iter().map(|(name, seen)| (name, seen.map(SeenAlone::into_verified))).collect();
        let mut verified: Vec<(PathBuf, &mut Verified)> =
            files.iter_mut().filter_map(|(name, file)| Some((name.clone(), file.as_mut().ok()?))).collect();
        let several = self.several(against, &mut verified);
        let claims = self.bar_by_later(against, &mut verified);
        Answers { files, several, claims }
    }

    /// Answers for one checklist, by its name.
    pub fn answer(&self, against: &Against, name: PathBuf, seen: SeenAlone) -> Verified {
        let mut verified = seen.into_verified();
        self.bar_by_later(against, &mut [(name, &mut verified)]);
        verified
    }
}
