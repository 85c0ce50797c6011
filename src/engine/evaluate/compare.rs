//! The two sides of a comparison, and its truth.
//!
//! Must not know where a side comes from.

use crate::record::Value;
use crate::units::{Day, Instant, Interval, Truth};
use crate::vocabulary::names_one_thing;

/// One side of a comparison.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Side<'a> {
    /// A number in base units.
    Number(&'a Interval),
    /// An instant.
    Instant(Instant),
    /// A day.
    Day(Day),
    /// Text or a word.
    Text(&'a str),
    /// True or false.
    Flag(bool),
}

/// A value as a side of a comparison; lists and logs have none.
pub(in crate::engine) fn literal(value: &Value) -> Option<Side<'_>> {
    match value {
        Value::Text(text) => Some(Side::Text(text)),
        Value::Flag(flag) => Some(Side::Flag(*flag)),
        Value::Measured(measured) => Some(Side::Number(&measured.interval)),
        Value::Instant(instant) => Some(Side::Instant(*instant)),
        Value::Day(day) => Some(Side::Day(*day)),
        Value::Words(_) | Value::Log(_) => None,
    }
}

pub(super) fn equals(left: &Side<'_>, right: &Side<'_>) -> Truth {
    match (left, right) {
        (Side::Number(a), Side::Number(b)) => a.equals(**b),
        (Side::Text(a), Side::Text(b)) => Truth::from(names_one_thing(a, b)),
        (Side::Flag(a), Side::Flag(b)) => Truth::from(a == b),
        (Side::Day(a), Side::Day(b)) => Truth::from(a == b),
        _ => Truth::Unknown,
    }
}

pub(super) fn at_least(left: &Side<'_>, right: &Side<'_>) -> Truth {
    match (left, right) {
        (Side::Number(a), Side::Number(b)) => a.at_least(**b),
        (Side::Day(a), Side::Day(b)) => Truth::from(a >= b),
        (Side::Instant(a), Side::Instant(b)) => Truth::from(a >= b),
        _ => Truth::Unknown,
    }
}

pub(super) fn at_most(left: &Side<'_>, right: &Side<'_>) -> Truth {
    at_least(right, left)
}

pub(super) fn above(left: &Side<'_>, right: &Side<'_>) -> Truth {
    match (left, right) {
        (Side::Number(a), Side::Number(b)) => a.above(**b),
        (Side::Day(a), Side::Day(b)) => Truth::from(a > b),
        (Side::Instant(a), Side::Instant(b)) => Truth::from(a > b),
        _ => Truth::Unknown,
    }
}
