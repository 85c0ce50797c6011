//! Several checklists of one job, hold point and assembly: only the last one of them may start anything.
//!
//! Each of them may be in order by itself. Whoever has two that differ could choose the one that suits, so they are shown
//! together, and by all but the last nothing starts.

use super::verify::Verified;
use crate::checklist::Reason;
use crate::checklist::body::ChecklistBody;
use crate::units::Instant;
use crate::vocabulary::names_one_thing;

/// Different checklists of one job and hold point that have an assembly in common.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Several {
    /// The job.
    pub job: String,
    /// The hold point, by its words.
    pub hold_point: String,
    /// The files, the last one judged at the end.
    pub files: Vec<OneOf>,
}

/// One of several checklists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OneOf {
    /// What reports call the file.
    pub name: String,
    /// When it was judged.
    pub judged_at: String,
    /// Its verdict.
    pub verdict: String,
}

/// Finds them, and bars the start by all but the last. What is not to be relied on, and a rehearsal, is none of them.
pub fn several(files: &mut [(String, &mut Verified)]) -> Vec<Several> {
    let mut order: Vec<(Instant, usize)> = Vec::new();
    for (place, (_, verified)) in files.iter().enumerate() {
        let body = verified.report.body.as_ref().filter(|body| verified.report.in_order() && !body.rehearsal);
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
            let (name, at, verdict) = (name.clone(), other.judged_at.clone(), other.verdict.clone());
            bars.push((*place, Reason::LaterChecklist { name, at, verdict }));
        }
        let Some((name, _)) = files.get(*place).filter(|_| is_one) else { continue };
        let one = OneOf { name: name.clone(), judged_at: body.judged_at.clone(), verdict: body.verdict.clone() };
        match found.iter_mut().find(|known| (&known.job, &known.hold_point) == (&body.job, &body.hold_point)) {
            Some(known) => known.files.push(one),
            None => {
                found.push(Several { job: body.job.clone(), hold_point: body.hold_point.clone(), files: vec![one] });
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

fn body_at<'f>(files: &'f [(String, &mut Verified)], place: usize) -> Option<&'f ChecklistBody> {
    files.get(place)?.1.report.body.as_ref()
}

/// Whether two checklists say different things of one assembly of one job at one hold point.
pub(super) fn rivals(one: &ChecklistBody, other: &ChecklistBody) -> bool {
    let same_mark = |one: &Option<String>, other: &Option<String>| match (one, other) {
        (Some(one), Some(other)) => names_one_thing(one, other),
        (one, other) => one == other,
    };
    let shared = || {
        let of_one = |mark| other.assemblies.iter().any(|filled| same_mark(mark, &filled.mark));
        one.assemblies.iter().any(|filled| of_one(&filled.mark))
    };
    (&one.job, &one.hold_point) == (&other.job, &other.hold_point) && one != other && shared()
}
