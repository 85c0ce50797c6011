//! Members that the JSON of several commands has, each written in one way: what a checklist says of itself, who signed it,
//! what holds it, whose trust file it was held against, and why there is no answer.
//!
//! Must not know which command asks.

use fillward::checklist::Reason;
use fillward::checklist::body::ChecklistBody;
use fillward::checklist::filled::Filled;
use fillward::checklist::packs::PackPart;
use fillward::checklist::trust::Trust;
use fillward::checklist::verify::{CheckedSignature, Verification};
use fillward::desk::{HeldBy, PermitLine};
use fillward::document::Fault;
use fillward::units::Zone;
use fillward::vocabulary::Role;
use miette::Diagnostic as _;
use serde::Serialize;

use super::failure::Failure;
use super::output::signer_name;

/// What a checklist says of itself; nothing of one that could not be read.
#[derive(Default, Serialize)]
pub(super) struct OutBody<'a> {
    job: Option<&'a str>,
    hold_point: Option<&'a str>,
    verdict: Option<&'a str>,
    judged_at: Option<&'a str>,
    valid_until: Option<&'a str>,
    rehearsal: Option<bool>,
    time_zone: Option<&'a str>,
    packs: Vec<String>,
    assemblies: Vec<OutFilled<'a>>,
    required_roles: Vec<&'a str>,
}

/// Whose trust file the files were held against.
#[derive(Serialize)]
pub(super) struct OutTrust<'a> {
    shop: &'a str,
    version: i64,
    words: String,
    signed_by: Vec<OutOwner<'a>>,
    taken_at_its_word: bool,
}

#[derive(Serialize)]
struct OutOwner<'a> {
    name: &'a str,
    words: String,
}

#[derive(Serialize)]
pub(super) struct OutFilled<'a> {
    mark: Option<&'a str>,
    tyre_size: Option<&'a str>,
    target_pressure: Option<&'a str>,
}

#[derive(Serialize)]
pub(super) struct Signature<'a> {
    who: &'a str,
    kid: &'a str,
    role: Option<&'a str>,
    at: Option<String>,
    counts: bool,
    witness: bool,
}

#[derive(Serialize)]
pub(super) struct Held {
    rule: String,
    title: String,
    subjects: Vec<String>,
}

#[derive(Serialize)]
pub(super) struct OutPermitted<'a> {
    rule: &'a str,
    subject: String,
    by: Option<String>,
    asked_by: &'a str,
    asker_signed: bool,
    until: &'a str,
}

/// What a checklist says of itself.
pub(super) fn out_body(body: &ChecklistBody) -> OutBody<'_> {
    OutBody {
        job: Some(&body.job),
        hold_point: Some(body.hold_point.word()),
        verdict: Some(body.verdict.word()),
        judged_at: Some(&body.judged_at),
        valid_until: body.valid_until.as_deref(),
        rehearsal: Some(body.rehearsal),
        time_zone: Some(&body.time_zone),
        packs: body.packs().iter().map(PackPart::title).collect(),
        assemblies: body.assemblies.iter().map(out_filled).collect(),
        required_roles: body.required_roles.iter().map(|role| role.word()).collect(),
    }
}

/// Whose trust file it is.
pub(super) fn out_trust(trust: &Trust) -> OutTrust<'_> {
    OutTrust {
        shop: trust.shop(),
        version: trust.version(),
        words: trust.digest_in_words(),
        signed_by: trust.signers().map(|(name, words)| OutOwner { name, words }).collect(),
        taken_at_its_word: !trust.is_pinned(),
    }
}

/// The signatures of a file, by the clock of a zone.
pub(super) fn out_signatures<'r>(report: &'r Verification, zone: &Zone) -> Vec<Signature<'r>> {
    let counts = |signed: &CheckedSignature| signed.fault.is_none() && signed.since.is_none() && !signed.witness;
    let one = |signed: &'r CheckedSignature| Signature {
        who: &signed.who,
        kid: &signed.kid,
        role: signed.role.map(Role::word),
        at: signed.at.map(|at| at.in_zone(zone).to_record_text()),
        counts: counts(signed),
        witness: signed.witness,
    };
    report.signatures.iter().map(one).collect()
}

/// The rules that hold a job.
pub(super) fn out_held(held: Vec<HeldBy>) -> Vec<Held> {
    held.into_iter().map(|HeldBy { rule, title, subjects }| Held { rule, title, subjects }).collect()
}

pub(super) fn out_filled(Filled { mark, tyre_size, target_pressure }: &Filled) -> OutFilled<'_> {
    OutFilled { mark: mark.as_deref(), tyre_size: tyre_size.as_deref(), target_pressure: target_pressure.as_deref() }
}

pub(super) fn out_permitted(permit: &PermitLine) -> OutPermitted<'_> {
    let PermitLine { code, body, by, asker_signed, asked_at: _, signed: _ } = permit;
    OutPermitted {
        rule: code,
        subject: body.subject_words(),
        by: by.as_ref().map(signer_name),
        asked_by: &body.asked_by,
        asker_signed: *asker_signed,
        until: &body.until,
    }
}

/// Why something is not so, or did not come about.
#[derive(Serialize)]
pub(super) struct OutReason {
    pub(super) code: String,
    pub(super) says: String,
    pub(super) cure: String,
}

pub(super) fn of_reason(reason: &Reason) -> OutReason {
    OutReason { code: reason.code().word().to_owned(), says: reason.to_string(), cure: reason.help().into_owned() }
}

fn of_fault(fault: &Fault) -> OutReason {
    let cure = fault.cure().unwrap_or_default().to_owned();
    OutReason { code: fault.code().word().to_owned(), says: fault.message().to_owned(), cure }
}

/// Everything that a failure says, each by itself.
pub(super) fn of_failure(failure: &Failure) -> Vec<OutReason> {
    match failure {
        Failure::AfterSigning(failure) => of_failure(failure),
        Failure::Integrity(reasons) | Failure::TrustOrder(reasons) | Failure::Trust { reasons, .. } => {
            reasons.iter().map(of_reason).collect()
        }
        Failure::Invalid { faults } => faults.iter().map(of_fault).collect(),
        other => {
            let text = |part: Option<Box<dyn std::fmt::Display + '_>>| part.map(|part| part.to_string());
            let (code, cure) = (text(other.code()).unwrap_or_default(), text(other.help()).unwrap_or_default());
            vec![OutReason { code, says: other.to_string(), cure }]
        }
    }
}
