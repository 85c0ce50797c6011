//! The window of pressure: what the parts may bear, what the load needs, and what the gauge can tell apart.
//!
//! Must not know rules, or what reads the figure.

use super::reader::{FactReader, JobSource};
use super::{Figure, Lack, Obstacle, Parameter, Workings, between, checked, markings};
use crate::record::FactKey;
use crate::record::catalogue::assembly;
use crate::record::catalogue::choices::RimKind;
use crate::tyre::pressure::most_pressure;
use crate::units::{Exact, Interval, Quantity, Unit};
use crate::vocabulary::Subject;

/// What may give the highest pressure of a tyre: the sidewall, or where that shows none, a document.
const MAXIMA: [FactKey; 2] = [assembly::TYRE_SIDEWALL_MAXIMUM, assembly::TYRE_PUBLISHED_MAXIMUM];

/// What rim and wheel may bear.
const OF_WHEEL: [FactKey; 2] = [assembly::RIM_RATING, assembly::WHEEL_RATING];

/// The unit in which the crew thinks of this assembly's pressures.
fn unit(facts: FactReader<'_>) -> Unit {
    facts.unit_of(&[assembly::TARGET_PRESSURE, MAXIMA[0], MAXIMA[1]]).unwrap_or(Unit::Psi)
}

/// What the gauge may be off at the target. Where no gauge is named, that is what is missing; of one that is, its
/// papers are.
fn doubt(facts: FactReader<'_>) -> Result<Exact, Lack> {
    let unknown = || match facts.text(assembly::TARGET_GAUGE) {
        Some(_) => Lack::obstacle(Obstacle::GaugeDoubtUnknown, &[assembly::TARGET_GAUGE]),
        None => Lack::missing(assembly::TARGET_GAUGE),
    };
    facts.need(assembly::TARGET_PRESSURE)?.uncertainty.ok_or_else(unknown)
}

/// The gauge that the target is read with, where it is known.
fn target_gauge<'j>(source: JobSource<'j>, facts: FactReader<'j>) -> Option<FactReader<'j>> {
    source.instrument(Subject::Gauge, facts.text(assembly::TARGET_GAUGE)?)
}

/// The gauge's doubt just below the lowest rating. A grade that is coarser in the outer quarters of the dial is coarser
/// there than at the target, so the doubt is taken on both sides of where the ceiling may come to lie.
fn doubt_below(lowest: Exact, target_doubt: Exact, gauge: Option<FactReader<'_>>) -> Option<Exact> {
    let Some(gauge) = gauge else { return Some(target_doubt) };
    let at = |pressure| gauge.doubt_at(pressure).map(|doubt| doubt.max(target_doubt));
    match at(lowest) {
        None => Some(target_doubt),
        Some(doubt) => Some(doubt.max(at(less(lowest, doubt)?).unwrap_or(doubt))),
    }
}

/// One pressure less another, or where it does not fit the number just below: what is left of a rating is never taken
/// for more.
fn less(one: Exact, other: Exact) -> Option<Exact> {
    Interval::point(one).checked_sub(Interval::point(other)).map(Interval::lo)
}

fn lowest_of(facts: FactReader<'_>, keys: &[FactKey]) -> Option<Exact> {
    keys.iter().filter_map(|key| facts.shown(*key)).map(Quantity::base).min()
}

/// The highest pressure of the tyre, in Pa; where sidewall and document give one each, the lower.
pub(super) fn maximum_base(facts: FactReader<'_>) -> Result<Exact, Lack> {
    lowest_of(facts, &MAXIMA).ok_or_else(|| Lack::missing(assembly::TYRE_SIDEWALL_MAXIMUM))
}

/// The width to which the pressure for one ply is brought, in mm: 10 in.
const WIDTH_OF_COMPARISON: i64 = 254;

