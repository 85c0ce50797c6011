//! What a short record does not name is offered by name: whoever writes what is offered, as it is offered, has written what
//! was meant. And what a new record is told of the one before it, it does not state.

use fillward::document::{Content, Document};
use fillward::explain::{self, Layout};
use fillward::pack::PackSet;
use fillward::record::shop::{self, Shop};
use fillward::vocabulary::Verdict;
use proptest::prelude::*;

use super::{NEW, RECORD, SHOP, changed, expanded, judged};
use crate::common;

const LOOK: Layout = Layout { width: 80, colour: false };

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What the brief report asks for, line by line.
fn asked(packs: &PackSet, record: &str) -> Vec<String> {
    let document = expanded(packs, record, Some(&common::read(SHOP))).unwrap().document;
    let brief = common::with_report(packs, &document, common::demo_at(), |report| explain::brief(report, LOOK));
    let walk = brief.split("\nDo not start").next().unwrap();
    let lines = walk.split("\n  ? ").skip(1).map(|line| flat(line.split("\n\n").next().unwrap()));
    lines.collect()
}

/// A record whose head names no gauge asks for one, with those of the shop by name, and for nothing else; written there, it
/// passes.
#[test]
fn a_gauge_that_is_not_named_is_offered_by_name() {
    let packs = PackSet::base().unwrap();
    for (path, named) in [(RECORD, ", gauge: G-2}"), (NEW, ", gauge: G-5}")] {
        let text = common::read(path);
        let without = if text.contains(named) && text.contains("read: {at: 08:30, gauge: ") {
            changed(path, &[(named, "}")])
        } else {
            changed(path, &[("target: {pressure: 60 psi, gauge: G-2}", "target: {pressure: 60 psi}")])
        };
        let asked = asked(&packs, &without);
        // When its air went in a new tyre must say to be signed.
        let asked: Vec<&String> = asked.iter().filter(|line| !line.contains("the signature asks")).collect();
        let [line] = asked.as_slice() else { panic!("{path}: {asked:?}") };
        assert!(line.starts_with("gauge under `read` at the head, by its mark: `G-2`, `G-4`, `G-5`"), "{line}");
        let mark = named.trim_start_matches(", gauge: ").trim_end_matches('}');
        let obeyed = without.replacen("read: {at: 08:30", &format!("read: {{at: 08:30, gauge: {mark}"), 1);
        let made = expanded(&packs, &obeyed, Some(&common::read(SHOP))).unwrap();
        assert_eq!(judged(&packs, &made.document).0, Verdict::Pass, "{obeyed}");
    }
}

/// A card that is left out is asked for with those that fit the mark of the tyre.
#[test]
fn a_card_that_is_not_named_is_offered_where_it_fits() {
    let packs = PackSet::base().unwrap();
    let without = changed(RECORD, &[("    machine: loader 4\n", ""), ("    wheel: loader 4 wheel\n", "")]);
    let asked = asked(&packs, &without);
    let of = |what: &str| asked.iter().find(|line| line.contains(what)).unwrap_or_else(|| panic!("{asked:?}"));
    assert!(of("machine card").contains("machine card by its mark, such as `loader 4`;"), "{asked:?}");
    assert!(of("wheel card").contains("such as `loader 4 wheel`, once its stamping was read"), "{asked:?}");
    assert_eq!(asked.len(), 2, "{asked:?}");
}

