//! The link of a checklist to that of the hold point before, for the same assemblies.
//!
//! A link counts when what it let happen happened while it was in force; what becomes of it later changes nothing any more,
//! but that a key was stolen: then the link counts as its checklist does, where somebody else bears it out.
//! This module must not know where the files come from.

use super::{Intended, Question, Records, verify_and_read};
use crate::checklist::body::{ChecklistBody, Instants};
use crate::checklist::changes::{FactChange, Kept, changes};
use crate::checklist::jws::{Envelope, instant};
use crate::checklist::links::{Earlier, Links, acts, rivals};
use crate::checklist::packs::Packs;
use crate::checklist::reason::{BrokenLink, GivenInstead, Reason, TrustReason};
use crate::engine::Scene;
use crate::units::Instant;
use crate::vocabulary::{HoldPoint, Kind, names_one_thing};

/// What is found of the link of a checklist.
#[derive(Debug, Default)]
pub struct Link {
    /// What makes the checklist doubtful.
    pub fault: Option<Reason>,
    /// What bars a start.
    pub bar: Option<Reason>,
    /// What the record says otherwise than at the hold point before, and is judged again by.
    pub changes: Vec<FactChange>,
}

impl Link {
    fn doubtful(fault: Reason) -> Self {
        Self { fault: Some(fault), ..Self::default() }
    }
}

/// Looks at the link of a checklist, judged by the packs and of the job given.
pub fn check(body: &ChecklistBody, scene: &Scene<'_>, packs: Packs<'_>, question: &Question<'_>) -> Link {
    let Some(before) = scene.hold_point().previous() else {
        return match body.before {
            Some(_) => Link::doubtful(BrokenLink::NothingBefore.into()),
            None => Link::default(),
        };
    };
    let Some(due) = &body.before else {
        // What is held starts nothing, with or without what came before.
        let left_out = body.passes() && scene.follows_one_before();
        return Link { fault: left_out.then_some(Reason::LinkLeftOut { point: before }), ..Link::default() };
    };
    let Some(earlier) = question.earlier.find(due) else {
        let instead = instead_of_it(body, before, packs, question).map(Box::new);
        return Link { bar: Some(Reason::LinkNotGiven { point: before, instead }), ..Link::default() };
    };
    let acts = match acts(scene, before) {
        Ok(acts) => acts,
        Err(place) => return Link::doubtful(BrokenLink::NotActedOn { place }.into()),
    };
    match held_against(scene, earlier, before, &acts, packs, (body, question)) {
        Err(why) => Link::doubtful(why.into()),
        Ok((changes, bar)) => {
            let (parting, changes): (Vec<FactChange>, _) = changes.into_iter().partition(|change| change.parts);
            let fault = (!parting.is_empty()).then_some(Reason::LinkChanged { point: before, changes: parting });
            Link { fault, bar, changes }
        }
    }
}

/// What was given where the checklist that is named was not: one of the same job and hold point before any other.
fn instead_of_it(
    body: &ChecklistBody,
    point: HoldPoint,
    packs: Packs<'_>,
    question: &Question<'_>,
) -> Option<GivenInstead> {
    let read = |file: &Earlier| {
        let body: ChecklistBody = Envelope::read(Kind::Checklist, &file.name, &file.bytes).ok()?.body().ok()?;
        Some(body)
    };
    let files: Vec<(&Earlier, Option<ChecklistBody>)> =
        question.earlier.files().map(|file| (file, read(file))).collect();
    let is_meant = |found: &ChecklistBody| names_one_thing(&found.job, &body.job) && found.hold_point == point;
    if let Some((file, Some(found))) = files.iter().find(|(_, found)| found.as_ref().is_some_and(is_meant)) {
        let (records, earlier) = (Records::None, Links::NONE);
        let by_itself =
            Question { meant: Intended::default(), records, shop: None, packs: Some(packs), earlier, ..*question };
        let name = file.name.clone();
        let reason = verify_and_read(&name, &file.bytes, &by_itself).0.faults.into_iter().next();
        return Some(match reason {
            Some(reason) => GivenInstead::Doubtful { name, reason: Box::new(reason) },
            None => GivenInstead::Another { name, judged_at: found.judged_at.clone() },
        });
    }
    match files.as_slice() {
        [] => question.earlier.unread().map(|name| GivenInstead::Unread { name: name.to_owned() }),
        [(file, Some(found))] if names_one_thing(&found.job, &body.job) => {
            Some(GivenInstead::OtherPoint { name: file.name.clone(), found: found.hold_point })
        }
        [(file, Some(found))] => Some(GivenInstead::OtherJob { name: file.name.clone(), job: found.job.clone() }),
        [(file, None)] => Some(GivenInstead::Unread { name: file.name.clone() }),
        several => Some(GivenInstead::Several { count: several.len() }),
    }
}

/// That a checklist further back was not given, if so. Nothing is known of it then, and nothing follows; but leaving a file
/// out makes no other one doubtful. What was given and is used already is not told as given in its place.
fn further_back(bar: &Reason) -> Option<Reason> {
    let Reason::LinkNotGiven { point, instead } = bar else { return None };
    let is_told =
        |instead: &&GivenInstead| matches!(instead, GivenInstead::Another { .. } | GivenInstead::Doubtful { .. });
    let instead = instead.as_deref().filter(is_told).cloned().map(Box::new);
    Some(Reason::LinkNotGiven { point: *point, instead })
}

