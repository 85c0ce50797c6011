//! What no entry can be: ratings of zero, and doubts that no instrument of the kind has.
//!
//! Must not know how a fault is worded.

use super::{FactKey, assembly, component, instruments, job};

/// Facts that are above zero: a rating, a mass or a density of zero is a slip of the pen.
pub const POSITIVE: &[FactKey] = &[
    assembly::TYRE_SIDEWALL_MAXIMUM,
    assembly::TYRE_PUBLISHED_MAXIMUM,
    assembly::TYRE_LOAD_RATING,
    assembly::TYRE_MASS,
    assembly::TYRE_SECTION_WIDTH,
    assembly::TYRE_OVERALL_DIAMETER,
    assembly::TYRE_INSIDE_VOLUME,
    assembly::RIM_RATING,
    assembly::RIM_BEAD_DIAMETER,
    assembly::RIM_WIDTH,
    assembly::WHEEL_RATING,
    assembly::WHEEL_LOAD_RATING,
    assembly::WHEEL_MASS,
    assembly::TARGET_PRESSURE,
    assembly::TARGET_OPERATING_PRESSURE,
    component::PARTS,
    component::PARTS_BY_VOLUME,
    component::PRICE_FOR,
    component::CONTAINER_SIZE,
    instruments::gauge::UNCERTAINTY,
    instruments::thermometer::UNCERTAINTY,
    job::PUMP_MASS_PER_CYCLE,
    job::PUMP_CYCLE_TIME,
    job::POT_LIFE,
    job::LIFTING_CAPACITY,
    job::PUMP_STALLS_AT,
    job::PUMP_HOSE_RATING,
    job::SPEED_MOST,
    assembly::TYRE_SEATING_MAXIMUM,
    assembly::WHEEL_NUT_TORQUE,
];

/// Doubts below which no instrument of the kind is known, in base units (Pa, K): smaller ones are slips that would give
/// away the margin between a target and a rating. A thermometer for a drum or a bay is at best a reference probe, good to a
/// twentieth of a kelvin.
pub const FINEST: &[(FactKey, (i128, i128))] =
    &[(instruments::gauge::UNCERTAINTY, (5, 1)), (instruments::thermometer::UNCERTAINTY, (1, 20))];

/// Doubts beyond which an instrument of the kind shows nothing that a data sheet asks, in base units (K): a cheap dial for
/// rooms is good to three kelvin.
pub const COARSEST: &[(FactKey, (i128, i128))] = &[(instruments::thermometer::UNCERTAINTY, (6, 1))];

/// The share of its scale below which no pressure gauge is known to be in doubt: the finest class of EN 837-1 is 0.1 %, the
/// best digital gauges are twice as fine, and a bound of that size is an expanded uncertainty 1.155 times as large. As
/// a rule it would be one that more doubt clears.
pub const FINEST_OF_SCALE: (i128, i128) = (231, 400_000);

/// The share of what its class allows below which no certificate of a gauge lies: one that is ten times as fine as its class
/// would have been sold in a finer one.
pub const FINEST_OF_CLASS: (i128, i128) = (1, 10);

/// The share of a weighing below which no scale is known to be in doubt: scales of the class for trade have at most ten
/// thousand steps, and are off by half a step (OIML R 76-1, table 3 and 3.5.1; from memory).
pub const FINEST_WEIGHING: (i128, i128) = (1, 20_000);

/// The share of the width of a tyre that its rim takes at most: rims in use are between a half and nine
/// tenths as wide, and a wider one is of another tyre (common practice, no source).
pub const WIDEST_RIM: (i128, i128) = (19, 20);

/// Kilograms that one person lifts by hand at most: the load constant of the revised lifting equation (NIOSH 94-110; from
/// memory), which holds for the best of postures.
pub const LIFTED_BY_ONE: i64 = 23;
