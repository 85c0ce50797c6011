//! The signatures of a checklist: each must be good, and together they must be by enough different people.
//!
//! Must not know findings.

use super::not_yet::{self, Vote};
use super::{CheckedSignature, Question, Verification};
use crate::checklist::body::{ChecklistBody, Instants, MAX_ROLES};
use crate::checklist::jws::{Envelope, Signer};
use crate::checklist::reason::{BorneOut, Reason};
use crate::checklist::trust::{Revoked, Trust, ahead_of};
use crate::units::Instant;
use crate::vocabulary::{Kind, Role};

/// Checks every signature, then counts people, never signatures. Gives the people who signed with keys that stand, and when.
pub(super) fn check(
    envelope: &Envelope,
    body: &ChecklistBody,
    instants: Option<&Instants>,
    question: &Question<'_>,
    report: &mut Verification,
) -> Vec<(String, Instant)> {
    if envelope.seals().is_empty() {
        report.faults.push(Reason::NotSigned(Kind::Checklist));
    }
    let mut votes: Vec<Vote> = Vec::new();
    let mut after_asked: Vec<(Vote, Instant)> = Vec::new();
    let mut revoked: Vec<(usize, Revoked)> = Vec::new();
    let mut good: Vec<(String, Instant)> = Vec::new();
    let mut kids: Vec<String> = Vec::new();
    for signer in envelope.signers() {
        let signer = match signer {
            Ok(signer) => signer,
            Err(reason) => {
                report.signatures.push(unread(reason.clone()));
                report.faults.push(reason);
                continue;
            }
        };
        let who = question.trust.name_of(&signer.kid);
        let (mut since, mut witness, mut may_vote_later) = (None, false, false);
        let fault = match one(envelope, body, instants, question, &signer, &who) {
            Ok(Since { revoked: Some(key), late, .. }) => {
                witness = late;
                revoked.push((report.signatures.len(), key));
                kids.contains(&signer.kid).then(|| Reason::SignedTwice { who: who.clone() })
            }
            Ok(Since { ended, late, lapsed, .. }) => {
                (witness, may_vote_later) = (late, !lapsed);
                // A key that came to its end as planned was good.
                report.bars.extend(ended.clone());
                good.push((who.clone(), signer.at));
                since = ended;
                kids.contains(&signer.kid).then(|| Reason::SignedTwice { who: who.clone() })
            }
            Err(reason) => Some(reason),
        };
        match &fault {
            // Whose it is, is known: nobody is asked for one more signature for what the clocks alone make of this one.
            Some(reason @ Reason::SignedAhead { .. }) => {
                report.faults.push(reason.clone());
                votes.push((who.clone(), signer.role));
            }
            Some(reason) => report.faults.push(reason.clone()),
            None if witness && may_vote_later => after_asked.push(((who.clone(), signer.role), signer.at)),
            None if witness => {}
            None => votes.push((who.clone(), signer.role)),
        }
        kids.push(signer.kid.clone());
        let (role, at) = (Some(signer.role), Some(signer.at));
        report.signatures.push(CheckedSignature { who, kid: signer.kid, role, at, fault, witness, since });
    }
    revoked_since(revoked, &good, report);
    // More than may be asked for is a contradiction of its own, and not listed one by one.
    let required = body.required_roles.get(..MAX_ROLES).unwrap_or(&body.required_roles);
    let missing = missing(required, &votes);
    if !missing.is_empty() && !envelope.seals().is_empty() {
        let signs_later = |votes: &[Vote]| self::missing(required, votes).is_empty();
        let not_yet = not_yet::signed_since(question, &mut after_asked, &votes, signs_later);
        report.bars.push(not_yet.unwrap_or(Reason::TooFewSigners { missing }));
    }
    good
}

/// A signature of which the header cannot be read.
fn unread(fault: Reason) -> CheckedSignature {
    let (who, kid) = (String::new(), String::new());
    CheckedSignature { who, kid, role: None, at: None, fault: Some(fault), witness: false, since: None }
}

/// Says of the signatures by keys that were revoked since what they are worth.
///
/// A revoked key may have signed at any time, whatever instant it wrote. Another person who signed the same content before
/// bears out that it was there by then, though not that this signature was; the fill may not start by it all the same.
fn revoked_since(revoked: Vec<(usize, Revoked)>, good: &[(String, Instant)], report: &mut Verification) {
    for (place, key) in revoked {
        let borne_out = key.bearer(good).map(|by| BorneOut::Content { by: by.to_owned() });
        let list = if borne_out.is_some() { &mut report.bars } else { &mut report.faults };
        let reason = key.reason(borne_out);
        list.push(reason.clone());
        if let Some(signed) = report.signatures.get_mut(place) {
            signed.since = Some(reason);
        }
    }
}

