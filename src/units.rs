//! Floor 1: exact numbers, quantities with units, three-valued truth and instants.
//!
//! Everything that fillward judges is built from these types: an [`Exact`] rational instead of a float, a
//! [`Quantity`] instead of a bare number, an [`Interval`] instead of a reading without uncertainty, a [`Truth`] that
//! can say "unknown", an [`Instant`] that carries its offset from UTC, and a [`Zone`] that knows a place's days.
//!
//! This floor must not know anything else of the crate: no records, no rules, no files, no clock, no terminal.

mod calendar;
mod cures;
mod day;
mod error;
mod exact;
mod held;
mod instant;
mod interval;
mod number;
mod quantity;
mod truth;
mod unit;
mod wall;
mod wide;
mod zone;

pub use day::{Day, FIRST_YEAR, LAST_YEAR};
pub use error::{InstantError, NumberFault, QuantityError};
pub use exact::{Exact, Rounding};
pub use instant::Instant;
pub use interval::Interval;
pub use quantity::Quantity;
pub use truth::Truth;
pub use unit::{Dimension, Unit};
pub use wall::{DoubtfulTime, WallTime, days_meant, month_meant, times_meant};
pub use zone::{Zone, ZoneError};
