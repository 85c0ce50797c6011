//! Many verified files as a table: a line a file, then the totals.
//!
//! Columns are as wide as what stands in them, and one in which nothing stands is left out; what does not fit goes on in its
//! column, so that no text of a file begins a line of its own.

use std::fmt::Write as _;

use super::cells::{COLUMNS, cells};
use super::overview::{Overview, OverviewRow, SeenOnce};
use fillward::vocabulary::shown;
use textwrap::WordSplitter;
use textwrap::core::display_width;

/// Blanks between columns.
const GAP: &str = "  ";
/// Other columns give way to that of the files until they are as narrow as this.
const NARROW: usize = 10;
/// No column is narrower than this.
const NARROWEST: usize = 8;

/// The table in at most `width` columns, where that many are enough.
pub(super) fn table(seen: &SeenOnce, width: usize) -> String {
    let rows = &seen.rows;
    let heads = || std::iter::once(Some("file")).chain(COLUMNS.iter().map(|column| column.table));
    let line = |row: &OverviewRow| {
        let shown = |cell: Vec<String>| shown(&cell.join(", ")).into_owned();
        cells(row).into_iter().zip(heads()).filter(|(_, head)| head.is_some()).map(|(cell, _)| shown(cell)).collect()
    };
    let first = heads().flatten().map(str::to_owned).collect();
    let lines = told(std::iter::once(first).chain(rows.iter().map(line)).collect());
    let widths = widths(&lines, width);
    let mut out = String::new();
    for line in &lines {
        let parts: Vec<Vec<String>> = line
            .iter()
            .zip(&widths)
            .enumerate()
            .map(|(place, (cell, width))| if place == 0 { path(cell, *width) } else { broken(cell, *width) })
            .collect();
        for place in 0..parts.iter().map(Vec::len).max().unwrap_or_default() {
            let mut drawn = String::new();
            for (part, width) in parts.iter().zip(&widths) {
                let text = part.get(place).map_or("", String::as_str);
                let _ = write!(drawn, "{text}{}{GAP}", " ".repeat(width.saturating_sub(display_width(text))));
            }
            let _ = writeln!(out, "{}", drawn.trim_end());
        }
    }
    let overview = Overview::of(rows);
    let _ = writeln!(out, "\n{}", overview.line(rows.len()));
    for (rule, count) in &overview.rules {
        let _ = writeln!(out, "  held by {}: {count}", shown(rule));
    }
    for line in seen.remarks() {
        let _ = writeln!(out, "{line}");
    }
    out
}

/// The columns in which anything stands below the head.
fn told(lines: Vec<Vec<String>>) -> Vec<Vec<String>> {
    let is_told =
        |column: usize| lines.iter().skip(1).any(|line| line.get(column).is_some_and(|cell| !cell.is_empty()));
    let told: Vec<bool> = (0..lines.first().map_or(0, Vec::len)).map(is_told).collect();
    let of_line = |line: Vec<String>| line.into_iter().zip(&told).filter(|(_, told)| **told).map(|(cell, _)| cell);
    lines.into_iter().map(|line| of_line(line).collect()).collect()
}

/// The widths of the columns: as wide as needed, the widest made narrower until the line fits, the files' last.
fn widths(lines: &[Vec<String>], width: usize) -> Vec<usize> {
    let columns = lines.first().map_or(0, Vec::len);
    let widest = |column: usize| lines.iter().filter_map(|line| line.get(column)).map(|cell| display_width(cell)).max();
    let mut widths: Vec<usize> = (0..columns).map(|column| widest(column).unwrap_or_default()).collect();
    let room = width.saturating_sub(columns.saturating_sub(1) * GAP.len());
    while widths.iter().sum::<usize>() > room {
        let wide = widths.iter().skip(1).any(|width| *width > NARROW);
        match widths.iter_mut().skip(usize::from(wide)).max() {
            Some(widest) if *widest > NARROWEST => *widest -= 1,
            _ => break,
        }
    }
    widths
}

/// A cell in pieces of its column, broken at blanks and hyphens.
fn broken(cell: &str, width: usize) -> Vec<String> {
    let options = textwrap::Options::new(width.max(1)).break_words(true).word_splitter(WordSplitter::HyphenSplitter);
    textwrap::wrap(cell, options).into_iter().map(std::borrow::Cow::into_owned).collect()
}

/// A file in pieces of its column, broken behind folders, so that its name stays whole where it can.
fn path(cell: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for part in cell.split_inclusive('/') {
        match lines.last_mut() {
            Some(line) if display_width(line) + display_width(part) <= width => line.push_str(part),
            _ => {
                let options = textwrap::Options::new(width.max(1)).word_splitter(WordSplitter::NoHyphenation);
                lines.extend(textwrap::wrap(part, options).into_iter().map(std::borrow::Cow::into_owned));
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_files_give_way_last() {
        let lines = vec![vec!["a".repeat(60), "b".repeat(30), "c".repeat(3)]];
        assert_eq!(widths(&lines, 200), [60, 30, 3]);
        assert_eq!(widths(&lines, 82), [60, 15, 3]);
        assert_eq!(widths(&lines, 40), [23, 10, 3]);
        assert_eq!(broken("tyre-fill/cold-material", 10), ["tyre-fill/", "cold-", "material"]);
        assert_eq!(path("kept/march/HT-0311.checklist.json", 24), ["kept/march/", "HT-0311.checklist.json"]);
        assert_eq!(path("kept/HT-0311.json", 24), ["kept/HT-0311.json"]);
        assert_eq!(path("HT-0311.checklist.json", 12), ["HT-0311.chec", "klist.json"]);
    }

    #[test]
    fn a_column_without_a_word_is_left_out() {
        let lines = [["file", "held by", "answer"], ["a", "", "may start"], ["b", "", ""]];
        let lines = lines.map(|line| line.map(str::to_owned).to_vec()).to_vec();
        assert_eq!(told(lines), [["file", "answer"], ["a", "may start"], ["b", ""]]);
    }
}
