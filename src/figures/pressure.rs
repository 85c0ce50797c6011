//! The window of pressure: what the parts may bear, what the load needs, and what the gauge can tell apart.

use super::reader::{Reader, Source};
use super::{Figure, Lack, Obstacle, Parameter, Workings, between, measured};
use crate::record::catalogue::assembly;
use crate::record::{FactKey, Measured};
use crate::units::{Exact, Interval, Quantity, Unit};
use crate::vocabulary::Subject;

/// Ratings that must all be known before a ceiling can be.
const RATINGS: [FactKey; 3] = [assembly::TYRE_SIDEWALL_MAXIMUM, assembly::RIM_RATING, assembly::WHEEL_RATING];

/// The unit in which the crew thinks of this assembly's pressures.
fn unit(facts: Reader<'_>) -> Unit {
    facts.unit_of(&[assembly::TARGET_PRESSURE, assembly::TYRE_SIDEWALL_MAXIMUM]).unwrap_or(Unit::Psi)
}

fn doubt(facts: Reader<'_>) -> Result<Exact, Lack> {
    let unknown = || Lack::obstacle(Obstacle::GaugeDoubtUnknown, &[assembly::TARGET_GAUGE]);
    facts.need(assembly::TARGET_PRESSURE)?.uncertainty.ok_or_else(unknown)
}

/// The gauge that the target is read with, where it is known.
fn target_gauge<'j>(source: Source<'j>, facts: Reader<'j>) -> Option<Reader<'j>> {
    source.instrument(Subject::Gauge, facts.text(assembly::TARGET_GAUGE)?)
}

/// The gauge's doubt just below the lowest rating. A grade that is coarser in the outer quarters of the dial is coarser
/// there than at the target, so the doubt is taken on both sides of where the ceiling may come to lie.
fn doubt_below(lowest: Exact, target_doubt: Exact, gauge: Option<Reader<'_>>) -> Option<Exact> {
    let Some(gauge) = gauge else { return Some(target_doubt) };
    let at = |pressure| gauge.doubt_at(pressure).map(|doubt| doubt.max(target_doubt));
    match at(lowest) {
        None => Some(target_doubt),
        Some(doubt) => Some(doubt.max(at(lowest.checked_sub(doubt)?).unwrap_or(doubt))),
    }
}

/// The highest pressure that the gauge may show, in Pa.
pub(super) fn ceiling_base(source: Source<'_>, facts: Reader<'_>) -> Result<Exact, Lack> {
    let rated = |key: &FactKey| facts.shown(*key).map(Quantity::base);
    let missing: Vec<FactKey> = RATINGS.into_iter().filter(|key| rated(key).is_none()).collect();
    let lowest = RATINGS.iter().chain(&[assembly::TARGET_LOCAL_LIMIT]).filter_map(rated).min();
    let lowest = lowest.filter(|_| missing.is_empty()).ok_or(Lack::Missing(missing))?;
    let doubt = doubt_below(lowest, doubt(facts)?, target_gauge(source, facts));
    doubt.and_then(|doubt| lowest.checked_sub(doubt)).ok_or_else(Lack::out_of_range)
}

/// The lowest pressure that the gauge may show, in Pa. On the soft side a target counts as it is shown: a fill that ends a
/// little below the table's figure is none the worse, and a gauge's doubt on top of that would leave a tyre that carries the
/// load of its own sidewall without any target.
fn floor_base(source: Source<'_>, facts: Reader<'_>) -> Result<Exact, Lack> {
    let operating = facts.need_shown(assembly::TARGET_OPERATING_PRESSURE)?.base();
    let share = Exact::ONE.checked_sub(source.limit(Parameter::SoftSide)?);
    share.and_then(|share| operating.checked_mul(share)).ok_or_else(Lack::out_of_range)
}

fn shown(base: Exact, facts: Reader<'_>) -> Figure {
    between(Interval::point(base), unit(facts))
}

/// The lowest rating less the gauge's uncertainty: the highest that the gauge may show.
pub(super) fn ceiling(workings: &Workings<'_>) -> Figure {
    shown(workings.ceiling()?, workings.facts)
}

/// The operating pressure for the load, less what the pack allows on the soft side.
pub(super) fn floor(source: Source<'_>, facts: Reader<'_>) -> Figure {
    shown(floor_base(source, facts)?, facts)
}

/// The target as the gauge is to show it.
pub(super) fn target_shown(facts: Reader<'_>) -> Figure {
    shown(facts.need_shown(assembly::TARGET_PRESSURE)?.base(), facts)
}

/// Ceiling less floor; below zero where no pressure does for both.
pub(super) fn window(workings: &Workings<'_>) -> Figure {
    let facts = workings.facts;
    let room = workings.ceiling()?.checked_sub(floor_base(workings.source, facts)?).ok_or_else(Lack::out_of_range)?;
    shown(room, facts)
}

/// The expanded uncertainty of the gauge at the target.
pub(super) fn gauge_uncertainty(facts: Reader<'_>) -> Figure {
    shown(doubt(facts)?, facts)
}

/// What the cage must be rated for: a share of the tyre's highest pressure.
pub(super) fn cage_demand(source: Source<'_>, facts: Reader<'_>) -> Figure {
    let maximum = facts.need_shown(assembly::TYRE_SIDEWALL_MAXIMUM)?;
    let demand = maximum.scaled(source.limit(Parameter::CageFactor)?).ok_or_else(Lack::out_of_range)?;
    Ok(measured(Measured::exact(demand)))
}
