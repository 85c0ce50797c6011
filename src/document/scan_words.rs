//! Words for text that is not YAML at all.
//!
//! The parser knows what it expected; a user needs to know what to change. Each of the parser's sayings
//! that a slip of the hand can cause has a saying here. Must not know values.

use saphyr_parser::ScanError;

use super::events::too_deep;
use super::spans::Ruler;
use super::{Fault, Source, Span};

/// The part of the parser's message that identifies a slip, the message shown, and the cure.
const SLIPS: [(&str, &str, &str); 15] = [
    (
        "mapping values are not allowed",
        "a second `:` in one value",
        "put quotes round the value if the `:` belongs to it, else begin a new line",
    ),
    (
        "found unexpected end of stream",
        "a quotation mark is opened and never closed",
        "close the quotation mark, or put the whole value in the other kind of quotes",
    ),
    ("unclosed", "a bracket is opened and never closed", "close the bracket"),
    (
        "found unexpected document indicator",
        "a line of `---` or `...` inside quotes",
        "close the quotation mark before this line",
    ),
    (
        "trailing content after double-quoted",
        "something stands behind the closing quotation mark",
        "put the whole value inside the quotes; write `\\\"` for a quotation mark inside",
    ),
    (
        "unknown escape character",
        "a `\\` that begins no known escape",
        "write `\\\\` for a backslash, or use single quotes",
    ),
    ("hexadecimal number", "an escape with too few digits", "write the character itself"),
    ("Unicode character escape", "an escape for a character that does not exist", "write the character itself"),
    ("misplaced bracket", "a closing bracket that nothing opened", "delete the bracket, or put quotes round the value"),
    (
        "did not find expected ',' or",
        "a `,` or a closing bracket is due here",
        "put a `,` between the items, close the bracket, or put quotes round a value with a comma or bracket in it",
    ),
    (
        "expected ',' or ']'",
        "a `,` or a closing bracket is due here",
        "put a `,` between the items, close the bracket, or put quotes round a value with a comma or bracket in it",
    ),
    ("unknown anchor", "a value beginning with `*` that stands for nothing", "put quotes round the value"),
    (
        "simple key expect",
        "a `:` is due behind the key of this line",
        "write `key: value`, with a blank behind the colon",
    ),
    (
        "must be followed by a valid YAML whitespace",
        "a blank is due here",
        "put one blank, not a tab, behind the `:` or `-`",
    ),
    (
        "did not find expected key",
        "a key is due here, at the indentation of its neighbours",
        "line this up with the line above, or write it as `key: value`",
    ),
];

/// The fault of a text that the event parser gave up on.
pub(super) fn fault(source: &Source, ruler: &Ruler<'_>, error: &ScanError) -> Fault {
    let at = ruler.offset(*error.marker());
    let span = mark(source, at);
    // The parser refuses open brackets deeper than its own counter goes before it gives the first event.
    if error.info().contains("recursion limit") {
        return too_deep(source, span);
    }
    if let Some(tab) = indenting_tab(source, at) {
        return Fault::new("document/tab-indent", "a tab indents this line")
            .label(tab, "tab")
            .help("indent with blanks")
            .in_source(source);
    }
    let (message, help) = match SLIPS.iter().find(|(saying, ..)| error.info().contains(saying)) {
        Some((_, message, help)) => ((*message).to_owned(), *help),
        None => (
            format!("this is not YAML: {}", error.info()),
            "compare the indentation and the punctuation with the lines around it",
        ),
    };
    Fault::new("document/not-yaml", message).label(span, "here").help(help).in_source(source)
}

/// The character at `at`; at the end of a line or of the text, the empty span behind the last character.
fn mark(source: &Source, at: usize) -> Span {
    let text = source.text();
    let before = text.get(..at).unwrap_or(text);
    match text.get(at..).and_then(|rest| rest.chars().next()) {
        Some(c) if !c.is_whitespace() => Span::new(at, at + c.len_utf8()),
        _ => Span::empty(before.trim_end().len()),
    }
}

/// A tab in the indentation of the line at `at`, or of the line before it, where the parser may have noticed late.
fn indenting_tab(source: &Source, at: usize) -> Option<Span> {
    let text = source.text();
    let line_end = text.get(at..)?.find('\n').map_or(text.len(), |newline| at + newline);
    let mut end = line_end;
    for _ in 0..2 {
        let start = text.get(..end)?.rfind('\n').map_or(0, |newline| newline + 1);
        let line = text.get(start..end)?;
        let indentation = line.len() - line.trim_start_matches([' ', '\t']).len();
        if let Some(tab) = line.get(..indentation)?.find('\t') {
            return Some(Span::new(start + tab, start + tab + 1));
        }
        end = start.checked_sub(1)?;
    }
    None
}
