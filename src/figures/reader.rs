//! How figures read a record: every fact and every limit goes through here, and what was read is noted on request.
//!
//! A fact that is asked for and not recorded gives what the figure lacks. This module must not know any figure.

use std::cell::RefCell;
use std::collections::BTreeSet;

use super::{Lack, Parameter, Parameters, Shared};
use crate::record::catalogue::choices::Choice;
use crate::record::{Entity, FactKey, Job, LogRow, Measured, Value, named_by};
use crate::units::{Exact, Instant, Quantity, Unit};
use crate::vocabulary::Subject;

/// The facts and limits that figures have read. An instrument's papers count as the fact that names the instrument.
#[derive(Debug, Default)]
pub struct Reads {
    facts: RefCell<BTreeSet<FactKey>>,
    limits: RefCell<BTreeSet<Parameter>>,
}

impl Reads {
    /// The facts asked for, recorded or not.
    pub fn facts(&self) -> BTreeSet<FactKey> {
        self.facts.borrow().clone()
    }

    /// The limits asked for.
    pub fn limits(&self) -> BTreeSet<Parameter> {
        self.limits.borrow().clone()
    }
}

/// The job and the limits that figures are worked out from.
#[derive(Debug, Clone, Copy)]
pub(super) struct JobSource<'a> {
    job: &'a Job,
    parameters: &'a Parameters,
    shared: &'a Shared,
    reads: Option<&'a Reads>,
}

/// The facts of one subject.
#[derive(Debug, Clone, Copy)]
pub(super) struct FactReader<'a> {
    entity: &'a Entity,
    reads: Option<&'a Reads>,
}

impl<'a> JobSource<'a> {
    pub(super) fn new(job: &'a Job, parameters: &'a Parameters, shared: &'a Shared, reads: Option<&'a Reads>) -> Self {
        Self { job, parameters, shared, reads }
    }

    /// What figures of this job share.
    pub(super) fn shared(self) -> &'a Shared {
        self.shared
    }

    pub(super) fn reader(self, entity: &'a Entity) -> FactReader<'a> {
        FactReader { entity, reads: self.reads }
    }

    /// Where in the job a subject stands, if it is one of the job's own.
    pub(super) fn place_of(self, entity: &Entity) -> Option<(Subject, usize)> {
        Subject::ALL.into_iter().find_map(|subject| {
            let position = self.job.of(subject)?.iter().position(|one| std::ptr::eq(one, entity))?;
            Some((subject, position))
        })
    }

    /// The job as a whole.
    pub(super) fn whole(self) -> Option<FactReader<'a>> {
        self.job.whole().map(|entity| self.reader(entity))
    }

    /// A reading of the job as a whole.
    pub(super) fn need_of_job(self, key: FactKey) -> Result<&'a Measured, Lack> {
        self.whole().ok_or_else(|| Lack::missing(key))?.need(key)
    }

    /// All subjects of one kind.
    pub(super) fn of(self, subject: Subject) -> impl Iterator<Item = FactReader<'a>> {
        self.job.of(subject).unwrap_or(&[]).iter().map(move |entity| self.reader(entity))
    }

    /// The instrument of this mark; what is read of it is not noted.
    pub(super) fn instrument(self, list: Subject, mark: &str) -> Option<FactReader<'a>> {
        let found = self.job.of(list)?.iter().find(|one| one.label == mark);
        found.map(|entity| FactReader { entity, reads: None })
    }

    /// A number that a pack sets.
    pub(super) fn limit(self, parameter: Parameter) -> Result<Exact, Lack> {
        if let Some(reads) = self.reads {
            reads.limits.borrow_mut().insert(parameter);
        }
        self.parameters.get(parameter).ok_or_else(|| Lack::no_limit(parameter))
    }
}

impl<'a> FactReader<'a> {
    /// Whether both read the same subject.
    pub(super) fn is(self, other: FactReader<'_>) -> bool {
        self.entity.path == other.entity.path
    }

    fn note(self, key: FactKey) {
        if let Some(reads) = self.reads {
            reads.facts.borrow_mut().insert(key);
        }
    }

    fn get(self, key: FactKey) -> Option<&'a Value> {
        self.note(key);
        self.entity.facts.get(key)
    }

    pub(super) fn text(self, key: FactKey) -> Option<&'a str> {
        match self.get(key)? {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The choice of a fact that is one.
    pub(super) fn choice<C: Choice>(self) -> Option<C> {
        self.text(C::FACT).and_then(C::of_word)
    }

    pub(super) fn flag(self, key: FactKey) -> Option<bool> {
        match self.get(key)? {
            Value::Flag(flag) => Some(*flag),
            _ => None,
        }
    }

    /// A reading with its doubt, which comes from the instrument that another fact may name.
    pub(super) fn measured(self, key: FactKey) -> Option<&'a Measured> {
        for naming in named_by(key) {
            self.note(*naming);
        }
        match self.get(key)? {
            Value::Measured(measured) => Some(measured),
            _ => None,
        }
    }

    /// A quantity as it is written, whatever its doubt.
    pub(super) fn shown(self, key: FactKey) -> Option<Quantity> {
        match self.get(key)? {
            Value::Measured(measured) => Some(measured.shown),
            _ => None,
        }
    }

    /// The unit of the first of these facts that is recorded: how the crew writes, which no figure's worth depends on.
    pub(super) fn unit_of(self, keys: &[FactKey]) -> Option<Unit> {
        keys.iter().find_map(|key| self.entity.facts.measured(*key)).map(|measured| measured.shown.unit())
    }

    /// The rows of a log with their doubt, which comes from the instruments that other facts name.
    pub(super) fn log(self, key: FactKey) -> Option<&'a [LogRow]> {
        for naming in named_by(key) {
            self.note(*naming);
        }
        match self.get(key)? {
            Value::Log(rows) => Some(rows),
            _ => None,
        }
    }

    pub(super) fn need(self, key: FactKey) -> Result<&'a Measured, Lack> {
        self.measured(key).ok_or_else(|| Lack::missing(key))
    }

    pub(super) fn need_shown(self, key: FactKey) -> Result<Quantity, Lack> {
        self.shown(key).ok_or_else(|| Lack::missing(key))
    }

    pub(super) fn need_text(self, key: FactKey) -> Result<&'a str, Lack> {
        self.text(key).ok_or_else(|| Lack::missing(key))
    }

    pub(super) fn need_choice<C: Choice>(self) -> Result<C, Lack> {
        self.choice().ok_or_else(|| Lack::missing(C::FACT))
    }

    pub(super) fn need_log(self, key: FactKey) -> Result<&'a [LogRow], Lack> {
        self.log(key).ok_or_else(|| Lack::missing(key))
    }

    pub(super) fn instant(self, key: FactKey) -> Option<Instant> {
        self.need_instant(key).ok()
    }

    pub(super) fn need_instant(self, key: FactKey) -> Result<Instant, Lack> {
        match self.get(key) {
            Some(Value::Instant(instant)) => Ok(*instant),
            _ => Err(Lack::missing(key)),
        }
    }

    /// The expanded uncertainty of this gauge at a pressure, both in Pa; `None` where its papers do not tell.
    pub(super) fn doubt_at(self, pressure: Exact) -> Option<Exact> {
        crate::record::pressure_doubt(self.entity, pressure)
    }
}
