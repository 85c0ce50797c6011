//! The short form of a demo job: whatever of the long record the demo's shop file says is left to it. Each step is tried
//! and kept where the two together still say the same as the long record, but for the minutes between readings that are
//! taken on one round.

mod likes;
mod trees;

use fillward::document::Document;
use fillward::pack::PackSet;
use fillward::record::shop::{self, Shop};
use fillward::units::Instant;
use serde_json::Value as Json;
use serde_yaml::{Mapping, Value};

use likes::likes;
use trees::{
    bare, forget, in_order, less, list_mut, long_times, named, names_an_entry, place, short_times, with_rows, without,
};

use crate::common;

const DAY: &str = "2026-03-04";
/// What is read between these times was read on the round of the morning.
const ROUND: std::ops::RangeInclusive<&str> = "2026-03-04T08:45:00-06:00"..="2026-03-04T09:15:00-06:00";

pub(crate) struct Shortening<'a> {
    packs: &'a PackSet,
    shop: Shop,
    entries: Value,
}

impl<'a> Shortening<'a> {
    pub(crate) fn new(packs: &'a PackSet) -> Self {
        let path = "shared/demo/shop.yaml";
        let shop = Shop::read(common::document(path)).unwrap();
        Self { packs, shop, entries: serde_yaml::from_str(&common::read(path)).unwrap() }
    }

    /// What a record says together with the shop file at an instant; nothing where the two do not go together.
    fn says(&self, record: &Value, at: Instant) -> Option<Json> {
        let document = Document::read("job.yaml", serde_yaml::to_string(record).unwrap().as_bytes()).ok()?;
        let zone = self.shop.zone();
        let made = shop::expand(document, Some(&self.shop), self.packs, zone, at).ok()?;
        Some(bare(made.document.to_json()))
    }

    /// Takes the instruments out of what a record says that the shop file has and nothing in the record was read with.
    fn forget_unread(&self, short: &Value, said: &mut Json) {
        let text = serde_yaml::to_string(&without(short.as_mapping().unwrap(), &["gauges", "thermometers"])).unwrap();
        for list in ["gauges", "thermometers"] {
            let marks: Vec<&str> = self.list(list).map(|entry| entry["mark"].as_str().unwrap()).collect();
            let unread = |entry: &Json| {
                let mark = entry["mark"].as_str().unwrap();
                marks.contains(&mark) && !text.contains(&format!(": {mark}\n"))
            };
            if let Some(own) = said.get_mut(list).and_then(Json::as_array_mut) {
                own.retain(|entry| !unread(entry));
                if own.is_empty() {
                    said.as_object_mut().unwrap().remove(list);
                }
            }
        }
    }

    fn list(&self, key: &str) -> impl Iterator<Item = &Mapping> {
        self.entries[key].as_sequence().unwrap().iter().map(|entry| entry.as_mapping().unwrap())
    }

    /// The short form of a long record that is checked at an instant; nothing where the record says otherwise than the
    /// shop file of one of its marks.
    pub(crate) fn of(&self, long: &Value, at: Instant) -> Option<Value> {
        let mut short = long.clone();
        // Instruments that the shop file has go first: the record may not state them a second time.
        for list in ["gauges", "thermometers"] {
            let known: Vec<Value> = self.list(list).map(|entry| Value::Mapping(entry.clone())).collect();
            if let Some(own) = short.get_mut(list).and_then(Value::as_sequence_mut) {
                own.retain(|entry| !known.contains(entry));
                if own.is_empty() {
                    short.as_mapping_mut().unwrap().shift_remove(list);
                }
            }
        }
        let mut due = serde_json::to_value(long).unwrap();
        self.forget_unread(&short, &mut due);
        // A mark of the shop file brings its facts in, so all that is said of such things goes at once.
        for step in [Self::components, Self::groups] {
            short = step(self, &short).remove(0);
        }
        let due = bare(due);
        if self.says(&short, at).as_ref() != Some(&due) {
            return None;
        }
        let steps =
            [Self::people, Self::place, Self::day, Self::cards, Self::looks, Self::rows, Self::likes, Self::stamp];
        for step in steps {
            while let Some(next) =
                step(self, &short).into_iter().find(|next| *next != short && self.says(next, at).as_ref() == Some(&due))
            {
                short = next;
            }
        }
        Some(in_order(short))
    }

