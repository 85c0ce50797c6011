//! Laws of what is of one job: the part that a person plays, the day of its air, and what was brought to its place.

use fillward::document::{Document, Faults};
use fillward::pack::PackSet;
use fillward::record::FactKind;
use fillward::record::shop::{self, Expanded, Shop};
use fillward::units::{Exact, Instant};
use fillward::vocabulary::Subject;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use super::{RECORD, SHOP, changed, expanded, judged};
use crate::common;

fn run<S: Strategy>(strategy: &S, cases: u32, test: impl Fn(S::Value) -> Result<(), TestCaseError>) {
    let config = ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() };
    TestRunner::new(config).run(strategy, test).unwrap_or_else(|error| panic!("{error}"));
}

fn codes(faults: &Faults) -> Vec<&'static str> {
    faults.iter().map(|fault| fault.code().word()).collect()
}

/// Whatever role the entry of a person states, the one that the record writes counts, and the entry's where it writes none;
/// the job is judged as a long record that says the same.
#[test]
fn the_role_of_a_job_is_the_one_that_the_record_writes() {
    let packs = PackSet::base().unwrap();
    let role = packs.catalogue().spec(packs.catalogue().find(Subject::Person, "role").unwrap()).unwrap();
    let FactKind::Choice(words) = &role.kind else { panic!("{:?}", role.kind) };
    let roles: Vec<String> = words.iter().map(ToString::to_string).collect();
    let role = || prop::option::of(prop::sample::select(roles.clone()));
    let names =
        [("OV", "Odile Varga", "supervisor"), ("TR", "Tobiah Renske", "operator"), ("WC", "Wren Castellane", "helper")];
    run(&prop::collection::vec((role(), role()), 3), 80, |chosen| {
        let (mut people, mut shop, mut due) = (Vec::new(), common::read(SHOP), Vec::new());
        for ((mark, name, usual), (written, of_entry)) in names.iter().zip(chosen) {
            let entry = of_entry.as_deref().unwrap_or(usual);
            shop = shop.replacen(
                &format!("name: {name}\n    role: {usual}\n"),
                &format!("name: {name}\n    role: {entry}\n"),
                1,
            );
            people.push(match &written {
                Some(role) => format!("{{mark: {mark}, role: {role}}}"),
                None => (*mark).to_owned(),
            });
            due.push(written.as_deref().unwrap_or(entry).to_owned());
        }
        let record = changed(RECORD, &[("people: [OV, TR, WC]", &format!("people: [{}]", people.join(", ")))]);
        let made = expanded(&packs, &record, Some(&shop)).unwrap_or_else(|faults| panic!("{record}: {faults:?}"));
        let json = made.document.to_json();
        let found: Vec<&str> =
            json["people"].as_array().unwrap().iter().map(|one| one["role"].as_str().unwrap()).collect();
        prop_assert_eq!(&found, &due);
        // By what is so of this job a long record is judged alike.
        let long = Document::read("long.yaml", serde_yaml::to_string(&json).unwrap().as_bytes()).unwrap();
        prop_assert_eq!(judged(&packs, &made.document), judged(&packs, &long));
        Ok(())
    });
}

/// The record with a planned start so many minutes after the noon of its day, checked so many minutes after it.
fn started(packs: &PackSet, start: i64, checked: i64) -> Result<Expanded, Faults> {
    let noon = Instant::parse("2026-03-04T12:00:00-06:00").unwrap();
    let at = |minutes: i64| noon.checked_add_seconds(Exact::from_int(minutes * 60)).unwrap();
    let written = at(start).to_record_text();
    let written = format!("{} {}", written.get(..10).unwrap(), written.get(11..16).unwrap());
    let record = changed(RECORD, &[("planned_start: 10:00", &format!("planned_start: {written}"))]);
    let shop = Shop::read(common::document(SHOP)).unwrap();
    shop::expand(Document::read("job.yaml", record.as_bytes())?, Some(&shop), packs, shop.zone(), at(checked))
}

