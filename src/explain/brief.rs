//! The brief report: the verdict, then what is to do, place by place in the order of the walk, then the verdict again.
//!
//! Every finding that holds the job is in it: a fault with its first safe deed and what clears it, a missing fact with
//! the number of rules that ask. What one value of the shop file is the matter of stands together, once; so do faults
//! that are the same but for the assembly. Reasons, clauses and the record's lines are left to the long report. Must
//! not know how a finding came about.

mod deeds;
mod faults;

use std::fmt::Write as _;

pub(super) use faults::{clears, named};
use faults::{drawn, is_in_doubt};

use super::flow::Urgency;
use super::head::{Layout, bold, verdict};
use super::worklist::{Lacking, Missing, Stop, SubjectAt};
use super::{Explained, Report, air, papers};
use crate::document::prose::{in_quotes, laid_out, name_in_words, together, whole};
use crate::record::catalogue::Station;
use crate::vocabulary::{Subject, Verdict};

/// Missing facts of a job that have a line each; of more than these, those of one thing share a line, so that a record in
/// which nothing is filled in yet still fits a screen.
const ONE_BY_ONE: usize = 20;
/// Said above what of the shop file runs out soon.
pub(super) const RUNS_OUT: &str =
    "Runs out soon; it does not hold this job yet. Renew it, or take another one, then correct the shop file:";
/// Said above findings that hold nothing.
pub(super) const ADVICE: &str = "Advice only; these do not hold the job:";
/// Said above what comes before everything else.
pub(super) const FIRST: &str = "First, since what depends on it cannot be judged before";
/// Said once below the faults, where something was read, found or written down.
const MISREAD: &str = "Where an entry was misread, whoever read it corrects it; nothing else is written in its place.";
/// Indent of what stands under a place.
const INDENT: &str = "  ";
/// Indent of what belongs to an entry.
const FURTHER: &str = "      ";

/// The report as text.
pub fn brief(report: &Report<'_>, look: Layout) -> String {
    let mut out = String::new();
    verdict(&mut out, report, look);
    out.push_str(&walk(report, look));
    advice(&mut out, report, look);
    out.push('\n');
    for sentence in report.closing() {
        let _ = writeln!(out, "{}", laid_out(&sentence, look.width, "", ""));
    }
    let last = format!("{}   {}", report.verdict().word(), report.head_phrase());
    let _ = writeln!(out, "\n{}", bold(&last, look));
    out
}

/// What there is to do, by the lines of this form: all forms count so, since a value that several rules ask for is put right
/// or found out once.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Errands {
    /// Lines that put something right.
    pub(super) to_put_right: usize,
    /// Lines that find something out: a fact that is missing, or whether a fault is there.
    pub(super) to_find_out: usize,
}

impl Errands {
    /// The errands of a report.
    pub(super) fn of(report: &Report<'_>) -> Self {
        let stops = report.worklist.settled(report);
        let groups = || stops.iter().flat_map(|(_, groups)| groups);
        let to_put_right = groups().filter(|group| !is_in_doubt(group)).count();
        let asked = AskedFacts::of(report);
        let missing = stops.iter().map(|(stop, _)| asked.looks(stop).count() + asked.lines(report, stop).len());
        Self { to_put_right, to_find_out: groups().count() - to_put_right + missing.sum::<usize>() }
    }
}

/// The missing facts that are asked for in any case.
struct AskedFacts<'r> {
    /// What one answer each is enough for: marks, and looks at the parts on the bench.
    looks: Vec<Lacking<'r>>,
    /// What is missing besides.
    facts: Vec<&'r Missing<'r>>,
    /// Whether they are so few that each has a line.
    one_by_one: bool,
}

/// What one line asks for.
enum AskedLine<'r> {
    /// What stands in one place.
    One(Lacking<'r>),
    /// What is missing of some subjects, thing by thing.
    Things(Vec<SubjectAt>, String),
}

impl<'r> AskedFacts<'r> {
    fn of(report: &'r Report<'_>) -> Self {
        let short = report.record().names().count() > 1;
        let asked: Vec<&Missing<'_>> = report.worklist.missing().filter(|missing| !missing.only_if_asked).collect();
        let (mut looks, facts) = Lacking::marks(&asked);
        let (benches, facts) = if short { Lacking::benches(&facts) } else { (Vec::new(), facts) };
        looks.extend(benches);
        if looks.len() + facts.len() > ONE_BY_ONE {
            looks = Lacking::alike(looks);
        }
        let one_by_one = looks.len() + facts.len() <= ONE_BY_ONE;
        Self { looks, facts, one_by_one }
    }