    /// Each candidate stands for all people at once: those that the crew has by mark.
    fn people(&self, short: &Value) -> Vec<Value> {
        let mut made = short.clone();
        for person in list_mut(&mut made, "people") {
            let entry = self.list("crew").find(|entry| entry["name"] == person["name"]);
            if let Some(rest) = entry.and_then(|entry| less(person, &without(entry, &["mark"]))) {
                *person = named("mark", &entry.unwrap()["mark"], &rest);
            }
        }
        vec![made]
    }

    fn components(&self, short: &Value) -> Vec<Value> {
        let (mut made, mut of_mix) = (short.clone(), None);
        for side in ["isocyanate", "polyol"] {
            let Some(stated) = made.get_mut("components").and_then(|sides| sides.get_mut(side)) else { continue };
            let Some(lot) = self.list("lots").find(|lot| Some(&lot["mark"]) == stated.get("lot")) else { continue };
            let material = self.list("materials").find(|material| material["mark"] == lot["material"]).unwrap();
            let sheet = material[side].as_mapping().unwrap();
            // A price says nothing of a job; the shop file may know it where the record does not.
            let mut priced = stated.clone();
            for key in ["price", "price_for"] {
                priced[key] = sheet.get(key).cloned().unwrap_or(Value::Null);
            }
            let facts = long_times(&without(lot, &["mark", "side", "material"]));
            if let Some(rest) = less(&priced, &facts).and_then(|rest| less(&rest, sheet)) {
                *stated = rest;
                of_mix = material.get("mix").cloned();
            }
        }
        if let Some(said) = of_mix {
            let mix = Mapping::from_iter([("mix".into(), said)]);
            made = less(&made, &mix).unwrap_or(made);
        }
        vec![made]
    }

    fn groups(&self, short: &Value) -> Vec<Value> {
        let mut made = short.clone();
        for (list, key) in [("pumps", "pump"), ("cages", "cage"), ("lifting", "handling")] {
            let Some(group) = made.get_mut(key) else { continue };
            for entry in self.list(list) {
                let mut facts = without(entry, &["mark"]);
                if key == "pump" {
                    facts.insert("mark".into(), entry["mark"].clone());
                    for (did, fact) in [("pump exercised", "exercised"), ("ratio checked", "ratio_checked")] {
                        let done = |row: &&Mapping| row["of"] == entry["mark"] && row["did"] == did;
                        if let Some(row) = self.list("routines").find(done) {
                            facts.insert(fact.into(), row["at"].clone());
                            if let Some(found) = row.get("found") {
                                facts.insert("ratio_found".into(), found.clone());
                            }
                        }
                    }
                }
                if let Some(rest) = less(group, &long_times(&facts)) {
                    *group = named("mark", &entry["mark"], &rest);
                    break;
                }
            }
        }
        vec![made]
    }

    fn place(&self, short: &Value) -> Vec<Value> {
        let of_place = |place: &Mapping| {
            let mut facts = long_times(&without(place, &["mark", "pump", "cage", "handling", "scale", "thermometer"]));
            if let Some(hygrometer) = facts.get_mut("hygrometer").and_then(Value::as_mapping_mut) {
                hygrometer.shift_remove("uncertainty");
            }
            for key in ["pump", "cage", "handling"] {
                let mark = &place[key];
                // Nothing is lifted where the wheel stays on its machine.
                if key == "handling" && short["cage"]["kind"] == "bolted on vehicle" {
                    continue;
                }
                match short.get(key)? {
                    group if group == mark => drop(facts.insert(key.into(), mark.clone())),
                    group if group.get("mark") == Some(mark) => {
                        let named = Mapping::from_iter([("mark".into(), mark.clone())]);
                        facts.insert(key.into(), Value::Mapping(named));
                    }
                    // The record names another one instead.
                    _ => {}
                }
            }
            // The floor of the place is not under a wheel that stays on its machine.
            if short["cage"]["kind"] == "bolted on vehicle" {
                facts["cure"].as_mapping_mut()?.shift_remove("flat");
                // It cures on its machine, for as long as the record says.
                let said = &short["cure"];
                facts["cure"].as_mapping_mut()?.retain(|key, of_place| said.get(key).is_none_or(|own| own == of_place));
            }
            for (did, at) in [("extinguisher", "checked"), ("eyewash", "run")] {
                let done = format!("{did} {at}");
                let row =
                    self.list("routines").find(|row| row["of"] == place["mark"] && row["did"] == done.as_str())?;
                facts["workspace"][did] = Value::Mapping(Mapping::from_iter([(at.into(), row["at"].clone())]));
            }
            let mut made = less(short, &facts)?;
            made.as_mapping_mut()?.insert("place".into(), place["mark"].clone());
            // What is read on the instruments of the place does not name them.
            for (reading, key, of_place) in [
                ("temperature", "thermometer", place.get("thermometer")),
                ("humidity", "uncertainty", place.get("hygrometer").and_then(|of| of.get("uncertainty"))),
            ] {
                let Some(read) = made.get_mut("workspace").and_then(|workspace| workspace.get_mut(reading)) else {
                    continue;
                };
                if of_place.is_some() && read.get(key) == of_place {
                    read.as_mapping_mut()?.shift_remove(key);
                }
            }
            for side in ["isocyanate", "polyol"] {
                let Some(side) = made.get_mut("components").and_then(|sides| sides.get_mut(side)) else { continue };
                if side.get("on_hand").and_then(|read| read.get("uncertainty")) == Some(&place["scale"]["uncertainty"])
                {
                    forget(side, &serde_yaml::from_str("{on_hand: {uncertainty: }}").ok()?);
                }
            }
            Some(made)
        };
        self.list("places").filter_map(of_place).collect()
    }

