//! Lists and maps of a document bent one by one, for laws that want each of them found.

use serde_json::{Value, json};

/// The places of all lists and maps in a document, but for the whole.
pub(super) fn groups(value: &Value, at: &str, found: &mut Vec<String>) {
    let within: Vec<(String, &Value)> = match value {
        Value::Array(items) => items.iter().enumerate().map(|(index, item)| (index.to_string(), item)).collect(),
        Value::Object(members) => {
            members.iter().map(|(name, member)| (name.replace('~', "~0").replace('/', "~1"), member)).collect()
        }
        _ => return,
    };
    if !at.is_empty() {
        found.push(at.to_owned());
    }
    for (name, value) in within {
        groups(value, &format!("{at}/{name}"), found);
    }
}

/// Takes the last one out; whether there was one.
pub(super) fn cut(value: &mut Value) -> bool {
    match value {
        Value::Array(items) => items.pop().is_some(),
        Value::Object(members) => {
            members.keys().next_back().cloned().is_some_and(|last| members.remove(&last).is_some())
        }
        _ => false,
    }
}

/// Puts the last one in twice, or, where there is none, one that is not there; of a map under a name that is not there.
pub(super) fn grown(value: &mut Value) -> bool {
    match value {
        Value::Array(items) => items.push(items.last().cloned().unwrap_or_else(|| json!("x"))),
        Value::Object(members) => {
            let one = members.values().next().cloned().unwrap_or_else(|| json!("x"));
            members.insert("zz".to_owned(), one);
        }
        _ => return false,
    }
    true
}

/// Exchanges the first two that differ; whether there are such.
pub(super) fn exchanged(value: &mut Value) -> bool {
    let Value::Array(items) = value else { return false };
    let Some(place) = items.windows(2).position(|two| two[0] != two[1]) else { return false };
    items.swap(place, place + 1);
    true
}
