//! Text of a file laid out in columns, so that nothing in it can pass for a line of the program's.
//!
//! Every line of a text begins at its own column, however long its words are: a word that does not fit is broken, since a
//! terminal would go on with it at the left edge. This module must not know what the text says.

use fillward::vocabulary::shown;
use textwrap::core::display_width;

/// Longer than this, a number and what follows it are not held on one line.
const LONGEST_BOUND: usize = 24;

/// The text in lines of at most `width` columns, the first behind `first`, each further one behind as many blanks as `first`
/// has columns, and two more.
pub(super) fn in_column(text: &str, width: usize, first: &str) -> String {
    let indent = display_width(first);
    let room = width.saturating_sub(indent + 2).max(1);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in bound_words(&shown(text), room) {
        if !line.is_empty() && display_width(&line) + 1 + display_width(&word) > room {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(&word);
    }
    lines.push(line);
    let further = " ".repeat(indent + 2);
    let mut out = String::new();
    for (place, line) in lines.iter().enumerate() {
        out.push_str(if place == 0 { first } else { &further });
        out.push_str(line);
        out.push('\n');
    }
    out
}

/// The words of a text, a number together with its unit, and none wider than the room.
fn bound_words(text: &str, room: usize) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match words.last_mut() {
            Some(last)
                if last.ends_with(|c: char| c.is_ascii_digit())
                    && display_width(last) + display_width(word) < LONGEST_BOUND.min(room) =>
            {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.extend(pieces(word, room)),
        }
    }
    words
}

/// A word in pieces that fit.
fn pieces(word: &str, room: usize) -> Vec<String> {
    let mut pieces = vec![String::new()];
    let mut columns = 0;
    for c in word.chars() {
        let wide = display_width(c.encode_utf8(&mut [0; 4]));
        if columns + wide > room && columns > 0 {
            pieces.push(String::new());
            columns = 0;
        }
        columns += wide;
        if let Some(piece) = pieces.last_mut() {
            piece.push(c);
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn numbers_stay_with_their_units_and_long_words_are_broken() {
        assert_eq!(in_column("the target is 72 psi here", 16, "- "), "- the target\n    is 72 psi\n    here\n");
        assert_eq!(in_column("abcdefghij", 8, "  "), "  abcd\n    efgh\n    ij\n");
        assert_eq!(in_column("", 20, "  "), "  \n");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(500))]

        /// Whatever a file says, its lines keep to their columns and none of its letters is lost.
        #[test]
        fn no_line_leaves_its_columns(text in "\\PC{0,120}|[a1 ]{0,120}|[\\n\\t\u{1b}\u{202e}中é= .]{0,60}", width in 40_usize..100) {
            let drawn = in_column(&text, width, "    ");
            for (place, line) in drawn.lines().enumerate() {
                prop_assert!(display_width(line) <= width, "{line:?}");
                prop_assert!(line.starts_with(if place == 0 { "    " } else { "      " }), "{line:?}");
            }
            let bare = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            prop_assert_eq!(bare(&drawn), bare(&shown(&text)));
        }
    }
}
