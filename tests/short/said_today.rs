//! What the record says otherwise than the shop file: a fault of today is never lost, whichever fact it is of, and what is
//! planned or used for one job counts as the record says it.

use std::cell::Cell;

use fillward::document::{Code, Document, Faults, Node, Path, Step};
use fillward::engine::Scene;
use fillward::pack::PackSet;
use fillward::record::shop::sections::ROUTINES;
use fillward::record::shop::{self, Shop};
use fillward::record::{self, Catalogue, FactKey, FactKind};
use fillward::vocabulary::{Subject, Verdict};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use serde_yaml::{Mapping, Value};

use super::{RECORD, SHOP, expanded, judged};
use crate::common;

/// A short record of the demo that passes, with the facts of its long one that stand in the shop file.
struct Job {
    path: String,
    short: Value,
    long: Value,
    of_shop: Vec<(Path, FactKey)>,
}

/// Every fact of a record that says something, with its place.
fn facts<'n>(catalogue: &Catalogue, root: &'n Node) -> Vec<(Path, FactKey, &'n Node)> {
    let mut found = Vec::new();
    for key in catalogue.keys() {
        let spec = catalogue.spec(key).unwrap();
        let holders: Vec<Path> = match key.subject.record_key() {
            None => vec![Path::root()],
            Some(list) if key.subject == Subject::Component => {
                ["isocyanate", "polyol"].map(|side| Path::root().child(list).child(side)).to_vec()
            }
            Some(list) => (0..20).map(|index| Path::root().child(list).child(index)).collect(),
        };
        for holder in holders {
            let place = spec.name.split('.').fold(holder, |path, key| path.child(key));
            if let Some(node) =
                root.descend(place.steps()).filter(|node| node.value != fillward::document::Content::Null)
            {
                found.push((place, key, node));
            }
        }
    }
    found
}

/// The value at a place, made where it is not there; a lone mark becomes the mapping that names its entry.
fn at<'v>(tree: &'v mut Value, place: &Path, mark: Option<&Value>) -> &'v mut Value {
    let mut names = "mark";
    place.steps().iter().fold(tree, |node, step| {
        if node.is_string() {
            *node = Value::Mapping(Mapping::from_iter([(names.into(), node.clone())]));
        }
        match step {
            Step::Key(key) => {
                names = match &**key {
                    "wheel" | "tyre" => "card",
                    "isocyanate" | "polyol" => "lot",
                    _ => "mark",
                };
                if node.is_null() {
                    *node = Value::Mapping(Mapping::new());
                }
                node.as_mapping_mut().unwrap().entry((&**key).into()).or_insert(Value::Null)
            }
            Step::Index(index) => {
                names = "mark";
                if let Some(mark) = mark {
                    // An instrument of the shop file, of which the record says something by its mark.
                    let own = Value::Mapping(Mapping::from_iter([("mark".into(), mark.clone())]));
                    *node = Value::Sequence(vec![own]);
                    return &mut node[0];
                }
                &mut node[*index]
            }
        }
    })
}

