//! The law of limits: **a limit made stricter never turns HOLD into PASS**, tried on random packs that are taken, and on the
//! base pack with every demo job; and what several packs together make of one limit.

mod random;

use std::fmt::Write as _;

use fillward::document::Document;
use fillward::engine::{Finding, Judgement, Scene, check_examples};
use fillward::pack::{Condition, PackSet, Safer};
use fillward::record::{self, Job};
use fillward::units::{Exact, Quantity};
use fillward::vocabulary::{Outcome, Verdict};

use random::pack_text;

use crate::common;

const SOURCE: &str = "source: {kind: local code, cite: invented for this test}";

fn document(name: &str, text: &str) -> Document {
    Document::read(name, text.as_bytes()).unwrap_or_else(|faults| panic!("{:?}\n{text}", miette::Report::new(faults)))
}

fn head(name: &str) -> String {
    format!("pack: 1\nname: {name}\nedition: \"1\"\ntitle: Rules of a test\nexamples_at: {}\n", common::DEMO_AT)
}

/// A rule that holds, covering the job, with these lines of conditions.
fn rule(name: &str, applies: Option<&str>, demands: &str) -> String {
    let applies = applies.map_or_else(String::new, |lines| format!("    applies: {lines}\n"));
    format!(
        "  {name}:\n    title: A fault, {name}\n    covers: job\n{applies}    demands: {demands}\n    why: It does harm.\n    \
         air:\n      stays: nothing is touched\n    put_right: Put it right.\n    {SOURCE}\n    on_fault: hold\n    permit: none\n    \
         examples: {{passes: [{{says: none}}], holds: [{{says: none}}]}}\n"
    )
}

/// The pack, or the codes of what is wrong with it.
fn packs(text: &str) -> Result<PackSet, Vec<&'static str>> {
    PackSet::alone(vec![document("pack.yaml", text)]).map_err(|faults| {
        faults.iter().map(fillward::document::Fault::code).map(fillward::document::Code::word).collect()
    })
}

fn fragment(packs: &PackSet, text: &str) -> Job {
    let text = format!("record: 1\n{text}");
    let document = document("job.yaml", &text);
    record::read_fragment(document.source(), document.root(), packs.catalogue())
        .unwrap_or_else(|faults| panic!("{:?}\n{text}", miette::Report::new(faults)))
}

/// What is refused, and what is taken: limit `low` in psi and `share` in per cent, each with its direction.
#[test]
fn the_direction_of_every_use_is_held_against_the_limit() {
    let taken = |low: &str, share: &str, applies: Option<&str>, demands: &str| {
        let bits = u8::from(low == "higher") | u8::from(share == "higher") << 2;
        match packs(&pack_text(applies, demands, [3, 3, 100, 0], bits)) {
            Ok(_) => true,
            Err(codes) => {
                assert!(codes.iter().all(|code| *code == "pack/against-safer"), "{demands}: {codes:?}");
                false
            }
        }
    };
    let free = Some("{cure.flat: {is: true}}");
    for (safer, demands) in [
        ("higher", "{local.first: {at_least: {limit: low}}}"),
        ("higher", "{local.first: {above: {limit: low}}}"),
        ("lower", "{local.first: {at_most: {limit: low}}}"),
        ("lower", "{local.first: {below: {limit: low}}}"),
        ("lower", "{not: {local.first: {at_least: {limit: low}}}}"),
        ("higher", "{not: {any: [{local.first: {at_most: {limit: low}}}, {cure.flat: {is: true}}]}}"),
        ("higher", "{any: [{all: [{local.first: {at_least: {limit: low}}}]}, {cure.flat: {is: true}}]}"),
        ("lower", "{for_each: {of: person, meets: {local.first: {at_most: {limit: low}}}}}"),
        ("higher", "{for_some: {of: person, meets: {local.first: {at_least: {limit: low}}}}}"),
        ("higher", "{local.first: {at_least: {limit: low, times: 0.5}}}"),
        ("lower", "{local.first: {at_least: {limit: low, times: -1}}}"),
        ("higher", "{local.first: {at_least: {fact: local.second, plus: {limit: low}}}}"),
        ("higher", "{local.first: {between: [{limit: low}, 90 psi]}}"),
        ("lower", "{local.first: {between: [1 psi, {limit: low}]}}"),
    ] {
        let other = if safer == "higher" { "lower" } else { "higher" };
        assert!(taken(safer, "higher", free, demands), "{demands} with {safer}");
        assert!(!taken(other, "higher", free, demands), "{demands} with {other}");
        // Where the same stands in `applies`, it lets pass when it is false.
        let inner = Some(demands);
        assert!(taken(other, "higher", inner, "{cure.flat: {is: true}}"), "applies {demands} with {other}");
        assert!(!taken(safer, "higher", inner, "{cure.flat: {is: true}}"), "applies {demands} with {safer}");
    }
    for demands in [
        "{local.first: {between: [{limit: low}, {limit: low, plus: 5 psi}]}}",
        "{all: [{local.first: {at_least: {limit: low}}}, {local.second: {at_most: {limit: low}}}]}",
    ] {
        for safer in ["higher", "lower"] {
            assert!(!taken(safer, "higher", free, demands), "{demands} with {safer}");
        }
    }
    let scaled = "{local.first: {at_least: {fact: local.second, times: {limit: share}}}}";
    assert!(taken("higher", "higher", free, scaled) && !taken("higher", "lower", free, scaled));
    // Nothing depends on a limit that is multiplied by nothing.
    for safer in ["higher", "lower"] {
        assert!(taken(safer, "higher", free, "{local.first: {at_least: {limit: low, times: 0}}}"), "{safer}");
    }
}

