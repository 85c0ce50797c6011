//! Words for text that is not YAML at all.
//!
//! A parser says what it expected; a user needs to know what to change. Each message of the parser that a slip
//! can cause has its wording here. Must not know values.

use saphyr_parser::ScanError;

use super::spans::Ruler;
use super::{Code, Fault, Source, Span, refusals};

const QUOTE_THE_VALUE: &str = "put quotes round the value";
const LINE_UP: &str = "line this up with its neighbours, and put a space after the `:` of each key";
const CLOSE_OR_SEPARATE: &str =
    "put a `,` between the items, close the bracket, or put quotes round a value with a comma or bracket in it";
const WRITE_THE_CHARACTER: &str = "write the character itself";

/// The part of the parser's message that identifies a slip, the message shown, and the cure.
const SLIPS: [(&str, &str, &str); 25] = [
    ("mapping values are not allowed", "a `:` where no key is expected", LINE_UP),
    (
        "unexpected end of stream",
        "a quotation mark is opened and never closed",
        "close the quotation mark, or put the whole value in the other kind of quotes",
    ),
    (
        "unexpected document indicator",
        "a line of `---` or `...` inside quotes",
        "close the quotation mark before this line",
    ),
    (
        "trailing content after double-quoted",
        "there is something after the closing quotation mark",
        "put the whole value inside the quotes, and use the other kind for quotes inside",
    ),
    (
        "unknown escape character",
        "a `\\` that begins no known escape",
        "write `\\\\` for a backslash, or use single quotes",
    ),
    ("hexadecimal number", "an escape with too few digits", WRITE_THE_CHARACTER),
    ("Unicode character escape", "an escape for a character that does not exist", WRITE_THE_CHARACTER),
    ("misplaced bracket", "a closing bracket that nothing opened", "delete the bracket, or put quotes round the value"),
    ("did not find expected ',' or", "a `,` or a closing bracket is expected here", CLOSE_OR_SEPARATE),
    ("expected ',' or ']'", "a `,` or a closing bracket is expected here", CLOSE_OR_SEPARATE),
    ("did not find expected node content", "a value is expected here", "write the value, or delete the `,` before it"),
    ("unknown anchor", "a value beginning with `*` refers to nothing", QUOTE_THE_VALUE),
    ("anchor or alias", "a value cannot begin with `*` or `&`", QUOTE_THE_VALUE),
    ("unexpected character", "a value cannot begin with this character", QUOTE_THE_VALUE),
    ("plain scalar cannot start", "a value cannot begin like this", QUOTE_THE_VALUE),
    ("tag", "a value cannot begin with `!`", QUOTE_THE_VALUE),
    ("handle wasn't declared", "a value cannot begin with `!`", QUOTE_THE_VALUE),
    ("simple key expect", "a `:` is expected after the key", "write `key: value`, with a space after the colon"),
    (
        "must be followed by a valid YAML whitespace",
        "a space is expected before this",
        "put one space, not a tab, after the `:` or `-`",
    ),
    ("did not find expected key", "a key is expected here", LINE_UP),
    (
        "did not find expected '-' indicator",
        "an item of the list above is expected here",
        "begin the line with `- `, or line the key up with the other keys of its mapping",
    ),
    (
        "block sequence entries are not allowed",
        "a list cannot begin here",
        "begin the list on the next line, or put quotes round the value",
    ),
    ("expected <document start>", "there is something here that belongs to no key", LINE_UP),
    ("invalid indentation", "this line is not indented far enough", "indent it further than its key"),
    (
        "wrongly indented line in block scalar",
        "a line before the text is indented further than the text",
        "indent all lines of the text alike",
    ),
];

/// A key without a blank behind its colon, on the line that is refused or the last one before it: the parser takes it for
/// the beginning of a text, and stumbles over what comes behind.
fn no_blank(source: &Source, at: usize) -> Option<Fault> {
    let text = source.text();
    let end = text.get(at..).and_then(|rest| rest.find('\n')).map_or(text.len(), |length| at + length);
    let mut start = end;
    for _ in 0..2 {
        let begin = text.get(..start)?.trim_end_matches('\n').rfind('\n').map_or(0, |line| line + 1);
        let line = text.get(begin..start)?.trim_end();
        let content = line.trim_start().trim_start_matches("- ");
        let column = line.len() - content.len();
        let is_sign = |c: char| c.is_ascii_alphanumeric() || c == '_';
        let name = content.get(..content.find(|c| !is_sign(c)).unwrap_or(content.len()))?;
        let value = content.get(name.len()..)?.strip_prefix(':').unwrap_or_default();
        if name.starts_with(|c: char| c.is_ascii_alphabetic()) && !value.is_empty() && !value.starts_with([' ', '/']) {
            let span = Span::new(begin + column, begin + line.len());
            return Some(refusals::no_blank(name, value.trim(), span));
        }
        start = begin;
    }
    None
}

