//! Lines of several facts of which the same is said, as a file writes them: `FACT, FACT SAID` in place of `FACT SAID` for
//! each.
//!
//! Everywhere else in the program each fact has a line of its own. This module must not know what lines say.

use std::collections::BTreeMap;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Lines by what they are values of.
type ValueLines = BTreeMap<String, Vec<String>>;

/// Between facts of which the same is said.
const BESIDE: &str = ", ";

/// A line in the making: its facts, and what is said of all of them.
type SharedLine<'l> = (Vec<&'l str>, Option<&'l str>);

/// The fact of a line, and what is said of it.
fn parts(line: &str) -> (&str, Option<&str>) {
    line.split_once(' ').map_or((line, None), |(fact, said)| (fact, Some(said)))
}

/// The text of a line. The room is made at once: a file has hundreds of lines.
fn written(facts: &[&str], said: Option<&str>) -> String {
    let of_facts = facts.iter().map(|fact| fact.len() + BESIDE.len()).sum::<usize>();
    let mut line = String::with_capacity(of_facts + said.map_or(0, |said| said.len() + 1));
    for (place, fact) in facts.iter().enumerate() {
        line.push_str(if place == 0 { "" } else { BESIDE });
        line.push_str(fact);
    }
    for part in said.into_iter().flat_map(|said| [" ", said]) {
        line.push_str(part);
    }
    line
}

/// Whether a text is that of a line.
fn is_written((facts, said): &SharedLine<'_>, text: &str) -> bool {
    let mut rest = Some(text);
    let mut strip = |part: &str| rest = rest.and_then(|rest| rest.strip_prefix(part));
    for (place, fact) in facts.iter().enumerate() {
        strip(if place == 0 { "" } else { BESIDE });
        strip(fact);
    }
    for part in said.iter().flat_map(|said| [" ", *said]) {
        strip(part);
    }
    rest == Some("")
}

/// Whether texts are those of lines, in their order.
fn are_written(made: &[SharedLine<'_>], texts: &[String]) -> bool {
    made.len() == texts.len() && made.iter().zip(texts).all(|(line, text)| is_written(line, text))
}

/// The texts of lines.
fn texts(made: &[SharedLine<'_>]) -> Vec<String> {
    made.iter().map(|(facts, said)| written(facts, *said)).collect()
}

/// Joins lines that stand beside one another, so that their order stays.
pub(super) fn beside(lines: &[String]) -> Vec<String> {
    texts(&joined_beside(lines))
}

fn joined_beside(lines: &[String]) -> Vec<SharedLine<'_>> {
    joined(lines, |made| made.len().saturating_sub(1))
}

/// Joins lines wherever they stand; the joined one stands in place of the first. Lines are in the order of their texts.
fn anywhere(lines: &[String]) -> Vec<SharedLine<'_>> {
    joined(lines, |_| 0)
}

/// Joins each line to the first one made, from a place on, of which the same is said.
fn joined(lines: &[String], from: impl Fn(&[SharedLine<'_>]) -> usize) -> Vec<SharedLine<'_>> {
    let mut made: Vec<SharedLine<'_>> = Vec::with_capacity(lines.len());
    for (fact, said) in lines.iter().map(|line| parts(line)) {
        let reach = from(&made);
        match made.iter_mut().skip(reach).find(|(_, other)| said.is_some() && *other == said) {
            Some((facts, _)) => facts.push(fact),
            None => made.push((vec![fact], said)),
        }
    }
    made
}

/// The lines of a joined one.
pub(super) fn each(line: &str) -> Vec<String> {
    let mut facts = Vec::new();
    let mut rest = line;
    while let Some((fact, more)) = rest.split_once(BESIDE).filter(|(fact, _)| !fact.contains(' ')) {
        facts.push(fact);
        rest = more;
    }
    let (last, said) = parts(rest);
    facts.push(last);
    facts.into_iter().map(|fact| written(&[fact], said)).collect()
}

/// Lines of a file one by one, of those that were joined where they stood beside one another; an error where they are not
/// joined as they would be.
pub(super) fn read_beside<E: serde::de::Error>(lines: &[String]) -> Result<Vec<String>, E> {
    let found: Vec<String> = lines.iter().flat_map(|line| each(line)).collect();
    if are_written(&joined_beside(&found), lines) {
        Ok(found)
    } else {
        Err(E::custom("in `ruled_out`, facts of which the same is said stand apart"))
    }
}

/// Writes values.
pub(super) fn serialize<S: Serializer>(values: &ValueLines, into: S) -> Result<S::Ok, S::Error> {
    let joined: BTreeMap<&str, Vec<String>> =
        values.iter().map(|(of, lines)| (of.as_str(), texts(&anywhere(lines)))).collect();
    joined.serialize(into)
}

/// Reads values: in the order of their texts, and joined wherever that can be.
pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<ValueLines, D::Error> {
    let mut values = ValueLines::deserialize(from)?;
    for lines in values.values_mut() {
        let mut found: Vec<String> = lines.iter().flat_map(|line| each(line)).collect();
        found.sort();
        if !are_written(&anywhere(&found), lines) {
            return Err(D::Error::custom("in `values`, facts of which the same is said stand apart"));
        }
        *lines = found;
    }
    Ok(values)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(texts: &[&str]) -> Vec<String> {
        texts.iter().map(|text| (*text).to_owned()).collect()
    }

    #[test]
    fn what_is_joined_comes_apart_again() {
        let values =
            lines(&["a is true", "b 'x, y'", "c is true", "d", "e", "f ['x', 'y']", "g['z'] is true", "h 'x, y'"]);
        let joined = super::texts(&anywhere(&values));
        assert_eq!(joined, ["a, c, g['z'] is true", "b, h 'x, y'", "d", "e", "f ['x', 'y']"]);
        let mut apart: Vec<String> = joined.iter().flat_map(|line| each(line)).collect();
        apart.sort();
        assert_eq!(apart, values);
        let shown = lines(&[".x null", ".y null", ".z true", ".a null", ".b", ".c"]);
        let joined = beside(&shown);
        assert_eq!(joined, [".x, .y null", ".z true", ".a null", ".b", ".c"]);
        assert_eq!(read_beside::<serde_json::Error>(&joined).unwrap(), shown);
    }

    /// What is signed has one form only.
    #[test]
    fn what_is_joined_otherwise_is_refused() {
        for odd in [&["a true", "b true"][..], &["b, a true"], &["b true", "a false"], &["a, b"]] {
            let values = ValueLines::from([("job".to_owned(), lines(odd))]);
            let text = serde_json::to_string(&values).unwrap();
            assert!(deserialize(&mut serde_json::Deserializer::from_str(&text)).is_err(), "{odd:?}");
        }
        assert!(read_beside::<serde_json::Error>(&lines(&["a true", "b true"])).is_err());
    }
}
