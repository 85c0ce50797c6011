//! The law of the expansion: whatever facts of a record are moved into a shop file, as far as its sections take them, the
//! two together say what the record said, and every value stands where it is written.

use std::cell::Cell;

use fillward::document::Document;
use fillward::pack::PackSet;
use fillward::record::shop::sections::{
    CAGES, CREW, GAUGES, LIFTING, LOTS, MACHINES, MATERIALS, PLACES, PUMPS, THERMOMETERS, TYRES, WHEELS, day_takes,
};
use fillward::record::shop::{self, Section, Shop};
use fillward::record::{Catalogue, FactKey, FactSpec};
use fillward::vocabulary::Subject;
use proptest::prelude::*;
use serde_yaml::{Mapping, Value};

use super::{leaves, said, stands_for};
use crate::common;

const SIDES: [&str; 2] = ["isocyanate", "polyol"];

/// Which facts are moved: one choice after the other, from the beginning again at the end.
struct Choices {
    bits: Vec<bool>,
    next: usize,
}

impl Choices {
    fn is_next(&mut self) -> bool {
        self.next += 1;
        self.bits[self.next % self.bits.len()]
    }
}

fn take_at(value: &mut Value, place: &str) -> Option<Value> {
    let (head, rest) = place.split_once('.').map_or((place, None), |(head, rest)| (head, Some(rest)));
    match rest {
        None => value.as_mapping_mut()?.shift_remove(head).filter(|value| !value.is_null()),
        Some(rest) => take_at(value.get_mut(head)?, rest),
    }
}

fn put_at(value: &mut Value, place: &str, fact: Value) {
    let (head, rest) = place.split_once('.').map_or((place, None), |(head, rest)| (head, Some(rest)));
    let map = value.as_mapping_mut().unwrap();
    match rest {
        None => drop(map.insert(head.into(), fact)),
        Some(rest) => put_at(map.entry(head.into()).or_insert(Value::Mapping(Mapping::new())), rest, fact),
    }
}

/// Moves some of the facts that are taken out of a mapping, each to its place below `base`.
fn moved(
    (catalogue, choices): (&Catalogue, &mut Choices),
    from: &mut Value,
    (subject, base): (Subject, &str),
    takes: &dyn Fn(FactKey, &FactSpec) -> bool,
) -> Value {
    let mut entry = Value::Mapping(Mapping::new());
    for key in catalogue.keys_of(subject) {
        let spec = catalogue.spec(key).unwrap();
        let Some(place) = spec.name.strip_prefix(base).filter(|_| takes(key, spec) && choices.is_next()) else {
            continue;
        };
        if let Some(fact) = take_at(from, &spec.name) {
            put_at(&mut entry, place, fact);
        }
    }
    entry
}

/// What an entry of a place takes. Its floor says nothing of a wheel that stays on its machine.
fn of_place(long: &Value) -> impl Fn(FactKey, &FactSpec) -> bool {
    let on_vehicle = long["cage"]["kind"].as_str() == Some("bolted on vehicle");
    move |key, spec| PLACES.takes(key, spec) && !(on_vehicle && spec.name == "cure.flat")
}

