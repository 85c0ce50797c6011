//! Verified files for other programs: JSON with a format number and a published schema.

use std::path::PathBuf;

use fillward::checklist::Reason;
use fillward::checklist::changes::{Difference, FactChange};
use fillward::checklist::trust::Trust;
use fillward::checklist::verify::Otherwise;
use fillward::desk::{OneOf, Several, Verified};
use serde::Serialize;

use super::super::failure::Failure;
use super::super::members::{
    Held, OutBody, OutFilled, OutPermitted, OutReason, OutTrust, Signature, of_failure, out_body, out_filled, out_held,
    out_permitted, out_signatures, out_trust,
};
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
    verified_at: Option<String>,
    chosen: bool,
    trust: Option<OutTrust<'a>>,
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
    /// The file that says the same, where one that was given before it does.
    copy: Option<String>,
    #[serde(flatten)]
    body: OutBody<'a>,
    shop: Option<&'a str>,
    not_covered: Vec<OutFilled<'a>>,
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
    let originals = overview.originals();
    let copy = |place: usize| originals.get(&place).map(|of| of.display().to_string());
    let files = rows.iter().enumerate().map(|(place, row)| OutFile { copy: copy(place), ..file(row) }).collect();
    let out = Out {
        verification: FORMAT,
        verified_at: Some(at.to_owned()),
        chosen,
        trust: Some(out_trust(trust)),
        totals,
        held_by: overview.rules.iter().map(|held| Count { of: &held.rule, files: held.files }).collect(),
        files,
        several: seen.several.iter().map(several).collect(),
        not_looked_at: seen.others.iter().map(|path| path.display().to_string()).collect(),
    };
    printed(&out)
}

/// The same where nothing could be verified, and why: of each file it is said that it is not.
pub(super) fn unanswered(
    files: &[PathBuf],
    failure: &Failure,
    at: Option<String>,
    chosen: bool,
) -> Result<String, Failure> {
    printed(&Out {
        verification: FORMAT,
        verified_at: at,
        chosen,
        trust: None,
        totals: vec![Count { of: NOT_VERIFIED, files: files.len() }],
        held_by: Vec::new(),
        files: files.iter().map(|path| not_verified(path.display().to_string(), failure)).collect(),
        several: Vec::new(),
        not_looked_at: Vec::new(),
    })
}

fn printed(out: &Out<'_>) -> Result<String, Failure> {
    let text = serde_json::to_string_pretty(out).map_err(|error| Failure::Unwritable(error.into()))?;
    Ok(text + "\n")
}

fn several(Several { job, hold_point, files }: &Several) -> OutSeveral<'_> {
    OutSeveral { job, hold_point: hold_point.word(), files: files.iter().map(one_of).collect() }
}

fn one_of(OneOf { name, judged_at, verdict, differs }: &OneOf) -> OutOneOf<'_> {
    OutOneOf {
        file: name.display().to_string(),
        judged_at,
        verdict: verdict.word(),
        differs: differs.iter().map(differs_in).collect(),
    }
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
        Err(failure) => not_verified(name, failure),
    }
}

fn not_verified<'a>(name: String, failure: &Failure) -> OutFile<'a> {
    OutFile {
        path: name,
        answer: NOT_VERIFIED,
        copy: None,
        body: OutBody::default(),
        shop: None,
        not_covered: Vec::new(),
        signatures: Vec::new(),
        held_by: Vec::new(),
        permitted: Vec::new(),
        against: of_failure(failure)
            .into_iter()
            .map(|OutReason { code, says, cure }| OutAgainst { code, doubtful: false, says, cure })
            .collect(),
        judged_again: false,
        judged_otherwise: Vec::new(),
        changed_since: Vec::new(),
        shop_file_changed_elsewhere: false,
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
        copy: None,
        body: body.map(out_body).unwrap_or_default(),
        shop: body.map(|body| body.inputs.trust.shop.as_str()),
        not_covered: report.not_covered.iter().map(out_filled).collect(),
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
