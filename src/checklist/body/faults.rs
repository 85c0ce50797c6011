//! Rules that are broken or not shown, as they stand in a signed file: gathered by subject and by what was shown, since one
//! thing that is missing leaves many rules open.
//!
//! What would say nothing is left out, and refused where it stands all the same. There is one way to gather:
//! [`gathered_faults`]. This module must not know a judgement or signatures.

use std::collections::BTreeMap;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};

use crate::checklist::evidence::EvidenceLines;
use crate::checklist::reason::SubjectName;

/// Rules of which one subject says the same, with the same outcome.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FaultGroup {
    /// Whether they are advice alone; left out where they hold the job.
    #[serde(default, deserialize_with = "said", skip_serializing_if = "is_not")]
    pub advice: bool,
    /// What makes the rules apply, or leaves open whether they do; left out where they always apply.
    #[serde(default, deserialize_with = "filled_in", skip_serializing_if = "Vec::is_empty")]
    pub applies: Vec<String>,
    /// The name that the record gives the subject; left out for the job, and where it gives none.
    #[serde(default, deserialize_with = "given", skip_serializing_if = "Option::is_none")]
    pub mark: Option<String>,
    /// `broken` or `not shown`.
    pub outcome: String,
    /// Whether permits set them aside; left out where none does.
    #[serde(default, deserialize_with = "said", skip_serializing_if = "is_not")]
    pub permitted: bool,
    /// The titles of the rules, by `pack/rule`.
    pub rules: BTreeMap<String, String>,
    /// What breaks the demand, or leaves it open.
    pub shown: Vec<String>,
    /// The place of the subject in the record; left out, and empty, for the job as a whole.
    #[serde(default, deserialize_with = "not_empty", skip_serializing_if = "String::is_empty")]
    pub subject: String,
}

/// A finding that is broken or not shown; its members are those of [`FaultGroup`], with its own rule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FaultPart {
    /// Whether it is advice alone.
    pub advice: bool,
    /// What makes the rule apply, or leaves open whether it does.
    pub applies: Vec<String>,
    /// The name that the record gives the subject.
    pub mark: Option<String>,
    /// `broken` or `not shown`.
    pub outcome: String,
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

    /// What it shares with others, without a rule.
    fn shared(&self) -> FaultGroup {
        let Self { advice, applies, mark, outcome, permitted, rule: _, shown, subject, title: _ } = self.clone();
        FaultGroup { advice, applies, mark, outcome, permitted, rules: BTreeMap::new(), shown, subject }
    }
}

impl FaultGroup {
    /// Its findings, by their rules.
    pub fn each(&self) -> impl Iterator<Item = FaultPart> + '_ {
        self.rules.iter().map(|(rule, title)| {
            let Self { advice, applies, mark, outcome, permitted, rules: _, shown, subject } = self.clone();
            let (rule, title) = (rule.clone(), title.clone());
            FaultPart { advice, applies, mark, outcome, permitted, rule, shown, subject, title }
        })
    }
}

/// Gathers findings: those that share everything but their rules stand together, in the order of the first rule and place of
/// each group.
pub(super) fn gathered_faults(mut faults: Vec<FaultPart>) -> Vec<FaultGroup> {
    faults.sort_by(|one, other| one.in_order().cmp(&other.in_order()));
    let mut groups: Vec<FaultGroup> = Vec::new();
    let mut known: BTreeMap<FaultGroup, usize> = BTreeMap::new();
    for fault in faults {
        let shared = fault.shared();
        let place = *known.entry(shared.clone()).or_insert_with(|| {
            groups.push(shared);
            groups.len() - 1
        });
        if let Some(group) = groups.get_mut(place) {
            group.rules.insert(fault.rule, fault.title);
        }
    }
    groups
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

/// A text that is left out where it is empty.
fn not_empty<'de, D: Deserializer<'de>>(from: D) -> Result<String, D::Error> {
    let text = String::deserialize(from)?;
    if text.is_empty() { Err(D::Error::custom("an empty text, which is left out")) } else { Ok(text) }
}

/// A text that is left out where there is none.
fn given<'de, D: Deserializer<'de>>(from: D) -> Result<Option<String>, D::Error> {
    String::deserialize(from).map(Some)
}
