//! What is done from time to time is stated where it was done: in the log of the shop file, in an entry, or in the record.
//! The latest statement counts, so that whoever has just done it can say so in any of them.

use fillward::pack::PackSet;
use fillward::record::shop::sections::{ROUTINES, Routine};
use fillward::record::{Catalogue, FactKind};
use fillward::vocabulary::Subject;
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};

use super::{RECORD, SHOP, expanded};
use crate::common;

/// The routines whose rows say when something was done.
fn routines() -> Vec<&'static Routine> {
    ROUTINES.iter().filter(|routine| !routine.states_due).collect()
}

/// The mark of the entry of the demo on which a routine is done, and the words of its fact in record and entry.
fn marked(catalogue: &Catalogue, routine: &Routine) -> (&'static str, String, bool) {
    let spec = catalogue.spec(routine.fact).unwrap();
    let mark = match (routine.section.key, routine.fact.subject) {
        ("places", _) => "EB",
        ("pumps", _) => "P-1",
        (_, Subject::Person) => "OV",
        other => panic!("no entry for {other:?}"),
    };
    (mark, spec.name.to_string(), spec.kind == FactKind::Day)
}

/// Whether an entry may say itself when the routine was last done.
fn takes(catalogue: &Catalogue, routine: &Routine) -> bool {
    routine.section.takes(routine.fact, catalogue.spec(routine.fact).unwrap())
}

/// A dotted place with its value, as a mapping in braces.
fn in_braces(place: &str, value: &str) -> String {
    place.rsplit('.').fold(format!("\"{value}\""), |inner, key| format!("{{{key}: {inner}}}"))
}

/// The demo with a routine said in the log, the entry and the record, where a day of February is given, and what the long
/// record then says.
fn stated(routine: &Routine, days: [Option<u32>; 3]) -> String {
    let packs = PackSet::base().unwrap();
    let (mark, name, is_day) = marked(packs.catalogue(), routine);
    let written = |day: u32| {
        if is_day { format!("2026-02-{day:02}") } else { format!("2026-02-{day:02} 09:10") }
    };
    let [log, entry, record] = days.map(|day| day.map(written));
    let entry = entry.filter(|_| takes(packs.catalogue(), routine));
    let mut shop: serde_yaml::Value = serde_yaml::from_str(&common::read(SHOP)).unwrap();
    let mut short: serde_yaml::Value = serde_yaml::from_str(&common::read(RECORD)).unwrap();
    let rows = shop["routines"].as_sequence_mut().unwrap();
    rows.retain(|row| row["did"] != routine.did || row["of"] != mark);
    rows.extend(
        log.map(|at| serde_yaml::from_str(&format!("{{did: {}, of: {mark}, at: \"{at}\"}}", routine.did)).unwrap()),
    );
    let entries = shop[routine.section.key].as_sequence_mut().unwrap();
    let own = entries.iter_mut().find(|entry| entry["mark"] == mark).unwrap();
    let below = name.strip_prefix(routine.section.base).unwrap();
    lay(own, entry.map(|at| in_braces(below, &at)));
    match routine.fact.subject {
        Subject::Person => {
            let people = short["people"].as_sequence_mut().unwrap();
            let person = people.iter_mut().find(|person| **person == mark).unwrap();
            *person = serde_yaml::from_str(&format!("{{mark: {mark}}}")).unwrap();
            lay(person, record.map(|at| in_braces(&name, &at)));
        }
        _ => lay(&mut short, record.map(|at| in_braces(&name, &at))),
    }
    let texts = [&short, &shop].map(|tree| serde_yaml::to_string(tree).unwrap());
    let made = expanded(&packs, &texts[0], Some(&texts[1])).unwrap_or_else(|faults| panic!("{days:?}: {faults:?}"));
    let json = made.document.to_json();
    let holder = match routine.fact.subject {
        Subject::Person => json["people"].as_array().unwrap().iter().find(|one| one["name"] == "Odile Varga").unwrap(),
        _ => &json,
    };
    let said = holder.pointer(&format!("/{}", name.replace('.', "/"))).and_then(|at| at.as_str());
    said.map_or_else(String::new, |said| said.get(..10).unwrap().to_owned())
}

/// Lays a mapping over another one, key by key; what was said of the fact itself goes.
fn lay(into: &mut serde_yaml::Value, text: Option<String>) {
    fn over(into: &mut serde_yaml::Value, from: serde_yaml::Value) {
        match (into, from) {
            (serde_yaml::Value::Mapping(into), serde_yaml::Value::Mapping(from)) => {
                for (key, value) in from {
                    over(into.entry(key).or_insert(serde_yaml::Value::Null), value);
                }
            }
            (into, from) => *into = from,
        }
    }
    if let Some(text) = text {
        over(into, serde_yaml::from_str(&text).unwrap());
    }
}

#[test]
fn the_latest_statement_counts_wherever_it_stands() {
    let all = routines();
    assert!(all.len() > 4, "{all:?}");
    let day = || prop::option::of(1..28_u32);
    let mut runner = TestRunner::new(Config { failure_persistence: None, ..Config::with_cases(60) });
    let cases = (prop::sample::select(all), day(), day(), day());
    runner
        .run(&cases, |(routine, log, entry, record)| {
            let entry = entry.filter(|_| takes(&Catalogue::default(), routine));
            let latest = [log, entry, record].into_iter().flatten().max();
            // The demo says of some entries itself when their people were trained.
            let due = latest.map(|day| format!("2026-02-{day:02}"));
            let made = stated(routine, [log, entry, record]);
            match due {
                Some(due) => prop_assert_eq!(made, due, "{}: {:?}", routine.did, [log, entry, record]),
                None => prop_assert!(!made.starts_with("2026-02")),
            }
            Ok(())
        })
        .unwrap();
}

/// The entry of which a report says that it must be done again: done, and written as a row, as a fact of the record or of
/// the entry, each is taken.
#[test]
fn a_routine_of_today_clears_what_an_old_one_held() {
    for routine in routines() {
        for days in [[Some(3), None, Some(20)], [Some(3), Some(20), None], [Some(20), Some(3), None], [Some(3); 3]] {
            if days[1].is_some() && !takes(&Catalogue::default(), routine) {
                continue;
            }
            let due = days.into_iter().flatten().max().unwrap();
            assert_eq!(stated(routine, days), format!("2026-02-{due:02}"), "{} {days:?}", routine.did);
        }
    }
}
