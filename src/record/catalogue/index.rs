//! The built-in facts by their names: a record has some hundreds of values, a shop file more, and each is looked up.
//!
//! Must not know what a fact means.

use std::borrow::Cow;

use super::{FactKey, FactSpec, Subject, tables};

/// The names of the built-in facts of one subject in their order, each with its row.
#[derive(Debug, Clone, Copy)]
pub(in crate::record) struct Index {
    subject: Subject,
    /// The names beside their rows, so that a search need not look into the tables.
    names: &'static [&'static [u8]],
    rows: &'static [u16],
    /// The keys of the mappings of a record in which the facts stand.
    steps: &'static [KeyStep],
}

/// Puts the names of tables in their order, each with its row; `N` is how many there are.
#[expect(
    clippy::indexing_slicing,
    reason = "worked out when the program is compiled, where an error stops the compiler"
)]
const fn in_order<const N: usize>(tables: &'static [&'static [FactSpec]]) -> ([&'static [u8]; N], [u16; N]) {
    let mut names: [&'static [u8]; N] = [&[]; N];
    let mut rows = [0_u16; N];
    let (mut rest, mut row) = (tables, 0_u16);
    while let [table, others @ ..] = rest {
        let mut specs = *table;
        while let [spec, behind @ ..] = specs {
            let name = match &spec.name {
                Cow::Borrowed(name) => name.as_bytes(),
                Cow::Owned(_) => &[],
            };
            // Where the name belongs among those before it, by bisection.
            let count = row as usize;
            let (mut from, mut to) = (0, count);
            while from < to {
                let middle = usize::midpoint(from, to);
                if is_less(names[middle], name) { from = middle + 1 } else { to = middle }
            }
            let mut place = count;
            while place > from {
                names[place] = names[place - 1];
                rows[place] = rows[place - 1];
                place -= 1;
            }
            names[from] = name;
            rows[from] = row;
            row += 1;
            specs = behind;
        }
        rest = others;
    }
    (names, rows)
}

const fn is_less(one: &[u8], other: &[u8]) -> bool {
    match (one, other) {
        ([first, one @ ..], [second, other @ ..]) if *first == *second => is_less(one, other),
        ([first, ..], [second, ..]) => *first < *second,
        (one, _) => one.is_empty() && !other.is_empty(),
    }
}

/// How many rows tables have.
const fn count(tables: &[&[FactSpec]]) -> usize {
    let (mut rest, mut count) = (tables, 0);
    while let [table, others @ ..] = rest {
        count += table.len();
        rest = others;
    }
    count
}

/// A key of a mapping, with where it leads.
#[derive(Debug, Clone, Copy)]
struct KeyStep {
    key: &'static [u8],
    /// Its first bytes.
    head: u64,
    /// What it leads to, as places in the order of the names: from the first, up to but without the second.
    from: u16,
    to: u16,
    /// Bytes of the names up to the keys below it, its dot included.
    depth: u16,
    /// The first of the keys below it, and how many they are.
    below: u16,
    count: u16,
}

impl KeyStep {
    /// The mapping of the subject itself.
    const fn whole(names: &[&[u8]]) -> Self {
        Self { key: &[], head: 0, from: 0, to: short(names.len()), depth: 0, below: 1, count: 0 }
    }
}

/// The first eight bytes of a key as one number, by which keys lie in the order of their bytes as far as they differ there:
/// no key has a zero byte.
const fn head(key: &[u8]) -> u64 {
    let (mut head, mut left, mut rest) = (0, 8, key);
    while left > 0 {
        head <<= 8;
        if let [byte, behind @ ..] = rest {
            head |= *byte as u64;
            rest = behind;
        }
        left -= 1;
    }
    head
}

/// A number of names, of bytes or of keys: there are some hundreds.
#[expect(
    clippy::cast_possible_truncation,
    reason = "worked out when the program is compiled, from tables of that length"
)]
const fn short(number: usize) -> u16 {
    assert!(number <= u16::MAX as usize, "no more facts than a word of two bytes counts");
    number as u16
}

