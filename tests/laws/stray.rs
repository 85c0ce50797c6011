//! Slips of one row, and facts that lie ahead: a row of a stretch log that is changed in one digit passes nowhere where the
//! rows on both sides contradict it, and what is written and dated ahead is never told as missing.
//!
//! That the pressure of air goes with its temperature is Gay-Lussac's law. Temperatures are converted here by hand.

use fillward::document::Document;
use fillward::explain::{self, MissingPart};
use fillward::pack::Does;
use fillward::units::Instant;
use fillward::vocabulary::HoldPoint;
use serde_yaml::Value;

use super::lasting::{passes, passing_demo, read};
use super::words::{WIDE, each, flat, report_at};
use crate::common;
use crate::common::tree::{Step, at, name, paths, with, without};

/// A temperature in kelvin.
fn kelvin(text: &str) -> Option<f64> {
    let (number, unit) = text.split_once(' ')?;
    let number: f64 = number.parse().ok()?;
    match unit {
        "degF" => Some((number + 459.67) / 1.8),
        "degC" => Some(number + 273.15),
        _ => None,
    }
}

/// What a slip of the pen makes of a temperature: a digit changed, two changed round, the point lost, the other scale.
fn slips(text: &str) -> Vec<String> {
    let Some((number, unit)) = text.split_once(' ') else { return Vec::new() };
    let whole = number.split('.').next().unwrap_or(number);
    let mut made = vec![format!("{}{unit}", if unit == "degF" { format!("{whole} ") } else { format!("1{whole} ") })];
    for (position, digit) in whole.char_indices() {
        let Some(value) = digit.to_digit(10) else { continue };
        for other in [(value + 3) % 10, (value + 6) % 10] {
            let mut changed = whole.to_owned();
            changed.replace_range(position..=position, &other.to_string());
            made.push(format!("{} {unit}", changed.trim_start_matches('0')));
        }
    }
    made.push(format!("{} {unit}", whole.chars().rev().collect::<String>().trim_start_matches('0')));
    if let [first, rest @ ..] = whole.chars().collect::<Vec<_>>().as_slice() {
        made.push(format!("{first}.{} {unit}", rest.iter().collect::<String>()));
    }
    made
}

#[test]
fn a_slip_in_one_row_that_both_neighbours_contradict_passes_nowhere() {
    let (mut tried, mut passed) = (0, Vec::new());
    for (file, tree) in passing_demo() {
        let mut all = Vec::new();
        paths(tree, &[], &mut all);
        for path in &all {
            let [.., Step::Key(log), Step::Item(row), Step::Key(column)] = path.as_slice() else { continue };
            if log != "log" || column != "air" || !name(path).contains("pre_stretch") {
                continue;
            }
            let beside = |row: usize| {
                let mut path = path.clone();
                let end = path.len() - 2;
                path[end] = Step::Item(row);
                at(tree, &path).and_then(Value::as_str).and_then(kelvin)
            };
            let (Some(before), Some(after)) = (row.checked_sub(1).and_then(beside), beside(row + 1)) else { continue };
            let Some(text) = at(tree, path).and_then(Value::as_str) else { continue };
            for slip in slips(text) {
                let Some(there) = kelvin(&slip) else { continue };
                let (one, other) = (there - before, there - after);
                // The pressures of these logs move by no more than a few kelvin's worth.
                if one * other <= 0.0 || one.abs().min(other.abs()) < 18.0 {
                    continue;
                }
                tried += 1;
                let changed = with(tree, path, Value::String(slip.clone()));
                if read(&changed).is_some_and(|job| passes(&job, common::demo_at())) {
                    passed.push(format!("{file}: {}: {text} as {slip}", name(path)));
                }
            }
        }
    }
    assert!(passed.is_empty(), "{} of {tried}:\n{}", passed.len(), passed.join("\n"));
    assert!(tried > 20, "{tried}");
}

/// Whether something is written at a path such as `assemblies[0].pre_stretch.log`.
fn is_written(tree: &Value, place: &str) -> bool {
    let mut value = tree;
    for part in place.split('.') {
        let (key, index) = part.split_once('[').map_or((part, None), |(key, index)| (key, Some(index)));
        let Some(next) = value.get(key) else { return false };
        value = next;
        if let Some(index) = index {
            let index: usize = index.trim_end_matches(']').parse().unwrap();
            let Some(next) = value.get(index) else { return false };
            value = next;
        }
    }
    !value.is_null()
}

#[test]
fn what_is_written_and_lies_ahead_is_not_told_as_missing() {
    let mut ahead = 0;
    for (file, tree) in passing_demo() {
        let document = Document::read(file, serde_yaml::to_string(tree).unwrap().as_bytes()).unwrap();
        for instant in ["2026-03-03T12:00:00-06:00", "2026-03-04T08:00:00-06:00"] {
            let when = (Instant::parse(instant).unwrap(), HoldPoint::BeforeFill);
            report_at(&document, when, |_, report| {
                for missing in report.worklist.missing() {
                    let (name, place) = (missing.name(report), missing.place.to_string());
                    let told = missing.part == MissingPart::Ahead;
                    assert_eq!(told, name.ends_with(", dated after this check"), "{file}: {place}: {name}");
                    assert_eq!(told, is_written(tree, &place), "{file}: {place}: {name}");
                    ahead += usize::from(told);
                }
            })
            .unwrap();
        }
    }
    assert!(ahead > 0, "nothing lay ahead");
}