/// A record and a shop file that say together what the long record says.
fn apart(catalogue: &Catalogue, long: &Value, choices: &mut Choices) -> (Value, Value) {
    let mut record = long.clone();
    let mut lists: Vec<(&str, Vec<Value>)> = Vec::new();
    let of = |section: &'static Section| move |key: FactKey, spec: &FactSpec| section.takes(key, spec);
    let marked = |mut entry: Value, mark: &str| {
        entry["mark"] = mark.into();
        entry
    };
    for (section, key) in [(&GAUGES, "gauge"), (&THERMOMETERS, "thermometer")] {
        let text = serde_yaml::to_string(&long["assemblies"]).unwrap()
            + &["components", "workspace"].map(|part| serde_yaml::to_string(&long[part]).unwrap()).concat();
        let own = record.get_mut(section.key).and_then(Value::as_sequence_mut);
        let mut entries = Vec::new();
        // An instrument goes as a whole, and only one that a reading names comes back.
        if let Some(own) = own {
            own.retain(|entry| {
                let named = entry["mark"].as_str().is_some_and(|mark| text.contains(&format!("{key}: {mark}\n")));
                let goes = named && choices.is_next();
                entries.extend(goes.then(|| entry.clone()));
                !goes
            });
        }
        lists.push((section.key, entries));
    }
    for (section, key, mark) in [(&PUMPS, "pump", None), (&CAGES, "cage", Some("C")), (&LIFTING, "handling", Some("L"))]
    {
        let named = record.get(key).and_then(|group| group.get("mark")).and_then(Value::as_str).map(str::to_owned);
        let Some(mark) = mark.map(str::to_owned).or(named).filter(|_| record.get(key).is_some_and(Value::is_mapping))
        else {
            continue;
        };
        let entry = moved((catalogue, choices), &mut record, (Subject::Job, section.base), &of(section));
        record[key]["mark"] = mark.as_str().into();
        lists.push((section.key, vec![marked(entry, &mark)]));
    }
    let takes_place = of_place(long);
    let entry = moved((catalogue, choices), &mut record, (Subject::Job, ""), &takes_place);
    record["place"] = "HERE".into();
    lists.push((PLACES.key, vec![marked(entry, "HERE")]));
    let of_day = |key: FactKey, spec: &FactSpec| day_takes(key, spec) && !spec.name.starts_with("local.");
    let mut sheet = moved((catalogue, choices), &mut record, (Subject::Job, ""), &of_day);
    let day = long["planned_start"].as_str().map_or("2026-03-04", |at| at.get(..10).unwrap());
    (sheet["day"], record["day"]) = (day.into(), day.into());

    let (mut crew, mut of_people) = (Vec::new(), Mapping::new());
    for (index, person) in list(&mut record, "people").iter_mut().enumerate() {
        let mark = format!("M{index}");
        let entry = moved((catalogue, choices), person, (Subject::Person, ""), &of(&CREW));
        let today = moved((catalogue, choices), person, (Subject::Person, ""), &of_day);
        of_people.insert(mark.as_str().into(), today);
        person["mark"] = mark.as_str().into();
        crew.push(marked(entry, &mark));
    }
    sheet["crew"] = Value::Mapping(of_people);
    lists.push((CREW.key, crew));

    let (mut lots, mut of_lots) = (Vec::new(), Mapping::new());
    let mut material = Value::Mapping(Mapping::new());
    let marks: Vec<Option<Value>> = SIDES.map(|side| long["components"].get(side)?.get("lot").cloned()).to_vec();
    if let [Some(first), Some(second)] = marks.as_slice()
        && first != second
    {
        for side in SIDES {
            let stated = &mut record["components"][side];
            let mark = stated["lot"].clone();
            let mut entry = moved((catalogue, choices), stated, (Subject::Component, ""), &of(&LOTS));
            material[side] = moved((catalogue, choices), stated, (Subject::Component, ""), &of(&MATERIALS));
            of_lots.insert(mark.clone(), moved((catalogue, choices), stated, (Subject::Component, ""), &of_day));
            (entry["mark"], entry["side"], entry["material"]) = (mark, side.into(), "MATERIAL".into());
            lots.push(entry);
        }
        lists.push((LOTS.key, lots));
        lists.push((MATERIALS.key, vec![marked(material, "MATERIAL")]));
        sheet["lots"] = Value::Mapping(of_lots);
    }

    let mut cards: Vec<(&'static Section, &str, Vec<Value>)> =
        vec![(&TYRES, "tyre", Vec::new()), (&WHEELS, "wheel", Vec::new()), (&MACHINES, "machine", Vec::new())];
    for (index, assembly) in list(&mut record, "assemblies").iter_mut().enumerate() {
        for (section, key, entries) in &mut cards {
            let mark = format!("{key} {index}");
            let mut entry = moved((catalogue, choices), assembly, (Subject::Assembly, section.base), &of(section));
            for_machine(&mut entry, key, assembly);
            match *key {
                "machine" => assembly["machine"] = mark.as_str().into(),
                key => put_at(assembly, &format!("{key}.card"), mark.as_str().into()),
            }
            entries.push(marked(entry, &mark));
        }
        if let Some(Value::Sequence(rows)) = assembly.get_mut("pre_stretch").and_then(|stretch| stretch.get_mut("log"))
        {
            for row in rows.iter_mut().filter(|_| choices.is_next()) {
                let text = ["at", "pressure", "air"].map(|column| row[column].as_str().unwrap().to_owned()).join("  ");
                let lowest =
                    row.get("lowest_air").and_then(Value::as_str).map(|lowest| format!(" lowest_air {lowest}"));
                *row = (text + &lowest.unwrap_or_default()).into();
            }
        }
    }
    lists.extend(cards.into_iter().map(|(section, _, entries)| (section.key, entries)));
    lists.push(("days", vec![sheet]));
    let head: Mapping = serde_yaml::from_str("{shop: 1, zone: America/Chicago}").unwrap();
    let lists = lists.into_iter().map(|(key, entries)| (key.into(), Value::Sequence(entries)));
    (record, Value::Mapping(head.into_iter().chain(lists).collect()))
}

/// A machine card that is called otherwise than the machine says of which it is.
fn for_machine(entry: &mut Value, key: &str, assembly: &Value) {
    if let (true, Some(machine)) = (key == "machine", assembly.get("mark").filter(|mark| !mark.is_null())) {
        entry["of"] = Value::Sequence(vec![machine.clone()]);
    }
}

fn list<'v>(record: &'v mut Value, key: &str) -> &'v mut [Value] {
    record.get_mut(key).and_then(Value::as_sequence_mut).map_or(&mut [], Vec::as_mut_slice)
}

