//! The worklist as a sheet to be printed and carried round the shop: one box a fault and a fact, with room to write.
//!
//! Must not know how a finding came about.

use std::fmt::Write as _;

use super::brief::{BEFORE_THE_WALK, FIRST, clears, each_by_name, heading, is_of, named, running_out};
use super::flow::Urgency;
use super::long::cure_of;
use super::worklist::{Lacking, Missing, Stop};
use super::{Explained, Report, air};
use crate::document::prose::laid_out;
use crate::vocabulary::Verdict;

/// Columns of a sheet, which a printer of any kind has.
const COLUMNS: usize = 80;
/// Indent of what stands beside a box.
const BESIDE: &str = "      ";
/// Where the room to write begins.
const ROOM_FROM: usize = 50;

/// The sheet as text of 80 columns.
pub fn sheet(report: &Report<'_>) -> String {
    let mut out = String::new();
    let head = format!("{} · {} when checked {}", report.head_phrase(), report.verdict().word(), report.at());
    let _ = writeln!(out, "{}", laid_out(&head, COLUMNS, "Worklist   ", "           "));
    let _ = writeln!(out, "{}", laid_out(&format!("Record: {}", report.record().name()), COLUMNS, "", "        "));
    for shop in report.record().names().skip(1) {
        let _ = writeln!(out, "{}", laid_out(&format!("Shop file: {shop}"), COLUMNS, "", "           "));
    }
    let _ = writeln!(out, "Carried by ____________________________   Date and time ____________________");
    out.push('\n');
    // Said before the person who carries the sheet reaches for a tool.
    let permits = format!("This sheet permits nothing. {}", report.hold_point().stop());
    let _ = writeln!(out, "{}", laid_out(&permits, COLUMNS, "", ""));
    let stops = report.worklist.settled(report);
    for (urgency, heading) in BEFORE_THE_WALK {
        let groups = || stops.iter().flat_map(|(_, groups)| groups).filter(|group| is_of(group, urgency));
        if groups().next().is_some() {
            let _ = writeln!(out, "\n{}", heading.to_uppercase());
        }
        groups().for_each(|group| faults_of(&mut out, group));
    }
    let answers = answers(report);
    let comes_first = report.worklist.comes_first();
    for one in answers.iter().filter(|one| comes_first == Some(one.first)) {
        let _ = writeln!(out, "\n{}", FIRST.to_uppercase());
        box_of(&mut out, report, one);
    }
    // What is only possible as long as a mark is not named asks for the mark, and for no air to be let out.
    let holding: Vec<&Explained<'_>> = if report.document.left_open().is_empty() {
        report.holding.iter().collect()
    } else {
        report.worklist.faults(report).collect()
    };
    if let Some(order) = air::order(report, &holding) {
        order.draw(&mut out, COLUMNS);
    }
    if report.verdict() == Verdict::Pass {
        let _ = writeln!(out, "\nNothing is left to put right or to find out.");
    }
    for (stop, groups) in &stops {
        let in_turn = groups.iter().map(Vec::as_slice).filter(|group| is_of(group, Urgency::InTurn)).collect();
        at_stop(&mut out, report, (stop, in_turn), &answers);
    }
    running_out(&mut out, report, COLUMNS);
    out.push('\n');
    for sentence in report.closing() {
        let _ = writeln!(out, "{}", laid_out(&sentence, COLUMNS, "", ""));
    }
    out
}

