//! The report for other programs: JSON with a version of its own and a published schema.
//!
//! Must not know sentences of other forms.

use serde::Serialize;

use super::brief::Errands;
use super::worklist::RunsOut;
use super::{Explained, Missing, Place, Report, Stop};
use crate::document::Source;
use crate::pack::{Air, Pack, PackText};
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
struct OutReport<'a> {
    report: u32,
    hold_point: &'a str,
    verdict: &'a str,
    job: Option<&'a str>,
    record: &'a str,
    judged_at: String,
    judged_at_from: &'a str,
    zone: &'a str,
    packs: Vec<OutPack<'a>>,
    counts: OutCounts,
    holding: Vec<OutFinding<'a>>,
    worklist: Vec<OutStop<'a>>,
    advice: Vec<OutFinding<'a>>,
    #[serde(rename = "running_out")]
    soon: Vec<OutRunsOut<'a>>,
    outcomes: Vec<OutOutcome>,
    notes: Vec<String>,
    summary: Vec<String>,
    latest_start: Option<String>,
    #[serde(rename = "air_out")]
    before_hands: Vec<String>,
    caution: String,
}

#[derive(Serialize)]
struct OutPack<'a> {
    name: &'a str,
    edition: &'a str,
    title: &'a str,
}

#[derive(Serialize)]
struct OutCounts {
    to_put_right: usize,
    to_find_out: usize,
    broken: usize,
    not_shown: usize,
    met: usize,
    does_not_apply: usize,
    advice: usize,
}

#[derive(Serialize)]
struct OutFinding<'a> {
    code: String,
    outcome: &'a str,
    title: &'a str,
    subject: String,
    places: Vec<OutPlace<'a>>,
    clears: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    later_reading: Option<String>,
    air: Option<OutAir<'a>>,
    put_right: Vec<&'a PackText>,
    why: &'a str,
    clause: String,
    clause_at: String,
    source: String,
    permit: String,
}

/// What must be so of the air before the first step.
#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
enum OutAir<'a> {
    Out,
    Stays(&'a str),
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
    fact: String,
    path: String,
    file: &'a str,
    line: usize,
    meaning: String,
    kind: String,
    rules: Vec<String>,
    may_not_be_asked: bool,
    write_at: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    such_as: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    deed: Option<String>,
}

#[derive(Serialize)]
struct OutRunsOut<'a> {
    subject: Option<&'a str>,
    fact: String,
    path: String,
    file: &'a str,
    line: usize,
    column: usize,
    last_day: String,
    rules: Vec<String>,
}

#[derive(Serialize)]
struct OutPlace<'a> {
    path: String,
    file: &'a str,
    line: usize,
    column: usize,
    start_byte: usize,
    end_byte: usize,
    text: String,
    comparisons: Vec<String>,
}

#[derive(Serialize)]
struct OutOutcome {
    code: String,
    subject: String,
    outcome: &'static str,
}

/// The report as JSON text with a final newline.
///
/// # Errors
/// Only where the serialiser itself fails, which the types rule out.
pub fn json(report: &Report<'_>) -> Result<String, serde_json::Error> {
    let errands = Errands::of(report);
    let out = OutReport {
        report: FORMAT,
        hold_point: report.hold_point().word(),
        verdict: report.verdict().word(),
        job: report.job(),
        record: report.record().name(),
        judged_at: report.at().to_record_text(),
        zone: report.zone().name(),
        judged_at_from: report.at_from.word(),
        packs: report.packs().iter().map(pack).collect(),
        counts: OutCounts {
            to_put_right: errands.to_put_right,
            to_find_out: errands.to_find_out,
            broken: report.summary.broken,
            not_shown: report.summary.not_shown,
            met: report.summary.met,
            does_not_apply: report.summary.not_applying,
            advice: report.summary.advice,
        },
        holding: report.holding.iter().map(|of| finding(of, report.record())).collect(),
        worklist: report.worklist.stops.iter().map(|of| stop(report, of)).collect(),
        advice: report.advice.iter().map(|of| finding(of, report.record())).collect(),
        soon: report.worklist.running_out.iter().map(|of| runs_out(report, of)).collect(),
        outcomes: report.all().map(|of| outcome(&of)).collect(),
        notes: report.notes().iter().map(ToString::to_string).collect(),
        summary: report.summary.phrases(),
        latest_start: report.latest_start.map(Instant::to_record_text),
        before_hands: air_first(report),
        caution: report.closing().join(" "),
    };
    Ok(serde_json::to_string_pretty(&out)? + "\n")
}

