//! What came of the fill: how full an assembly is by what was pumped, and when its cure is over. It must not know which
//! share is full enough; rules say that.

use super::handling::with_mix;
use super::material::mass_when_new;
use super::reader::{Reader, Source};
use super::time::ready_from;
use super::{Figure, Lack, Workings, checked};
use crate::record::catalogue::{job as whole, stages};
use crate::units::{Exact, Interval, Unit};

/// The mass that was pumped into one assembly, in kg: as weighed, else by the cycles and the pump's own calibration.
fn pumped(workings: &Workings<'_>) -> Result<Interval, Lack> {
    let Workings { source, facts, .. } = *workings;
    if let Some(weighed) = facts.measured(stages::FILL_MASS) {
        return Ok(weighed.interval);
    }
    let cycles = facts.need_shown(stages::FILL_STROKES)?.base();
    let per_cycle = source.need_of_job(whole::PUMP_MASS_PER_CYCLE)?.interval;
    per_cycle.checked_scale(cycles).ok_or_else(Lack::out_of_range)
}

/// What was pumped as a share of one end of what the tyre held when new. The doubt of the pump widens it; that of the
/// volume is in the end that is chosen.
pub(super) fn filled_of(workings: &Workings<'_>, end: fn(Interval) -> Exact) -> Figure {
    let whole = Interval::point(end(mass_when_new(workings)?));
    checked(pumped(workings)?.checked_div(whole), Unit::Percent)
}

/// The mass of the assembly with what was pumped into it.
pub(super) fn mass_as_filled(workings: &Workings<'_>) -> Figure {
    with_mix(workings, pumped(workings)?)
}

/// When the cure of one assembly is over.
pub(super) fn cured_at(source: Source<'_>, facts: Reader<'_>) -> Figure {
    ready_from(source, facts.need_instant(stages::FILL_ENDED)?)
}
