//! Asked for as of an instant at which the checklist was not there yet.
//!
//! That says nothing against the file, so the file is looked at as of the present; and nothing could have started by it
//! then. Must not know findings.

use super::Question;
use crate::checklist::body::{ChecklistBody, Instants};
use crate::checklist::reason::{NotMeant, Reason};
use crate::checklist::trust::ahead_of;
use crate::units::Instant;
use crate::vocabulary::Role;

/// A person who signed, by name, and the role.
pub(super) type Vote = (String, Role);

/// That it was judged since, and the present, as of which it is looked at, where it was asked for as of an instant before
/// that. Nothing where even the present lies before: then a clock is wrong. A practice run says nothing of the present.
pub(super) fn judged_since(
    body: &ChecklistBody,
    instants: Option<&Instants>,
    question: &Question<'_>,
) -> Option<(Reason, Instant)> {
    let present = question.present.filter(|_| question.chosen && !body.rehearsal)?;
    let Instants { judged_at: since, zone, .. } = instants?;
    let was_there = question.at >= *since || ahead_of(*since, present);
    (!was_there)
        .then(|| (NotMeant::NotYet { asked: question.at, since: *since }.into(), present.max(*since).in_zone(zone)))
}

/// That it was signed since by all who must, where it was asked for as of an instant before that: by the roles that are due,
/// and by the people who had signed by then and who signed later but in time, each with the instant.
pub(super) fn signed_since(
    question: &Question<'_>,
    late: &mut [(Vote, Instant)],
    votes: &[Vote],
    is_complete: impl Fn(&[Vote]) -> bool,
) -> Option<Reason> {
    if !question.chosen {
        return None;
    }
    late.sort_by_key(|(_, at)| *at);
    let mut votes = votes.to_vec();
    let mut since = late.iter().filter_map(|(vote, at)| {
        votes.push(vote.clone());
        is_complete(&votes).then_some(*at)
    });
    since.next().map(|since| NotMeant::NotYet { asked: question.at, since }.into())
}
