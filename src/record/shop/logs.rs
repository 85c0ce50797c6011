//! Rows of a log as a notebook has them: one line a row, the time first and then each reading with its unit.
//!
//! Must not know which log it is, nor what the readings mean.

use super::expand::{Expander, SIDES};
use super::nodes::{at_mut, items_mut, value_mut};
use super::refusals;
use crate::document::{Content, Entry, Node, Span};
use crate::record::catalogue::OPTIONAL_COLUMNS;
use crate::record::{FactKind, FactSpec};
use crate::vocabulary::Subject;

impl Expander<'_> {
    /// Makes every row that stands on one line, of every log of the record, into the mapping that it stands for.
    pub(super) fn rows(&mut self, root: &mut Node) {
        for subject in Subject::ALL {
            let logs: Vec<(String, &[FactSpec])> = self
                .catalogue
                .of(subject)
                .iter()
                .filter_map(|spec| match &spec.kind {
                    FactKind::Log(columns) => Some((spec.name.to_string(), *columns)),
                    _ => None,
                })
                .collect();
            for (place, columns) in logs {
                for holder in holders(root, subject) {
                    if let Some(Node { value: Content::List(rows), .. }) = at_mut(holder, &place) {
                        for row in rows {
                            self.row(row, columns);
                        }
                    }
                }
            }
        }
    }

    fn row(&mut self, row: &mut Node, columns: &[FactSpec]) {
        let Content::Text(text) = &row.value else { return };
        // In quotes the text stands behind the first of them; folded over lines it stands nowhere as it is.
        let written = self.slice(row.span).find(text.as_str()).map(|at| row.span.start + at);
        let span_of = |part: &Part<'_>| {
            written.map_or(row.span, |start| Span::new(start + part.at, start + part.at + part.text.len()))
        };
        let bare = without_stops(text);
        if let Some(bare) = bare.filter(|bare| parts(bare, columns).is_some()) {
            let cure = format!("leave out the commas between its values: `{bare}`");
            self.refuse(refusals::shape("a row of the log", &cure, row.span));
        } else if let Some(parts) = parts(text, columns) {
            let entries = parts.iter().map(|part| {
                let span = span_of(part);
                let node = Node { span, value: Content::Text(part.text.into()) };
                Entry { key: part.column.into(), key_span: span, node }
            });
            row.value = Content::Map(entries.collect());
        } else {
            let (span, due) = (row.span, in_words(columns));
            self.refuse(refusals::shape("a row of the log", &due, span));
        }
    }
}

/// A row without the commas and semicolons behind its values; nothing where it has none. A comma within a number stays.
fn without_stops(text: &str) -> Option<String> {
    let is_stop = |c: char| matches!(c, ',' | ';');
    let has_stop = text.split_whitespace().any(|word| word.ends_with(is_stop));
    let words = text.split_whitespace().map(|word| word.trim_end_matches(is_stop)).filter(|word| !word.is_empty());
    has_stop.then(|| words.collect::<Vec<_>>().join(" "))
}

/// Everything of a record that may state facts of a subject.
fn holders(root: &mut Node, subject: Subject) -> Vec<&mut Node> {
    match subject.record_key() {
        None => vec![root],
        Some(key) if subject == Subject::Component => match value_mut(root, key).map(|sides| &mut sides.value) {
            Some(Content::Map(sides)) => {
                let known = sides.iter_mut().filter(|side| SIDES.contains(&side.key.as_str()));
                known.map(|side| &mut side.node).collect()
            }
            _ => Vec::new(),
        },
        Some(key) => items_mut(root, key).iter_mut().collect(),
    }
}

/// A value of a row: its column, and its text with where that begins in the row.
#[derive(Debug, PartialEq, Eq)]
struct Part<'t> {
    column: &'t str,
    at: usize,
    text: &'t str,
}

/// The values of a row; nothing where it is none. Those that every row has stand in the order of the columns, a further one
/// behind the name of its column.
fn parts<'t>(text: &'t str, columns: &'t [FactSpec]) -> Option<Vec<Part<'t>>> {
    let mut due = columns.iter().filter(|column| is_due(column)).map(|column| column.name.as_ref());
    let mut words = words_with_offsets(text).peekable();
    let mut found: Vec<Part<'t>> = Vec::with_capacity(columns.len());
    let mut is_open = false;
    while let Some((at, word)) = words.next() {
        if let Some(column) = columns.iter().find(|column| !is_due(column) && column.name == word) {
            let (at, text) = words.next()?;
            found.push(Part { column: &column.name, at, text });
            is_open = !is_whole(text);
        } else if !is_open && !word.starts_with(|c: char| c.is_alphabetic() || c == '°') {
            // A day stands in front of its time.
            let with_time = words.next_if(|(_, next)| found.is_empty() && !word.contains(':') && next.contains(':'));
            let end = with_time.map_or(at + word.len(), |(at, time)| at + time.len());
            is_open = !found.is_empty() && !is_whole(word);
            found.push(Part { column: due.next()?, at, text: text.get(at..end)? });
        } else {
            // The unit of the number before it, or what makes a mixed number of it.
            let last = found.last_mut().filter(|_| is_open)?;
            last.text = text.get(last.at..at + word.len())?;
            is_open = !is_whole(word);
        }
    }
    (due.next().is_none() && !is_open).then_some(found)
}

