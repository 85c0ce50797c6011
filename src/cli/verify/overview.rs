//! What many checklists come to together: how many got which answer, and what held those that are held.

use std::collections::BTreeMap;
use std::path::PathBuf;

use fillward::checklist::body::ChecklistBody;
use fillward::desk::{Answer, CHECKLIST_ENDING, OneOf, Several, Verified};
use fillward::vocabulary::{quoted, shown};

use super::super::failure::Failure;
use super::super::output::named;

/// A file, and what became of it.
pub(super) type OverviewRow = (PathBuf, Result<Verified, Failure>);

/// Everything that was seen together.
pub(super) struct SeenOnce {
    /// The files, each with what became of it.
    pub(super) rows: Vec<OverviewRow>,
    /// Different checklists of one job and hold point.
    pub(super) several: Vec<Several>,
    /// What lies in the folders and was not looked at.
    pub(super) others: Vec<PathBuf>,
    /// Where only what a key has signed is shown: how many files, of how many.
    pub(super) touched: Option<(usize, usize)>,
}

/// Files that were not looked at, and facts in which two checklists differ; of more than these the rest is counted.
const NAMED: usize = 6;

impl SeenOnce {
    /// What is said of them together: each line by itself.
    pub(super) fn remarks(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for Several { job, hold_point, files } in &self.several {
            let count = files.len();
            lines.push(format!(
                "{}, {}: {count} checklists that differ, and only the last one counts",
                quoted(job),
                shown(hold_point)
            ));
            for (place, OneOf { name, judged_at, verdict, differs }) in files.iter().enumerate() {
                lines.push(format!("  {}, checked {}: {}", shown(verdict), shown(judged_at), named(name)));
                lines
                    .extend(differs.iter().take(NAMED).map(|differs| format!("    {}", shown(&differs.both_values()))));
                match differs.len() {
                    0 if place > 0 => lines.push("    its record says the same of every fact".to_owned()),
                    count if count > NAMED => lines.push(format!("    and {} facts more", count - NAMED)),
                    _ => {}
                }
            }
        }
        if let Some((count, all)) = self.touched {
            lines.push(format!(
                "Signed with that key: {count} of {all} files. The instants are those that whoever has the key wrote"
            ));
        }
        let is_called = |path: &&PathBuf| path.to_string_lossy().to_ascii_lowercase().ends_with(CHECKLIST_ENDING);
        let (odd, others): (Vec<&PathBuf>, Vec<&PathBuf>) = self.others.iter().partition(is_called);
        let plural = |count: usize, one: &str| if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") };
        for (list, what) in [(odd, ", a folder, a pipe or a device"), (others, " not called .checklist.json")] {
            if !list.is_empty() {
                let names = list.iter().take(NAMED).map(|path| named(path)).collect::<Vec<_>>().join(", ");
                let more = list.len().saturating_sub(NAMED);
                let more = if more > 0 { format!(" and {more} more") } else { String::new() };
                lines.push(format!("Not looked at: {}{what}: {names}{more}", plural(list.len(), "file")));
            }
        }
        lines
    }
}

/// Counts over many files.
#[derive(Debug, Default)]
pub(super) struct Overview {
    /// By answer, the best first; those that occur.
    pub(super) answers: Vec<(&'static str, usize)>,
    /// Files that could not be read.
    pub(super) not_verified: usize,
    /// By rule, in how many files it holds the job, the most frequent first.
    pub(super) rules: Vec<(String, usize)>,
    /// Files that say the same as another one among them: the work of one checklist is done once, however many copies there are.
    pub(super) copies: usize,
}

impl Overview {
    pub(super) fn of(rows: &[OverviewRow]) -> Self {
        let verified = || rows.iter().filter_map(|(_, row)| row.as_ref().ok());
        // Of a checklist that is there several times the first one counts.
        let mut seen: BTreeMap<(&str, &str), Vec<&ChecklistBody>> = BTreeMap::new();
        let mut once: Vec<&Verified> = Vec::new();
        for one in verified() {
            if let Some(body) = one.report.body.as_ref().filter(|_| one.report.in_order()) {
                let alike = seen.entry((&body.job, &body.judged_at)).or_default();
                if alike.contains(&body) {
                    continue;
                }
                alike.push(body);
            }
            once.push(one);
        }
        let copies = verified().count() - once.len();
        let verified = || once.iter().copied();
        let count = |word: &&str| verified().filter(|verified| verified.answer.word() == *word).count();
        let answers = Answer::WORDS.into_iter().map(|word| (word, count(&word)));
        let mut rules: BTreeMap<String, usize> = BTreeMap::new();
        for held in verified().flat_map(Verified::held_by) {
            *rules.entry(held.rule).or_default() += 1;
        }
        let mut rules: Vec<(String, usize)> = rules.into_iter().collect();
        rules.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
        Self {
            answers: answers.filter(|(_, count)| *count > 0).collect(),
            not_verified: rows.iter().filter(|(_, row)| row.is_err()).count(),
            rules,
            copies,
        }
    }

    /// One line, such as `3 files: 2 may start, 1 not to be relied on`.
    pub(super) fn line(&self, files: usize) -> String {
        let mut said: Vec<String> = self.answers.iter().map(|(word, count)| format!("{count} {word}")).collect();
        if self.not_verified > 0 {
            said.push(format!("{} not verified", self.not_verified));
        }
        if self.copies > 0 {
            said.push(format!("{} copies of these", self.copies));
        }
        let noun = if files == 1 { "file" } else { "files" };
        format!("{files} {noun}: {}", said.join(" · "))
    }
}
