//! The brief report: the verdict, then what is to do, place by place in the order of the walk, then the verdict again.
//!
//! Every finding that holds the job is in it: a fault with what clears it, a missing fact with the number of rules that ask.
//! Reasons, clauses and the record's lines are left to the long report.

use std::fmt::Write as _;

use super::long::{self, Look};
use super::worklist::{Missing, Stop};
use super::{Explained, Report};
use crate::document::prose::{laid_out, whole};
use crate::record::catalogue::Station;
use crate::vocabulary::{Outcome, Verdict};

/// Missing facts of a job that have a line each; of more than these, those of one thing share a line, so that a record in
/// which nothing is filled in yet still fits a screen.
const ONE_BY_ONE: usize = 20;
/// Indent of what stands under a place.
const INDENT: &str = "  ";
/// Indent of what belongs to an entry.
const FURTHER: &str = "      ";

/// The report as text.
pub fn brief(report: &Report<'_>, look: Look) -> String {
    let mut out = String::new();
    long::verdict(&mut out, report, look);
    let one_by_one = report.worklist.missing().filter(|missing| !missing.only_if_asked).count() <= ONE_BY_ONE;
    for stop in &report.worklist.stops {
        let start = out.len();
        let _ = writeln!(out, "\n{}", long::bold(heading(stop.station), look));
        let before = out.len();
        faults(&mut out, report, stop, look);
        let asked: Vec<&Missing> = stop.missing.iter().filter(|missing| !missing.only_if_asked).collect();
        if one_by_one {
            for missing in &asked {
                one(&mut out, report, missing, look);
            }
        } else {
            by_thing(&mut out, &asked, look);
        }
        if out.len() == before {
            out.truncate(start);
        }
    }
    let later = report.worklist.missing().filter(|missing| missing.only_if_asked).count();
    if later > 0 {
        let facts = if later == 1 { "1 more fact".to_owned() } else { format!("{later} more facts") };
        let _ = writeln!(
            out,
            "\n{}",
            laid_out(&format!("{facts} may be asked for, depending on these: see --format sheet."), look.width, "", "")
        );
    }
    advice(&mut out, report, look);
    out.push('\n');
    for sentence in report.closing() {
        let _ = writeln!(out, "{}", laid_out(&sentence, look.width, "", ""));
    }
    let last = format!("{}   {}", report.verdict().word(), report.head_phrase());
    let _ = writeln!(out, "\n{}", long::bold(&last, look));
    out
}

/// The name of a place as a heading.
pub(super) const fn heading(station: Station) -> &'static str {
    match station {
        Station::Desk => "At the desk",
        Station::Crew => "With the crew",
        Station::Wheel => "At the wheel",
        Station::Cage => "At the cage",
        Station::Bay => "In the bay",
        Station::Drums => "At the drums",
        Station::Pump => "At the pump",
        Station::CurePlace => "Where it will cure",
    }
}

fn faults(out: &mut String, report: &Report<'_>, stop: &Stop, look: Look) {
    for finding in stop.faults.iter().filter_map(|position| report.holding.get(*position)) {
        let doubt = if finding.outcome() == Outcome::NotShown { "not ruled out: " } else { "" };
        let head = format!("! {doubt}{}{} ({})", finding.about().opening(), finding.rule.title, finding.code());
        let _ = writeln!(out, "{}", laid_out(&head, look.width, INDENT, FURTHER));
        if let Some(place) = finding.places().first() {
            let source = report.record();
            let at = line(report, place.file(source), place.line_and_column(source).0);
            let said = format!("{at}: {}", finding.said_of(place));
            let _ = writeln!(out, "{}", laid_out(&said, look.width, FURTHER, FURTHER));
        }
        clears(out, finding, look.width, FURTHER);
    }
}

/// What clears a finding, below its head.
pub(super) fn clears(out: &mut String, finding: &Explained<'_>, width: usize, indent: &str) {
    for (position, line) in finding.clears().iter().enumerate() {
        let opening = if position == 0 { "clears when " } else { "" };
        let _ = writeln!(out, "{}", laid_out(&format!("{opening}{line}"), width, indent, indent));
    }
}

/// A line, with its file where that is not the record.
fn line(report: &Report<'_>, file: &str, number: usize) -> String {
    let of = if file == report.record().name() { String::new() } else { format!(" of {}", whole(file)) };
    format!("{}{of}", whole(&format!("line {number}")))
}

fn one(out: &mut String, report: &Report<'_>, missing: &Missing, look: Look) {
    let whose = missing.whose.as_ref().map(|whose| format!("{whose}: ")).unwrap_or_default();
    let asking = match missing.rules.as_slice() {
        [rule] => format!("{rule} asks"),
        rules => format!("{} rules ask", rules.len()),
    };
    let line = format!("? {whose}{} ({}; {asking})", missing.name, line(report, &missing.file, missing.line));
    let _ = writeln!(out, "{}", laid_out(&line, look.width, INDENT, FURTHER));
}

/// The facts of one subject in one paragraph, thing by thing; subjects that lack the same facts share it.
fn by_thing(out: &mut String, missing: &[&Missing], look: Look) {
    let mut paragraphs: Vec<(Vec<&str>, String)> = Vec::new();
    for of_one in missing.chunk_by(|one, next| one.whose == next.whose) {
        let things = of_one.chunk_by(|one, next| one.of == next.of).map(|facts| {
            let names: Vec<String> = facts.iter().map(|fact| whole(&fact.within())).collect();
            let names = names.join(", ");
            match facts.first().and_then(|fact| fact.of.as_deref()) {
                Some(of) => format!("{of} ({names})"),
                None => names,
            }
        });
        let facts = things.collect::<Vec<_>>().join(", ");
        let whose = of_one.first().and_then(|fact| fact.whose.as_deref());
        match paragraphs.iter_mut().find(|(known, same)| whose.is_some() && !known.is_empty() && *same == facts) {
            Some((known, _)) => known.extend(whose),
            None => paragraphs.push((whose.into_iter().collect(), facts)),
        }
    }
    for (whose, facts) in paragraphs {
        let whose = if whose.is_empty() { String::new() } else { format!("{}: ", whose.join(" and ")) };
        let _ = writeln!(out, "{}", laid_out(&format!("? {whose}{facts}"), look.width, INDENT, FURTHER));
    }
}

fn advice(out: &mut String, report: &Report<'_>, look: Look) {
    if report.advice.is_empty() || report.verdict() == Verdict::Hold {
        return;
    }
    let _ = writeln!(out, "\nFor advice; these hold nothing:");
    for finding in &report.advice {
        let head = format!("- {}: {} ({})", finding.about(), finding.rule.title, finding.code());
        let _ = writeln!(out, "{}", laid_out(&head, look.width, INDENT, FURTHER));
    }
}
