//! A limit as a shop reads it off its own instruments.
//!
//! Must not know what is compared.

use super::rounded;
use crate::units::{Exact, Quantity, Rounding};

/// A number to three digits, on its safe side: as near as a dial or a thermometer of a shop is read.
pub(in crate::explain) fn read_off(quantity: Quantity, safe: Rounding) -> String {
    let size = quantity.value().abs();
    let places = if size < Exact::from_int(10) { 2 } else { u32::from(size < Exact::from_int(100)) };
    let short = Exact::parse_decimal(&quantity.value().to_decimal(places, safe));
    let short = short.filter(|short| size >= Exact::ONE && !short.is_zero());
    let short = short.and_then(|short| Quantity::new(short, quantity.unit()));
    rounded(short.unwrap_or(quantity), safe)
}
