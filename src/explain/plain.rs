//! The report without drawing, for screen readers and for paper: every sentence stands on its own.
//!
//! Must not know how a finding came about.

use std::fmt::Write as _;

use super::brief::Errands;
use super::long::cure_of;
use super::{Explained, Report, air, words};
use crate::pack::{PackText, numbered};
use crate::vocabulary::{Outcome, Verdict};

/// The report as sentences.
pub fn plain(report: &Report<'_>) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "Verdict: {}.", report.verdict().word());
    let _ = writeln!(
        out,
        "Hold point: {}. Job: {}. Record: {}.",
        report.hold_point().word(),
        report.job().unwrap_or("not numbered"),
        report.record().name()
    );
    let _ = writeln!(out, "Checked at {} in {}, by {}.", report.at(), report.zone(), report.packs_phrase());
    let errands = Errands::of(report);
    let _ = writeln!(
        out,
        "To put right: {}. To find out: {}. In order: {}. Do not apply: {}. For advice: {}.",
        errands.to_put_right,
        errands.to_find_out,
        report.summary.met,
        report.summary.not_applying,
        report.summary.advice
    );
    if report.verdict() == Verdict::Pass {
        for line in report.summary.phrases().into_iter().chain(report.start_phrase()) {
            let _ = writeln!(out, "{line}.");
        }
    }
    for note in report.notes() {
        let _ = writeln!(out, "{note}");
    }
    if let Some(first) = report.comes_first() {
        let _ = writeln!(out, "{first}");
    }
    let all: Vec<&Explained<'_>> = report.holding.iter().chain(&report.advice).collect();
    if let Some(order) = air::order(report, &all) {
        let steps = numbered(order.steps.iter().map(PackText::as_str));
        let _ = writeln!(out, "{}", order.openings().into_iter().chain(steps).collect::<Vec<_>>().join(" "));
    }
    let total = report.holding.len();
    for (position, finding) in report.holding.iter().enumerate() {
        let _ = writeln!(
            out,
            "\nFinding {} of {total}, {}: {}.",
            position + 1,
            finding.outcome().word(),
            finding.rule.title
        );
        one(&mut out, report, finding);
    }
    for finding in &report.advice {
        let _ = writeln!(out, "\nAdvice, {}: {}.", finding.outcome().word(), finding.rule.title);
        one(&mut out, report, finding);
    }
    for soon in &report.worklist.running_out {
        let _ = writeln!(out, "\nRuns out soon: {}.", soon.sentence(report));
    }
    out.push('\n');
    for sentence in report.closing() {
        let _ = writeln!(out, "{sentence}");
    }
    let _ = writeln!(out, "Verdict: {}.", report.verdict().word());
    out
}

fn one(out: &mut String, report: &Report<'_>, finding: &Explained<'_>) {
    let _ = writeln!(out, "Rule: {}. Of: {}.", finding.code(), finding.about());
    for place in finding.places() {
        let (line, column) = place.line_and_column(report.record());
        let file = place.file(report.record());
        // A line is of the record where nothing else is said.
        let file = if file == report.record().name() { String::new() } else { format!(" of {file}") };
        let _ = writeln!(
            out,
            "Line {line}{file}, column {column}, {}: {}.",
            words::path(&place.path),
            finding.said_of(&place)
        );
    }
    let cure = if finding.outcome() == Outcome::NotShown { "If it is so" } else { "To put it right" };
    let _ = writeln!(out, "{cure}: {}", cure_of(finding).join(" "));
    let _ = writeln!(out, "Clears when: {}.", finding.clears().join(", "));
    if let Some(later) = finding.later_reading() {
        let _ = writeln!(out, "Write it: {later}.");
    }
    let _ = writeln!(out, "Why: {}", finding.rule.told.why);
    let _ = writeln!(out, "Clause: {}; {}.", finding.clause(), finding.page());
    let _ = writeln!(out, "Source: {}.", finding.source());
    let _ = writeln!(out, "Permit: {}.", finding.permit());
}
