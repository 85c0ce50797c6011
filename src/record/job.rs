//! The valid record: typed facts by subject, each with its place in the text.
//!
//! Must not know how a record is written, or rules.

use std::borrow::Cow;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::catalogue::choices::Choice;
use super::{Catalogue, Column, FactKey};
use crate::document::{Path, Step};
use crate::units::{Day, Exact, Instant, Interval, Quantity};
use crate::vocabulary::{PerSubject, Subject};

/// A value that a record states, or that a figure computes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Value {
    /// Free text, or one word of a closed list.
    Text(Box<str>),
    /// True or false.
    Flag(bool),
    /// A number, with or without a unit.
    Measured(Box<Measured>),
    /// An instant.
    Instant(Instant),
    /// A calendar day.
    Day(Day),
    /// Words of a closed list.
    Words(Vec<Box<str>>),
    /// Rows of readings, earliest first.
    Log(Vec<LogRow>),
}

impl Value {
    /// Whether it is a reading, or a log with a row, that is dated after an instant.
    pub fn is_read_after(&self, at: Instant) -> bool {
        match self {
            Self::Measured(measured) => measured.at.is_some_and(|read| read > at),
            Self::Log(rows) => rows.iter().any(|row| row.at > at),
            _ => false,
        }
    }
}

/// A quantity with what is known of its measurement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Measured {
    /// The value as written.
    pub shown: Quantity,
    /// Where the true value lies, in base units: the value as written, plus and minus the uncertainty.
    pub interval: Interval,
    /// When it was read.
    pub at: Option<Instant>,
    /// The mark of the instrument that read it.
    pub instrument: Option<Box<str>>,
    /// The uncertainty that the reading states itself, in base units.
    pub stated: Option<Exact>,
    /// The expanded uncertainty in base units that counts: the larger of the stated one and the instrument's.
    pub uncertainty: Option<Exact>,
}

impl Measured {
    /// A value that is taken as it stands.
    pub fn exact(shown: Quantity) -> Self {
        Self {
            shown,
            interval: Interval::point(shown.base()),
            at: None,
            instrument: None,
            stated: None,
            uncertainty: None,
        }
    }

    /// The same value with an uncertainty on both sides, as far as anything of its kind can be; `None` where the
    /// numbers leave the exact range.
    pub fn with_uncertainty(mut self, uncertainty: Exact) -> Option<Self> {
        let wide = Interval::point(self.shown.base()).widen(uncertainty)?;
        self.interval = if self.shown.dimension().is_never_negative() { wide.cut_below(Exact::ZERO) } else { wide };
        self.uncertainty = Some(uncertainty);
        Some(self)
    }
}

/// One row of a log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LogRow {
    /// The instant of the row.
    pub at: Instant,
    /// The readings of the columns behind the instant.
    pub(super) readings: Vec<Option<Measured>>,
}

impl LogRow {
    /// A row that says the same at another instant.
    #[must_use]
    pub fn as_at(&self, at: Instant) -> Self {
        Self { at, ..self.clone() }
    }

    /// The reading of a column, if the row has it.
    pub fn get(&self, column: Column) -> Option<&Measured> {
        self.readings.get(usize::from(column.0))?.as_ref()
    }
}

/// The facts of one subject, by catalogue position. A copy shares them until one of the two is changed: what would clear a
/// finding is tried on copies of the job that differ in a fact or two.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Facts {
    values: Arc<Vec<Option<Value>>>,
}

impl Facts {
    /// Nothing known yet of a subject with `count` facts in the catalogue.
    pub(super) fn empty(count: usize) -> Self {
        Self { values: Arc::new(vec![None; count]) }
    }

    /// The value of a fact, if it is recorded.
    pub fn get(&self, key: FactKey) -> Option<&Value> {
        self.values.get(usize::from(key.index))?.as_ref()
    }

