//! The faults of the brief report: what is wrong, in which lines, what is done first and what clears it. Faults that
//! differ in nothing but the assembly and the line are told together.
//!
//! Must not know in which order they stand.

use std::fmt;
use std::fmt::Write as _;

use super::deeds::{FirstDeed, ToldSteps, deeds};
use super::{FURTHER, INDENT};
use crate::document::prose::{laid_out, together, whole};
use crate::explain::again::LaterReading;
use crate::explain::finding::About;
use crate::explain::notes::SaidOfPlace;
use crate::explain::ways::ClearsLine;
use crate::explain::{Explained, Report, words};
use crate::vocabulary::Outcome;

/// Whether nobody knows yet if anything of a group is a fault.
pub(super) fn is_in_doubt(group: &[&Explained<'_>]) -> bool {
    group.iter().all(|finding| finding.outcome() == Outcome::NotShown)
}

/// A fault, or all faults caused by one value; with others worded alike.
pub(super) struct DrawnFault {
    /// Whether nobody knows yet if it is one.
    is_in_doubt: bool,
    /// Its findings.
    titles: Vec<FaultTitle>,
    /// Where it is seen, and what is seen there.
    seen: Vec<(LinesOf, SaidOfPlace)>,
    /// What is done.
    deeds: Vec<FirstDeed>,
    /// What clears it, but for what was misread.
    clears: Vec<Clears>,
    /// Whether something may have been misread.
    may_be_misread: bool,
    /// Where a later reading is written.
    later: Option<LaterReading>,
}

/// Title and rule of a finding, with what it is about.
struct FaultTitle {
    whose: Vec<String>,
    code: String,
    outcome: Outcome,
    title: String,
}

/// Lines of the record, or of the file beside it that is named.
#[derive(Debug, Clone, PartialEq, Eq)]
struct LinesOf {
    file: Option<String>,
    numbers: Vec<usize>,
}

impl fmt::Display for LinesOf {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let numbers: Vec<String> = self.numbers.iter().map(ToString::to_string).collect();
        match numbers.split_last() {
            Some((last, [])) => f.write_str(&whole(&format!("line {last}"))),
            Some((last, rest)) => write!(f, "lines {} and {last}", rest.join(", ")),
            None => Ok(()),
        }?;
        self.file.as_ref().map_or(Ok(()), |file| write!(f, " of {}", whole(file)))
    }
}

/// The faults of some groups, those that are told in the same words as one.
pub(super) fn drawn<'g, 'r: 'g, 'a: 'r>(
    report: &Report<'_>,
    groups: impl Iterator<Item = &'g Vec<&'r Explained<'a>>>,
) -> Vec<DrawnFault> {
    let mut faults: Vec<DrawnFault> = Vec::new();
    for group in groups {
        let fault = DrawnFault::of(report, group);
        match faults.iter_mut().find(|known| known.is_told_as(&fault)) {
            Some(known) => known.join(fault),
            None => faults.push(fault),
        }
    }
    faults
}