/// A limit that a rule meets only through a figure: 5 % of waste make `left` less and `needed` more, by the directions
/// that the figures declare.
#[test]
fn the_direction_is_followed_through_figures() {
    let taken = |limit: (&str, &str), safer: &str, applies: Option<&str>, demands: &str| {
        let mut text = head("figures");
        let (name, value) = limit;
        writeln!(text, "limits:\n  {name}: {{about: A limit., value: {value}, safer: {safer}, {SOURCE}}}").unwrap();
        write!(text, "rules:\n{}", rule("one", applies, demands)).unwrap();
        match packs(&text) {
            Ok(_) => true,
            Err(codes) => {
                assert!(codes.iter().all(|code| *code == "pack/against-safer"), "{demands}: {codes:?}");
                false
            }
        }
    };
    let each = |inner: &str| format!("{{for_each: {{of: component, meets: {{{inner}}}}}}}");
    let waste = ("waste_allowance", "5 %");
    for (limit, safer, demands) in [
        (waste, "higher", each("component.figure.left: {at_least: 0 kg}")),
        (waste, "lower", each("component.figure.left: {at_most: 100 kg}")),
        (waste, "lower", each("not: {component.figure.left: {at_least: 0 kg}}")),
        (waste, "higher", each("component.on_hand: {at_least: {fact: component.figure.needed}}")),
        (waste, "lower", each("component.on_hand: {at_most: {fact: component.figure.needed}}")),
        (waste, "lower", each("component.on_hand: {at_least: {fact: component.figure.needed, times: -1}}")),
        (waste, "higher", "{figure.mix_mass: {at_most: 900 kg}}".to_owned()),
        (
            ("cage_factor", "150 %"),
            "higher",
            "{for_each: {of: assembly, meets: {cage.rating: {at_least: {fact: assembly.figure.cage_demand}}}}}"
                .to_owned(),
        ),
        (
            ("soft_side", "2 %"),
            "lower",
            "{for_each: {of: assembly, meets: {assembly.figure.pressure_window: {at_least: 0 psi}}}}".to_owned(),
        ),
        (("cure_time", "24 h"), "higher", "{figure.ready_to_serve: {at_most: {moment: start, plus: 90 h}}}".to_owned()),
    ] {
        let other = if safer == "higher" { "lower" } else { "higher" };
        let free = Some("{cure.flat: {is: true}}");
        assert!(taken(limit, safer, free, &demands), "{demands} with {safer}");
        assert!(!taken(limit, other, free, &demands), "{demands} with {other}");
        let inner = Some(demands.as_str());
        assert!(taken(limit, other, inner, "{cure.flat: {is: true}}"), "applies {demands} with {other}");
        assert!(!taken(limit, safer, inner, "{cure.flat: {is: true}}"), "applies {demands} with {safer}");
    }
    // Two bounds on one figure pull a limit both ways; with a factor of nothing it pulls at none.
    let between = each("component.figure.left: {between: [0 kg, 100 kg]}");
    let nothing = each("component.on_hand: {at_least: {fact: component.figure.needed, times: 0}}");
    for safer in ["higher", "lower"] {
        assert!(!taken(waste, safer, None, &between), "{safer}");
        assert!(taken(waste, safer, None, &nothing), "{safer}");
    }
}

// ------------------------------------------------------------------------------------------- the base pack

/// A stricter value of a limit, in its own unit: by a fifth of it, and by a little more.
fn stricter(value: Quantity, safer: Safer) -> String {
    let fifth = value.value().abs().checked_div(Exact::from_int(5)).unwrap();
    let by = fifth.checked_add(Exact::new(1, 100).unwrap()).unwrap();
    let moved = match safer {
        Safer::Higher => value.value().checked_add(by),
        Safer::Lower => value.value().checked_sub(by),
    };
    let number = moved.unwrap().to_decimal(6, fillward::units::Rounding::Nearest);
    format!("{number} {}", value.unit().symbol())
}

