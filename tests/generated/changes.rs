//! Stated changes to a record: what is copied, removed and given another value, by paths such as
//! `assemblies[0].tyre.size`. It knows mappings and lists, and nothing of tyres.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde_yaml::{Mapping, Value};

/// What makes one record out of another: first what is copied, then what is removed, then what is changed.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Changes {
    /// The record that it starts from: another one's name, or `full`.
    pub(crate) from: String,
    /// A new last entry of a list, and the entry that it is a copy of.
    #[serde(default)]
    copied: Mapping,
    /// What the record lacks; of one list, the last entries.
    #[serde(default)]
    removed: Vec<String>,
    /// Values that are new or other; a group that is not there yet is made.
    #[serde(default)]
    changed: Mapping,
    /// Comments, each above the line of its path; they are not handed on.
    #[serde(default)]
    pub(crate) notes: BTreeMap<String, String>,
}

#[derive(Debug)]
enum Step {
    Key(String),
    Item(usize),
}

fn steps(path: &str) -> Vec<Step> {
    path.split(['.', '['])
        .map(|part| match part.strip_suffix(']') {
            Some(index) => Step::Item(index.parse().unwrap_or_else(|_| panic!("`{path}` has no number in its []"))),
            None => Step::Key(part.to_owned()),
        })
        .collect()
}

/// The value at a path; a missing mapping entry is made where `make` says so, as is an entry one past a list's end.
fn place<'v>(value: &'v mut Value, path: &str, make: bool) -> &'v mut Value {
    steps(path).into_iter().fold(value, |value, step| match step {
        Step::Key(key) => {
            if value.is_null() && make {
                *value = Value::Mapping(Mapping::new());
            }
            let map = value.as_mapping_mut().unwrap_or_else(|| panic!("`{path}`: `{key}` of what has no keys"));
            assert!(make || map.contains_key(key.as_str()), "`{path}` is not there");
            map.entry(Value::from(key)).or_insert(Value::Null)
        }
        Step::Item(index) => {
            if value.is_null() && make {
                *value = Value::Sequence(Vec::new());
            }
            let list = value.as_sequence_mut().unwrap_or_else(|| panic!("`{path}`: [{index}] of what is no list"));
            if make && index == list.len() {
                list.push(Value::Null);
            }
            list.get_mut(index).unwrap_or_else(|| panic!("`{path}` is not there"))
        }
    })
}

fn remove(value: &mut Value, path: &str) {
    let holder = match path.rfind(['.', '[']) {
        Some(above) => place(value, path.split_at(above).0, false),
        None => value,
    };
    let gone = match (holder, steps(path).pop()) {
        (Value::Mapping(map), Some(Step::Key(key))) => map.shift_remove(key.as_str()).is_some(),
        (Value::Sequence(list), Some(Step::Item(index))) => index + 1 == list.len() && list.pop().is_some(),
        _ => false,
    };
    assert!(gone, "`{path}` cannot be removed: it is not there, or not the last of its list");
}

/// The record that these changes make of `from`. A change that changes nothing is a slip, and refused.
pub(crate) fn applied(from: &Value, changes: &Changes) -> Value {
    let mut record = from.clone();
    for (to, source) in &changes.copied {
        let copy = place(&mut record, source.as_str().unwrap(), false).clone();
        *place(&mut record, to.as_str().unwrap(), true) = copy;
    }
    changes.removed.iter().rev().for_each(|path| remove(&mut record, path));
    for (path, value) in &changes.changed {
        let path = path.as_str().unwrap();
        let before = record.clone();
        place(&mut record, path, true).clone_from(value);
        assert!(record != before, "`{path}` is so already");
    }
    record
}
