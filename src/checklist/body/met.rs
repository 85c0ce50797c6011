//! Rules that are met, as they stand in a signed file.
//!
//! Where the comparisons of a rule say by themselves what was looked for, they stand as they are: values that are recorded,
//! are what is asked for and lie within their bounds, by what they are values of ([`Values`]). Any other rule stands by
//! its name and title under the fact that met it ([`SeenFact`]).
//!
//! Keys of a signed file are ASCII, and a fact's value is the record's own text; so each gathering is a list that begins
//! with fact and value. This module must not know findings or signatures.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use serde::de::{Error as _, SeqAccess, Visitor};
use serde::ser::SerializeSeq as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::joined;
use crate::checklist::evidence::{AskedText, MetLine, as_text, asks};

/// Between the title of a rule and the places of the subjects that met it, where other subjects did not.
const OF: &str = " @ ";
/// Between the name of a rule and its title.
const BEHIND: &str = ": ";

/// A fact with its values, and the rules that it met: in a file `[FACT VALUE, RULE...]`, where a rule is
/// `[NAME, ASKED, LINE...]`, without ASKED where nothing was asked of the fact, or its name alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeenFact {
    /// `FACT VALUE`; a computed figure stands without its value, which the list of figures gives.
    pub fact: String,
    /// Of each rule its name as [`MetName`] writes it; then what was asked of the fact, and a whole line for each further
    /// one. Nothing follows the name where the rule spells out in its own words what it asks.
    pub rules: Vec<Vec<String>>,
}

/// Values that are recorded and lie within their bounds, by the word of what the rules that asked speak of: the job, each
/// assembly, each component. Each is a line: a fact with its values and everything that was asked of it; alone where it was
/// enough that it is recorded.
pub type Values = BTreeMap<String, Vec<String>>;

/// A text with what is said behind it, as a file writes it: in a list only where anything is said.
#[derive(Debug)]
struct Listed(Vec<String>);

impl Serialize for Listed {
    fn serialize<S: Serializer>(&self, into: S) -> Result<S::Ok, S::Error> {
        match self.0.as_slice() {
            [text] => text.serialize(into),
            list => list.serialize(into),
        }
    }
}

impl<'de> Deserialize<'de> for Listed {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Either;
        impl<'de> Visitor<'de> for Either {
            type Value = Listed;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text, or a list of a text and what is said behind it")
            }

            fn visit_str<E>(self, text: &str) -> Result<Listed, E> {
                Ok(Listed(vec![text.to_owned()]))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Listed, A::Error> {
                let mut parts = Vec::with_capacity(4);
                while let Some(part) = list.next_element()? {
                    parts.push(part);
                }
                // A text alone has another form.
                if parts.len() > 1 { Ok(Listed(parts)) } else { Err(A::Error::invalid_length(parts.len(), &self)) }
            }
        }
        from.deserialize_any(Either)
    }
}

/// What met a rule, or is recorded and within its bounds, with all of its lines.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct MetPart {
    /// The name by which it stands in the file; of values the word of their subject and the fact.
    pub name: String,
    /// What met it, a line for each fact.
    pub shown: Vec<String>,
}

/// The name of a rule among those that are met: by which it is found in its pack, behind the name of the pack where that is
/// not the first; then its title, for people, and the places of its subjects where others did not meet it. A title that
/// could be read as going on stands in single quotes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MetName {
    /// The pack, where it is not the first.
    pub pack: Option<String>,
    /// The rule's name in its pack.
    pub rule: String,
    /// The rule's title.
    pub title: String,
    /// The places of the subjects that met it, where others did not.
    pub of: Vec<String>,
}

impl MetName {
    /// Reads a name; `None` where the text is not written as a name would be.
    pub fn read(text: &str) -> Option<Self> {
        let (code, rest) = text.split_once(BEHIND)?;
        let (pack, rule) = code.split_once('/').map_or((None, code), |(pack, rule)| (Some(pack.to_owned()), rule));
        let (title, places) = if let Some(inner) = rest.strip_prefix('\'') {
            // The quote that closes it is the first one that does not stand twice.
            let twos = |place: usize| inner.get(place..).is_some_and(|rest| rest.starts_with("''"));
            let mut end = inner.find('\'')?;
            while twos(end) {
                end = end + 2 + inner.get(end + 2..)?.find('\'')?;
            }
            (inner.get(..end)?.replace("''", "'"), inner.get(end + 1..)?)
        } else {
            let end = rest.find(OF).unwrap_or(rest.len());
            (rest.get(..end)?.to_owned(), rest.get(end..)?)
        };
        let of = places.strip_prefix(OF).into_iter().flat_map(|places| places.split(' ')).map(str::to_owned).collect();
        let name = Self { pack, rule: rule.to_owned(), title, of };
        let is_place = |place: &String| !place.is_empty();
        (!rule.is_empty() && name.of.iter().all(is_place) && name.to_string() == text).then_some(name)
    }
}

impl fmt::Display for MetName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { pack, rule, title, of } = self;
        if let Some(pack) = pack {
            write!(f, "{pack}/")?;
        }
        write!(f, "{rule}{BEHIND}")?;
        let is_plain = !title.starts_with('\'') && !title.contains(OF.trim_end());
        if is_plain { f.write_str(title) } else { f.write_str(&as_text(title)) }?;
        if of.is_empty() { Ok(()) } else { write!(f, "{OF}{}", of.join(" ")) }
    }
}

