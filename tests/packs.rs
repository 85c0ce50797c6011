//! The packs of the project, read as an outsider's would be, and their examples.

use fillward::document::Document;
use fillward::engine::check_examples;
use fillward::pack::{Limit, PackSet};
use fillward::vocabulary::HoldPoint;

use crate::common;

#[test]
fn base_pack_lists_every_file_of_its_folder() {
    let mut listed: Vec<&str> = PackSet::base_files().iter().map(|(name, _)| *name).collect();
    listed.sort_unstable();
    assert_eq!(listed, common::files("rules/tyre-fill", ".yaml"));
}

#[test]
fn base_pack_is_read_alike_by_both_readers_and_fits_its_schema() {
    let documents = PackSet::base_files()
        .iter()
        .map(|(name, text)| {
            Document::read(name, text.as_bytes()).unwrap_or_else(|f| panic!("{:?}", miette::Report::new(f)))
        })
        .collect();
    let checked = PackSet::alone(documents).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)));
    let trusted = PackSet::base_with_examples().unwrap();
    assert_eq!(format!("{:?}", checked.packs()), format!("{:?}", trusted.packs()));
}

/// As it is taken up for judging, the base pack lacks its examples and nothing else: every rule stands at the same line.
#[test]
fn base_pack_without_examples_is_otherwise_the_same() {
    let (bare, full) = (PackSet::base_made_ready().unwrap(), PackSet::base_with_examples().unwrap());
    let rules = |set: &PackSet| -> Vec<String> {
        let pack = &set.packs()[0];
        let place = |rule: &fillward::pack::Rule| rule.told.place.source.line_and_column(rule.told.place.span.start);
        pack.rules
            .iter()
            .map(|rule| {
                let words = (
                    &rule.name,
                    &rule.title,
                    &rule.told.why,
                    &rule.told.put_right,
                    &rule.told.source,
                    &rule.told.permit,
                );
                let sense =
                    (rule.covers, &rule.asks.applies, &*rule.asks.demands, rule.on_fault, rule.from, rule.until);
                let source = &rule.told.place.source;
                format!("{words:?} {sense:?} {:?} {:?}", place(rule), source.slice(rule.told.demands_place.span))
            })
            .collect()
    };
    assert_eq!(rules(&bare), rules(&full));
    assert!(bare.packs()[0].rules.iter().all(|rule| rule.examples.is_none()));
    let texts = |set: &PackSet| -> Vec<String> {
        set.packs()[0].sources.iter().map(|source| source.text().to_owned()).collect()
    };
    assert_eq!(texts(&bare), texts(&full));
    let values = |set: &PackSet| -> Vec<String> {
        let said = |limit: &Limit| {
            let told = &limit.told;
            let sense = (&limit.name, limit.pack, limit.dimension, limit.safer, &*limit.values, limit.amendments.len());
            let words = (&told.about, &told.source, told.place.source.name(), told.place.span);
            format!("{sense:?} {words:?}")
        };
        set.limits().iter().map(said).collect()
    };
    assert_eq!(values(&bare), values(&full));
    assert_eq!(bare.figures(), full.figures());
    assert_eq!(format!("{:?}", bare.catalogue()), format!("{:?}", full.catalogue()), "the base pack declares facts");
    let head = |set: &PackSet| {
        let pack = &set.packs()[0];
        format!("{:?}", (&pack.name, &pack.edition, &pack.title, &pack.amends, &pack.signed_by))
    };
    assert_eq!(head(&bare), head(&full));
}

#[test]
fn every_example_of_the_base_pack_comes_out_as_it_says() {
    let packs = PackSet::base_with_examples().unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)));
    let (count, faults) = check_examples(&packs);
    let said: Vec<String> = faults
        .iter()
        .map(|fault| {
            let line = fault.rule.told.place.source.line_and_column(fault.example.span.start).0;
            let name = fault.rule.told.place.source.name();
            format!(
                "{name}:{line} {}: expected {}, found {}",
                fault.rule.name,
                fault.example.expected.word(),
                fault.found.word()
            )
        })
        .collect();
    assert!(said.is_empty(), "{}", said.join("\n"));
    assert!(count > 200, "only {count} examples");
}

