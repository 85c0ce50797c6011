//! What is done to the trees of records on the way to their short form: what is left out, put in order, or written shorter.

use serde_json::Value as Json;
use serde_yaml::{Mapping, Value};

use super::{DAY, ROUND};

/// What a record says, without what two records that are judged alike may differ in: the order of instruments, prices, and
/// the minutes between readings of one round.
pub(super) fn bare(mut record: Json) -> Json {
    for list in ["gauges", "thermometers"] {
        if let Some(Json::Array(items)) = record.get_mut(list) {
            items.sort_by_key(|item| item["mark"].to_string());
        }
    }
    let on_round = |reading: &mut Json| {
        if reading["at"].as_str().is_some_and(|at| ROUND.contains(&at)) {
            reading["at"] = DAY.into();
        }
    };
    if let Some(temperature) = record.get_mut("workspace").and_then(|workspace| workspace.get_mut("temperature")) {
        on_round(temperature);
    }
    for side in
        record.get_mut("components").and_then(Json::as_object_mut).into_iter().flat_map(|sides| sides.values_mut())
    {
        let Some(side) = side.as_object_mut() else { continue };
        side.remove("price");
        side.remove("price_for");
        side.get_mut("core_temperature").map(on_round);
    }
    for assembly in record.get_mut("assemblies").and_then(Json::as_array_mut).into_iter().flatten() {
        let looked = assembly.pointer("/tyre/casing/inspected/at").cloned();
        // Of one look at the bench: on one day, and within the hour or so that it takes.
        let day = |at: &Json| at.as_str().and_then(|at| at.get(..10)).map(str::to_owned);
        let hour = |at: &Json| at.as_str().and_then(|at| at.get(11..13)?.parse::<u32>().ok()).unwrap_or(0);
        if let (Some(looked), Some(at)) = (looked, assembly.pointer_mut("/wheel/inspected/at"))
            && day(&looked) == day(at)
            && hour(&looked).abs_diff(hour(at)) <= 2
        {
            *at = looked;
        }
    }
    without_nothing(record)
}

/// Without keys that say nothing, which are the same as no keys.
pub(super) fn without_nothing(value: Json) -> Json {
    match value {
        Json::Object(map) => {
            let said = map.into_iter().map(|(key, value)| (key, without_nothing(value)));
            let empty = |value: &Json| value.is_null() || value.as_object().is_some_and(serde_json::Map::is_empty);
            Json::Object(said.filter(|(_, value)| !empty(value)).collect())
        }
        Json::Array(items) => Json::Array(items.into_iter().map(without_nothing).collect()),
        other => other,
    }
}

pub(super) fn list_mut<'v>(value: &'v mut Value, key: &str) -> &'v mut [Value] {
    value.get_mut(key).and_then(Value::as_sequence_mut).map_or(&mut [], Vec::as_mut_slice)
}

/// Whether a group is a mark, or has one.
pub(super) fn names_an_entry(group: &Value) -> bool {
    group.is_string() || group.get("mark").is_some()
}

/// What stands at a dotted place, items by their number.
pub(super) fn place<'v>(value: &'v mut Value, path: &str) -> Option<&'v mut Value> {
    path.split('.').try_fold(value, |value, step| match step.parse::<usize>() {
        Ok(index) => value.get_mut(index),
        Err(_) => value.get_mut(step),
    })
}

pub(super) fn without(map: &Mapping, keys: &[&str]) -> Mapping {
    map.iter().filter(|(key, _)| !keys.contains(&key.as_str().unwrap())).map(|(k, v)| (k.clone(), v.clone())).collect()
}

/// A mapping behind the key that names its entry, or the mark alone where nothing else is left.
pub(super) fn named(key: &str, mark: &Value, rest: &Value) -> Value {
    let rest = rest.as_mapping().cloned().unwrap_or_default();
    if rest.is_empty() {
        return mark.clone();
    }
    let first = (Value::from(key), mark.clone());
    Value::Mapping(std::iter::once(first).chain(rest).collect())
}