/// The fault of a text that the event parser gave up on.
pub(super) fn fault(source: &Source, ruler: &Ruler<'_>, error: &ScanError) -> Fault {
    if let Some(fault) = no_blank(source, ruler.offset(*error.marker())) {
        return fault;
    }
    let at = ruler.offset(*error.marker());
    let span = mark(source, at);
    // The parser refuses open brackets deeper than its own counter goes before it gives the first event.
    if error.info().contains("recursion limit") {
        return refusals::too_deep(span);
    }
    if let Some(fault) = tab_at(source, at) {
        return fault;
    }
    let slip = SLIPS.iter().find(|(saying, ..)| error.info().contains(saying));
    let (message, help) = match slip {
        Some((_, message, help)) => ((*message).to_owned(), *help),
        None => (
            format!("this is not YAML: {}", error.info()),
            "compare the indentation and the punctuation with the lines around it",
        ),
    };
    if has_second_colon(source, at) {
        return Fault::new(Code::DocumentNotYaml, "a second `:` in one line")
            .label(span, "the second one")
            .help("put quotes round the value if the `:` belongs to it, else begin a new line");
    }
    Fault::new(Code::DocumentNotYaml, message).label(span, "here").help(help)
}

/// The character at `at`; at the end of a line or of the text, the empty span behind the last character.
fn mark(source: &Source, at: usize) -> Span {
    let text = source.text();
    match text.get(at..).and_then(|rest| rest.chars().next()) {
        Some(c) if !c.is_whitespace() => Span::new(at, at + c.len_utf8()),
        _ => Span::empty(text.get(..at).unwrap_or(text).trim_end().len()),
    }
}

/// Whether a `:` at `at` has another one that ends a key before it in its line.
fn has_second_colon(source: &Source, at: usize) -> bool {
    let text = source.text();
    let before = text.get(..at).unwrap_or_default();
    let line = before.rsplit('\n').next().unwrap_or_default();
    text.get(at..).is_some_and(|rest| rest.starts_with(':')) && line.contains(": ")
}

/// The fault of a tab at `at`, or in the indentation of the line there or of a neighbouring line: a parser may notice
/// late, or give the beginning of the value that the tab has cut short.
pub(super) fn tab_at(source: &Source, at: usize) -> Option<Fault> {
    let here = source.text().get(at..).is_some_and(|rest| rest.starts_with('\t')).then_some(at);
    let tab = here.or_else(|| indenting_tab(source, at))?;
    Some(
        Fault::new(Code::DocumentTabIndent, "a tab where only spaces are allowed")
            .label(Span::new(tab, tab + 1), "tab")
            .help("put spaces in place of the tab"),
    )
}

/// The tab in the indentation that is nearest to the line at `at`, at most one line away.
fn indenting_tab(source: &Source, at: usize) -> Option<usize> {
    let (line_at, _) = source.line_and_column(at);
    let mut start = 0;
    let mut tabs = Vec::new();
    for (index, line) in source.text().split_inclusive('\n').enumerate() {
        let distance = (index + 1).abs_diff(line_at);
        let indentation = line.len() - line.trim_start_matches([' ', '\t']).len();
        let tab = line.get(..indentation).unwrap_or_default().find('\t');
        if let Some(tab) = tab.filter(|_| distance <= 1 && !line.trim().is_empty()) {
            tabs.push((distance, start + tab));
        }
        start += line.len();
    }
    tabs.into_iter().min().map(|(_, tab)| tab)
}

#[cfg(test)]
mod tests {
    use saphyr_parser::Parser;

    use super::*;

    /// Texts with one slip each.
    const TEXTS: [&str; 25] = [
        "a: b: c\n",
        "a: \"x\n",
        "a: \"x\n---\n\"\n",
        "a: \"x\" y\n",
        "a: \"\\q\"\n",
        "a: \"\\xZZ\"\n",
        "a: \"\\ud800\"\n",
        "a: ]\n",
        "a: {b: 1\n",
        "a: [1}\n",
        "a: [,]\n",
        "a: *nowhere\n",
        "a: *\n",
        "a: @x\n",
        "a: [-]\n",
        "a: !<x\n",
        "a: !e!x 1\n",
        "a: 1\nbbb\n",
        "a:\t1\n",
        "a:\n  b: 1\n c: 2\n",
        "- a\nb: 1\n",
        "a: - b\n",
        "'a':1\n",
        "a: [\n1]\n",
        "a: |\n     \n  x\n",
    ];

    fn saying_of(text: &str) -> String {
        let error = Parser::new_from_str(text).find_map(Result::err);
        error.map(|error| error.info().to_owned()).unwrap_or_default()
    }

    #[test]
    fn each_slip_has_its_words_and_all_words_have_a_slip() {
        let mut heard = [false; SLIPS.len()];
        for text in TEXTS {
            let info = saying_of(text);
            let row = SLIPS.iter().position(|(saying, ..)| info.contains(saying));
            heard[row.unwrap_or_else(|| panic!("{text:?}: no words for {info:?}"))] = true;
        }
        let silent: Vec<&str> = SLIPS.iter().zip(heard).filter(|(_, heard)| !heard).map(|(slip, _)| slip.0).collect();
        assert!(silent.is_empty(), "the parser does not say {silent:?}");
    }

    #[test]
    fn a_saying_without_words_of_its_own_is_passed_on() {
        let source = Source::new("t", "a: ? b\n");
        let error = Parser::new_from_str(source.text()).find_map(Result::err).unwrap();
        let fault = fault(&source, &Ruler::new(&source), &error);
        assert_eq!(fault.message(), "this is not YAML: mapping keys are not allowed in this context");
        assert_eq!(fault.span(), Some(Span::new(3, 4)));
    }
}
