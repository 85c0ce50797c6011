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
            // Where the name belongs among those before it, by halves.
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

/// The index of a subject.
macro_rules! index {
    ($subject:expr) => {{
        const ORDER: ([&[u8]; count(tables($subject))], [u16; count(tables($subject))]) = in_order(tables($subject));
        Self { subject: $subject, names: &ORDER.0, rows: &ORDER.1 }
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
    /// From which place to before which place they stand in the order of the names.
    from: usize,
    to: usize,
    /// Bytes of the beginning, its dot included.
    depth: usize,
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
        Self { index, from: 0, to: index.rows.len(), depth: 0 }
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
        self.depth == 0
    }

    /// Whose facts they are.
    pub(in crate::record) const fn subject(self) -> Subject {
        self.index.subject
    }

    /// Where a key leads; a key with a dot in it leads nowhere, since one place has one way of writing.
    pub(in crate::record) fn below(self, key: &str) -> Option<Below> {
        // Keys are short: their bytes are looked at one by one, and most names differ from one in the first.
        let key = key.as_bytes();
        if key.contains(&b'.') {
            return None;
        }
        let names = self.index.names.get(self.from..self.to)?;
        let rest = |name: &'static [u8]| name.get(self.depth..).unwrap_or_default();
        let is_before = |name: &'static [u8]| match (rest(name), key) {
            ([first, ..], [other, ..]) if first != other => first < other,
            (rest, key) => rest < key,
        };
        let place = names.partition_point(|name| is_before(name));
        let (first, more) = names.get(place..)?.split_first()?;
        if rest(first) == key {
            return self.index.at(self.from + place).map(|(key, spec)| Below::Fact(key, spec));
        }
        let is_in = |name: &'static [u8]| rest(name).strip_prefix(key).is_some_and(|behind| behind.starts_with(b"."));
        let from = self.from + place;
        let to = from + 1 + more.partition_point(|name| is_in(name));
        is_in(first).then(|| Below::Group(Self { from, to, depth: self.depth + key.len() + 1, ..self }))
    }

    /// The facts of the group, in the order of their names.
    pub(in crate::record) fn facts(self) -> impl Iterator<Item = (FactKey, &'static FactSpec)> {
        (self.from..self.to).filter_map(move |place| self.index.at(place))
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
