//! Missing facts that one line answers: a mark with all that comes with it, a look at the parts on the bench, an entry
//! of the shop file.
//!
//! This module must not know how a line is drawn.

use std::fmt;

use super::missing::is_found_on_the_bench;
use super::unnamed::NotNamed;
use super::{Missing, RulePlace};
use crate::document::{Path, Source};
use crate::record::FactKey;
use crate::record::catalogue::stages;
use crate::record::shop::sections;
use crate::vocabulary::Subject;

/// A part of the look at the parts on the bench, as a short record says it.
struct BenchPart {
    /// The word for it.
    word: &'static str,
    /// The facts that it states.
    facts: fn(FactKey) -> bool,
    /// So many of them must be missing for the part to be.
    at_least: usize,
}

impl BenchPart {
    fn has(&self, key: FactKey) -> bool {
        (self.facts)(key)
    }
}

/// When, by whom, and what was found.
const BENCH: [BenchPart; 3] = [
    BenchPart { word: "when", facts: |key| looked("at", key), at_least: 1 },
    BenchPart { word: "who", facts: |key| looked("by", key), at_least: 2 },
    BenchPart { word: "what was found", facts: is_found_on_the_bench, at_least: 3 },
];

/// Whether this key of the look states a fact; who looked is also who saw it seated, where a lone time says that.
fn looked(part: &str, key: FactKey) -> bool {
    let seated = part == "by" && key == stages::SEATED_BY;
    seated || sections::LOOKED.iter().any(|(known, facts)| *known == part && facts.contains(&key))
}

/// What one answer to several missing facts is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::explain) enum OneAnswer<'m> {
    /// A mark, or something else to be named, in trade words; with it come so many facts, where they are several.
    Named(NotNamed<'m>, Option<usize>),
    /// A look at the parts on the bench, by the parts of it that are missing.
    Looked(Vec<&'static str>),
}

impl fmt::Display for OneAnswer<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Named(what, None) => write!(f, "{what}"),
            Self::Named(what, Some(1)) => write!(f, "{what}; 1 fact with it"),
            Self::Named(what, Some(count)) => write!(f, "{what}; {count} facts with it"),
            Self::Looked(parts) => write!(f, "bench: {}", parts.join(", ")),
        }
    }
}

/// A subject of the job: its kind, and its position in the list of the record.
pub(in crate::explain) type SubjectAt = (Subject, usize);

/// Missing facts that are one line of the shop file: of everything that draws on an entry, and several of one entry.
#[derive(Debug, Clone)]
pub(in crate::explain) struct Lacking<'m> {
    /// The first of them.
    pub(in crate::explain) first: &'m Missing<'m>,
    /// What one answer to all of them is.
    pub(in crate::explain) answer: Option<OneAnswer<'m>>,
    /// What they are about.
    pub(in crate::explain) whose: Vec<SubjectAt>,
    /// The facts.
    pub(in crate::explain) facts: Vec<&'m Missing<'m>>,
    /// The rules that ask for them.
    pub(in crate::explain) rules: Vec<RulePlace>,
}

impl<'m> Lacking<'m> {
    /// Puts together what is one line; of an entry that several draw on each fact, or all that they lack.
    pub(in crate::explain) fn of(missing: &[&'m Missing<'m>], source: &Source, whole_entries: bool) -> Vec<Self> {
        let mut facts: Vec<Self> = Vec::new();
        for fact in missing {
            let one = Self {
                first: fact,
                answer: None,
                whose: fact.whose.into_iter().collect(),
                facts: vec![fact],
                rules: fact.rules.clone(),
            };
            let same = |known: &Self| known.is_beside(&one, source) && known.first.is_called_as(fact);
            match facts.iter_mut().find(|known| same(known)) {
                Some(known) => {
                    known.whose.extend(one.whose);
                    known.add_rules(&one.rules);
                }
                None => facts.push(one),
            }
        }
        if !whole_entries {
            return facts;
        }
        let mut entries: Vec<Self> = Vec::new();
        for one in facts {
            match entries.iter_mut().find(|known| known.is_beside(&one, source) && known.whose == one.whose) {
                Some(known) => {
                    known.facts.extend(one.facts);
                    known.add_rules(&one.rules);
                }
                None => entries.push(one),
            }
        }
        entries
    }

