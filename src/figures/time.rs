//! When a cold container will be warm, and when a filled assembly may work again.
//!
//! Must not know rules, or what reads the figure.

use super::pre_stretch::lowest_agrees;
use super::reader::{FactReader, JobSource};
use super::{Figure, Lack, Obstacle, Parameter, highest};
use crate::record::catalogue::choices::ReadAt;
use crate::record::catalogue::component::{self, warming_row};
use crate::record::catalogue::job::{self as whole, workspace_row};
use crate::record::{LogRow, Measured, Value};
use crate::units::{Exact, Instant, Interval, Quantity, Unit};

/// How far a reading may lie off the fitted approach besides its thermometer's doubt; engineering estimate, no source.
const CURVE_SLACK_KELVIN: f64 = 1.0;

/// When the core reaches the processing temperature, by an exponential approach to the air around it that is fitted to
/// the readings. A reading at the wall says nothing of the core, and a trend within the readings' doubt says nothing.
pub(super) fn warm_at(source: JobSource<'_>, side: FactReader<'_>) -> Figure {
    let now = side.need(component::CORE_TEMPERATURE)?;
    let read_at = now.at.ok_or_else(|| Lack::missing(component::CORE_TEMPERATURE))?;
    let limit = source.limit(Parameter::ProcessingTemperature)?;
    if side.need_choice::<ReadAt>()? == ReadAt::Wall {
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
/// Floats are used here: the figure is only shown (`FigureSpec::only_shown`), and no rule may ask for it.
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

/// The rows of the warming before the core was read, and that reading.
fn warming(side: FactReader<'_>) -> Result<(Vec<(Instant, Exact)>, Instant), Lack> {
    let now = side.need(component::CORE_TEMPERATURE)?;
    let read_at = now.at.ok_or_else(|| Lack::missing(component::CORE_TEMPERATURE))?;
    let rows = side.need_log(component::WARMING)?.iter();
    let rows = rows.filter_map(|row| Some((row.at, row.get(warming_row::TEMPERATURE)?.shown.base())));
    let mut course: Vec<(Instant, Exact)> = rows.collect();
    course.push((read_at, now.shown.base()));
    Ok((course, read_at))
}

/// The hottest of the earlier readings, with its doubt.
pub(super) fn warming_hottest(side: FactReader<'_>) -> Figure {
    highest(side, component::WARMING, warming_row::TEMPERATURE)
}

/// Whether every earlier reading lies before the one of the core.
pub(super) fn warming_before(side: FactReader<'_>) -> Figure {
    let (course, read_at) = warming(side)?;
    Ok(Value::Flag(course.iter().filter(|(at, _)| *at >= read_at).count() == 1))
}

/// How fast the core rose or fell between two readings, at its fastest, in kelvin an hour, by the readings as they are: a
/// doubt that was taken off the change would clear it. A shorter time between two readings counts as the least span, so that
/// the jitter of a probe is no change. A full container cools no faster than it warms.
pub(super) fn warming_rate(source: JobSource<'_>, side: FactReader<'_>) -> Figure {
    let (course, _) = warming(side)?;
    let least = source.limit(Parameter::WarmingSpan)?;
    let rate = |pair: &[(Instant, Exact)]| {
        let [(from, before), (to, after)] = pair else { return None };
        let hours = to.seconds_since(*from).max(least).checked_div(Exact::from_int(3_600))?;
        after.checked_sub(*before)?.abs().checked_div(hours)
    };
    let fastest = course.windows(2).filter_map(rate).fold(Exact::ZERO, Exact::max);
    super::between(Interval::point(fastest), Unit::One)
}

/// The hottest row of the workspace log.
pub(super) fn log_hottest(source: JobSource<'_>) -> Figure {
    let shop = source.whole().ok_or_else(|| Lack::missing(whole::WORKSPACE_LOG))?;
    let rows = shop.need_log(whole::WORKSPACE_LOG)?.iter();
    let columns = [workspace_row::TEMPERATURE, workspace_row::LOWEST_AIR];
    let readings = rows.flat_map(|row| columns.into_iter().filter_map(|column| row.get(column)));
    let readings = readings.map(|reading| reading.shown);
    let hottest = readings.max_by(|one, other| one.base().cmp(&other.base()));
    let hottest = hottest.ok_or_else(|| Lack::missing(whole::WORKSPACE_LOG))?;
    Ok(super::measured(Measured::exact(hottest)))
}

/// Whether every lowest temperature of the workspace log is at or below what was read before and after it.
pub(super) fn log_agrees(source: JobSource<'_>) -> Figure {
    let shop = source.whole().ok_or_else(|| Lack::missing(whole::WORKSPACE_LOG))?;
    let rows = shop.need_log(whole::WORKSPACE_LOG)?;
    Ok(Value::Flag(lowest_agrees(rows, workspace_row::TEMPERATURE, workspace_row::LOWEST_AIR)))
}

/// The earliest return to service: the planned start and the cure time. It is a plan: after the last row the workspace
/// is taken to stay as it was read.
pub(super) fn ready_to_serve(source: JobSource<'_>) -> Figure {
    let shop = source.whole().ok_or_else(|| Lack::missing(whole::PLANNED_START))?;
    ready_from(source, shop.need_instant(whole::PLANNED_START)?, Unwatched::AsRead).map(Value::Instant)
}

/// What counts for the hours that no row of the workspace log covers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unwatched {
    /// As warm as the workspace was last read: for a plan.
    AsRead,
    /// Not shown to be warm: for a cure that is to be over.
    NotShown,
}

/// The earliest return to service where the cure begins at this instant.
///
/// An hour that is shown to be warm does its share of the ordinary cure time, any other hour its share of the cold one.
/// So without a log the cold cure time passes, and a log shortens it and never makes it longer; what it shows to be
/// colder than the data sheet allows does not count towards the time of the sheet at all.
pub(super) fn ready_from(source: JobSource<'_>, start: Instant, unwatched: Unwatched) -> Result<Instant, Lack> {
    let shop = source.whole().ok_or_else(|| Lack::missing(whole::PLANNED_START))?;
    let air = shop.need(whole::WORKSPACE_TEMPERATURE)?;
    let least = shop.shown(whole::CURE_TEMPERATURE).map(Quantity::base);
    let ruled = source.limit(Parameter::WorkspaceTemperature)?;
    let warm = least.map_or(ruled, |least| least.max(ruled));
    let by_sheet = shop.shown(whole::CURE_TIME).map(Quantity::base);
    let planned = shop.shown(whole::CURE_PLANNED).map_or(Exact::ZERO, Quantity::base);
    let asked = by_sheet.map_or(planned, |time| time.max(planned));
    let ordinary = source.limit(Parameter::CureTime)?;
    let usual = ordinary.max(asked);
    let cold = source.limit(Parameter::ColdCureTime)?.max(usual);
    let rows = shop.log(whole::WORKSPACE_LOG).unwrap_or(&[]);
    let gap = source.limit(Parameter::WorkspaceLongestGap)?;
    let night = source.limit(Parameter::WorkspaceLongestNight)?;
    // A reading whose doubt nobody knows shows nothing where something is to be shown.
    let doubt = air.uncertainty.or((unwatched == Unwatched::AsRead).then_some(Exact::ZERO));
    let course = Watch { warm, least, doubt, gap, night, unwatched }.course(air, rows, start);
    let each = |span: &BetweenLooks| if span.warm { cold } else { usual };
    let cured = usual.checked_mul(cold).and_then(|need| finish(&course, need, each)).ok_or_else(Lack::out_of_range)?;
    if course.last().is_some_and(|last| last.below) && !rows.is_empty() {
        return Err(Lack::obstacle(Obstacle::EndsCold, &[whole::WORKSPACE_LOG]));
    }
    let counted = |span: &BetweenLooks| if span.below && !rows.is_empty() { Exact::ZERO } else { Exact::ONE };
    let by_sheet = finish(&course, by_sheet.unwrap_or(ordinary), counted).ok_or_else(Lack::out_of_range)?;
    Ok(cured.max(by_sheet))
}

/// A time between two looks at the workspace; the last one has no end.
struct BetweenLooks {
    from: Instant,
    to: Option<Instant>,
    /// Both looks show warmth, and lie near enough to one another, or the lowest between them shows it too.
    warm: bool,
    /// One of them shows less than the data sheet allows.
    below: bool,
}

/// When as much is gathered as is needed, where each second of a span gives what `each` says; in whole seconds, upwards.
fn finish(course: &[BetweenLooks], need: Exact, each: impl Fn(&BetweenLooks) -> Exact) -> Option<Instant> {
    let mut left = need;
    for span in course {
        let rate = each(span);
        let given = match span.to {
            Some(to) => Some(to.seconds_since(span.from).checked_mul(rate)?),
            None => None,
        };
        if rate > Exact::ZERO && given.is_none_or(|given| given >= left) {
            let seconds = left.checked_div(rate)?;
            let whole = seconds.numer().div_euclid(seconds.denom());
            let whole =
                if whole.checked_mul(seconds.denom())? == seconds.numer() { whole } else { whole.checked_add(1)? };
            return span.from.checked_add_seconds(Exact::new(whole, 1)?);
        }
        left = left.checked_sub(given?)?;
    }
    None
}

/// What a row of the workspace log must show, in base units.
struct Watch {
    warm: Exact,
    /// The least temperature of the data sheet.
    least: Option<Exact>,
    /// The doubt of the thermometer that reads the workspace; a row's own, where it is greater.
    doubt: Option<Exact>,
    /// The longest time between two rows that still counts as watched.
    gap: Exact,
    /// The longest where the lowest between them is known.
    night: Exact,
    unwatched: Unwatched,
}

/// One look at the workspace.
#[derive(Clone, Copy)]
struct WorkspaceLook {
    at: Instant,
    warm: bool,
    below: bool,
}

impl Watch {
    fn seen(&self, at: Instant, reading: Option<&Measured>) -> WorkspaceLook {
        let shown = reading.map(|reading| reading.shown.base());
        let low = reading.zip(self.doubt).and_then(|(reading, doubt)| {
            let sure = reading.shown.base().checked_sub(doubt)?;
            Some(sure.min(reading.interval.lo()))
        });
        WorkspaceLook {
            at,
            warm: low.is_some_and(|low| low >= self.warm),
            below: shown.zip(self.least).is_some_and(|(shown, least)| shown < least),
        }
    }

    /// The spans from the start on. At the start the workspace is as it was read before, and as the last row before says.
    fn course(&self, air: &Measured, rows: &[LogRow], start: Instant) -> Vec<BetweenLooks> {
        let of_row = |row: &LogRow| self.seen(row.at, row.get(workspace_row::TEMPERATURE));
        let mut first = self.seen(start, Some(air));
        if let Some(before) = rows.iter().rev().find(|row| row.at <= start).map(of_row) {
            first = WorkspaceLook { at: start, warm: first.warm && before.warm, below: before.below };
        }
        let mut looks = vec![first];
        looks.extend(rows.iter().filter(|row| row.at > start).map(of_row));
        let mut course: Vec<BetweenLooks> = looks
            .windows(2)
            .filter_map(|pair| {
                let [one, other] = pair else { return None };
                let lowest = rows.iter().find(|row| row.at == other.at)?.get(workspace_row::LOWEST_AIR);
                let lowest = lowest.map(|lowest| self.seen(other.at, Some(lowest)));
                let watched = other.at.seconds_since(one.at) <= if lowest.is_some() { self.night } else { self.gap };
                let warm = watched && [Some(*one), Some(*other), lowest].into_iter().flatten().all(|look| look.warm);
                let below = [Some(*one), Some(*other), lowest].into_iter().flatten().any(|look| look.below);
                Some(BetweenLooks { from: one.at, to: Some(other.at), warm, below })
            })
            .collect();
        if let Some(last) = looks.last() {
            let warm = last.warm && self.unwatched == Unwatched::AsRead;
            course.push(BetweenLooks { from: last.at, to: None, warm, below: last.below });
        }
        course
    }
}
