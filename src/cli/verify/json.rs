//! Verified files for other programs: JSON with a format number and a published schema.

use fillward::checklist::Reason;
use fillward::checklist::changes::{Difference, FactChange};
use fillward::checklist::filled::Filled;
use fillward::checklist::packs::PackPart;
use fillward::checklist::trust::Trust;
use fillward::checklist::verify::{CheckedSignature, Otherwise, Verification};
use fillward::desk::{HeldBy, OneOf, PermitLine, Several, Verified};
use fillward::units::Zone;
use fillward::vocabulary::Role;
use miette::Diagnostic as _;
use serde::Serialize;

use super::super::failure::Failure;
use super::super::output::signer_name;
use super::overview::{Overview, OverviewRow, SeenOnce};

/// The format number; a reader refuses a number that it does not know.
const FORMAT: u32 = 1;

/// The text of the published schema.
pub(crate) const fn schema() -> &'static str {
    include_str!("../../../schemas/verification.schema.json")
}

#[derive(Serialize)]
struct Out<'a> {
    verification: u32,
    verified_at: String,
    chosen: bool,
    trust: OutTrust<'a>,
    totals: Vec<Count<'a>>,
    held_by: Vec<Count<'a>>,
    files: Vec<OutFile<'a>>,
    several: Vec<OutSeveral<'a>>,
    not_looked_at: Vec<String>,
}

/// Different checklists of one job and hold point, the last one at the end.
#[derive(Serialize)]
struct OutSeveral<'a> {
    job: &'a str,
    hold_point: &'a str,
    files: Vec<OutOneOf<'a>>,
}

#[derive(Serialize)]
struct OutOneOf<'a> {
    file: String,
    judged_at: &'a str,
    verdict: &'a str,
    differs: Vec<OutDiffering<'a>>,
}

/// What a record says otherwise than that of the checklist before it.
#[derive(Serialize)]
struct OutDiffering<'a> {
    of: Option<&'a str>,
    fact: &'a str,
    before: Option<&'a str>,
    now: Option<&'a str>,
}

/// Whose trust file the files were held against.
#[derive(Serialize)]
pub(crate) struct OutTrust<'a> {
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
struct Count<'a> {
    of: &'a str,
    files: usize,
}

#[derive(Serialize)]
struct OutFile<'a> {
    #[serde(rename = "file")]
    path: String,
    answer: &'a str,
    job: Option<&'a str>,
    hold_point: Option<&'a str>,
    verdict: Option<&'a str>,
    judged_at: Option<&'a str>,
    valid_until: Option<&'a str>,
    rehearsal: Option<bool>,
    time_zone: Option<&'a str>,
    shop: Option<&'a str>,
    packs: Vec<String>,
    assemblies: Vec<OutFilled<'a>>,
    not_covered: Vec<OutFilled<'a>>,
    required_roles: Vec<&'a str>,
    signatures: Vec<Signature<'a>>,
    held_by: Vec<Held>,
    permitted: Vec<OutPermitted<'a>>,
    against: Vec<OutAgainst>,
    judged_again: bool,
    judged_otherwise: Vec<WorkedOut<'a>>,
    changed_since: Vec<Changed<'a>>,
    shop_file_changed_elsewhere: bool,
}

#[derive(Serialize)]
pub(crate) struct OutFilled<'a> {
    mark: Option<&'a str>,
    tyre_size: Option<&'a str>,
    target_pressure: Option<&'a str>,
}

#[derive(Serialize)]
pub(crate) struct Signature<'a> {
    who: &'a str,
    kid: &'a str,
    role: Option<&'a str>,
    at: Option<String>,
    counts: bool,
    witness: bool,
}

#[derive(Serialize)]
pub(crate) struct Held {
    rule: String,
    title: String,
    subjects: Vec<String>,
}

#[derive(Serialize)]
pub(crate) struct OutPermitted<'a> {
    rule: &'a str,
    subject: String,
    by: Option<String>,
    asked_by: &'a str,
    asker_signed: bool,
    until: &'a str,
}

#[derive(Serialize)]
struct OutAgainst {
    code: String,
    doubtful: bool,
    says: String,
    cure: String,
}

/// What the record says otherwise than at the hold point before.
#[derive(Serialize)]
struct Changed<'a> {
    of: Option<&'a str>,
    fact: &'a str,
    before: &'a str,
    now: Option<&'a str>,
}

#[derive(Serialize)]
struct WorkedOut<'a> {
    of: &'a str,
    then: &'a str,
    now: &'a str,
    by: &'a str,
}

/// The text, ending in a line break.
pub(super) fn json(seen: &SeenOnce, trust: &Trust, at: &str, chosen: bool) -> Result<String, Failure> {
    let rows = &seen.rows;
    let overview = Overview::of(rows);
    let mut totals: Vec<Count<'_>> = overview.answers.iter().map(|(of, files)| Count { of, files: *files }).collect();
    if overview.not_verified > 0 {
        totals.push(Count { of: NOT_VERIFIED, files: overview.not_verified });
    }
    if !overview.copies.is_empty() {
        totals.push(Count { of: COPY, files: overview.copies.len() });
    }
    let out = Out {
        verification: FORMAT,
        verified_at: at.to_owned(),
        chosen,
        trust: out_trust(trust),
        totals,
        held_by: overview.rules.iter().map(|held| Count { of: &held.rule, files: held.files }).collect(),
        files: rows.iter().map(file).collect(),
        several: seen.several.iter().map(several).collect(),
        not_looked_at: seen.others.iter().map(|path| path.display().to_string()).collect(),
    };
    let text = serde_json::to_string_pretty(&out).map_err(|error| Failure::Unwritable(error.into()))?;
    Ok(text + "\n")
}

