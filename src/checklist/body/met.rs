//! Rules that are met, as they stand in a signed file: gathered under the fact that met them, each by its title.
//!
//! Keys of a signed file are ASCII, and a fact's value is the record's own text; so each gathering is a list that begins
//! with fact and value. This module must not know findings or signatures.

use std::fmt;

use serde::de::{SeqAccess, Visitor};
use serde::ser::SerializeSeq as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Between the title of a rule and the places of the subjects that met it, where other subjects did not.
const OF: &str = " @ ";

/// A fact with its values, and the rules that it met: in a file `[FACT VALUE, RULE...]`, where a rule is
/// `[TITLE, ASKED, LINE...]`, or its title alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seen {
    /// `FACT VALUE`; a computed figure stands without its value, which the list of figures gives.
    pub fact: String,
    /// Of each rule its title as [`named`] gives it; then what was asked of the fact, and a whole line for each further
    /// one. Nothing follows the title where the rule spells out in its own words what it asks.
    pub rules: Vec<Vec<String>>,
}

/// A rule that is met, with all of its lines.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct MetPart {
    /// The name by which it stands in the file.
    pub name: String,
    /// What met it, a line for each fact.
    pub shown: Vec<String>,
}

impl MetPart {
    /// The rule, and the places of the subjects that met it where it is not met for all.
    pub fn parts(&self) -> (&str, Option<&str>) {
        match self.name.rsplit_once(OF) {
            Some((rule, places)) => (rule, Some(places)),
            None => (&self.name, None),
        }
    }
}

/// The name of a rule among those that are met: its title, behind the name of its pack where that is not the first, and
/// before the places of its subjects where others did not meet it.
pub fn named(pack: Option<&str>, title: &str, places: &[String]) -> String {
    let pack = pack.map(|pack| format!("{pack}: ")).unwrap_or_default();
    let places = if places.is_empty() { String::new() } else { format!("{OF}{}", places.join(" ")) };
    format!("{pack}{title}{places}")
}

/// The rules of a file one by one, by their names. A name that stands twice is there twice.
pub fn each(met: &[Seen]) -> Vec<MetPart> {
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

/// Gathers rules under the first fact that met them; each comes with its facts and what was asked of them. Everything is in
/// the order of its text, so that a pack may be given in any order of its files.
pub(super) fn gathered(rules: Vec<(String, Vec<(String, String)>)>) -> Vec<Seen> {
    let mut met: Vec<Seen> = Vec::new();
    for (name, lines) in rules {
        let mut lines = lines.into_iter();
        let (fact, first) = lines.next().unwrap_or_default();
        let more: Vec<String> = lines.map(|(fact, asked)| line(&fact, &asked)).collect();
        let asked = if first.is_empty() && more.is_empty() { Vec::new() } else { [vec![first], more].concat() };
        let rule = [vec![name], asked].concat();
        match met.iter_mut().find(|seen| seen.fact == fact) {
            Some(seen) => seen.rules.push(rule),
            None => met.push(Seen { fact, rules: vec![rule] }),
        }
    }
    met.sort_by(|one, other| one.fact.cmp(&other.fact));
    for seen in &mut met {
        seen.rules.sort();
    }
    met
}

fn line(fact: &str, asked: &str) -> String {
    if asked.is_empty() { fact.to_owned() } else { format!("{fact} {asked}") }
}

impl Serialize for Seen {
    fn serialize<S: Serializer>(&self, into: S) -> Result<S::Ok, S::Error> {
        let mut list = into.serialize_seq(Some(1 + self.rules.len()))?;
        list.serialize_element(&self.fact)?;
        for rule in &self.rules {
            match rule.as_slice() {
                [title] => list.serialize_element(title)?,
                rule => list.serialize_element(rule)?,
            }
        }
        list.end()
    }
}

impl<'de> Deserialize<'de> for Seen {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        /// A rule as a file writes it: its title, with a list around it only where more is said.
        #[derive(Deserialize)]
        #[serde(untagged)]
        enum Rule {
            Title(String),
            Asked(Vec<String>),
        }
        struct List;
        impl<'de> Visitor<'de> for List {
            type Value = Seen;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a list of a fact with its value and the rules that it met")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Seen, A::Error> {
                let none = || serde::de::Error::invalid_length(0, &self);
                let fact = list.next_element()?.ok_or_else(none)?;
                let mut rules = Vec::new();
                while let Some(rule) = list.next_element()? {
                    rules.push(match rule {
                        Rule::Title(title) => vec![title],
                        Rule::Asked(rule) if rule.len() > 1 => rule,
                        Rule::Asked(_) => return Err(none()),
                    });
                }
                Ok(Seen { fact, rules })
            }
        }
        from.deserialize_seq(List)
    }
}
