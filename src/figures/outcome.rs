//! What came of the fill: how full an assembly is by what was pumped, when it can have ended, and when its cure is over.
//! It must not know which share is full enough; rules say that.

use super::handling::with_mix;
use super::material::{end_when_new, likely_mass, share_of, stock_unit};
use super::reader::{FactReader, JobSource};
use super::time::{Unwatched, ready_from};
use super::{Figure, Lack, Parameter, Workings, checked};
use crate::record::catalogue::{assembly, component, job as whole, stages};
use crate::record::{Measured, Value};
use crate::units::{Exact, Instant, Interval, Quantity, Unit};
use crate::vocabulary::Subject;

/// The mass that was pumped into one assembly, in kg: as weighed, else by the cycles and the pump's own calibration.
pub(super) fn pumped(workings: &Workings<'_>) -> Result<Interval, Lack> {
    let Workings { source, facts, .. } = *workings;
    facts.measured(stages::FILL_MASS).map_or_else(|| counted(source, facts), |weighed| Ok(weighed.interval))
}

/// The same by the cycles alone.
fn counted(source: JobSource<'_>, facts: FactReader<'_>) -> Result<Interval, Lack> {
    let cycles = facts.need_shown(stages::FILL_STROKES)?.base();
    let per_cycle = source.need_of_job(whole::PUMP_MASS_PER_CYCLE)?.interval;
    per_cycle.checked_scale(cycles).ok_or_else(Lack::out_of_range)
}

/// What was pumped as a share of one end of what the tyre held when new. The doubt of the pump widens it; that of the
/// volume is in the end that is chosen.
pub(super) fn filled_of(workings: &Workings<'_>, end: fn(Interval) -> Exact) -> Figure {
    checked(pumped(workings)?.checked_div(end_when_new(workings, end)?), Unit::Percent)
}

/// The mass of the assembly with what was pumped into it.
pub(super) fn mass_as_filled(workings: &Workings<'_>) -> Figure {
    with_mix(workings, pumped(workings)?)
}

/// What was pumped as a share of what the tyre takes by its likeliest volume.
pub(super) fn filled_of_likely(workings: &Workings<'_>) -> Figure {
    checked(pumped(workings)?.checked_div(likely_mass(workings)?), Unit::Percent)
}

/// What was weighed as a share of what was counted.
pub(super) fn weighed_of_counted(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let weighed = facts.need(stages::FILL_MASS)?.interval;
    checked(weighed.checked_div(counted(source, facts)?), Unit::Percent)
}

/// What went into all assemblies of one side of the mix, with the priming. An assembly of which nothing is recorded was not
/// filled yet.
pub(super) fn went_in(source: JobSource<'_>, side: FactReader<'_>) -> Figure {
    let priming = Interval::point(source.need_of_job(whole::PUMP_PRIMING)?.shown.base());
    let sum = priming.checked_add(pumped_in_all(source)?).ok_or_else(Lack::out_of_range)?;
    checked(sum.checked_mul(share_of(source, side)?), stock_unit(source, side))
}

/// What was pumped into all assemblies of one side of the mix, as a share of its recorded need.
pub(super) fn pumped_of_need(source: JobSource<'_>, side: FactReader<'_>) -> Figure {
    let need = Interval::point(side.need_shown(component::NEEDED)?.base());
    let pumped = pumped_in_all(source)?.checked_mul(share_of(source, side)?).ok_or_else(Lack::out_of_range)?;
    checked(pumped.checked_div(need), Unit::Percent)
}

/// What was pumped into all assemblies, without what was pumped off before the first.
fn pumped_in_all(source: JobSource<'_>) -> Result<Interval, Lack> {
    let mut sum: Option<Interval> = None;
    for workings in Workings::of_assemblies(source) {
        let told = workings.facts.shown(stages::FILL_MASS).or(workings.facts.shown(stages::FILL_STROKES));
        if told.is_some() {
            let own = pumped(&workings)?;
            sum = Some(sum.map_or(Some(own), |sum| sum.checked_add(own)).ok_or_else(Lack::out_of_range)?);
        }
    }
    // What was pumped off before the first fill went into no tyre.
    sum.ok_or_else(|| Lack::missing(stages::FILL_STROKES))
}

/// The least time in which the pump gives so many cycles: at its fastest, and no faster than a share of its own rate.
fn least_time(source: JobSource<'_>, cycles: Exact) -> Result<Exact, Lack> {
    let fastest = source.limit(Parameter::FastestStroke)?;
    let own = source.whole().and_then(|shop| shop.shown(whole::PUMP_CYCLE_TIME)).map(Quantity::base);
    let share = source.limit(Parameter::StrokeShare)?;
    let own = own.map_or(Some(fastest), |own| own.checked_mul(share));
    own.and_then(|own| own.max(fastest).checked_mul(cycles)).ok_or_else(Lack::out_of_range)
}

/// The cycles of one assembly, or those that the mass that was weighed takes: by the numbers as they are read, so that no
/// doubt makes time. None where neither is recorded, which another rule asks for.
fn cycles(source: JobSource<'_>, facts: FactReader<'_>) -> Exact {
    let counted = || facts.shown(stages::FILL_STROKES).map(Quantity::base);
    let weighed = || {
        let mass = facts.shown(stages::FILL_MASS)?.base();
        let per_cycle = source.whole()?.shown(whole::PUMP_MASS_PER_CYCLE)?.base();
        let cycles = Interval::point(mass).checked_div(Interval::point(per_cycle))?;
        Some(cycles.lo())
    };
    counted().or_else(weighed).unwrap_or(Exact::ZERO)
}

