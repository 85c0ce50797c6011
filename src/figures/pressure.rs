//! The window of pressure: what the parts may bear, what the load needs, and what the gauge can tell apart.

use super::{Figure, Parameter, Parameters, Workings};
use crate::record::catalogue::assembly;
use crate::record::catalogue::instruments::gauge;
use crate::record::{Entity, FactKey, Job, Measured, Subject, pressure_doubt};
use crate::units::{Exact, Interval, Unit};

/// Ratings that must all be known before a ceiling can be.
const RATINGS: [FactKey; 3] = [assembly::TYRE_SIDEWALL_MAXIMUM, assembly::RIM_RATING, assembly::WHEEL_RATING];

/// The unit in which the crew thinks of this assembly's pressures.
fn unit(entity: &Entity) -> Unit {
    let written = [assembly::TARGET_PRESSURE, assembly::TYRE_SIDEWALL_MAXIMUM];
    written.iter().find_map(|key| entity.facts.measured(*key)).map_or(Unit::Psi, |measured| measured.shown.unit())
}

fn doubt(entity: &Entity) -> Result<Exact, Figure> {
    let target = entity.facts.measured(assembly::TARGET_PRESSURE);
    let target = target.ok_or_else(|| Figure::missing(&[assembly::TARGET_PRESSURE]))?;
    target.uncertainty.ok_or_else(|| {
        Figure::obstacle("the uncertainty of the target's gauge is not known", &[assembly::TARGET_GAUGE])
    })
}

/// The gauge that the target is read with, where it is known.
fn target_gauge<'j>(job: &'j Job, entity: &Entity) -> Option<&'j Entity> {
    let mark = entity.facts.text(assembly::TARGET_GAUGE)?;
    job.of(Subject::Gauge)?.iter().find(|one| one.facts.text(gauge::MARK) == Some(mark))
}

/// The gauge's doubt just below the lowest rating. A grade that is coarser in the outer quarters of the dial is coarser
/// there than at the target, so the doubt is taken on both sides of where the ceiling may come to lie.
fn doubt_below(lowest: Exact, target_doubt: Exact, gauge: Option<&Entity>) -> Option<Exact> {
    let Some(gauge) = gauge else { return Some(target_doubt) };
    let at = |pressure| pressure_doubt(gauge, pressure).map(|doubt| doubt.max(target_doubt));
    match at(lowest) {
        None => Some(target_doubt),
        Some(doubt) => Some(doubt.max(at(lowest.checked_sub(doubt)?).unwrap_or(doubt))),
    }
}

/// The highest pressure that the gauge may show, in Pa.
pub(super) fn ceiling_base(job: &Job, entity: &Entity) -> Result<Exact, Figure> {
    let mut lowest: Option<Exact> = None;
    let mut missing = Vec::new();
    for key in RATINGS {
        match entity.facts.measured(key) {
            Some(rating) => lowest = Some(lowest.map_or(rating.shown.base(), |known| known.min(rating.shown.base()))),
            None => missing.push(key),
        }
    }
    if let Some(local) = entity.facts.measured(assembly::TARGET_LOCAL_LIMIT) {
        lowest = lowest.map(|known| known.min(local.shown.base()));
    }
    match lowest {
        Some(lowest) if missing.is_empty() => {
            let gauge = target_gauge(job, entity);
            let ceiling = doubt_below(lowest, doubt(entity)?, gauge).and_then(|doubt| lowest.checked_sub(doubt));
            ceiling.ok_or_else(|| Figure::obstacle(super::OUT_OF_RANGE, &[]))
        }
        _ => Err(Figure::missing(&missing)),
    }
}

fn floor_base(entity: &Entity) -> Result<Exact, Figure> {
    let operating = entity.facts.measured(assembly::TARGET_OPERATING_PRESSURE);
    Ok(operating.ok_or_else(|| Figure::missing(&[assembly::TARGET_OPERATING_PRESSURE]))?.shown.base())
}

fn shown(base: Result<Exact, Figure>, entity: &Entity) -> Figure {
    base.map_or_else(|figure| figure, |base| Figure::between(Interval::point(base), unit(entity)))
}

/// The lowest rating less the gauge's uncertainty: the highest that the gauge may show.
pub(super) fn ceiling(workings: &Workings<'_>) -> Figure {
    shown(workings.ceiling(), workings.entity)
}

/// The operating pressure for the load.
pub(super) fn floor(entity: &Entity) -> Figure {
    shown(floor_base(entity), entity)
}

/// Ceiling less floor; below zero where no pressure does for both.
pub(super) fn window(workings: &Workings<'_>) -> Figure {
    let entity = workings.entity;
    let difference = workings.ceiling().and_then(|ceiling| {
        ceiling.checked_sub(floor_base(entity)?).ok_or_else(|| Figure::obstacle(super::OUT_OF_RANGE, &[]))
    });
    shown(difference, entity)
}

/// The expanded uncertainty of the gauge at the target.
pub(super) fn gauge_uncertainty(entity: &Entity) -> Figure {
    shown(doubt(entity), entity)
}

/// What the cage must be rated for: a share of the tyre's highest pressure.
pub(super) fn cage_demand(entity: &Entity, parameters: &Parameters) -> Figure {
    let Some(maximum) = entity.facts.measured(assembly::TYRE_SIDEWALL_MAXIMUM) else {
        return Figure::missing(&[assembly::TYRE_SIDEWALL_MAXIMUM]);
    };
    let Some(factor) = parameters.get(Parameter::CageFactor) else {
        return Figure::obstacle("no pack in force sets the factor for the cage", &[]);
    };
    match maximum.shown.scaled(factor) {
        Some(demand) => Figure::of(Measured::exact(demand)),
        None => Figure::obstacle(super::OUT_OF_RANGE, &[]),
    }
}
