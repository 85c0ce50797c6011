//! What the shop file has a line for and leaves empty is said once, of the shop file; a record is asked for it where a
//! rule needs it, and then with the line that would say it.

use fillward::document::Document;
use fillward::explain::{self, Layout};
use fillward::pack::PackSet;
use fillward::record::shop::sections::{MATERIALS, OF_THIS_JOB, PLACES, mix_takes};
use fillward::record::shop::{self, Shop};
use fillward::vocabulary::Subject;
use serde_yaml::Value;

use super::{RECORD, SHOP, expanded};
use crate::common;
use crate::common::tree::{Step, name, paths, without};

/// A fact of a place or of the mix, of whichever shop: its line in the entry, left empty by all of them, brings no line
/// into a new record and one line into the list of what is empty.
#[test]
fn a_line_that_a_shop_leaves_empty_is_in_no_record() {
    let packs = PackSet::base().unwrap();
    let catalogue = packs.catalogue();
    let whole: Value = serde_yaml::from_str(&common::read(SHOP)).unwrap();
    let read = |tree: &Value| {
        let text = serde_yaml::to_string(tree).unwrap();
        Shop::read(Document::read("shop.yaml", text.as_bytes()).unwrap()).unwrap()
    };
    let mut tried = 0;
    for key in catalogue.keys_of(Subject::Job).filter(|key| !OF_THIS_JOB.contains(key)) {
        let spec = catalogue.spec(key).unwrap();
        let list = match (PLACES.takes(key, spec), mix_takes(key, spec)) {
            (true, _) => PLACES.key,
            (_, true) => MATERIALS.key,
            _ => continue,
        };
        let mut tree = whole.clone();
        let entries = tree[list].as_sequence_mut().unwrap();
        for entry in entries.iter_mut() {
            let mut node = &mut *entry;
            for step in spec.name.split('.') {
                if !node.is_mapping() {
                    *node = Value::Mapping(serde_yaml::Mapping::new());
                }
                let map = node.as_mapping_mut().unwrap();
                node = map.entry(step.into()).or_insert(Value::Null);
            }
            *node = Value::Null;
        }
        let count = entries.len();
        let shop = read(&tree);
        let empty: Vec<String> = shop.left_empty().into_iter().map(|one| one.place).collect();
        assert_eq!(empty, vec![spec.name.to_string(); count], "{}", spec.name);
        let blank: Value = serde_yaml::from_str(&shop::blank_short_template(catalogue, &shop, None)).unwrap();
        let line = spec.name.split('.').try_fold(&blank, |node, key| node.get(key));
        assert_eq!(line, None, "{}", spec.name);
        tried += 1;
    }
    assert!(tried > 10, "{tried}");
}

/// A line of a round or of the latest sheet behind which nothing stands is listed; those of earlier days are past.
#[test]
fn a_line_that_the_latest_sheet_leaves_empty_is_listed() {
    let text = common::read(SHOP)
        .replace("\ndays:\n", "\ndays:\n  - {day: 2026-03-03, place: EB, workspace: {temperature: }}\n");
    let text = text.replacen("      spill_kit: true\n", "      spill_kit:\n", 1);
    let text = text.replacen(", humidity: {reading: 62 %RH, uncertainty: 3 %RH}", ", humidity: ", 1);
    let shop = Shop::read(Document::read("shop.yaml", text.as_bytes()).unwrap()).unwrap();
    let empty: Vec<String> =
        shop.left_empty().into_iter().map(|one| format!("{} {} {}", one.one, one.mark, one.place)).collect();
    assert_eq!(empty, ["round EB morning workspace.spill_kit", "sheet 2026-03-04 workspace.humidity"]);
}

/// Whatever an entry of the shop file lacks that a rule asks for, the worklist shows the line that would say it: it
/// stands in every form, and its keys are those under which the entry had it.
#[test]
fn what_the_shop_file_lacks_is_asked_for_with_its_line() {
    let packs = PackSet::base().unwrap();
    let text = common::read(RECORD);
    let whole = expanded(&packs, &text, Some(&common::read(SHOP))).unwrap();
    let part = Shop::read(common::document(SHOP)).unwrap().part(&whole.used);
    let tree: Value = serde_yaml::from_str(&part).unwrap();
    let mut all = Vec::new();
    paths(&tree, &[], &mut all);
    let look = Layout { width: 80, colour: false };
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let (mut shown, mut exact) = (0, 0);
    for path in &all {
        let Some(taken_at) = path.get(2..).and_then(<[Step]>::last) else { continue };
        let less = serde_yaml::to_string(&without(&tree, path)).unwrap();
        let made = Document::read("shop.yaml", less.as_bytes()).ok().and_then(|part| Shop::read_part(part).ok());
        let made = made.and_then(|part| {
            let record = Document::read("job.yaml", text.as_bytes()).ok()?;
            let made = shop::expand(record, Some(&part), &packs, part.zone(), common::demo_at()).ok()?;
            fillward::record::read(&made.document, packs.catalogue(), part.zone()).ok().map(|_| made)
        });
        let Some(made) = made else { continue };
        common::with_report(&packs, &made.document, common::demo_at(), |report| {
            let (brief, sheet) = (flat(&explain::brief(report, look)), flat(&explain::sheet(report)));
            let json = explain::json(report).unwrap();
            let many = report.worklist.missing().filter(|missing| !missing.only_if_asked).count() > 20;
            for missing in report.worklist.missing().filter(|missing| missing.file(report) == "shop.yaml") {
                if missing.comes_with.is_some() {
                    continue;
                }
                let line = missing.entry_line(report).unwrap_or_else(|| panic!("{}: {brief}", name(path)));
                // Of more than a screen holds the brief report names the things alone.
                let is_told = brief.contains(&format!("`{line}`"));
                assert!(missing.only_if_asked || many || is_told, "{}: {line} in {brief}", name(path));
                assert!(sheet.contains(&format!("such as `{line}`")), "{}: {line} in {sheet}", name(path));
                assert!(json.contains(&format!("\"such_as\": {}", serde_json::to_string(&line).unwrap())), "{json}");
                let line: Value = serde_yaml::from_str(&line).unwrap_or_else(|error| panic!("{line}: {error}"));
                let mut keys = Vec::new();
                paths(&line, &[], &mut keys);
                // It stands at the place of the fact, below what the entry is of.
                let outermost = name(&keys[0]);
                assert!(missing.place.to_string().contains(&outermost), "{line:?} for {}", missing.place);
                exact += usize::from(keys.iter().flatten().any(|step| step == taken_at));
                shown += 1;
            }
        });
    }
    // Mostly it is the very line that was taken out; without it other facts may be asked for.
    assert!(shown > 30 && exact > 20, "{shown}, {exact} of them as they were taken out");
}
