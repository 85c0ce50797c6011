//! What may be tried on a list of words: a word put on it or taken off it.
//!
//! Must not know what else may be tried.

use crate::engine::Here;
use crate::engine::remedy::{Act, ActKind, act};
use crate::engine::trace::Trace;
use crate::pack::Condition;
use crate::record::{FactKey, Value};
use crate::units::Truth;

/// A list of words of which each must pass, or one must be there.
pub(super) fn on_words(
    list: FactKey,
    here: &Here<'_>,
    every: bool,
    meets: &Condition,
    parts: &[(Here<'_>, Trace<'_>)],
    aim: bool,
) -> Vec<Vec<Act>> {
    let Some((entity, words)) = listed(list, here) else { return Vec::new() };
    if !every {
        return lacking(list, entity, &words, meets);
    }
    let bad: Vec<&str> = parts
        .iter()
        .filter(|(_, part)| part.truth() != Truth::from(aim))
        .filter_map(|(here, _)| here.item().map(|item| item.word))
        .collect();
    let rest: Vec<Box<str>> = words.iter().filter(|word| !bad.contains(&word.as_ref())).cloned().collect();
    let acts =
        bad.iter().map(|word| act(list, entity, Value::Words(rest.clone()), ActKind::WithoutWord((*word).into())));
    acts.take(1).map(|act| vec![act]).collect()
}

/// The subject whose list it is, and the words on it.
fn listed(list: FactKey, here: &Here<'_>) -> Option<(usize, Vec<Box<str>>)> {
    let (index, entity) = here.entity(list.subject)?;
    match entity.facts.get(list)? {
        Value::Words(words) => Some((index, words.clone())),
        _ => None,
    }
}

/// The words that would satisfy the condition, each put on the list.
fn lacking(list: FactKey, entity: usize, words: &[Box<str>], meets: &Condition) -> Vec<Vec<Act>> {
    let due = match meets {
        Condition::Leaf(leaf) => leaf.test.listed().filter(|(so, _)| *so).map(|(_, values)| values),
        Condition::All(_) | Condition::Any(_) | Condition::Not(_) | Condition::Each(_) | Condition::Some(_) => None,
    };
    due.unwrap_or_default()
        .into_iter()
        .filter_map(|value| match value {
            Value::Text(word) => Some(word.as_ref()),
            _ => None,
        })
        .map(|word| {
            let with: Vec<Box<str>> = words.iter().cloned().chain([Box::from(word)]).collect();
            vec![act(list, entity, Value::Words(with), ActKind::WithWord(word.into()))]
        })
        .collect()
}

/// A list that the record does not have: looked at, and none found; or with the word that is due.
pub(super) fn unlisted_words(list: FactKey, every: bool, meets: &Condition, here: &Here<'_>) -> Vec<Vec<Act>> {
    let Some((entity, _)) = here.entity(list.subject) else { return Vec::new() };
    if every {
        return vec![vec![act(list, entity, Value::Words(Vec::new()), ActKind::Becomes)]];
    }
    lacking(list, entity, &[], meets)
}