    /// The day at the head, times of the day, and what the sheet of the day and its round say.
    fn day(&self, short: &Value) -> Vec<Value> {
        let of_sheet = |(sheet, (first, second, air, guards)): (&Mapping, (bool, bool, bool, bool))| {
            let round = self.list("rounds").find(|round| round["mark"] == sheet["round"]["mark"])?;
            if short.get("place").is_some_and(|place| *place != round["place"]) {
                return None;
            }
            let mut made = short.clone();
            let mut facts = without(round, &["mark", "place", "people", "each_lot", "each_person"]);
            if air {
                forget(&mut made, &serde_yaml::from_str("{workspace: {temperature: , humidity: }}").ok()?);
            }
            // Of a cage that the record names instead of the place's nobody says anything on the round.
            if short.get("place").is_some() && short.get("cage").is_some_and(names_an_entry) {
                facts.shift_remove("cage");
            } else {
                forget(&mut made, &serde_yaml::from_str("{cage: {inspected: {at: , by: }}}").ok()?);
                // The round looked at the cage, and beside that another look does not count.
                made.get("cage").is_none_or(|cage| cage.get("inspected").is_none()).then_some(())?;
            }
            forget(&mut made, &Value::Mapping(facts));
            for (side, reading) in [("isocyanate", first), ("polyol", second)] {
                let side = made.get_mut("components")?.get_mut(side)?;
                let lot = side.as_str().or_else(|| side.get("lot")?.as_str());
                if lot.is_some_and(|lot| sheet["lots"].get(lot).is_some()) {
                    forget(side, &round["each_lot"]);
                }
                for (said, fact) in [(reading, "{core_temperature: }"), (guards, "{moisture_guard: }")] {
                    if said {
                        forget(side, &serde_yaml::from_str(fact).ok()?);
                    }
                }
            }
            for person in list_mut(&mut made, "people") {
                if let Some(map) = person.as_mapping_mut().filter(|map| map.contains_key("mark")) {
                    map.shift_remove("protection");
                    if map.len() == 1 {
                        *person = map["mark"].clone();
                    }
                }
            }
            made.as_mapping_mut()?.insert("day".into(), DAY.into());
            Some(short_times(&made))
        };
        let mut plain = short_times(short);
        plain["day"] = DAY.into();
        // What the sheet says otherwise than the record is left to the record, and everything else to the sheet.
        let flags = [true, false];
        let left = flags.iter().flat_map(|one| flags.map(|two| (*one, two)));
        let left: Vec<(bool, bool, bool, bool)> = left
            .clone()
            .flat_map(|(air, guards)| left.clone().map(move |(one, two)| (one, two, air, guards)))
            .collect();
        let sheets = self.list("days").flat_map(|sheet| left.iter().map(move |left| (sheet, *left)));
        sheets.filter_map(of_sheet).chain([plain]).collect()
    }