/// A value without facts that it states; nothing where it states one of them otherwise, or not at all.
pub(super) fn less(value: &Value, facts: &Mapping) -> Option<Value> {
    let mut rest = value.as_mapping()?.clone();
    for (key, fact) in facts {
        let stated = rest.get(key)?;
        match fact.as_mapping().filter(|map| !map.contains_key("reading")) {
            Some(inner) => {
                let left = less(stated, inner)?;
                if left.as_mapping().is_some_and(Mapping::is_empty) {
                    rest.shift_remove(key);
                } else {
                    rest.insert(key.clone(), left);
                }
            }
            None if stated == fact => drop(rest.shift_remove(key)),
            None => return None,
        }
    }
    Some(Value::Mapping(rest))
}

/// Takes out what is at the places of these facts if it is the same; what is left empty goes, too. A fact without a value
/// stands for any.
pub(super) fn forget(value: &mut Value, facts: &Value) {
    let (Some(map), Some(facts)) = (value.as_mapping_mut(), facts.as_mapping()) else { return };
    for (key, fact) in facts {
        let Some(stated) = map.get_mut(key) else { continue };
        if fact.is_mapping() {
            forget(stated, fact);
        }
        if fact.is_null() || stated == fact || stated.as_mapping().is_some_and(Mapping::is_empty) {
            map.shift_remove(key);
        }
    }
}

/// Every text that is an instant of the demo's zone as people write it, on the demo's day without it.
pub(super) fn short_times(value: &Value) -> Value {
    match value {
        Value::String(text) => match text.strip_suffix(":00-06:00").and_then(|text| text.split_once('T')) {
            Some((DAY, time)) => time.into(),
            Some((day, time)) => format!("{day} {time}").into(),
            None => value.clone(),
        },
        Value::Sequence(items) => Value::Sequence(items.iter().map(short_times).collect()),
        Value::Mapping(map) => Value::Mapping(map.iter().map(|(k, v)| (k.clone(), short_times(v))).collect()),
        other => other.clone(),
    }
}

/// The times of an entry of the shop file as a long record has them.
pub(super) fn long_times(facts: &Mapping) -> Mapping {
    fn long(value: &Value) -> Value {
        match value {
            Value::String(text) => match text.split_once(' ') {
                Some((day, time)) if day.len() == 10 && time.len() == 5 && time.contains(':') => {
                    format!("{day}T{time}:00-06:00").into()
                }
                _ => value.clone(),
            },
            Value::Mapping(map) => Value::Mapping(map.iter().map(|(k, v)| (k.clone(), long(v))).collect()),
            other => other.clone(),
        }
    }
    facts.iter().map(|(key, value)| (key.clone(), long(value))).collect()
}

/// The head first: what file it is, the day and the place.
pub(super) fn in_order(short: Value) -> Value {
    let Value::Mapping(map) = short else { return short };
    let head = ["record", "day", "place", "job", "planned_start", "read"];
    let first = head.iter().filter_map(|key| Some((Value::from(*key), map.get(key)?.clone())));
    let rest = without(&map, &head);
    Value::Mapping(first.chain(rest).collect())
}

/// The record with every row of its logs on one line.
pub(super) fn with_rows(short: &Value) -> Value {
    let mut made = short.clone();
    for assembly in list_mut(&mut made, "assemblies") {
        let Some(stretch) = assembly.get_mut("pre_stretch") else { continue };
        for row in list_mut(stretch, "log") {
            let of = |key: &str| row.get(key).and_then(Value::as_str);
            let Some(values) = ["at", "pressure", "air"].map(of).into_iter().collect::<Option<Vec<_>>>() else {
                continue;
            };
            let lowest = of("lowest_air").map(|lowest| format!(" lowest_air {lowest}")).unwrap_or_default();
            *row = format!("{}{lowest}", values.join(" ")).into();
        }
    }
    made
}