impl DrawnFault {
    fn of(report: &Report<'_>, group: &[&Explained<'_>]) -> Self {
        let whose = |finding: &Explained<'_>| match finding.about() {
            About::Job => Vec::new(),
            about => vec![about.to_string()],
        };
        let (misread, clears): (Vec<Clears>, Vec<Clears>) =
            clears(group).into_iter().partition(|clears| clears.line.is_of_misreading());
        Self {
            is_in_doubt: is_in_doubt(group),
            titles: group
                .iter()
                .map(|of| FaultTitle { whose: whose(of), code: of.code(), outcome: of.outcome(), title: titled(of) })
                .collect(),
            seen: seen(report, group),
            deeds: deeds(group),
            clears,
            may_be_misread: !misread.is_empty(),
            later: group.iter().find_map(|finding| finding.later_reading()),
        }
    }

    /// Whether another one is the same fault of another subject, in other lines, with the same cure.
    fn is_told_as(&self, other: &Self) -> bool {
        let same = |own: &FaultTitle, of: &FaultTitle| {
            (&own.code, own.outcome, own.whose.is_empty()) == (&of.code, of.outcome, of.whose.is_empty())
        };
        let shares_a_line = |lines: &LinesOf| {
            let mut others = other.seen.iter().filter(|(of, _)| of.file == lines.file);
            others.any(|(of, _)| of.numbers.iter().any(|number| lines.numbers.contains(number)))
        };
        self.is_in_doubt == other.is_in_doubt
            && self.deeds == other.deeds
            && bare(&self.clears) == bare(&other.clears)
            && self.may_be_misread == other.may_be_misread
            && self.later == other.later
            && self.titles.len() == other.titles.len()
            && self.titles.iter().zip(&other.titles).all(|(own, of)| same(own, of))
            && self.titles.iter().any(|own| !own.whose.is_empty())
            && !self.seen.iter().any(|(lines, _)| shares_a_line(lines))
    }

    fn join(&mut self, other: Self) {
        // What is on record of each is told with its line.
        if self.clears != other.clears {
            self.clears = bare(&self.clears);
        }
        for (own, of) in self.titles.iter_mut().zip(other.titles) {
            let more: Vec<String> = of.whose.into_iter().filter(|one| !own.whose.contains(one)).collect();
            own.whose.extend(more);
        }
        for (lines, said) in other.seen {
            let same = |(known, of): &&mut (LinesOf, SaidOfPlace)| known.file == lines.file && *of == said;
            match self.seen.iter_mut().find(same) {
                Some((known, _)) => known.numbers.extend(lines.numbers),
                None => self.seen.push((lines, said)),
            }
        }
    }

    /// Draws it in a width, what is done only where the report has not told it yet; gives whether something may have been
    /// misread.
    pub(super) fn draw(&self, out: &mut String, width: usize, told: &mut ToldSteps) -> bool {
        let mark = if self.is_in_doubt { '?' } else { '!' };
        for (position, FaultTitle { whose, title, .. }) in self.titles.iter().enumerate() {
            let names: Vec<&str> = whose.iter().map(String::as_str).collect();
            let about = if names.is_empty() { String::new() } else { format!("{}: ", together(&names)) };
            let (head, indent) =
                if position == 0 { (format!("{mark} "), INDENT) } else { ("and ".to_owned(), FURTHER) };
            let _ = writeln!(out, "{}", laid_out(&format!("{head}{about}{title}"), width, indent, FURTHER));
        }
        for (lines, said) in &self.seen {
            let _ = writeln!(out, "{}", laid_out(&format!("{lines}: {said}"), width, FURTHER, FURTHER));
        }
        let code = self.titles.first().map_or("", |title| &title.code);
        let deeds: Vec<String> = self.deeds.iter().map(|deed| deed.line(code, told)).collect();
        let further = self.clears.iter().map(ToString::to_string).chain(self.later.iter().map(ToString::to_string));
        for line in deeds.into_iter().chain(further) {
            let _ = writeln!(out, "{}", laid_out(&line, width, FURTHER, FURTHER));
        }
        self.may_be_misread
    }
}

/// The first place of each finding of a group, with what is said of it: each place once, and each value.
fn seen(report: &Report<'_>, group: &[&Explained<'_>]) -> Vec<(LinesOf, SaidOfPlace)> {
    let mut seen: Vec<(LinesOf, SaidOfPlace)> = Vec::new();
    for finding in group {
        let Some(place) = finding.places().into_iter().next() else { continue };
        let source = report.record();
        let file = Some(place.file(source)).filter(|file| *file != source.name());
        let at = LinesOf { file: file.map(str::to_owned), numbers: vec![place.line_and_column(source).0] };
        let said = finding.says_of(&place);
        match seen.iter_mut().find(|(known, _)| *known == at) {
            None => seen.push((at, said)),
            Some((_, known)) => known.join(said),
        }
    }
    seen
}

/// A finding by what it is about, its title and its rule.
pub(in crate::explain) fn named(finding: &Explained<'_>) -> String {
    format!("{}{}", finding.about().opening(), titled(finding))
}

/// A finding by its title and its rule.
fn titled(finding: &Explained<'_>) -> String {
    let title = match finding.outcome() {
        Outcome::NotShown => words::perhaps(&finding.rule.title),
        _ => finding.rule.title.to_string(),
    };
    format!("{title} ({})", finding.code())
}

/// A line of what clears the findings of a group.
#[derive(Debug, PartialEq, Eq)]
pub(in crate::explain) struct Clears {
    /// Whether it is the first of its finding.
    is_first: bool,
    line: ClearsLine,
}

impl std::fmt::Display for Clears {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}{}", if self.is_first { "clears when " } else { "" }, self.line)
    }
}

/// The same without what is on record of anything.
fn bare(clears: &[Clears]) -> Vec<Clears> {
    clears.iter().map(|of| Clears { is_first: of.is_first, line: of.line.without_record() }).collect()
}

/// What clears the findings of a group, each way once.
pub(in crate::explain) fn clears(group: &[&Explained<'_>]) -> Vec<Clears> {
    let mut lines: Vec<Clears> = Vec::new();
    for finding in group {
        for (position, line) in finding.clears_when().into_iter().enumerate() {
            let line = Clears { is_first: position == 0, line };
            if group.len() == 1 || !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    lines
}
