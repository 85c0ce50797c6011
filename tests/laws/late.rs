//! A plan is of its time: nothing passes by what was read, weighed or looked at for a start that was hours or days ago
//! when the pump began.
//!
//! The carried jobs are begun later than planned, and all that came after it is as much later. Within the time that the
//! check before the fill allows they pass as before.

use fillward::units::{Exact, Instant};
use fillward::vocabulary::Verdict;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::jobs::{PACKS, judged_then};
use crate::common;
use crate::common::tree::{Step, put};

/// The carried jobs after their fill, each with the minutes from its plan within which the pump may begin: the readings
/// of the cores count for two hours.
const CARRIED: [(&str, i64); 4] =
    [("3-after-fill", 55), ("metric-3-after-fill", 45), ("vehicle-3-after-fill", 21), ("4-before-service", 55)];

fn after(at: Instant, minutes: i64) -> Instant {
    at.checked_add_seconds(Exact::from_int(60 * minutes)).unwrap()
}

/// The same, with every instant from one on later by as many minutes.
fn later(node: &Value, from: Instant, minutes: i64) -> Value {
    match node {
        Value::String(text) => match Instant::parse(text) {
            Ok(at) if at >= from => Value::String(after(at, minutes).to_record_text()),
            _ => node.clone(),
        },
        Value::Sequence(items) => items.iter().map(|item| later(item, from, minutes)).collect::<Vec<_>>().into(),
        Value::Mapping(map) => map
            .iter()
            .map(|(key, value)| (key.clone(), later(value, from, minutes)))
            .collect::<serde_yaml::Mapping>()
            .into(),
        _ => node.clone(),
    }
}

fn placed(tree: &Value, place: &str, value: &Value) -> Value {
    let step = |key: &str| key.parse().map_or_else(|_| Step::Key(key.to_owned()), Step::Item);
    put(tree, &place.split('.').map(step).collect::<Vec<_>>(), value)
}

/// The same, the start of the pump for the first assembly being told.
fn began(tree: &Value, at: Instant) -> Value {
    placed(tree, "assemblies.0.acts.fill", &Value::String(at.to_record_text()))
}

#[test]
fn a_fill_that_began_long_after_its_plan_passes_nowhere() {
    // The clocks of the demo are put forward on the fourth day after it; a log of the cure stands beside these days.
    let strategy = (0..CARRIED.len(), prop_oneof![0..60i64, 0..4_000i64], any::<bool>());
    let outcome = TestRunner::new(super::config()).run(&strategy, |(which, minutes, told)| {
        let (name, within) = CARRIED[which];
        let path = format!("shared/demo/carried/{name}.yaml");
        let (point, at) = crate::hold_points::judged(&path);
        let record: Value = serde_yaml::from_str(&common::read(&path)).unwrap();
        let planned = Instant::parse(record["planned_start"].as_str().unwrap()).unwrap();
        // What comes after the plan; the plan itself stays.
        let mut record_later = later(&record, after(planned, 1), minutes);
        if told {
            record_later = began(&record_later, after(planned, minutes));
        }
        let judged = judged_then(&PACKS, &record_later, point, after(at, minutes));
        let Some(judged) = judged else { return Ok(()) };
        let late = if told { minutes > within } else { minutes > 12 * 60 };
        if late {
            prop_assert_eq!(judged.verdict, Verdict::Hold, "{} {} min late, told: {}", name, minutes, told);
        } else if minutes <= within {
            let held: Vec<_> = judged.holding().collect();
            prop_assert!(held.is_empty(), "{name} {minutes} min late, told: {told}: {held:?}");
        }
        Ok(())
    });
    outcome.unwrap();
}

/// What the strokes are multiplied by was weighed before the first of them: a calibration after the fill makes no tyre full.
#[test]
fn no_calibration_after_the_fill_makes_a_tyre_full() {
    let (path, strategy) = ("shared/demo/carried/3-after-fill.yaml", (600..1_400i32, 0..50i64, any::<bool>()));
    let (point, at) = crate::hold_points::judged(path);
    let record: Value = serde_yaml::from_str(&common::read(path)).unwrap();
    let planned = Instant::parse(record["planned_start"].as_str().unwrap()).unwrap();
    let outcome = TestRunner::new(super::config()).run(&strategy, |(strokes, minutes, told)| {
        let mut counted = placed(&record, "assemblies.0.fill.strokes", &Value::from(strokes));
        if told {
            counted = began(&counted, after(planned, 5));
        }
        let passes = |tree: &Value| judged_then(&PACKS, tree, point, at).map(|judged| judged.verdict == Verdict::Pass);
        if passes(&counted) != Some(false) {
            return Ok(());
        }
        // As many pounds as the tyre takes, by a calibration of an hour ago.
        let ended = Instant::parse(counted["assemblies"][0]["fill"]["ended"].as_str().unwrap()).unwrap();
        let weighed = if told { after(planned, 6 + minutes) } else { after(ended, 1) };
        let (a_cycle, at) = (749.25 / f64::from(strokes), weighed.to_record_text());
        let reading = format!("{{reading: {a_cycle:.3} lb, at: {at}, uncertainty: 0.02 lb}}");
        let again = placed(&counted, "pump.mass_per_cycle", &serde_yaml::from_str(&reading).unwrap());
        prop_assert_ne!(passes(&again), Some(true), "{} strokes, calibrated at {}", strokes, weighed.to_record_text());
        Ok(())
    });
    outcome.unwrap();
}

/// What is checked before a fill, once for the job.
const CHECKS: [&str; 3] = ["pump.ratio_checked", "components.polyol.core_temperature.at", "workspace.temperature.at"];

