//! Rules that are broken or not shown, as they stand in a signed file: gathered by what was shown, since one thing that is
//! missing leaves many rules open, and by rule, since what is wrong with one tyre is often wrong with the next.
//!
//! What would say nothing is left out, and refused where it stands all the same. There is one way to gather:
//! [`gathered_faults`]. This module must not know a judgement or signatures.

use std::collections::BTreeMap;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};

use crate::checklist::evidence::EvidenceLines;
use crate::checklist::reason::SubjectName;
use crate::vocabulary::Outcome;

/// Rules that are broken or not shown, with the same outcome, of the same subjects.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(into = "WrittenGroup", try_from = "WrittenGroup")]
pub struct FaultGroup {
    /// Whether they are advice alone.
    pub advice: bool,
    /// What each subject shows, by its place in the record; that of the job as a whole is empty.
    pub of: BTreeMap<String, FaultCase>,
    /// Broken, or not shown.
    pub outcome: Outcome,
    /// Whether permits set them aside.
    pub permitted: bool,
    /// The titles of the rules, by `pack/rule`.
    pub rules: BTreeMap<String, String>,
}

/// What one subject shows for all rules of a group.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct FaultCase {
    /// What makes the rules apply, or leaves open whether they do.
    pub applies: Vec<String>,
    /// The name that the record gives the subject.
    pub mark: Option<String>,
    /// What breaks the demand, or leaves it open.
    pub shown: Vec<String>,
}

/// A group as a file writes it: what several subjects show alike stands once, beside them.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenGroup {
    /// Left out where they hold the job.
    #[serde(default, deserialize_with = "said", skip_serializing_if = "is_not")]
    advice: bool,
    of: BTreeMap<String, WrittenCase>,
    outcome: Outcome,
    /// Left out where no permit sets them aside.
    #[serde(default, deserialize_with = "said", skip_serializing_if = "is_not")]
    permitted: bool,
    rules: BTreeMap<String, String>,
    /// Left out where one subject alone shows it, or each shows something else.
    #[serde(default, deserialize_with = "listed", skip_serializing_if = "Option::is_none")]
    shown: Option<Vec<String>>,
}

/// A case as a file writes it.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenCase {
    /// Left out where the rules always apply.
    #[serde(default, deserialize_with = "filled_in", skip_serializing_if = "Vec::is_empty")]
    applies: Vec<String>,
    /// Left out for the job, and where the record gives no name.
    #[serde(default, deserialize_with = "given", skip_serializing_if = "Option::is_none")]
    mark: Option<String>,
    /// Left out where it stands beside the cases.
    #[serde(default, deserialize_with = "listed", skip_serializing_if = "Option::is_none")]
    shown: Option<Vec<String>>,
}

impl From<FaultGroup> for WrittenGroup {
    fn from(group: FaultGroup) -> Self {
        let alike = group.shown_alike().map(<[String]>::to_vec);
        let case = |(place, FaultCase { applies, mark, shown }): (String, FaultCase)| {
            (place, WrittenCase { applies, mark, shown: alike.is_none().then_some(shown) })
        };
        let FaultGroup { advice, of, outcome, permitted, rules } = group;
        Self { advice, of: of.into_iter().map(case).collect(), outcome, permitted, rules, shown: alike.clone() }
    }
}

impl TryFrom<WrittenGroup> for FaultGroup {
    type Error = &'static str;

    fn try_from(written: WrittenGroup) -> Result<Self, Self::Error> {
        let WrittenGroup { advice, of, outcome, permitted, rules, shown: alike } = written;
        if !outcome.is_fault() {
            return Err("the outcome of a fault is `broken` or `not shown`");
        }
        let case = |(place, WrittenCase { applies, mark, shown }): (String, WrittenCase)| {
            let shown = match (shown, &alike) {
                (Some(shown), None) => shown,
                (None, Some(alike)) => alike.clone(),
                _ => return Err("what is shown stands once, with the subject or beside all of them"),
            };
            Ok((place, FaultCase { applies, mark, shown }))
        };
        let of = of.into_iter().map(case).collect::<Result<_, _>>()?;
        let group = Self { advice, of, outcome, permitted, rules };
        if group.shown_alike().is_some() == alike.is_some() {
            Ok(group)
        } else {
            Err("what several subjects show alike stands beside them, and nothing else does")
        }
    }
}

/// A finding that is broken or not shown; its members are those of [`FaultGroup`] and [`FaultCase`], with its own rule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FaultPart {
    /// Whether it is advice alone.
    pub advice: bool,
    /// What makes the rule apply, or leaves open whether it does.
    pub applies: Vec<String>,
    /// The name that the record gives the subject.
    pub mark: Option<String>,
    /// Broken, or not shown.
    pub outcome: Outcome,
    /// Whether one of the permits sets it aside.
    pub permitted: bool,
    /// `pack/rule`.
    pub rule: String,
    /// What breaks the demand, or leaves it open.
    pub shown: Vec<String>,
    /// The place of the subject in the record; empty for the job as a whole.
    pub subject: String,
    /// The rule's title.
    pub title: String,
}

