//! The course of the fill: cycles, volumes, containers and times. It must not know what the mix weighs, only ask for it.

use super::material::{density_and_parts, grown_volume, likely_mass, needed, share_of, total, volume_unit};
use super::outcome::last_cured;
use super::reader::{FactReader, JobSource};
use super::time::{Unwatched, ready_from};
use super::{Figure, Lack, Obstacle, Parameter, Workings, between, checked};
use crate::record::Value;
use crate::record::catalogue::{component, job as whole};
use crate::units::{Exact, Instant, Interval, Quantity, Unit};
use crate::vocabulary::Subject;

/// The volume of mix that fills one assembly.
pub(super) fn mix_volume(workings: &Workings<'_>) -> Figure {
    between(grown_volume(workings)?, volume_unit(workings.facts))
}

/// The cycles that a mass of mix takes, by the pump's own calibration.
fn cycles(source: JobSource<'_>, mass: Interval) -> Result<Interval, Lack> {
    let per_cycle = source.need_of_job(whole::PUMP_MASS_PER_CYCLE)?.interval;
    if per_cycle.lo() <= Exact::ZERO {
        return Err(Lack::obstacle(Obstacle::NothingPerCycle, &[whole::PUMP_MASS_PER_CYCLE]));
    }
    mass.checked_div(per_cycle).ok_or_else(Lack::out_of_range)
}

/// How far the mass per cycle may be off, as a share of it.
pub(super) fn cycle_doubt(source: JobSource<'_>) -> Figure {
    let per_cycle = source.need_of_job(whole::PUMP_MASS_PER_CYCLE)?;
    let doubt = per_cycle.uncertainty.ok_or_else(|| Lack::missing(whole::PUMP_MASS_PER_CYCLE))?;
    checked(Interval::point(doubt).checked_div(Interval::point(per_cycle.shown.base())), Unit::Percent)
}

/// The time that a mass of mix takes, the pump running without a pause, in seconds.
fn pumping(source: JobSource<'_>, mass: Interval) -> Result<Interval, Lack> {
    let cycle =
        source.whole().ok_or_else(|| Lack::missing(whole::PUMP_CYCLE_TIME))?.need_shown(whole::PUMP_CYCLE_TIME)?;
    cycles(source, mass)?.checked_scale(cycle.base()).ok_or_else(Lack::out_of_range)
}

/// The pump cycles that one assembly takes.
pub(super) fn assembly_cycles(workings: &Workings<'_>) -> Figure {
    between(cycles(workings.source, workings.mass()?)?, Unit::One)
}

/// The pump cycles that the job takes.
pub(super) fn job_cycles(source: JobSource<'_>) -> Figure {
    between(cycles(source, total(source)?)?, Unit::One)
}

/// How long one assembly is being filled.
pub(super) fn assembly_time(workings: &Workings<'_>) -> Figure {
    between(pumping(workings.source, workings.mass()?)?, Unit::Minute)
}

/// How long one assembly is likely to be filled: by its likeliest volume and the numbers as they are read, so that no
/// doubt makes room for a longer one. Where nobody timed the pump, it is as fast as any: no stroke is quicker than
/// the quickest, and a pump of large strokes gives no more in a minute for it.
pub(super) fn likely_time(workings: &Workings<'_>) -> Figure {
    let Workings { source, .. } = *workings;
    let fastest = source.limit(Parameter::FastestStroke)?;
    let timed = source.whole().and_then(|shop| shop.shown(whole::PUMP_CYCLE_TIME));
    let per_cycle = source.need_of_job(whole::PUMP_MASS_PER_CYCLE)?.shown.base();
    let kilograms = Unit::Kilogram.from_base(per_cycle).ok_or_else(Lack::out_of_range)?;
    let delivered = kilograms.checked_mul(source.limit(Parameter::KilogramTime)?).ok_or_else(Lack::out_of_range)?;
    let cycle = timed.map_or(fastest.max(delivered), Quantity::base);
    let mass = likely_mass(workings)?.mid().ok_or_else(Lack::out_of_range)?;
    let cycles = Interval::point(mass).checked_div(Interval::point(per_cycle));
    checked(cycles.and_then(|cycles| cycles.checked_scale(cycle)), Unit::Minute)
}

