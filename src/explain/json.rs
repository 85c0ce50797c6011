//! The report for other programs: JSON with a version of its own and a published schema.

use serde::Serialize;

use super::{Explained, Report, closing};
use crate::engine::Outcome;
use crate::units::Instant;

/// The format number; a reader refuses a number that it does not know.
const FORMAT: u32 = 1;

/// The published schema of the JSON report.
const SCHEMA: &str = include_str!("../../schemas/report.schema.json");

/// The text of the published report schema.
pub fn schema() -> &'static str {
    SCHEMA
}

#[derive(Serialize)]
struct Out<'a> {
    report: u32,
    verdict: &'a str,
    job: Option<&'a str>,
    record: &'a str,
    judged_at: String,
    judged_at_from: &'a str,
    zone: &'a str,
    packs: Vec<OutPack<'a>>,
    counts: Counts,
    holding: Vec<OutFinding<'a>>,
    advice: Vec<OutFinding<'a>>,
    outcomes: Vec<OutOutcome<'a>>,
    notes: &'a [String],
    summary: &'a [String],
    latest_start: Option<String>,
    caution: String,
}

#[derive(Serialize)]
struct OutPack<'a> {
    name: &'a str,
    edition: &'a str,
    title: &'a str,
}

#[derive(Serialize)]
struct Counts {
    broken: usize,
    not_shown: usize,
    met: usize,
    does_not_apply: usize,
    advice: usize,
}

#[derive(Serialize)]
struct OutFinding<'a> {
    code: &'a str,
    outcome: &'a str,
    title: &'a str,
    subject: &'a str,
    places: Vec<OutPlace<'a>>,
    clears: &'a [String],
    put_right: &'a str,
    why: &'a str,
    clause: &'a str,
    clause_at: &'a str,
    source: &'a str,
    permit: &'a str,
}

#[derive(Serialize)]
struct OutPlace<'a> {
    path: &'a str,
    line: usize,
    column: usize,
    start_byte: usize,
    end_byte: usize,
    text: &'a str,
}

#[derive(Serialize)]
struct OutOutcome<'a> {
    code: &'a str,
    subject: &'a str,
    outcome: &'a str,
}

/// The report as JSON text with a final newline.
///
/// # Errors
/// Only where the serialiser itself fails, which the types rule out.
pub fn json(report: &Report) -> Result<String, serde_json::Error> {
    let out = Out {
        report: FORMAT,
        verdict: report.verdict.word(),
        job: report.job.as_deref(),
        record: report.record.name(),
        judged_at: report.at.to_record_text(),
        zone: report.zone.name(),
        judged_at_from: report.at_from.word(),
        packs: report.packs.iter().map(|(name, edition, title)| OutPack { name, edition, title }).collect(),
        counts: Counts {
            broken: report.count(Outcome::Broken),
            not_shown: report.count(Outcome::NotShown),
            met: report.met,
            does_not_apply: report.not_applying,
            advice: report.advice.len(),
        },
        holding: report.holding.iter().map(finding).collect(),
        advice: report.advice.iter().map(finding).collect(),
        outcomes: report
            .all
            .iter()
            .map(|(code, subject, outcome)| OutOutcome { code, subject, outcome: outcome.word() })
            .collect(),
        notes: &report.notes,
        summary: &report.summary,
        latest_start: report.latest_start.map(Instant::to_record_text),
        caution: closing(report.verdict).collect::<Vec<_>>().join(" "),
    };
    Ok(serde_json::to_string_pretty(&out)? + "\n")
}

fn finding(of: &Explained) -> OutFinding<'_> {
    OutFinding {
        code: &of.code,
        outcome: of.outcome.word(),
        title: &of.title,
        subject: &of.subject,
        places: of
            .labels
            .iter()
            .map(|label| OutPlace {
                path: &label.path,
                line: label.line,
                column: label.column,
                start_byte: label.span.start,
                end_byte: label.span.end,
                text: &label.text,
            })
            .collect(),
        clears: &of.clears,
        put_right: &of.put_right,
        why: &of.why,
        clause: &of.clause,
        clause_at: &of.clause_at,
        source: &of.source,
        permit: &of.permit,
    }
}