/// What could be found instead of a value.
fn others(kind: &FactKind, value: &Value) -> Vec<Value> {
    let scaled = |text: &Value| -> Vec<String> {
        let text = text.as_str().map_or_else(|| serde_yaml::to_string(text).unwrap().trim().to_owned(), str::to_owned);
        let (number, unit) = text.split_once(' ').unwrap_or((&text, ""));
        let Ok(number) = number.parse::<f64>() else { return Vec::new() };
        let all = [0.1, 0.5, 0.9, 1.1, 2.0, 10.0].map(|factor| format!("{:.3} {unit}", number * factor));
        all.iter().map(|text| text.trim().to_owned()).collect()
    };
    let texts = |texts: Vec<String>| texts.into_iter().map(Value::from).collect();
    match kind {
        FactKind::Flag => vec![Value::Bool(!value.as_bool().unwrap())],
        FactKind::Choice(words) => texts(words.iter().map(std::string::ToString::to_string).collect()),
        FactKind::Choices(words) => {
            let one = words.iter().map(|word| Value::Sequence(vec![word.to_string().into()]));
            one.chain([Value::Sequence(Vec::new())]).collect()
        }
        FactKind::Count => scaled(value).iter().map(|text| serde_yaml::from_str(text).unwrap()).collect(),
        FactKind::Quantity(_) | FactKind::ScaleBottom(_) => texts(scaled(value)),
        FactKind::Reading(_) => {
            // Read once more, with the same instrument.
            let mut again = value.as_mapping().cloned().unwrap_or_default();
            again.insert("at".into(), "2026-03-04T09:25:00-06:00".into());
            let read = |text: String| {
                let mut again = again.clone();
                again.insert("reading".into(), text.into());
                Value::Mapping(again)
            };
            scaled(value.get("reading").unwrap_or(value)).into_iter().map(read).collect()
        }
        FactKind::Day => texts(["2025-11-30", "2026-03-03", "2031-01-01"].map(str::to_owned).to_vec()),
        FactKind::Text | FactKind::TyreSize | FactKind::TubeSizes => {
            texts(["firm 65", "20.5-25", "12-16.5", "Wren Castellane", "another one"].map(str::to_owned).to_vec())
        }
        FactKind::Event | FactKind::Planned | FactKind::Log(_) => Vec::new(),
    }
}

fn text(tree: &Value) -> String {
    serde_yaml::to_string(tree).unwrap()
}

/// Whether a long record, if it is one at all, passes.
fn passes(packs: &PackSet, long: &Value) -> bool {
    let Ok(document) = Document::read("job.yaml", text(long).as_bytes()) else { return false };
    verdict(packs, &document) == Some(Verdict::Pass)
}

fn verdict(packs: &PackSet, document: &Document) -> Option<Verdict> {
    let (at, zone) = (common::demo_at(), common::demo_zone());
    let job = record::read(document, packs.catalogue(), &zone).ok()?;
    Some(Scene::new(packs, &job, at, &zone).judge().verdict)
}

/// What comes of a short record with a shop file: whether it passes, or why it is refused.
fn short_passes(packs: &PackSet, short: &str, shop: &Shop) -> Result<bool, Faults> {
    let document = Document::read("job.yaml", short.as_bytes())?;
    let made = shop::expand(document, Some(shop), packs, shop.zone(), common::demo_at())?;
    Ok(verdict(packs, &made.document) == Some(Verdict::Pass))
}

/// The shop file with the value of the record in the place of the entry's, as the cure says.
fn obeyed(faults: &Faults, short: &str, shop: &str, value: &Value) -> Option<String> {
    let fault = faults.iter().find(|fault| fault.code().word() == "shop/said-twice")?;
    let cure = fault.cure().unwrap();
    assert!(!cure.contains("take") && cure.contains("correct the"), "{cure}");
    let entry = fault.labels()[1].span;
    let (start, end) = (entry.start - short.len(), entry.end - short.len());
    let (before, behind) = (shop.get(..start).unwrap(), shop.get(end..).unwrap());
    Some(format!("{before}{}{behind}", serde_json::to_string(value).unwrap()))
}

fn jobs(packs: &PackSet, shop: &Shop) -> Vec<Job> {
    let catalogue = packs.catalogue();
    let files = common::files("shared/demo/short", ".yaml").into_iter().filter(|path| path.contains("/pass-"));
    let jobs = files.filter_map(|path| {
        let document = common::document(&path);
        let made = shop::expand(document, Some(shop), packs, shop.zone(), common::demo_at()).unwrap();
        let source = made.document.source();
        let all = facts(catalogue, made.document.root()).into_iter();
        let of_shop =
            all.filter(|(_, _, node)| source.file_of(node.span.start) > 0).map(|(place, key, _)| (place, key));
        let long = serde_yaml::to_value(made.document.to_json()).unwrap();
        let job =
            Job { short: serde_yaml::from_str(&common::read(&path)).unwrap(), of_shop: of_shop.collect(), long, path };
        passes(packs, &job.long).then_some(job)
    });
    jobs.collect()
}

