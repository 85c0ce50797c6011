//! Which checklists of earlier hold points are at hand for later ones to follow.
//!
//! This module must not know what a link is worth; `checklist::verify::link` holds it against what was done by it.

use std::path::{Path, PathBuf};

use super::Desk;
use super::beside::jobs_in;
use super::world::NamedBytes;
use crate::checklist::body::ChecklistBody;
use crate::checklist::jws::Envelope;
use crate::checklist::links::{Earlier, Links, digest_in};
use crate::engine::Scene;
use crate::record::catalogue::assembly::MARK;
use crate::units::Instant;
use crate::vocabulary::{Kind, names_one_thing};

/// How a checklist in its exact form begins to name the one that it follows.
const NAMES_ONE: &str = "\"before\": \"";
/// Characters of a digest.
const DIGEST: usize = 64;

/// A checklist as verification takes it.
pub(super) fn earlier(source: &NamedBytes) -> Earlier {
    Earlier { name: source.label(), bytes: source.bytes.clone() }
}

impl Desk<'_> {
    /// Those that were given, and of the files that are looked at together those that another of them follows; and beside
    /// them what else there is of their jobs, in the folders of those that were given too. Of a large folder only these are
    /// kept.
    pub(super) fn links(&self, given: &[NamedBytes], among: &[PathBuf]) -> Links {
        let files = || among.iter().filter_map(|name| self.fetch(name).ok());
        let mut named: Vec<String> = files().filter_map(|file| names(&file.bytes)).collect();
        named.sort_unstable();
        let followed = |file: &Earlier| digest_in(file).is_some_and(|digest| named.binary_search(&digest).is_ok());
        let of_them = files().filter(|_| !named.is_empty()).map(|file| earlier(&file)).filter(followed);
        let links: Vec<Earlier> = given.iter().map(earlier).chain(of_them).collect();
        let jobs: Vec<String> =
            links.iter().filter_map(|link| std::str::from_utf8(&link.bytes).ok()).flat_map(jobs_in).collect();
        let of_job = |file: &NamedBytes| {
            let text = std::str::from_utf8(&file.bytes).unwrap_or_default();
            jobs_in(text).any(|job| jobs.iter().any(|known| names_one_thing(&job, known)))
        };
        let mut folders: Vec<Option<&Path>> = Vec::new();
        let mut beside = Vec::new();
        for file in given {
            if !folders.contains(&file.name.parent()) {
                folders.push(file.name.parent());
                beside.extend(self.readable(self.checklists_beside(&file.name)));
            }
        }
        beside.extend(files().filter(|_| !named.is_empty()));
        let beside: Vec<Earlier> = beside.iter().filter(|file| of_job(file)).map(earlier).collect();
        Links::of(links).beside(beside)
    }
}

/// The digest that a file seems to name as the one that it follows; what it does name is read with the rest of it.
fn names(file: &[u8]) -> Option<String> {
    let text = std::str::from_utf8(file).ok()?;
    let (_, rest) = text.split_once(NAMES_ONE)?;
    rest.get(..DIGEST).map(str::to_owned)
}

/// The file that the checklist of a scene follows: the one file given, or of several the last one of the job at the
/// hold point before that covers all of its assemblies.
pub(super) fn followed(given: &[NamedBytes], scene: &Scene<'_>) -> Option<Earlier> {
    let last = given.iter().filter_map(|file| Some((judged(file, scene)?, file)));
    let last = last.max_by_key(|(at, _)| *at).map(|(_, file)| file);
    match (last, given) {
        (Some(file), _) | (None, [file]) => Some(earlier(file)),
        (None, _) => None,
    }
}

/// When a checklist was judged that the one of a scene may follow; nothing for any other file.
fn judged(file: &NamedBytes, scene: &Scene<'_>) -> Option<Instant> {
    let body: ChecklistBody = Envelope::read(Kind::Checklist, &file.label(), &file.bytes).ok()?.body().ok()?;
    let mut marks = scene.covered().map(|(_, assembly)| assembly.facts.text(MARK));
    let covered = |mark: Option<&str>| body.assemblies.iter().any(|filled| filled.mark.as_deref() == mark);
    let of_job = scene.job().number().is_some_and(|number| names_one_thing(number, &body.job));
    let meant = of_job && Some(body.hold_point) == scene.hold_point().previous();
    Instant::parse(&body.judged_at).ok().filter(|_| meant && marks.all(covered))
}