    pub(super) fn set(&mut self, key: FactKey, value: Value) {
        if let Some(place) = Arc::make_mut(&mut self.values).get_mut(usize::from(key.index)) {
            *place = Some(value);
        }
    }

    /// The text of a fact.
    pub fn text(&self, key: FactKey) -> Option<&str> {
        match self.get(key)? {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The choice of a fact that is one.
    pub fn choice<C: Choice>(&self) -> Option<C> {
        self.text(C::FACT).and_then(C::of_word)
    }

    /// The quantity of a fact.
    pub fn measured(&self, key: FactKey) -> Option<&Measured> {
        match self.get(key)? {
            Value::Measured(measured) => Some(measured),
            _ => None,
        }
    }

    /// The rows of a log.
    pub fn log(&self, key: FactKey) -> Option<&[LogRow]> {
        match self.get(key)? {
            Value::Log(rows) => Some(rows),
            _ => None,
        }
    }

    /// The catalogue positions of the facts whose values differ from those of another subject.
    pub(crate) fn unlike(&self, other: &Self) -> impl Iterator<Item = u16> {
        (0..)
            .zip(self.values.iter().zip(other.values.iter()))
            .filter(|(_, (one, other))| one != other)
            .map(|(index, _)| index)
    }

    /// The recorded facts, by catalogue position.
    pub fn recorded(&self) -> impl Iterator<Item = (usize, &Value)> {
        self.values.iter().enumerate().filter_map(|(i, v)| Some((i, v.as_ref()?)))
    }
}

/// One subject of a job: its facts, what the crew calls it, and where it stands in the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entity {
    /// What reports call it, such as `loader 4, left front` or `isocyanate`.
    pub label: String,
    /// Its place in the record.
    pub path: Path,
    /// What is known of it.
    pub facts: Facts,
}

impl Entity {
    /// Where the fact `key` stands, or should stand, in the record.
    pub fn path_of(&self, catalogue: &Catalogue, key: FactKey) -> Path {
        let keys = catalogue.spec(key).into_iter().flat_map(|spec| spec.name.split('.')).map(Step::from);
        self.path.steps().iter().cloned().chain(keys).collect()
    }
}

/// One job, valid: what the engine judges.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Job {
    pub(super) lists: PerSubject<Option<Vec<Entity>>>,
}

impl Job {
    /// A job of which nothing at all is recorded.
    pub fn blank() -> Self {
        Self { lists: PerSubject::default() }
    }

    /// All subjects of one kind, or `None` where the record does not have the list at all.
    /// The job itself is a list of one.
    pub fn of(&self, subject: Subject) -> Option<&[Entity]> {
        self.lists.get(subject).as_deref()
    }

    /// The job as a whole.
    pub fn whole(&self) -> Option<&Entity> {
        self.of(Subject::Job)?.first()
    }

    /// The job without what is dated after `at`: a reading that lies ahead has not been taken yet. A log with a row
    /// that lies ahead goes whole, since the person who wrote that one may have written the others. The same job where
    /// nothing does.
    pub fn as_known_at(&self, at: Instant) -> Cow<'_, Self> {
        let ahead = |value: &Value| value.is_read_after(at);
        let entities = || self.lists.iter().filter_map(|(_, list)| list.as_ref()).flatten();
        if !entities().any(|entity| entity.facts.recorded().any(|(_, value)| ahead(value))) {
            return Cow::Borrowed(self);
        }
        let mut known = self.clone();
        for entity in known.lists.values_mut().flatten().flatten() {
            if !entity.facts.recorded().any(|(_, value)| ahead(value)) {
                continue;
            }
            for value in Arc::make_mut(&mut entity.facts.values) {
                if value.as_ref().is_some_and(ahead) {
                    *value = None;
                }
            }
        }
        Cow::Owned(known)
    }

    /// The job number, if it is recorded.
    pub fn number(&self) -> Option<&str> {
        self.whole()?.facts.text(super::catalogue::job::NUMBER)
    }
}