/// The highest pressure of the tyre for one ply, as it would be in a tyre of the width of comparison. The tension in
/// the wall of a ring is its pressure times its radius (textbook mechanics of thin shells), and plies share it.
pub(super) fn per_ply(workings: &Workings<'_>) -> Figure {
    let facts = workings.facts;
    let highest = maximum_base(facts)?;
    let width = workings.designation()?.section_width().base();
    let plies = markings::plies(workings).ok_or_else(|| Lack::missing(assembly::TYRE_PLY_RATING))?;
    let per_ply = || {
        let widths = Interval::point(width).checked_div(Interval::point(Exact::from_int(WIDTH_OF_COMPARISON)))?;
        widths.checked_scale(highest)?.checked_div(plies)
    };
    checked(per_ply(), unit(facts))
}

/// The highest pressure of the tyre as a share of the highest that tyres of its kind and size are made for.
pub(super) fn of_kind(workings: &Workings<'_>) -> Figure {
    let highest = maximum_base(workings.facts)?;
    let size = workings.designation()?;
    let radial = markings::is_radial_by_record(workings.facts);
    let most = most_pressure(size, radial).ok_or_else(Lack::out_of_range)?;
    checked(Interval::point(highest).checked_div(Interval::point(most.base())), Unit::Percent)
}

/// Newtons of a kilogram, by the standard acceleration of free fall, 9.80665 m/s2 (3rd CGPM, 1901).
const STANDARD_GRAVITY: (i128, i128) = (980_665, 100_000);
/// Square millimetres of a square metre.
const SQUARE_METRE: i64 = 1_000_000;

/// The load, or the load rating where that is more, as a share of what the highest pressure carries on the outline of the
/// tyre: the section width times the rim diameter and two section widths.
pub(super) fn load_of_outline(workings: &Workings<'_>) -> Figure {
    let facts = workings.facts;
    let loads = [assembly::TARGET_LOAD, assembly::TYRE_LOAD_RATING];
    let heaviest = loads.iter().filter_map(|key| facts.shown(*key)).map(Quantity::base).max();
    let load = heaviest.ok_or_else(|| Lack::missing(assembly::TARGET_LOAD))?;
    let highest = maximum_base(facts)?;
    on_outline(workings, load, highest)
}

/// The load as a share of what the operating pressure carries on the outline of the tyre.
pub(super) fn load_at_pressure(workings: &Workings<'_>) -> Figure {
    let load = workings.facts.need_shown(assembly::TARGET_LOAD)?.base();
    let operating = workings.facts.need_shown(assembly::TARGET_OPERATING_PRESSURE)?.base();
    on_outline(workings, load, operating)
}

/// A load in kg as a share of what a pressure in Pa carries on the outline of the tyre.
fn on_outline(workings: &Workings<'_>, load: Exact, pressure: Exact) -> Figure {
    let designation = workings.designation()?;
    let (width, rim) = (designation.section_width().base(), designation.rim_diameter().base());
    let share = || {
        let length = rim.checked_add(width)?.checked_add(width)?;
        let area = width.checked_mul(length)?.checked_div(Exact::from_int(SQUARE_METRE))?;
        let force = load.checked_mul(Exact::new(STANDARD_GRAVITY.0, STANDARD_GRAVITY.1)?)?;
        Some(Interval::point(force.checked_div(area.checked_mul(pressure)?)?))
    };
    checked(share(), Unit::Percent)
}

/// The lower rating of rim and wheel, in Pa.
pub(super) fn of_wheel_base(facts: FactReader<'_>) -> Result<Exact, Lack> {
    lowest_of(facts, &OF_WHEEL).ok_or_else(|| Lack::missing(assembly::RIM_RATING))
}

