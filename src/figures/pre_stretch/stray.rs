//! The row of a stretch log that lies off both of its neighbours, and whose pressure says nothing of it.
//!
//! What is written is compared as it stands: a doubt that made room for more would clear what is a slip. This module must not
//! know how long the tyre was stretched.

use super::{at_temperature, out_of_range};
use crate::figures::reader::FactReader;
use crate::figures::{Figure, Lack, checked};
use crate::record::LogRow;
use crate::record::catalogue::assembly;
use crate::record::catalogue::assembly::pre_stretch_row::{AIR, PRESSURE};
use crate::units::{Exact, Interval, Unit};

/// The most kelvin by which the air of one row lies above, or below, that of the row before and of the row after, beyond what
/// the pressures of the three rows explain; zero where no row stands out.
pub(in crate::figures) fn stray(facts: FactReader<'_>) -> Figure {
    let rows = facts.need_log(assembly::PRE_STRETCH_LOG)?;
    let mut most = Exact::ZERO;
    for three in rows.windows(3) {
        let [before, row, after] = three else { continue };
        most = most.max(off_both(before, row, after)?);
    }
    checked(Some(Interval::point(most)), Unit::One)
}

/// By how many kelvin the air of a row lies beyond that of both of its neighbours, less what its pressure goes with it.
fn off_both(before: &LogRow, row: &LogRow, after: &LogRow) -> Result<Exact, Lack> {
    let off = [before, after].map(|beside| off_one(beside, row));
    let [Some(one), Some(other)] = off else { return Ok(Exact::ZERO) };
    let (one, other) = (one?, other?);
    let low = one.min(other);
    let high = one.max(other);
    // Above both, or below both.
    Ok(if low > Exact::ZERO {
        low
    } else if high < Exact::ZERO {
        Exact::ZERO.checked_sub(high).ok_or_else(out_of_range)?
    } else {
        Exact::ZERO
    })
}

/// How far the air of a row lies above that of another, in kelvin, beyond the change of air that would give its pressure
/// (Gay-Lussac); `None` where a cell is empty. What the pressure explains takes away, and never adds.
fn off_one(beside: &LogRow, row: &LogRow) -> Option<Result<Exact, Lack>> {
    let of = |row: &LogRow, column| row.get(column).map(|cell| cell.shown.base());
    let (air, other) = (of(row, AIR)?, of(beside, AIR)?);
    let (pressure, beside) = (of(row, PRESSURE)?, of(beside, PRESSURE)?);
    Some(unexplained(air, other, pressure, beside).ok_or_else(out_of_range))
}

fn unexplained(air: Exact, other: Exact, pressure: Exact, beside: Exact) -> Option<Exact> {
    let off = air.checked_sub(other)?;
    // The pressure that the other row would show at the air of this one, and how much of that change is there.
    let due = at_temperature(beside, other, air)?.checked_sub(beside)?;
    let came = pressure.checked_sub(beside)?;
    if due.is_zero() {
        return Some(Exact::ZERO);
    }
    let share = came.checked_div(due)?.max(Exact::ZERO).min(Exact::ONE);
    off.checked_sub(off.checked_mul(share)?)
}