    fn cards(&self, short: &Value) -> Vec<Value> {
        let mut made = short.clone();
        for assembly in list_mut(&mut made, "assemblies") {
            for entry in self.list("tyres") {
                if let Some(rest) = less(&assembly["tyre"], &without(entry, &["mark"])) {
                    assembly["tyre"] = named("card", &entry["mark"], &rest);
                    break;
                }
            }
            for entry in self.list("wheels") {
                if let Some(mut rest) = less(assembly, &without(entry, &["mark"])) {
                    let wheel = rest.get("wheel").cloned().unwrap_or(Value::Mapping(Mapping::new()));
                    rest["wheel"] = named("card", &entry["mark"], &wheel);
                    *assembly = rest;
                    break;
                }
            }
            for entry in self.list("machines") {
                let ours = assembly["mark"].as_str().unwrap().starts_with(entry["mark"].as_str().unwrap());
                if let Some(mut rest) = less(assembly, &without(entry, &["mark"])).filter(|_| ours) {
                    rest["machine"] = entry["mark"].clone();
                    *assembly = rest;
                    break;
                }
            }
        }
        vec![made]
    }

    fn looks(&self, short: &Value) -> Vec<Value> {
        let nothing = "{tyre: {casing: {damage: []}, interior: {dry: true, contaminants: []}}, rim: {leaks: false}, \
                       wheel: {faults: []}, valve: {condition: sound}, mounting: {clean: true}}";
        let nothing: Mapping = serde_yaml::from_str(nothing).unwrap();
        let mut made = short.clone();
        for assembly in list_mut(&mut made, "assemblies") {
            let Some(mut looked) = assembly["tyre"].get("casing").and_then(|casing| casing.get("inspected")).cloned()
            else {
                continue;
            };
            if looked.as_mapping_mut().and_then(|looked| looked.remove("off_rim")) != Some(true.into()) {
                continue;
            }
            let seen = "{tyre: {casing: {inspected: }}, wheel: {inspected: }}";
            forget(assembly, &serde_yaml::from_str(seen).unwrap());
            if let Some(seated) = assembly.get_mut("seated")
                && seated.get("by") == looked.get("by")
                && let Some(at) = seated.get("at").cloned()
            {
                *seated = at;
            }
            if let Some(rest) = less(assembly, &nothing) {
                *assembly = rest;
                looked["found"] = Value::Sequence(Vec::new());
            }
            if let Some(by) = self.list("crew").find(|entry| entry["name"] == looked["by"]) {
                looked["by"] = by["mark"].clone();
            }
            assembly["bench"] = looked;
            if let Some(Value::Mapping(wheel)) = assembly.get("wheel")
                && wheel.len() == 1
                && let Some(card) = wheel.get("card").cloned()
            {
                assembly["wheel"] = card;
            }
        }
        vec![made]
    }

    /// Rows of logs on one line each.
    #[expect(clippy::unused_self, reason = "a step like the others")]
    fn rows(&self, short: &Value) -> Vec<Value> {
        vec![with_rows(short)]
    }

    /// What is said more than once of when and with what readings were taken stands once at the head.
    #[expect(clippy::unused_self, reason = "a step like the others")]
    fn stamp(&self, short: &Value) -> Vec<Value> {
        let mut made = short.clone();
        let mut stamp = Mapping::new();
        let sides = || ["isocyanate", "polyol"].map(|side| format!("components.{side}.on_hand"));
        let assemblies = list_mut(&mut made, "assemblies").len();
        let of_each = |place: &str| (0..assemblies).map(|index| format!("assemblies.{index}.{place}")).collect();
        let gauges: Vec<String> = [of_each("target"), of_each("pre_stretch")].concat();
        for (key, holders) in [("at", sides().to_vec()), ("gauge", gauges), ("thermometer", of_each("pre_stretch"))] {
            let found: Vec<Value> = holders.iter().filter_map(|at| place(&mut made, at)?.get(key).cloned()).collect();
            if let [first, rest @ ..] = found.as_slice()
                && !rest.is_empty()
                && rest.iter().all(|other| other == first)
            {
                stamp.insert(key.into(), first.clone());
                for at in &holders {
                    if let Some(Value::Mapping(holder)) = place(&mut made, at) {
                        holder.shift_remove(key);
                    }
                }
            }
        }
        if stamp.is_empty() {
            return Vec::new();
        }
        made["read"] = Value::Mapping(stamp);
        vec![made]
    }

    #[expect(clippy::unused_self, reason = "a step like the others")]
    fn likes(&self, short: &Value) -> Vec<Value> {
        likes(short)
    }
}