/// How long the pump runs for the job.
pub(super) fn job_time(source: JobSource<'_>) -> Figure {
    between(pumping(source, total(source)?)?, Unit::Minute)
}

/// The latest end of the fill, in which nothing but pumping takes time.
fn latest_end(source: JobSource<'_>) -> Result<Instant, Lack> {
    let shop = source.whole().ok_or_else(|| Lack::missing(whole::PLANNED_START))?;
    let start = shop.need_instant(whole::PLANNED_START)?;
    // An instant has whole nanoseconds at most; a minute more does not matter here, and a minute less would.
    let minutes = pumping(source, total(source)?)?.checked_div(Interval::point(Exact::from_int(60)));
    let seconds = minutes
        .and_then(|minutes| whole_above(minutes.hi()))
        .and_then(|minutes| minutes.checked_mul(Exact::from_int(60)));
    seconds.and_then(|seconds| start.checked_add_seconds(seconds)).ok_or_else(Lack::out_of_range)
}

/// The latest end of the fill.
pub(super) fn fill_end(source: JobSource<'_>) -> Figure {
    latest_end(source).map(Value::Instant)
}

/// The earliest return to service: once each fill has ended, when the last cure is over; until then counted from the latest
/// end of the fill by the plan.
pub(super) fn ready_after_fill(source: JobSource<'_>) -> Figure {
    let ready = match last_cured(source) {
        Some(cured) => cured,
        None => ready_from(source, latest_end(source)?, Unwatched::AsRead),
    };
    ready.map(Value::Instant)
}

/// The volume of one component that the job takes, at the temperature of its core.
pub(super) fn component_volume(source: JobSource<'_>, side: FactReader<'_>) -> Figure {
    let mass = needed(source, side)?;
    let (density, _) = density_and_parts(side)?;
    let unit = source.of(Subject::Assembly).next().map_or(Unit::Gallon, volume_unit);
    checked(mass.checked_div(density), unit)
}

/// The containers that the job opens, each full.
pub(super) fn containers(source: JobSource<'_>, side: FactReader<'_>) -> Figure {
    let mass = needed(source, side)?;
    let each = side.need_shown(component::CONTAINER_SIZE)?.base();
    let opened = mass.checked_div(Interval::point(each));
    let opened = opened.and_then(|count| Interval::new(whole_above(count.lo())?, whole_above(count.hi())?));
    checked(opened, Unit::One)
}

/// How many of the job's assemblies, in their order, this component surely fills, and how many at most.
pub(super) fn fills(source: JobSource<'_>, side: FactReader<'_>) -> Figure {
    let on_hand = side.need(component::ON_HAND)?.interval;
    let waste = Exact::ONE.checked_add(source.limit(Parameter::Waste)?).ok_or_else(Lack::out_of_range)?;
    let priming = source.need_of_job(whole::PUMP_PRIMING)?.shown.base();
    let share = share_of(source, side)?;
    let (mut mix, mut surely, mut at_most) = (Interval::point(Exact::ZERO), Exact::ZERO, Exact::ZERO);
    for (count, workings) in (1..).zip(Workings::of_assemblies(source)) {
        let mass = workings.mass()?;
        mix = mix.checked_add(mass).ok_or_else(Lack::out_of_range)?;
        let high = Interval::point(mix.hi()).checked_scale(waste);
        let taken = high.and_then(|high| Interval::new(mix.lo(), high.hi()));
        let taken = taken.and_then(|taken| taken.checked_add(Interval::point(priming))?.checked_mul(share));
        let taken = taken.ok_or_else(Lack::out_of_range)?;
        if taken.hi() <= on_hand.lo() {
            surely = Exact::from_int(count);
        }
        if taken.lo() <= on_hand.hi() {
            at_most = Exact::from_int(count);
        }
    }
    checked(Interval::new(surely, at_most), Unit::One)
}

/// The least whole number that is not below.
fn whole_above(value: Exact) -> Option<Exact> {
    let down = value.numer().div_euclid(value.denom());
    Exact::new(if down.checked_mul(value.denom())? == value.numer() { down } else { down.checked_add(1)? }, 1)
}
