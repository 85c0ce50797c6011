//! Text of a file laid out in columns, so that nothing in it can pass for a line of the program's.
//!
//! Every line of a text begins at its own column, however long its words are: a word that does not fit is broken, since a
//! terminal would go on with it at the left edge. This module must not know what the text says.

use fillward::document::prose::held_in;
use fillward::vocabulary::shown;
use textwrap::core::display_width;

/// The text in lines of at most `width` columns, the first behind `first`, each further one behind as many blanks as `first`
/// has columns, and two more.
pub(super) fn in_column(text: &str, width: usize, first: &str) -> String {
    let further = " ".repeat(display_width(first) + 2);
    held_in(&shown(text), width, first, &further) + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn numbers_stay_with_their_units_and_long_words_are_broken() {
        assert_eq!(in_column("the target is 72 psi here", 16, "- "), "- the target is\n    72 psi here\n");
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
