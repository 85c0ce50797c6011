//! The report for people: the verdict first, then one diagnostic a finding, in at most the given width.
//!
//! Must not know how a finding came about.

use std::fmt::Write as _;

use miette::{
    GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents, SourceCode, SourceSpan,
};
use miette::{SpanContents, ThemeCharacters, ThemeStyles};

use super::head::{Layout, bold, verdict};
use super::papers::{self, Cause};
use super::{About, Explained, Report, air};
use crate::document::prose::{capital, laid_out};
use crate::document::{Excerpt, Source, Span};
use crate::pack::{Air, numbered};
use crate::vocabulary::Outcome;

/// Indent of the lines under a finding's snippet.
const INDENT: &str = "    ";
/// Width of the words that open them.
const OPENING: usize = 14;
/// What miette draws to the left of a line and of a label's words, with the hook that a wrapped label hangs on.
const GUTTER: usize = 17;
/// Labels are not squeezed below this, even where the record's own line is long.
const NARROWEST_LABEL: usize = 24;

/// The report as text.
pub fn long(report: &Report<'_>, look: Layout) -> String {
    let mut out = String::new();
    verdict(&mut out, report, look);
    if let Some(first) = report.comes_first() {
        let _ = writeln!(out, "\n{}", laid_out(&first, look.width, "", ""));
    }
    let all: Vec<&Explained<'_>> = report.holding.iter().chain(&report.advice).collect();
    if let Some(order) = air::order(report, &all) {
        order.draw(&mut out, look.width);
    }
    let handler = handler(look);
    for (number, finding) in report.holding.iter().enumerate() {
        one(&mut out, &handler, report, finding, &format!("{}", number + 1), look);
    }
    if !report.advice.is_empty() {
        let _ = writeln!(out, "\n{}", super::brief::ADVICE);
        for finding in &report.advice {
            one(&mut out, &handler, report, finding, "advice", look);
        }
    }
    super::brief::running_out(&mut out, report, look.width);
    out.push('\n');
    for (place, sentence) in report.closing().into_iter().enumerate() {
        let wrapped = laid_out(&sentence, look.width, "", "");
        let _ = writeln!(out, "{}", if place == 0 { bold(&wrapped, look) } else { wrapped });
    }
    let _ = writeln!(out, "\n{}", bold(&format!("{}   {}", report.verdict().word(), report.head_phrase()), look));
    out
}

fn handler(look: Layout) -> GraphicalReportHandler {
    let mut characters = ThemeCharacters::unicode();
    "BROKEN".clone_into(&mut characters.error);
    "NOT SHOWN".clone_into(&mut characters.warning);
    "ADVICE".clone_into(&mut characters.advice);
    let styles = if look.colour { ThemeStyles::ansi() } else { ThemeStyles::none() };
    GraphicalReportHandler::new_themed(GraphicalTheme { characters, styles })
        .with_width(look.width)
        .with_context_lines(1)
        .with_links(false)
}

fn one(
    out: &mut String,
    handler: &GraphicalReportHandler,
    report: &Report<'_>,
    finding: &Explained<'_>,
    number: &str,
    look: Layout,
) {
    let _ = writeln!(out, "\n{}", bold(&heading(finding, number, look.width), look));
    let shown = Snippet {
        about: finding.about(),
        outcome: finding.outcome(),
        labels: finding.places().iter().map(|place| (place.span, finding.said_of(place))).collect(),
        lines: OneLine { source: report.record(), columns: look.width.saturating_sub(GUTTER) },
        width: look.width,
    };
    let mut drawn = String::new();
    // Drawing can only fail where a span lies outside the text; the finding is then given without its snippet.
    if handler.render_report(&mut drawn, &shown).is_ok() {
        for line in drawn.lines().filter(|line| !line.trim().is_empty()) {
            let _ = writeln!(out, "{}", line.trim_end());
        }
    }
    sections(out, finding, look.width);
}

/// Number, title, subject and code; the code goes to a line of its own where it does not fit.
fn heading(finding: &Explained<'_>, number: &str, width: usize) -> String {
    let code = finding.code();
    let title = match finding.outcome() {
        Outcome::NotShown => format!("Perhaps: {}", finding.rule.title),
        _ => finding.rule.title.to_string(),
    };
    let left = format!("{number:>2}  {title}");
    let room = width.saturating_sub(left.chars().count() + code.chars().count());
    if room >= 2 {
        return format!("{left}{:room$}{code}", "");
    }
    format!("{}\n{INDENT}{code}", laid_out(&left, width, "", INDENT))
}

