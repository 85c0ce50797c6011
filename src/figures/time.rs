//! When a cold container will be warm, and when a filled assembly may work again.

use super::{Figure, Parameter, Parameters};
use crate::record::catalogue::{component, job as whole};
use crate::record::{Entity, Job, LogRow, Value};
use crate::units::{Exact, Instant};

/// How far a reading may lie off the fitted approach besides its thermometer's doubt; engineering estimate, no source.
const CURVE_SLACK_KELVIN: f64 = 1.0;

/// When the core reaches the processing temperature, by an exponential approach to the air around it that is fitted to
/// the readings. A reading at the wall says nothing of the core, and a trend within the readings' doubt says nothing.
pub(super) fn warm_at(job: &Job, side: &Entity, parameters: &Parameters) -> Figure {
    let facts = &side.facts;
    let Some(now) = facts.measured(component::CORE_TEMPERATURE) else {
        return Figure::missing(&[component::CORE_TEMPERATURE]);
    };
    let Some(read_at) = now.at else { return Figure::missing(&[component::CORE_TEMPERATURE]) };
    let Some(limit) = parameters.get(Parameter::ProcessingTemperature) else {
        return Figure::obstacle("no pack in force sets the processing temperature", &[]);
    };
    match facts.text(component::READ_AT) {
        Some("wall") => {
            return Figure::obstacle("a reading at the wall does not tell the core", &[component::READ_AT]);
        }
        None => return Figure::missing(&[component::READ_AT]),
        Some(_) => {}
    }
    if now.interval.lo() >= limit {
        return Figure::at(read_at);
    }
    let Some(log) = facts.log(component::WARMING) else { return Figure::missing(&[component::WARMING]) };
    let air = job.whole().and_then(|job| job.facts.measured(whole::WORKSPACE_TEMPERATURE));
    let Some(air) = air else { return Figure::missing(&[whole::WORKSPACE_TEMPERATURE]) };
    let doubt = now.uncertainty.unwrap_or(Exact::ZERO);
    let mut readings: Vec<(Instant, Exact)> = log
        .iter()
        .filter_map(|row| Some((row.at, row.readings.first()?.as_ref()?.shown.base())))
        .filter(|(at, _)| *at < read_at)
        .collect();
    readings.push((read_at, now.shown.base()));
    approach(&readings, air.interval.lo(), limit, doubt)
        .map_or_else(|why| Figure::obstacle(why, &[component::WARMING]), Figure::at)
}

/// The instant at which the fitted approach reaches `limit` plus the thermometer's doubt, rounded up to a minute.
/// Floats are used here: the result is told, and no rule may compare it closer than its minute.
fn approach(readings: &[(Instant, Exact)], air: Exact, limit: Exact, doubt: Exact) -> Result<Instant, &'static str> {
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else { return Err("there are no readings") };
    let needed = limit.checked_add(doubt).ok_or(super::OUT_OF_RANGE)?;
    if air <= needed {
        return Err("the air around it is not warmer than the limit, so it will never get there");
    }
    let risen = last.1.checked_sub(first.1).ok_or(super::OUT_OF_RANGE)?;
    if readings.len() < 2 || risen <= doubt.checked_add(doubt).ok_or(super::OUT_OF_RANGE)? {
        return Err("the readings do not differ by more than the thermometer's doubt, so they show no rate");
    }
    if readings.iter().any(|(_, reading)| *reading >= air) {
        return Err("a reading is not below the air around it, so the approach does not describe it");
    }
    let falls = readings.windows(2).any(|pair| {
        let [(_, before), (_, after)] = pair else { return false };
        before.checked_sub(*after).is_none_or(|fallen| fallen > doubt)
    });
    if falls {
        return Err("a reading is lower than the one before it, so the approach does not describe them");
    }
    // Least squares of ln(air - reading) against time; its slope is minus the rate.
    let points: Vec<(f64, f64)> = readings
        .iter()
        .filter_map(|(at, reading)| {
            Some((at.seconds_since(first.0).to_f64(), air.checked_sub(*reading)?.to_f64().ln()))
        })
        .collect();
    #[expect(clippy::cast_precision_loss, reason = "a log has a few thousand rows at most")]
    let count = points.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
    let (mean_t, mean_y) = (mean(|p| p.0), mean(|p| p.1));
    let slope = points.iter().map(|(t, y)| (t - mean_t) * (y - mean_y)).sum::<f64>()
        / points.iter().map(|(t, _)| (t - mean_t).powi(2)).sum::<f64>();
    if !slope.is_finite() || slope >= 0.0 {
        return Err("the readings do not rise towards the air's temperature");
    }
    // Every reading must lie by the curve, or the curve is not what the container does.
    let slack = 2.0 * doubt.to_f64() + CURVE_SLACK_KELVIN;
    let off = |(t, y): &(f64, f64)| ((mean_y + slope * (t - mean_t)).exp() - y.exp()).abs();
    if points.iter().any(|point| off(point) > slack) {
        return Err("the readings do not lie on one approach to the air's temperature");
    }
    let gap_now = air.checked_sub(last.1).ok_or(super::OUT_OF_RANGE)?.to_f64();
    let gap_then = air.checked_sub(needed).ok_or(super::OUT_OF_RANGE)?.to_f64();
    let seconds = (gap_now / gap_then).ln() / -slope;
    let minutes = Exact::from_f64_up((seconds / 60.0).ceil()).ok_or(super::OUT_OF_RANGE)?;
    let seconds = minutes.checked_mul(Exact::from_int(60)).ok_or(super::OUT_OF_RANGE)?;
    last.0.checked_add_seconds(seconds).ok_or(super::OUT_OF_RANGE)
}

