//! Words for values, kinds and lists of choices.
//!
//! Must not know failures.

use jsonschema::error::TypeKind;
use jsonschema::types::JsonType;

use crate::document::{Node, Value};

/// Characters of a user's text that a message repeats; the label shows the rest.
const MAX_QUOTED: usize = 40;

/// Choices that a help text lists; more are counted.
const MAX_LISTED: usize = 12;

/// A user's text for use in a message: on one line, shortened.
pub(super) fn quoted(text: &str) -> String {
    let line = text.lines().next().unwrap_or_default();
    let cut: String = line.chars().take(MAX_QUOTED).collect();
    if cut.len() == text.len() { format!("`{cut}`") } else { format!("`{cut}…`") }
}

/// What stands at a value.
pub(super) fn found(node: &Node) -> String {
    match &node.value {
        Value::Null => "nothing".to_owned(),
        Value::Bool(truth) => format!("`{truth}`"),
        Value::Number(literal) => format!("the number `{literal}`"),
        Value::Text(text) if text.is_empty() => "an empty text".to_owned(),
        Value::Text(text) => format!("the text {}", quoted(text)),
        Value::List(_) => "a list".to_owned(),
        Value::Map(_) => "a mapping".to_owned(),
    }
}

/// A value of a schema, as it would be written.
pub(super) fn literal(value: &serde_json::Value) -> String {
    match value {
        serde_json::Value::String(text) => format!("`{text}`"),
        other => format!("`{other}`"),
    }
}

/// The kinds that are due, joined by "or".
pub(super) fn kinds(due: &TypeKind) -> String {
    match due {
        TypeKind::Single(kind) => kind_words(*kind).to_owned(),
        TypeKind::Multiple(kinds) => {
            let words: Vec<&str> = kinds.iter().map(kind_words).collect();
            words.join(" or ")
        }
    }
}

/// Whether a kind is among those that are due.
pub(super) fn is_due(due: &TypeKind, kind: JsonType) -> bool {
    match due {
        TypeKind::Single(single) => *single == kind,
        TypeKind::Multiple(kinds) => kinds.contains(kind),
    }
}

fn kind_words(kind: JsonType) -> &'static str {
    match kind {
        JsonType::Array => "a list",
        JsonType::Boolean => "`true` or `false`",
        JsonType::Integer => "a whole number",
        JsonType::Null => "nothing",
        JsonType::Number => "a number",
        JsonType::Object => "a mapping",
        JsonType::String => "text",
    }
}

/// Choices in a row; a long row is cut and the rest counted.
pub(super) fn listed(choices: &[String]) -> String {
    let row: Vec<&str> = choices.iter().take(MAX_LISTED).map(String::as_str).collect();
    let row = row.join(", ");
    match choices.len().saturating_sub(MAX_LISTED) {
        0 => row,
        more => format!("{row} and {more} more"),
    }
}

/// One item, several items.
pub(super) fn count(number: u64, one: &str, many: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {many}") }
}

/// The head of an `x-due` text: what is due, without examples and units.
pub(super) fn head(due: &str) -> &str {
    due.split([',', ';']).next().unwrap_or(due).trim_end()
}
