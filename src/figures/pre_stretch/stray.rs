//! The row of a stretch log that leaves both of its neighbours: in its air, where its pressure says nothing of it, or in its
//! pressure, where its air does not explain it.
//!
//! Values are compared as written, without doubt: doubt would hide a slip. This module must not know how long the tyre
//! was stretched.

use super::{at_temperature, near, out_of_range};
use crate::figures::reader::FactReader;
use crate::figures::{Figure, Lack, checked};
use crate::record::LogRow;
use crate::record::catalogue::assembly;
use crate::record::catalogue::assembly::pre_stretch_row::{AIR, PRESSURE};
use crate::units::{Exact, Interval, Unit};

/// By how many kelvin the air of the first or the last row may differ from that of the only row beside it, at one
/// pressure: a door that stands open when a wheel is brought in or fetched. Engineering estimate, no source.
const OPEN_DOOR: i64 = 10;

/// The most kelvin by which the air of one row lies above, or below, that of the row before and of the row after,
/// beyond what the pressures of the three rows explain; of the first and the last row what is beyond an open door. Zero
/// where no row stands out.
pub(in crate::figures) fn stray(facts: FactReader<'_>) -> Figure {
    let off = |row: Pair, beside: Pair| unexplained(row.air, beside.air, row.pressure, beside.pressure);
    let inside = of_three(facts, |[before, row, after]| Some(beyond_both(off(row, before)?, off(row, after)?)))?;
    let at_an_end = |(row, beside): (Option<&LogRow>, Option<&LogRow>)| {
        let readings = row.and_then(Pair::of).zip(beside.and_then(Pair::of));
        let Some((row, beside)) = readings else { return Some(Exact::ZERO) };
        near::difference(off(row, beside)?.abs(), Exact::from_int(OPEN_DOOR))
    };
    let rows = facts.need_log(assembly::PRE_STRETCH_LOG)?;
    let ends = [(rows.first(), rows.get(1)), (rows.last(), rows.iter().nth_back(1))];
    let most = ends.into_iter().try_fold(inside, |most, end| Some(most.max(at_an_end(end)?)));
    checked(Some(Interval::point(most.ok_or_else(out_of_range)?)), Unit::One)
}

/// One over the share of the pressure beside it down to which a row shows that all air was let out, and put in again.
/// Engineering estimate, no source: half a pound on the dial of a tyre that holds sixteen.
const EMPTIED: i64 = 32;

/// By how much the pressure of one row lies above, or below, that of both rows beside it, beyond what the air explains and
/// beyond what those two differ by, as a share of the lesser of them; the most of all rows. A tyre that is let down for
/// good, or pumped up and down before the stretch, leaves its rows beside one another apart, and is none.
pub(in crate::figures) fn leap(facts: FactReader<'_>) -> Figure {
    let most = of_three(facts, |[before, row, after]| {
        let off = |beside: Pair| {
            // What the air of this row makes of the pressure beside it; what it explains takes away, and never adds.
            let due = near::difference(at_temperature(beside.pressure, beside.air, row.air)?, beside.pressure)?;
            let came = near::difference(row.pressure, beside.pressure)?;
            near::difference(came, due.max(came.min(Exact::ZERO)).min(came.max(Exact::ZERO)))
        };
        let apart = near::difference(before.pressure, after.pressure)?.abs();
        let left = near::difference(beyond_both(off(before)?, off(after)?), apart)?.max(Exact::ZERO);
        let lesser = before.pressure.min(after.pressure);
        let emptied = near::product(row.pressure, Exact::from_int(EMPTIED))? <= lesser;
        // Against an empty tyre every pressure is a filling with air.
        if lesser > Exact::ZERO && !emptied { near::quotient(left, lesser) } else { Some(Exact::ZERO) }
    })?;
    checked(Some(Interval::point(most)), Unit::Percent)
}

/// Pressure and air of one row as they are written, in base units.
#[derive(Clone, Copy)]
struct Pair {
    pressure: Exact,
    air: Exact,
}

impl Pair {
    /// Both readings of a row; `None` where a cell is empty.
    fn of(row: &LogRow) -> Option<Self> {
        let of = |column| row.get(column).map(|cell| cell.shown.base());
        Some(Self { pressure: of(PRESSURE)?, air: of(AIR)? })
    }
}

/// The most that a measure gives of any row between two others; rows of which a cell is empty are left out.
fn of_three(facts: FactReader<'_>, measure: impl Fn([Pair; 3]) -> Option<Exact>) -> Result<Exact, Lack> {
    let rows = facts.need_log(assembly::PRE_STRETCH_LOG)?;
    let mut most = Exact::ZERO;
    for three in rows.windows(3) {
        let [before, row, after] = three else { continue };
        if let (Some(before), Some(row), Some(after)) = (Pair::of(before), Pair::of(row), Pair::of(after)) {
            most = most.max(measure([before, row, after]).ok_or_else(out_of_range)?);
        }
    }
    Ok(most)
}

/// How far something lies beyond both of two others, by its differences from them: above both, or below both, else zero.
fn beyond_both(one: Exact, other: Exact) -> Exact {
    let (low, high) = (one.min(other), one.max(other));
    if low > Exact::ZERO {
        low
    } else if high < Exact::ZERO {
        high.neg()
    } else {
        Exact::ZERO
    }
}

/// How far the air of a row lies above that of another, in kelvin, beyond the change of air that would give its pressure
/// (Gay-Lussac). What the pressure explains takes away, and never adds.
fn unexplained(air: Exact, other: Exact, pressure: Exact, beside: Exact) -> Option<Exact> {
    let off = near::difference(air, other)?;
    // The pressure that the other row would show at the air of this one, and how much of that change is there.
    let due = near::difference(at_temperature(beside, other, air)?, beside)?;
    let came = near::difference(pressure, beside)?;
    if due.is_zero() {
        return Some(Exact::ZERO);
    }
    let share = near::quotient(came, due)?.max(Exact::ZERO).min(Exact::ONE);
    near::difference(off, near::product(off, share)?)
}
