//! Facts that no other word in the record puts right: what a thing is, what is written on it, and what the site has set.
//!
//! Must not know rules or remedies.

use super::stages::SHOWN_BY_A_FILL;
use super::{FactKey, assembly, component, instruments, job, person, stages};
use crate::vocabulary::one_list;

/// Facts that are what they are: where one of them is in the way, it takes another tyre, rim, liquid or person, and no
/// other word in the record.
pub const GIVEN: &[FactKey] =
    &one_list::<_, { OF_THINGS.len() + SHOWN_BY_A_FILL.len() }>(&[OF_THINGS, SHOWN_BY_A_FILL]);

/// What things are, what stands on them, and what was done with them.
const OF_THINGS: &[FactKey] = &[
    assembly::TYRE_SIZE,
    assembly::TYRE_STATE,
    assembly::TYRE_CONSTRUCTION,
    assembly::TYRE_PLY_RATING,
    assembly::TYRE_LOAD_RANGE,
    assembly::TYRE_BELTS,
    assembly::TYRE_BELTS_ON_SIDEWALL,
    assembly::TYRE_SEAL,
    assembly::TYRE_SEAT,
    assembly::RIM_SEAT,
    assembly::RIM_PIECES,
    assembly::TYRE_SIDEWALL_MAXIMUM,
    assembly::TYRE_PUBLISHED_MAXIMUM,
    assembly::TYRE_LOAD_RATING,
    assembly::TYRE_SECTION_WIDTH,
    assembly::TYRE_OVERALL_DIAMETER,
    assembly::TYRE_INSIDE_VOLUME,
    assembly::TYRE_MASS,
    assembly::TYRE_RAN_FLAT,
    assembly::RIM_KIND,
    assembly::RIM_BEAD_DIAMETER,
    assembly::RIM_WIDTH,
    assembly::WHEEL_MASS,
    assembly::TARGET_OPERATING_PRESSURE,
    assembly::TARGET_LOAD,
    component::DENSITY,
    component::DENSITY_AT,
    component::EXPANSION,
    component::PARTS,
    component::PARTS_BY_VOLUME,
    component::NEEDED,
    component::PRICE,
    component::PRICE_FOR,
    component::CONTAINER_SIZE,
    person::NAME,
    person::FIT_UNTIL,
    instruments::gauge::MARK,
    instruments::gauge::RANGE_FROM,
    instruments::gauge::RANGE_TO,
    instruments::gauge::ACCURACY,
    instruments::gauge::UNCERTAINTY,
    instruments::thermometer::MARK,
    instruments::thermometer::RANGE_FROM,
    instruments::thermometer::RANGE_TO,
    instruments::thermometer::UNCERTAINTY,
    assembly::TYRE_BODY_CORDS,
    assembly::TYRE_SEATING_MAXIMUM,
    assembly::RIM_LOCK_RING,
    stages::FILL_ENDED,
    stages::FILL_VENT_CLEAR,
    job::SAMPLE_TAKEN,
    job::SAMPLE_HARDNESS,
    job::HARDNESS_LEAST,
    job::ORDER_SYSTEM,
    job::SHEET,
    job::CURE_TIME,
    job::CURE_TEMPERATURE,
    component::SYSTEM,
    component::SHEET_LEAST,
    component::SHEET_MOST,
    job::PUMP_MASS_PER_CYCLE,
    job::PUMP_PRIMING,
    job::POT_LIFE,
    job::WEAR,
    job::HUMIDITY_MOST,
    job::SPEED_MOST,
    job::SILENT_ON,
    job::DIISOCYANATE,
    job::ROAD,
    component::SETTLES,
    assembly::WHEEL_NUT_TORQUE,
];

/// Facts that are read off a plate, a label, a stamp or a paper. The thing can be changed for another one, but what is
/// written on it is read and never raised.
pub const READ_OFF: &[FactKey] = &[
    assembly::RIM_RATING,
    assembly::WHEEL_RATING,
    assembly::WHEEL_LOAD_RATING,
    component::EXPIRES,
    person::FIT_UNTIL,
    instruments::gauge::CALIBRATION_DUE,
    instruments::thermometer::CALIBRATION_DUE,
    job::HYGROMETER_DUE,
    job::CAGE_RATING,
    job::LIFTING_CAPACITY,
    job::CURE_TIME,
    job::CURE_TEMPERATURE,
    component::SHEET_LEAST,
    component::SHEET_MOST,
    job::PUMP_HOSE_RATING,
    job::HUMIDITY_MOST,
    job::SPEED_MOST,
    assembly::WHEEL_NUT_TORQUE,
];

/// Limits that the site has set itself: a job keeps them, and no cure moves them.
pub const SITE_LIMITS: &[FactKey] = &[assembly::TARGET_LOCAL_LIMIT];
