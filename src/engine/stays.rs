//! What broke a stretch, and what comes of one that goes on: the log with further rows like its last one, judged when they
//! have been read.
//!
//! Must not know words.

use super::Scene;
use crate::figures::{FigureId, StretchBreak, Workings};
use crate::record::catalogue::assembly;
use crate::record::{Edit, LogRow, Value};
use crate::units::{Exact, Instant, Rounding};
use crate::vocabulary::Subject;

/// Seconds between simulated rows.
const EVERY: i64 = 3_600;
/// Seconds of a minute.
const MINUTE: i64 = 60;
/// Most rows simulated; no stretch lasts a week.
const MOST_ROWS: usize = 168;
/// Most ends tried.
const TRIALS: usize = 4;

/// When the stretch of an assembly has lasted `due` seconds, if the tyre stays as the last row of its log shows it; `None`
/// where staying does not help, since hours as in that row do not count.
pub fn complete_if_it_stays(scene: &Scene<'_>, entity: usize, due: Exact) -> Option<Instant> {
    let last = log_of(scene, entity)?.last()?;
    let mut shown = held(scene, entity)?;
    let mut end = last.at;
    for _ in 0..TRIALS {
        end = end.checked_add_seconds(whole_minutes(due.checked_sub(shown)?)?)?;
        let then = held_with(scene, entity, &further(last, end)?, end)?;
        if then >= due {
            return Some(end.in_zone(scene.zone()));
        }
        if then <= Exact::ZERO {
            return None;
        }
        shown = then;
    }
    None
}

/// Whether the stretch of an assembly has lasted `due` seconds once a row is read that shows now what the last one did.
pub fn complete_once_read(scene: &Scene<'_>, entity: usize, due: Exact) -> bool {
    let now = || {
        let last = log_of(scene, entity)?.last().filter(|last| last.at < scene.at())?;
        held_with(scene, entity, &[last.as_at(scene.at())], scene.at())
    };
    now().is_some_and(|held| held >= due)
}

fn log_of<'s>(scene: &'s Scene<'_>, entity: usize) -> Option<&'s [LogRow]> {
    match scene.job().of(Subject::Assembly)?.get(entity)?.facts.get(assembly::PRE_STRETCH_LOG)? {
        Value::Log(rows) => Some(rows),
        _ => None,
    }
}

/// The least time, in seconds, that the stretch of an assembly has lasted.
fn held(scene: &Scene<'_>, entity: usize) -> Option<Exact> {
    let subject = scene.job().of(Subject::Assembly)?.get(entity)?;
    match scene.compute(FigureId::PreStretchTime, subject) {
        Ok(Value::Measured(time)) => Some(time.interval.lo()),
        _ => None,
    }
}

/// The same at an instant, with further rows of the log.
fn held_with(scene: &Scene<'_>, entity: usize, further: &[LogRow], at: Instant) -> Option<Exact> {
    let rows = [log_of(scene, entity)?, further].concat();
    let edit = Edit { key: assembly::PRE_STRETCH_LOG, entity, value: Value::Log(rows) };
    let job = scene.job().amended(scene.packs().catalogue(), &[edit])?;
    held(&scene.for_job_at(&job, at), entity)
}

impl Scene<'_> {
    /// What broke the stretch of an assembly first, of the rows that are known at the instant.
    pub fn stretch_break(&self, entity: usize) -> Option<StretchBreak> {
        let subject = self.known().of(Subject::Assembly)?.get(entity)?;
        let found = Workings::new(self.known(), subject, self.parameters(), self.shared()).stretch_break()?;
        let here = |at: Instant| at.in_zone(&self.zone);
        Some(StretchBreak { from: here(found.from), to: here(found.to), ..found })
    }
}

/// Whole minutes, rounded up: notebooks have no seconds.
fn whole_minutes(seconds: Exact) -> Option<Exact> {
    let minutes = seconds.checked_div(Exact::from_int(MINUTE))?.to_decimal(0, Rounding::Up);
    Exact::from_int(minutes.parse().ok()?).checked_mul(Exact::from_int(MINUTE))
}

/// Copies of `last`, one an hour, and one at `end`.
fn further(last: &LogRow, end: Instant) -> Option<Vec<LogRow>> {
    let mut rows = Vec::new();
    let mut at = last.at;
    while rows.len() < MOST_ROWS {
        let next = at.checked_add_seconds(Exact::from_int(EVERY))?;
        if next >= end {
            rows.push(last.as_at(end));
            return Some(rows);
        }
        rows.push(last.as_at(next));
        at = next;
    }
    None
}