    /// What a short record does not name, one line a mark with all that comes with it, and what is missing besides.
    pub(in crate::explain) fn marks(missing: &[&'m Missing<'m>]) -> (Vec<Self>, Vec<&'m Missing<'m>>) {
        let (mut marks, mut rest): (Vec<Self>, Vec<&'m Missing<'m>>) = (Vec::new(), Vec::new());
        for fact in missing {
            let Some(open) = fact.comes_with else {
                rest.push(fact);
                continue;
            };
            match marks.iter_mut().find(|known| known.first.comes_with_the_same(fact)) {
                Some(known) => {
                    known.facts.push(fact);
                    known.add_rules(&fact.rules);
                }
                None => marks.push(Self {
                    first: fact,
                    answer: Some(OneAnswer::Named(NotNamed(&open.what), None)),
                    whose: Vec::new(),
                    facts: vec![fact],
                    rules: fact.rules.clone(),
                }),
            }
        }
        for mark in &mut marks {
            // What comes alone is as good as asked for by itself.
            let several = Some(mark.facts.len()).filter(|count| *count > 1);
            if let Some(OneAnswer::Named(_, count)) = &mut mark.answer {
                *count = several;
            }
            // It is said of the subject at which it is written, and of the job as a whole where it brings facts of several.
            let at = mark.first.write_at().map(Path::steps).unwrap_or_default();
            let is_there = |fact: &&&Missing<'_>| fact.place.steps().get(..2).is_some_and(|own| at.starts_with(own));
            mark.whose = mark.facts.iter().find(is_there).and_then(|fact| fact.whose).into_iter().collect();
        }
        (marks, rest)
    }

    /// The looks at the parts on the bench that a short record lacks, one for each assembly, and what is missing
    /// besides. Of a look nothing is asked twice: its time, its person and what was found each stand there once.
    pub(in crate::explain) fn benches(missing: &[&'m Missing<'m>]) -> (Vec<Self>, Vec<&'m Missing<'m>>) {
        let (mut looks, mut rest): (Vec<Self>, Vec<&'m Missing<'m>>) = (Vec::new(), Vec::new());
        for of_one in missing.chunk_by(|one, next| one.whose == next.whose) {
            let lacks = |part: &BenchPart| of_one.iter().filter(|fact| part.has(fact.key)).count();
            // One thing that somebody looked at is asked for by its own name.
            let parts = BENCH.iter().filter(|part| lacks(part) >= part.at_least);
            let parts: Vec<&BenchPart> = parts.collect();
            let is_of_bench = |fact: &&Missing<'_>| parts.iter().any(|part| part.has(fact.key));
            let (facts, others): (Vec<&Missing<'_>>, Vec<&Missing<'_>>) = of_one.iter().copied().partition(is_of_bench);
            rest.extend(others);
            let Some(first) = facts.first().copied() else { continue };
            let answer = Some(OneAnswer::Looked(parts.iter().map(|part| part.word).collect()));
            let whose = first.whose.into_iter().collect();
            let mut look = Self { first, answer, whose, facts, rules: Vec::new() };
            for fact in look.facts.clone() {
                look.add_rules(&fact.rules);
            }
            looks.push(look);
        }
        (looks, rest)
    }

    /// Those of several subjects that ask for the same in one line.
    pub(in crate::explain) fn alike(answers: Vec<Self>) -> Vec<Self> {
        let same =
            |known: &Self, one: &Self| known.answer == one.answer && !known.whose.is_empty() && !one.whose.is_empty();
        Self::joined(answers, same)
    }

    /// Those of several subjects with one deed in one line.
    pub(in crate::explain) fn with_one_deed(lines: Vec<Self>) -> Vec<Self> {
        Self::joined(lines, |known, one| known.first.is_called_as(one.first) && known.first.deed == one.first.deed)
    }

    /// The lines, those that are the same joined into the first of them.
    fn joined(lines: Vec<Self>, same: impl Fn(&Self, &Self) -> bool) -> Vec<Self> {
        let mut joined: Vec<Self> = Vec::with_capacity(lines.len());
        for one in lines {
            match joined.iter_mut().find(|known| same(known, &one)) {
                Some(known) => {
                    known.whose.extend(&one.whose);
                    known.facts.extend(&one.facts);
                    known.add_rules(&one.rules);
                }
                None => joined.push(one),
            }
        }
        joined
    }

    /// Whether a fact needs no line of its own: it is one of these, or comes with the same mark.
    pub(in crate::explain) fn answers(&self, fact: &Missing<'_>) -> bool {
        let same_mark = fact.comes_with.is_some() && fact.comes_with_the_same(self.first);
        same_mark || self.answer.is_some() && self.facts.contains(&fact)
    }

    /// Whether both stand in one line of the shop file.
    fn is_beside(&self, other: &Self, source: &Source) -> bool {
        let place = |one: &Self| (source.file_of(one.first.at), source.line_and_column(one.first.at).0);
        self.is_in_shop_file(source) && place(self) == place(other)
    }

    pub(in crate::explain) fn is_in_shop_file(&self, source: &Source) -> bool {
        source.file_of(self.first.at) > 0
    }

    fn add_rules(&mut self, rules: &[RulePlace]) {
        for rule in rules {
            if !self.rules.contains(rule) {
                self.rules.push(*rule);
            }
        }
    }
}
