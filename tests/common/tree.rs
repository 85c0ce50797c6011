//! Records as trees of plain values, for tests that change them in every place.

use fillward::vocabulary::Subject;
use serde_yaml::Value;

/// One step into a value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Step {
    Key(String),
    Item(usize),
}

/// The paths of every mapping entry and list item.
pub(crate) fn paths(value: &Value, above: &[Step], found: &mut Vec<Vec<Step>>) {
    let mut visit = |step: Step, inner: &Value| {
        let path = [above, &[step]].concat();
        found.push(path.clone());
        paths(inner, &path, found);
    };
    match value {
        Value::Mapping(map) => {
            map.iter().for_each(|(key, inner)| visit(Step::Key(key.as_str().unwrap().to_owned()), inner));
        }
        Value::Sequence(items) => items.iter().enumerate().for_each(|(index, inner)| visit(Step::Item(index), inner)),
        _ => {}
    }
}

pub(crate) fn without(value: &Value, path: &[Step]) -> Value {
    let (first, rest) = path.split_first().unwrap();
    let mut value = value.clone();
    match (&mut value, first) {
        (Value::Mapping(map), Step::Key(key)) if rest.is_empty() => {
            map.remove(key.as_str()).unwrap();
        }
        (Value::Sequence(items), Step::Item(index)) if rest.is_empty() => {
            items.remove(*index);
        }
        (value, Step::Key(key)) => value[key.as_str()] = without(&value[key.as_str()], rest),
        (value, Step::Item(index)) => value[*index] = without(&value[*index], rest),
    }
    value
}

/// The name of a path as rules write it: `assembly.tyre.size`; `[]` for an item of a list.
pub(crate) fn name(path: &[Step]) -> String {
    let subject = |key: &str| Subject::ALL.into_iter().find(|subject| subject.record_key() == Some(key));
    let (head, rest) = match path {
        [Step::Key(list), _, rest @ ..] if subject(list).is_some() => (subject(list).unwrap().word().to_owned(), rest),
        [Step::Key(key), rest @ ..] => (key.clone(), rest),
        _ => (String::new(), path),
    };
    rest.iter().fold(head, |name, step| match step {
        Step::Key(key) => format!("{name}.{key}"),
        Step::Item(_) => format!("{name}[]"),
    })
}

/// The value at a path.
pub(crate) fn at<'v>(value: &'v Value, path: &[Step]) -> Option<&'v Value> {
    path.iter().try_fold(value, |value, step| match step {
        Step::Key(key) => value.get(key.as_str()),
        Step::Item(index) => value.get(*index),
    })
}

/// The tree with a value at a path, whose groups are made where they are missing.
pub(crate) fn put(tree: &Value, path: &[Step], new: &Value) -> Value {
    let Some((first, rest)) = path.split_first() else { return new.clone() };
    match first {
        Step::Key(key) => {
            let mut map = tree.as_mapping().cloned().unwrap_or_default();
            let inner = put(map.get(key.as_str()).unwrap_or(&Value::Null), rest, new);
            map.insert(Value::String(key.clone()), inner);
            Value::Mapping(map)
        }
        Step::Item(item) => {
            let mut tree = tree.clone();
            tree[*item] = put(&tree[*item], rest, new);
            tree
        }
    }
}

/// The tree with another value at a path that it has.
pub(crate) fn with(value: &Value, path: &[Step], new: Value) -> Value {
    let Some((first, rest)) = path.split_first() else { return new };
    let mut value = value.clone();
    match first {
        Step::Key(key) => value[key.as_str()] = with(&value[key.as_str()], rest, new),
        Step::Item(index) => value[*index] = with(&value[*index], rest, new),
    }
    value
}
