//! The report without drawing, for screen readers and for paper: every sentence stands on its own.

use std::fmt::Write as _;

use super::{AtFrom, Explained, Report, closing};
use crate::engine::{Outcome, Verdict};

/// The report as sentences.
pub fn plain(report: &Report) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "Verdict: {}.", report.verdict.word());
    let _ =
        writeln!(out, "Job: {}. Record: {}.", report.job.as_deref().unwrap_or("not numbered"), report.record.name());
    let given = match report.at_from {
        AtFrom::Clock => "the time of the clock",
        AtFrom::Given => "an instant given, not now",
    };
    let _ = writeln!(out, "Judged at {} in {}, {given}, by {}.", report.at, report.zone, report.packs_phrase());
    let _ = writeln!(
        out,
        "To put right: {}. To find out: {}. In order: {}. Do not apply: {}. For advice: {}.",
        report.count(Outcome::Broken),
        report.count(Outcome::NotShown),
        report.met,
        report.not_applying,
        report.advice.len()
    );
    if report.verdict == Verdict::Pass {
        for line in report.summary.iter().chain(&report.start_phrase()) {
            let _ = writeln!(out, "{line}.");
        }
    }
    for note in &report.notes {
        let _ = writeln!(out, "{note}");
    }
    let total = report.holding.len();
    for (position, finding) in report.holding.iter().enumerate() {
        let _ = writeln!(out, "\nFinding {} of {total}, {}: {}.", position + 1, finding.outcome.word(), finding.title);
        one(&mut out, report, finding);
    }
    for finding in &report.advice {
        let _ = writeln!(out, "\nAdvice, {}: {}.", finding.outcome.word(), finding.title);
        one(&mut out, report, finding);
    }
    for soon in &report.worklist.running_out {
        let _ = writeln!(out, "\nRuns out soon: {}.", soon.sentence());
    }
    out.push('\n');
    for sentence in closing(report.verdict) {
        let _ = writeln!(out, "{sentence}");
    }
    let _ = writeln!(out, "Verdict: {}.", report.verdict.word());
    out
}

fn one(out: &mut String, report: &Report, finding: &Explained) {
    let _ = writeln!(out, "Rule: {}. Subject: {}.", finding.code, finding.subject);
    for label in &finding.labels {
        // A line is of the record where nothing else is said.
        let file = if label.file == report.record.name() { String::new() } else { format!(" of {}", label.file) };
        let _ = writeln!(out, "Line {}{file}, column {}, {}: {}.", label.line, label.column, label.path, label.text);
    }
    let _ = writeln!(out, "Clears when: {}.", finding.clears.join(", "));
    let cure = if finding.outcome == Outcome::NotShown { "If it is so" } else { "To put it right" };
    let _ = writeln!(out, "{cure}: {}", finding.put_right);
    let _ = writeln!(out, "Why: {}", finding.why);
    let _ = writeln!(out, "Clause: {}, at {}.", finding.clause, finding.clause_at);
    let _ = writeln!(out, "Source: {}.", finding.source);
    let _ = writeln!(out, "Permit: {}.", finding.permit);
}
