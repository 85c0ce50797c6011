//! Changes of one thing in a record, drawn at random: what somebody leaves out, mistypes, dates otherwise, finds
//! otherwise, adds.

use fillward::record::{FactKey, FactKind};
use fillward::units::{Day, Exact, Instant};
use fillward::vocabulary::Subject;
use proptest::prelude::*;
use proptest::sample::Index;
use serde_yaml::Value;

use super::jobs::PACKS;
use crate::common::tree::{Step, at, name, paths, put, with, without};

/// A change of one thing.
#[derive(Debug, Clone)]
pub(super) enum Change {
    /// Taken out of the record.
    Out,
    /// A number multiplied by thousandths; anything else is taken out.
    Scaled(u32),
    /// A flag turned round; anything else is left as it is.
    Turned,
    /// An instant or a day moved by minutes, a day by one at least.
    Moved(i64),
    /// A word of a choice made another one of the list, or added to what was found.
    Worded(Index),
    /// A fact of the catalogue that the record leaves open, stated as its example has it.
    Stated(Index),
    /// An entry of a list written once more, under a mark of its own, an hour later.
    Again,
}

/// Any change.
pub(super) fn change() -> impl Strategy<Value = Change> {
    const HOUR: i64 = 60;
    const DAY: i64 = 24 * HOUR;
    let moves = vec![-800 * DAY, -40 * DAY, -DAY, -HOUR, -10, 10, HOUR, DAY, 40 * DAY, 800 * DAY];
    prop_oneof![
        2 => Just(Change::Out),
        6 => prop::sample::select(vec![100, 500, 900, 970, 995, 1_005, 1_030, 1_100, 1_500, 3_000]).prop_map(Change::Scaled),
        2 => Just(Change::Turned),
        4 => prop::sample::select(moves).prop_map(Change::Moved),
        3 => any::<Index>().prop_map(Change::Worded),
        3 => any::<Index>().prop_map(Change::Stated),
        1 => Just(Change::Again),
    ]
}

impl Change {
    /// The tree with this change at one of the places that it suits; as it is where there is none.
    pub(super) fn made(&self, tree: &Value, place: Index) -> Value {
        if let Self::Stated(fact) = self {
            return stated(tree, place, *fact).unwrap_or_else(|| tree.clone());
        }
        let mut suited = Vec::new();
        paths(tree, &[], &mut suited);
        suited.retain(|path| at(tree, path).is_some_and(|value| self.suits(path, value)));
        if suited.is_empty() {
            return tree.clone();
        }
        let path: &Vec<Step> = place.get(&suited);
        changed(tree, path, self)
    }

    fn suits(&self, path: &[Step], value: &Value) -> bool {
        match self {
            Self::Moved(minutes) => moved(value, *minutes).is_some(),
            Self::Worded(_) => words(path).is_some(),
            Self::Again => matches!(value, Value::Sequence(items) if items.last().is_some_and(Value::is_mapping)),
            _ => !matches!(value, Value::Mapping(_) | Value::Sequence(_)),
        }
    }
}

/// The tree with a change at a place that it has.
pub(super) fn changed(tree: &Value, path: &[Step], change: &Change) -> Value {
    let value = at(tree, path).unwrap();
    let new = match change {
        Change::Out => None,
        Change::Scaled(thousandths) => scaled(value, *thousandths),
        Change::Turned => Some(value.as_bool().map_or_else(|| value.clone(), |flag| Value::Bool(!flag))),
        Change::Moved(minutes) => moved(value, *minutes),
        Change::Worded(word) => words(path).map(|(words, is_list)| {
            let word = Value::String(word.get(&words).clone());
            if is_list { [value.as_sequence().cloned().unwrap_or_default(), vec![word]].concat().into() } else { word }
        }),
        Change::Again => Some(again(value)),
        Change::Stated(_) => Some(value.clone()),
    };
    new.map_or_else(|| without(tree, path), |new| with(tree, path, new))
}