/// What can be done only while the filling flows is told as a deed where nobody has recorded that it was done, with its
/// end by the clock; once the filling has set, what remains is told. Neither counts as more than the fact that is
/// missing.
#[test]
fn a_deed_that_nobody_recorded_is_told_while_it_can_be_done() {
    let text = common::read("shared/demo/carried/3-after-fill.yaml");
    let text = text.replacen(", taken: 2026-03-04T10:45:00-06:00", "", 1).replacen("      closed: true\n", "", 1);
    assert!(!text.contains("taken:") && !text.contains("      closed: true"));
    let document = Document::read("job.yaml", text.as_bytes()).unwrap();
    let told = |instant: &str| {
        let when = (Instant::parse(instant).unwrap(), HoldPoint::AfterFill);
        report_at(&document, when, |_, report| {
            let deeds: Vec<String> = report.worklist.missing().filter_map(|missing| missing.deed(report)).collect();
            let brief = flat(&explain::brief(report, WIDE));
            for deed in &deeds {
                assert!(brief.contains(&flat(deed)), "{brief}");
            }
            deeds
        })
        .unwrap()
    };
    let flowing = told("2026-03-04T11:05:00-06:00");
    assert_eq!(flowing.len(), 2, "{flowing:?}");
    assert!(flowing.iter().all(|deed| deed.starts_with("if it is not done yet, now")), "{flowing:?}");
    let set = told("2026-03-04T12:30:00-06:00");
    assert_eq!(set.len(), 2, "{set:?}");
    assert!(set.iter().all(|deed| deed.starts_with("if it was not done: When the pot life is over")), "{set:?}");
}

/// No demo job tells a deed before the fill, and after it only of what a rule says has its time.
#[test]
fn deeds_are_those_of_rules_that_say_so() {
    each(|path, scene, report| {
        for missing in report.worklist.missing().filter(|missing| missing.deed.is_some()) {
            let packs = scene.packs().packs();
            let mut rules = missing.rules.iter().map(|at| &packs[at.pack].rules[at.rule]);
            let has_its_time = rules.any(|rule| rule.told.put_right.has(Does::WhileItFlows));
            assert!(has_its_time && scene.hold_point() > HoldPoint::BeforeFill, "{path}: {}", missing.place);
        }
    });
}

/// What is asked for in any case, and how many faults there are besides.
fn asked_for(file: &str, tree: &Value) -> (Vec<String>, usize) {
    let document = Document::read(file, serde_yaml::to_string(tree).unwrap().as_bytes()).unwrap();
    report_at(&document, (common::demo_at(), HoldPoint::BeforeFill), |_, report| {
        // What only the signature asks for is asked for of whatever is held.
        let missing = report.worklist.missing().filter(|missing| !missing.only_if_asked && !missing.rules.is_empty());
        let named: Vec<String> = missing.map(|missing| missing.name(report)).collect();
        // Whether a respirator is asked for is what a reading of the air decides.
        let is_fault = |position: &&usize| !report.holding[**position].rule.name.starts_with("respirator-");
        let faults = report.worklist.stops.iter().flat_map(|stop| &stop.faults).filter(is_fault).count();
        (named, faults)
    })
    .unwrap()
}

/// A reading that is dated after the check is evidence once its time has come: it is asked for in one line, and nothing is
/// asked for or at fault because of it that would not be if it were not there.
#[test]
fn a_reading_that_lies_ahead_is_asked_for_once() {
    const AHEAD: &str = ", dated after this check";
    let (mut tried, mut wrong) = (0, Vec::new());
    for (file, tree) in passing_demo() {
        let mut all = Vec::new();
        paths(tree, &[], &mut all);
        for path in &all {
            let [whole @ .., Step::Key(last)] = path.as_slice() else { continue };
            let is_reading = at(tree, whole).is_some_and(|whole| whole.get("reading").is_some());
            if last != "at" || !is_reading {
                continue;
            }
            let later = with(tree, path, Value::String("2026-03-04T09:45:00-06:00".to_owned()));
            let (ahead, faults) = asked_for(file, &later);
            let (mut missing, faults_of_missing) = asked_for(file, &without(tree, whole));
            tried += usize::from(!ahead.is_empty());
            let once = ahead.iter().filter(|name| name.ends_with(AHEAD)).count() <= 1;
            let is_less = ahead.iter().filter(|name| !name.ends_with(AHEAD)).all(|name| {
                let of_missing = missing.iter().position(|known| known == name);
                of_missing.map(|position| missing.swap_remove(position)).is_some()
            });
            if !once || !is_less || faults > faults_of_missing {
                wrong.push(format!("{file}: {}: {faults} and {faults_of_missing} faults, {ahead:?}", name(path)));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried > 50, "{tried}");
}