/// Air goes in days before the fill: on the day of the air, and on no other, the start may lie up to a week ahead. Otherwise
/// it is of the record's own day, or of the four hours after it, and then the record is taken whenever it is judged.
#[test]
fn a_start_is_of_the_day_or_of_the_night_after_or_of_the_week_after_the_air() {
    let packs = PackSet::base().unwrap();
    let (day, noon) = (24 * 60, 12 * 60);
    // Most starts are drawn around the midnight behind the day.
    let start = prop_oneof![-3 * day..9 * day, noon - 360..noon + 360];
    run(&(start, -2 * day..4 * day), 160, |(start, checked)| {
        let of = |minutes: i64| (minutes + noon).div_euclid(day);
        let in_the_night = (noon..noon + 4 * 60).contains(&start);
        let due = of(start) == 0 || in_the_night || (of(checked) == 0 && (1..=7).contains(&of(start)));
        match started(&packs, start, checked) {
            Ok(_) => prop_assert!(due, "start {start}, checked {checked}"),
            Err(faults) => {
                // Judged after midnight, times of the sheet that may be of the new day are asked for their day.
                let mut told = codes(&faults);
                let all = told.len();
                told.retain(|code| of(checked) < 1 || *code != "shop/time-without-day");
                if told.is_empty() && all > 0 {
                    return Ok(());
                }
                prop_assert!(!due, "start {}, checked {}: {:?}", start, checked, faults);
                prop_assert_eq!(told, ["shop/other-day"]);
            }
        }
        Ok(())
    });
}

/// For every pump and cage of the shop and every place it can be said to come from: what stands at another place is
/// taken only where that place is named, with the facts of its own entry, and what no place names is brought from
/// nowhere.
#[test]
fn what_stands_elsewhere_is_taken_where_it_is_said_to_come_from() {
    let packs = PackSet::base().unwrap();
    let homes = [("EB", "P-1", "C-1"), ("WB", "P-2", "C-2"), ("AG", "P-3", "C-3"), ("SB", "P-4", "C-4")];
    let of = |pump: &str, cage: &str| {
        let record = changed(
            RECORD,
            &[("pump: {", &format!("pump: {{{pump}")), ("\nworkspace:", &format!("{cage}\nworkspace:"))],
        );
        expanded(&packs, &record, Some(&common::read(SHOP))).map(|made| made.document.to_json())
    };
    let usual = of("", "").unwrap();
    let mut taken = 0;
    for (home, pump, cage) in homes {
        for from in [None, Some("EB"), Some("WB"), Some("AG"), Some("SB")] {
            let said = from.map(|from| format!(", brought_from: {from}")).unwrap_or_default();
            let due = match from {
                None => home == "EB",
                Some(from) => from == home,
            };
            for (made, group) in [
                (of(&format!("mark: {pump}{said}, "), ""), "pump"),
                (of("", &format!("\ncage: {{mark: {cage}{said}}}")), "cage"),
            ] {
                match made {
                    Ok(made) => {
                        assert!(due, "{group} of {home} from {from:?}");
                        let mark = if group == "pump" { pump } else { cage };
                        let rest = |json: &serde_json::Value| {
                            let mut json = json.clone();
                            json.as_object_mut().unwrap().remove(group);
                            if group == "cage" {
                                // Who looked at a cage is there as its inspector.
                                json["people"].as_array_mut().unwrap().retain(|one| one["role"] != "inspector");
                            }
                            json
                        };
                        assert_eq!(rest(&made), rest(&usual), "{group} {mark}");
                        assert!(group == "cage" || made["pump"]["mark"] == mark);
                        taken += 1;
                    }
                    Err(faults) => {
                        assert!(!due, "{group} of {home} from {from:?}: {faults:?}");
                        assert_eq!(codes(&faults), ["shop/other-place"]);
                    }
                }
            }
        }
    }
    assert_eq!(taken, 2 * (homes.len() + 1));
    for (pump, cage) in [("mark: P-5, ", ""), ("mark: P-6, ", ""), ("", "\ncage: C-5"), ("", "\ncage: B-4")] {
        assert!(of(pump, cage).is_ok(), "{pump}{cage}");
    }
    for pump in ["mark: P-5, brought_from: WB, ", "mark: P-6, brought_from: EB, "] {
        assert_eq!(codes(&of(pump, "").unwrap_err()), ["shop/other-place"], "{pump}");
    }
}