/// A number, with or without a unit, times thousandths, in four decimals.
pub(super) fn scaled(value: &Value, thousandths: u32) -> Option<Value> {
    let (number, unit) = match value {
        Value::Number(number) => (number.as_f64()?, ""),
        Value::String(text) => text.split_once(' ').and_then(|(number, unit)| Some((number.parse().ok()?, unit)))?,
        _ => return None,
    };
    let number = (number * f64::from(thousandths) * 10.0).round() / 10_000.0;
    Some(match unit {
        "" if number.fract() == 0.0 => serde_yaml::from_str(&format!("{number:.0}")).unwrap(),
        "" => serde_yaml::from_str(&format!("{number}")).unwrap(),
        unit => Value::String(format!("{number} {unit}")),
    })
}

/// An instant or a day, moved.
fn moved(value: &Value, minutes: i64) -> Option<Value> {
    let text = value.as_str()?;
    if let Ok(day) = Day::parse(text) {
        let days = if minutes.abs() < 1_440 { minutes.signum() } else { minutes / 1_440 };
        return day.checked_add_days(days).map(|day| day.to_record_text().into());
    }
    let instant = Instant::parse(text).ok()?;
    instant.checked_add_seconds(Exact::from_int(minutes * 60)).map(|instant| instant.to_record_text().into())
}

/// The words that a place takes, and whether it takes several.
fn words(path: &[Step]) -> Option<(Vec<String>, bool)> {
    let name = name(path);
    let catalogue = PACKS.catalogue();
    let key = catalogue.keys().find(|key| catalogue.full_name(*key) == name)?;
    let owned = |words: &[std::borrow::Cow<'static, str>]| words.iter().map(ToString::to_string).collect();
    match &catalogue.spec(key)?.kind {
        FactKind::Choice(words) => Some((owned(words), false)),
        FactKind::Choices(words) => Some((owned(words), true)),
        _ => None,
    }
}

/// A list with its last entry once more.
fn again(list: &Value) -> Value {
    let mut items = list.as_sequence().cloned().unwrap_or_default();
    let mut entry = items.last().cloned().unwrap_or_default();
    for key in ["mark", "name"] {
        if let Some(Value::String(text)) = entry.get_mut(key) {
            text.push_str(" too");
        }
    }
    if let Some(later) = entry.get("at").and_then(|at| moved(at, 60)) {
        entry["at"] = later;
    }
    items.push(entry);
    Value::Sequence(items)
}

/// The tree with a fact that it leaves open, of one of those whom the fact is about.
fn stated(tree: &Value, place: Index, fact: Index) -> Option<Value> {
    let catalogue = PACKS.catalogue();
    let path = |key: FactKey| {
        let parts = catalogue.spec(key).unwrap().name.split('.').map(|part| Step::Key(part.to_owned()));
        Some([subject(tree, key.subject, place)?, parts.collect()].concat())
    };
    let open: Vec<(FactKey, Vec<Step>)> = catalogue
        .keys()
        .filter_map(|key| Some((key, path(key)?)))
        .filter(|(_, path)| at(tree, path).is_none())
        .collect();
    let (key, path) = open.get(fact.index(open.len().max(1)))?;
    let example = serde_yaml::from_str(&catalogue.spec(*key).unwrap().example).unwrap();
    Some(put(tree, path, &example))
}

/// Where the facts of one of these subjects stand in a record; nothing where it lists none.
fn subject(tree: &Value, subject: Subject, place: Index) -> Option<Vec<Step>> {
    let Some(list) = subject.record_key() else { return Some(Vec::new()) };
    let head = Step::Key(list.to_owned());
    match tree.get(list)? {
        Value::Sequence(items) if !items.is_empty() => Some(vec![head, Step::Item(place.index(items.len()))]),
        Value::Mapping(sides) if !sides.is_empty() => {
            let side = sides.keys().nth(place.index(sides.len()))?.as_str()?;
            Some(vec![head, Step::Key(side.to_owned())])
        }
        _ => None,
    }
}
