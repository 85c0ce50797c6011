//! Signing a checklist: what must be in order before a key is put to use.
//!
//! Must not know where keys and files lie.

use super::body::ChecklistBody;
use super::jws::Envelope;
use super::keys::SecretKey;
use super::permit::Permit;
use super::reason::{PermitReason, Reason, SelfContradiction, TrustReason};
use super::trust::Trust;
use crate::units::Instant;
use crate::vocabulary::Role;

/// Signs a checklist, for the first time or as a further person, at the instant `at`.
///
/// # Errors
/// Everything that speaks against it; the envelope is then as it was.
pub fn sign(
    envelope: &mut Envelope,
    body: &ChecklistBody,
    key: &SecretKey,
    role: Role,
    trust: &Trust,
    at: Instant,
) -> Result<(), Vec<Reason>> {
    let reasons = against(envelope, body, key.public().kid(), role, trust, at);
    if !reasons.is_empty() {
        return Err(reasons);
    }
    envelope.sign(key, role, at).map_err(|fault| vec![fault.into()])
}

/// Whether the person who signs an envelope of this body at an instant is a witness: it has been signed, and the
/// judgement no longer holds, so nothing starts by the signature. It bears out that the content was there.
pub fn is_witness(envelope: &Envelope, body: &ChecklistBody, at: Instant) -> bool {
    let until = body.contradictions().0.and_then(|instants| instants.valid_until);
    !envelope.seals().is_empty() && !body.rehearsal && until.is_some_and(|until| at > until)
}

/// Everything that speaks against signing: the key, its role, the trust file, the packs, the time, an earlier signature
/// or a permit by the same person.
pub fn against(
    envelope: &Envelope,
    body: &ChecklistBody,
    kid: &str,
    role: Role,
    trust: &Trust,
    at: Instant,
) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let who = match trust.may_sign(kid, role, at) {
        Ok(who) => who.to_owned(),
        Err(reason) => {
            reasons.push(reason);
            trust.name_of(kid)
        }
    };
    reasons.extend(trust.lapses(at));
    let (instants, contradictions) = body.contradictions();
    let witness = is_witness(envelope, body, at);
    // A witness answers for what was, by the packs of then.
    let judging = instants.as_ref().filter(|_| witness).map_or(at, |instants| instants.judged_at);
    let packs = body.packs();
    reasons.extend(trust.left_out(packs, judging));
    for pack in packs {
        reasons.extend(trust.approves(&pack.name, &pack.edition, &pack.sha256, judging).err());
    }
    for earlier in envelope.signers().into_iter().flatten() {
        if trust.name_of(&earlier.kid) == who {
            reasons.push(Reason::SignedAlready { who: who.clone() });
        }
    }
    // Anyone who lets the rule be set aside does not also let the fill start.
    let name_of = |kid: &str| trust.name_of(kid);
    let permitted_by = |permit: Permit| permit.permitter(name_of).map(|signer| name_of(&signer.kid));
    if role == Role::Supervisor
        && !witness
        && body.open_permits().flatten().filter_map(permitted_by).any(|by| by == who)
    {
        reasons.push(Reason::OfPermit(PermitReason::BySigner { who: who.clone() }));
    }
    reasons.extend(contradictions);
    // A rehearsal is judged at a chosen instant, so its times say nothing of the present.
    if let Some(instants) = instants.filter(|_| !body.rehearsal) {
        if at < instants.judged_at {
            reasons.push(Reason::SignedBeforeJudged { who: who.clone(), at });
        }
        if !witness && instants.valid_until.is_some_and(|until| at > until) {
            reasons.push(Reason::SignedTooLate { who, at });
        }
    }
    let named = &body.inputs.trust;
    if named.version > trust.version() {
        reasons.push(Reason::OfTrust(TrustReason::Older { found: trust.version(), least: named.version }));
    }
    reasons.extend(named.differs(trust));
    // What is signed must be what was shown.
    if !envelope.body::<ChecklistBody>().is_ok_and(|inside| inside == *body) {
        reasons.push(SelfContradiction::OtherBody.into());
    }
    reasons
}
