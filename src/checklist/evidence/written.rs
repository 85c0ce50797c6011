//! Values as lines of evidence write them.
//!
//! Text is in single quotes, a value in doubt has the ends of its interval in brackets. This module must not know findings
//! or tests.

use crate::engine::FactValue;
use crate::record::{Measured, Value};
use crate::units::{Quantity, Rounding};

/// Decimals of an end of an interval: finer than any gauge or scale in a shop.
pub(super) const PLACES: u32 = 4;

/// A value as seen in a comparison.
pub(in crate::checklist) fn value(known: &FactValue<'_>) -> String {
    match known {
        FactValue::Is(value) => written(value),
        FactValue::Word(text) => as_text(text),
        FactValue::Made(value) => written(value),
        FactValue::Number { low, high } => number(*low, *high),
        FactValue::NotRecorded => "null".to_owned(),
        FactValue::Ahead(at) => format!("ahead {}", at.to_record_text()),
        FactValue::Obstacle(obstacle) => format!("obstacle {}", obstacle.code()),
    }
}

/// A computed value.
pub(in crate::checklist) fn computed(value: &Value) -> String {
    match value {
        Value::Measured(measured) => match ends(measured) {
            Some((low, high)) => number(low, high),
            None => number(measured.shown, measured.shown),
        },
        other => written(other),
    }
}

/// A number that was worked out, by its ends where it is in doubt.
fn number(low: Quantity, high: Quantity) -> String {
    if low.base() == high.base() {
        return with_unit(&decimal(low, Rounding::Nearest), low);
    }
    with_unit(&in_brackets(low, high), low)
}

fn with_unit(number: &str, of: Quantity) -> String {
    let unit = of.unit().symbol();
    if unit.is_empty() { number.to_owned() } else { [number, " ", unit].concat() }
}

/// A value as lines write it.
pub(in crate::checklist) fn written(value: &Value) -> String {
    match value {
        Value::Text(text) => as_text(text),
        Value::Flag(flag) => flag.to_string(),
        Value::Measured(measured) => measured_value(measured),
        Value::Instant(instant) => instant.to_record_text(),
        Value::Day(day) => day.to_record_text(),
        Value::Words(words) => {
            let words: Vec<String> = words.iter().map(|word| as_text(word)).collect();
            format!("[{}]", words.join(", "))
        }
        Value::Log(rows) => format!("log {}", rows.len()),
    }
}

/// What is left of an instant where it is told by the day and the offset of another one: its time, with its day where that
/// is another. Nothing where it has another offset, or is not at a full minute.
pub(super) fn without_day<'i>(instant: &'i str, of: &str) -> Option<&'i str> {
    let (day, time) = instant.split_once('T')?;
    let (its_day, its_time) = of.split_once('T')?;
    let offset = its_time.get(its_time.find(['Z', '+', '-'])?..)?;
    let minutes = time.strip_suffix(offset)?.strip_suffix(":00").filter(|minutes| minutes.len() == 5)?;
    if day == its_day { Some(minutes) } else { instant.get(..day.len() + 1 + minutes.len()) }
}

/// An instant as [`without_day`] leaves it, at a day and an offset that serve as well as any.
pub(super) fn with_day(text: &str) -> String {
    match (text.contains('T'), text.len()) {
        (false, 5) => format!("2000-01-01T{text}:00Z"),
        (true, 16) => format!("{text}:00Z"),
        _ => text.to_owned(),
    }
}

/// A text in single quotes, each of its own twice.
pub(in crate::checklist) fn as_text(text: &str) -> String {
    let mut said = String::with_capacity(text.len() + 2);
    said.push('\'');
    for (place, part) in text.split('\'').enumerate() {
        said.push_str(if place == 0 { "" } else { "''" });
        said.push_str(part);
    }
    said.push('\'');
    said
}

/// A reading as written, with the ends between which the true value lies where it is in doubt.
fn measured_value(measured: &Measured) -> String {
    let written = measured.shown.to_record_text();
    match ends(measured) {
        Some((low, high)) => [written.as_str(), " ", &in_brackets(low, high)].concat(),
        None => written,
    }
}

/// The ends of an interval, rounded outwards.
fn in_brackets(low: Quantity, high: Quantity) -> String {
    ["[", &decimal(low, Rounding::Down), ", ", &decimal(high, Rounding::Up), "]"].concat()
}

/// The ends of an interval that is not a point, in the unit of the value.
fn ends(measured: &Measured) -> Option<(Quantity, Quantity)> {
    let of = |base| Quantity::from_base(base, measured.shown.unit());
    let (low, high) = (measured.interval.lo(), measured.interval.hi());
    if low == high { None } else { Some((of(low)?, of(high)?)) }
}

fn decimal(quantity: Quantity, rounding: Rounding) -> String {
    let value = quantity.value();
    value.to_decimal_exact(PLACES).unwrap_or_else(|| value.to_decimal(PLACES, rounding))
}