/// The lowest rating of tyre, rim and wheel, in Pa. Rim and wheel of one piece have one rating between them; wherever it is
/// written it is the rating of both.
fn lowest_base(facts: FactReader<'_>) -> Result<Exact, Lack> {
    let maximum = maximum_base(facts);
    let of_wheel = lowest_of(facts, &OF_WHEEL);
    // One piece of metal, or two halves with one stamp, has one rating.
    let one_does = matches!(facts.choice(), Some(RimKind::SinglePiece | RimKind::BoltTogether)) && of_wheel.is_some();
    let unrated = OF_WHEEL.into_iter().filter(|key| facts.shown(*key).is_none() && !one_does);
    let missing: Vec<FactKey> =
        maximum.as_ref().err().into_iter().flat_map(Lack::facts).copied().chain(unrated).collect();
    let lowest = maximum.ok().zip(of_wheel).map(|(maximum, of_wheel)| maximum.min(of_wheel));
    lowest.filter(|_| missing.is_empty()).ok_or(Lack::Missing(missing))
}

/// The highest pressure that the gauge may show, in Pa.
pub(super) fn ceiling_base(source: JobSource<'_>, facts: FactReader<'_>) -> Result<Exact, Lack> {
    let rated = lowest_base(facts)?;
    let lowest = facts.shown(assembly::TARGET_LOCAL_LIMIT).map_or(rated, |limit| rated.min(limit.base()));
    let doubt = doubt_below(lowest, doubt(facts)?, target_gauge(source, facts));
    doubt.and_then(|doubt| less(lowest, doubt)).ok_or_else(Lack::out_of_range)
}

/// The lowest pressure that the gauge may show, in Pa. On the soft side a target counts as it is shown: a fill that ends a
/// little below the table's figure is none the worse, and a gauge's doubt on top of that would leave a tyre that carries the
/// load of its own sidewall without any target.
fn floor_base(source: JobSource<'_>, facts: FactReader<'_>) -> Result<Exact, Lack> {
    let operating = facts.need_shown(assembly::TARGET_OPERATING_PRESSURE)?.base();
    let share = Exact::ONE.checked_sub(source.limit(Parameter::SoftSide)?);
    // Where it does not fit it is the number just above: a target is never taken for enough that is not.
    let floor = share.and_then(|share| Interval::point(operating).checked_scale(share));
    floor.map(Interval::hi).ok_or_else(Lack::out_of_range)
}

fn shown(base: Exact, facts: FactReader<'_>) -> Figure {
    between(Interval::point(base), unit(facts))
}

/// The highest pressure that the tyre may bear.
pub(super) fn tyre_maximum(facts: FactReader<'_>) -> Figure {
    shown(maximum_base(facts)?, facts)
}

/// The lowest rating of tyre, rim and wheel.
pub(super) fn lowest_rating(facts: FactReader<'_>) -> Figure {
    shown(lowest_base(facts)?, facts)
}

/// The lowest rating less the gauge's uncertainty: the highest that the gauge may show.
pub(super) fn ceiling(workings: &Workings<'_>) -> Figure {
    shown(workings.ceiling()?, workings.facts)
}

/// The operating pressure for the load, less what the pack allows on the soft side.
pub(super) fn floor(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    shown(floor_base(source, facts)?, facts)
}

/// The target as the gauge is to show it.
pub(super) fn target_shown(facts: FactReader<'_>) -> Figure {
    shown(facts.need_shown(assembly::TARGET_PRESSURE)?.base(), facts)
}

/// Ceiling less floor; below zero where no pressure suits both.
pub(super) fn window(workings: &Workings<'_>) -> Figure {
    let facts = workings.facts;
    let room = less(workings.ceiling()?, floor_base(workings.source, facts)?).ok_or_else(Lack::out_of_range)?;
    shown(room, facts)
}

/// The expanded uncertainty of the gauge at the target.
pub(super) fn gauge_uncertainty(facts: FactReader<'_>) -> Figure {
    shown(doubt(facts)?, facts)
}

/// What the cage must be rated for: a share of the tyre's highest pressure.
pub(super) fn cage_demand(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let demand = Interval::point(maximum_base(facts)?).checked_scale(source.limit(Parameter::CageFactor)?);
    shown(demand.ok_or_else(Lack::out_of_range)?.hi(), facts)
}