/// Of two machines that have a wheel card each, neither takes that of the other, whatever else the record says, but
/// where the card says that it is for both.
#[test]
fn a_wheel_of_another_machine_is_taken_only_where_its_card_says_so() {
    let packs = PackSet::base().unwrap();
    let text = common::read(SHOP);
    let shop: serde_yaml::Value = serde_yaml::from_str(&text).unwrap();
    let mark = |entry: &serde_yaml::Value| entry["mark"].as_str().unwrap().to_owned();
    let wheels: Vec<String> = shop["wheels"].as_sequence().unwrap().iter().map(mark).collect();
    let machines: Vec<String> = shop["machines"].as_sequence().unwrap().iter().map(mark).collect();
    let with_wheel: Vec<&String> =
        machines.iter().filter(|machine| wheels.contains(&format!("{machine} wheel"))).collect();
    assert!(with_wheel.len() > 8, "{with_wheel:?}");
    for own in &with_wheel {
        for other in with_wheel.iter().filter(|other| *other != own) {
            let record = changed(
                RECORD,
                &[
                    ("mark: loader 4, left front", &format!("mark: {own}, left front")),
                    ("machine: loader 4", &format!("machine: {own}")),
                    ("wheel: loader 4 wheel", &format!("wheel: {other} wheel")),
                ],
            );
            let found = expanded(&packs, &record, Some(&text)).err().map(|faults| codes(&faults)).unwrap_or_default();
            assert!(found.contains(&"shop/other-machine"), "{other} wheel on {own}: {found:?}");
            let marked = format!("  - mark: {other} wheel\n");
            let both = text.replacen(&marked, &format!("{marked}    of: [{own}]\n"), 1);
            assert_ne!(both, text);
            let found = expanded(&packs, &record, Some(&both)).err().map(|faults| codes(&faults)).unwrap_or_default();
            assert!(!found.contains(&"shop/other-machine"), "{other} wheel for {own}, too: {found:?}");
        }
    }
}

/// Of two materials of one data sheet no value may differ, whichever it is; in another unit it is the same value.
#[test]
fn one_data_sheet_says_one_thing() {
    let packs = PackSet::base().unwrap();
    let text = common::read(SHOP);
    let (before, last) = text.split_at(text.find("  - mark: firm 55 by volume").unwrap());
    let found = |change: (&str, &str)| {
        let changed = last.replacen(change.0, change.1, 1);
        assert_ne!(changed, last, "{change:?}");
        let made = expanded(&packs, &common::read(RECORD), Some(&format!("{before}{changed}")));
        made.err().map(|faults| codes(&faults)).unwrap_or_default()
    };
    let others = [
        ("least: 65 degF", "least: 56 degF"),
        ("most: 95 degF", "most: 105 degF"),
        ("settles: false", "settles: true"),
        ("density: 1.12 kg/L", "density: 1.21 kg/L"),
        ("pot_life: 45 min", "pot_life: 54 min"),
        ("cure_time: 24 h", "cure_time: 42 h"),
        ("cure_temperature: 50 degF", "cure_temperature: 60 degF"),
        ("diisocyanate: MDI", "diisocyanate: TDI"),
        ("hardness_least: 52", "hardness_least: 50"),
        ("eye protection, ", ""),
    ];
    for change in others {
        assert_eq!(found(change), ["shop/sheet-twice"], "{change:?}");
    }
    let same = [("pot_life: 45 min", "pot_life: 0.75 h"), ("cure_temperature: 50 degF", "cure_temperature: 10 degC")];
    for change in same {
        assert!(found(change).is_empty(), "{change:?}");
    }
}
