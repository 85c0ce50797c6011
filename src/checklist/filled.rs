//! What a signed file says is filled: each assembly by its mark, size and target.
//!
//! This module must not know a judgement, or what lets a fill start.

use serde::{Deserialize, Serialize};

use super::canonical::nullable;
use crate::record::catalogue::assembly;
use crate::record::{Entity, Job};
use crate::vocabulary::{Subject, quoted};

/// What is filled: one assembly, as the record has it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Filled {
    /// The mark that the record gives it; null where it gives none.
    #[serde(deserialize_with = "nullable")]
    pub mark: Option<String>,
    /// The pressure at which the fill is to end; null where it is not recorded.
    #[serde(deserialize_with = "nullable")]
    pub target_pressure: Option<String>,
    /// The size of the tyre; null where it is not recorded.
    #[serde(deserialize_with = "nullable")]
    pub tyre_size: Option<String>,
}

/// What a record says of assemblies that are filled.
pub fn filled<'a>(assemblies: impl Iterator<Item = &'a Entity>) -> Vec<Filled> {
    let one = |entity: &Entity| Filled {
        mark: entity.facts.text(assembly::MARK).map(str::to_owned),
        target_pressure: entity.facts.measured(assembly::TARGET_PRESSURE).map(|found| found.shown.to_record_text()),
        tyre_size: entity.facts.text(assembly::TYRE_SIZE).map(str::to_owned),
    };
    assemblies.map(one).collect()
}

/// What a record says is filled, all of it. A job number alone does not say how many tyres a permit was given for.
pub fn all_filled(job: &Job) -> Vec<Filled> {
    filled(job.of(Subject::Assembly).unwrap_or_default().iter())
}

/// The assemblies of a record that a signed file does not speak of, where it speaks of some of them by their marks.
pub fn not_covered(job: &Job, covered: &[Filled]) -> Vec<Filled> {
    let mut all = all_filled(job);
    if all.len() == covered.len() {
        return Vec::new();
    }
    all.retain(|one| !covered.iter().any(|known| known.mark.is_some() && known.mark == one.mark));
    all
}

/// What is filled, in words: each by its number, and what the record says of it in quotation marks.
pub fn filled_words(filled: &[Filled]) -> String {
    let each: Vec<String> =
        filled.iter().enumerate().map(|(place, one)| format!("{}. {}", place + 1, one.in_words())).collect();
    if each.is_empty() { "nothing".to_owned() } else { each.join("; ") }
}

impl Filled {
    /// The assembly in words, what the record says of it in quotation marks.
    pub fn in_words(&self) -> String {
        let Self { mark, target_pressure, tyre_size } = self;
        let said = |text: &Option<String>| text.as_deref().map_or("not recorded".to_owned(), quoted);
        let mark = mark.as_deref().map_or("without a mark".to_owned(), quoted);
        format!("{mark}, tyre size {}, target pressure {}", said(tyre_size), said(target_pressure))
    }
}
