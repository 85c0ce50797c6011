//! Prose laid out in lines, for every text that a person reads: pages, reports, comments of a template.
//!
//! Must not know what the text says, or where it is shown.

use textwrap::core::display_width;
use textwrap::{Options, WordSeparator, WordSplitter};

/// A blank at which no line may end, while the text is being laid out: a code that no text of ours can hold.
const BOUND: char = '\u{fdd0}';

/// Longer than this, a number and what follows it are not held on one line where a line may not grow.
const LONGEST_BOUND: usize = 24;

/// A text that stays on one line, such as a path, when it becomes part of what [`laid_out`] lays out.
pub fn whole(text: &str) -> String {
    text.replace(' ', &BOUND.to_string())
}

/// The text in lines of at most `width` columns, the first behind `first` and each further one behind `rest`.
///
/// Lines end at blanks only, so that a rule's name or a path is not broken at its hyphens, and a number stays on one line with
/// its unit. A word that is longer than a line has a line to itself.
///
/// ```
/// use fillward::document::prose::laid_out;
/// assert_eq!(laid_out("the target is 72 psi here", 18, "- ", "  "), "- the target is\n  72 psi here");
/// ```
pub fn laid_out(text: &str, width: usize, first: &str, rest: &str) -> String {
    let mut bound = String::with_capacity(text.len());
    let mut after_digit = false;
    for c in text.chars() {
        bound.push(if c == ' ' && after_digit { BOUND } else { c });
        after_digit = c.is_ascii_digit();
    }
    textwrap::fill(&bound, at_blanks(width, first, rest)).replace(BOUND, " ")
}

/// The same for a text from elsewhere, of which no line may be wider than `width`: a word that is longer than a line is broken,
/// since a terminal would go on with it at its left edge. Blanks that stand together are one.
///
/// ```
/// use fillward::document::prose::held_in;
/// assert_eq!(held_in("abcdefghij 72 psi", 8, "- ", "    "), "- abcd\n    efgh\n    ij\n    72\n    psi");
/// ```
pub fn held_in(text: &str, width: usize, first: &str, rest: &str) -> String {
    let mut bound = String::with_capacity(text.len());
    let room = LONGEST_BOUND.min(width.saturating_sub(rest.len()));
    let (mut columns, mut after_digit) = (0, false);
    for word in text.split_whitespace() {
        let wide = display_width(word);
        let is_bound = after_digit && columns + wide < room;
        if !bound.is_empty() {
            bound.push(if is_bound { BOUND } else { ' ' });
        }
        bound.push_str(word);
        columns = if is_bound { columns + 1 + wide } else { wide };
        after_digit = word.ends_with(|c: char| c.is_ascii_digit());
    }
    if bound.is_empty() {
        return first.to_owned();
    }
    textwrap::fill(&bound, at_blanks(width, first, rest).break_words(true)).replace(BOUND, " ")
}

/// Lines that end at blanks only, and words that are whole.
fn at_blanks<'o>(width: usize, first: &'o str, rest: &'o str) -> Options<'o> {
    Options::new(width)
        .initial_indent(first)
        .subsequent_indent(rest)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .break_words(false)
}

/// Words or marks in a row, each in quotes of its own, so that none falls apart at a comma that it has itself.
///
/// ```
/// use fillward::document::prose::in_quotes;
/// assert_eq!(in_quotes(["stem low, vent high", "neither"]), "`stem low, vent high`, `neither`");
/// ```
pub fn in_quotes<S: AsRef<str>>(words: impl IntoIterator<Item = S>) -> String {
    words.into_iter().map(|word| format!("`{}`", word.as_ref())).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_numbers_with_units_are_not_torn() {
        assert_eq!(laid_out("a cold-material here", 8, "", ""), "a\ncold-material\nhere");
        assert_eq!(laid_out("at most 105 psi", 11, "", " "), "at most\n 105 psi");
        assert_eq!(laid_out("", 10, "- ", ""), "");
    }

    #[test]
    fn a_whole_text_is_one_word() {
        let path = whole("my shop/job 1.yaml");
        assert_eq!(laid_out(&format!("written to {path}"), 12, "", ""), "written to\nmy shop/job 1.yaml");
    }
}
