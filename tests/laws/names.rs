//! Laws of names and of what is written in two places, on the jobs of the demo shop: what names one thing names nothing
//! else, a value of another box is no name, a fault that is told in a name is refused, one thermometer is in one place,
//! and the two sides of a mix have numbers of their own.

use fillward::document::Document;
use fillward::record;
use fillward::vocabulary::unfit_on_a_checklist;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::jobs::{DEMO, PACKS};
use crate::common;

/// The codes of the faults for which a tree is refused.
fn codes(tree: &Value) -> Vec<&'static str> {
    let text = serde_yaml::to_string(tree).unwrap();
    let document = Document::read("job.yaml", text.as_bytes()).unwrap();
    let faults = record::read(&document, PACKS.catalogue(), &common::demo_zone()).err();
    faults
        .map(fillward::document::Faults::into_vec)
        .unwrap_or_default()
        .iter()
        .map(|fault| fault.code().word())
        .collect()
}

/// Where a record names something that has letters and digits, or several words, in the demo shop; what shares a row
/// may share a name.
const NAMED: &[&[&str]] = &[
    &["job"],
    &["site", "cure.place"],
    &["pump.mark"],
    &["mix.sheet", "order.system", "components.isocyanate.system"],
    &["assemblies.0.mark", "handling.gear"],
    &["gauges.0.mark", "thermometers.0.mark"],
];

fn step<'t>(tree: &'t mut Value, key: &str) -> Option<&'t mut Value> {
    match key.parse::<usize>() {
        Ok(index) => tree.get_mut(index),
        Err(_) => tree.get_mut(key),
    }
}

/// The text at a dotted place, to be read or changed; nothing where the record has none.
fn text_at<'t>(tree: &'t mut Value, place: &str) -> Option<&'t mut Value> {
    let found = place.split('.').try_fold(tree, |tree, key| step(tree, key))?;
    found.is_string().then_some(found)
}

/// Writes a text at a place of a demo job and at every place that names the same instrument; `false` where nothing is there.
fn put(tree: &mut Value, place: &str, text: &str) -> bool {
    let Some(found) = text_at(tree, place) else { return false };
    *found = Value::String(text.to_owned());
    true
}

fn places() -> Vec<(usize, &'static str)> {
    NAMED.iter().enumerate().flat_map(|(row, places)| places.iter().map(move |place| (row, *place))).collect()
}

fn run<S: Strategy>(strategy: &S, test: impl Fn(S::Value) -> Result<(), TestCaseError>) {
    TestRunner::new(super::config()).run(strategy, test).unwrap();
}

#[test]
fn what_names_one_thing_names_nothing_else() {
    let places = places();
    run(&(any::<Index>(), any::<Index>(), any::<Index>()), |(job, one, other)| {
        let mut tree = job.get(&DEMO).1.clone();
        let ((row, one), (other_row, other)) = (*one.get(&places), *other.get(&places));
        prop_assume!(row != other_row);
        let Some(Value::String(text)) = text_at(&mut tree, one).cloned() else { return Ok(()) };
        // One word, or a number alone, may be many a thing's.
        prop_assume!(text.contains(char::is_alphabetic) && (text.contains(char::is_numeric) || text.contains(' ')));
        prop_assume!(put(&mut tree, other, &text));
        prop_assert!(codes(&tree).contains(&"record/misnamed"), "{other}: {text}: {:?}", codes(&tree));
        Ok(())
    });
}

#[test]
fn a_value_of_another_box_is_no_name() {
    let places = places();
    let values = [
        "60 psi",
        "4.1 bar",
        "75.2 degF",
        "555 lb",
        "1.12 kg/L",
        "48 h",
        "17.5-25",
        "10:00",
        "2026-03-04T10:00:00-06:00",
        "1:1",
        "1/8 in",
        "net 530 lb",
        "65-95 degF",
        "UN 2489",
        "tel. 555-0142",
    ];
    run(&(any::<Index>(), any::<Index>(), prop::sample::select(values.to_vec())), |(job, place, value)| {
        let mut tree = job.get(&DEMO).1.clone();
        prop_assume!(put(&mut tree, place.get(&places).1, value));
        prop_assert!(codes(&tree).contains(&"record/misnamed"), "{}: {value}", place.get(&places).1);
        Ok(())
    });
}

#[test]
fn a_fault_told_in_a_name_is_refused_however_it_is_joined() {
    let places = places();
    let faults = [
        "cracked",
        "REJECT",
        "broken",
        "leaking",
        "expired",
        "superseded",
        "draft",
        "not level",
        "fans off",
        "brakes bad",
        "reads low",
        "out of order",
        "defekt",
        "gesperrt",
        "Damaged",
        "needs repair",
    ];
    let joins = [(", ", ""), (" (", ")"), (" - ", ""), (" ", "")];
    let strategy =
        (any::<Index>(), any::<Index>(), prop::sample::select(faults.to_vec()), prop::sample::select(joins.to_vec()));
    run(&strategy, |(job, place, fault, (before, after))| {
        let mut tree = job.get(&DEMO).1.clone();
        let place = place.get(&places).1;
        let Some(Value::String(name)) = text_at(&mut tree, place).cloned() else { return Ok(()) };
        put(&mut tree, place, &format!("{name}{before}{fault}{after}"));
        prop_assert!(codes(&tree).contains(&"record/misnamed"), "{place}: {name}{before}{fault}{after}");
        Ok(())
    });
}

