//! Many verified files as a table: what is not in order first, a line a file; of the rest a state with many files is
//! counted; then the totals, with what every rule and every code that was named means.
//!
//! A line is never wider than the terminal, and a file never takes two: what does not fit is cut, since `csv` and
//! `json` have it whole. Names are cut in the middle, for folders and numbers tell them apart at both ends.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use super::super::output::{counted, hanging};
use super::cells::{TABLE_COLUMNS, group, short, table_cells, told_code};
use super::overview::{Overview, OverviewRow, SeenOnce};
use fillward::desk::Answer;
use fillward::document::Code;
use fillward::document::prose::held_in;
use textwrap::core::display_width;

/// Blanks between columns.
const GAP: &str = "  ";
/// Before every row, so that no text of a file begins a line.
const INDENT: &str = "  ";
/// Narrower than this a name is hard to tell from others: before that, columns that other forms have are left out.
const READABLE: usize = 22;
/// No column is narrower than this.
const NARROW: usize = 8;
/// The columns that are left out first, in this order: day, hold point.
const LEFT_OUT: [usize; 2] = [3, 2];
/// The column of the signers, which goes last.
const SIGNERS: usize = 4;
/// Files of one state that are in order are listed up to so many: a screen. Of more than these the state is counted.
const LISTED: usize = 20;
/// What stands for what is cut.
const CUT: &str = "…";

/// The files of one state.
struct StateGroup<'s> {
    state: String,
    rows: Vec<&'s OverviewRow>,
    in_order: bool,
}

impl StateGroup<'_> {
    fn is_listed(&self) -> bool {
        !self.in_order || self.rows.len() <= LISTED
    }
}

/// The table in at most `width` columns.
pub(super) fn table(seen: &SeenOnce, width: usize) -> String {
    let groups = grouped(&seen.rows);
    let listed = || groups.iter().filter(|group| group.is_listed());
    let lines =
        |group: &StateGroup<'_>| -> Vec<Vec<String>> { group.rows.iter().map(|row| table_cells(row)).collect() };
    let heads: Vec<String> = TABLE_COLUMNS.map(str::to_owned).to_vec();
    let all: Vec<Vec<String>> = std::iter::once(heads.clone()).chain(listed().flat_map(lines)).collect();
    let widths = widths(&all, width);
    let mut out = String::new();
    let row = |out: &mut String, line: &[String]| {
        let mut drawn = INDENT.to_owned();
        for (place, (cell, width)) in line.iter().zip(&widths).filter(|(_, width)| **width > 0).enumerate() {
            let text = if place == 0 { cut_in_the_middle(cell, *width) } else { cut_at_the_end(cell, *width) };
            let _ = write!(drawn, "{text}{}{GAP}", " ".repeat(width.saturating_sub(display_width(&text))));
        }
        let _ = writeln!(out, "{}", drawn.trim_end());
    };
    if listed().next().is_some() {
        row(&mut out, &heads);
    }
    for group in &groups {
        let (state, count) = (group.state.to_uppercase(), group.rows.len());
        let listed = if group.is_listed() { "" } else { ", not listed here: `--format csv` has each" };
        out.push_str(&whole(&format!("{state} · {}{listed}", counted(count, "file")), width));
        for line in lines(group).iter().filter(|_| group.is_listed()) {
            row(&mut out, line);
        }
    }
    let overview = Overview::of(&seen.rows);
    out.push('\n');
    out.push_str(&whole(&overview.line(seen.rows.len()), width));
    overview.rules.iter().for_each(|held| out.push_str(&whole(&format!("  {held}"), width)));
    let told: BTreeSet<Code> = listed().flat_map(|group| group.rows.iter().filter_map(|row| told_code(row))).collect();
    for code in told {
        out.push_str(&whole(&format!("  {}: {}", short(code), code.page()), width));
    }
    overview.copies_named().iter().for_each(|line| out.push_str(&whole(line, width)));
    seen.remarks().iter().for_each(|line| out.push_str(&whole(line, width)));
    out
}

/// A line of which nothing is cut, in as many as it takes.
fn whole(line: &str, width: usize) -> String {
    hanging(line, width, held_in) + "\n"
}

/// The files by their state, the worst first, each in the order in which it was given.
fn grouped(rows: &[OverviewRow]) -> Vec<StateGroup<'_>> {
    let rank = |row: &OverviewRow| match &row.1 {
        Err(_) => Answer::WORDS.len(),
        Ok(verified) => Answer::WORDS.iter().position(|word| *word == verified.answer.word()).unwrap_or_default(),
    };
    let mut sorted: Vec<(usize, String, &OverviewRow)> = rows.iter().map(|row| (rank(row), group(row), row)).collect();
    sorted.sort_by(|one, other| other.0.cmp(&one.0).then_with(|| one.1.cmp(&other.1)));
    let of_state = sorted.chunk_by(|one, other| one.1 == other.1);
    let groups = of_state.filter_map(|of| {
        let (_, state, first) = of.first()?;
        let in_order = first.1.as_ref().is_ok_and(|verified| verified.answer.is_in_order());
        Some(StateGroup { state: state.clone(), rows: of.iter().map(|(_, _, row)| *row).collect(), in_order })
    });
    groups.collect()
}

