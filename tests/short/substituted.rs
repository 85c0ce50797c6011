//! Every mark of a record, and of what it draws on in the shop file, in the place of every other one: one that nobody has is
//! refused, and another one is refused, holds, or is truly what the job was done with.

use fillward::document::{Document, Faults};
use fillward::pack::PackSet;
use fillward::record;
use fillward::record::shop::sections::SECTIONS;
use fillward::record::shop::{self, Expanded, Shop};
use fillward::vocabulary::Verdict;
use serde_yaml::Value;

use super::{RECORD, SHOP, expanded, judged};
use crate::common;
use crate::common::tree::{Step, at, paths};

/// Of these a job may be done with another one, which then stands in the long record; of the others the mark of another one
/// is of another job.
const ANOTHER_MAY_DO: &[&str] = &["crew", "pumps", "cages", "lifting", "gauges", "thermometers", "tyres", "wheels"];

const NOBODY: &str = "QQ-9";

struct Shown<'a> {
    packs: &'a PackSet,
    original: serde_json::Value,
}

impl Shown<'_> {
    fn made(&self, record: &Value, shop: &Value) -> Result<Expanded, Faults> {
        let [record, shop] = [record, shop].map(|tree| serde_yaml::to_string(tree).unwrap());
        let shop = Shop::read_to_draw_on("shop.yaml", shop.as_bytes())?;
        let record = Document::read("job.yaml", record.as_bytes())?;
        let made = shop::expand(record, Some(&shop), self.packs, shop.zone(), common::demo_at())?;
        record::read(&made.document, self.packs.catalogue(), shop.zone())?;
        Ok(made)
    }
}

/// The marks of the shop file by section, with those of the rounds.
fn marks(shop: &Value) -> Vec<(&'static str, Vec<String>)> {
    let of = |section: &str| -> Vec<String> {
        let entries = shop[section].as_sequence().into_iter().flatten();
        entries.filter_map(|entry| Some(entry.get("mark")?.as_str()?.to_owned())).collect()
    };
    SECTIONS.iter().map(|section| section.key).chain(["rounds"]).map(|section| (section, of(section))).collect()
}

/// Whether the value at a path is a mark, and of which sections: by the key that it stands at or, in a list, its list.
fn sections_of(path: &[Step], value: &str, marks: &[(&'static str, Vec<String>)]) -> Vec<usize> {
    let key = path.iter().rev().find_map(|step| match step {
        Step::Key(key) => Some(key.as_str()),
        Step::Item(_) => None,
    });
    let may_be = |section: &str| match key.unwrap_or_default() {
        "place" => section == "places",
        "gauge" => section == "gauges",
        "thermometer" => section == "thermometers",
        "people" | "by" => section == "crew",
        "lot" => section == "lots",
        "material" => section == "materials",
        "pump" => section == "pumps",
        "cage" => section == "cages",
        "handling" => section == "lifting",
        "card" => ["tyres", "wheels"].contains(&section),
        "wheel" => section == "wheels",
        "machine" => section == "machines",
        "mark" | "of" => true,
        _ => false,
    };
    let known =
        marks.iter().enumerate().filter(|(_, (section, all))| may_be(section) && all.iter().any(|mark| mark == value));
    known.map(|(index, _)| index).collect()
}

#[test]
fn another_mark_is_refused_held_or_what_the_job_was_done_with() {
    let packs = PackSet::base().unwrap();
    let read = |path: &str| -> Value { serde_yaml::from_str(&common::read(path)).unwrap() };
    let (record, shop) = (read(RECORD), read(SHOP));
    let whole = expanded(&packs, &common::read(RECORD), Some(&common::read(SHOP))).unwrap();
    let shown = Shown { packs: &packs, original: whole.document.to_json() };
    let marks = marks(&shop);
    let (mut refused, mut held, mut passed) = (0, 0, 0);
    for (of_record, tree) in [(true, &record), (false, &shop)] {
        let mut all = Vec::new();
        paths(tree, &[], &mut all);
        let is_used = |path: &[Step]| match path {
            [Step::Key(section), Step::Item(index), ..] => {
                whole.used.iter().any(|used| used.section == *section && used.index == *index)
            }
            _ => false,
        };
        for path in all.iter().filter(|path| of_record || is_used(path)) {
            let Some(Value::String(mark)) = at(tree, path) else { continue };
            let sections = sections_of(path, mark, &marks);
            let Some(section) = sections.first().copied() else { continue };
            let others = sections.iter().flat_map(|index| &marks[*index].1).filter(|other| *other != mark);
            for other in others.map(String::as_str).chain([NOBODY]) {
                let mut changed = tree.clone();
                set(&mut changed, path, other);
                let (record, shop) = if of_record { (&changed, &shop) } else { (&record, &changed) };
                let name = format!("{} {other} for {mark}", common::tree::name(path));
                let Ok(made) = shown.made(record, shop) else {
                    refused += 1;
                    continue;
                };
                assert_ne!(other, NOBODY, "{name} is taken");
                if judged(&packs, &made.document).0 == Verdict::Hold {
                    held += 1;
                    continue;
                }
                passed += 1;
                let section = marks[section].0;
                assert!(ANOTHER_MAY_DO.contains(&section), "{name} passes");
                // Nothing of this was read with the instrument at the head of a record or a sheet; whoever walks a
                // round is met on it without being listed.
                let name_only = ["read", "people"].map(|key| Step::Key(key.to_owned()));
                let is_name_only = !of_record && path.contains(&name_only[1]) || path.contains(&name_only[0]);
                assert!(is_name_only || made.document.to_json() != shown.original, "{name} passes and changes nothing");
            }
        }
    }
    println!("{refused} refused, {held} held, {passed} passed");
    assert!(refused > 100 && held > 30 && passed < held, "{refused} refused, {held} held, {passed} passed");
}

fn set(tree: &mut Value, path: &[Step], to: &str) {
    let at = path.iter().try_fold(tree, |node, step| match step {
        Step::Key(key) => node.get_mut(key.as_str()),
        Step::Item(index) => node.get_mut(*index),
    });
    *at.unwrap() = to.into();
}
