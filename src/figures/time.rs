//! When a cold container will be warm, and when a filled assembly may work again.

use super::{Figure, Parameter, Parameters};
use crate::record::catalogue::{component, job as whole};
use crate::record::{Entity, Job, Value};
use crate::units::{Exact, Instant};

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
    if now.interval.lo() >= limit {
        return instant(read_at);
    }
    match facts.text(component::READ_AT) {
        Some("wall") => {
            return Figure::obstacle("a reading at the wall does not tell the core", &[component::READ_AT]);
        }
        None => return Figure::missing(&[component::READ_AT]),
        Some(_) => {}
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
        .map_or_else(|why| Figure::obstacle(why, &[component::WARMING]), instant)
}

fn instant(at: Instant) -> Figure {
    Figure { value: Some(Value::Instant(at)), ..Figure::default() }
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
    );
    let (Some(warm), Some(usual), Some(cold)) = limits else {
        return Figure::obstacle("no pack in force sets the cure times", &[]);
    };
    let by_rule = if air.interval.lo() >= warm { usual } else { cold };
    let planned = shop.facts.measured(whole::CURE_PLANNED).map_or(Exact::ZERO, |planned| planned.shown.base());
    let stopped = cold_seconds(shop, *start, warm);
    let ready = stopped
        .and_then(|stopped| by_rule.max(planned).checked_add(stopped))
        .and_then(|seconds| start.checked_add_seconds(seconds));
    match ready {
        Some(ready) => instant(ready),
        None => Figure::obstacle(super::OUT_OF_RANGE, &[]),
    }
}

/// The seconds after the start for which the workspace log does not show warmth: a stretch counts as warm only when
/// both of its ends are.
fn cold_seconds(shop: &Entity, start: Instant, warm: Exact) -> Option<Exact> {
    let rows = shop.facts.log(whole::WORKSPACE_LOG).unwrap_or(&[]);
    let mut cold = Exact::ZERO;
    for pair in rows.windows(2) {
        let [from, to] = pair else { continue };
        let is_warm = |row: &crate::record::LogRow| {
            row.readings.first().and_then(Option::as_ref).is_some_and(|reading| reading.interval.lo() >= warm)
        };
        if to.at > start && !(is_warm(from) && is_warm(to)) {
            cold = cold.checked_add(to.at.seconds_since(from.at.max(start)))?;
        }
    }
    Some(cold)
}
