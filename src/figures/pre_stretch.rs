//! The pre-stretch of a new tyre, from its log.
//!
//! Between two rows the pressure and the temperature are taken to run in straight lines. The figure is an interval: its
//! lower end counts only what the log shows beyond the instruments' doubt, its upper end all that the log leaves possible.

use super::reader::{Reader, Source};
use super::{Figure, Lack, Obstacle, Parameter, measured};
use crate::record::catalogue::assembly;
use crate::record::catalogue::assembly::pre_stretch_row::{AIR, PRESSURE};
use crate::record::{Column, LogRow, Measured, Value};
use crate::units::{Exact, Instant, Interval, Quantity, Unit};

/// The longest unbroken stretch at or above the target pressure and the limit of temperature.
pub(super) fn time(source: Source<'_>, facts: Reader<'_>) -> Figure {
    let (rows, floor) = rows_and_floor(source, facts)?;
    let shown = longest(rows, &floor, Reading::Sure).map(|run| run.length);
    let possible = longest(rows, &floor, Reading::Possible).map(|run| run.length);
    let interval = shown.zip(possible).and_then(|(low, high)| Interval::new(low, high));
    // The figure is shown by what the log surely says; the rest is only possible.
    let found = interval.zip(shown.and_then(|low| Quantity::from_base(low, Unit::Hour)));
    let (interval, shown) = found.ok_or_else(out_of_range)?;
    Ok(measured(Measured { interval, ..Measured::exact(shown) }))
}

/// The end of the stretch that counts: of the longest that the log surely shows. A fresh row after it moves nothing. Of a
/// log that shows none, the end of the log: that it shows none is said elsewhere.
pub(super) fn end(source: Source<'_>, facts: Reader<'_>) -> Figure {
    let (rows, floor) = rows_and_floor(source, facts)?;
    let run = longest(rows, &floor, Reading::Sure).ok_or_else(out_of_range)?;
    let end = run.end.or_else(|| rows.last().map(|last| last.at));
    end.map(Value::Instant).ok_or_else(|| Lack::missing(assembly::PRE_STRETCH_LOG))
}

fn out_of_range() -> Lack {
    Lack::obstacle(Obstacle::OutOfRange, &[assembly::PRE_STRETCH_LOG])
}

/// The log and what its rows must reach.
fn rows_and_floor<'e>(source: Source<'_>, facts: Reader<'e>) -> Result<(&'e [LogRow], Floor), Lack> {
    let rows = facts.need_log(assembly::PRE_STRETCH_LOG)?;
    let target = facts.need(assembly::TARGET_PRESSURE)?;
    let air = source.limit(Parameter::PreStretchTemperature)?;
    let gap = source.limit(Parameter::PreStretchLongestGap)?;
    Ok((rows, Floor { pressure: target.shown.base(), air, gap }))
}

/// The highest pressure of the log, with the gauge's doubt.
pub(super) fn peak(facts: Reader<'_>) -> Figure {
    let rows = facts.need_log(assembly::PRE_STRETCH_LOG)?;
    let pressures = rows.iter().filter_map(|row| row.get(PRESSURE));
    let highest = pressures.max_by_key(|pressure| pressure.interval.hi());
    highest.cloned().map(measured).ok_or_else(|| Lack::missing(assembly::PRE_STRETCH_LOG))
}

/// Standard atmosphere in Pa (ISO 2533, from memory): gauges show the pressure above the air's.
const ATMOSPHERE: i64 = 101_325;

/// The pressure lost over the log, every row brought to the first row's temperature: the falls from one row to a later
/// one, added up over the times that air was put in again. What lies within twice the doubt of the gauge, once for each of
/// two readings, is neither a fall nor a topping up, or a dense log would show the trembling of its gauge.
pub(super) fn loss(facts: Reader<'_>) -> Figure {
    let rows = facts.need_log(assembly::PRE_STRETCH_LOG)?;
    let cell = |row: &LogRow, column: Column| row.get(column).cloned();
    let first = rows.first().and_then(|row| Some((cell(row, PRESSURE)?, cell(row, AIR)?)));
    let (first_pressure, first_air) = first.ok_or_else(|| Lack::missing(assembly::PRE_STRETCH_LOG))?;
    let corrected = rows.iter().map(|row| {
        let (pressure, air) = (cell(row, PRESSURE)?, cell(row, AIR)?);
        at_temperature(pressure.shown.base(), air.shown.base(), first_air.shown.base())
    });
    let incomplete = || Lack::obstacle(Obstacle::RowIncomplete, &[assembly::PRE_STRETCH_LOG]);
    let corrected = corrected.collect::<Option<Vec<Exact>>>().ok_or_else(incomplete)?;
    let lost = || {
        let highest = corrected.iter().copied().max()?;
        // The thermometer's doubt stands in the correction of every row: pressure x doubt / temperature.
        let by_air = highest
            .checked_add(Exact::from_int(ATMOSPHERE))?
            .checked_mul(first_air.uncertainty.unwrap_or(Exact::ZERO))?
            .checked_div(first_air.shown.base())?;
        let doubt = first_pressure.uncertainty.unwrap_or(Exact::ZERO).checked_add(by_air)?;
        let (mut shown, mut low) = (Exact::ZERO, Exact::ZERO);
        for fall in falls(&corrected, doubt.checked_add(doubt)?)? {
            shown = shown.checked_add(fall)?;
            low = low.checked_add(fall.checked_sub(doubt)?.max(Exact::ZERO))?;
        }
        let high = shown.checked_add(doubt)?;
        let shown = Quantity::from_base(shown, first_pressure.shown.unit())?;
        Some(Measured { interval: Interval::new(low, high)?, ..Measured::exact(shown) })
    };
    lost().map(measured).ok_or_else(out_of_range)
}

