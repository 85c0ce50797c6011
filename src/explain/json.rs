//! The report for other programs: JSON with a version of its own and a published schema.

use serde::Serialize;

use super::worklist::RunsOut;
use super::{Explained, Missing, Report, Stop, closing};
use crate::document::Source;
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
    worklist: Vec<OutStop<'a>>,
    advice: Vec<OutFinding<'a>>,
    #[serde(rename = "running_out")]
    soon: Vec<OutRunsOut<'a>>,
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
struct OutStop<'a> {
    station: &'a str,
    faults: &'a [usize],
    missing: Vec<OutMissing<'a>>,
}

#[derive(Serialize)]
struct OutMissing<'a> {
    subject: Option<&'a str>,
    fact: &'a str,
    path: &'a str,
    file: &'a str,
    line: usize,
    meaning: &'a str,
    kind: &'a str,
    rules: &'a [String],
    may_not_be_asked: bool,
}

#[derive(Serialize)]
struct OutRunsOut<'a> {
    subject: Option<&'a str>,
    fact: &'a str,
    path: &'a str,
    file: &'a str,
    line: usize,
    column: usize,
    last_day: String,
    rules: &'a [String],
}

#[derive(Serialize)]
struct OutPlace<'a> {
    path: &'a str,
    file: &'a str,
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
        holding: report.holding.iter().map(|of| finding(of, &report.record)).collect(),
        worklist: report.worklist.stops.iter().map(stop).collect(),
        advice: report.advice.iter().map(|of| finding(of, &report.record)).collect(),
        soon: report.worklist.running_out.iter().map(runs_out).collect(),
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

fn finding<'a>(of: &'a Explained, source: &Source) -> OutFinding<'a> {
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
                file: &label.file,
                line: label.line,
                column: label.column,
                start_byte: source.offset_in_file(label.span.start),
                end_byte: source.offset_in_file(label.span.start) + label.span.len(),
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

fn stop(of: &Stop) -> OutStop<'_> {
    OutStop { station: of.station.word(), faults: &of.faults, missing: of.missing.iter().map(missing).collect() }
}

fn missing(fact: &Missing) -> OutMissing<'_> {
    OutMissing {
        subject: fact.whose.as_deref(),
        fact: &fact.name,
        path: &fact.place,
        file: &fact.file,
        line: fact.line,
        meaning: &fact.about,
        kind: &fact.kind,
        rules: &fact.rules,
        may_not_be_asked: fact.only_if_asked,
    }
}

fn runs_out(of: &RunsOut) -> OutRunsOut<'_> {
    OutRunsOut {
        subject: of.whose.as_deref(),
        fact: &of.name,
        path: &of.path,
        file: &of.file,
        line: of.line,
        column: of.column,
        last_day: of.last.to_record_text(),
        rules: &of.rules,
    }
}