/// The key at a depth of a name: up to the next dot, or to its end.
const fn key_at(name: &'static [u8], depth: usize) -> &'static [u8] {
    let (_, rest) = name.split_at(depth);
    let mut end = 0;
    let mut behind = rest;
    while let [byte, more @ ..] = behind {
        if *byte == b'.' {
            break;
        }
        end += 1;
        behind = more;
    }
    rest.split_at(end).0
}

/// The keys of all mappings, those of one mapping side by side and in their order; `M` is how many there are, with the
/// mapping of the subject itself, which comes first.
#[expect(
    clippy::indexing_slicing,
    reason = "worked out when the program is compiled, where an error stops the compiler"
)]
const fn steps<const M: usize>(names: &'static [&'static [u8]]) -> [KeyStep; M] {
    let mut steps = [KeyStep::whole(names); M];
    let (mut at, mut made) = (0, 1);
    while at < made {
        let KeyStep { from, to, depth, .. } = steps[at];
        let (mut place, depth, first) = (from as usize, depth as usize, made);
        while place < to as usize {
            let name = names[place];
            // A fact with exactly this name has no key below it.
            if name.len() < depth {
                place += 1;
                continue;
            }
            let key = key_at(name, depth);
            let from = place;
            while place < to as usize && is_equal(key_at(names[place], depth), key) {
                place += 1;
            }
            let inner = short(depth + key.len() + 1);
            let (head, from, to) = (head(key), short(from), short(place));
            steps[made] = KeyStep { key, head, from, to, depth: inner, below: 0, count: 0 };
            made += 1;
        }
        (steps[at].below, steps[at].count) = (short(first), short(made - first));
        at += 1;
    }
    steps
}

const fn is_equal(one: &[u8], other: &[u8]) -> bool {
    !is_less(one, other) && !is_less(other, one)
}