#[test]
fn no_demo_job_passes_more_when_a_limit_of_the_base_pack_is_stricter() {
    let base = PackSet::base().unwrap();
    let jobs: Vec<(String, Job)> = common::files("shared/demo/jobs", ".yaml")
        .into_iter()
        .map(|path| (path.clone(), common::job(&base, &path)))
        .collect();
    let before: Vec<Judgement> =
        jobs.iter().map(|(_, job)| common::judge(&base, job, common::demo_at(), &common::demo_zone())).collect();
    let mut tightened = 0;
    for limit in base.limits() {
        let value = stricter(limit.values.last().unwrap().value, limit.safer);
        let edition = &base.packs()[0].edition;
        let mut text = head("stricter");
        write!(text, "amends: {{pack: tyre-fill, edition: \"{edition}\"}}\namended_limits:\n").unwrap();
        writeln!(text, "  {}: {{value: {value}, why: Stricter., {SOURCE}}}", limit.name).unwrap();
        let packs = PackSet::base()
            .unwrap()
            .with(vec![document("stricter.yaml", &text)])
            .unwrap_or_else(|faults| panic!("{:?}\n{text}", miette::Report::new(faults)));
        for ((path, job), before) in jobs.iter().zip(&before) {
            let after = common::judge(&packs, job, common::demo_at(), &common::demo_zone());
            let passes_now = before.verdict == Verdict::Hold && after.verdict == Verdict::Pass;
            assert!(!passes_now, "{path} passes with {} {value}", limit.name);
            let came_to_hold = |(before, after): &(&Finding, &Finding)| !before.holds() && after.holds();
            tightened += before.findings.iter().zip(&after.findings).filter(came_to_hold).count();
        }
    }
    assert!(tightened > 20, "only {tightened} findings came to hold: the limits were hardly moved");
}

// ------------------------------------------------------------------------------------- several packs at once

/// A local pack that sets the limit `stand_off` of the base pack (10 ft, safer higher).
fn amending(name: &str, value: &str, rules: &str) -> Document {
    let edition = PackSet::base().unwrap().packs()[0].edition.clone();
    let amends = format!("amends: {{pack: tyre-fill, edition: \"{edition}\"}}\n");
    let limit = format!("amended_limits:\n  stand_off: {{value: {value}, why: Stricter., {SOURCE}}}\n");
    document(&format!("{name}.yaml"), &format!("{}{amends}{limit}{rules}", head(name)))
}

fn stand_off(packs: &PackSet, distance: &str) -> Outcome {
    let job = fragment(packs, &format!("air_stage: {{stand_off: {distance}}}"));
    let scene = Scene::new(packs, &job, common::demo_at(), &common::demo_zone());
    let judgement = scene.judge();
    let of_rule = |finding: &&Finding| {
        let mut names = false;
        scene
            .rule(finding)
            .unwrap()
            .asks
            .demands
            .leaves(&mut |leaf| names |= leaf.at.ends_with("/air_stage.stand_off/at_least"));
        names
    };
    judgement.findings.iter().find(of_rule).unwrap().outcome
}

#[test]
fn of_several_packs_the_strictest_limit_counts_in_whatever_order_they_stand() {
    for values in [["12 ft", "11 ft"], ["11 ft", "12 ft"], ["12 ft", "12 ft"]] {
        let local = vec![amending("one", values[0], ""), amending("two", values[1], "")];
        let packs = PackSet::base().unwrap().with(local).unwrap();
        assert_eq!(stand_off(&packs, "11.9 ft"), Outcome::Broken, "{values:?}");
        assert_eq!(stand_off(&packs, "12 ft"), Outcome::Met, "{values:?}");
    }
    assert_eq!(stand_off(&PackSet::base().unwrap(), "10 ft"), Outcome::Met);
}

