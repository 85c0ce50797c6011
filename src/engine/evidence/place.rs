//! Where a fact or a figure stands, told without a copy of any path: judging many jobs again asks for some thousands of
//! them.
//!
//! This module must not know conditions or what is known of a fact.

use std::fmt;

use crate::document::Path;

/// The group under which figures stand at their subjects.
const FIGURE: &str = "figure";

/// Where a fact or figure stands, or should stand, in the record.
///
/// Shown as its path, `assemblies[0].tyre.size`; told from its own subject, `.tyre.size`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct FactPlace<'s> {
    /// Its name in the catalogue; empty where a list as a whole is meant. First of the members, since most places that are
    /// compared differ here.
    name: &'s str,
    part: Option<Inside>,
    of: Whose<'s>,
    is_figure: bool,
}

/// What a fact or figure is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Whose<'s> {
    /// The record, of which nothing else can be said.
    Record,
    /// The subject from which it is told.
    Own,
    /// A list of subjects.
    List(&'static str),
    /// A subject, by its place.
    Subject(&'s Path),
}

/// What of a fact is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Inside {
    /// A member of a reading.
    Member(&'static str),
    /// An item of a list, counted from 0.
    Item(usize),
}

impl<'s> FactPlace<'s> {
    /// The record as a whole.
    pub(super) const RECORD: Self = Self { name: "", part: None, of: Whose::Record, is_figure: false };

    /// A list of subjects; the record where it has none of that name.
    pub(super) fn list(key: Option<&'static str>) -> Self {
        Self { of: key.map_or(Whose::Record, Whose::List), ..Self::RECORD }
    }

    /// A subject as a whole.
    pub(super) const fn subject(path: &'s Path) -> Self {
        Self { of: Whose::Subject(path), ..Self::RECORD }
    }

    /// A fact of this subject or list.
    pub(super) const fn fact(self, name: &'s str) -> Self {
        Self { name, ..self }
    }

    /// A figure of this subject or list.
    pub(super) const fn figure(self, name: &'s str) -> Self {
        Self { name, is_figure: true, ..self }
    }

    /// A member of the reading that stands here.
    pub(super) const fn member(self, word: &'static str) -> Self {
        Self { part: Some(Inside::Member(word)), ..self }
    }

    /// An item of the list that stands here.
    pub(super) const fn item(self, index: usize) -> Self {
        Self { part: Some(Inside::Item(index)), ..self }
    }

    /// The place of a figure of a subject.
    pub const fn of_figure(subject: &'s Path, name: &'s str) -> Self {
        Self::subject(subject).figure(name)
    }

    /// Whether it is that of a computed figure.
    pub const fn is_figure(&self) -> bool {
        self.is_figure
    }

    /// Whether it is of a subject.
    pub fn is_of(&self, subject: &Path) -> bool {
        matches!(self.of, Whose::Subject(path) if path == subject)
    }

    /// The place relative to a subject, shown with a full stop in front; never relative to the job.
    #[must_use]
    pub fn told_from(self, subject: Option<&Path>) -> Self {
        match (self.of, subject) {
            (Whose::Subject(path), Some(subject)) if path == subject && !path.is_root() && !self.name.is_empty() => {
                Self { of: Whose::Own, ..self }
            }
            _ => self,
        }
    }
}

impl fmt::Display for FactPlace<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut dot = "";
        match self.of {
            Whose::Record => {}
            Whose::Own => dot = ".",
            Whose::List(key) => {
                f.write_str(key)?;
                dot = ".";
            }
            Whose::Subject(path) if path.is_root() => {}
            Whose::Subject(path) => {
                path.fmt(f)?;
                dot = ".";
            }
        }
        for word in [if self.is_figure { FIGURE } else { "" }, self.name] {
            if !word.is_empty() {
                f.write_str(dot)?;
                f.write_str(word)?;
                dot = ".";
            }
        }
        match self.part {
            None => Ok(()),
            Some(Inside::Member(word)) => {
                f.write_str(dot)?;
                f.write_str(word)
            }
            Some(Inside::Item(index)) => write!(f, "[{index}]"),
        }
    }
}