/// Whether a word closes a quantity: it has a unit, and not only a number.
fn is_whole(word: &str) -> bool {
    word.chars().any(|c| c.is_alphabetic() || matches!(c, '°' | '%'))
}

/// The words of a text, each with where it begins.
fn words_with_offsets(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut rest = 0;
    text.split_whitespace().filter_map(move |word| {
        let at = rest + text.get(rest..)?.find(word)?;
        rest = at + word.len();
        Some((at, word))
    })
}

/// What a row must look like.
fn in_words(columns: &[FactSpec]) -> String {
    let read = columns.iter().filter(|column| is_due(column) && is_read(column));
    let names: Vec<&str> = read.map(|column| column.name.as_ref()).collect();
    let further = further(columns);
    let row = example(columns);
    format!(
        "write the time, then {} with their units, such as `{row}`, or with its day in front, `{EXAMPLE_DAY} {row}`{further}",
        names.join(" and ")
    )
}

/// What may stand behind the readings of a row, as the end of a sentence.
pub(super) fn further(columns: &[FactSpec]) -> String {
    optional(columns)
        .map(|column| format!("; behind the readings there may be `{} {}`", column.name, column.example))
        .collect::<Vec<_>>()
        .concat()
}

/// The columns that a row may lack.
pub(super) fn optional(columns: &[FactSpec]) -> impl Iterator<Item = &FactSpec> {
    columns.iter().filter(|column| !is_due(column))
}

/// The day of a row as it would be written.
const EXAMPLE_DAY: &str = "2026-03-03";

/// A row as it would be written.
pub(super) fn example(columns: &[FactSpec]) -> String {
    let due = columns.iter().filter(|column| is_due(column));
    let values: Vec<&str> = due.map(|column| if is_read(column) { column.example.as_ref() } else { "16:10" }).collect();
    values.join(" ")
}

/// Whether every row has this column.
fn is_due(column: &FactSpec) -> bool {
    !OPTIONAL_COLUMNS.contains(&column.name.as_ref())
}

/// Whether a column is a reading, and not the time of the row.
const fn is_read(column: &FactSpec) -> bool {
    matches!(column.kind, FactKind::Quantity(_))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::catalogue::assembly::pre_stretch_row;

    fn read(text: &str) -> Option<Vec<(&str, &str)>> {
        let parts = parts(text, pre_stretch_row::TABLE)?;
        for part in &parts {
            assert_eq!(text.get(part.at..part.at + part.text.len()), Some(part.text), "{text}");
        }
        Some(parts.into_iter().map(|part| (part.column, part.text)).collect())
    }

    #[test]
    fn a_row_is_its_time_and_its_readings_in_order() {
        let due = |at, pressure, air| Some(vec![("at", at), ("pressure", pressure), ("air", air)]);
        assert_eq!(read("16:10 66 psi 73 degF"), due("16:10", "66 psi", "73 degF"));
        assert_eq!(read("  2026-03-03 16:10   66psi 73 °F "), due("2026-03-03 16:10", "66psi", "73 °F"));
        assert_eq!(
            read("2026-03-03T16:10:00-06:00 4 1/2 bar -1.5 degC"),
            due("2026-03-03T16:10:00-06:00", "4 1/2 bar", "-1.5 degC")
        );
        // What is wrong in a value is left to the reader of the value.
        assert_eq!(read("16:10 4,5 bar −3 degC"), due("16:10", "4,5 bar", "−3 degC"));
        let mut with_lowest = due("16:10", "66 psi", "73 degF").unwrap();
        with_lowest.push(("lowest_air", "72 degF"));
        assert_eq!(read("16:10 66 psi 73 degF lowest_air 72 degF"), Some(with_lowest));
    }

    /// Whatever stands behind the values of a row, what the cure offers is the row.
    #[test]
    fn stops_between_the_values_are_left_out() {
        let row = "16:10 66 psi 73 degF lowest_air 72 degF";
        for slip in [
            "16:10, 66 psi, 73 degF, lowest_air 72 degF",
            "16:10; 66 psi; 73 degF; lowest_air 72 degF;",
            "16:10 , 66 psi 73 degF lowest_air 72 degF",
        ] {
            assert_eq!(without_stops(slip).as_deref(), Some(row), "{slip}");
        }
        for whole in [row, "16:10 4,5 bar 20 degC"] {
            assert_eq!(without_stops(whole), None, "{whole}");
        }
    }

    #[test]
    fn what_is_too_short_too_long_or_without_a_unit_is_no_row() {
        for text in [
            "",
            "16:10",
            "16:10 66 psi",
            "16:10 66 73 degF",
            "16:10 66 psi 73",
            "16:10 66 psi 73 degF 72 degF",
            "16:10 66 psi 73 degF lowest_air",
            "16:10 66 psi 73 degF lowest_air 72",
            "16:10 66 psi 73 degF warm",
            "at four 66 psi 73 degF",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