/// The earliest instant at which the pump can have stopped for one assembly: after it was seen seated, after both cores
/// were read, no more than the grace before the planned start, after it is said to have started; and from then the cycles
/// and the longest pause. Where its start is told, what the job planned or read for another assembly is not asked of it.
pub(super) fn earliest_end(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let shop = source.whole().ok_or_else(|| Lack::missing(whole::PLANNED_START))?;
    let planned = shop.need_instant(whole::PLANNED_START)?;
    let grace = source.limit(Parameter::StartGrace)?;
    let told = facts.instant(assembly::ACT_FILL);
    let mut start = facts.need_instant(stages::SEATED_AT)?;
    start = told.map_or(start, |told| start.max(told));
    let mut of_job = vec![planned.checked_add_seconds(grace).ok_or_else(Lack::out_of_range)?];
    for side in source.of(Subject::Component) {
        let read = side.need(component::CORE_TEMPERATURE)?;
        of_job.push(read.at.ok_or_else(|| Lack::missing(component::CORE_TEMPERATURE))?);
    }
    for at in of_job {
        if told.is_none() || !is_of_another(source, facts, at) {
            start = start.max(at);
        }
    }
    // A pause before the first stroke of this tyre belongs to the one before.
    let pause = facts.shown(stages::FILL_LONGEST_PAUSE).filter(|_| told.is_some()).map_or(Exact::ZERO, Quantity::base);
    let took = least_time(source, cycles(source, facts))?.checked_add(pause).ok_or_else(Lack::out_of_range)?;
    start.checked_add_seconds(took).map(Value::Instant).ok_or_else(Lack::out_of_range)
}

/// Whether what was planned or read for an instant is of another assembly of the job: one that is not filled yet, or whose
/// pump started then or later.
fn is_of_another(source: JobSource<'_>, facts: FactReader<'_>, at: Instant) -> bool {
    source.of(Subject::Assembly).filter(|other| !other.is(facts)).any(|other| {
        let waits = other.instant(stages::FILL_ENDED).is_none();
        other.instant(assembly::ACT_FILL).map_or(waits, |began| began >= at)
    })
}

/// Whether the pump had the time to fill this assembly between the ends of the others: the cycles of the later one lie
/// between two ends, and none of two fills whose start is told ends within the other.
pub(super) fn ends_apart(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let ended = facts.need_instant(stages::FILL_ENDED)?;
    let began = facts.instant(assembly::ACT_FILL);
    for other in source.of(Subject::Assembly).filter(|other| !other.is(facts)) {
        let Some(end) = other.instant(stages::FILL_ENDED) else { continue };
        let within = |began: Option<Instant>, end, ended| began.is_some_and(|began| began < end && end < ended);
        if within(began, end, ended) || within(other.instant(assembly::ACT_FILL), ended, end) {
            return Ok(Value::Flag(false));
        }
        let (between, later) = match end.cmp(&ended) {
            std::cmp::Ordering::Less => (ended.seconds_since(end), cycles(source, facts)),
            std::cmp::Ordering::Greater => (end.seconds_since(ended), cycles(source, other)),
            std::cmp::Ordering::Equal => (Exact::ZERO, cycles(source, facts).min(cycles(source, other))),
        };
        if between < least_time(source, later)? {
            return Ok(Value::Flag(false));
        }
    }
    Ok(Value::Flag(true))
}

/// How long one assembly was being filled: from its first stroke, or where that is not told from the end of the fill before
/// it by the same pump.
pub(super) fn fill_lasted(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let ended = facts.need_instant(stages::FILL_ENDED)?;
    let others = source.of(Subject::Assembly).filter(|other| !other.is(facts));
    let before = || others.filter_map(|other| other.instant(stages::FILL_ENDED)).filter(|end| *end < ended).max();
    let began = facts.instant(assembly::ACT_FILL).or_else(before).ok_or_else(|| Lack::missing(assembly::ACT_FILL))?;
    // One that ended before it began lasted no time; which of the two is wrong is another rule's matter.
    let lasted = ended.seconds_since(began).max(Exact::ZERO);
    checked(Some(Interval::point(lasted)), Unit::Minute)
}

/// When the cure of one assembly is over.
pub(super) fn cured_at(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    ready_from(source, facts.need_instant(stages::FILL_ENDED)?, Unwatched::NotShown).map(Value::Instant)
}

/// When the last cure of the job is over; nothing while the end of one fill is not recorded.
pub(super) fn last_cured(source: JobSource<'_>) -> Option<Result<Instant, Lack>> {
    let ended = source.of(Subject::Assembly).map(|facts| facts.instant(stages::FILL_ENDED));
    let ended = ended.collect::<Option<Vec<_>>>()?;
    let (first, others) = ended.split_first()?;
    let cured = |ended: &Instant| ready_from(source, *ended, Unwatched::NotShown);
    Some(cured(first).and_then(|first| others.iter().try_fold(first, |last, ended| Ok(last.max(cured(ended)?)))))
}

/// The rows of the workspace log that were read after the end of this fill, by their readings.
fn after_the_fill<'a>(source: JobSource<'a>, facts: FactReader<'a>) -> Result<Vec<(Instant, &'a Measured)>, Lack> {
    let ended = facts.need_instant(stages::FILL_ENDED)?;
    let shop = source.whole().ok_or_else(|| Lack::missing(whole::WORKSPACE_LOG))?;
    let rows = shop.need_log(whole::WORKSPACE_LOG)?.iter();
    let rows = rows.filter(|row| row.at >= ended);
    let rows = rows.filter_map(|row| Some((row.at, row.get(whole::workspace_row::TEMPERATURE)?)));
    Ok(rows.collect())
}

/// Whether the workspace log has a row after the end of this fill.
pub(super) fn log_after_fill(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    Ok(Value::Flag(!after_the_fill(source, facts)?.is_empty()))
}
