//! What was signed, or why nothing was, for other programs: one JSON object with a format number and a published schema.

use fillward::checklist::Reason;
use fillward::checklist::body::ChecklistBody;
use fillward::checklist::filled::Filled;
use fillward::checklist::trust::Trust;
use fillward::checklist::verify::Verification;
use fillward::desk::{Draft, PermitLine, Signed, held_by};
use fillward::units::Zone;
use fillward::vocabulary::Role;
use serde::Serialize;

use super::Failure;
use crate::cli::members::{
    Held, OutBody, OutFilled, OutPermitted, OutReason, OutTrust, Signature, of_failure, of_reason, out_body,
    out_filled, out_held, out_permitted, out_signatures, out_trust,
};

/// The format number; a reader refuses a number that it does not know.
const FORMAT: u32 = 1;

/// The text of the published schema.
pub(crate) const fn schema() -> &'static str {
    include_str!("../../../schemas/signing.schema.json")
}

/// What is known of a signature that is asked for, as far as it has come.
#[derive(Debug, Default)]
pub(super) struct SoFar {
    pub(super) trust: Option<Trust>,
    drafted: Option<Drafted>,
    pub(super) signed: Option<Signed>,
}

/// What was to be signed.
#[derive(Debug)]
struct Drafted {
    body: ChecklistBody,
    permits: Vec<PermitLine>,
    not_covered: Vec<Filled>,
    zone: Zone,
}

impl SoFar {
    pub(super) fn drafted(&mut self, draft: &Draft) {
        let proposal = draft.proposal();
        self.drafted = Some(Drafted {
            body: proposal.body.clone(),
            permits: proposal.permits.clone(),
            not_covered: proposal.not_covered.clone(),
            zone: proposal.zone.clone(),
        });
    }
}

#[derive(Serialize)]
struct OutSigning<'a> {
    signing: u32,
    signed: bool,
    may_start: bool,
    file: Option<String>,
    #[serde(flatten)]
    body: OutBody<'a>,
    not_covered: Vec<OutFilled<'a>>,
    missing_roles: Vec<&'a str>,
    signatures: Vec<Signature<'a>>,
    held_by: Vec<Held>,
    permitted: Vec<OutPermitted<'a>>,
    trust: Option<OutTrust<'a>>,
    against: Vec<OutReason>,
}

/// The text, ending in a line break.
pub(super) fn json(act: &SoFar, failure: Option<&Failure>) -> Result<String, Failure> {
    let SoFar { trust, drafted, signed } = act;
    let report = signed.as_ref().map(|signed| &signed.report);
    let body = drafted.as_ref().map(|drafted| &drafted.body);
    let is_signed = signed.is_some() || matches!(failure, Some(Failure::AfterSigning(_)));
    let out = OutSigning {
        signing: FORMAT,
        signed: is_signed,
        may_start: failure.is_none() && report.is_some_and(Verification::may_start),
        file: signed.as_ref().map(|signed| signed.name.display().to_string()),
        body: body.map(out_body).unwrap_or_default(),
        not_covered: drafted.iter().flat_map(|drafted| drafted.not_covered.iter().map(out_filled)).collect(),
        missing_roles: missing(report, body),
        signatures: report.zip(drafted.as_ref()).map(|(of, made)| out_signatures(of, &made.zone)).unwrap_or_default(),
        held_by: body.map(|body| out_held(held_by(body))).unwrap_or_default(),
        permitted: drafted.iter().flat_map(|drafted| drafted.permits.iter().map(out_permitted)).collect(),
        trust: trust.as_ref().map(out_trust),
        against: match (failure, report) {
            (Some(failure), _) => of_failure(failure),
            (None, Some(report)) => report.reasons().map(of_reason).collect(),
            // A HOLD that nobody asked to have signed.
            (None, None) => vec![of_reason(&Reason::Hold)],
        },
    };
    Ok(serde_json::to_string_pretty(&out)? + "\n")
}

/// The roles in which nobody has signed yet; all of them, where nothing was signed.
fn missing<'a>(report: Option<&Verification>, body: Option<&'a ChecklistBody>) -> Vec<&'a str> {
    let due = body.iter().flat_map(|body| &body.required_roles);
    let Some(report) = report else { return due.map(|role| role.word()).collect() };
    let of = |reason: &Reason| match reason {
        Reason::TooFewSigners { missing } => missing.iter().copied().map(Role::word).collect(),
        _ => Vec::new(),
    };
    report.reasons().flat_map(of).collect()
}