/// Holds the earlier checklist against what the later one says was done by it, and gives what the later record says
/// otherwise than the earlier one, and that one further back was not given.
fn held_against(
    scene: &Scene<'_>,
    earlier: &Earlier,
    point: HoldPoint,
    acts: &[Instant],
    packs: Packs<'_>,
    (body, question): (&ChecklistBody, &Question<'_>),
) -> Result<(Vec<FactChange>, Option<Reason>), BrokenLink> {
    let (Some(first), Some(last)) = (acts.iter().min(), acts.iter().max()) else {
        return Err(BrokenLink::NoAssembly);
    };
    // Looked at as of when it was acted on: who had signed by then, and whether it was in force.
    let then = Question {
        at: *first,
        // Nobody asked for the earlier one as of that instant.
        chosen: false,
        present: Some(question.present.unwrap_or(question.at)),
        meant: Intended { job: Some(&body.job), ..Intended::default() },
        records: Records::None,
        shop: None,
        old_edition: false,
        packs: Some(packs),
        rejudge: true,
        ..*question
    };
    let (verified, record) = verify_and_read(&earlier.name, &earlier.bytes, &then);
    if let Some(fault) = verified.faults.first() {
        return Err(BrokenLink::Doubtful { point, reason: Box::new(fault.clone()) });
    }
    let Some(found) = verified.body else { return Err(BrokenLink::Unread) };
    if found.hold_point != point {
        return Err(BrokenLink::OtherPoint { found: found.hold_point });
    }
    // What bars every start by this trust file is said of the checklist itself.
    let of_the_question = |bar: &Reason| {
        matches!(
            bar,
            Reason::NotNow { .. } | Reason::RecordNotGiven { .. } | Reason::OfTrust(TrustReason::Unseen { .. })
        ) || bar.is_borne_out_theft_after(*first)
            || then.trust.bars().any(|known| known == *bar)
    };
    let open = verified.bars.iter().find(|bar| !of_the_question(bar) && further_back(bar).is_none());
    if let Some(bar) = open {
        return Err(BrokenLink::NotBorne { point, bar: Box::new(bar.clone()) });
    }
    let until = found.valid_until.as_deref().and_then(instant);
    if until.is_none_or(|until| *last > until) {
        return Err(BrokenLink::Lapsed { point });
    }
    let marks: Vec<&str> = marks_of(body).collect();
    covers(&found, &marks, body).map_err(|mark| BrokenLink::NotCovered { point, mark })?;
    if let Some(bar) = overtaken(&found, *first, question) {
        return Err(BrokenLink::NotBorne { point, bar: Box::new(bar) });
    }
    let judged = found.contradictions().0.zip(record);
    let Some((Instants { judged_at, .. }, job)) = judged else { return Err(BrokenLink::Unread) };
    let marks = (marks.len() == body.assemblies.len()).then_some(marks.as_slice());
    let kept = Kept::ForTheJob { seen_from: scene.hold_point() };
    let changes = changes(scene.packs().catalogue(), (&job, judged_at), scene.job(), marks, kept);
    Ok((changes, verified.bars.iter().find_map(further_back)))
}

/// That a checklist at hand held the same assembly at the same hold point later than the one found, and before what that
/// one let happen was done.
fn overtaken(found: &ChecklistBody, first: Instant, question: &Question<'_>) -> Option<Reason> {
    let judged = |body: &ChecklistBody| Instant::parse(&body.judged_at).ok();
    let since = judged(found)?;
    let holds = |file: &Earlier| {
        let envelope = Envelope::read(Kind::Checklist, &file.name, &file.bytes).ok()?;
        let body: ChecklistBody = envelope.body().ok()?;
        let at = judged(&body).filter(|at| *at >= since && *at <= first)?;
        let is_meant = rivals(found, &body) && !body.passes() && !body.rehearsal && question.trust.bears(&envelope);
        is_meant.then(|| (at, file.name.clone(), body))
    };
    let (at, name, body) = question.earlier.at_hand().filter_map(holds).max_by_key(|(at, ..)| *at)?;
    Some(Reason::LaterChecklist { name, tied: at == since, at: body.judged_at, verdict: body.verdict })
}

fn marks_of(body: &ChecklistBody) -> impl Iterator<Item = &str> {
    body.assemblies.iter().filter_map(|one| one.mark.as_deref())
}

/// Whether an earlier checklist covers the assemblies of a later one; if not, the first mark that it does not cover, or
/// none where assemblies without a mark may be others than those that it covers.
fn covers(earlier: &ChecklistBody, marks: &[&str], later: &ChecklistBody) -> Result<(), Option<String>> {
    let is_covered = |mark: &str| marks_of(earlier).any(|other| names_one_thing(mark, other));
    if let Some(mark) = marks.iter().find(|mark| !is_covered(mark)) {
        return Err(Some((*mark).to_owned()));
    }
    let may_be_others = marks.len() < later.assemblies.len() && earlier.assemblies.len() != later.assemblies.len();
    if may_be_others { Err(None) } else { Ok(()) }
}
