//! What the shop file has a line for and leaves empty is said once, of the shop file; a record is asked for it where a
//! rule needs it, and then with the line that would say it.

use fillward::document::{Content, Document, Node, Path};
use fillward::explain::{self, Layout};
use fillward::pack::PackSet;
use fillward::record::FactKey;
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
    let text = text.replacen(", humidity: 62 %RH", ", humidity: ", 1);
    let shop = Shop::read(Document::read("shop.yaml", text.as_bytes()).unwrap()).unwrap();
    let empty: Vec<String> = shop.left_empty().into_iter().map(|one| super::told(&one)).collect();
    assert_eq!(empty, ["round EB morning workspace.spill_kit", "sheet 2026-03-04 workspace.humidity"]);
}

/// A form in which nothing is filled in is not in order, section by section; nor is a routine of which one thing is written.
#[test]
fn a_form_that_nobody_has_filled_in_is_listed_as_empty() {
    let read = |text: &str| Shop::read(Document::read("shop.yaml", text.as_bytes()).unwrap()).unwrap();
    let catalogue = &PackSet::base().unwrap();
    let catalogue = catalogue.catalogue();
    let blank = shop::blank_template(catalogue).replace("\nzone:", "\nzone: America/Chicago");
    let empty = |text: &str| read(text).left_empty().iter().map(super::told).collect::<Vec<_>>();
    let all = empty(&blank);
    let sections: Vec<&str> = blank
        .lines()
        .filter_map(|line| line.strip_suffix(':'))
        .filter(|key| key.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'_'))
        .collect();
    assert!(sections.len() > 15, "{sections:?}");
    assert_eq!(all, sections);
    assert_eq!(read(&blank).read_values(catalogue).unwrap(), 0);
    let begun = blank.replace("{did: eyewash run, of: , at: , by: }", "{did: eyewash run, of: , at: 2026-03-02, by: }");
    let begun = empty(&begun);
    assert!(
        begun.contains(&"routine eyewash run of".to_owned()) && !begun.contains(&"routines".to_owned()),
        "{begun:?}"
    );
}

/// The only round of a shop needs no mark on the sheet.
#[test]
fn the_only_round_of_a_shop_is_not_missed_on_the_sheet() {
    let text = common::read(SHOP);
    let (head, _) = text.split_once("\nrounds:\n").unwrap();
    let round = "  - {mark: morning, cage: {damage: []}}\n";
    let sheet = "days:\n  - {day: 2026-03-04, place: EB, round: {mark: , at: , by: OV}}\n";
    let read = |rounds: &str| {
        let text = format!("{head}\nrounds:\n{rounds}{sheet}");
        Shop::read(Document::read("shop.yaml", text.as_bytes()).unwrap())
    };
    let empty: Vec<String> = read(round).unwrap().left_empty().iter().map(super::told).collect();
    assert_eq!(empty, ["sheet 2026-03-04 round.at"]);
    // Of two, the sheet says which.
    let two = read(&format!("{round}  - {{mark: noon, cage: {{damage: []}}}}\n")).unwrap();
    let empty: Vec<String> = two.left_empty().iter().map(super::told).collect();
    assert_eq!(empty, ["sheet 2026-03-04 round.mark", "sheet 2026-03-04 round.at"]);
}

/// Lays a tree over another one, key by key.
fn lay_over(into: &mut Value, from: Value) {
    match (into, from) {
        (Value::Mapping(into), Value::Mapping(from)) => {
            for (key, value) in from {
                lay_over(into.entry(key).or_insert(Value::Null), value);
            }
        }
        (into, from) => *into = from,
    }
}

/// The entry of a list, the innermost one, in which a byte of a shop file stands.
fn entry_at<'v>(node: &Node, value: &'v mut Value, offset: usize) -> Option<&'v mut Value> {
    match &node.value {
        Content::Map(entries) => {
            let inner = entries.iter().rfind(|inner| inner.key_span.start <= offset)?;
            let (by_mark, value) = (["lots", "crew"].contains(&inner.key.as_str()), value.get_mut(inner.key.as_str())?);
            match &inner.node.value {
                // On the sheet of a day it stands behind the mark.
                Content::Map(marks) if by_mark => {
                    let mark = marks.iter().rfind(|mark| mark.key_span.start <= offset)?;
                    value.get_mut(mark.key.as_str())
                }
                _ => entry_at(&inner.node, value, offset),
            }
        }
        Content::List(items) => {
            let index = items.iter().rposition(|item| item.span.start <= offset)?;
            let is_deeper = entry_at(&items[index], &mut value.get(index)?.clone(), offset).is_some();
            let item = value.get_mut(index)?;
            if is_deeper { entry_at(&items[index], item, offset) } else { item.is_mapping().then_some(item) }
        }
        _ => None,
    }
}

/// What the worklist asks for in the same words once a line is written into the entry in which a byte of a shop file stands.
fn asked_still(
    packs: &PackSet,
    (record, shop): (&str, &str),
    at: usize,
    line: &str,
    missing: (FactKey, &Path),
) -> bool {
    let document = Document::read("shop.yaml", shop.as_bytes()).unwrap();
    let mut tree: Value = serde_yaml::from_str(shop).unwrap();
    let mut entry = entry_at(document.root(), &mut tree, at).unwrap_or_else(|| panic!("{line} at {at} of {shop}"));
    // What a material says of one side stands under that side.
    if let Some(side) = ["isocyanate", "polyol"].into_iter().find(|side| entry.get(side).is_some()) {
        let side = if missing.1.to_string().contains("polyol") { "polyol" } else { side };
        if !line.starts_with("mix: ") {
            entry = entry.get_mut(side).unwrap();
        }
    }
    // Each person has a name of their own.
    let line = if line.starts_with("name: ") { "name: Petra Quill" } else { line };
    lay_over(entry, serde_yaml::from_str(line).unwrap());
    let text = serde_yaml::to_string(&tree).unwrap();
    let part = Shop::read_part(Document::read("shop.yaml", text.as_bytes()).unwrap());
    let part = part.unwrap_or_else(|faults| panic!("{line}: {faults:?}"));
    let record = Document::read("job.yaml", record.as_bytes()).unwrap();
    let made = shop::expand(record, Some(&part), packs, part.zone(), common::demo_at());
    let made = made.unwrap_or_else(|faults| panic!("{line}: {faults:?}"));
    common::with_report(packs, &made.document, common::demo_at(), |report| {
        report.worklist.missing().any(|asked| (asked.key, &asked.place) == missing)
    })
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
                let Some(line) = missing.entry_line(report) else { continue };
                // Of more than a screen holds the brief report names the things alone.
                let is_told = brief.contains(&format!("`{line}`"));
                assert!(missing.only_if_asked || many || is_told, "{}: {line} in {brief}", name(path));
                assert!(sheet.contains(&format!("such as `{line}`")), "{}: {line} in {sheet}", name(path));
                assert!(json.contains(&format!("\"such_as\": {}", serde_json::to_string(&line).unwrap())), "{json}");
                let offset = report.record().offset_in_file(missing.at);
                let still = asked_still(&packs, (&text, &less), offset, &line, (missing.key, &missing.place));
                assert!(!still, "{line} is written, and {} is asked for", missing.place);
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