impl FaultPart {
    /// Whether it holds the job, and no permit sets it aside.
    pub const fn holds(&self) -> bool {
        !self.advice && !self.permitted
    }

    /// What decided it, as a permit names it.
    pub fn evidence(&self) -> EvidenceLines {
        EvidenceLines { applies: self.applies.clone(), shown: self.shown.clone() }
    }

    /// The subject, by its name or its place.
    pub fn subject_name(&self) -> SubjectName {
        SubjectName { place: self.subject.clone(), mark: self.mark.clone() }
    }

    /// The subject in words.
    pub fn subject_words(&self) -> String {
        self.subject_name().to_string()
    }

    /// Rule and place, by which faults are in order.
    pub(super) fn in_order(&self) -> (&str, &str) {
        (&self.rule, &self.subject)
    }

    /// Outcome, subject and case, which it shares with those of other rules.
    fn shared(&self) -> (FaultOutcome, String, FaultCase) {
        let Self { advice, applies, mark, outcome, permitted, rule: _, shown, subject, title: _ } = self.clone();
        (FaultOutcome { advice, outcome, permitted }, subject, FaultCase { applies, mark, shown })
    }
}

/// What came of the rules of a group.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct FaultOutcome {
    advice: bool,
    outcome: Outcome,
    permitted: bool,
}

impl FaultGroup {
    /// What several subjects show alike; nothing of one alone.
    fn shown_alike(&self) -> Option<&[String]> {
        let mut cases = self.of.values();
        let first = &cases.next()?.shown;
        let others = cases.len();
        (others > 0 && cases.all(|case| case.shown == *first)).then_some(first)
    }

    /// Every line of evidence in it.
    pub fn lines(&self) -> impl Iterator<Item = &String> {
        self.of.values().flat_map(|case| case.applies.iter().chain(&case.shown))
    }

    /// Its findings, case by case.
    pub fn each(&self) -> impl Iterator<Item = FaultPart> + '_ {
        let Self { advice, of, outcome, permitted, rules } = self;
        of.iter().flat_map(move |(subject, case)| {
            rules.iter().map(move |(rule, title)| {
                let FaultCase { applies, mark, shown } = case.clone();
                let (advice, permitted, outcome) = (*advice, *permitted, *outcome);
                let (rule, title, subject) = (rule.clone(), title.clone(), subject.clone());
                FaultPart { advice, applies, mark, outcome, permitted, rule, shown, subject, title }
            })
        })
    }
}

/// Gathers findings: the rules for which one subject shows the same stand together, and so do the subjects of the same
/// rules, in the order of the first rule and place of each group.
pub(super) fn gathered_faults(mut faults: Vec<FaultPart>) -> Vec<FaultGroup> {
    faults.sort_by(|one, other| one.in_order().cmp(&other.in_order()));
    let shared = faults.iter().map(|fault| (fault.shared(), (fault.rule.clone(), fault.title.clone())));
    let of_one = together(shared).into_iter().map(|((outcome, subject, case), rules)| {
        let rules: BTreeMap<String, String> = rules.into_iter().collect();
        ((outcome, rules), (subject, case))
    });
    let groups = together(of_one).into_iter().map(|((outcome, rules), of)| {
        let FaultOutcome { advice, outcome, permitted } = outcome;
        FaultGroup { advice, of: of.into_iter().collect(), outcome, permitted, rules }
    });
    groups.collect()
}

/// The values of each key, both in the order in which they come first.
fn together<K: Ord + Clone, V>(pairs: impl Iterator<Item = (K, V)>) -> Vec<(K, Vec<V>)> {
    let mut found: Vec<(K, Vec<V>)> = Vec::new();
    let mut known: BTreeMap<K, usize> = BTreeMap::new();
    for (key, value) in pairs {
        let place = *known.entry(key.clone()).or_insert_with(|| {
            found.push((key, Vec::new()));
            found.len() - 1
        });
        if let Some((_, values)) = found.get_mut(place) {
            values.push(value);
        }
    }
    found
}

/// A member that is left out unless it is so.
fn said<'de, D: Deserializer<'de>>(from: D) -> Result<bool, D::Error> {
    let value = bool::deserialize(from)?;
    if value { Ok(true) } else { Err(D::Error::custom("a member that is left out where it is not so")) }
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
const fn is_not(said: &bool) -> bool {
    !*said
}

/// A list that is left out where it is empty.
fn filled_in<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<String>, D::Error> {
    let lines: Vec<String> = Vec::deserialize(from)?;
    if lines.is_empty() { Err(D::Error::custom("an empty list, which is left out")) } else { Ok(lines) }
}

/// A list that is left out where it stands elsewhere.
fn listed<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Vec<String>>, D::Error> {
    Vec::deserialize(from).map(Some)
}

/// A text that is left out where there is none.
fn given<'de, D: Deserializer<'de>>(from: D) -> Result<Option<String>, D::Error> {
    String::deserialize(from).map(Some)
}