/// The earliest return to service: the planned start and the cure time, with cold hours left out of the count.
pub(super) fn ready_to_serve(job: &Job, parameters: &Parameters) -> Figure {
    let Some(shop) = job.whole() else { return Figure::missing(&[whole::PLANNED_START]) };
    let Some(Value::Instant(start)) = shop.facts.get(whole::PLANNED_START) else {
        return Figure::missing(&[whole::PLANNED_START]);
    };
    let Some(air) = shop.facts.measured(whole::WORKSPACE_TEMPERATURE) else {
        return Figure::missing(&[whole::WORKSPACE_TEMPERATURE]);
    };
    let limits = (
        parameters.get(Parameter::WorkspaceTemperature),
        parameters.get(Parameter::CureTime),
        parameters.get(Parameter::ColdCureTime),
        parameters.get(Parameter::WorkspaceLongestGap),
    );
    let (Some(warm), Some(usual), Some(cold), Some(longest)) = limits else {
        return Figure::obstacle("no pack in force sets the cure times", &[]);
    };
    let by_rule = if air.interval.lo() >= warm { usual } else { cold };
    let planned = shop.facts.measured(whole::CURE_PLANNED).map_or(Exact::ZERO, |planned| planned.shown.base());
    let rows = shop.facts.log(whole::WORKSPACE_LOG).unwrap_or(&[]);
    let watch = Watch { warm, doubt: air.uncertainty.unwrap_or(Exact::ZERO), gap: longest };
    if rows.last().is_some_and(|last| last.at > *start && !watch.shows_warm(last)) {
        let why = "the workspace log ends in the cold, so nobody can tell when the hours count again";
        return Figure::obstacle(why, &[whole::WORKSPACE_LOG]);
    }
    let stopped = watch.cold_seconds(rows, *start);
    let ready = stopped
        .and_then(|stopped| by_rule.max(planned).checked_add(stopped))
        .and_then(|seconds| start.checked_add_seconds(seconds));
    match ready {
        Some(ready) => Figure::at(ready),
        None => Figure::obstacle(super::OUT_OF_RANGE, &[]),
    }
}

/// What a row of the workspace log must show, in base units.
struct Watch {
    warm: Exact,
    /// The doubt of the thermometer that reads the workspace; a row's own, where it is greater.
    doubt: Exact,
    /// The longest time between two rows that still counts as watched.
    gap: Exact,
}

impl Watch {
    fn shows_warm(&self, row: &LogRow) -> bool {
        let Some(Some(reading)) = row.readings.first() else { return false };
        let sure = reading.shown.base().checked_sub(self.doubt).map(|low| low.min(reading.interval.lo()));
        sure.is_some_and(|low| low >= self.warm)
    }

    /// The seconds after the start for which the log does not show warmth: a stretch counts as warm only when both of its
    /// ends are and somebody looked often enough. Before the first row the start itself counts as its temperature tells.
    fn cold_seconds(&self, rows: &[LogRow], start: Instant) -> Option<Exact> {
        let mut cold = Exact::ZERO;
        let mut count = |from: Instant, to: Instant| -> Option<()> {
            cold = cold.checked_add(to.seconds_since(from.max(start)))?;
            Some(())
        };
        if let Some(first) = rows.first().filter(|first| first.at > start)
            && (!self.shows_warm(first) || first.at.seconds_since(start) > self.gap)
        {
            count(start, first.at)?;
        }
        for pair in rows.windows(2) {
            let [from, to] = pair else { continue };
            let watched = to.at.seconds_since(from.at) <= self.gap;
            if to.at > start && !(watched && self.shows_warm(from) && self.shows_warm(to)) {
                count(from.at, to.at)?;
            }
        }
        Some(cold)
    }
}
