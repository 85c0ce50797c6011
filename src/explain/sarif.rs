//! The report in SARIF 2.1.0 (OASIS), for programs that collect findings of many tools.
//!
//! Broken is the kind `fail`; not shown is `open`: the standard's word for "there was not enough to decide". Must not
//! know sentences of other forms.

use super::air;
use serde_json::{Value as Json, json};

use super::worklist::RunsOut;
use super::{Explained, Place, Report, citation};
use crate::document::Span;
use crate::document::prose::capital;
use crate::pack::{Air, PackText, Rule, numbered};
use crate::units::Instant;
use crate::vocabulary::Outcome;

/// Where the standard publishes its schema.
const SCHEMA: &str = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// What is to be done about a fault: a viewer shows it alone, so how the air is let out stands in it whole.
fn help(report: &Report<'_>, rule: &Rule) -> String {
    let keeps_closed = air::some_may_be_filled(report.scene);
    let first = match &rule.told.put_right.air {
        Some(Air::Out) => report.scene.packs().air_out().map(|steps| {
            let told = numbered(steps.iter().map(PackText::as_str)).join(" ");
            if keeps_closed { format!("{} {told}", air::SETTLED_FIRST) } else { told }
        }),
        Some(Air::Stays { because }) => Some(air::stays(keeps_closed, because)),
        None => None,
    };
    let steps = rule.told.put_right.texts().map(PackText::as_str);
    first.into_iter().chain(numbered(steps)).collect::<Vec<_>>().join("\n")
}

/// The report as one SARIF log with a final newline. The names of the files are taken as relative references.
///
/// # Errors
/// Only where the serialiser itself fails, which the types rule out.
pub fn sarif(report: &Report<'_>) -> Result<String, serde_json::Error> {
    let files: Vec<&str> = report.record().names().collect();
    let rules: Vec<(String, Json)> = report
        .packs()
        .iter()
        .flat_map(|pack| pack.rules.iter().map(move |rule| (pack, rule)))
        .map(|(pack, rule)| {
            let id = pack.code_of(rule);
            let described = json!({
                "id": id,
                "shortDescription": {"text": rule.title},
                "fullDescription": {"text": rule.told.why},
                "help": {"text": format!("{}\nSource: {}", help(report, rule), citation(&rule.told.source))},
            });
            (id, described)
        })
        .collect();
    let results: Vec<Json> = report
        .holding
        .iter()
        .map(|finding| (finding, true))
        .chain(report.advice.iter().map(|finding| (finding, false)))
        .map(|(finding, holds)| result(report, finding, holds, &rules, &files))
        .chain(report.worklist.running_out.iter().flat_map(|soon| runs_out(report, soon, &rules, &files)))
        .collect();
    let artifacts: Vec<Json> =
        files.iter().map(|file| json!({"location": {"uri": reference(file)}, "roles": ["analysisTarget"]})).collect();
    let log = json!({
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [{
            "tool": {"driver": {
                "name": "fillward",
                "semanticVersion": env!("CARGO_PKG_VERSION"),
                "rules": rules.iter().map(|(_, rule)| rule).collect::<Vec<_>>(),
            }},
            "columnKind": "unicodeCodePoints",
            "artifacts": artifacts,
            "results": results,
            "properties": {
                "holdPoint": report.hold_point().word(),
                "verdict": report.verdict().word(),
                "judgedAt": report.at().to_record_text(),
                "zone": report.zone().name(),
                "judgedAtFrom": report.at_from.word(),
                "packs": report.packs_phrase(),
                "latestStart": report.latest_start.map(Instant::to_record_text),
                "notes": report.notes().iter().map(ToString::to_string).collect::<Vec<_>>(),
                "caution": report.closing().join(" "),
            },
        }],
    });
    Ok(serde_json::to_string_pretty(&log)? + "\n")
}

fn result(report: &Report<'_>, finding: &Explained<'_>, holds: bool, rules: &[(String, Json)], files: &[&str]) -> Json {
    let (kind, level) = match (finding.outcome(), holds) {
        (Outcome::Broken, true) => ("fail", "error"),
        (Outcome::Broken, false) => ("fail", "note"),
        // The standard asks for level `none` wherever the kind is not `fail`.
        _ => ("open", "none"),
    };
    let clears = finding.clears().join("; ");
    let (code, about, places) = (finding.code(), finding.about(), finding.places());
    let place = |place: &Place<'_>| {
        let path = place.path.to_string();
        location(report, SarifLocation { span: place.span, path: &path }, &finding.said_of(place), files)
    };
    let print = format!("{code}|{}|{about}", report.job().unwrap_or_default());
    let again = finding.later_reading().map(|later| format!(" {}.", capital(&later.to_string()))).unwrap_or_default();
    let text = format!("{} ({about}): {}. Clears when {clears}.{again}", finding.rule.title, finding.outcome().word());
    let result = json!({
        "kind": kind,
        "level": level,
        "message": {"text": text},
        "locations": places.iter().take(1).map(place).collect::<Vec<_>>(),
        "relatedLocations": places.iter().skip(1).map(place).collect::<Vec<_>>(),
        "partialFingerprints": {"ruleJobSubject/v1": print},
    });
    of_rule(result, &code, rules)
}

/// What of the shop file runs out soon, as one result of each rule that it will break: that it does so is true, and nothing
/// to be put right for this job.
fn runs_out(report: &Report<'_>, soon: &RunsOut, rules: &[(String, Json)], files: &[&str]) -> Vec<Json> {
    let at = SarifLocation { span: soon.span, path: &soon.place.to_string() };
    let result = json!({
        "kind": "informational",
        "level": "none",
        "message": {"text": format!("{}.", soon.sentence(report))},
        "locations": [location(report, at, &format!("is good until the end of {}", soon.last), files)],
    });
    report.codes(&soon.rules).iter().map(|rule| of_rule(result.clone(), rule, rules)).collect()
}

/// A result with the rule that it is of.
fn of_rule(mut result: Json, rule: &str, rules: &[(String, Json)]) -> Json {
    if let Json::Object(map) = &mut result {
        map.insert("ruleId".to_owned(), json!(rule));
        if let Some(index) = rules.iter().position(|(id, _)| id == rule) {
            map.insert("ruleIndex".to_owned(), json!(index));
        }
    }
    result
}

/// A place in the texts, with the path of what stands there.
#[derive(Clone, Copy)]
struct SarifLocation<'a> {
    span: Span,
    path: &'a str,
}

fn location(report: &Report<'_>, at: SarifLocation<'_>, said: &str, files: &[&str]) -> Json {
    let source = report.record();
    let SarifLocation { span, path } = at;
    let name = source.name_at(span.start);
    let index = files.iter().position(|file| *file == name);
    let (line, column) = source.line_and_column(span.start);
    let (end_line, end_column) = source.line_and_column(span.end);
    json!({
        "physicalLocation": {
            "artifactLocation": {"uri": reference(name), "index": index},
            "region": {
                "startLine": line,
                "startColumn": column,
                "endLine": end_line,
                "endColumn": end_column,
                "byteOffset": source.offset_in_file(span.start),
                "byteLength": span.len(),
            },
        },
        "logicalLocations": [{"fullyQualifiedName": path}],
        "message": {"text": said},
    })
}

/// A path as a URI reference: everything but the unreserved characters and the slash is escaped.
fn reference(path: &str) -> String {
    let mut out = String::new();
    for byte in path.bytes() {
        match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => out.push(char::from(byte)),
            _ => out = format!("{out}%{byte:02X}"),
        }
    }
    out
}