    /// What one answer is enough for and is asked for at a stop first.
    fn looks<'s>(&'s self, stop: &'s Stop<'s>) -> impl Iterator<Item = &'s Lacking<'r>> {
        self.looks.iter().filter(|look_at| stop.missing.contains(look_at.first))
    }

    /// The lines for the other facts of a stop.
    fn lines(&self, report: &Report<'_>, stop: &Stop<'_>) -> Vec<AskedLine<'r>> {
        let asked: Vec<&'r Missing<'r>> =
            self.facts.iter().copied().filter(|missing| stop.missing.contains(missing)).collect();
        let each = |facts: &[&'r Missing<'r>]| Lacking::of(facts, report.record(), true);
        let drawn = |lines: Vec<Lacking<'r>>| lines.into_iter().map(AskedLine::One).collect::<Vec<_>>();
        if self.one_by_one {
            return drawn(each(&asked));
        }
        // What has its time is told with what is done.
        let (timed, others): (Vec<&'r Missing<'r>>, Vec<&'r Missing<'r>>) =
            asked.iter().copied().partition(|fact| fact.deed.is_some());
        let mut lines = drawn(Lacking::with_one_deed(each(&timed)));
        lines.extend(by_thing(report, &others));
        lines
    }
}

/// What is done before the walk, with the words above it: what runs away, then what more filling alone puts right.
pub(super) const BEFORE_THE_WALK: [(Urgency, &str); 2] =
    [(Urgency::AtOnce, "At once"), (Urgency::WhileItFlows, "While what is in the tyre still flows")];

/// What is to be done: what runs away first, then what can be done only while the filling flows, the air, then place by
/// place.
fn walk(report: &Report<'_>, look: Layout) -> String {
    let (mut out, mut misread, mut told) = (String::new(), false, deeds::ToldSteps::new());
    let stops = report.worklist.settled(report);
    for (urgency, heading) in BEFORE_THE_WALK {
        let groups = || stops.iter().flat_map(|(_, groups)| groups).filter(|group| is_of(group, urgency));
        if groups().next().is_some() {
            let _ = writeln!(out, "\n{}", bold(heading, look));
        }
        for fault in drawn(report, groups()) {
            misread |= fault.draw(&mut out, look.width, &mut told);
        }
    }
    let asked = AskedFacts::of(report);
    let comes_first = report.worklist.comes_first();
    for look_at in asked.looks.iter().filter(|look_at| comes_first == Some(look_at.first)) {
        let _ = writeln!(out, "\n{}", bold(FIRST, look));
        one(&mut out, report, look_at, look);
    }
    air_out(&mut out, report, look.width);
    for (stop, groups) in stops {
        let start = out.len();
        let _ = writeln!(out, "\n{}", bold(heading(stop.station), look));
        let before = out.len();
        for fault in drawn(report, groups.iter().filter(|group| is_of(group, Urgency::InTurn))) {
            misread |= fault.draw(&mut out, look.width, &mut told);
        }
        for look_at in asked.looks(stop).filter(|look_at| comes_first != Some(look_at.first)) {
            one(&mut out, report, look_at, look);
        }
        for line in asked.lines(report, stop) {
            match line {
                AskedLine::One(lacking) => one(&mut out, report, &lacking, look),
                AskedLine::Things(whose, facts) => things(&mut out, report, &whose, &facts, look),
            }
        }
        if out.len() == before {
            out.truncate(start);
        }
    }
    let comes_along = |missing: &Missing<'_>| {
        asked.looks.iter().flat_map(|one| &one.facts).any(|fact| fact.write_at() == missing.write_at())
    };
    let later = report.worklist.missing().filter(|missing| missing.only_if_asked);
    let later = later.filter(|missing| missing.comes_with.is_none() || !comes_along(missing)).count();
    if later > 0 {
        let facts = if later == 1 { "1 more fact".to_owned() } else { format!("{later} more facts") };
        let sentence = format!("{facts} may be asked for, depending on these: see --format sheet.");
        let _ = writeln!(out, "\n{}", laid_out(&sentence, look.width, "", ""));
    }
    if misread {
        let _ = writeln!(out, "\n{}", laid_out(MISREAD, look.width, "", ""));
    }
    out
}

/// What is done about the air, before the person who walks round reaches for a tool.
fn air_out(out: &mut String, report: &Report<'_>, width: usize) {
    let faults: Vec<&Explained<'_>> = report.worklist.faults(report).collect();
    // Of what is only asked for nobody knows yet whether it is a fault.
    match (air::order(report, &faults), air::may_stay(&faults, &report.holding)) {
        (Some(order), _) => order.draw(out, width),
        (None, Some(stays)) => {
            let _ = writeln!(out, "\n{stays}");
        }
        (None, None) => {}
    }
}

