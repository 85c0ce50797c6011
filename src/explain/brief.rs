//! The brief report: the verdict, then what is to do, place by place in the order of the walk, then the verdict again.
//!
//! Every finding that holds the job is in it: a fault with what clears it, a missing fact with the number of rules that ask.
//! What one value of the shop file is the matter of stands together, once. Reasons, clauses and the record's lines are left
//! to the long report.

use std::fmt::Write as _;

use super::long::{self, Look};
use super::worklist::{Lacking, Missing};
use super::{Explained, Report};
use crate::document::prose::{laid_out, whole};
use crate::record::catalogue::Station;
use crate::vocabulary::{Outcome, Verdict};

/// Missing facts of a job that have a line each; of more than these, those of one thing share a line, so that a record in
/// which nothing is filled in yet still fits a screen.
const ONE_BY_ONE: usize = 20;
/// Said above what of the shop file runs out soon.
pub(super) const RUNS_OUT: &str = "Runs out soon; it does not hold this job yet. Renew it, then correct the shop file:";
/// Said above findings that hold nothing.
pub(super) const ADVICE: &str = "Advice only; these do not hold the job:";
/// Indent of what stands under a place.
const INDENT: &str = "  ";
/// Indent of what belongs to an entry.
const FURTHER: &str = "      ";

/// The report as text.
pub fn brief(report: &Report<'_>, look: Look) -> String {
    let mut out = String::new();
    long::verdict(&mut out, report, look);
    let stops = report.worklist.settled(report);
    // Of what is only asked for nobody knows yet whether it is a fault.
    if stops.iter().flat_map(|(_, groups)| groups.iter().flatten()).any(|fault| fault.rule.put_right.wants_air_out()) {
        long::air_out(&mut out, report, look.width);
    }
    let one_by_one = report.worklist.missing().filter(|missing| !missing.only_if_asked).count() <= ONE_BY_ONE;
    for (stop, groups) in stops {
        let start = out.len();
        let _ = writeln!(out, "\n{}", long::bold(heading(stop.station), look));
        let before = out.len();
        for group in &groups {
            fault(&mut out, report, group, look);
        }
        let asked: Vec<&Missing> = stop.missing.iter().filter(|missing| !missing.only_if_asked).collect();
        if one_by_one {
            for lacking in Lacking::of(&asked, report.record().name(), true) {
                one(&mut out, report, &lacking, look);
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
            laid_out(
                &format!("{facts} may be asked for, depending on these: `--format sheet` lists them."),
                look.width,
                "",
                ""
            )
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

/// A fault, or all that one value of the shop file is the matter of.
fn fault(out: &mut String, report: &Report<'_>, group: &[&Explained<'_>], look: Look) {
    let Some(first) = group.first() else { return };
    let _ = writeln!(out, "{}", laid_out(&format!("! {}", named(first)), look.width, INDENT, FURTHER));
    for more in group.iter().skip(1) {
        let _ = writeln!(out, "{}", laid_out(&format!("and {}", named(more)), look.width, FURTHER, FURTHER));
    }
    if let Some(place) = first.places().first() {
        let source = report.record();
        let at = line(report, place.file(source), place.line_and_column(source).0);
        let said = format!("{at}: {}", first.said_of(place));
        let _ = writeln!(out, "{}", laid_out(&said, look.width, FURTHER, FURTHER));
    }
    for line in clears(group) {
        let _ = writeln!(out, "{}", laid_out(&line, look.width, FURTHER, FURTHER));
    }
}

/// A finding by what it is about, its title and its rule.
pub(super) fn named(finding: &Explained<'_>) -> String {
    let doubt = if finding.outcome() == Outcome::NotShown { "possible: " } else { "" };
    format!("{}{doubt}{} ({})", finding.about().opening(), finding.rule.title, finding.code())
}

/// What clears the findings of a group, each way once.
pub(super) fn clears(group: &[&Explained<'_>]) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for finding in group {
        for (position, line) in finding.clears().iter().enumerate() {
            let opening = if position == 0 { "clears when " } else { "" };
            let line = format!("{opening}{line}");
            if group.len() == 1 || !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    lines
}

/// A line, with its file where that is not the record.
fn line(report: &Report<'_>, file: &str, number: usize) -> String {
    let of = if file == report.record().name() { String::new() } else { format!(" of {}", whole(file)) };
    format!("{}{of}", whole(&format!("line {number}")))
}

fn one(out: &mut String, report: &Report<'_>, lacking: &Lacking<'_>, look: Look) {
    let Lacking { first, whose, facts, rules } = lacking;
    let whose = if whose.is_empty() { String::new() } else { format!("{}: ", whose.join(" and ")) };
    let names: Vec<&str> = facts.iter().map(|fact| fact.name.as_str()).collect();
    // What stands in the shop file holds more jobs than this one: it is said by which rules.
    let asking = match rules.as_slice() {
        [rule] => format!("{rule} asks"),
        rules if lacking.is_in_shop_file(report.record().name()) => format!("{} ask", rules.join(", ")),
        rules => format!("{} rules ask", rules.len()),
    };
    let line = format!("? {whose}{} ({}; {asking})", names.join(" and "), line(report, &first.file, first.line));
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
    if !report.advice.is_empty() && report.verdict() == Verdict::Pass {
        let _ = writeln!(out, "\n{ADVICE}");
        for finding in &report.advice {
            let head = format!("- {}: {} ({})", finding.about(), finding.rule.title, finding.code());
            let _ = writeln!(out, "{}", laid_out(&head, look.width, INDENT, FURTHER));
        }
    }
    running_out(out, report, look.width);
}

/// What of the shop file runs out soon.
pub(super) fn running_out(out: &mut String, report: &Report<'_>, width: usize) {
    let soon = &report.worklist.running_out;
    if !soon.is_empty() {
        let _ = writeln!(out, "\n{}", laid_out(RUNS_OUT, width, "", ""));
    }
    for one in soon {
        let _ = writeln!(out, "{}", laid_out(&format!("- {}", one.sentence()), width, INDENT, FURTHER));
    }
}