/// A check between the plan and the end of the fill shows nothing where the start is not told: it may have come after
/// it. Told that the pump began before the check, it is one too late.
#[test]
fn a_check_within_the_fill_shows_nothing_where_its_start_is_not_told() {
    let check = prop::sample::select(&CHECKS[..]);
    let strategy = (0..CARRIED.len(), check, 1..600i64, any::<bool>());
    let outcome = TestRunner::new(super::config()).run(&strategy, |(which, check, minutes, told)| {
        let path = format!("shared/demo/carried/{}.yaml", CARRIED[which].0);
        let (point, at) = crate::hold_points::judged(&path);
        let record: Value = serde_yaml::from_str(&common::read(&path)).unwrap();
        let instant = |place: &Value| Instant::parse(place.as_str().unwrap()).unwrap();
        let planned = instant(&record["planned_start"]);
        let ended = instant(&record["assemblies"][0]["fill"]["ended"]);
        let checked = after(planned, minutes);
        if checked > ended {
            return Ok(());
        }
        let mut record = placed(&record, check, &Value::String(checked.to_record_text()));
        if told {
            record = began(&record, planned);
        }
        let Some(judged) = judged_then(&PACKS, &record, point, at) else { return Ok(()) };
        prop_assert_eq!(
            judged.verdict,
            Verdict::Hold,
            "{} {} {} min after the plan, told: {}",
            path,
            check,
            minutes,
            told
        );
        Ok(())
    });
    outcome.unwrap();
}

/// What was weighed took as long to pump as what was counted: with the mass that its cycles gave in their place, a fill that
/// ended too soon is held as before.
#[test]
fn what_was_weighed_took_its_time() {
    let seen = std::cell::Cell::new(0);
    let outcome = TestRunner::new(super::config()).run(&(0..CARRIED.len(), 0..400i64), |(which, earlier)| {
        let path = format!("shared/demo/carried/{}.yaml", CARRIED[which].0);
        let (point, at) = crate::hold_points::judged(&path);
        let record: Value = serde_yaml::from_str(&common::read(&path)).unwrap();
        let fill = &record["assemblies"][0]["fill"];
        let ended = after(Instant::parse(fill["ended"].as_str().unwrap()).unwrap(), -earlier);
        let ended = Value::String(ended.to_record_text());
        let Some(strokes) = fill["strokes"].as_i64() else { return Ok(()) };
        let per_cycle = record["pump"]["mass_per_cycle"]["reading"].as_str().unwrap();
        let (number, unit) = per_cycle.split_once(' ').unwrap();
        let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        let digits = strokes * number.replace('.', "").parse::<i64>().unwrap();
        let one = 10_i64.pow(u32::try_from(decimals).unwrap());
        let mass = format!("{}.{:0decimals$} {unit}", digits / one, digits % one);
        let counted = placed(&record, "assemblies.0.fill.ended", &ended);
        let weighed = placed(
            &placed(&counted, "assemblies.0.fill.strokes", &Value::Null),
            "assemblies.0.fill.mass",
            &mass.into(),
        );
        let holding = |record: &Value| -> Option<Vec<String>> {
            let judged = judged_then(&PACKS, record, point, at)?;
            Some(judged.holding().map(|(rule, _)| rule.clone()).collect())
        };
        let (Some(counted), Some(weighed)) = (holding(&counted), holding(&weighed)) else { return Ok(()) };
        for rule in ["fill-ended-too-soon", "ends-too-near"] {
            let holds = |rules: &[String]| rules.iter().any(|known| known == rule);
            seen.set(seen.get() + u32::from(holds(&counted)));
            prop_assert!(!holds(&counted) || holds(&weighed), "{path} {earlier} min earlier: {rule}");
        }
        Ok(())
    });
    outcome.unwrap();
    assert!(seen.get() > 20, "{} fills ended too soon", seen.get());
}

/// Where the data sheet gives no pot life, whoever tells when the pump started is held for a fill that lasted too long and
/// for no other: what is told is never worse than what is left out.
#[test]
fn a_start_that_is_told_holds_no_fill_for_a_sheet_without_pot_life() {
    const RULE: &str = "fill-beyond-pot-lives";
    let (short, long) = (std::cell::Cell::new(0), std::cell::Cell::new(0));
    let outcome = TestRunner::new(super::config()).run(&(0..CARRIED.len() - 1, 1..200i64), |(which, lasted)| {
        let path = format!("shared/demo/carried/{}.yaml", CARRIED[which].0);
        let (point, at) = crate::hold_points::judged(&path);
        let record: Value = serde_yaml::from_str(&common::read(&path)).unwrap();
        let silent = placed(&record, "mix.pot_life", &Value::Null);
        let silent = placed(&silent, "mix.sheet_silent_on", &serde_yaml::from_str("[pot life]").unwrap());
        let ended = Instant::parse(silent["assemblies"][0]["fill"]["ended"].as_str().unwrap()).unwrap();
        let told = began(&silent, after(ended, -lasted));
        let held = |record: &Value| {
            let judged = judged_then(&PACKS, record, point, at).unwrap();
            judged.holding().any(|(rule, _)| rule == RULE)
        };
        prop_assert!(!held(&silent), "{path}: the start is not told");
        prop_assert_eq!(held(&told), lasted > 90, "{} lasted {} min", path, lasted);
        let seen = if lasted > 90 { &long } else { &short };
        seen.set(seen.get() + 1);
        Ok(())
    });
    outcome.unwrap();
    assert!(short.get() > 5 && long.get() > 5, "{} within, {} beyond", short.get(), long.get());
}