/// What the signatures of a file of another shop, or of a later version, show against it all the same: what is not one
/// in form, and what is not by the key that it names, where that is known. Somebody may sign for two shops.
pub(super) fn by_keys_alone(envelope: &Envelope, trust: &Trust) -> Vec<Reason> {
    if envelope.seals().is_empty() {
        return vec![Reason::NotSigned(Kind::Checklist)];
    }
    let against = |signer: Result<Signer, Reason>| match signer {
        Ok(signer) => trust.disproves(envelope, &signer),
        Err(reason) => Some(reason),
    };
    envelope.signers().into_iter().filter_map(against).collect()
}

/// What is known of a signature that was good, and what has happened to its key since.
struct Since {
    revoked: Option<Revoked>,
    ended: Option<Reason>,
    /// Whether it was made when the judgement no longer held.
    lapsed: bool,
    /// Whether it was, or was made after the instant as of which is asked.
    late: bool,
}

/// One signature: whose it is, and whether its instant fits the judgement. One that comes late is a witness's. Gives
/// what has happened to its key since.
fn one(
    envelope: &Envelope,
    body: &ChecklistBody,
    instants: Option<&Instants>,
    question: &Question<'_>,
    signer: &Signer,
    who: &str,
) -> Result<Since, Reason> {
    let standing = question.trust.standing(envelope, signer)?;
    let (who, at) = (|| who.to_owned(), signer.at);
    if ahead_of(signer.at, question.present.unwrap_or(question.at)) {
        return Err(Reason::SignedAhead { who: who(), at });
    }
    let instants = instants.filter(|_| !body.rehearsal);
    if instants.is_some_and(|instants| ahead_of(instants.judged_at, signer.at)) {
        return Err(Reason::SignedBeforeJudged { who: who(), at });
    }
    let lapsed = instants.and_then(|instants| instants.valid_until).is_some_and(|until| signer.at > until);
    // By how much clocks may differ makes nothing of what somebody asks for, to the second.
    let is_after = if question.chosen { signer.at > question.at } else { ahead_of(signer.at, question.at) };
    let late = lapsed || question.present.is_some() && is_after;
    Ok(Since { revoked: standing.revoked(), ended: standing.ended(question.at), lapsed, late })
}

/// The roles that nobody fills when each person fills one role at most.
fn missing(required: &[Role], votes: &[Vote]) -> Vec<Role> {
    let mut people: Vec<&str> = votes.iter().map(|(who, _)| who.as_str()).collect();
    people.sort_unstable();
    people.dedup();
    // Which role each person fills; a person is moved to another role where that lets one more be filled.
    let mut filled: Vec<Option<usize>> = vec![None; people.len()];
    let mut missing = Vec::new();
    for (place, role) in required.iter().enumerate() {
        let mut tried = vec![false; people.len()];
        if !fill(place, required, votes, &people, &mut filled, &mut tried) {
            missing.push(*role);
        }
    }
    missing
}

fn fill(
    place: usize,
    required: &[Role],
    votes: &[Vote],
    people: &[&str],
    filled: &mut [Option<usize>],
    tried: &mut [bool],
) -> bool {
    for (index, person) in people.iter().enumerate() {
        let signs = votes.iter().any(|(who, role)| who == person && required.get(place) == Some(role));
        if !signs || tried.get(index).copied().unwrap_or(true) {
            continue;
        }
        if let Some(mark) = tried.get_mut(index) {
            *mark = true;
        }
        let free = match filled.get(index).copied().flatten() {
            None => true,
            Some(other) => fill(other, required, votes, people, filled, tried),
        };
        if free && let Some(slot) = filled.get_mut(index) {
            *slot = Some(place);
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn people_are_counted_and_not_signatures() {
        use Role::{SafetyOfficer as Officer, Supervisor};
        let vote = |who: &str, role| (who.to_owned(), role);
        let both = [Supervisor, Officer];
        assert!(missing(&both, &[vote("a", Supervisor), vote("b", Officer)]).is_empty());
        assert_eq!(missing(&both, &[vote("a", Supervisor), vote("a", Officer)]), [Officer]);
        assert_eq!(missing(&[Supervisor, Supervisor], &[vote("a", Supervisor), vote("a", Supervisor)]), [Supervisor]);
        assert_eq!(missing(&both, &[]), both);
        // The one who can fill either role gives way to the one who can fill one only.
        let votes = [vote("a", Supervisor), vote("a", Officer), vote("b", Supervisor)];
        assert!(missing(&both, &votes).is_empty());
        assert!(missing(&[Officer, Supervisor], &votes).is_empty());
    }
}