/// A machine that a card lists may be named in its place, and what is no mark at all is told the card that fits; for
/// whatever number the machine has.
#[test]
fn a_machine_is_named_by_its_card_or_by_a_name_on_it() {
    let packs = PackSet::base().unwrap();
    let config = ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() };
    let mut runner = proptest::test_runner::TestRunner::new(config);
    let input = (20..999_u32, prop::sample::select(vec!["loader", "front loader", "RT forklift"]));
    runner
        .run(&input, |(number, kind)| {
            let machine = format!("{kind} {number}");
            let shop = changed(SHOP, &[("{mark: loader 4, ", &format!("{{mark: loader 4, of: [{machine}], "))]);
            let of = |named: &str| {
                let record = common::read(RECORD)
                    .replace("loader 4, left front", &format!("{machine}, left front"))
                    .replace("    machine: loader 4\n", &format!("    machine: {named}\n"));
                expanded(&packs, &record, Some(&shop)).map(|made| made.document.to_json())
            };
            let due = of("loader 4").unwrap();
            prop_assert_eq!(&of(&machine).unwrap(), &due);
            prop_assert_eq!(&of(&machine.to_uppercase()).unwrap(), &due);
            let faults = of("the big one").unwrap_err();
            let cure = faults.iter().next().unwrap().cure().unwrap();
            prop_assert_eq!(cure, "write the card of the machine on which this tyre goes: `loader 4`");
            Ok(())
        })
        .unwrap_or_else(|error| panic!("{error}"));
}

/// The lines that a new record has for a further tyre, and what it is told of the record before it, state nothing; filled in
/// they are read.
#[test]
fn a_new_record_offers_what_the_one_before_named_and_states_nothing_of_its_tyres() {
    let packs = PackSet::base().unwrap();
    let shop = Shop::read(common::document(SHOP)).unwrap();
    for path in common::files("shared/demo/short", ".yaml").into_iter().filter(|path| path.contains("/pass-")) {
        let old = common::document(&path);
        let text = shop::blank_short_template(packs.catalogue(), &shop, Some(old.root()));
        let told = flat(&text.replace('#', " "));
        for one in old.to_json()["assemblies"].as_array().unwrap() {
            let named =
                |key: &str| one.get(key).and_then(|named| named.as_str().or_else(|| named.get("card")?.as_str()));
            for key in ["mark", "machine", "wheel", "tyre"] {
                let Some(name) = named(key) else { continue };
                let sentence = told.split("In the record before: ").skip(1).any(|said| {
                    said.split('.').next().is_some_and(|said| said.contains(&format!("`{name}`")))
                        || said.split("`;").next().is_some_and(|said| format!("{said}`").contains(&format!("`{name}`")))
                });
                assert!(sentence, "{path}: {key} {name} in {told}");
            }
        }
        let new = Document::read("new.yaml", text.replace("  - mark:\n", "  - mark: loader 4\n").as_bytes()).unwrap();
        let only = &new.root().entry("assemblies").unwrap().node;
        let Content::List(items) = &only.value else { panic!("{text}") };
        let mut leaves = Vec::new();
        super::leaves(&items[0], "", &mut leaves);
        let stated: Vec<&String> =
            leaves.iter().filter(|(_, node)| node.value != Content::Null).map(|(path, _)| path).collect();
        assert_eq!(stated, [".mark"], "{path}");
        // The further tyre is a comment until somebody writes it.
        assert_eq!(items.len(), 1, "{path}");
        let lines = text.lines().skip_while(|line| !line.starts_with("  # - mark:"));
        let further: Vec<String> =
            lines.take_while(|line| line.starts_with("  # ")).map(|line| line.replacen("# ", "", 1)).collect();
        let further = format!("{}\n", further.join("\n")).replace("- mark:", "- mark: loader 4, right front");
        let further = further.replace("like:", "like: loader 4");
        let text = text.replace("  - mark:\n", "  - mark: loader 4\n");
        let two = text.replacen("\n# the two liquids", &format!("{further}\n# the two liquids"), 1);
        let record = Document::read("new.yaml", two.as_bytes()).unwrap_or_else(|faults| panic!("{faults:?}\n{two}"));
        let made = shop::expand(record, Some(&shop), &packs, shop.zone(), common::demo_at());
        made.unwrap_or_else(|faults| panic!("{faults:?}\n{two}"));
    }
}