/// The falls of a row of pressures, each from its highest to its lowest before air was put in again; a rise by no more
/// than the noise is no putting in. Falls within the noise are the gauge's, and only the greatest of them is given, where
/// there is no other. `None` where a difference does not fit.
fn falls(pressures: &[Exact], noise: Exact) -> Option<Vec<Exact>> {
    let mut found = Vec::new();
    let first = pressures.first()?;
    let (mut highest, mut lowest) = (*first, *first);
    for &pressure in pressures {
        if pressure > highest || pressure > lowest.checked_add(noise)? {
            found.push(highest.checked_sub(lowest)?);
            (highest, lowest) = (pressure, pressure);
        }
        lowest = lowest.min(pressure);
    }
    found.push(highest.checked_sub(lowest)?);
    let greatest = found.iter().copied().max()?;
    found.retain(|fall| *fall > noise);
    Some(if found.is_empty() { vec![greatest] } else { found })
}

/// The gauge pressure that air of constant volume has when brought from one temperature to another (Gay-Lussac).
fn at_temperature(pressure: Exact, from: Exact, to: Exact) -> Option<Exact> {
    let atmosphere = Exact::from_int(ATMOSPHERE);
    pressure.checked_add(atmosphere)?.checked_mul(to)?.checked_div(from)?.checked_sub(atmosphere)
}

/// What a moment must reach to count, in base units.
struct Floor {
    pressure: Exact,
    air: Exact,
    gap: Exact,
}

/// Which end of each reading's interval is believed.
#[derive(Clone, Copy, PartialEq)]
enum Reading {
    Sure,
    Possible,
}

/// A stretch of the log.
#[derive(Clone, Copy)]
struct Run {
    /// In seconds.
    length: Exact,
    /// When it ends; `None` for a stretch of no length.
    end: Option<Instant>,
}

impl Run {
    /// Keeps the longer of two; of equals the later.
    fn or(self, length: Exact, end: Instant) -> Self {
        if length >= self.length && length > Exact::ZERO { Self { length, end: Some(end) } } else { self }
    }
}

/// The longest stretch; `None` where the arithmetic leaves the exact range.
fn longest(rows: &[LogRow], floor: &Floor, reading: Reading) -> Option<Run> {
    let mut best = Run { length: Exact::ZERO, end: None };
    let mut current = Exact::ZERO;
    for pair in rows.windows(2) {
        let [from, to] = pair else { continue };
        let span = to.at.seconds_since(from.at);
        if span > floor.gap {
            // Nobody looked: it shows nothing, and it rules nothing out.
            current = match reading {
                Reading::Sure => Exact::ZERO,
                Reading::Possible => current.checked_add(span)?,
            };
            best = best.or(current, to.at);
            continue;
        }
        let share =
            both(above(from, to, PRESSURE, floor.pressure, reading)?, above(from, to, AIR, floor.air, reading)?);
        let Some((start, end)) = share else {
            current = Exact::ZERO;
            continue;
        };
        let length = span.checked_mul(end.checked_sub(start)?)?;
        current = if start.is_zero() { current.checked_add(length)? } else { length };
        best = best.or(current, to.at);
        if end < Exact::ONE {
            current = Exact::ZERO;
        }
    }
    Some(best)
}

/// The part of a segment, as shares of it from 0 to 1.
type Share = Option<(Exact, Exact)>;

fn both(a: Share, b: Share) -> Share {
    let ((a0, a1), (b0, b1)) = (a?, b?);
    let (start, end) = (a0.max(b0), a1.min(b1));
    (start <= end).then_some((start, end))
}

/// The part of the straight line between two readings that is at or above `floor`.
/// The outer `None` is an arithmetic overflow.
fn above(from: &LogRow, to: &LogRow, column: Column, floor: Exact, reading: Reading) -> Option<Share> {
    let end = |row: &LogRow| row.get(column).map(|measured| believed(measured, reading));
    let (Some(a), Some(b)) = (end(from), end(to)) else {
        // A cell that is empty shows nothing and rules nothing out.
        return Some(if reading == Reading::Possible { Some((Exact::ZERO, Exact::ONE)) } else { None });
    };
    if a >= floor && b >= floor {
        return Some(Some((Exact::ZERO, Exact::ONE)));
    }
    if a < floor && b < floor {
        return Some(None);
    }
    let crossing = floor.checked_sub(a)?.checked_div(b.checked_sub(a)?)?;
    Some(Some(if a >= floor { (Exact::ZERO, crossing) } else { (crossing, Exact::ONE) }))
}

fn believed(measured: &Measured, reading: Reading) -> Exact {
    match reading {
        Reading::Sure => measured.interval.lo(),
        Reading::Possible => measured.interval.hi(),
    }
}