/// Whether the most urgent finding of a group is so urgent.
pub(super) fn is_of(group: &[&Explained<'_>], wanted: Urgency) -> bool {
    group.iter().map(|finding| papers::urgency(finding)).min() == Some(wanted)
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

/// A line, with its file where that is not the record.
fn line(report: &Report<'_>, file: &str, number: usize) -> String {
    let of = if file == report.record().name() { String::new() } else { format!(" of {}", whole(file)) };
    format!("{}{of}", whole(&format!("line {number}")))
}

/// What a line is about: each by its name, or all assemblies of the job together.
fn about(report: &Report<'_>, whose: &[SubjectAt]) -> String {
    let all = report.scene.job().of(Subject::Assembly).map_or(0, <[_]>::len);
    match whose {
        [] => String::new(),
        [_, _, _, ..] if whose.len() == all && (0..all).all(|one| whose.contains(&(Subject::Assembly, one))) => {
            format!("all {all} assemblies: ")
        }
        whose => each_by_name(report, whose),
    }
}

/// What a line is about, each by its name.
pub(super) fn each_by_name(report: &Report<'_>, whose: &[SubjectAt]) -> String {
    let names: Vec<&str> = whose.iter().filter_map(|one| report.label(Some(*one))).collect();
    if names.is_empty() { String::new() } else { format!("{}: ", together(&names)) }
}

fn one(out: &mut String, report: &Report<'_>, lacking: &Lacking<'_>, look: Layout) {
    let Lacking { first, answer, whose, facts, rules } = lacking;
    let whose = about(report, whose);
    let mut names: Vec<String> = facts.iter().map(|fact| fact.name(report)).collect();
    names.dedup();
    // What stands in the shop file holds more jobs than this one: it is said by which rules.
    let asking = match rules.as_slice() {
        [] => "the signature asks".to_owned(),
        [_] => format!("{} asks", report.codes(rules).join(", ")),
        rules if lacking.is_in_shop_file(report.record()) => format!("{} ask", report.codes(rules).join(", ")),
        rules => format!("{} rules ask", rules.len()),
    };
    let asked = answer.as_ref().map_or_else(|| names.join(" and "), ToString::to_string);
    let mut lines: Vec<String> = facts.iter().filter_map(|fact| fact.entry_line(report)).collect();
    lines.dedup();
    let such_as = if lines.is_empty() { String::new() } else { format!(", such as {}", in_quotes(lines)) };
    let at = line(report, first.file(report), first.line(report));
    let line = format!("? {whose}{asked} ({at}{such_as}; {asking})");
    let _ = writeln!(out, "{}", laid_out(&line, look.width, INDENT, FURTHER));
    let mut deeds: Vec<String> = facts.iter().filter_map(|fact| fact.deed(report)).collect();
    deeds.dedup();
    for deed in deeds {
        let _ = writeln!(out, "{}", laid_out(&deed, look.width, FURTHER, FURTHER));
    }
}

/// The facts of one subject in one paragraph, thing by thing; subjects that lack the same facts share it.
fn by_thing<'r>(report: &Report<'_>, missing: &[&'r Missing<'r>]) -> Vec<AskedLine<'r>> {
    let mut paragraphs: Vec<(Vec<SubjectAt>, String)> = Vec::new();
    for of_one in missing.chunk_by(|one, next| one.whose == next.whose) {
        let things = of_one.chunk_by(|one, next| one.thing(report) == next.thing(report)).map(|facts| {
            let names: Vec<String> = facts.iter().map(|fact| whole(&fact.within(report))).collect();
            let names = names.join(", ");
            match facts.first().and_then(|fact| fact.thing(report)) {
                Some(thing) => format!("{} ({names})", name_in_words(thing)),
                None => names,
            }
        });
        let facts = things.collect::<Vec<_>>().join(", ");
        let whose = of_one.first().and_then(|fact| fact.whose);
        match paragraphs.iter_mut().find(|(known, same)| whose.is_some() && !known.is_empty() && *same == facts) {
            Some((known, _)) => known.extend(whose),
            None => paragraphs.push((whose.into_iter().collect(), facts)),
        }
    }
    paragraphs.into_iter().map(|(whose, facts)| AskedLine::Things(whose, facts)).collect()
}

fn things(out: &mut String, report: &Report<'_>, whose: &[SubjectAt], facts: &str, look: Layout) {
    let _ = writeln!(out, "{}", laid_out(&format!("? {}{facts}", about(report, whose)), look.width, INDENT, FURTHER));
}

fn advice(out: &mut String, report: &Report<'_>, look: Layout) {
    if !report.advice.is_empty() && report.verdict() == Verdict::Pass {
        let _ = writeln!(out, "\n{ADVICE}");
        for finding in &report.advice {
            let head = format!("- {}", faults::named(finding));
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
        let _ = writeln!(out, "{}", laid_out(&format!("- {}", one.sentence(report)), width, INDENT, FURTHER));
    }
}