/// How many keys the mappings of a subject have, and the mapping of the subject itself: of each name the keys that are not
/// those of the name before it.
const fn keys(names: &'static [&'static [u8]]) -> usize {
    let (mut count, mut before, mut rest): (usize, &'static [u8], _) = (1, &[], names);
    while let [name, others @ ..] = rest {
        let (mut depth, mut alike) = (0, true);
        while depth <= name.len() {
            let key = key_at(name, depth);
            alike = alike && depth <= before.len() && is_equal(key_at(before, depth), key);
            if !alike {
                count += 1;
            }
            depth += key.len() + 1;
        }
        (before, rest) = (name, others);
    }
    count
}

/// The index of a subject.
macro_rules! index {
    ($subject:expr) => {{
        const ORDER: ([&[u8]; count(tables($subject))], [u16; count(tables($subject))]) = in_order(tables($subject));
        const NAMES: &[&[u8]] = &ORDER.0;
        const STEPS: [KeyStep; keys(NAMES)] = steps(NAMES);
        Self { subject: $subject, names: NAMES, rows: &ORDER.1, steps: &STEPS }
    }};
}

impl Index {
    /// That of a subject.
    pub(in crate::record) const fn of(subject: Subject) -> Self {
        match subject {
            Subject::Job => index!(Subject::Job),
            Subject::Assembly => index!(Subject::Assembly),
            Subject::Component => index!(Subject::Component),
            Subject::Person => index!(Subject::Person),
            Subject::Gauge => index!(Subject::Gauge),
            Subject::Thermometer => index!(Subject::Thermometer),
        }
    }

    /// How many facts there are.
    pub(in crate::record) const fn len(self) -> usize {
        self.rows.len()
    }

    /// The fact at a place in the order of the names.
    fn at(self, place: usize) -> Option<(FactKey, &'static FactSpec)> {
        let index = *self.rows.get(place)?;
        let mut row = usize::from(index);
        let spec = tables(self.subject).iter().find_map(|table| {
            let spec = table.get(row);
            row = row.wrapping_sub(table.len());
            spec
        })?;
        Some((FactKey { subject: self.subject, index }, spec))
    }

    /// The first place whose name is not before this one.
    fn place(self, name: &str) -> usize {
        self.names.partition_point(|known| *known < name.as_bytes())
    }

    /// The fact of this name.
    pub(in crate::record) fn find(self, name: &str) -> Option<(FactKey, &'static FactSpec)> {
        let place = self.place(name);
        self.names.get(place).filter(|known| **known == name.as_bytes()).and_then(|_| self.at(place))
    }
}

/// The built-in facts of one subject whose names begin alike, up to a dot: those of one mapping of a record.
#[derive(Debug, Clone, Copy)]
pub(in crate::record) struct FactGroup {
    index: Index,
    step: KeyStep,
}

/// Where a key of a mapping leads.
#[derive(Debug)]
pub(in crate::record) enum Below {
    /// To a fact.
    Fact(FactKey, &'static FactSpec),
    /// To a mapping of more.
    Group(FactGroup),
}

impl FactGroup {
    /// All facts of a subject.
    pub(in crate::record) const fn whole(subject: Subject) -> Self {
        let index = Index::of(subject);
        let step = match index.steps {
            [whole, ..] => *whole,
            [] => KeyStep::whole(index.names),
        };
        Self { index, step }
    }

    /// The facts below a dotted place, which ends with its dot; those of the whole subject below none.
    pub(in crate::record) fn at(subject: Subject, place: &str) -> Option<Self> {
        let steps = place.split_terminator('.');
        steps.into_iter().try_fold(Self::whole(subject), |group, step| match group.below(step)? {
            Below::Group(inner) => Some(inner),
            Below::Fact(..) => None,
        })
    }

    /// Whether it is that of the whole subject.
    pub(in crate::record) const fn is_whole(self) -> bool {
        self.step.depth == 0
    }

    /// Whose facts they are.
    pub(in crate::record) const fn subject(self) -> Subject {
        self.index.subject
    }

    /// Where a key leads; a key with a dot in it leads nowhere, since one place has one way of writing.
    pub(in crate::record) fn below(self, key: &str) -> Option<Below> {
        let below = usize::from(self.step.below);
        let steps = self.index.steps.get(below..below + usize::from(self.step.count))?;
        let key = key.as_bytes();
        let head = head(key);
        // Most keys differ in their first bytes.
        let order = |step: &KeyStep| step.head.cmp(&head).then_with(|| step.key.cmp(key));
        let step = *steps.get(steps.binary_search_by(order).ok()?)?;
        let from = usize::from(step.from);
        let is_fact = self.index.names.get(from)?.len() < usize::from(step.depth);
        if is_fact {
            return self.index.at(from).map(|(key, spec)| Below::Fact(key, spec));
        }
        Some(Below::Group(Self { step, ..self }))
    }

    /// The facts of the group, in the order of their names.
    pub(in crate::record) fn facts(self) -> impl Iterator<Item = (FactKey, &'static FactSpec)> {
        (self.step.from..self.step.to).filter_map(move |place| self.index.at(usize::from(place)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::catalogue::built_in;

    #[test]
    fn every_fact_and_every_group_is_found_by_its_name_and_nothing_else_is() {
        for subject in Subject::ALL {
            let index = Index::of(subject);
            assert_eq!(index.len(), built_in(subject).count());
            for (row, spec) in (0..).zip(built_in(subject)) {
                let (key, found) = index.find(&spec.name).unwrap();
                assert_eq!((key, found), (FactKey { subject, index: row }, spec));
                for (end, _) in spec.name.char_indices() {
                    let begin = spec.name.get(..end).unwrap();
                    let is = built_in(subject).position(|other| other.name == begin);
                    assert_eq!(index.find(begin).map(|(key, _)| usize::from(key.index)), is, "{begin}");
                    let group = FactGroup::at(subject, begin).filter(|_| begin.is_empty() || begin.ends_with('.'));
                    let mut below: Vec<u16> =
                        group.into_iter().flat_map(FactGroup::facts).map(|(key, _)| key.index).collect();
                    below.sort_unstable();
                    let is_place = begin.is_empty() || begin.ends_with('.');
                    let due = built_in(subject).map(|other| is_place && other.name.starts_with(begin));
                    let due = (0_u16..).zip(due).filter_map(|(row, is)| is.then_some(row));
                    assert_eq!(below, due.collect::<Vec<_>>(), "{begin}");
                }
                let (place, last) = spec.name.rsplit_once('.').unwrap_or(("", &spec.name));
                let found = FactGroup::at(subject, place).unwrap().below(last);
                assert!(matches!(found, Some(Below::Fact(found, _)) if found == key), "{}", spec.name);
                let whole = FactGroup::whole(subject).below(&spec.name);
                assert_eq!(whole.is_some(), place.is_empty(), "a name is a place of its own: {}", spec.name);
            }
            assert!(index.find("zz").is_none() && FactGroup::whole(subject).below("zz").is_none());
            assert!(FactGroup::whole(subject).below("").is_none() && FactGroup::at(subject, "zz.").is_none());
        }
    }
}