/// The order to let the air out, of which assemblies first, then step by step; empty where no cure begins with it.
fn air_first(report: &Report<'_>) -> Vec<String> {
    let all: Vec<&Explained<'_>> = report.holding.iter().chain(&report.advice).collect();
    let order = super::air::order(report, &all);
    order
        .iter()
        .flat_map(|order| order.openings().into_iter().chain(order.steps.iter().map(ToString::to_string)))
        .collect()
}

fn pack(of: &Pack) -> OutPack<'_> {
    OutPack { name: &of.name, edition: &of.edition, title: &of.title }
}

fn outcome(of: &Explained<'_>) -> OutOutcome {
    OutOutcome { code: of.code(), subject: of.about().to_string(), outcome: of.outcome().word() }
}

fn finding<'a>(of: &Explained<'a>, source: &'a Source) -> OutFinding<'a> {
    OutFinding {
        code: of.code(),
        outcome: of.outcome().word(),
        title: &of.rule.title,
        subject: of.about().to_string(),
        places: of.places().iter().map(|at| place(of, at, source)).collect(),
        clears: of.clears(),
        later_reading: of.later_reading().map(|later| later.to_string()),
        air: of.rule.told.put_right.air.as_ref().map(air),
        put_right: of.steps().into_iter().map(|step| &step.text).collect(),
        why: &of.rule.told.why,
        clause: of.clause(),
        clause_at: of.clause_at(),
        source: of.source(),
        permit: of.permit(),
    }
}

fn air(of: &Air) -> OutAir<'_> {
    match of {
        Air::Out => OutAir::Out,
        Air::Stays { because } => OutAir::Stays(because),
    }
}

fn place<'a>(of: &Explained<'_>, at: &Place<'_>, source: &'a Source) -> OutPlace<'a> {
    let (line, column) = at.line_and_column(source);
    let start_byte = source.offset_in_file(at.span.start);
    OutPlace {
        path: at.path.to_string(),
        file: at.file(source),
        line,
        column,
        start_byte,
        end_byte: start_byte + at.span.len(),
        text: of.said_of(at),
        comparisons: at.comparisons().into_iter().map(|leaf| of.pack.leaf_id(of.rule, leaf)).collect(),
    }
}

fn stop<'r>(report: &'r Report<'_>, of: &'r Stop<'_>) -> OutStop<'r> {
    let missing = of.missing.iter().map(|fact| missing(report, fact)).collect();
    OutStop { station: of.station.word(), faults: &of.faults, missing }
}

fn missing<'r>(report: &'r Report<'_>, fact: &Missing<'_>) -> OutMissing<'r> {
    let spec = fact.spec(report);
    OutMissing {
        subject: report.label(fact.whose),
        fact: fact.name(report),
        path: fact.place.to_string(),
        file: fact.file(report),
        line: fact.line(report),
        meaning: spec.map(|spec| spec.about.to_string()).unwrap_or_default(),
        kind: spec.map(|spec| spec.kind.describe()).unwrap_or_default(),
        rules: fact.codes(report),
        may_not_be_asked: fact.only_if_asked,
        write_at: fact.write_at().map(ToString::to_string),
        such_as: fact.entry_line(report),
        deed: fact.deed(report),
    }
}

fn runs_out<'r>(report: &'r Report<'_>, of: &RunsOut) -> OutRunsOut<'r> {
    let (line, column) = report.record().line_and_column(of.span.start);
    OutRunsOut {
        subject: report.label(of.whose),
        fact: of.name(report),
        path: of.place.to_string(),
        file: of.file(report),
        line,
        column,
        last_day: of.last.to_record_text(),
        rules: report.codes(&of.rules),
    }
}
