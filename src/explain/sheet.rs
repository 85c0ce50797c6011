//! The worklist as a sheet to be printed and carried round the shop: one box a fault and a fact, with room to write.

use std::fmt::Write as _;

use super::Report;
use super::brief::{clears, heading};
use super::worklist::Missing;
use crate::document::prose::laid_out;
use crate::vocabulary::{Outcome, Verdict};

/// Columns of a sheet, which a printer of any kind has.
const COLUMNS: usize = 80;
/// Indent of what stands beside a box.
const BESIDE: &str = "      ";
/// Where the room to write begins.
const ROOM_FROM: usize = 50;

/// Said before whoever carries the sheet reaches for a tool.
const FIRST: [&str; 2] = [
    "Before you touch a tyre that may hold air: stand out of its trajectory, let all the air out with the valve core taken \
     out, and prove it with a wire through the stem. A blocked stem shows no air.",
    "Nothing on this sheet starts the pump.",
];

/// The sheet as text of 80 columns.
pub fn sheet(report: &Report<'_>) -> String {
    let mut out = String::new();
    let head = format!("{} · {} when judged {}", report.head_phrase(), report.verdict().word(), report.at());
    let _ = writeln!(out, "{}", laid_out(&head, COLUMNS, "Worklist   ", "           "));
    let _ = writeln!(out, "{}", laid_out(&format!("Record: {}", report.record().name()), COLUMNS, "", "        "));
    let _ = writeln!(out, "Carried by ____________________________   Date and time ____________________");
    out.push('\n');
    for sentence in FIRST {
        let _ = writeln!(out, "{}", laid_out(sentence, COLUMNS, "", ""));
    }
    if report.verdict() == Verdict::Pass {
        let _ = writeln!(out, "\nNothing is left to put right or to find out.");
    }
    for stop in &report.worklist.stops {
        let _ = writeln!(out, "\n{}", heading(stop.station).to_uppercase());
        for finding in stop.faults.iter().filter_map(|position| report.holding.get(*position)) {
            let doubt = if finding.outcome() == Outcome::NotShown { "Not ruled out: " } else { "" };
            let head = format!("{}{doubt}{} ({})", finding.about().opening(), finding.rule.title, finding.code());
            let _ = writeln!(out, "{}", laid_out(&head, COLUMNS, "[ ]   ", BESIDE));
            clears(&mut out, finding, COLUMNS, BESIDE);
            let _ = writeln!(out, "{}", laid_out(&finding.rule.put_right, COLUMNS, BESIDE, BESIDE));
        }
        let (asked, later): (Vec<&Missing>, Vec<&Missing>) = stop.missing.iter().partition(|fact| !fact.only_if_asked);
        for fact in asked {
            box_of(&mut out, fact);
        }
        if !later.is_empty() {
            let _ = writeln!(out, "\n{BESIDE}These may not be asked for, depending on the others:");
            for fact in later {
                box_of(&mut out, fact);
            }
        }
    }
    out.push('\n');
    for sentence in report.closing() {
        let _ = writeln!(out, "{}", laid_out(&sentence, COLUMNS, "", ""));
    }
    out
}

fn box_of(out: &mut String, fact: &Missing) {
    let whose = fact.whose.as_ref().map(|whose| format!("{whose}: ")).unwrap_or_default();
    let name = laid_out(&format!("{whose}{}", fact.name), COLUMNS, "[ ]   ", BESIDE);
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
    let said = format!("{} ({})", fact.about.trim_end_matches('.'), fact.kind);
    let _ = writeln!(out, "{}", laid_out(&said, COLUMNS, BESIDE, BESIDE));
}
