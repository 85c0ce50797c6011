//! How units are held in bytes: by their parts, from which they are rebuilt, so that what comes back keeps its invariants.
//!
//! Must not know which bytes.

use super::{Day, Exact, Instant, InstantError, Interval, Quantity, Unit};

impl From<Exact> for (i128, i128) {
    fn from(exact: Exact) -> Self {
        (exact.numer(), exact.denom())
    }
}

impl TryFrom<(i128, i128)> for Exact {
    type Error = &'static str;

    fn try_from((num, den): (i128, i128)) -> Result<Self, Self::Error> {
        Self::new(num, den).ok_or("no fraction")
    }
}

impl From<Interval> for (Exact, Exact) {
    fn from(interval: Interval) -> Self {
        (interval.lo(), interval.hi())
    }
}

impl TryFrom<(Exact, Exact)> for Interval {
    type Error = &'static str;

    fn try_from((lo, hi): (Exact, Exact)) -> Result<Self, Self::Error> {
        Self::new(lo, hi).ok_or("the ends of an interval are in the wrong order")
    }
}

impl From<Quantity> for (Exact, Unit) {
    fn from(quantity: Quantity) -> Self {
        (quantity.value(), quantity.unit())
    }
}

impl TryFrom<(Exact, Unit)> for Quantity {
    type Error = &'static str;

    fn try_from((value, unit): (Exact, Unit)) -> Result<Self, Self::Error> {
        Self::new(value, unit).ok_or("a quantity beyond the exact range")
    }
}

impl From<Day> for String {
    fn from(day: Day) -> Self {
        day.to_record_text()
    }
}

impl TryFrom<String> for Day {
    type Error = InstantError;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        Self::parse(&text)
    }
}

impl From<Instant> for String {
    fn from(instant: Instant) -> Self {
        instant.to_record_text()
    }
}

impl TryFrom<String> for Instant {
    type Error = InstantError;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        Self::parse(&text)
    }
}
