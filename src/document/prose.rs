//! Prose laid out in lines, for every text that a person reads: pages, reports, comments of a template.
//!
//! Must not know what the text says, or where it is shown.

use std::fmt;

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
/// Lines end at blanks only, so that a rule's name or a path is not broken at its hyphens, and a number stays on one
/// line with its unit. A word that is longer than a line has a line to itself.
///
/// ```
/// use fillward::document::prose::laid_out;
/// assert_eq!(laid_out("the target is 72 psi here", 18, "- ", "  "), "- the target is\n  72 psi here");
/// ```
pub fn laid_out(text: &str, width: usize, first: &str, rest: &str) -> String {
    if text.is_empty() || text.starts_with(' ') || text.ends_with(' ') || text.contains("  ") || text.contains('\n') {
        return laid_out_with_gaps(text, width, first, rest);
    }
    let mut out = String::with_capacity(text.len() + text.len() / 8 + first.len());
    let mut words = ProseWords { rest: Some(text) }.peekable();
    let mut indent = first;
    while words.peek().is_some() {
        out.push_str(indent);
        let room = width.saturating_sub(columns(indent));
        let mut used: Option<usize> = None;
        // The first word of a line stands on it, however long it is.
        while let Some(word) = words.next_if(|word| used.is_none_or(|used| used + 1 + columns(word) <= room)) {
            if used.is_some() {
                out.push(' ');
            }
            out.push_str(word);
            used = Some(used.map_or(0, |used| used + 1) + columns(word));
        }
        if words.peek().is_some() {
            out.push('\n');
        }
        indent = rest;
    }
    if out.contains(BOUND) { out.replace(BOUND, " ") } else { out }
}

/// The words of a text that has one blank between each two; no line ends behind a digit.
struct ProseWords<'t> {
    rest: Option<&'t str>,
}

impl<'t> Iterator for ProseWords<'t> {
    type Item = &'t str;

    fn next(&mut self) -> Option<&'t str> {
        let text = self.rest?;
        let blank =
            text.as_bytes().windows(2).position(|two| matches!(two, [before, b' '] if !before.is_ascii_digit()));
        let (word, behind) = blank.and_then(|at| text.split_at_checked(at + 1)).unwrap_or((text, ""));
        self.rest = behind.strip_prefix(' ');
        Some(word)
    }
}

/// How wide a text is drawn.
fn columns(text: &str) -> usize {
    let plain = text.bytes().all(|byte| matches!(byte, b' '..=b'~'));
    if plain { text.len() } else { display_width(text) }
}

/// The same of any text: blanks that stand side by side stay so within a line.
fn laid_out_with_gaps(text: &str, width: usize, first: &str, rest: &str) -> String {
    let mut bound = String::with_capacity(text.len());
    let mut after_digit = false;
    for c in text.chars() {
        bound.push(if c == ' ' && after_digit { BOUND } else { c });
        after_digit = c.is_ascii_digit();
    }
    textwrap::fill(&bound, at_blanks(width, first, rest)).replace(BOUND, " ")
}

/// The same for a text from elsewhere, of which no line may be wider than `width`: a word that is longer than a line is
/// broken, since a terminal would go on with it at its left edge. Blanks that stand together are one.
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

/// Words with a capital letter in front.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// A dotted name, or a place in a record, in trade words.
pub fn name_in_words(name: &str) -> String {
    name.trim_start_matches('.')
        .trim_start_matches("local.")
        .replace("pre_stretch", "pre-stretch")
        .replace(['_', '.'], " ")
}

/// Items in words, with something between.
pub fn joined<T: fmt::Display>(items: &[T], between: &str) -> String {
    items.iter().map(ToString::to_string).collect::<Vec<_>>().join(between)
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

/// Names in one breath: the words with which all of them begin are said once, `cart 1, 2 and 3`, where what is left of each
/// is a number or a mark, or stands behind a comma. The names of people are said whole.
pub fn together(names: &[&str]) -> String {
    let words: Vec<Vec<&str>> = names.iter().map(|name| name.split(' ').collect()).collect();
    let alike = match words.as_slice() {
        [first, rest @ ..] if !rest.is_empty() => (0..first.len())
            .take_while(|at| {
                rest.iter().all(|name| name.get(*at) == first.get(*at)) && words.iter().all(|name| name.len() > at + 1)
            })
            .count(),
        _ => 0,
    };
    let first = words.first().map(Vec::as_slice).unwrap_or_default();
    let behind = |shared: usize| words.iter().map(move |name| name.get(shared..).unwrap_or_default());
    let is_clear = |shared: &usize| {
        let of_a_row = |own: &[&str]| own.iter().all(|word| !word.ends_with(','));
        let is_mark = |own: &[&str]| own.first().is_some_and(|word| word.bytes().any(|byte| byte.is_ascii_digit()));
        let ends = first.get(shared - 1).is_some_and(|last| last.ends_with(','));
        behind(*shared).all(|own| of_a_row(own) && (ends || is_mark(own)))
    };
    let shared = (1..=alike).rev().find(is_clear).unwrap_or(0);
    let own: Vec<String> = behind(shared).map(|own| own.join(" ")).collect();
    let listed = match own.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => own.concat(),
    };
    match first.get(..shared) {
        Some(opening) if !opening.is_empty() => format!("{} {listed}", opening.join(" ")),
        _ => listed,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// The reference is the crate `textwrap`, which lays out every text.
        #[test]
        fn texts_without_gaps_are_laid_out_as_all_texts_are(
            text in "[a1-5é·°\u{4e2d}\u{301}-]{1,5}( [a1-5é\u{fdd0}.,-]{1,7}){0,12}",
            width in 0_usize..30,
            (first, rest) in prop::sample::select(vec![("", ""), ("- ", "  "), ("  PASS   ", "       "), ("· ", "")]),
        ) {
            prop_assert_eq!(laid_out(&text, width, first, rest), laid_out_with_gaps(&text, width, first, rest));
        }
    }

    #[test]
    fn names_share_the_words_with_which_they_begin() {
        for (names, due) in [
            (&["cart 1"][..], "cart 1"),
            (&["cart 1", "cart 2", "cart 10"], "cart 1, 2 and 10"),
            (&["loader 4, left front", "loader 4, right front"], "loader 4, left front and right front"),
            (&["loader 4", "loader 4 spare"], "loader 4 and 4 spare"),
            (&["LF", "RF"], "LF and RF"),
            (&["grader 1 LF", "loader 1 LF"], "grader 1 LF and loader 1 LF"),
            (
                &["crane 3, left front", "crane 3, right front", "crane 4, left front"],
                "crane 3, left front, crane 3, right front and crane 4, left front",
            ),
            (&["crane 3 left", "crane 3 right"], "crane 3 left and 3 right"),
            (&["Sunil Kadambari", "Sunil Dholwani"], "Sunil Kadambari and Sunil Dholwani"),
            (&[], ""),
        ] {
            assert_eq!(together(names), due);
        }
    }

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
