//! The pre-stretch of a new tyre, from its log: how long it was held, when that ended, and how high the pressure went.
//!
//! Between two rows the pressure and the temperature are taken to run in straight lines. Of the temperature, what the log
//! surely shows counts only readings beyond the thermometer's doubt; what it leaves possible counts all that the doubt
//! leaves open. The pressure counts as it is shown, down to the soft side of the target: the gauge that will show the
//! target read it, and a guard band there would leave a tyre that is filled to its own maximum no pressure at which to
//! be stretched. Must not know rules, or what reads the figure.

mod breaks;
mod loss;
mod near;
mod stray;
mod unread;

use super::reader::{FactReader, JobSource};
use super::{Figure, Lack, Obstacle, Parameter, highest, measured};
use crate::record::catalogue::assembly::pre_stretch_row::{AIR, LOWEST_AIR, PRESSURE};
use crate::record::catalogue::{assembly, instruments, job as whole};
use crate::record::{Column, FactKey, LogRow, Measured, Value};
use crate::units::{Exact, Instant, Interval, Quantity, Unit};
use crate::vocabulary::Subject;

pub use breaks::{BreaksStretch, StretchBreak};
pub(super) use loss::{loss, loss_share};
pub(super) use stray::{leap, stray};
pub(super) use unread::moves;

/// Standard atmosphere in Pa (ISO 2533, from memory): gauges show the pressure above the air's.
const ATMOSPHERE: i64 = 101_325;

/// The longest unbroken stretch at or above the target pressure and the limit of temperature.
pub(super) fn time(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let (rows, floor) = rows_and_floor(source, facts)?;
    let longest = |reading| {
        let runs = runs(rows, &floor, reading)?;
        Some(runs.iter().map(|run| run.length).max().unwrap_or(Exact::ZERO))
    };
    let interval = longest(Reading::Sure)
        .zip(longest(Reading::Possible))
        .and_then(|(low, high)| Interval::new(low, high))
        .ok_or_else(out_of_range)?;
    // The figure is shown by what the log surely says; the rest is only possible.
    let shown = Quantity::near_base(interval.lo(), Unit::Hour).ok_or_else(out_of_range)?;
    Ok(measured(Measured { interval, ..Measured::exact(shown) }))
}

/// When the log begins: from then on there is air in the assembly.
pub(super) fn begin(facts: FactReader<'_>) -> Figure {
    let first = facts.need_log(assembly::PRE_STRETCH_LOG)?.first();
    first.map(|row| Value::Instant(row.at)).ok_or_else(|| Lack::missing(assembly::PRE_STRETCH_LOG))
}

/// The end of the latest stretch that is surely long enough, where it crosses out of what counts. A fresh row after it
/// moves nothing, and neither does a longer stretch before it. Of a log that shows none, the end of the log: that it shows
/// none is said elsewhere.
pub(super) fn end(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let (rows, floor) = rows_and_floor(source, facts)?;
    let required = source.limit(Parameter::PreStretchTime)?;
    let latest = latest(rows, &floor, required, Reading::Sure)?;
    let end = latest.map(|run| run.until).or_else(|| rows.last().map(|last| last.at));
    end.map(Value::Instant).ok_or_else(|| Lack::missing(assembly::PRE_STRETCH_LOG))
}

/// The highest pressure of the log as it was read. What it is held against is itself a pressure by a gauge, and a log is
/// past: a tyre that was stretched at just the pressure on its sidewall could never be filled. How far a gauge may be off is
/// asked of the gauge.
pub(super) fn peak(facts: FactReader<'_>) -> Figure {
    let rows = facts.need_log(assembly::PRE_STRETCH_LOG)?.iter();
    let read = rows.filter_map(|row| row.get(PRESSURE)).map(|pressure| pressure.shown);
    let highest = read.max_by_key(|pressure| pressure.base());
    highest.map(|read| measured(Measured::exact(read))).ok_or_else(|| Lack::missing(assembly::PRE_STRETCH_LOG))
}

/// The hottest air of the log.
pub(super) fn hottest(facts: FactReader<'_>) -> Figure {
    highest(facts, assembly::PRE_STRETCH_LOG, AIR)
}

/// Coolest air of the log less air of the workspace, in kelvin and without doubt: doubt would hide a heater.
pub(super) fn above_bay(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let rows = facts.need_log(assembly::PRE_STRETCH_LOG)?;
    let air = rows.iter().filter_map(|row| row.get(AIR)).map(|air| air.shown.base());
    let coolest = air.min().ok_or_else(|| Lack::missing(assembly::PRE_STRETCH_LOG))?;
    let bay = source.need_of_job(whole::WORKSPACE_TEMPERATURE)?.shown.base();
    super::checked(near::difference(coolest, bay).map(Interval::point), Unit::One)
}

