//! A look at the cage: of two the later counts with all that belongs to it, and a look is good wherever its cage is named.

use fillward::document::Document;
use fillward::pack::PackSet;
use fillward::record::shop::Shop;
use proptest::prelude::*;
use serde_json::Value;

use super::{RECORD, SHOP, changed, expanded, expanded_with};
use crate::common;

fn clock(minutes: u32) -> String {
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// The minutes of the day at which the demo morning is judged.
const NOW: u32 = 9 * 60 + 30;

/// The record's own look, if it has one: when, by whom, and what was found if it says so.
type OwnLook = Option<(u32, &'static str, Option<&'static str>)>;

fn own_look() -> impl Strategy<Value = OwnLook> {
    let found = prop::sample::select(vec![None, Some("[]"), Some("[weld crack]"), Some("[bent part]")]);
    prop::option::of((300..NOW, prop::sample::select(vec!["TR", "WC"]), found))
}

/// Of two looks the later counts, with its time, with whoever looked and with what was found; a round that is still to come
/// has seen nothing. Of the cage of another place that was brought here the round of that place has seen nothing
/// either: it was before the way.
#[test]
fn of_two_looks_at_the_cage_the_later_counts_whole() {
    let packs = PackSet::base().unwrap();
    let config = ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() };
    let mut runner = proptest::test_runner::TestRunner::new(config);
    let of_round = [
        ("EB morning, at: 07:10, by: OV", "EB morning", "Odile Varga"),
        ("WB morning, at: 06:50, by: ML", "WB morning", "Maire Lindqvist"),
    ];
    runner
        .run(&(own_look(), 300..NOW + 60, any::<bool>()), |(own, round, brought)| {
            let (old, mark, walker) = of_round[usize::from(brought)];
            let by = old.rsplit(' ').next().unwrap();
            let shop = changed(SHOP, &[(old, &format!("{mark}, at: {}, by: {by}", clock(round)))]);
            let look = own.map(|(at, by, found)| {
                let damage = found.map(|found| format!(", damage: {found}")).unwrap_or_default();
                format!("inspected: {{at: {}, by: {by}}}{damage}", clock(at))
            });
            let named = if brought { "mark: C-2, brought_from: WB" } else { "mark: C-1" };
            let cage = std::iter::once(named.to_owned()).chain(look).collect::<Vec<_>>().join(", ");
            let record = changed(RECORD, &[("\nworkspace:", &format!("\ncage: {{{cage}}}\nworkspace:"))]);
            let made = expanded(&packs, &record, Some(&shop)).unwrap_or_else(|faults| panic!("{record}: {faults:?}"));
            let cage = made.document.to_json()["cage"].clone();
            let full = |mark: &str| if mark == "TR" { "Tobiah Renske" } else { "Wren Castellane" };
            let at = |minutes: u32| Value::from(format!("2026-03-04T{}:00-06:00", clock(minutes)));
            let list = |found: &str| {
                let word = found.trim_matches(['[', ']']);
                Value::from(if word.is_empty() { Vec::new() } else { vec![word.to_owned()] })
            };
            let of_round = !brought && round <= NOW && own.is_none_or(|(at, ..)| round > at);
            let (due_at, due_by, found) = match own {
                _ if of_round => (at(round), Value::from(walker), Some("[]")),
                Some((own, by, found)) => (at(own), Value::from(full(by)), found),
                None => (Value::Null, Value::Null, None),
            };
            // What the record says that it found is found, whoever looked later.
            let found = own.and_then(|(_, _, own)| own).or(found);
            prop_assert_eq!(&cage["inspected"]["at"], &due_at, "{}", &record);
            prop_assert_eq!(&cage["inspected"]["by"], &due_by, "{}", &record);
            prop_assert_eq!(&cage["damage"], &found.map_or(Value::Null, list), "{}", &record);
            Ok(())
        })
        .unwrap_or_else(|error| panic!("{error}"));
}

/// What the round of another place saw besides its cage is not so here, and whoever judges again by the part of the
/// shop file that was used finds the same.
#[test]
fn the_round_of_another_place_says_nothing_but_its_cage() {
    let packs = PackSet::base().unwrap();
    let cage = "\ncage: {mark: C-2, brought_from: WB}\nworkspace:";
    let text = common::read(SHOP);
    let (head, rounds) = text.split_once("  - mark: WB morning\n").unwrap();
    let loose = format!(
        "{head}  - mark: WB morning\n{}",
        rounds.replacen("clip_on_chuck: true", "clip_on_chuck: false", 1).replacen("read_at: core", "read_at: wall", 1)
    );
    let record = changed(RECORD, &[("\nworkspace:", cage)]);
    let [usual, other] = [&text, &loose].map(|shop| expanded(&packs, &record, Some(shop)).unwrap());
    assert_eq!(usual.document.to_json(), other.document.to_json());
    let shop = fillward::record::shop::Shop::read(common::document(SHOP)).unwrap();
    let part = shop.part(&usual.used);
    for entry in ["WB morning", "mark: WB\n", "mark: C-2"] {
        assert!(part.contains(entry), "{entry} in {part}");
    }
}

