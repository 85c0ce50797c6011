//! Facts that the shop file states and that may be otherwise for one job, and those by which an entry is known.
//!
//! Must not know how two statements of one fact are settled.

use crate::record::FactKey;
use crate::record::catalogue::{assembly, component, job, person};

/// What is planned, chosen or needed for this one job: where the record says it, the shop file tells no more than what is
/// usual.
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
];

/// What the shop file says of one thing it does not say of another: where the record names another one, the second fact goes
/// with the first.
pub const GOES_WITH: &[(FactKey, FactKey)] = &[
    (job::CURE_PLACE, job::CURE_FLAT),
    (job::LIFTING_GEAR, job::LIFTING_CAPACITY),
    (assembly::TARGET_LOAD, assembly::TARGET_OPERATING_PRESSURE),
];

/// What tells one thing from another: where the record says otherwise, it speaks of another thing than the entry, and the
/// rest of the entry is not of that.
pub const IDENTIFIES: &[FactKey] = &[job::CAGE_KIND, job::SHEET, component::SYSTEM, person::NAME];
