//! Facts that the shop file states and that may be otherwise for one job, those by which an entry is known, and those that
//! come days after the fill.
//!
//! Must not know how two statements of one fact are settled.

use crate::record::catalogue::{assembly, component, job, person};
use crate::record::{FactKey, FactKind, FactSpec};
use crate::vocabulary::HoldPoint;

/// Facts planned, chosen or needed for one job: the record's value counts, and the shop file states what is usual.
pub const OF_THIS_JOB: &[FactKey] = &[
    job::CURE_PLACE,
    job::CURE_FLAT,
    job::CURE_PLANNED,
    job::HOSE_LENGTH,
    job::LUBRICANT,
    job::LIFTING_GEAR,
    assembly::TARGET_OPERATING_PRESSURE,
    assembly::TARGET_LOAD,
    assembly::TARGET_FROM,
    person::ROLE,
];

/// Facts dropped when their owner changes: where the record states another value of the first fact, the second one of
/// the shop file is dropped.
pub const GOES_WITH: &[(FactKey, FactKey)] = &[
    (job::CURE_PLACE, job::CURE_FLAT),
    (job::LIFTING_GEAR, job::LIFTING_CAPACITY),
    (assembly::TARGET_LOAD, assembly::TARGET_OPERATING_PRESSURE),
];

/// Facts that identify a thing: where the record states another value, it means another thing than the entry, and
/// nothing of the entry is mixed in.
pub const IDENTIFIES: &[FactKey] = &[job::CAGE_KIND, job::SHEET, component::SYSTEM, person::NAME];

/// Whether a fact is when something happened that comes days after the fill, so that a time without its day is of no
/// day: what is asked before service alone, but for the acts of the day of the fill.
pub fn comes_days_later(spec: &FactSpec) -> bool {
    spec.kind == FactKind::Event && *spec.asked.at == [HoldPoint::BeforeService] && !spec.name.starts_with("acts.")
}
