//! Missing facts that one line answers: a mark with all that comes with it, a look at the parts on the bench, an entry of the
//! shop file.
//!
//! This module must not know how a line is drawn.

use super::Missing;
use crate::record::FactKey;
use crate::record::shop::sections;

/// The key of the look at the bench under which a short record says a fact.
pub(super) fn bench_key(key: FactKey) -> Option<&'static str> {
    if is_found_on_the_bench(key) {
        return Some("found");
    }
    ["at", "by"]
        .into_iter()
        .find(|part| sections::LOOKED.iter().any(|(known, facts)| known == part && facts.contains(&key)))
}

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
    let seated = part == "by" && sections::SEATED.last() == Some(&key);
    seated || sections::LOOKED.iter().any(|(known, facts)| *known == part && facts.contains(&key))
}

fn is_found_on_the_bench(key: FactKey) -> bool {
    key == sections::OFF_RIM || sections::NOTHING_FOUND.iter().any(|(fact, _)| *fact == key)
}

/// The place of the subject that a fact is of: `components.polyol`, `assemblies[0]`.
fn owner(place: &str) -> &str {
    let end = match place.find(']') {
        Some(end) => end + 1,
        None => place.match_indices('.').nth(1).map_or(place.len(), |(at, _)| at),
    };
    place.get(..end).unwrap_or(place)
}

/// Missing facts that are one line of the shop file: of everything that draws on an entry, and several of one entry.
#[derive(Debug, Clone)]
pub(in crate::explain) struct Lacking<'m> {
    /// The first of them.
    pub(in crate::explain) first: &'m Missing,
    /// What one answer to all of them is: a mark, or what one look at the parts on the bench would say.
    pub(in crate::explain) answer: Option<String>,
    /// What they are about.
    pub(in crate::explain) whose: Vec<&'m str>,
    /// The facts.
    pub(in crate::explain) facts: Vec<&'m Missing>,
    /// The rules that ask for them, as codes.
    pub(in crate::explain) rules: Vec<&'m str>,
}

impl<'m> Lacking<'m> {
    /// Puts together what is one line; of an entry that several draw on each fact, or all that they lack.
    pub(in crate::explain) fn of(missing: &[&'m Missing], record: &str, whole_entries: bool) -> Vec<Self> {
        let mut facts: Vec<Self> = Vec::new();
        for fact in missing {
            let rules: Vec<&str> = fact.rules.iter().map(String::as_str).collect();
            let one = Self {
                first: fact,
                answer: None,
                whose: fact.whose.as_deref().into_iter().collect(),
                facts: vec![fact],
                rules,
            };
            let same = |known: &Self| known.is_beside(&one, record) && known.first.name == fact.name;
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
            match entries.iter_mut().find(|known| known.is_beside(&one, record) && known.whose == one.whose) {
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
    pub(in crate::explain) fn marks(missing: &[&'m Missing]) -> (Vec<Self>, Vec<&'m Missing>) {
        let (mut marks, mut rest): (Vec<Self>, Vec<&'m Missing>) = (Vec::new(), Vec::new());
        for fact in missing {
            let Some(what) = &fact.comes_with else {
                rest.push(fact);
                continue;
            };
            let rules: Vec<&str> = fact.rules.iter().map(String::as_str).collect();
            match marks.iter_mut().find(|known| known.first.comes_with_the_same(fact)) {
                Some(known) => {
                    known.facts.push(fact);
                    known.add_rules(&rules);
                }
                None => marks.push(Self {
                    first: fact,
                    answer: Some(what.clone()),
                    whose: Vec::new(),
                    facts: vec![fact],
                    rules,
                }),
            }
        }
        for mark in &mut marks {
            // What comes alone is as good as asked for by itself.
            let count = Some(mark.facts.len()).filter(|count| *count > 1);
            let more = count.map(|count| format!("; {count} facts with it")).unwrap_or_default();
            mark.answer = mark.answer.take().map(|what| what + &more);
            // It is said of the subject at which it is written, and of the job as a whole where it brings facts of several.
            let at = mark.first.write_at.as_deref().unwrap_or_default();
            mark.whose = mark
                .facts
                .iter()
                .find(|fact| at.starts_with(owner(&fact.place)))
                .and_then(|fact| fact.whose.as_deref())
                .into_iter()
                .collect();
        }
        (marks, rest)
    }

    /// The looks at the parts on the bench that a short record lacks, one for each assembly, and what is missing besides. Of a
    /// look nothing is asked twice: its time, its person and what was found each stand there once.
    pub(in crate::explain) fn benches(missing: &[&'m Missing]) -> (Vec<Self>, Vec<&'m Missing>) {
        let (mut looks, mut rest): (Vec<Self>, Vec<&'m Missing>) = (Vec::new(), Vec::new());
        for of_one in missing.chunk_by(|one, next| one.whose == next.whose) {
            let lacks = |part: &BenchPart| of_one.iter().filter(|fact| part.has(fact.key)).count();
            // One thing that somebody looked at is asked for by its own name.
            let parts = BENCH.iter().filter(|part| lacks(part) >= part.at_least);
            let parts: Vec<&BenchPart> = parts.collect();
            let is_of_bench = |fact: &&Missing| parts.iter().any(|part| part.has(fact.key));
            let (facts, others): (Vec<&Missing>, Vec<&Missing>) = of_one.iter().copied().partition(is_of_bench);
            rest.extend(others);
            let Some(first) = facts.first().copied() else { continue };
            let said = parts.iter().map(|part| part.word).collect::<Vec<_>>().join(", ");
            let whose = first.whose.as_deref().into_iter().collect();
            let mut look = Self { first, answer: Some(format!("bench: {said}")), whose, facts, rules: Vec::new() };
            for fact in look.facts.clone() {
                look.add_rules(&fact.rules.iter().map(String::as_str).collect::<Vec<_>>());
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
        Self::joined(lines, |known, one| known.first.name == one.first.name && known.first.deed == one.first.deed)
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
    pub(in crate::explain) fn answers(&self, fact: &Missing) -> bool {
        let same_mark = fact.comes_with.is_some() && fact.comes_with_the_same(self.first);
        same_mark || self.answer.is_some() && self.facts.contains(&fact)
    }

    /// Whether both stand in one line of the shop file.
    fn is_beside(&self, other: &Self, record: &str) -> bool {
        let place = |one: &Self| (one.first.file.clone(), one.first.line);
        self.is_in_shop_file(record) && place(self) == place(other)
    }

    pub(in crate::explain) fn is_in_shop_file(&self, record: &str) -> bool {
        self.first.file != record
    }

    fn add_rules(&mut self, rules: &[&'m str]) {
        for rule in rules {
            if !self.rules.contains(rule) {
                self.rules.push(rule);
            }
        }
    }
}