/// What a document says, its instruments in the order of their marks.
fn says(document: &Document) -> Value {
    let mut value = said(&serde_yaml::to_value(document.to_json()).unwrap());
    for key in [GAUGES.key, THERMOMETERS.key] {
        if let Some(items) = value.get_mut(key).and_then(Value::as_sequence_mut) {
            items.sort_by_key(|item| item["mark"].as_str().map(str::to_owned));
        }
    }
    value
}

#[test]
fn whatever_is_moved_into_the_shop_file_the_two_say_what_the_record_said() {
    let packs = PackSet::base().unwrap();
    let jobs: Vec<(String, Value, Value)> = common::files("shared/demo/jobs", ".yaml")
        .into_iter()
        .map(|path| {
            let long = serde_yaml::from_str(&common::read(&path)).unwrap();
            let due = says(&common::document(&path));
            (path, long, due)
        })
        .collect();
    let (in_shop, values) = (Cell::new(0_usize), Cell::new(0_usize));
    let cases = std::env::var("FILLWARD_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(200);
    let config = ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() };
    let mut runner = proptest::test_runner::TestRunner::new(config);
    let input = (0..jobs.len(), proptest::collection::vec(any::<bool>(), 400));
    runner
        .run(&input, |(job, bits)| {
            let (path, long, due) = &jobs[job];
            let (record, shop) = apart(packs.catalogue(), long, &mut Choices { bits, next: 0 });
            let [record, shop] = [record, shop].map(|tree| serde_yaml::to_string(&tree).unwrap());
            let both = || format!("{path}\n{record}\n{shop}");
            let read = Document::read("shop.yaml", shop.as_bytes()).and_then(Shop::read);
            let file = read.map_err(|faults| TestCaseError::fail(format!("{faults:?}\n{}", both())))?;
            let document = Document::read("job.yaml", record.as_bytes()).unwrap();
            let made = shop::expand(document.clone(), Some(&file), &packs, file.zone(), common::demo_at());
            let made = made.map_err(|faults| TestCaseError::fail(format!("{faults:?}\n{}", both())))?;
            prop_assert_eq!(&says(&made.document), due, "{}", both());
            let mut found = Vec::new();
            leaves(made.document.root(), "", &mut found);
            let source = made.document.source();
            for (place, node) in found.iter().filter(|(_, node)| node.value != fillward::document::Content::Null) {
                let text = source.slice(node.span);
                prop_assert!(stands_for(text, &node.value, &shop), "{}: `{}` for {:?}", place, text, node.value);
                in_shop.set(in_shop.get() + usize::from(source.file_of(node.span.start) > 0));
                values.set(values.get() + 1);
            }
            Ok(())
        })
        .unwrap_or_else(|error| panic!("{error}"));
    // Both files say something: of five values one at least stands in the shop file.
    let (in_shop, values) = (in_shop.get(), values.get());
    assert!(in_shop * 5 > values && in_shop < values, "{in_shop} of {values} values");
}
