//! What differs between a checklist and what it is held against, as data, and its words.
//!
//! Must not know how a difference was found.

use std::fmt;

use crate::checklist::changes::FactChange;
use crate::checklist::evidence::called;
use crate::document::Faults;
use crate::document::prose::joined;
use crate::units::Instant;
use crate::vocabulary::{HoldPoint, Verdict, quoted};

/// The subject of a finding, by its place in the record and the name that the record gives it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SubjectName {
    /// Its place; empty for the job as a whole.
    pub place: String,
    /// The name, where it has one.
    pub mark: Option<String>,
}

impl fmt::Display for SubjectName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&called(self.mark.as_deref(), &self.place))
    }
}

/// What a record says otherwise than the one that was judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordDiffers {
    /// Where the two texts first differ.
    pub first: TextsDiffer,
    /// The first fact that is otherwise, where both can be read.
    pub change: Option<FactChange>,
    /// What stands against reading it, where it cannot be read; the first fault is told.
    pub unread: Option<Faults>,
    /// The hold point at which the first one was judged.
    pub point: HoldPoint,
}

/// A record of which nobody can tell the job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnmatchedRecord {
    /// What reports call it.
    pub name: String,
    /// Why.
    pub why: Unmatched,
}

/// Why nobody can tell of which job a record is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unmatched {
    /// It cannot be read; the first fault is told.
    Unread(Faults),
    /// It has no job number at its head.
    NoNumber,
}

impl fmt::Display for UnmatchedRecord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} may be the record of this job as it stands now, and nobody can tell: ", quoted(&self.name))?;
        match &self.why {
            Unmatched::Unread(faults) => write!(f, "it cannot be read: {}", first(faults)),
            Unmatched::NoNumber => f.write_str("it has no `job` at its head that is a number or a word"),
        }
    }
}

/// Where two texts first differ; lines count from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TextsDiffer {
    /// In a line.
    InLine(usize),
    /// The later one goes on with this line.
    GoesOn(usize),
    /// The later one ends after this line.
    EndsAfter(usize),
    /// In the ends of lines.
    LineEnds,
}

impl TextsDiffer {
    /// Compares two texts that are not the same.
    pub(in crate::checklist) fn between(before: &str, now: &str) -> Self {
        let place = before.lines().zip(now.lines()).position(|(before, now)| before != now);
        match (place, before.lines().count(), now.lines().count()) {
            (Some(place), ..) => Self::InLine(place + 1),
            (None, before, now) if before < now => Self::GoesOn(before + 1),
            (None, before, now) if now < before => Self::EndsAfter(now),
            _ => Self::LineEnds,
        }
    }
}

impl fmt::Display for RecordDiffers {
    /// Goes on from a clause that says of which record it is.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.first {
            TextsDiffer::InLine(line) => write!(f, ", first in line {line}"),
            TextsDiffer::GoesOn(line) => write!(f, ", from line {line} on"),
            TextsDiffer::EndsAfter(line) => write!(f, "; it ends after line {line}"),
            TextsDiffer::LineEnds => f.write_str(", in its line ends"),
        }?;
        if let Some(faults) = &self.unread {
            write!(f, "; as it stands now it cannot be read: {}", self::first(faults))?;
        }
        self.change.as_ref().map_or(Ok(()), |change| write!(f, ": {}", change.sentence(self.point)))
    }
}

/// A record by which what its checklist let happen has happened, and that has gone on since.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GoneOn {
    /// The hold point at which the first one was judged.
    pub point: HoldPoint,
    /// What was known there and is otherwise now.
    pub changes: Vec<FactChange>,
}

impl fmt::Display for GoneOn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the record has gone on since {}", self.point.word())?;
        if self.changes.is_empty() {
            return f.write_str("; what was known then it still says");
        }
        let each: Vec<String> = self.changes.iter().map(|change| change.sentence(self.point)).collect();
        write!(f, ", and does not say all that was known then: {}", each.join("; "))
    }
}

