//! When a cold container will be warm, and when a filled assembly may work again.

use super::reader::{Reader, Source};
use super::{Figure, Lack, Obstacle, Parameter};
use crate::record::catalogue::component::{self, warming_row};
use crate::record::catalogue::job::{self as whole, workspace_row};
use crate::record::{LogRow, Value};
use crate::units::{Exact, Instant, Quantity};

/// How far a reading may lie off the fitted approach besides its thermometer's doubt; engineering estimate, no source.
const CURVE_SLACK_KELVIN: f64 = 1.0;

/// When the core reaches the processing temperature, by an exponential approach to the air around it that is fitted to
/// the readings. A reading at the wall says nothing of the core, and a trend within the readings' doubt says nothing.
pub(super) fn warm_at(source: Source<'_>, side: Reader<'_>) -> Figure {
    let now = side.need(component::CORE_TEMPERATURE)?;
    let read_at = now.at.ok_or_else(|| Lack::missing(component::CORE_TEMPERATURE))?;
    let limit = source.limit(Parameter::ProcessingTemperature)?;
    if side.need_text(component::READ_AT)? == "wall" {
        return Err(Lack::obstacle(Obstacle::ReadAtWall, &[component::READ_AT]));
    }
    if now.interval.lo() >= limit {
        return Ok(Value::Instant(read_at));
    }
    let log = side.need_log(component::WARMING)?;
    let air = source.need_of_job(whole::WORKSPACE_TEMPERATURE)?;
    let doubt = now.uncertainty.unwrap_or(Exact::ZERO);
    let mut readings: Vec<(Instant, Exact)> = log
        .iter()
        .filter_map(|row| Some((row.at, row.get(warming_row::TEMPERATURE)?.shown.base())))
        .filter(|(at, _)| *at < read_at)
        .collect();
    readings.push((read_at, now.shown.base()));
    let warm = approach(&readings, air.interval.lo(), limit, doubt);
    warm.map(Value::Instant).map_err(|why| Lack::obstacle(why, &[component::WARMING]))
}

/// The instant at which the fitted approach reaches `limit` plus the thermometer's doubt, rounded up to a minute.
/// Floats are used here: the result is told, and no rule may compare it closer than its minute.
fn approach(readings: &[(Instant, Exact)], air: Exact, limit: Exact, doubt: Exact) -> Result<Instant, Obstacle> {
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else { return Err(Obstacle::NoRate) };
    let needed = limit.checked_add(doubt).ok_or(Obstacle::OutOfRange)?;
    if air <= needed {
        return Err(Obstacle::AirNotWarmer);
    }
    let risen = last.1.checked_sub(first.1).ok_or(Obstacle::OutOfRange)?;
    if readings.len() < 2 || risen <= doubt.checked_add(doubt).ok_or(Obstacle::OutOfRange)? {
        return Err(Obstacle::NoRate);
    }
    if readings.iter().any(|(_, reading)| *reading >= air) {
        return Err(Obstacle::NotBelowAir);
    }
    let falls = readings.windows(2).any(|pair| {
        let [(_, before), (_, after)] = pair else { return false };
        before.checked_sub(*after).is_none_or(|fallen| fallen > doubt)
    });
    if falls {
        return Err(Obstacle::ReadingFalls);
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
        return Err(Obstacle::NotOneApproach);
    }
    // Every reading must lie by the curve, or the curve is not what the container does.
    let slack = 2.0 * doubt.to_f64() + CURVE_SLACK_KELVIN;
    let off = |(t, y): &(f64, f64)| ((mean_y + slope * (t - mean_t)).exp() - y.exp()).abs();
    if points.iter().any(|point| off(point) > slack) {
        return Err(Obstacle::NotOneApproach);
    }
    let gap_now = air.checked_sub(last.1).ok_or(Obstacle::OutOfRange)?.to_f64();
    let gap_then = air.checked_sub(needed).ok_or(Obstacle::OutOfRange)?.to_f64();
    let seconds = (gap_now / gap_then).ln() / -slope;
    let minutes = Exact::from_f64_up((seconds / 60.0).ceil()).ok_or(Obstacle::OutOfRange)?;
    let seconds = minutes.checked_mul(Exact::from_int(60)).ok_or(Obstacle::OutOfRange)?;
    last.0.checked_add_seconds(seconds).ok_or(Obstacle::OutOfRange)
}

/// The earliest return to service: the planned start and the cure time, with cold hours left out of the count.
pub(super) fn ready_to_serve(source: Source<'_>) -> Figure {
    let shop = source.whole().ok_or_else(|| Lack::missing(whole::PLANNED_START))?;
    ready_from(source, shop.need_instant(whole::PLANNED_START)?)
}

/// The earliest return to service where the cure begins at this instant.
pub(super) fn ready_from(source: Source<'_>, start: Instant) -> Figure {
    let shop = source.whole().ok_or_else(|| Lack::missing(whole::PLANNED_START))?;
    let air = shop.need(whole::WORKSPACE_TEMPERATURE)?;
    let warm = source.limit(Parameter::WorkspaceTemperature)?;
    let (usual, cold) = (source.limit(Parameter::CureTime)?, source.limit(Parameter::ColdCureTime)?);
    let by_rule = if air.interval.lo() >= warm { usual } else { cold };
    let planned = shop.shown(whole::CURE_PLANNED).map_or(Exact::ZERO, Quantity::base);
    let rows = shop.log(whole::WORKSPACE_LOG).unwrap_or(&[]);
    let gap = source.limit(Parameter::WorkspaceLongestGap)?;
    let watch = Watch { warm, doubt: air.uncertainty.unwrap_or(Exact::ZERO), gap };
    if rows.last().is_some_and(|last| last.at > start && !watch.shows_warm(last)) {
        return Err(Lack::obstacle(Obstacle::EndsCold, &[whole::WORKSPACE_LOG]));
    }
    let stopped = watch.cold_seconds(rows, start);
    let ready = stopped
        .and_then(|stopped| by_rule.max(planned).checked_add(stopped))
        .and_then(|seconds| start.checked_add_seconds(seconds));
    ready.map(Value::Instant).ok_or_else(Lack::out_of_range)
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
        let Some(reading) = row.get(workspace_row::TEMPERATURE) else { return false };
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