/// In whatever order packs are given, each is taken behind those among them that it amends, and else by its name.
#[test]
fn packs_are_taken_by_their_names_behind_what_they_amend() {
    let base = PackSet::base().unwrap().packs()[0].edition.clone();
    let pack = |(name, amends): &(&str, Option<&str>)| {
        let amends = amends.map_or_else(String::new, |amends| {
            let edition = if amends == "tyre-fill" { &*base } else { "1" };
            format!("amends: {{pack: {amends}, edition: \"{edition}\"}}\n")
        });
        let rules = format!("rules:\n{}", rule(&format!("of-{name}"), None, "{cure.flat: {is: true}}"));
        document(&format!("{name}.yaml"), &format!("{}{amends}{rules}", head(name)))
    };
    for (given, due) in [
        ([("a", Some("tyre-fill")), ("b", None), ("c", None)], ["a", "b", "c"]),
        ([("a", None), ("b", None), ("c", None)], ["a", "b", "c"]),
        ([("a", Some("b")), ("b", None), ("c", None)], ["b", "a", "c"]),
        ([("a", Some("c")), ("b", Some("tyre-fill")), ("c", None)], ["b", "c", "a"]),
        ([("a", Some("b")), ("b", Some("c")), ("c", Some("tyre-fill"))], ["c", "b", "a"]),
    ] {
        for turn in 0..3 {
            let mut documents: Vec<Document> = given.iter().map(pack).collect();
            documents.rotate_left(turn);
            let taken = PackSet::base().unwrap().with(documents).unwrap_or_else(|faults| panic!("{faults:?}"));
            let names: Vec<String> = taken.packs().iter().skip(1).map(|pack| pack.name.to_string()).collect();
            assert_eq!(names, due, "{given:?}, turned by {turn}");
        }
    }
}

/// The author of a pack sees what the pack itself amends, and not what later ones do.
#[test]
fn examples_are_judged_by_the_amendments_of_their_own_pack_and_of_those_before_it() {
    let rules = "rules:\n  too-near:\n    title: A fault\n    covers: job\n    demands: \
                 {air_stage.stand_off: {at_least: {limit: stand_off}}}\n    why: It does harm.\n    air:\n      stays: nothing is touched\n    put_right: Put it right.\n    \
                 SOURCE\n    on_fault: hold\n    permit: none\n    examples: {passes: [{air_stage.stand_off: 12 ft}], \
                 holds: [{air_stage.stand_off: 11.9 ft}]}\n"
        .replace("SOURCE", SOURCE);
    let packs = PackSet::base().unwrap().with(vec![amending("own", "12 ft", &rules)]).unwrap();
    assert_eq!(check_examples(&packs).1.len(), 0);
    let packs = packs.with(vec![amending("later", "15 ft", "")]).unwrap();
    assert_eq!(check_examples(&packs).1.len(), 0, "a later pack turned an example");
    // The job itself is judged by all of them.
    assert_eq!(stand_off(&packs, "14 ft"), Outcome::Broken);
}

/// No rule, no pass: a pack whose only rule advises, and one whose only rule is out of force, judge nothing.
#[test]
fn a_judgement_by_no_holding_rule_is_a_hold() {
    let job = "cure: {flat: true}";
    let rules = format!("{}rules:\n{}", head("only"), rule("only", None, "{cure.flat: {is: true}}"));
    for (change, into, verdict) in [
        ("", "", Verdict::Pass),
        ("on_fault: hold", "on_fault: advise", Verdict::Hold),
        ("permit: none", "permit: none\n    in_force: {from: 2026-03-05}", Verdict::Hold),
        ("permit: none", "permit: none\n    in_force: {until: 2026-03-04}", Verdict::Hold),
        ("permit: none", "permit: none\n    in_force: {from: 2026-03-04, until: 2026-03-05}", Verdict::Pass),
        ("covers: job", "covers: each person", Verdict::Hold),
    ] {
        let packs = packs(&rules.replacen(change, into, 1)).unwrap();
        let judgement = common::judge(&packs, &fragment(&packs, job), common::demo_at(), &common::demo_zone());
        assert_eq!(judgement.verdict, verdict, "{into}");
    }
}

// ------------------------------------------------------------------------------------- identifiers of comparisons

fn leaf_ids(packs: &PackSet) -> Vec<String> {
    let mut ids = Vec::new();
    for pack in packs.packs() {
        for rule in &pack.rules {
            for condition in rule.asks.conditions() {
                Condition::leaves(condition, &mut |leaf| ids.push(pack.leaf_id(rule, leaf)));
            }
        }
    }
    ids.sort();
    ids
}

/// Every comparison of the base pack has an identifier of its own, and a new layout of the text changes none.
#[test]
fn identifiers_of_comparisons_are_unique_and_outlive_a_new_layout() {
    let base = PackSet::base().unwrap();
    let ids = leaf_ids(&base);
    assert!(ids.len() > 100 && ids.windows(2).all(|pair| pair[0] != pair[1]), "{ids:?}");
    assert!(ids.contains(&"tyre-fill/workspace-cold#/demands/any/1/cure.planned/at_least".to_owned()), "{ids:?}");
    let anew: Vec<Document> = PackSet::base_files()
        .iter()
        .map(|(name, text)| {
            // Through a data model and back: block style, other quotes, no comments, keys in another order.
            let data: serde_json::Value = serde_yaml::from_str(text).unwrap();
            document(name, &serde_yaml::to_string(&data).unwrap())
        })
        .collect();
    assert_eq!(leaf_ids(&PackSet::alone(anew).unwrap()), ids);
}
