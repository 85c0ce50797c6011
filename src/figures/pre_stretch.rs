//! The pre-stretch of a new tyre, from its log.
//!
//! Between two rows the pressure and the temperature are taken to run in straight lines. The figure is an interval: its
//! lower end counts only what the log shows beyond the instruments' doubt, its upper end all that the log leaves possible.

use super::{Figure, Parameter, Parameters};
use crate::record::catalogue::assembly;
use crate::record::{Entity, LogRow, Measured};
use crate::units::{Exact, Instant, Interval, Quantity, Unit};

/// Columns of a row after its instant.
const PRESSURE: usize = 0;
const AIR: usize = 1;

/// The longest unbroken stretch at or above the target pressure and the limit of temperature.
pub(super) fn time(entity: &Entity, parameters: &Parameters) -> Figure {
    let (rows, floor) = match rows_and_floor(entity, parameters) {
        Ok(found) => found,
        Err(figure) => return figure,
    };
    let shown = longest(rows, &floor, Reading::Sure).map(|run| run.length);
    let possible = longest(rows, &floor, Reading::Possible).map(|run| run.length);
    let interval = shown.zip(possible).and_then(|(low, high)| Interval::new(low, high));
    // The figure is shown by what the log surely says; the rest is only possible.
    match interval.zip(shown.and_then(|low| Quantity::from_base(low, Unit::Hour))) {
        Some((interval, shown)) => Figure::of(Measured { interval, ..Measured::exact(shown) }),
        None => Figure::obstacle(super::OUT_OF_RANGE, &[assembly::PRE_STRETCH_LOG]),
    }
}

/// The end of the stretch that counts: of the longest that the log surely shows. A fresh row after it moves nothing. Of a
/// log that shows none, the end of the log: that it shows none is said elsewhere.
pub(super) fn end(entity: &Entity, parameters: &Parameters) -> Figure {
    let (rows, floor) = match rows_and_floor(entity, parameters) {
        Ok(found) => found,
        Err(figure) => return figure,
    };
    match longest(rows, &floor, Reading::Sure) {
        Some(Run { end: Some(end), .. }) => Figure::at(end),
        Some(Run { end: None, .. }) => match rows.last() {
            Some(last) => Figure::at(last.at),
            None => Figure::missing(&[assembly::PRE_STRETCH_LOG]),
        },
        None => Figure::obstacle(super::OUT_OF_RANGE, &[assembly::PRE_STRETCH_LOG]),
    }
}

/// The log and what its rows must reach, or the figure that says what is lacking.
fn rows_and_floor<'e>(entity: &'e Entity, parameters: &Parameters) -> Result<(&'e [LogRow], Floor), Figure> {
    let rows = entity.facts.log(assembly::PRE_STRETCH_LOG);
    let rows = rows.ok_or_else(|| Figure::missing(&[assembly::PRE_STRETCH_LOG]))?;
    let target = entity.facts.measured(assembly::TARGET_PRESSURE);
    let target = target.ok_or_else(|| Figure::missing(&[assembly::TARGET_PRESSURE]))?;
    let needs = (parameters.get(Parameter::PreStretchTemperature), parameters.get(Parameter::PreStretchLongestGap));
    let (Some(air), Some(gap)) = needs else {
        return Err(Figure::obstacle("no pack in force sets the limits of the pre-stretch", &[]));
    };
    Ok((rows, Floor { pressure: target.shown.base(), air, gap }))
}

/// The highest pressure of the log, with the gauge's doubt.
pub(super) fn peak(entity: &Entity) -> Figure {
    let Some(rows) = entity.facts.log(assembly::PRE_STRETCH_LOG) else {
        return Figure::missing(&[assembly::PRE_STRETCH_LOG]);
    };
    let pressures = rows.iter().filter_map(|row| row.readings.get(PRESSURE)?.as_ref());
    match pressures.max_by_key(|pressure| pressure.interval.hi()) {
        Some(highest) => Figure::of(highest.clone()),
        None => Figure::missing(&[assembly::PRE_STRETCH_LOG]),
    }
}

/// Standard atmosphere in Pa (ISO 2533, from memory): gauges show the pressure above the air's.
const ATMOSPHERE: i64 = 101_325;

/// The pressure lost over the log, every row brought to the first row's temperature: the falls from one row to a later
/// one, added up over the times that air was put in again. What lies within twice the doubt of the gauge, once for each of
/// two readings, is neither a fall nor a topping up, or a dense log would show the trembling of its gauge.
pub(super) fn loss(entity: &Entity) -> Figure {
    let Some(rows) = entity.facts.log(assembly::PRE_STRETCH_LOG) else {
        return Figure::missing(&[assembly::PRE_STRETCH_LOG]);
    };
    let cell = |row: &LogRow, column: usize| row.readings.get(column).cloned().flatten();
    let Some((first_pressure, first_air)) = rows.first().and_then(|row| Some((cell(row, PRESSURE)?, cell(row, AIR)?)))
    else {
        return Figure::missing(&[assembly::PRE_STRETCH_LOG]);
    };
    let Some(corrected) = rows
        .iter()
        .map(|row| {
            let (pressure, air) = (cell(row, PRESSURE)?, cell(row, AIR)?);
            at_temperature(pressure.shown.base(), air.shown.base(), first_air.shown.base())
        })
        .collect::<Option<Vec<Exact>>>()
    else {
        return Figure::obstacle("a row of the log has no pressure or no temperature", &[assembly::PRE_STRETCH_LOG]);
    };
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
    lost().map_or_else(|| Figure::obstacle(super::OUT_OF_RANGE, &[assembly::PRE_STRETCH_LOG]), Figure::of)
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
fn above(from: &LogRow, to: &LogRow, column: usize, floor: Exact, reading: Reading) -> Option<Share> {
    let end = |row: &LogRow| row.readings.get(column).and_then(Option::as_ref).map(|m| believed(m, reading));
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