/// What whoever puts a fault right may do to a tyre, its rim and its wheel.
const WORK: [&str; 22] = [
    "drill the",
    "drill a",
    "drill 3",
    "patch",
    "mend",
    "replace the valve",
    "take the tyre",
    "take tyre and tube",
    "take the wheel",
    "take the assembly",
    "take the ring",
    "take the tube",
    "open the tyre",
    "turn the assembly",
    "reject the tyre",
    "scrap",
    "tag the",
    "fit a tyre",
    "fit a rim",
    "fit a wheel",
    "fit a new",
    "fit a sound",
];
/// What a step says of itself where the cure as a whole does not begin with the air out.
const PROVED: [&str; 4] = ["air out and a wire", "wire through the stem", "before the air is out", "on the bench"];

/// Whoever drills into an assembly, opens it or takes it apart lets the air out before, and proves it by a wire: 29 CFR
/// 1910.177(f)(1) and (g)(1), confirm against the current text; the wire, CCOHS on split rims. Each step is held by itself:
/// nobody reads a cure to its end before he begins.
#[test]
fn no_cure_works_on_an_assembly_that_holds_air() {
    let packs = PackSet::base().unwrap();
    let air_out = packs.air_out().unwrap();
    let told = air_out.join(" ").to_lowercase();
    for words in ["path of flying parts", "loosen the valve core", "slowly", "core out", "wire", "under pressure"] {
        assert!(told.contains(words), "{words}");
    }
    let mut worked = 0;
    for rule in packs.packs().iter().flat_map(|pack| &pack.rules) {
        let late = rule.asked_at.iter().all(|point| point >= HoldPoint::AfterFill);
        let mut proved = rule.told.put_right.wants_air_out();
        for step in rule.told.put_right.texts() {
            let text = step.to_lowercase();
            if late {
                // What is filled holds pressure that no valve lets out.
                assert!(!text.contains("valve core") && !text.contains("let the air out"), "{}: {step}", rule.name);
                assert!(!text.contains("scrap") || text.contains("concession"), "{}: {step}", rule.name);
                continue;
            }
            proved |= air_out.contains(step);
            let Some(work) = WORK.iter().find(|work| text.contains(**work)) else { continue };
            // A mixer and a drum hold no air of a tyre.
            let other = ["mixer", "container", "drum", "in either line"].iter().any(|thing| text.contains(thing));
            let says = PROVED.iter().any(|words| text.contains(words));
            assert!(other || proved || says, "{}: {work}: {step}", rule.name);
            worked += 1;
        }
    }
    assert!(worked >= 60, "only {worked} steps");
}

/// Putting air in is the most dangerous thing that a cure asks for: cage, clip-on chuck, in-line gauge and distance are
/// named each time.
#[test]
fn no_cure_puts_air_in_without_saying_how() {
    let packs = PackSet::base().unwrap();
    let how = ["cage", "clip-on chuck", "in-line", "path of flying parts", "10 ft"];
    let puts = ["put air in", "inflate it", "inflate the", "stretch it again", "stretch the tyre again"];
    let mut found = 0;
    for rule in packs.packs().iter().flat_map(|pack| &pack.rules) {
        let whole = rule
            .told
            .put_right
            .texts()
            .map(fillward::pack::PackText::as_str)
            .collect::<Vec<_>>()
            .join(" ")
            .to_lowercase();
        if puts.iter().any(|words| whole.contains(words)) && !whole.contains("do not inflate") {
            for words in how {
                assert!(whole.contains(words), "{}: says nothing of {words}", rule.name);
            }
            found += 1;
        }
    }
    assert!(found >= 4, "only {found}");
}

/// A local pack around a few lines of its own.
fn local(lines: &str) -> Result<PackSet, Vec<&'static str>> {
    let text = format!(
        "pack: 1\nname: county-north\nedition: \"1\"\ntitle: Additions\namends: {{pack: tyre-fill, edition: \"2026.2\"}}\n{lines}"
    );
    let document = Document::read("county-north.yaml", text.as_bytes()).unwrap();
    let codes = |faults: fillward::document::Faults| faults.iter().map(|fault| fault.code().word()).collect();
    PackSet::base().unwrap().with(vec![document]).map_err(codes)
}

/// An undated value after a dated one would come into force last and undo the stricter one without a word.
#[test]
fn an_undated_value_cannot_undo_a_dated_one() {
    let amended = |values: &str| {
        local(&format!(
            "amended_limits:\n  cure_time:\n    values: {values}\n    why: The cellar is cool.\n    source: {{kind: local code, cite: invented for this test}}\n"
        ))
    };
    assert!(amended("[{from: 2026-01-01, value: 72 h}]").is_ok());
    assert_eq!(amended("[{from: 2026-01-01, value: 72 h}, {value: 24 h}]").unwrap_err(), ["pack/dates-out-of-order"]);
}

