//! What many checklists come to together: how many got which answer, and what held those that are held.

use std::collections::BTreeMap;
use std::path::PathBuf;

use fillward::desk::{Answer, Verified};

use super::super::failure::Failure;

/// A file, and what became of it.
pub(super) type Row = (PathBuf, Result<Verified, Failure>);

/// Counts over many files.
#[derive(Debug, Default)]
pub(super) struct Overview {
    /// By answer, the best first; those that occur.
    pub(super) answers: Vec<(&'static str, usize)>,
    /// Files that could not be read.
    pub(super) not_verified: usize,
    /// By rule, in how many files it holds the job, the most frequent first.
    pub(super) rules: Vec<(String, usize)>,
}

impl Overview {
    pub(super) fn of(rows: &[Row]) -> Self {
        let verified = || rows.iter().filter_map(|(_, row)| row.as_ref().ok());
        let count = |word: &&str| verified().filter(|verified| verified.answer.word() == *word).count();
        let answers = Answer::WORDS.into_iter().map(|word| (word, count(&word)));
        let mut rules: BTreeMap<String, usize> = BTreeMap::new();
        for held in verified().flat_map(Verified::held_by) {
            *rules.entry(held.rule.to_owned()).or_default() += 1;
        }
        let mut rules: Vec<(String, usize)> = rules.into_iter().collect();
        rules.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
        Self {
            answers: answers.filter(|(_, count)| *count > 0).collect(),
            not_verified: rows.iter().filter(|(_, row)| row.is_err()).count(),
            rules,
        }
    }

    /// One line, such as `3 files: 2 may start, 1 not to be relied on`.
    pub(super) fn line(&self, files: usize) -> String {
        let mut said: Vec<String> = self.answers.iter().map(|(word, count)| format!("{count} {word}")).collect();
        if self.not_verified > 0 {
            said.push(format!("{} not verified", self.not_verified));
        }
        let noun = if files == 1 { "file" } else { "files" };
        format!("{files} {noun}: {}", said.join(" · "))
    }
}