/// The rules of a file one by one, by their names. A name that stands twice is there twice.
pub fn each(met: &[SeenFact]) -> Vec<MetPart> {
    let one = |fact: &str, rule: &[String]| {
        let (name, asked) = rule.split_first().map_or((String::new(), rule), |(name, asked)| (name.clone(), asked));
        let (first, more) = asked.split_first().map_or(("", asked), |(first, more)| (first.as_str(), more));
        let whole = std::iter::once(line(fact, first)).chain(more.iter().cloned());
        MetPart { name, shown: whole.filter(|line| !line.is_empty()).collect() }
    };
    let rules = met.iter().flat_map(|seen| seen.rules.iter().map(|rule| one(&seen.fact, rule)));
    let mut found: Vec<MetPart> = rules.collect();
    found.sort();
    found
}

/// The values of a file one by one, in its order.
pub fn each_value(values: &Values) -> Vec<MetPart> {
    let one = |of: &str, line: &String| {
        let fact = line.split(' ').next().unwrap_or_default();
        MetPart { name: format!("{of} {fact}"), shown: vec![line.clone()] }
    };
    values.iter().flat_map(|(of, lines)| lines.iter().map(move |line| one(of, line))).collect()
}

/// Gathers values under their facts. Everything is in the order of its words, whatever the numbers are and in whatever order
/// of its files a pack is given.
pub(super) fn gathered_values(found: Vec<(&str, Vec<MetLine>)>) -> Values {
    let mut values: BTreeMap<&str, BTreeMap<String, WithinBounds>> = BTreeMap::new();
    for (of, lines) in found {
        let rows = values.entry(of).or_default();
        for MetLine { fact, seen, asked, is_that } in lines {
            let row = rows.entry(seen).or_default();
            row.fact = fact;
            if is_that {
                row.is_that = Some(asked);
            } else if !asked.text.is_empty() {
                row.bounds.insert(asked);
            }
        }
    }
    let within = |(seen, WithinBounds { fact, is_that, bounds }): (String, WithinBounds)| {
        // What must be one thing, and is, says it once: `FACT is VALUE`.
        let seen = if is_that.is_some() { fact } else { seen };
        let asked = is_that.into_iter().chain(bounds);
        asked.fold(seen, |said, asked| line(&said, &asked.text))
    };
    let sorted = |rows: BTreeMap<String, WithinBounds>| {
        let mut lines: Vec<String> = rows.into_iter().map(within).collect();
        lines.sort();
        lines
    };
    values.into_iter().map(|(of, rows)| (of.to_owned(), sorted(rows))).collect()
}

/// What was asked of a fact with its values.
#[derive(Debug, Default)]
struct WithinBounds {
    fact: String,
    /// That it is the one thing that it must be.
    is_that: Option<AskedText>,
    /// Everything else, in its order.
    bounds: BTreeSet<AskedText>,
}

/// Gathers rules under the first fact that met them; each comes with its facts and what was asked of them. Everything is in
/// the order of its text, so that a pack may be given in any order of its files.
pub(super) fn gathered(rules: Vec<(String, Vec<MetLine>)>) -> Vec<SeenFact> {
    let mut met: BTreeMap<String, Vec<Vec<String>>> = BTreeMap::new();
    for (name, lines) in rules {
        let mut lines = lines.into_iter();
        let MetLine { seen, asked: first, .. } = lines.next().unwrap_or_default();
        let mut rule = vec![name];
        if !first.text.is_empty() || lines.len() > 0 {
            rule.push(first.text);
        }
        rule.extend(lines.map(|met| line(&met.seen, &met.asked.text)));
        met.entry(seen).or_default().push(rule);
    }
    let sorted = |(fact, mut rules): (String, Vec<Vec<String>>)| {
        rules.sort();
        SeenFact { fact, rules }
    };
    met.into_iter().map(sorted).collect()
}

/// A fact, and what was asked of it.
pub(super) fn line(fact: &str, asked: &str) -> String {
    // Joined at once, without the machinery of formats: a file has hundreds of lines.
    if asked.is_empty() { fact.to_owned() } else { [fact, " ", asked].concat() }
}

impl Serialize for SeenFact {
    fn serialize<S: Serializer>(&self, into: S) -> Result<S::Ok, S::Error> {
        let mut list = into.serialize_seq(None)?;
        list.serialize_element(&self.fact)?;
        for rule in &self.rules {
            let (head, more) = rule.split_at(rule.len().min(2));
            let said = head.iter().filter(|text| !text.is_empty()).cloned();
            list.serialize_element(&Listed(said.chain(joined::beside(more)).collect()))?;
        }
        list.end()
    }
}

impl<'de> Deserialize<'de> for SeenFact {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct List;
        impl<'de> Visitor<'de> for List {
            type Value = SeenFact;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a list of a fact with its value and the rules that it met")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<SeenFact, A::Error> {
                let none = || serde::de::Error::invalid_length(0, &self);
                let fact = list.next_element()?.ok_or_else(none)?;
                let mut rules = Vec::new();
                while let Some(Listed(rule)) = list.next_element()? {
                    let mut parts = rule.into_iter().peekable();
                    let mut rule: Vec<String> = parts.next().into_iter().collect();
                    if let Some(asked) = parts.peek() {
                        let asks = asks(asked);
                        rule.push(if asks { parts.next().unwrap_or_default() } else { String::new() });
                    }
                    let more: Vec<String> = parts.collect();
                    rule.extend(joined::read_beside(&more)?);
                    rules.push(rule);
                }
                Ok(SeenFact { fact, rules })
            }
        }
        from.deserialize_seq(List)
    }
}
