//! What pressure does: the load that it carries, the energy of the air, what is left of it when the filling has cooled.
//!
//! Powers are computed as floats and rounded outwards; nothing here is known closer than that anyway. Must not know
//! rules, or what reads the figure.

use super::material::{grown_volume, is_metric};
use super::reader::{FactReader, JobSource};
use super::{Figure, Lack, Workings, between, checked, markings, pressure};
use crate::record::catalogue::{assembly, component, instruments::gauge, job as whole};
use crate::units::{Exact, Interval, Quantity, Unit};
use crate::vocabulary::Subject;

/// The power of the pressure to which the load is proportional, least and greatest. MEMORY of the load formulas of the
/// tyre standards: 1/2 for car tyres and 0.585 for diagonal and 0.7 for radial commercial tyres in the yearbook of the Tire
/// and Rim Association, 0.8 in the ETRTO manual.
const LOAD_POWERS: [f64; 2] = [0.5, 0.8];

/// The pressure of the air outside, in Pa: the standard atmosphere of ISO 2533.
const OUTSIDE: i64 = 101_325;

/// 1 / (gamma - 1) for air, as gamma is 7/5 (textbook thermodynamics, MEMORY).
const DEGREES_OF_FREEDOM: (i128, i128) = (5, 2);

/// (gamma - 1) / gamma for air.
const ISENTROPIC_POWER: f64 = 2.0 / 7.0;

/// By how much the inside of a tyre grows from no pressure to the target: between a stiff steel casing and a soft textile
/// one. Engineering estimate, no source.
const CASING_GROWTH: ((i128, i128), (i128, i128)) = ((1, 100), (1, 20));

/// More than a power of two of these floats is off by.
const FLOAT_MARGIN: f64 = 1e-12;

/// A power of a number above zero, between bounds.
fn power(base: Exact, exponent: f64) -> Option<Interval> {
    let computed = base.to_f64().powf(exponent);
    let margin = computed * FLOAT_MARGIN;
    Interval::new(Exact::from_f64_down(computed - margin)?, Exact::from_f64_up(computed + margin)?)
}

/// The constants of the Magnus formula over water: a power and a temperature in degC. MEMORY of the guide to instruments of
/// the World Meteorological Organization (WMO-No. 8), which gives 17.62 and 243.12 for -45 to 60 degC.
const MAGNUS: (f64, f64) = (17.62, 243.12);

/// By how many kelvin the dew point may be off besides the readings. Engineering estimate: the formula by 0.1 K, with room.
const DEW_MARGIN: f64 = 0.3;

/// 0 degC in kelvin.
const ICE: f64 = 273.15;

/// The least share of saturation, and the lowest temperature in degC, that the air of a workspace can have. Readings in
/// doubt may reach beyond, and a figure that went missing by doubt would let pass what it holds. Engineering estimates.
const DRIEST: f64 = 0.000_001;
const COLDEST: f64 = -100.0;

/// The dew point in kelvin at a temperature in kelvin and a share of saturation.
fn dew_at(kelvin: f64, share: f64) -> f64 {
    let (power, ice) = MAGNUS;
    let celsius = (kelvin - ICE).max(COLDEST);
    let raised = share.max(DRIEST).ln() + power * celsius / (ice + celsius);
    ice * raised / (power - raised) + ICE
}

/// The temperature at which water leaves the air of the workspace.
pub(super) fn dew_point(source: JobSource<'_>) -> Figure {
    let air = source.need_of_job(whole::WORKSPACE_TEMPERATURE)?;
    let humidity = source.need_of_job(whole::WORKSPACE_HUMIDITY)?.interval;
    let low = dew_at(air.interval.lo().to_f64(), humidity.lo().to_f64()) - DEW_MARGIN;
    let high = dew_at(air.interval.hi().to_f64(), humidity.hi().to_f64()) + DEW_MARGIN;
    let ends = Exact::from_f64_down(low).zip(Exact::from_f64_up(high));
    checked(ends.and_then(|(low, high)| Interval::new(low, high)), air.shown.unit())
}

/// The load that the tyre carries at the operating pressure, in kg, between the formulas, and the unit of its rating.
fn carried(facts: FactReader<'_>) -> Result<(Interval, Unit), Lack> {
    let rated = facts.need_shown(assembly::TYRE_LOAD_RATING)?;
    let highest = pressure::maximum_base(facts)?;
    let operating = facts.need_shown(assembly::TARGET_OPERATING_PRESSURE)?.base();
    let [least, greatest] = LOAD_POWERS;
    let carried = || {
        let ratio = Interval::point(operating).checked_div(Interval::point(highest))?;
        if ratio.lo() >= Exact::ONE {
            // More pressure than the highest carries no more than the rated load.
            return Some(Interval::point(rated.base()));
        }
        // Below one the greater power is the smaller number.
        let (one, other) = (power(ratio.lo(), greatest)?, power(ratio.hi(), least)?);
        Interval::new(one.lo(), other.hi().min(Exact::ONE))?.checked_scale(rated.base())
    };
    carried().map(|carried| (carried, rated.unit())).ok_or_else(Lack::out_of_range)
}

/// The load that the tyre carries at the operating pressure.
pub(super) fn load_carried(facts: FactReader<'_>) -> Figure {
    let (carried, unit) = carried(facts)?;
    between(carried, unit)
}

