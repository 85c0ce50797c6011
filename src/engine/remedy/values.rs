//! Values as a person would write them into the record after doing what a cure says.
//!
//! Must not know rules.

use super::Ground;
use crate::engine::Scene;
use crate::record::{FactKey, FactKind, Measured, Value, example, instrument_named};
use crate::units::{Dimension, Exact, Quantity, Rounding};

/// A value that the fact could have: an instrument of the record where it names one, else the catalogue's example.
pub(super) fn sample(on: &Ground<'_>, key: FactKey) -> Option<Value> {
    match instrument_named(key) {
        Some(list) => on.scene.job().of(list)?.first().map(|instrument| Value::Text(instrument.label.as_str().into())),
        None => example(on.scene.packs().catalogue().spec(key)?),
    }
}

/// A number as a new reading of the fact, taken now where the fact is one that is read.
pub(super) fn reading(scene: &Scene<'_>, key: FactKey, present: Option<&Measured>, to: Quantity) -> Option<Value> {
    let is_read = matches!(scene.packs().catalogue().spec(key)?.kind, FactKind::Reading(_));
    let mut new = Measured::exact(to);
    new.at = is_read.then_some(scene.at());
    new.instrument = present.and_then(|present| present.instrument.clone());
    new.stated = present.and_then(|present| present.stated);
    if let Some(stated) = new.stated {
        new = new.with_uncertainty(stated)?;
    }
    Some(Value::Measured(Box::new(new)))
}

/// The number rounded to the side on which it clears, to no more places than are read off an instrument.
pub(super) fn on_the_safe_side(to: Quantity, upward: bool, inclusive: bool) -> Option<Quantity> {
    let rounding = if upward { Rounding::Up } else { Rounding::Down };
    let places = match to.dimension() {
        // No thermometer of a shop is read to a hundredth.
        Dimension::Temperature => 1,
        _ if to.value().abs() < Exact::from_int(1) => 4,
        _ => 2,
    };
    let rounded = |value: Exact| Exact::parse_decimal(&value.to_decimal(places, rounding));
    let mut value = rounded(to.value())?;
    if !inclusive && value == to.value() {
        let step = Exact::new(1, 10_i128.checked_pow(places)?)?;
        value = if upward { value.checked_add(step)? } else { value.checked_sub(step)? };
    }
    Quantity::new(value, to.unit())
}
