//! What broke a stretch: the first part of its log whose hours do not surely count, and why.
//!
//! Must not know words, nor how long a stretch must be.

use super::{Floor, Reading, WHOLE, at_temperature, counting, rows_and_floor};
use crate::figures::Workings;
use crate::record::catalogue::assembly::pre_stretch_row::{AIR, LOWEST_AIR, PRESSURE};
use crate::record::{LogRow, Measured};
use crate::units::{Exact, Instant};

/// Between two rows of a log, hours that do not surely count as one stretch.
#[derive(Debug, Clone, PartialEq)]
pub struct StretchBreak {
    /// The row before.
    pub from: Instant,
    /// The row behind.
    pub to: Instant,
    /// Why they do not.
    pub why: BreaksStretch,
}

/// Why hours of a stretch do not count. Limits are in base units: seconds, kelvin, pascal.
#[derive(Debug, Clone, PartialEq)]
pub enum BreaksStretch {
    /// Nobody looked for longer than counts.
    NobodyLooked {
        /// The longest time that counts by the rows alone.
        most: Exact,
        /// The longest time that counts by a recorded lowest temperature.
        night: Exact,
    },
    /// A reading of the air is too cold, its doubt taken off.
    TooCold {
        /// What it says.
        air: Box<Measured>,
        /// When it was written down.
        at: Instant,
        /// Whether it is the lowest since the row before.
        is_lowest: bool,
        /// The least that counts.
        least: Exact,
    },
    /// The pressure is below what counts.
    TooSoft {
        /// What the gauge showed.
        pressure: Box<Measured>,
        /// When.
        at: Instant,
        /// The least that counts.
        least: Exact,
        /// Whether it falls below that only where it is brought down to the lowest temperature of a time without rows.
        at_lowest: bool,
    },
    /// A row lacks a reading.
    Incomplete,
}

impl Workings<'_> {
    /// The first part of the stretch log of this assembly that broke a run of hours which count, or that kept one from
    /// beginning; `None` where all hours of the log count, and where the log or a limit is not known.
    pub fn stretch_break(&self) -> Option<StretchBreak> {
        let (rows, floor) = rows_and_floor(self.source, self.facts).ok()?;
        let mut before: Option<StretchBreak> = None;
        let mut is_running = false;
        for pair in rows.windows(2) {
            let [from, to] = pair else { continue };
            let span = to.at.seconds_since(from.at);
            let share = counting(from, to, span, &floor, Reading::Sure)?;
            if share == WHOLE {
                is_running = true;
                continue;
            }
            let found = StretchBreak { from: from.at, to: to.at, why: why(from, to, span, &floor)? };
            // A run that has begun is broken here, or one that begins within these hours and ends in them too.
            if is_running || share.is_some_and(|(start, end)| start.is_zero() || end < Exact::ONE) {
                return Some(found);
            }
            is_running = share.is_some();
            before.get_or_insert(found);
        }
        before
    }
}

/// Why the hours between two rows do not all count.
fn why(from: &LogRow, to: &LogRow, span: Exact, floor: &Floor) -> Option<BreaksStretch> {
    let lowest = to.get(LOWEST_AIR);
    let (most, night) = (floor.gap, floor.night);
    let is_unwatched = span > most;
    if is_unwatched && (lowest.is_none() || span > night) {
        return Some(BreaksStretch::NobodyLooked { most, night });
    }
    let cold = |air: &Measured, at: Instant, is_lowest: bool| BreaksStretch::TooCold {
        air: Box::new(air.clone()),
        at,
        is_lowest,
        least: floor.air,
    };
    if let Some(lowest) = lowest.filter(|lowest| Reading::Sure.of(lowest) < floor.air) {
        return Some(cold(lowest, to.at, true));
    }
    for row in [from, to] {
        let (Some(pressure), Some(air)) = (row.get(PRESSURE), row.get(AIR)) else {
            return Some(BreaksStretch::Incomplete);
        };
        if Reading::Sure.of(air) < floor.air {
            return Some(cold(air, row.at, false));
        }
        let soft = |at_lowest: bool| BreaksStretch::TooSoft {
            pressure: Box::new(pressure.clone()),
            at: row.at,
            least: floor.pressure,
            at_lowest,
        };
        if pressure.shown.base() < floor.pressure {
            return Some(soft(false));
        }
        if let Some(lowest) = lowest.filter(|_| is_unwatched) {
            let coldest = lowest.interval.lo().min(air.interval.lo());
            if at_temperature(pressure.shown.base(), air.interval.hi(), coldest)? < floor.pressure {
                return Some(soft(true));
            }
        }
    }
    None
}