/// What is put right and found out at one stop of the walk.
fn at_stop(
    out: &mut String,
    report: &Report<'_>,
    (stop, groups): (&Stop<'_>, Vec<&[&Explained<'_>]>),
    answers: &[Lacking<'_>],
) {
    let comes_first = report.worklist.comes_first();
    let is_asked = |fact: &Missing<'_>| {
        answers.iter().all(|one| !one.answers(fact) || one.first == fact && comes_first != Some(fact))
    };
    if groups.is_empty() && !stop.missing.iter().any(is_asked) {
        return;
    }
    let _ = writeln!(out, "\n{}", heading(stop.station).to_uppercase());
    for group in groups {
        faults_of(out, group);
    }
    let (asked, later): (Vec<&Missing<'_>>, Vec<&Missing<'_>>) =
        stop.missing.iter().partition(|fact| !fact.only_if_asked);
    let here = |one: &&Lacking<'_>| stop.missing.contains(one.first) && comes_first != Some(one.first);
    for one in answers.iter().filter(here) {
        box_of(out, report, one);
    }
    let by_answer = |fact: &&Missing<'_>| answers.iter().any(|one| one.answers(fact));
    let [asked, later] = [asked, later].map(|of| of.into_iter().filter(|fact| !by_answer(fact)).collect::<Vec<_>>());
    for lacking in Lacking::of(&asked, report.record(), false) {
        box_of(out, report, &lacking);
    }
    if !later.is_empty() {
        let _ = writeln!(out, "\n{BESIDE}Asked for only where the others make it necessary:");
        for lacking in Lacking::of(&later, report.record(), false) {
            box_of(out, report, &lacking);
        }
    }
}

/// What one answer each is enough for: the marks that a short record does not name, and its looks at the bench.
fn answers<'r>(report: &'r Report<'_>) -> Vec<Lacking<'r>> {
    let asked: Vec<&Missing<'_>> = report.worklist.missing().filter(|fact| !fact.only_if_asked).collect();
    let (mut answers, rest) = Lacking::marks(&asked);
    if report.record().names().count() > 1 {
        answers.extend(Lacking::benches(&rest).0);
    }
    answers
}

/// One box for all that one value is the matter of: what was read and what is needed, the cure, and what clears it.
fn faults_of(out: &mut String, group: &[&Explained<'_>]) {
    for (position, finding) in group.iter().enumerate() {
        let (opening, head) = if position == 0 { ("[ ]   ", "") } else { (BESIDE, "and ") };
        let named = format!("{head}{}", named(finding));
        let _ = writeln!(out, "{}", laid_out(&named, COLUMNS, opening, BESIDE));
    }
    let mut further: Vec<String> = Vec::new();
    further.extend(group.iter().filter_map(|finding| finding.reading()));
    for (position, finding) in group.iter().enumerate() {
        if group.iter().take(position).all(|other| other.rule.told.put_right != finding.rule.told.put_right) {
            further.extend(cure_of(finding));
        }
    }
    further.extend(clears(group).iter().map(ToString::to_string));
    further.extend(group.iter().filter_map(|finding| finding.later_reading()).map(|later| later.to_string()));
    for (position, line) in further.iter().enumerate() {
        if !further.iter().take(position).any(|known| known == line) {
            let _ = writeln!(out, "{}", laid_out(line, COLUMNS, BESIDE, BESIDE));
        }
    }
}

fn box_of(out: &mut String, report: &Report<'_>, lacking: &Lacking<'_>) {
    let Lacking { first: fact, whose, answer, .. } = lacking;
    let asked = answer.as_ref().map_or_else(|| fact.name(report), ToString::to_string);
    let name = laid_out(&format!("{}{asked}", each_by_name(report, whose)), COLUMNS, "[ ]   ", BESIDE);
    let last = name.lines().last().map_or(0, |line| line.chars().count());
    let (gap, room) = if last + 2 <= ROOM_FROM {
        (ROOM_FROM - last, COLUMNS - ROOM_FROM)
    } else {
        (2, COLUMNS.saturating_sub(last + 2))
    };
    // A name that leaves no room to write has the next line for it.
    if room < 12 {
        let _ = writeln!(out, "{name}\n{:ROOM_FROM$}{}", "", "_".repeat(COLUMNS - ROOM_FROM));
    } else {
        let _ = writeln!(out, "{name}{:gap$}{}", "", "_".repeat(room));
    }
    if let Some(deed) = fact.deed(report) {
        let _ = writeln!(out, "{}", laid_out(&deed, COLUMNS, BESIDE, BESIDE));
    }
    if answer.is_some() {
        return;
    }
    let Some(spec) = fact.spec(report) else { return };
    let about = spec.about.to_string();
    let line = fact.entry_line(report).map(|line| format!("; such as `{line}`")).unwrap_or_default();
    let said = format!("{} ({}{line})", about.trim_end_matches('.'), spec.kind.describe());
    let _ = writeln!(out, "{}", laid_out(&said, COLUMNS, BESIDE, BESIDE));
}