/// The floor of a place is not the floor under a wheel that stays on its machine, however the machine is named as what holds
/// it; of every other cage it is.
#[test]
fn a_wheel_that_stays_on_its_machine_does_not_lie_on_the_floor_of_the_place() {
    let packs = PackSet::base().unwrap();
    let with_entry = changed(SHOP, &[("cages:\n", "cages:\n  - {mark: on the machine, kind: bolted on vehicle}\n")]);
    for (cage, flat) in [
        ("", Some(true)),
        ("\ncage: C-1", Some(true)),
        ("\ncage: {kind: barrier, rating: 200 psi}", Some(true)),
        ("\ncage: on the machine", None),
        ("\ncage: {kind: bolted on vehicle}", None),
    ] {
        let record = changed(RECORD, &[("\nworkspace:", &format!("{cage}\nworkspace:"))]);
        let made = expanded(&packs, &record, Some(&with_entry)).unwrap_or_else(|faults| panic!("{cage}: {faults:?}"));
        assert_eq!(made.document.to_json()["cure"]["flat"].as_bool(), flat, "{cage}");
        // Nor does the place lift it, whichever it is; what the record says of gear stays.
        let elsewhere = if cage.contains("C-1") { &[][..] } else { &["WB", "AG", "SB"] };
        for place in ["EB"].iter().chain(elsewhere) {
            let here = record.replace("place: EB", &format!("place: {place}"));
            let gear = |record: &str| {
                let made = expanded(&packs, record, Some(&with_entry));
                let json = made.unwrap_or_else(|faults| panic!("{cage} at {place}: {faults:?}")).document.to_json();
                json["handling"]["capacity"].as_str().map(str::to_owned)
            };
            assert_eq!(gear(&here).is_some(), flat.is_some(), "{cage} at {place}");
            let own = here.replace("\nworkspace:", "\nhandling: {gear: their hoist, capacity: 1000 lb}\nworkspace:");
            assert_eq!(gear(&own).as_deref(), Some("1000 lb"), "{cage} at {place}");
        }
    }
    // What the record itself says stays, and is held against the mounting.
    let lies = "\ncage: {kind: bolted on vehicle}\ncure: {flat: true}\nworkspace:";
    let made = expanded(&packs, &changed(RECORD, &[("\nworkspace:", lies)]), Some(&with_entry)).unwrap();
    assert_eq!(made.document.to_json()["cure"]["flat"], true);
}

/// Who looked at something, by mark, and is not of the crew of the job is there as its inspector, once, with the
/// training of the shop file; nobody of the crew is there twice, and where nobody is named the list stays missing.
#[test]
fn who_looked_is_there_once() {
    let packs = PackSet::base().unwrap();
    let shop = common::read(SHOP);
    let people = |named: &str| {
        let record = changed(RECORD, &[("people: [OV, TR, WC]", named)]);
        let made = expanded(&packs, &record, Some(&shop)).unwrap().document.to_json();
        let people = made["people"].as_array().cloned().unwrap_or_default();
        let of = |person: &Value, key: &str| person[key].as_str().unwrap().to_owned();
        let roles = people.iter().map(|one| format!("{} {}", of(one, "name"), of(one, "role"))).collect::<Vec<_>>();
        (roles, people)
    };
    let (roles, _) = people("people: [OV, TR, WC]");
    assert_eq!(roles, ["Odile Varga supervisor", "Tobiah Renske operator", "Wren Castellane helper"]);
    let (roles, whole) = people("people: [TR, WC]");
    assert_eq!(roles, ["Tobiah Renske operator", "Wren Castellane helper", "Odile Varga inspector"]);
    assert_eq!(whole[2]["trained_in"][0], "rim wheels");
    assert_eq!(people("people: []").0, [""; 0]);
}

/// What a round found wrong with a cage is wrong wherever the cage is brought.
#[test]
fn damage_that_was_found_comes_along_with_the_cage() {
    let packs = PackSet::base().unwrap();
    let record = changed(RECORD, &[("\nworkspace:", "\ncage: {mark: C-2, brought_from: WB}\nworkspace:")]);
    let found = "WB morning, at: 06:50, by: ML}\n    cage: {damage: [weld crack]}";
    let shop = changed(SHOP, &[("WB morning, at: 06:50, by: ML}", found)]);
    let made = expanded(&packs, &record, Some(&shop)).unwrap();
    let cage = made.document.to_json()["cage"].clone();
    assert_eq!(cage["damage"][0], "weld crack");
    assert_eq!(cage["inspected"]["at"], Value::Null);
    // The part that a checklist keeps says the same.
    let whole = Shop::read(Document::read("shop.yaml", shop.as_bytes()).unwrap()).unwrap();
    let part = Document::read("part", whole.part(&made.used).as_bytes()).unwrap();
    let part = expanded_with(&packs, &record, Some(&Shop::read_part(part).unwrap())).unwrap();
    assert_eq!(part.document.to_json(), made.document.to_json());
}

/// Since when the pump draws on a lot is said of the pump at which the sheets of the day have it: here where any of
/// them is of here, and nowhere else. What the record says itself stays.
#[test]
fn a_lot_on_the_pump_of_another_place_is_not_on_this_one() {
    let packs = PackSet::base().unwrap();
    let since = |lot: &str, more: &str| {
        let record = changed(RECORD, &[("    lot: PL-641\n", &format!("    lot: {lot}\n{more}"))]);
        let made =
            expanded(&packs, &record, Some(&common::read(SHOP))).unwrap_or_else(|faults| panic!("{lot}: {faults:?}"));
        let part = Shop::read(common::document(SHOP)).unwrap().part(&made.used);
        let part = Shop::read_part(Document::read("part", part.as_bytes()).unwrap()).unwrap();
        let again = expanded_with(&packs, &record, Some(&part)).unwrap();
        assert_eq!(made.document.to_json(), again.document.to_json(), "{lot}");
        made.document.to_json()["components"]["polyol"]["on_pump_since"].clone()
    };
    assert_eq!(since("PL-641", ""), "2026-03-02T15:50:00-06:00");
    assert_eq!(since("PL-655", ""), Value::Null);
    assert_eq!(since("PL-655", "    on_pump_since: 2026-03-04 07:00\n"), "2026-03-04T07:00:00-06:00");
}
