//! Words for values, kinds, sizes and choices.
//!
//! Must not know documents or places.

use jsonschema::error::{TypeKind, ValidationErrorKind};
use jsonschema::types::JsonType;
use serde_json::Value as Json;

use super::walk;

use crate::document::quote::in_backticks;
use crate::document::{Code, Content, Node};

/// Choices that a help text lists; more are counted.
const MAX_LISTED: usize = 12;

/// What is due at a value, in place of what stands there.
pub(super) fn instead(due: &str, node: &Node) -> String {
    match &node.value {
        Content::Null => format!("{due} is expected here, and nothing is written"),
        _ => format!("{due} is expected here, not {}", found(node)),
    }
}

/// What stands at a value.
pub(super) fn found(node: &Node) -> String {
    match &node.value {
        Content::Null => "nothing".to_owned(),
        Content::Bool(truth) => format!("`{truth}`"),
        Content::Number(literal) => format!("the number `{literal}`"),
        Content::Text(text) if text.is_empty() => "an empty text".to_owned(),
        Content::Text(text) => format!("the text {}", in_backticks(text)),
        Content::List(_) => "a list".to_owned(),
        Content::Map(_) => "a block of `name: value` lines".to_owned(),
    }
}

/// A value of a schema, as it would be written.
pub(super) fn literal(value: &Json) -> String {
    match value {
        Json::String(text) => format!("`{text}`"),
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
        JsonType::Object => "a block of `name: value` lines",
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
fn count(number: u64, one: &str, many: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {many}") }
}

/// A text of the schema up to the first comma, semicolon or full stop, to stand inside a sentence.
pub(super) fn clause(text: &str) -> &str {
    let end = text.find([',', ';']).or_else(|| text.find(". ")).unwrap_or(text.len());
    text.get(..end).unwrap_or(text).trim_end_matches(['.', ' '])
}

/// What to write, from the annotations of the schema.
pub(super) fn advice(applying: &[&Json]) -> Option<String> {
    if let Some(due) = walk::annotation(applying, "x-due") {
        return Some(format!("write {due}"));
    }
    let description = walk::annotation(applying, "description").or_else(|| walk::annotation(applying, "title"));
    match (walk::example(applying), description) {
        (Some(example), Some(description)) => Some(format!("write, for example, `{example}` ({description})")),
        (Some(example), None) => Some(format!("write, for example, `{example}`")),
        (None, Some(description)) => Some(format!("write what is expected here: {description}")),
        (None, None) => None,
    }
}

/// A key that is not spelt as keys are, in small letters and with the joint of these keys, if that makes it one.
pub(super) fn respelt(applying: &[&Json], key: &str) -> Option<String> {
    let joint = if walk::annotation(applying, "pattern")?.contains("(_") { "_" } else { "-" };
    let lower = key.to_lowercase();
    let parts: Vec<&str> = lower.split(|c: char| !c.is_ascii_alphanumeric()).filter(|part| !part.is_empty()).collect();
    let begins = parts.first()?.starts_with(|c: char| c.is_ascii_lowercase());
    let is_plain = lower.chars().all(|c| c.is_ascii() && !c.is_ascii_control());
    (begins && is_plain).then(|| parts.join(joint))
}

/// What is said of a place that is empty because a comment begins where the text was to be; `after` is what stands on the
/// line behind the key.
pub(super) fn comment(after: &str) -> Option<String> {
    let text = after.trim_start_matches([':', ' ']).strip_prefix('#')?.trim();
    (!text.is_empty()).then(|| "`#` begins a comment; put quotes round the whole text, `#` included".to_owned())
}

/// Code and message of a failure of size: lengths, counts and limits.
pub(super) fn extent(kind: &ValidationErrorKind, node: &Node) -> Option<(Code, String)> {
    use ValidationErrorKind as Kind;
    let found = found(node);
    let size = match &node.value {
        Content::List(items) => items.len(),
        Content::Map(entries) => entries.len(),
        _ => 0,
    };
    let items = |limit: u64| count(limit, "item is", "items are");
    let keys = |limit: u64| count(limit, "key is", "keys are");
    let characters = |limit: u64| count(limit, "character is", "characters are");
    Some(match kind {
        Kind::MinItems { limit } => (TOO_FEW, format!("a list of {size}; at least {} expected here", items(*limit))),
        Kind::MaxItems { limit } => (TOO_MANY, format!("a list of {size}; at most {} allowed here", items(*limit))),
        Kind::MinProperties { limit } => {
            (TOO_FEW, format!("a block of {size} `name: value` lines; at least {} expected here", keys(*limit)))
        }
        Kind::MaxProperties { limit } => {
            (TOO_MANY, format!("a set of {size} names with values; at most {} allowed here", keys(*limit)))
        }
        Kind::MinLength { limit } => {
            (Code::SchemaTooShort, format!("{found} is too short; at least {} expected here", characters(*limit)))
        }
        Kind::MaxLength { limit } => {
            (Code::SchemaTooLong, format!("{found} is too long; at most {} allowed here", characters(*limit)))
        }
        Kind::Minimum { limit } => (TOO_LOW, format!("{found} is too low; `{limit}` or more is expected here")),
        Kind::Maximum { limit } => (TOO_HIGH, format!("{found} is too high; `{limit}` or less is expected here")),
        Kind::ExclusiveMinimum { limit } => {
            (TOO_LOW, format!("{found} is too low; more than `{limit}` is expected here"))
        }
        Kind::ExclusiveMaximum { limit } => {
            (TOO_HIGH, format!("{found} is too high; less than `{limit}` is expected here"))
        }
        _ => return None,
    })
}

const TOO_FEW: Code = Code::SchemaTooFew;
const TOO_MANY: Code = Code::SchemaTooMany;
const TOO_LOW: Code = Code::SchemaTooLow;
const TOO_HIGH: Code = Code::SchemaTooHigh;