/// The widths of the columns: as wide as needed, the widest made narrower until the line fits; nothing for a column in which
/// nothing stands below its head, or for which there is no room.
fn widths(lines: &[Vec<String>], width: usize) -> Vec<usize> {
    let columns = lines.first().map_or(0, Vec::len);
    let cells = |column: usize| lines.iter().filter_map(move |line| line.get(column));
    let is_told = |column: usize| cells(column).skip(1).any(|cell| !cell.is_empty());
    let widest = |column: usize| cells(column).map(|cell| display_width(cell)).max().unwrap_or_default();
    let mut widths: Vec<usize> = (0..columns).map(|column| if is_told(column) { widest(column) } else { 0 }).collect();
    let drawn = |widths: &[usize]| {
        let told = widths.iter().filter(|width| **width > 0);
        INDENT.len() + told.clone().sum::<usize>() + told.count().saturating_sub(1) * GAP.len()
    };
    // What is done to fit, one after the other: columns are made narrower down to a width, and then one is left out.
    let wide = LEFT_OUT.map(|column| (READABLE, Some(column)));
    for (least, left_out) in wide.into_iter().chain([(READABLE, None), (NARROW, Some(SIGNERS)), (NARROW, None)]) {
        while drawn(&widths) > width
            && let Some(widest) = widths.iter_mut().max().filter(|widest| **widest > least)
        {
            *widest -= 1;
        }
        if drawn(&widths) > width {
            widths
                .iter_mut()
                .enumerate()
                .filter(|(column, _)| Some(*column) == left_out)
                .for_each(|(_, width)| *width = 0);
        }
    }
    widths
}

/// As much of a text as fits, its end cut.
fn cut_at_the_end(text: &str, width: usize) -> String {
    if display_width(text) <= width {
        return text.to_owned();
    }
    head(text, width.saturating_sub(display_width(CUT))) + CUT
}

/// As much of a text as fits, its middle cut.
fn cut_in_the_middle(text: &str, width: usize) -> String {
    if display_width(text) <= width {
        return text.to_owned();
    }
    let room = width.saturating_sub(display_width(CUT));
    let end: String = text.chars().rev().collect();
    let end: String = head(&end, room - room / 3).chars().rev().collect();
    head(text, room.saturating_sub(display_width(&end))) + CUT + &end
}

/// The beginning of a text in at most so many columns.
fn head(text: &str, width: usize) -> String {
    let mut found = String::new();
    for letter in text.chars() {
        found.push(letter);
        if display_width(&found) > width {
            found.pop();
            break;
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_widest_column_gives_way() {
        let lines = |cells: [usize; 3]| vec![vec!["h".to_owned(); 3], cells.map(|width| "a".repeat(width)).to_vec()];
        assert_eq!(widths(&lines([60, 30, 3]), 200), [60, 30, 3]);
        assert_eq!(widths(&lines([60, 30, 3]), 79), [40, 30, 3]);
        assert_eq!(widths(&lines([60, 0, 3]), 79), [60, 0, 3]);
        let many = vec![vec!["h".to_owned(); 6], vec!["a".repeat(30); 6]];
        assert_eq!(widths(&many, 144), [22; 6]);
        assert_eq!(widths(&many, 120), [22, 22, 22, 0, 22, 22]);
        assert_eq!(widths(&many, 80), [18, 18, 0, 0, 18, 18]);
        assert_eq!(widths(&many, 40), [8, 8, 0, 0, 8, 8]);
        assert_eq!(widths(&many, 30), [8, 8, 0, 0, 0, 8]);
    }

    #[test]
    fn names_are_cut_where_they_are_alike() {
        assert_eq!(cut_in_the_middle("kept/march/HT-0311.hold", 23), "kept/march/HT-0311.hold");
        assert_eq!(cut_in_the_middle("archive/of/long/names/HT-0311", 16), "archi…es/HT-0311");
        assert_eq!(cut_at_the_end("record-digest, changed", 12), "record-dige…");
    }

    proptest! {
        /// Whatever a text is, what is left of it fits, and both of its ends are those of the text.
        #[test]
        fn what_is_cut_fits(text in "\\PC{0,60}|[a中e\u{301}/]{0,60}", width in 10_usize..60) {
            for (cut, ends) in [(cut_at_the_end(&text, width), false), (cut_in_the_middle(&text, width), true)] {
                prop_assert!(display_width(&cut) <= width, "{cut:?}");
                if cut != text {
                    let (head, tail) = cut.split_once(CUT).unwrap_or_default();
                    prop_assert!(text.starts_with(head) && text.ends_with(tail), "{cut:?}");
                    prop_assert_eq!(ends, !tail.is_empty());
                }
            }
        }
    }
}