/// Those lines are what has to be looked for at each tyre: a tyre with them filled in passes beside the first.
#[test]
fn the_lines_of_a_further_tyre_are_those_that_it_takes() {
    let packs = PackSet::base().unwrap();
    let shop = Shop::read(common::document(SHOP)).unwrap();
    let text = shop::blank_short_template(packs.catalogue(), &shop, None);
    let lines: Vec<&str> = text
        .lines()
        .skip_while(|line| !line.starts_with("  # - mark:"))
        .take_while(|line| line.starts_with("  # "))
        .collect();
    let offered = lines.join("\n");
    let like = with_like_tyres();
    let second = like.split("  - mark: right front\n").nth(1).unwrap().split("  - mark:").next().unwrap();
    let second: serde_yaml::Value = serde_yaml::from_str(second).unwrap();
    for key in second.as_mapping().unwrap().keys() {
        let key = key.as_str().unwrap();
        assert!(offered.contains(&format!("  {key}:")), "{key} in {offered}");
    }
    assert!(lines.len() <= 16, "{offered}");
}

/// The pair of files with three tyres that are like the first.
pub(super) fn with_like_tyres() -> String {
    let like = |mark: &str| {
        format!(
            "  - mark: {mark}\n    like: loader 4, left front\n    tyre: {{ran_flat: never}}\n    \
             rim: {{ring_gap: 1/2 in, seal_ring: new}}\n    bench: {{at: 08:05, found: []}}\n    \
             mounting: {{stem_open: true}}\n    seated: 08:30\n    stands: stem low, vent high\n"
        )
    };
    let more: String = ["right front", "left rear", "right rear"].map(like).concat();
    common::read(RECORD).replace("\ncomponents:\n", &format!("{more}components:\n"))
}

/// What a person wore or did on the day of the old record is seen again: a new record takes over who it was, where, and with
/// what readings are taken, whatever form the old one has.
#[test]
fn a_new_record_takes_over_names_and_marks_alone() {
    let shop = Shop::read(common::document(SHOP)).unwrap();
    let crew = shop.document().root().entry("crew").unwrap().node.clone();
    let Content::List(crew) = crew.value else { panic!() };
    let packs = PackSet::base().unwrap();
    let worn = "people: [{mark: OV, role: helper, protection: [gloves, eye protection]}, TR]";
    let texts = ["shared/demo/short", "shared/demo/jobs"].into_iter().flat_map(|folder| common::files(folder, ".yaml"));
    let texts = texts.map(|path| common::read(&path)).chain([format!("short: 1\n{worn}\n")]);
    let (mut by_mark, mut by_name) = (0, 0);
    for text in texts {
        let Ok(old) = Document::read("old.yaml", text.as_bytes()) else { continue };
        let new = shop::blank_short_template(packs.catalogue(), &shop, Some(old.root()));
        let new = Document::read("new.yaml", new.as_bytes()).unwrap();
        let mut found = Vec::new();
        super::leaves(new.root(), "", &mut found);
        for (path, node) in found.into_iter().filter(|(_, node)| node.value != Content::Null) {
            let (Content::Text(said) | Content::Number(said)) = &node.value else { panic!("{path}") };
            let of_crew = |key: &str| {
                crew.iter().any(|one| matches!(one.entry(key).map(|entry| &entry.node.value), Some(Content::Text(mark)) if mark == said))
            };
            match path.as_str() {
                ".place" | ".read.thermometer" | ".read.gauge" => {}
                _ if path.starts_with(".people") && path.rsplit('.').next() == Some("name") => {
                    assert!(!of_crew("name"), "{said} has a mark");
                    by_name += 1;
                }
                _ if path.starts_with(".people") => {
                    assert!(of_crew("mark"), "{path}: {said}");
                    by_mark += 1;
                }
                _ => assert!(path == ".record" || path == ".short", "{path}: {said}"),
            }
        }
    }
    assert!(by_mark > 500 && by_name > 0, "{by_mark} by mark, {by_name} by name");
}
