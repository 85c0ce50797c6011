//! A log that nobody can have read: one value in every row, or the rows of another tyre.
//!
//! Must not know rules, or what reads the figure.

use super::{FactReader, Figure, JobSource, Value};
use crate::record::LogRow;
use crate::record::catalogue::assembly;
use crate::record::catalogue::assembly::pre_stretch_row::{AIR, PRESSURE};
use crate::units::Exact;
use crate::vocabulary::Subject;

/// From how many rows on that are alike nobody has read them. Engineering estimate, no source: fewer may come out alike.
const ROWS: usize = 5;

/// What a row shows, as it is written: pressure and air.
fn shown(row: &LogRow) -> [Option<Exact>; 2] {
    [PRESSURE, AIR].map(|column| row.get(column).map(|reading| reading.shown.base()))
}

/// Whether the readings of the log move, and are not those of another tyre of the job, row for row.
pub(in crate::figures) fn moves(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let rows = facts.need_log(assembly::PRE_STRETCH_LOG)?;
    let own: Vec<_> = rows.iter().map(shown).collect();
    let stands_still = own.iter().zip(own.iter().skip(1)).all(|(one, next)| one == next);
    let mut others = source.of(Subject::Assembly).filter(|other| !other.is(facts));
    let is_copied = others.any(|other| {
        let rows = other.log(assembly::PRE_STRETCH_LOG);
        rows.is_some_and(|rows| rows.iter().map(shown).eq(own.iter().copied()))
    });
    Ok(Value::Flag(own.len() < ROWS || !(stands_still || is_copied)))
}
