//! What many checklists come to together: how many got which answer, and what held those that are held.

use std::collections::BTreeMap;
use std::fmt;
use std::path::{Path, PathBuf};

use fillward::checklist::body::ChecklistBody;
use fillward::desk::{Answer, CHECKLIST_ENDING, HeldBy, OneOf, Several, Verified};
use fillward::units::Instant;
use fillward::vocabulary::{quoted, shown};

use super::super::failure::Failure;
use super::super::output::{counted, named};
use super::paths;

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

/// Files that were not looked at, copies, and facts in which two checklists differ; of more than these the rest is counted.
const NAMED: usize = 6;

impl SeenOnce {
    /// What is said of them together: each line by itself.
    pub(super) fn remarks(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for several in &self.several {
            let Several { job, hold_point, files } = several;
            let count = files.len();
            let counts =
                if several.is_tied() { "the last are of one time, so none counts" } else { "only the last one counts" };
            lines.push(format!("{}, {}: {count} checklists that differ, and {counts}", quoted(job), hold_point.word()));
            for (place, OneOf { name, judged_at, verdict, differs }) in files.iter().enumerate() {
                lines.push(format!(
                    "  {}, checked {}: {}",
                    verdict.word(),
                    shown(&Instant::told(judged_at)),
                    named(name)
                ));
                lines
                    .extend(differs.iter().take(NAMED).map(|differs| format!("    {}", shown(&differs.both_values()))));
                match differs.len() {
                    0 if place > 0 => lines.push("    its record says the same of every fact".to_owned()),
                    count if count > NAMED => lines.push(format!("    and {} more", counted(count - NAMED, "fact"))),
                    _ => {}
                }
            }
        }
        if let Some((count, all)) = self.touched {
            lines.push(format!(
                "Signed with that key: {count} of {all} files. The times are those that whoever has the key wrote"
            ));
        }
        let is_called = |path: &&PathBuf| path.to_string_lossy().to_ascii_lowercase().ends_with(CHECKLIST_ENDING);
        let (records, rest): (Vec<&PathBuf>, Vec<&PathBuf>) =
            self.others.iter().partition(|path| paths::may_be_a_record(path));
        let (odd, others): (Vec<&PathBuf>, Vec<&PathBuf>) = rest.into_iter().partition(is_called);
        let plural = |count: usize, one: &str| if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") };
        for (list, what) in [
            (odd, ", a link, a folder, a pipe or a device"),
            (others, " not called .checklist.json"),
            (records, " that may be a record"),
        ] {
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
    /// The rules that hold jobs, the most frequent first.
    pub(super) rules: Vec<RuleCount>,
    /// Files that say the same as another one among them, each with that one: the work of one checklist is done once,
    /// however many copies there are.
    pub(super) copies: Vec<Copy>,
}

/// A rule, and in how many files it holds the job.
#[derive(Debug)]
pub(super) struct RuleCount {
    /// `pack/rule`.
    pub(super) rule: String,
    /// Its title.
    title: String,
    /// How many files.
    pub(super) files: usize,
}

impl fmt::Display for RuleCount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "held by {}: {} ({})", shown(&self.rule), self.files, shown(&self.title))
    }
}

/// A file that says the same as one before it.
#[derive(Debug)]
pub(super) struct Copy {
    /// Its place among the rows.
    row: usize,
    file: PathBuf,
    of: PathBuf,
}

impl Overview {
    pub(super) fn of(rows: &[OverviewRow]) -> Self {
        let verified =
            || rows.iter().enumerate().filter_map(|(place, (path, row))| Some((place, path, row.as_ref().ok()?)));
        // Of a checklist that is there several times the first one counts.
        let mut seen: BTreeMap<(&str, &str), Vec<(&PathBuf, &ChecklistBody)>> = BTreeMap::new();
        let mut once: Vec<&Verified> = Vec::new();
        let mut copies = Vec::new();
        for (row, path, one) in verified() {
            if let Some(body) = one.report.body.as_ref().filter(|_| one.report.in_order()) {
                let alike = seen.entry((&body.job, &body.judged_at)).or_default();
                if let Some((of, _)) = alike.iter().find(|(_, known)| *known == body) {
                    copies.push(Copy { row, file: path.clone(), of: (*of).clone() });
                    continue;
                }
                alike.push((path, body));
            }
            once.push(one);
        }
        let verified = || once.iter().copied();
        let count = |word: &&str| verified().filter(|verified| verified.answer.word() == *word).count();
        let answers = Answer::WORDS.into_iter().map(|word| (word, count(&word)));
        let mut rules: BTreeMap<String, RuleCount> = BTreeMap::new();
        for HeldBy { rule, title, .. } in verified().flat_map(Verified::held_by) {
            rules.entry(rule.clone()).or_insert(RuleCount { rule, title, files: 0 }).files += 1;
        }
        let mut rules: Vec<RuleCount> = rules.into_values().collect();
        rules.sort_by_key(|rule| std::cmp::Reverse(rule.files));
        Self {
            answers: answers.filter(|(_, count)| *count > 0).collect(),
            not_verified: rows.iter().filter(|(_, row)| row.is_err()).count(),
            rules,
            copies,
        }
    }

    /// The files of which others are copies, by the places of those.
    pub(super) fn originals(&self) -> BTreeMap<usize, &Path> {
        self.copies.iter().map(|Copy { row, of, .. }| (*row, of.as_path())).collect()
    }

    /// Which files are copies of which, and of many the first.
    pub(super) fn copies_named(&self) -> Vec<String> {
        let more = self.copies.len().saturating_sub(NAMED);
        let one = |Copy { file, of, .. }: &Copy| format!("{} is a copy of {}", named(file), named(of));
        let mut lines: Vec<String> = self.copies.iter().take(NAMED).map(one).collect();
        if more > 0 {
            lines.push(format!("and {more} copies more"));
        }
        lines
    }

    /// One line, such as `3 files: 2 may start, 1 not to be relied on`.
    pub(super) fn line(&self, files: usize) -> String {
        let mut said: Vec<String> = self.answers.iter().map(|(word, count)| format!("{count} {word}")).collect();
        if self.not_verified > 0 {
            said.push(format!("{} not verified", self.not_verified));
        }
        match self.copies.len() {
            0 => {}
            1 => said.push("1 copy of one of these".to_owned()),
            count => said.push(format!("{count} copies of these")),
        }
        let noun = if files == 1 { "file" } else { "files" };
        format!("{files} {noun}: {}", said.join(" · "))
    }
}
