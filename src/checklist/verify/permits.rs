//! The permits inside a checklist: each must count by itself, be for this job, be the one that its finding needs, and be
//! given by somebody who does not let the fill start as well.
//!
//! Must not know what the findings say beyond their rules.

use super::{Question, Verification};
use crate::checklist::body::{ChecklistBody, Instants};
use crate::checklist::permit::{Checked, Permit};
use crate::checklist::reason::{BorneOut, PermitReason, PermittedElsewhere, SelfContradiction};
use crate::units::Instant;
use crate::vocabulary::Role;

/// Checks each permit; `good` are the people who signed the checklist with keys that stand, and when.
pub(super) fn check(
    body: &ChecklistBody,
    instants: &Instants,
    question: &Question<'_>,
    good: &[(String, Instant)],
    report: &mut Verification,
) {
    let mut codes = Vec::new();
    for permit in body.open_permits() {
        match permit {
            Ok(permit) => {
                one(&permit, body, instants, question, good, report);
                codes.push((permit.code(), permit.body().subject.clone()));
            }
            Err(fault) => report.faults.push(fault.into()),
        }
    }
    for fault in body.findings.each_fault().into_iter().filter(|fault| fault.permitted) {
        if !codes.contains(&(fault.rule.clone(), fault.subject.clone())) {
            let of = fault.subject_name();
            report.faults.push(SelfContradiction::PermittedByNone { rule: fault.rule, of }.into());
        }
    }
}

fn one(
    permit: &Permit,
    body: &ChecklistBody,
    instants: &Instants,
    question: &Question<'_>,
    good: &[(String, Instant)],
    report: &mut Verification,
) {
    let packs = question.packs.filter(|packs| body.packs() == packs.parts);
    let Checked { faults, revoked, ended } = permit.check_asked(question.trust, packs, instants.judged_at, question.at);
    report.faults.extend(faults);
    report.bars.extend(ended);
    // The permit stands in the content with its signatures: the person who signed that has signed them as well. A
    // signature of the permit beside it is no such word, since the person who asks signs before anybody permits.
    for revoked in revoked {
        let borne_out = revoked.bearer(good).map(|by| BorneOut::Signature { by: by.to_owned() });
        let list = if borne_out.is_some() { &mut report.bars } else { &mut report.faults };
        list.push(permit.wrap(revoked.reason(borne_out)));
    }
    let inner = permit.body();
    report.faults.extend(permit.elsewhere(Some(&body.job), body.hold_point, &body.time_zone));
    if !body.packs().contains(&inner.pack) {
        let other = PermittedElsewhere::Edition { pack: inner.pack.title() };
        report.faults.push(permit.wrap(PermitReason::Other(other).into()));
    }
    let Some(signer) = permit.permitter(|kid| question.trust.name_of(kid)) else { return };
    let who = question.trust.name_of(&signer.kid);
    let starts = |signed: &super::CheckedSignature| {
        signed.role == Some(Role::Supervisor) && signed.who == who && !signed.witness
    };
    if report.signatures.iter().any(starts) {
        report.faults.push(permit.wrap(PermitReason::BySigner { who }.into()));
    }
    // What a rehearsal says of its permits says nothing of the present, and it never starts a fill.
    if !body.rehearsal {
        let now = question.at.max(instants.judged_at);
        report.bars.extend(permit.out_of_force(now).map(|reason| permit.wrap(reason)));
    }
}
