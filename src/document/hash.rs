//! A `#` that cuts a value: `mark: trailer #6 left` is read as `trailer`, and nothing tells the person who wrote it.
//!
//! In YAML a comment begins at a `#` behind a blank. Anyone who comments leaves a blank behind the sign as well; where
//! a letter or a digit follows at once, behind a value without quotes, it may belong to the value, and is refused. This
//! module must not know what is due at a place.

use super::{Code, Content, Entry, Fault, Faults, Node, Source, Span};

/// Refuses every value that may have been cut.
///
/// # Errors
/// One fault for each such value, in document order.
pub(super) fn hold(source: &Source, root: &Node) -> Result<(), Faults> {
    // Hardly any text has one, and the tree is walked only for those.
    let text = source.text();
    if !text.match_indices('#').any(|(at, _)| begins_word(text, at)) {
        return Ok(());
    }
    let mut faults = Vec::new();
    walk(source, root, &mut faults);
    Faults::none_of(faults)
}

fn walk(source: &Source, node: &Node, faults: &mut Vec<Fault>) {
    match &node.value {
        Content::Map(entries) => {
            for entry in entries {
                match entry.node.value {
                    Content::Null if entry.node.span.is_empty() => {
                        faults.extend(cut(source, behind_key(source, entry)));
                    }
                    _ => walk(source, &entry.node, faults),
                }
            }
        }
        Content::List(items) => {
            for item in items {
                walk(source, item, faults);
            }
        }
        _ if source.slice(node.span).starts_with(['"', '\'', '|', '>']) => {}
        _ => faults.extend(cut(source, node.span)),
    }
}

/// The place behind the colon of a key that says nothing.
fn behind_key(source: &Source, entry: &Entry) -> Span {
    let rest = source.text().get(entry.key_span.end..).unwrap_or_default();
    let end = entry.key_span.end + rest.find(':').map_or(0, |colon| colon + 1);
    Span::new(end, end)
}

/// The fault of a value behind which a `#` and a word stand on its line.
fn cut(source: &Source, value: Span) -> Option<Fault> {
    let rest = source.text().get(value.end..)?;
    let line = rest.split('\n').next()?;
    let at = line.find(|c| c != ' ' && c != '\t')?;
    let sign = value.end + at;
    if at == 0 || !line.get(at..)?.starts_with('#') || !begins_word(source.text(), sign) {
        return None;
    }
    let end = value.end + line.trim_end().len();
    let kept = source.slice(value);
    let whole = source.slice(Span::new(value.start, end)).trim_start();
    let message = match kept {
        "" => "what stands behind this `#` is not read, and nothing is left".to_owned(),
        kept => format!("what stands behind this `#` is not read, and `{kept}` is left"),
    };
    let help = format!(
        "if it belongs to the value, put quotes round the whole: `\"{whole}\"`; if it is a remark, leave a space behind the `#`"
    );
    Some(
        Fault::new(Code::DocumentHashInValue, message)
            .label(Span::new(sign, end), "behind a blank and a `#`")
            .help(help),
    )
}

/// Whether a letter or a digit stands directly behind the sign at this place.
fn begins_word(text: &str, at: usize) -> bool {
    text.get(at + 1..).and_then(|rest| rest.chars().next()).is_some_and(char::is_alphanumeric)
}

#[cfg(test)]
mod tests {
    use crate::document::{Code, Document};

    fn refused(text: &str) -> Option<String> {
        let faults = Document::read("record.yaml", text.as_bytes()).err()?;
        let fault = faults.iter().find(|fault| fault.code() == Code::DocumentHashInValue)?;
        Some(fault.cure().unwrap_or_default().to_owned())
    }

    /// That a comment begins at a `#` behind white space, and that quotes keep it out: YAML 1.2.2, 6.6 and 7.3.
    #[test]
    fn a_value_that_a_sign_may_have_cut_is_refused() {
        for (text, whole) in [
            ("mark: trailer #6 axle 2\n", "\"trailer #6 axle 2\""),
            ("mark:\n  - trailer  #6\n", "\"trailer  #6\""),
            ("mark: #6\n", "\"#6\""),
            ("a: {mark: 12 #b\n}\n", "\"12 #b\""),
            ("pressure: 60 psi #checked", "\"60 psi #checked\""),
        ] {
            let help = refused(text).unwrap_or_else(|| panic!("{text} is taken"));
            assert!(help.contains(whole), "{text}: {help}");
        }
        for text in [
            "mark: trailer # 6 axle 2\n",
            "mark: \"trailer #6\"\n",
            "mark: trailer#6\n",
            "mark: 'it''s #6' #7\n",
            "#6 is the trailer\nmark: six\n",
            "mark: six\n  #7\nother: 1\n",
            "mark: # nothing yet\nother: 1\n",
        ] {
            assert_eq!(refused(text), None, "{text}");
        }
    }
}
