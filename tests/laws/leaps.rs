//! A slip of one pressure: a row of a stretch log of which one digit is changed passes nowhere where the rows on both sides
//! contradict it, whatever else is in the log.
//!
//! The logs are drawn: a stretch of more than a day, now and then with a first filling that was let out again before
//! it. What contradicts is worked out here by hand: more than a tenth beyond both neighbours and beyond what they
//! differ by, which leaves two kelvin of the room, about 1 %, and the 8 % of the pack on the near side.

use std::fmt::Write as _;

use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::jobs::DEMO;
use super::lasting::{passes, read};
use crate::common;

/// A row: minutes before eight in the morning of the fill, tenths of psi, tenths of degF.
type Row = (i64, i64, i64);

/// The job with two new tyres, the first of which gets the drawn log; it lay on the bench long before.
fn with_log(rows: &[Row], changed: Option<(usize, &str)>) -> Value {
    let mut tree = DEMO.iter().find(|(file, _)| file.ends_with("pass-skid-steer-new-pair.yaml")).unwrap().1.clone();
    let mut log = String::new();
    for (place, (before, pressure, air)) in rows.iter().enumerate() {
        let at = super::lasting::later(common::demo_at(), -90 * 60 - before * 60).to_record_text();
        let own = format!("{}.{}", pressure / 10, pressure % 10);
        let pressure = changed.filter(|(row, _)| *row == place).map_or(own, |(_, text)| text.to_owned());
        writeln!(log, "- {{at: {at}, pressure: {pressure} psi, air: {}.{} degF}}", air / 10, air % 10).unwrap();
    }
    let assembly = &mut tree["assemblies"][0];
    assembly["pre_stretch"]["log"] = serde_yaml::from_str(&log).unwrap();
    let bench = Value::from("2026-02-27T08:00:00-06:00");
    assembly["tyre"]["casing"]["inspected"]["at"] = bench.clone();
    assembly["wheel"]["inspected"]["at"] = bench;
    tree
}

/// Logs as crews write them.
fn logs() -> impl Strategy<Value = Vec<Row>> {
    let row = (60..300_i64, -4..=4_i64, 740..=770_i64);
    let before = prop::option::weighted(0.4, prop::collection::vec((60..400_i64, -4..=4_i64, 740..=770_i64), 1..4));
    (prop::collection::vec(row, 10..24), before, 636..655_i64).prop_map(|(rows, before, level)| {
        let (mut at, mut log) = (0, Vec::new());
        for (gap, jitter, air) in rows {
            log.push((at, level + jitter, air));
            at += gap;
        }
        for (place, (gap, jitter, air)) in before.into_iter().flatten().enumerate() {
            // The row at which all air was out comes first of these, seen from the end.
            log.push((at, if place == 0 { 0 } else { level + jitter }, air));
            at += gap;
        }
        log.reverse();
        log
    })
}

/// What a slip of the pen makes of a pressure in tenths: a digit changed, or the point moved.
fn slip(tenths: i64, place: usize, by: u8) -> (String, f64) {
    let digits = format!("{tenths:03}");
    let text = if place == 3 {
        let (whole, decimals) = digits.split_at(1);
        format!("{whole}.{decimals}")
    } else {
        let mut digits: Vec<u8> = digits.bytes().map(|digit| digit - b'0').collect();
        digits[place] = (digits[place] + by) % 10;
        format!("{}{}.{}", digits[0], digits[1], digits[2]).trim_start_matches('0').to_owned()
    };
    let text = if text.starts_with('.') { format!("0{text}") } else { text };
    let number = text.parse().unwrap();
    (text, number)
}

#[test]
fn a_digit_that_both_neighbours_contradict_passes_nowhere() {
    let tried = std::cell::Cell::new(0_u32);
    let strategy = (logs(), any::<Index>(), 0..4_usize, 1..10_u8);
    let outcome = TestRunner::new(super::config()).run(&strategy, |(rows, row, place, by)| {
        let row = 1 + row.index(rows.len() - 2);
        let (text, new) = slip(rows[row].1, place, by);
        #[expect(clippy::cast_precision_loss, reason = "tenths of a few hundred psi")]
        let beside = [rows[row - 1].1, rows[row + 1].1].map(|tenths| tenths as f64 / 10.0);
        let [one, other] = beside.map(|beside| new - beside);
        let lesser = beside[0].min(beside[1]);
        let beyond = one.abs().min(other.abs()) - (beside[0] - beside[1]).abs();
        if one * other <= 0.0 || beyond < lesser / 10.0 || new * 20.0 < lesser {
            return Ok(());
        }
        let passing = |tree: &Value| read(tree).is_some_and(|job| passes(&job, common::demo_at()));
        // A log that holds already shows nothing.
        if !passing(&with_log(&rows, None)) {
            return Ok(());
        }
        tried.set(tried.get() + 1);
        let changed = with_log(&rows, Some((row, &text)));
        prop_assert!(!passing(&changed), "row {row} as {text} psi:\n{}", serde_yaml::to_string(&changed).unwrap());
        Ok(())
    });
    outcome.unwrap();
    assert!(tried.get() * 20 > super::config().cases, "{}", tried.get());
}
