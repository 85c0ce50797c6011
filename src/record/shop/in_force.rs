//! What putting a record together asks of the packs.
//!
//! Must not know rules.

use std::cmp::Ordering;

use crate::record::{Catalogue, FactKey, Value};

/// The packs that a record is put together for.
pub trait InForce {
    /// The facts that there are.
    fn catalogue(&self) -> &Catalogue;

    /// Which of two values of a fact lets less pass: `Less` is the first, `Greater` the second, `Equal` that no holding rule
    /// tells them apart; nothing where that is not known. Never said of readings and instants.
    fn less_safe(&self, fact: FactKey, one: &Value, other: &Value) -> Option<Ordering>;
}