/// An entry of a shop file: its section and its mark, if it has one.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct EntryName {
    /// The section.
    pub section: String,
    /// The mark; rows of a log have none.
    pub mark: Option<String>,
}

impl fmt::Display for EntryName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.mark {
            Some(mark) => write!(f, "{} {mark}", self.section),
            None => write!(f, "a row of {}", self.section),
        }
    }
}

/// What a shop file says otherwise than the one that was judged by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ShopDiffers {
    /// These entries.
    Entries(Vec<EntryName>),
    /// What stands before its entries.
    Head,
    /// The record does not go with it any more; the first fault is told.
    Unfit(Faults),
}

impl fmt::Display for ShopDiffers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Entries(entries) => f.write_str(&joined(entries, ", ")),
            Self::Head => f.write_str("its head"),
            Self::Unfit(faults) => f.write_str(&first(faults)),
        }
    }
}

/// What comes out otherwise when the record inside is judged again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum JudgedDiffers {
    /// The verdict.
    Verdict {
        /// That of the checklist.
        found: Verdict,
        /// The one that comes out.
        due: Verdict,
    },
    /// What is filled.
    Assemblies,
    /// A figure, by its place.
    Figure(String),
    /// A finding.
    Finding(FindingDiffers),
    /// Until when it holds; nothing where it does not hold at all.
    Until(Option<Instant>),
}

/// A finding that differs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FindingDiffers {
    /// One that is broken or not shown.
    Fault {
        /// `pack/rule`.
        rule: String,
        /// Of what.
        of: SubjectName,
    },
    /// What met rules, gathered under this fact.
    Gathered {
        /// The fact with its value.
        fact: String,
    },
    /// A rule that one of the two does not have as met.
    NotMet {
        /// Its name and title, as the file has them.
        rule: String,
    },
    /// A rule that was met by something else.
    MetOtherwise {
        /// Its name and title, as the file has them.
        rule: String,
    },
    /// The values of a sort of subject.
    Values {
        /// The word of the sort.
        of: String,
    },
    /// A value.
    Value {
        /// The word of its sort of subject.
        of: String,
        /// The fact.
        fact: String,
    },
}

impl fmt::Display for JudgedDiffers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Verdict { found, due } => write!(f, "{} instead of {}", due.word(), found.word()),
            Self::Assemblies => f.write_str("it fills other assemblies"),
            Self::Figure(place) => write!(f, "the figures differ: `{place}`"),
            Self::Finding(what) => write!(f, "the findings differ: {what}"),
            Self::Until(Some(until)) => write!(f, "it holds until {until}"),
            Self::Until(None) => f.write_str("it holds at no time"),
        }
    }
}

impl fmt::Display for FindingDiffers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Fault { rule, of } => write!(f, "`{rule}` of {of}"),
            Self::Gathered { fact } => write!(f, "what met the rules is gathered otherwise at `{fact}`"),
            Self::NotMet { rule } => write!(f, "`{rule}` is not met"),
            Self::MetOtherwise { rule } => write!(f, "`{rule}` is met otherwise"),
            Self::Values { of } => write!(f, "values of `{of}`"),
            Self::Value { of, fact } => write!(f, "`{fact}` of {of}"),
        }
    }
}

/// Why the record inside cannot be judged again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotJudged {
    /// It has faults, of which the first is told.
    Unfit(Faults),
    /// Its instant or its zone is none.
    NoInstant,
    /// No packs were given.
    NoPacks,
}

impl fmt::Display for NotJudged {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unfit(faults) => f.write_str(&first(faults)),
            Self::NoInstant => f.write_str("the instant of judgement or its time zone cannot be read"),
            Self::NoPacks => f.write_str("no packs were given"),
        }
    }
}

fn first(faults: &Faults) -> String {
    faults.iter().next().map(ToString::to_string).unwrap_or_default()
}
