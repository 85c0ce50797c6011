//! How figures read a record: every fact and every limit goes through here.
//!
//! A fact that is asked for and not recorded gives what the figure lacks. This module must not know any figure.

use super::{Lack, Parameter, Parameters};
use crate::record::{Entity, FactKey, Facts, Job, LogRow, Measured, Subject, Value};
use crate::units::{Exact, Instant};

/// The job and the limits that figures are worked out from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Source<'a> {
    job: &'a Job,
    parameters: &'a Parameters,
}

/// The facts of one subject.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reader<'a> {
    entity: &'a Entity,
}

impl<'a> Source<'a> {
    pub(super) fn new(job: &'a Job, parameters: &'a Parameters) -> Self {
        Self { job, parameters }
    }

    /// The job as a whole.
    pub(super) fn whole(self) -> Option<Reader<'a>> {
        self.job.whole().map(Reader::new)
    }

    /// A reading of the job as a whole.
    pub(super) fn need_of_job(self, key: FactKey) -> Result<&'a Measured, Lack> {
        self.whole().ok_or_else(|| Lack::missing(key))?.need(key)
    }

    /// All subjects of one kind.
    pub(super) fn of(self, subject: Subject) -> impl Iterator<Item = Reader<'a>> {
        self.job.of(subject).unwrap_or(&[]).iter().map(Reader::new)
    }

    /// A number that a pack sets.
    pub(super) fn limit(self, parameter: Parameter) -> Result<Exact, Lack> {
        self.parameters.get(parameter).ok_or_else(|| Lack::no_limit(parameter))
    }
}

impl<'a> Reader<'a> {
    pub(super) fn new(entity: &'a Entity) -> Self {
        Self { entity }
    }

    fn facts(self) -> &'a Facts {
        &self.entity.facts
    }

    pub(super) fn text(self, key: FactKey) -> Option<&'a str> {
        self.facts().text(key)
    }

    pub(super) fn measured(self, key: FactKey) -> Option<&'a Measured> {
        self.facts().measured(key)
    }

    pub(super) fn log(self, key: FactKey) -> Option<&'a [LogRow]> {
        self.facts().log(key)
    }

    pub(super) fn need(self, key: FactKey) -> Result<&'a Measured, Lack> {
        self.measured(key).ok_or_else(|| Lack::missing(key))
    }

    pub(super) fn need_text(self, key: FactKey) -> Result<&'a str, Lack> {
        self.text(key).ok_or_else(|| Lack::missing(key))
    }

    pub(super) fn need_log(self, key: FactKey) -> Result<&'a [LogRow], Lack> {
        self.log(key).ok_or_else(|| Lack::missing(key))
    }

    pub(super) fn need_instant(self, key: FactKey) -> Result<Instant, Lack> {
        match self.facts().get(key) {
            Some(Value::Instant(instant)) => Ok(*instant),
            _ => Err(Lack::missing(key)),
        }
    }

    /// The expanded uncertainty of this gauge at a pressure, both in Pa; `None` where its papers do not tell.
    pub(super) fn doubt_at(self, pressure: Exact) -> Option<Exact> {
        crate::record::pressure_doubt(self.entity, pressure)
    }
}