#[test]
fn a_result_is_of_a_check_that_shows_something() {
    let packs = PackSet::base().unwrap();
    let row = "{did: eyewash run, of: EB, at: 2026-03-02";
    let [record, shop] = with(&[], &[(row, &format!("{row}, found: \"off\""))]);
    let faults = expanded(&packs, &record, Some(&shop)).map(|_| ()).unwrap_err();
    let said: Vec<String> = faults.iter().map(|fault| format!("{}: {fault}", fault.code())).collect();
    assert_eq!(said, ["schema/unknown-key: a row of `eyewash run` has no result"]);
}

/// For every fact that the shop file states and every value by which the long record does not pass: the short record that
/// says that value does not pass either, and where it is refused, it does not pass once its cure has been obeyed.
#[test]
fn no_fault_of_today_is_lost_to_the_shop_file() {
    let packs = PackSet::base().unwrap();
    let text_of_shop = common::read(SHOP);
    let shop = Shop::read(Document::read("shop.yaml", text_of_shop.as_bytes()).unwrap()).unwrap();
    let jobs = jobs(&packs, &shop);
    assert!(jobs.len() > 10, "{} jobs", jobs.len());
    let (held, refused) = (Cell::new(0_usize), Cell::new(0_usize));
    let cases = std::env::var("FILLWARD_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(250);
    let mut runner = TestRunner::new(Config { failure_persistence: None, ..Config::with_cases(cases) });
    let input = (0..jobs.len(), any::<prop::sample::Index>(), any::<prop::sample::Index>());
    runner
        .run(&input, |(job, fact, value)| {
            let Job { path, short, long, of_shop } = &jobs[job];
            let (place, key) = fact.get(of_shop);
            // Of what is dated the later counts, which `renewed` holds.
            if ROUTINES.iter().any(|routine| routine.fact == *key) {
                return Ok(());
            }
            // A name stands for its person wherever an entry is named, and a like tyre takes over what the first one
            // says: there a true value is true in more places than the one that is changed in the long record.
            let name = packs.catalogue().find(Subject::Person, "name");
            let is_of_several = key.subject == Subject::Assembly && long["assemblies"].as_sequence().unwrap().len() > 1;
            if Some(*key) == name || is_of_several {
                return Ok(());
            }
            let mut long = long.clone();
            let kind = &packs.catalogue().spec(*key).unwrap().kind;
            let of_long = at(&mut long, place, None);
            let values = others(kind, of_long);
            let Some(value) = (!values.is_empty()).then(|| value.get(&values)) else { return Ok(()) };
            *of_long = value.clone();
            if passes(&packs, &long) {
                return Ok(());
            }
            let mark = matches!(key.subject, Subject::Gauge | Subject::Thermometer)
                .then(|| long[key.subject.record_key().unwrap()].clone())
                .and_then(|list| match place.steps() {
                    [_, Step::Index(index), ..] => Some(list[*index]["mark"].clone()),
                    _ => None,
                });
            let mut short = short.clone();
            *at(&mut short, place, mark.as_ref()) = value.clone();
            let short = text(&short);
            let say = format!("{path}: {place} is {value:?}");
            match short_passes(&packs, &short, &shop) {
                Ok(does) => {
                    prop_assert!(!does, "{}", say);
                    held.set(held.get() + 1);
                }
                Err(faults) => {
                    let Some(corrected) = obeyed(&faults, &short, &text_of_shop, value) else { return Ok(()) };
                    let read = Document::read("shop.yaml", corrected.as_bytes()).and_then(Shop::read);
                    let after = read.and_then(|shop| short_passes(&packs, &short, &shop));
                    prop_assert!(!after.unwrap_or(false), "{}, and the entry too", say);
                    refused.set(refused.get() + 1);
                }
            }
            Ok(())
        })
        .unwrap_or_else(|error| panic!("{error}"));
    println!("of {cases} cases {} hold and {} are refused", held.get(), refused.get());
    assert!(held.get() * 20 > cases as usize && refused.get() > 0);
}

/// The demo's record with lines of its own, and the shop file with changes.
fn with(record: &[(&str, &str)], shop: &[(&str, &str)]) -> [String; 2] {
    let changed = |text: String, changes: &[(&str, &str)]| {
        changes.iter().fold(text, |text, (old, new)| {
            assert!(text.contains(old), "no `{old}`");
            text.replacen(old, new, 1)
        })
    };
    [changed(common::read(RECORD), record), changed(common::read(SHOP), shop)]
}

fn outcome(record: &[(&str, &str)], shop: &[(&str, &str)]) -> (Verdict, Vec<String>) {
    let packs = PackSet::base().unwrap();
    let [record, shop] = with(record, shop);
    let made = expanded(&packs, &record, Some(&shop)).unwrap_or_else(|faults| panic!("{record}: {faults:?}"));
    let (verdict, findings) = judged(&packs, &made.document);
    let held = findings.into_iter().filter(|(_, _, outcome)| ["broken", "not shown"].contains(outcome));
    (verdict, held.map(|(rule, _, _)| rule).collect())
}

const PUMP: &str = "pump: {";
const AIR: &str = "air_stage: {";
const END: &str = "\npeople:";
const ROW: &str = "{did: ratio checked, of: P-1, at: 2026-03-02 16:20, found: within the data sheet}";

#[test]
fn what_is_planned_or_used_for_one_job_is_as_the_record_says() {
    let target = ("target: {", "target: {operating_pressure: 55 psi, ");
    for record in [
        (END, "\ncure: {planned: 72 h}\npeople:"),
        (END, "\ncure: {place: \"north hall, rack 3\", flat: true}\npeople:"),
        (AIR, "air_stage: {hose_length: 20 ft, "),
        (AIR, "air_stage: {lubricant: none by the maker's word, "),
        (PUMP, "pump: {mass_per_cycle: {reading: 0.80 lb, at: 08:20, uncertainty: 0.02 lb}, exercised: 08:15, "),
        (PUMP, "pump: {ratio_checked: 08:10, ratio_found: within the data sheet, exercised: 08:05, "),
        (END, "\nhandling: {gear: forklift 9, capacity: 9000 lb}\npeople:"),
        target,
    ] {
        assert_eq!(outcome(&[record], &[]), (Verdict::Pass, Vec::new()), "{record:?}");
    }
    for (record, rule) in [
        ((END, "\ncure: {planned: 20 h}\npeople:"), "cure-shorter-than-the-sheet"),
        ((END, "\ncure: {flat: false}\npeople:"), "cure-place-not-flat"),
        ((AIR, "air_stage: {hose_length: 3 ft, "), "hose-of-the-air-known-short"),
        (("target: {", "target: {operating_pressure: 68 psi, "), "target-below-need"),
        // What the entry says of one thing is not so of another.
        ((END, "\ncure: {place: \"north hall, rack 3\"}\npeople:"), "cure-place-not-flat"),
    ] {
        let (verdict, held) = outcome(&[record], &[]);
        assert!(verdict == Verdict::Hold && held.iter().any(|held| held == rule), "{record:?}: {held:?}");
    }
    assert_eq!(outcome(&[(END, "\nhandling: {gear: forklift 9}\npeople:")], &[]).0, Verdict::Hold);
}

#[test]
fn of_anything_else_what_lets_less_pass_counts_in_whichever_file_it_stands() {
    let packs = PackSet::base().unwrap();
    let of = |section: &str, place: &str, [before, said]: [&str; 2]| {
        let [record, shop] = with(&[(before, said)], &[]);
        let made = expanded(&packs, &record, Some(&shop))?;
        let node = made.document.root().descend(Path::root().child(section).child(place).steps()).unwrap();
        let file = made.document.source().file_of(node.span.start);
        Ok::<_, Faults>((made.document.to_json()[section][place].as_str().unwrap().to_owned(), file))
    };
    let said = |fact: &str, place: &str| of("pump", place, [PUMP, &format!("pump: {{{fact}, ")]);
    // The shop file says 240 psi of the cage, and of the pump 4000 psi and at the tyre.
    let rated = |rating: &str| of("cage", "rating", [END, &format!("\ncage: {{rating: {rating}}}{END}")]).unwrap();
    assert_eq!(rated("200 psi"), ("200 psi".to_owned(), 0));
    assert_eq!(rated("300 psi"), ("240 psi".to_owned(), 1));
    assert_eq!(rated("240 psi"), ("240 psi".to_owned(), 0));
    // A stronger hose bears more, and beside a stall far below it there is a slip: neither number is the safer one.
    assert_eq!(
        said("hose_rating: 1000 psi", "hose_rating").unwrap_err().iter().next().unwrap().code(),
        Code::ShopSaidTwice
    );
    assert_eq!(said("hose_rating: 4000 psi", "hose_rating").unwrap(), ("4000 psi".to_owned(), 0));
    assert_eq!(said("gauge_reads: at the pump", "gauge_reads").unwrap(), ("at the pump".to_owned(), 0));
    assert_eq!(said("ratio_found: \"off\"", "ratio_found").unwrap(), ("off".to_owned(), 0));
}

#[test]
fn what_a_check_showed_belongs_to_that_check() {
    let of = |record: &[(&str, &str)], shop: &[(&str, &str)]| outcome(record, shop).0;
    let row = |text: &str| format!("{ROW}\n  - {{did: ratio checked, of: P-1, at: 2026-03-03 17:00{text}}}");
    let run = (PUMP, "pump: {exercised: 08:05, ");
    assert_eq!(of(&[], &[]), Verdict::Pass);
    // A check that found it off, wherever it is written.
    assert_eq!(
        of(&[(PUMP, "pump: {ratio_checked: 08:10, ratio_found: \"off\", exercised: 08:05, ")], &[]),
        Verdict::Hold
    );
    assert_eq!(of(&[(PUMP, "pump: {ratio_found: \"off\", ")], &[]), Verdict::Hold);
    assert_eq!(of(&[run], &[(ROW, &row(", found: \"off\""))]), Verdict::Hold);
    // One that does not say what it showed.
    assert_eq!(of(&[(PUMP, "pump: {ratio_checked: 08:10, exercised: 08:05, ")], &[]), Verdict::Hold);
    assert_eq!(of(&[run], &[(ROW, &row(""))]), Verdict::Hold);
    assert_eq!(of(&[run], &[(ROW, &row(", found: within the data sheet"))]), Verdict::Pass);
    // A result without a day is of the only check that there was.
    let bare = ROW.replace(", found: within the data sheet", "");
    let on_card = ("{mark: P-1, ", "{mark: P-1, ratio_found: within the data sheet, ");
    assert_eq!(of(&[], &[(ROW, &bare)]), Verdict::Hold);
    assert_eq!(of(&[], &[(ROW, &bare), on_card]), Verdict::Pass);
    assert_eq!(of(&[run], &[(ROW, &row("").replace(ROW, &bare)), on_card]), Verdict::Hold);
    // An old check of the record's own is not the last one, whatever it showed.
    let old = "pump: {ratio_checked: 2026-02-01 08:10, ratio_found: \"off\", ";
    assert_eq!(of(&[(PUMP, old)], &[]), Verdict::Pass);
}
