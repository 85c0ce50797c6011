//! How a message repeats what a user wrote: in backticks, on one line, shortened.
//!
//! Must not know what is repeated or why.

/// Characters that a message repeats; the label beside it shows the rest.
const MAX_QUOTED: usize = 60;

/// A text in backticks; line breaks and tabs are shown as `\n` and `\t`, and a cut is shown by an ellipsis.
pub(super) fn in_backticks(text: &str) -> String {
    let mut shown = String::new();
    for (count, c) in text.chars().enumerate() {
        match c {
            _ if count == MAX_QUOTED => {
                shown.push('…');
                break;
            }
            '\n' => shown.push_str("\\n"),
            '\t' => shown.push_str("\\t"),
            c => shown.push(c),
        }
    }
    format!("`{shown}`")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quotation_stays_on_one_line() {
        assert_eq!(in_backticks("72 psi"), "`72 psi`");
        assert_eq!(in_backticks("a\n\tb"), "`a\\n\\tb`");
        assert_eq!(in_backticks(""), "``");
        let sixty = "é".repeat(60);
        assert_eq!(in_backticks(&sixty), format!("`{sixty}`"));
        assert_eq!(in_backticks(&"é".repeat(61)), format!("`{sixty}…`"));
    }
}
