use super::*;
use crate::units::{Dimension, Quantity};

/// A reading at a time, with an instrument.
fn reading(text: &str, at: Option<&str>, instrument: Option<&str>) -> Value {
    let shown = Quantity::parse(text, Dimension::Pressure).unwrap();
    let at = at.map(|at| Instant::parse(at).unwrap());
    Value::Measured(Box::new(Measured { at, instrument: instrument.map(Into::into), ..Measured::exact(shown) }))
}

/// Whatever of a reading is otherwise, the two sides of its change never read alike.
#[test]
fn two_sides_of_a_change_never_read_alike() {
    let times = [None, Some("2026-03-04T08:30:00-06:00"), Some("2026-03-04T08:50:00-06:00")];
    let instruments = [None, Some("G-2"), Some("G-5")];
    let mut readings = Vec::new();
    for text in ["60 psi", "62 psi"] {
        for at in times {
            readings.extend(instruments.map(|instrument| reading(text, at, instrument)));
        }
    }
    for (place, before) in readings.iter().enumerate() {
        for now in readings.get(place + 1..).unwrap() {
            assert!(!keeps(before, now));
            let (before, now) = both_written(before, Some(now));
            let change = Difference { of: None, fact: "f".to_owned(), before: Some(before), now };
            let both = change.both_values();
            let (one, other) = both.strip_prefix("`f`: ").unwrap().split_once(", then ").unwrap();
            assert_ne!(one, other, "{both}");
        }
    }
}