/// The greatest load that any of the formulas lets the tyre carry at the operating pressure.
pub(super) fn load_carried_most(facts: FactReader<'_>) -> Figure {
    let (carried, unit) = carried(facts)?;
    between(Interval::point(carried.hi()), unit)
}

/// The load as a share of the greatest that any of the formulas gives at the operating pressure, from the load index at the
/// highest pressure on.
pub(super) fn load_of_index_at_pressure(workings: &Workings<'_>) -> Figure {
    let facts = workings.facts;
    let load = facts.need_shown(assembly::TARGET_LOAD)?.base();
    let rated = markings::index_load(workings)?;
    let highest = pressure::maximum_base(facts)?;
    let operating = facts.need_shown(assembly::TARGET_OPERATING_PRESSURE)?.base();
    let share = || {
        let ratio = Interval::point(operating).checked_div(Interval::point(highest))?;
        // More pressure than the highest carries no more than the rated load.
        let most = if ratio.lo() >= Exact::ONE { Exact::ONE } else { power(ratio.hi(), LOAD_POWERS[0])?.hi() };
        Interval::point(load).checked_div(Interval::point(most.min(Exact::ONE)).checked_scale(rated)?)
    };
    checked(share(), Unit::Percent)
}

/// Where the target is on the dial of its gauge: none of the span at the bottom, all of it at the top.
pub(super) fn dial_place(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let target = facts.need_shown(assembly::TARGET_PRESSURE)?.base();
    let unknown = || Lack::missing(assembly::TARGET_GAUGE);
    let dial = source.instrument(Subject::Gauge, facts.need_text(assembly::TARGET_GAUGE)?).ok_or_else(unknown)?;
    let end = |key| dial.shown(key).map(Quantity::base).ok_or_else(unknown);
    let (from, to) = (end(gauge::RANGE_FROM)?, end(gauge::RANGE_TO)?);
    let above = |end: Exact| Interval::point(end).checked_sub(Interval::point(from));
    checked(above(target).and_then(|place| place.checked_div(above(to)?)), Unit::Percent)
}

/// The work that the air of the air stage can do: at least what it does expanding without heat, at most what is put in by
/// filling at constant volume, which is Brode's measure of a burst.
pub(super) fn air_energy(workings: &Workings<'_>) -> Figure {
    let facts = workings.facts;
    let gauge = facts.need(assembly::TARGET_PRESSURE)?.interval;
    let volume = grown_volume(workings)?;
    let (num, den) = DEGREES_OF_FREEDOM;
    let energy = || {
        let outside = Exact::from_int(OUTSIDE);
        let low = gauge.lo().max(Exact::ZERO);
        let inside = Interval::point(low).checked_add(Interval::point(outside))?;
        let ratio = Interval::point(outside).checked_div(inside)?;
        let kept = power(ratio.hi(), ISENTROPIC_POWER)?.hi().min(Exact::ONE);
        let least = inside.checked_scale(Exact::ONE.checked_sub(kept)?)?.lo();
        // A litre at one pascal holds a thousandth of a joule.
        let factor = Exact::new(num, den.checked_mul(1000)?)?;
        Interval::new(least, gauge.hi())?.checked_mul(volume)?.checked_scale(factor)
    };
    checked(energy(), if is_metric(facts) { Unit::Kilojoule } else { Unit::FootPound })
}

/// The pressure to expect when the filling has cooled from its cores' temperature to that of the workspace, and the casing
/// has followed it. Where the mix warms as it sets, that has passed by then.
pub(super) fn pressure_after_cooling(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let target = facts.need(assembly::TARGET_PRESSURE)?;
    let air = source.need_of_job(whole::WORKSPACE_TEMPERATURE)?.interval;
    let mut shrinks: Option<Interval> = None;
    for side in source.of(Subject::Component) {
        let expansion = side.need_shown(component::EXPANSION)?.base();
        let core = side.need(component::CORE_TEMPERATURE)?.interval;
        let own =
            core.checked_sub(air).and_then(|fall| fall.checked_scale(expansion)).ok_or_else(Lack::out_of_range)?;
        let hull = |one: Interval| Interval::new(one.lo().min(own.lo()), one.hi().max(own.hi()));
        shrinks = shrinks.map_or(Some(own), hull);
    }
    let shrinks = shrinks.ok_or_else(|| Lack::missing(component::EXPANSION))?;
    let ((a, b), (c, d)) = CASING_GROWTH;
    let left = || {
        let growth = Interval::new(Exact::new(a, b)?, Exact::new(c, d)?)?;
        let kept = Interval::point(Exact::ONE).checked_sub(shrinks.checked_div(growth)?)?;
        let kept = Interval::new(kept.lo().max(Exact::ZERO), kept.hi().max(Exact::ZERO))?;
        target.interval.checked_mul(kept)
    };
    checked(left(), target.shown.unit())
}

#[cfg(test)]
mod tests {
    use super::{ICE, dew_at};

    /// Rows of a psychrometric table at 101.325 kPa, in degC, %RH and degC (MEMORY of the ASHRAE handbook).
    #[test]
    fn dew_points_are_those_of_the_table() {
        for (air, share, dew) in
            [(20.0, 0.5, 9.3), (25.0, 0.6, 16.7), (30.0, 0.8, 26.2), (10.0, 0.9, 8.4), (20.0, 1.0, 20.0)]
        {
            let found = dew_at(air + ICE, share) - ICE;
            assert!((found - dew).abs() < 0.1, "{air} degC at {share}: {found}");
        }
    }
}