fn sections(out: &mut String, finding: &Explained<'_>, width: usize) {
    // What to do about a fault that is not ruled out is asked for only once it is known to be there.
    let cure = if finding.outcome() == Outcome::NotShown { "If it is so" } else { "Put right" };
    for (position, sentence) in cure_of(finding).into_iter().enumerate() {
        section(out, if position == 0 { cure } else { "" }, &sentence, width);
    }
    for (position, line) in finding.clears().iter().enumerate() {
        section(out, if position == 0 { "Clears when" } else { "" }, line, width);
    }
    if let Some(later) = finding.later_reading() {
        section(out, "Write it", &later.to_string(), width);
    }
    section(out, "Why", &finding.rule.told.why, width);
    section(out, "Clause", &format!("{}; {}", finding.clause(), finding.page()), width);
    section(out, "Source", &finding.source(), width);
    section(out, "Permit", &finding.permit(), width);
}

/// What is to be done about a fault, a sentence or more each: what is first, then the steps.
pub(super) fn cure_of(finding: &Explained<'_>) -> Vec<String> {
    let cure = &finding.rule.told.put_right;
    let first = cure.air.as_ref().map(|air| match air {
        Air::Out if air::keeps_closed(finding) => format!("{} {AIR_FIRST}", air::SETTLED_FIRST),
        Air::Out if papers::cause(finding) == Some(Cause::Written) => format!("{ENTRY_FIRST} {AIR_FIRST}"),
        Air::Out => AIR_FIRST.to_owned(),
        Air::Stays { because } => air::stays(air::keeps_closed(finding), because),
    });
    first
        .into_iter()
        .chain(papers::pot_life(finding).map(|until| format!("{}.", capital(&until))))
        .chain(numbered(finding.steps().into_iter().map(|step| step.text.as_str())))
        .collect()
}

/// Said before the air is let out for what somebody may have written wrong.
pub(super) const ENTRY_FIRST: &str = "Look at the entry first; if it is right:";

/// Said of a cure that begins with the air out.
pub(super) const AIR_FIRST: &str = "First the air out, as this report tells.";

fn section(out: &mut String, opening: &str, text: &str, width: usize) {
    let first = format!("{INDENT}{opening:<OPENING$}");
    let rest = format!("{INDENT}{:OPENING$}", "");
    let _ = writeln!(out, "{}", laid_out(text, width, &first, &rest).trim_end());
}

/// The record as miette reads it: the line of a span and no other, in as many columns as there are.
#[derive(Debug)]
struct OneLine<'a> {
    source: &'a Source,
    columns: usize,
}

impl SourceCode for OneLine<'_> {
    fn read_span<'s>(
        &'s self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'s> + 's>, MietteError> {
        let wanted = Span::new(span.offset(), span.offset() + span.len());
        if self.source.file_of(wanted.start) != self.source.file_of(wanted.end.saturating_sub(1).max(wanted.start)) {
            // Labels in two files are never drawn together.
            return Err(MietteError::OutOfBounds);
        }
        let last = self.source.line_and_column(wanted.end.saturating_sub(1).max(wanted.start)).0;
        let mut shown = self.source.window(wanted, self.columns).shown;
        let (line, mut column) = self.source.line_and_column(shown.start);
        if last > line {
            // Labels on neighbouring lines are drawn together.
            shown.end = self.source.window(Span::empty(wanted.end), self.columns).shown.end;
        }
        if before + after == 0 {
            // Without context only the place itself is asked for, to head the snippet; its text is not drawn.
            column = self.source.line_and_column(wanted.start).1;
        }
        Ok(Box::new(MietteSpanContents::new_named(
            self.source.name_at(wanted.start).to_owned(),
            self.source.drawn().get(shown.start..shown.end).unwrap_or_default().as_bytes(),
            shown.into(),
            line - 1,
            column - 1,
            last - line + 1,
        )))
    }
}

/// A finding as miette draws it.
#[derive(Debug)]
struct Snippet<'a> {
    about: About<'a>,
    outcome: Outcome,
    /// The places, each with its words.
    labels: Vec<(Span, String)>,
    lines: OneLine<'a>,
    width: usize,
}

impl std::fmt::Display for Snippet<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.about)
    }
}

impl std::error::Error for Snippet<'_> {}

impl miette::Diagnostic for Snippet<'_> {
    fn severity(&self) -> Option<miette::Severity> {
        Some(match self.outcome {
            Outcome::NotShown => miette::Severity::Warning,
            _ => miette::Severity::Error,
        })
    }

    fn source_code(&self) -> Option<&dyn miette::SourceCode> {
        Some(&self.lines)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let OneLine { source, columns } = self.lines;
        Some(Box::new(self.labels.iter().map(move |(span, words)| {
            // A value over several lines is pointed at by its first line; the rest would only fill the page.
            let Excerpt { shown, span } = source.window(*span, columns);
            let ahead = source.slice(Span::new(shown.start, span.start)).chars().count();
            // The words hang under the middle of the value; what is left of the line is theirs.
            let hang = ahead + source.slice(span).chars().count() / 2;
            let room = self.width.saturating_sub(hang + GUTTER).max(NARROWEST_LABEL);
            LabeledSpan::new_with_span(Some(laid_out(words, room, "", "")), span)
        })))
    }
}