/// By how many kelvin a thermometer that keeps the lowest may read above the one beside it. Engineering estimate, no source.
const LOWEST_ABOVE: i64 = 1;

/// Whether the lowest air since the row before is at or below the air of both rows, as they are written, without doubt:
/// doubt would hide a slip.
pub(super) fn air_agrees(facts: FactReader<'_>) -> Figure {
    Ok(Value::Flag(lowest_agrees(facts.need_log(assembly::PRE_STRETCH_LOG)?, AIR, LOWEST_AIR)))
}

/// Whether in each row of a log the lowest since the row before is at or below what was read in both.
pub(super) fn lowest_agrees(rows: &[LogRow], read: Column, lowest: Column) -> bool {
    let agrees = |lowest: Exact, row: &LogRow| {
        let most = row.get(read).map(|air| near::sum(air.shown.base(), Exact::from_int(LOWEST_ABOVE)));
        most.is_none_or(|most| most.is_some_and(|most| lowest <= most))
    };
    let before = std::iter::once(None).chain(rows.iter().map(Some));
    rows.iter().zip(before).all(|(row, before)| {
        let lowest = row.get(lowest).map(|lowest| lowest.shown.base());
        lowest.is_none_or(|lowest| agrees(lowest, row) && before.is_none_or(|before| agrees(lowest, before)))
    })
}

/// Whether every reading of the log lies on the scale of the instrument that took it, the ends of the scale counted in.
pub(super) fn on_scale(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    use instruments::{gauge, thermometer};
    let rows = facts.need_log(assembly::PRE_STRETCH_LOG)?;
    let lies_on = |columns: &[Column], named: FactKey, list, from, to| -> Result<bool, Lack> {
        let instrument = source.instrument(list, facts.need_text(named)?).ok_or_else(|| Lack::missing(named))?;
        let (from, to) = (instrument.need(from)?.shown.base(), instrument.need(to)?.shown.base());
        let readings = rows.iter().flat_map(|row| columns.iter().filter_map(|column| row.get(*column)));
        Ok(readings.map(|reading| reading.shown.base()).all(|reading| from <= reading && reading <= to))
    };
    let pressures =
        lies_on(&[PRESSURE], assembly::PRE_STRETCH_GAUGE, Subject::Gauge, gauge::RANGE_FROM, gauge::RANGE_TO);
    let airs = lies_on(
        &[AIR, LOWEST_AIR],
        assembly::PRE_STRETCH_THERMOMETER,
        Subject::Thermometer,
        thermometer::RANGE_FROM,
        thermometer::RANGE_TO,
    );
    match (pressures, airs) {
        // What lies off one scale lies off it, whatever is known of the other.
        (Ok(false), _) | (_, Ok(false)) => Ok(Value::Flag(false)),
        (pressures, airs) => Ok(Value::Flag(pressures? && airs?)),
    }
}

fn out_of_range() -> Lack {
    Lack::obstacle(Obstacle::OutOfRange, &[assembly::PRE_STRETCH_LOG])
}

/// What a moment must reach to count, in base units.
struct Floor {
    target: Exact,
    /// The target less the soft side.
    pressure: Exact,
    air: Exact,
    /// The longest time between two rows that needs nothing but the rows.
    gap: Exact,
    /// The longest time between two rows that counts by a recorded lowest temperature.
    night: Exact,
}

/// The log and what its rows must reach.
fn rows_and_floor<'e>(source: JobSource<'_>, facts: FactReader<'e>) -> Result<(&'e [LogRow], Floor), Lack> {
    let rows = facts.need_log(assembly::PRE_STRETCH_LOG)?;
    let target = facts.need_shown(assembly::TARGET_PRESSURE)?.base();
    let share = near::difference(Exact::ONE, source.limit(Parameter::SoftSide)?);
    let pressure = share.and_then(|share| near::product(target, share)).ok_or_else(out_of_range)?;
    let air = source.limit(Parameter::PreStretchTemperature)?;
    let gap = source.limit(Parameter::PreStretchLongestGap)?;
    let night = source.limit(Parameter::PreStretchLongestNight)?;
    Ok((rows, Floor { target, pressure, air, gap, night }))
}

/// Which end of each reading's interval is believed.
#[derive(Clone, Copy, PartialEq)]
enum Reading {
    Sure,
    Possible,
}

impl Reading {
    fn of(self, measured: &Measured) -> Exact {
        match self {
            Self::Sure => measured.interval.lo(),
            Self::Possible => measured.interval.hi(),
        }
    }
}

/// An unbroken stretch of the log.
#[derive(Clone, Copy)]
struct Run {
    /// In seconds.
    length: Exact,
    until: Instant,
}