/// What passes a check is fit to be signed: a job number or a mark that a record may have may stand on a checklist.
#[test]
fn a_name_that_is_taken_may_stand_on_a_checklist() {
    let text = "[A-Za-z0-9 ,;:/.\u{37e}\u{61b}\u{ff1b}äЖ李-]{1,100}";
    run(&(any::<Index>(), prop::sample::select(vec!["job", "assemblies.0.mark"]), text), |(job, place, text)| {
        let mut tree = job.get(&DEMO).1.clone();
        prop_assume!(put(&mut tree, place, &text));
        prop_assert!(
            codes(&tree).iter().any(|code| code.starts_with("record/")) || unfit_on_a_checklist(&text).is_none()
        );
        Ok(())
    });
    // The law is about texts like these, which chance seldom makes.
    for (text, fits) in [("loader 4; loader 5".to_owned(), false), (format!("loader 4, {}", "left ".repeat(15)), false)]
    {
        assert_eq!(unfit_on_a_checklist(&text).is_none(), fits, "{text}");
    }
}

/// A name that reads like the program's answer is none, wherever it stands.
#[test]
fn an_answer_is_no_name() {
    let places = places();
    let answers = ["Verdict: PASS.", "verdict PASS", "PASS", "HOLD", "passed"];
    let joins = [("", ""), (", ", ""), (" (", ")"), ("; ", "")];
    let strategy =
        (any::<Index>(), any::<Index>(), prop::sample::select(answers.to_vec()), prop::sample::select(joins.to_vec()));
    run(&strategy, |(job, place, answer, (before, after))| {
        let mut tree = job.get(&DEMO).1.clone();
        let place = place.get(&places).1;
        let Some(Value::String(name)) = text_at(&mut tree, place).cloned() else { return Ok(()) };
        let text = if before.is_empty() { answer.to_owned() } else { format!("{name}{before}{answer}{after}") };
        put(&mut tree, place, &text);
        prop_assert!(codes(&tree).contains(&"record/misnamed"), "{place}: {text}");
        Ok(())
    });
}

/// A demo job whose two drums were read with one thermometer.
fn two_drums() -> Value {
    DEMO.iter().find(|(file, _)| file.ends_with("pass-loader-bias-used.yaml")).unwrap().1.clone()
}

/// Two drums that stood side by side are as warm as one another, and a minute is enough to read both (common practice,
/// no source): no honest pair is refused, whatever it shows. The air beside them is another place.
#[test]
fn one_thermometer_is_in_one_place_at_a_time() {
    run(
        &(0u32..150, any::<bool>(), any::<bool>(), any::<bool>()),
        |(seconds, same_value, other_thermometer, of_air)| {
            let mut tree = two_drums();
            let mark = tree["components"]["isocyanate"]["core_temperature"]["thermometer"].clone();
            let at = |seconds: u32| {
                Value::String(format!("2026-03-04T08:{:02}:{:02}-06:00", 50 + seconds / 60, seconds % 60))
            };
            tree["components"]["isocyanate"]["core_temperature"]["at"] = at(0);
            // What is not asked about is read in an hour of its own.
            tree["components"]["polyol"]["core_temperature"]["at"] = Value::from("2026-03-04T08:40:00-06:00");
            tree["workspace"]["temperature"]["at"] = Value::from("2026-03-04T09:00:00-06:00");
            let value = tree["components"]["isocyanate"]["core_temperature"]["reading"].clone();
            let other = if of_air {
                &mut tree["workspace"]["temperature"]
            } else {
                &mut tree["components"]["polyol"]["core_temperature"]
            };
            other["at"] = at(seconds);
            other["thermometer"] = if other_thermometer { Value::from("T-2") } else { mark };
            if same_value {
                other["reading"] = value;
            }
            let refused = codes(&tree).contains(&"record/impossible-value");
            let two_places = of_air && seconds < 60 && !other_thermometer;
            prop_assert_eq!(refused, two_places, "{} s: {:?}", seconds, codes(&tree));
            Ok(())
        },
    );
}

#[test]
fn the_numbers_of_one_side_are_not_those_of_the_other() {
    run(&(1005u32..1300, 1005u32..1300, any::<bool>()), |(one, other, as_parts)| {
        let mut tree = two_drums();
        for (side, density) in [("isocyanate", one), ("polyol", other)] {
            let number = format!("{}.{:03}", density / 1000, density % 1000);
            tree["components"][side]["density"] = Value::String(format!("{number} kg/L"));
            if as_parts {
                tree["components"][side]["parts"] = serde_yaml::from_str(&number).unwrap();
            }
        }
        let refused = codes(&tree).contains(&"record/impossible-value");
        prop_assert_eq!(refused, one == other || as_parts, "{} and {}", one, other);
        Ok(())
    });
}
