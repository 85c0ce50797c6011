//! The head of a report for people: the verdict, of what and when, and how much there is to do; and how text is set out.
//!
//! Must not know what stands below the head.

use std::fmt::Write as _;

use super::Report;
use crate::document::prose::laid_out;
use crate::vocabulary::Verdict;

/// How the report is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layout {
    /// Columns.
    pub width: usize,
    /// Whether colours may be used; they never carry meaning alone.
    pub colour: bool,
}

/// Indent of what stands below the verdict.
const BELOW: &str = "       ";

/// The first lines: the verdict, of what and when, the counts of what stands below, and what must be known of it.
pub(super) fn verdict(out: &mut String, report: &Report<'_>, look: Layout) {
    let word = bold(report.verdict().word(), look);
    let head =
        format!("{} · checked {} in {} by {}", report.head_phrase(), report.at(), report.zone(), report.packs_phrase());
    let wrapped = laid_out(&head, look.width, BELOW, BELOW);
    let _ = writeln!(out, "{word}   {}", wrapped.trim_start());
    let _ = writeln!(out, "{}", laid_out(&report.counts_phrase(), look.width, BELOW, BELOW));
    if report.verdict() == Verdict::Pass {
        let further = format!("{BELOW}  ");
        for line in report.summary.phrases().into_iter().chain(report.start_phrase()) {
            let _ = writeln!(out, "{}", laid_out(&line, look.width, BELOW, &further));
        }
    }
    for note in report.notes() {
        let _ = writeln!(out, "\n{}", laid_out(&note.to_string(), look.width, BELOW, BELOW));
    }
}

pub(super) fn bold(text: &str, look: Layout) -> String {
    if look.colour { format!("\u{1b}[1m{text}\u{1b}[0m") } else { text.to_owned() }
}