/// The latest stretch of at least `required` seconds.
fn latest(rows: &[LogRow], floor: &Floor, required: Exact, reading: Reading) -> Result<Option<Run>, Lack> {
    let runs = runs(rows, floor, reading).ok_or_else(out_of_range)?;
    Ok(runs.into_iter().rev().find(|run| run.length >= required))
}

/// The unbroken stretches, earliest first; `None` where the arithmetic leaves the exact range.
fn runs(rows: &[LogRow], floor: &Floor, reading: Reading) -> Option<Vec<Run>> {
    let mut found = Vec::new();
    let mut current: Option<Run> = None;
    for pair in rows.windows(2) {
        let [from, to] = pair else { continue };
        let span = to.at.seconds_since(from.at);
        let Some((start, end)) = counting(from, to, span, floor, reading)? else {
            found.extend(current.take());
            continue;
        };
        let (begins, ends) = (near::product(span, start)?, near::product(span, end)?);
        let until = from.at.checked_add_seconds(ends)?;
        let run = match current.take() {
            Some(run) if start.is_zero() => Run { length: near::sum(run.length, ends)?, until },
            before => {
                found.extend(before);
                Run { length: near::difference(ends, begins)?, until }
            }
        };
        if end < Exact::ONE { found.push(run) } else { current = Some(run) }
    }
    found.extend(current);
    Some(found)
}

/// The part of a segment between two rows, as shares of it from 0 to 1.
type Share = Option<(Exact, Exact)>;

const WHOLE: Share = Some((Exact::ZERO, Exact::ONE));

/// The part of the time between two rows that counts. The outer `None` is an arithmetic overflow.
fn counting(from: &LogRow, to: &LogRow, span: Exact, floor: &Floor, reading: Reading) -> Option<Share> {
    let lowest = to.get(LOWEST_AIR);
    let watched = span <= floor.gap;
    if reading == Reading::Possible && (!watched || lowest.is_some()) {
        // What nobody saw is not ruled out, and of a cold moment nobody knows when it was.
        return Some(WHOLE);
    }
    if !watched {
        return Some(if span <= floor.night && night_counts(from, to, floor)? { WHOLE } else { None });
    }
    if lowest.is_some_and(|lowest| reading.of(lowest) < floor.air) {
        return Some(None);
    }
    let pressure = above(from, to, PRESSURE, floor.pressure, reading, |pressure| pressure.shown.base())?;
    let air = above(from, to, AIR, floor.air, reading, |air| reading.of(air))?;
    Some(both(pressure, air))
}

/// Whether a time without rows counts: both rows and the lowest temperature between them are warm enough, and the pressure
/// of neither row, brought down to that temperature, falls below what is asked. `None` is an arithmetic overflow.
fn night_counts(from: &LogRow, to: &LogRow, floor: &Floor) -> Option<bool> {
    let Some(lowest) = to.get(LOWEST_AIR).map(|lowest| lowest.interval.lo()) else { return Some(false) };
    for row in [from, to] {
        let (Some(pressure), Some(air)) = (row.get(PRESSURE), row.get(AIR)) else { return Some(false) };
        let coldest = lowest.min(air.interval.lo());
        if coldest < floor.air {
            return Some(false);
        }
        let least = at_temperature(pressure.shown.base(), air.interval.hi(), coldest)?;
        if least < floor.pressure {
            return Some(false);
        }
    }
    Some(true)
}

/// The gauge pressure that air of constant volume has when brought from one temperature to another (Gay-Lussac).
fn at_temperature(pressure: Exact, from: Exact, to: Exact) -> Option<Exact> {
    let atmosphere = Exact::from_int(ATMOSPHERE);
    near::difference(near::quotient(near::product(near::sum(pressure, atmosphere)?, to)?, from)?, atmosphere)
}

fn both(a: Share, b: Share) -> Share {
    let ((a0, a1), (b0, b1)) = (a?, b?);
    let (start, end) = (a0.max(b0), a1.min(b1));
    (start <= end).then_some((start, end))
}

/// The part of the straight line between two readings that is at or above `floor`.
/// The outer `None` is an arithmetic overflow.
fn above(
    from: &LogRow,
    to: &LogRow,
    column: Column,
    floor: Exact,
    reading: Reading,
    value: impl Fn(&Measured) -> Exact,
) -> Option<Share> {
    let end = |row: &LogRow| row.get(column).map(&value);
    let (Some(a), Some(b)) = (end(from), end(to)) else {
        // A cell that is empty shows nothing and rules nothing out.
        return Some(if reading == Reading::Possible { WHOLE } else { None });
    };
    if a >= floor && b >= floor {
        return Some(WHOLE);
    }
    if a < floor && b < floor {
        return Some(None);
    }
    let crossing = near::quotient(near::difference(floor, a)?, near::difference(b, a)?)?;
    Some(Some(if a >= floor { (Exact::ZERO, crossing) } else { (crossing, Exact::ONE) }))
}
