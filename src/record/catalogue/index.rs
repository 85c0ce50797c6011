//! The built-in facts by their names: a record has some hundreds of values, a shop file more, and each is looked up.
//!
//! Must not know what a fact means.

use std::borrow::Cow;
use std::ops::Range;

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

    /// The facts whose names begin so, in the order of their names.
    pub(in crate::record) fn below(self, begin: &str) -> impl Iterator<Item = (FactKey, &'static FactSpec)> {
        let places: Range<usize> = self.place(begin)..self.rows.len();
        let begins = move |place: &usize| self.names.get(*place).is_some_and(|name| name.starts_with(begin.as_bytes()));
        places.take_while(begins).filter_map(move |place| self.at(place))
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
                    let mut below: Vec<u16> = index.below(begin).map(|(key, _)| key.index).collect();
                    below.sort_unstable();
                    let due = (0_u16..).zip(built_in(subject)).filter(|(_, other)| other.name.starts_with(begin));
                    assert_eq!(below, due.map(|(row, _)| row).collect::<Vec<_>>(), "{begin}");
                }
            }
            assert!(index.find("zz").is_none() && index.below("zz").next().is_none());
        }
    }
}
