//! Several checklists of one job, hold point and assembly: only the last one of them may start anything.
//!
//! Each of them may be in order by itself. Anyone who has two that differ could choose the one that suits, so they are shown
//! together, and by all but the last nothing starts. Must not know how the files were found.

use std::path::{Path, PathBuf};

use super::Desk;
use super::verify::{Against, Verified};
use crate::checklist::Reason;
use crate::checklist::body::ChecklistBody;
use crate::checklist::changes::{Difference, differences};
use crate::checklist::jws::Envelope;
use crate::checklist::links::rivals;
use crate::checklist::verify::Verification;
use crate::record::{self, Job};
use crate::units::Instant;
use crate::vocabulary::{HoldPoint, Kind, Verdict, names_one_thing};

/// Different checklists of one job and hold point that have an assembly in common.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Several {
    /// The job.
    pub job: String,
    /// The hold point.
    pub hold_point: HoldPoint,
    /// The files, the last one judged at the end.
    pub files: Vec<OneOf>,
}

impl Several {
    /// Whether the last two of them are of one time, so that none is the last.
    pub fn is_tied(&self) -> bool {
        let at = |one: &OneOf| Instant::parse(&one.judged_at).ok();
        matches!(self.files.as_slice(), [.., one, last] if at(one) == at(last))
    }
}

/// One of several checklists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OneOf {
    /// The file.
    pub name: PathBuf,
    /// When it was judged.
    pub judged_at: String,
    /// Its verdict.
    pub verdict: Verdict,
    /// What its record says otherwise than that of the one before it in the list.
    pub differs: Vec<Difference>,
}

/// Verified files, each by its name.
pub(super) type Files<'f, 'v> = &'f mut [(PathBuf, &'v mut Verified)];

impl Desk<'_> {
    /// Finds them, bars the start by all but the last, and tells what they differ in: the few are read once more for that.
    /// What is not to be relied on, and a rehearsal, is none of them.
    pub(super) fn several(&self, against: &Against, files: Files<'_, '_>) -> Vec<Several> {
        let mut found = found(files);
        for several in &mut found {
            let mut before: Option<(Job, Instant)> = None;
            for one in &mut several.files {
                let now = self.judged(&one.name, against);
                if let (Some((before, then)), Some((now, at))) = (&before, &now) {
                    one.differs = differences(against.packs().catalogue(), (before, *then), (now, *at));
                }
                before = now;
            }
        }
        found
    }

    /// The job of the record inside a checklist, and when it was judged.
    fn judged(&self, name: &Path, against: &Against) -> Option<(Job, Instant)> {
        let source = self.fetch(name).ok()?;
        let body: ChecklistBody = Envelope::read(Kind::Checklist, &source.label(), &source.bytes).ok()?.body().ok()?;
        let (instants, _) = body.contradictions();
        let instants = instants?;
        let document = body.whole_record(against.packs(), &instants).ok()?;
        Some((record::read(&document, against.packs().catalogue(), &instants.zone).ok()?, instants.judged_at))
    }
}

/// Finds them, and bars the start by all but the last.
fn found(files: Files<'_, '_>) -> Vec<Several> {
    let mut order: Vec<(Instant, usize)> = Vec::new();
    for (place, (_, verified)) in files.iter().enumerate() {
        let body = verified.report.body.as_ref().filter(|body| is_one_of_ours(&verified.report) && !body.rehearsal);
        order.extend(body.and_then(|body| Instant::parse(&body.judged_at).ok()).map(|at| (at, place)));
    }
    order.sort_unstable();
    let mut found: Vec<Several> = Vec::new();
    let mut bars: Vec<(usize, Reason)> = Vec::new();
    for (index, (_, place)) in order.iter().enumerate() {
        let Some(body) = body_at(files, *place) else { continue };
        let rival = |other: &&(Instant, usize)| body_at(files, other.1).is_some_and(|other| rivals(body, other));
        let is_one = order.iter().any(|other| rival(&other));
        // Two of one instant: nobody can say which came last.
        let at = order.get(index).map(|(at, _)| *at);
        let later = order.iter().rev().filter(|(of, _)| at.is_some_and(|at| *of >= at)).find(rival);
        if let Some((_, other)) = later
            && let Some((name, other)) =
                files.get(*other).and_then(|(name, other)| Some((name, other.report.body.as_ref()?)))
        {
            let name = name.display().to_string();
            let (at, verdict) = (other.judged_at.clone(), other.verdict);
            let tied = Instant::parse(&at).ok() == Instant::parse(&body.judged_at).ok();
            bars.push((*place, Reason::LaterChecklist { name, at, verdict, tied }));
        }
        // A copy says nothing that the first one does not say; it is barred, and told as what it is.
        let is_copy = order.iter().take(index).any(|(_, other)| body_at(files, *other) == Some(body));
        let Some((name, _)) = files.get(*place).filter(|_| is_one && !is_copy) else { continue };
        let (name, judged_at, verdict) = (name.clone(), body.judged_at.clone(), body.verdict);
        let one = OneOf { name, judged_at, verdict, differs: Vec::new() };
        let is_same =
            |known: &&mut Several| names_one_thing(&known.job, &body.job) && known.hold_point == body.hold_point;
        match found.iter_mut().find(is_same) {
            Some(known) => known.files.push(one),
            None => {
                found.push(Several { job: body.job.clone(), hold_point: body.hold_point, files: vec![one] });
            }
        }
    }
    for (place, bar) in bars {
        if let Some((_, verified)) = files.get_mut(place) {
            verified.bar(bar);
        }
    }
    found
}

fn body_at<'f>(files: &'f [(PathBuf, &mut Verified)], place: usize) -> Option<&'f ChecklistBody> {
    files.get(place)?.1.report.body.as_ref()
}

/// Whether a file may stand beside others of this shop.
fn is_one_of_ours(report: &Verification) -> bool {
    report.in_order() && !report.is_beyond_the_trust_file()
}