/// A local limit of a base limit's name would change nothing, while its author believes that it does.
#[test]
fn a_local_limit_cannot_take_the_name_of_a_base_limit() {
    let found = local(
        "limits:\n  pre_stretch_temperature:\n    about: Warmer.\n    value: 90 degF\n    safer: higher\n    source: {kind: local code, cite: invented for this test}\n",
    );
    assert_eq!(found.unwrap_err(), ["pack/limit-twice"]);
}

/// Whether a condition, read as it is or the other way round, is satisfied by there being no evidence.
fn asks_for_nothing(condition: &serde_yaml::Value, turned: bool) -> bool {
    use serde_yaml::Value;
    match condition {
        Value::Sequence(parts) => parts.iter().enumerate().any(|(place, part)| {
            // A fact that is asked again only where it is recorded: the alternative beside it asks what it must be.
            let others: Vec<String> = parts
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != place)
                .map(|(_, other)| serde_yaml::to_string(other).unwrap())
                .collect();
            let part = match part {
                Value::Mapping(lines) => Value::Mapping(
                    lines
                        .iter()
                        .filter(|(key, of)| {
                            let guards = of.get("recorded").and_then(Value::as_bool) == Some(false);
                            !(guards && others.iter().any(|other| other.contains(key.as_str().unwrap())))
                        })
                        .map(|(key, of)| (key.clone(), of.clone()))
                        .collect(),
                ),
                other => other.clone(),
            };
            asks_for_nothing(&part, turned)
        }),
        Value::Mapping(lines) => lines.iter().any(|(key, of)| match key.as_str().unwrap() {
            "recorded" => of.as_bool() == Some(turned),
            "not" => asks_for_nothing(of, !turned),
            _ => asks_for_nothing(of, turned),
        }),
        _ => false,
    }
}

/// What a rule demands is offered as what would clear its finding, so no demand is met by leaving something out.
/// Whether a rule applies may well hang on what is written: nobody is advised to change that.
#[test]
fn no_rule_is_met_by_erasing_evidence() {
    let mut rules = 0;
    for path in common::files("rules/tyre-fill", ".yaml") {
        // What cannot be yet is asked to be absent; no act takes anything out of a record, so nobody is advised to.
        if path.ends_with("/not-yet.yaml") {
            continue;
        }
        let file: serde_yaml::Value = serde_yaml::from_str(&common::read(&path)).unwrap();
        let Some(named) = file.get("rules").and_then(serde_yaml::Value::as_mapping) else { continue };
        for (name, rule) in named {
            rules += 1;
            assert!(!asks_for_nothing(&rule["demands"], false), "{path}: {}", name.as_str().unwrap());
        }
    }
    assert!(rules > 100, "{rules} rules");
    let erasing = serde_yaml::from_str("any: [{a.b: {recorded: false}}, {not: {a.c: {recorded: true}}}]").unwrap();
    assert!(asks_for_nothing(&erasing, false));
}

/// The figures that a report and a checklist have to state are those that rules ask for, each once.
#[test]
fn the_figures_of_a_pack_are_those_that_its_rules_ask_for() {
    use fillward::figures::FigureId;
    let of = |rules: &[(&str, &str)]| crate::remedies::pack(rules).figures().to_vec();
    let shown = "{assembly.figure.target_shown: {at_most: {fact: assembly.figure.pressure_ceiling}}}";
    assert_eq!(of(&[("job", "{local.ready: {is: true}}")]), []);
    assert_eq!(of(&[("each assembly", "{assembly.figure.target_shown: {at_most: 50 psi}}")]), [FigureId::TargetShown]);
    for rules in [&[("each assembly", shown)][..], &[("each assembly", shown), ("each assembly", shown)]] {
        let mut found = of(rules);
        found.sort();
        let mut due = [FigureId::TargetShown, FigureId::PressureCeiling];
        due.sort();
        assert_eq!(found, due);
    }
    assert!(PackSet::base().unwrap().figures().contains(&FigureId::PressureCeiling));
}

/// Of three things that a rule can say of the air, one wants it out before anything else is done.
#[test]
fn one_thing_said_of_the_air_wants_it_out() {
    use fillward::pack::{Air, Cure, CureStep, Does};
    let step = CureStep::own("Put it right.".to_owned().into(), Does::Mends);
    let wants = |air| Cure { air, steps: vec![step.clone()] }.wants_air_out();
    assert!(wants(Some(Air::Out)));
    assert!(!wants(Some(Air::Stays { because: "nothing is touched".to_owned().into() })) && !wants(None));
}