/// Whose trust file it is.
pub(crate) fn out_trust(trust: &Trust) -> OutTrust<'_> {
    OutTrust {
        shop: trust.shop(),
        version: trust.version(),
        words: trust.digest_in_words(),
        signed_by: trust.signers().map(|(name, words)| OutOwner { name, words }).collect(),
        taken_at_its_word: !trust.is_pinned(),
    }
}

/// The signatures of a file, by the clock of a zone.
pub(crate) fn out_signatures<'r>(report: &'r Verification, zone: &Zone) -> Vec<Signature<'r>> {
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
pub(crate) fn out_held(held: Vec<HeldBy>) -> Vec<Held> {
    held.into_iter().map(|HeldBy { rule, title, subjects }| Held { rule, title, subjects }).collect()
}

fn several(Several { job, hold_point, files }: &Several) -> OutSeveral<'_> {
    OutSeveral { job, hold_point, files: files.iter().map(one_of).collect() }
}

fn one_of(OneOf { name, judged_at, verdict, differs }: &OneOf) -> OutOneOf<'_> {
    OutOneOf { file: name.display().to_string(), judged_at, verdict, differs: differs.iter().map(differs_in).collect() }
}

fn differs_in(Difference { of, fact, before, now }: &Difference) -> OutDiffering<'_> {
    OutDiffering { of: of.as_deref(), fact, before: before.as_deref(), now: now.as_deref() }
}

const NOT_VERIFIED: &str = "not verified";
/// The total of files that say the same as another one.
const COPY: &str = "copy";

fn file((path, row): &OverviewRow) -> OutFile<'_> {
    let name = path.display().to_string();
    match row {
        Ok(verified) => of_verified(name, verified),
        Err(failure) => OutFile {
            path: name,
            answer: NOT_VERIFIED,
            job: None,
            hold_point: None,
            verdict: None,
            judged_at: None,
            valid_until: None,
            rehearsal: None,
            time_zone: None,
            shop: None,
            packs: Vec::new(),
            assemblies: Vec::new(),
            not_covered: Vec::new(),
            required_roles: Vec::new(),
            signatures: Vec::new(),
            held_by: Vec::new(),
            permitted: Vec::new(),
            against: vec![OutAgainst {
                code: failure.code().map(|code| code.to_string()).unwrap_or_default(),
                doubtful: false,
                says: failure.to_string(),
                cure: failure.help().map(|help| help.to_string()).unwrap_or_default(),
            }],
            judged_again: false,
            judged_otherwise: Vec::new(),
            changed_since: Vec::new(),
            shop_file_changed_elsewhere: false,
        },
    }
}

fn of_verified(path: String, verified: &Verified) -> OutFile<'_> {
    let Verified { answer, report, permits, zone, .. } = verified;
    let body = report.body.as_ref();
    let against = |doubtful: bool| {
        move |reason: &Reason| OutAgainst {
            code: reason.code().word().to_owned(),
            doubtful,
            says: reason.to_string(),
            cure: verified.cure(reason).into_owned(),
        }
    };
    OutFile {
        path,
        answer: answer.word(),
        job: body.map(|body| body.job.as_str()),
        hold_point: body.map(|body| body.hold_point.as_str()),
        verdict: body.map(|body| body.verdict.as_str()),
        judged_at: body.map(|body| body.judged_at.as_str()),
        valid_until: body.and_then(|body| body.valid_until.as_deref()),
        rehearsal: body.map(|body| body.rehearsal),
        time_zone: body.map(|body| body.time_zone.as_str()),
        shop: body.map(|body| body.inputs.trust.shop.as_str()),
        packs: body.iter().flat_map(|body| body.packs().iter().map(PackPart::title)).collect(),
        assemblies: body.iter().flat_map(|body| body.assemblies.iter().map(out_filled)).collect(),
        not_covered: report.not_covered.iter().map(out_filled).collect(),
        required_roles: body.iter().flat_map(|body| body.required_roles.iter().map(|role| role.word())).collect(),
        signatures: out_signatures(report, zone),
        held_by: out_held(verified.held_by()),
        permitted: permits.iter().map(out_permitted).collect(),
        against: report.faults.iter().map(against(true)).chain(report.bars.iter().map(against(false))).collect(),
        judged_again: report.rejudged,
        judged_otherwise: report
            .otherwise
            .iter()
            .map(|Otherwise { place, then, now, by }| WorkedOut { of: place, then, now, by })
            .collect(),
        changed_since: report
            .changes
            .iter()
            .map(|FactChange { of, fact, before, now, .. }| Changed {
                of: of.as_deref(),
                fact,
                before,
                now: now.as_deref(),
            })
            .collect(),
        shop_file_changed_elsewhere: report.shop_elsewhere,
    }
}

pub(crate) fn out_filled(Filled { mark, tyre_size, target_pressure }: &Filled) -> OutFilled<'_> {
    OutFilled { mark: mark.as_deref(), tyre_size: tyre_size.as_deref(), target_pressure: target_pressure.as_deref() }
}

pub(crate) fn out_permitted(permit: &PermitLine) -> OutPermitted<'_> {
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
