//! What an assembly is made of, and what that asks: laws that hold whatever else the record says. Common practice, no
//! source.

use std::cell::Cell;

use fillward::document::Document;
use fillward::explain;
use fillward::record::{FactKind, FactSpec};
use fillward::units::{Exact, Instant};
use fillward::vocabulary::{HoldPoint, Subject, Verdict};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use serde_yaml::{Mapping, Value};

use super::deleting_later::carried;
use super::jobs::{DEMO, PACKS, judged_at, judged_then, made};
use super::words::{WIDE, flat, report_at};

/// Rules that speak of one of the two stamps, where it is there.
const OF_ONE_STAMP: [&str; 4] =
    ["target-above-rim-rating", "target-above-wheel-rating", "rim-rating-implausible", "wheel-rating-implausible"];

/// The mapping under a key, which is made where it is not there.
fn group<'t>(tree: &'t mut Value, key: &str) -> &'t mut Mapping {
    let of = tree.as_mapping_mut().unwrap().entry(key.into()).or_insert(Value::Null);
    if !of.is_mapping() {
        *of = Value::Mapping(Mapping::new());
    }
    of.as_mapping_mut().unwrap()
}

/// The record with every wheel of a kind, and its rating on rim, wheel or both.
fn stamped(tree: &Value, kind: &str, rating: &str, (rim, wheel): (bool, bool)) -> Value {
    let mut tree = tree.clone();
    for assembly in tree["assemblies"].as_sequence_mut().unwrap() {
        group(assembly, "rim").insert("kind".into(), kind.into());
        for (part, is_told) in [("rim", rim), ("wheel", wheel)] {
            group(assembly, part).remove("rating");
            if is_told {
                group(assembly, part).insert("rating".into(), rating.into());
            }
        }
    }
    tree
}

/// A wheel that is one piece, or two halves of one drawing, has one stamp: of its rating it is the same whether rim,
/// wheel or both bear it. Of a rim with rings each is asked for.
#[test]
fn a_wheel_with_one_stamp_has_one_rating() {
    let (mut alike, mut asked) = (0, 0);
    for (file, tree) in DEMO.iter().filter(|(file, _)| file.contains("/pass-")) {
        for (kind, rating) in ["single piece", "bolt-together", "multi-piece"]
            .into_iter()
            .flat_map(|kind| ["40 psi", "95 psi", "160 psi"].map(|rating| (kind, rating)))
        {
            for point in [HoldPoint::BeforeAir, HoldPoint::BeforeFill] {
                let with = |told: (bool, bool)| {
                    let judged = judged_at(&PACKS, &stamped(tree, kind, rating, told), point).unwrap();
                    let held = judged.holding().filter(|(rule, _)| !OF_ONE_STAMP.contains(&rule.as_str())).cloned();
                    (judged.verdict, held.collect::<Vec<_>>())
                };
                let both = with((true, true));
                for told in [(true, false), (false, true)] {
                    let one = with(told);
                    let what = format!("{file}, {kind}, {rating}, {}, {told:?}", point.word());
                    if kind == "multi-piece" {
                        assert!(one.1.iter().any(|(rule, _)| rule == "ratings-unknown"), "{what}: {:?}", one.1);
                        asked += 1;
                    } else {
                        assert_eq!(one, both, "{what}");
                        alike += 1;
                    }
                }
            }
        }
    }
    assert!(alike > 300 && asked > 100, "{alike} alike, {asked} asked");
}

/// A hole in the casing lets no air out of a tube: with one, a fill without a needle is vented by nothing, whatever
/// else is so.
#[test]
fn a_tube_without_a_needle_is_never_vented() {
    let held = Cell::new(0);
    let outcome = TestRunner::new(super::config()).run(&made(3), |made| {
        let (file, mut tree, point, at) = made.anywhere();
        let first = tree.get_mut("assemblies").and_then(|all| all.get_mut(0)).filter(|first| first.is_mapping());
        let Some(first) = first.filter(|_| point >= HoldPoint::AfterFill) else { return Ok(()) };
        group(first, "tube").insert("fitted".into(), true.into());
        group(first, "fill").insert("needle".into(), "none used".into());
        let Some(judged) = judged_then(&PACKS, &tree, point, at) else { return Ok(()) };
        prop_assert!(judged.holding().any(|(rule, _)| rule == "vented-by-nothing"), "{file} {}", point.word());
        held.set(held.get() + 1);
        Ok(())
    });
    outcome.unwrap();
    assert!(held.get() > 50, "{} records", held.get());
}

/// The words that a fact may have.
fn words(name: &str) -> Vec<String> {
    let catalogue = PACKS.catalogue();
    let key = catalogue.keys().find(|key| catalogue.full_name(*key) == name).unwrap();
    match &catalogue.spec(key).unwrap().kind {
        FactKind::Choice(words) | FactKind::Choices(words) => words.iter().map(ToString::to_string).collect(),
        _ => panic!("{name} has no words"),
    }
}

/// Of what is found inside a tyre a trace of bead lubricant is the one thing that may stay, since none is seated
/// without it; and what is put on the beads is rubber lubricant, or the air waits.
#[test]
fn only_bead_lubricant_may_stay_inside() {
    let (mut stays, mut goes) = (0, 0);
    for (file, tree) in DEMO.iter().filter(|(file, _)| file.contains("/pass-")) {
        for point in [HoldPoint::BeforeAir, HoldPoint::BeforeFill] {
            let before = judged_at(&PACKS, tree, point).unwrap().verdict;
            for word in words("assembly.tyre.interior.contaminants") {
                let mut tree = tree.clone();
                for assembly in tree["assemblies"].as_sequence_mut().unwrap() {
                    assembly["tyre"]["interior"]["contaminants"] = vec![Value::from(word.as_str())].into();
                }
                let verdict = judged_at(&PACKS, &tree, point).unwrap().verdict;
                let may_stay = word == "bead lubricant";
                assert_eq!(verdict, if may_stay { before } else { Verdict::Hold }, "{file}: {word} {}", point.word());
                if may_stay { stays += 1 } else { goes += 1 }
            }
        }
    }
    let (air, _, at) = carried("1-before-air");
    for word in words("air_stage.lubricant") {
        let mut tree = air.clone();
        group(&mut tree, "air_stage").insert("lubricant".into(), word.as_str().into());
        let judged = judged_then(&PACKS, &tree, HoldPoint::BeforeAir, at).unwrap();
        assert_eq!(judged.verdict == Verdict::Pass, word == "rubber lubricant", "{word}");
    }
    assert!(stays > 20 && goes > 100, "{stays} stay, {goes} go");
}

/// What is open is closed while the mix flows, and by nobody once its pot life is over; the time counts from the first
/// stroke, to the minute, for any pot life.
#[test]
fn what_is_open_is_closed_until_the_pot_life_is_over() {
    let (open, over) = (Cell::new(0), Cell::new(0));
    let outcome = TestRunner::new(super::config()).run(&(9_i64..180, -40_i64..240), |(pot_life, later)| {
        let (mut tree, point, _) = carried("3-after-fill");
        let start = Instant::parse("2026-03-04T10:05:00-06:00").unwrap();
        group(&mut tree, "mix").insert("pot_life".into(), format!("{pot_life} min").into());
        let first = &mut tree["assemblies"][0];
        group(first, "fill").insert("closed".into(), false.into());
        group(first, "acts").insert("fill".into(), start.to_record_text().into());
        let ended = Instant::parse(first["fill"]["ended"].as_str().unwrap()).unwrap();
        let at = start.checked_add_seconds(Exact::from_int(60 * (pot_life + later))).unwrap();
        prop_assume!(at >= ended);
        let document = Document::read("job.yaml", serde_yaml::to_string(&tree).unwrap().as_bytes()).unwrap();
        let said = report_at(&document, (at, point), |_, report| flat(&explain::brief(report, WIDE))).unwrap();
        let is_over = said.contains("it cannot be closed any more: the pot life is over");
        prop_assert_eq!(is_over, later >= 0, "pot life {} min, {} min later: {}", pot_life, later, said);
        if is_over {
            over.set(over.get() + 1);
        } else {
            open.set(open.get() + 1);
        }
        Ok(())
    });
    outcome.unwrap();
    assert!(open.get() > 30 && over.get() > 100, "{open:?} open, {over:?} over");
}

/// The rules that find a part described that is said not to be there.
const CONTRADICTED: [&str; 6] = [
    "tube-contradicted",
    "flap-contradicted",
    "pilot-hole-contradicted",
    "tube-contradicted-known",
    "flap-contradicted-known",
    "pilot-hole-contradicted-known",
];

/// A fact that describes a part, with values that it may have.
type Described = (String, Vec<String>);

/// The flags that say of a part whether it is there, with the facts that describe it: all others of its group. Of a hole
/// there are further ones that speak of the tube beside it.
fn parts() -> Vec<(String, Vec<Described>)> {
    let catalogue = PACKS.catalogue();
    let specs: Vec<_> = catalogue.of(Subject::Assembly).iter().collect();
    let values = |spec: &FactSpec| match &spec.kind {
        FactKind::Choice(words) => words.iter().map(ToString::to_string).collect(),
        _ => vec![spec.example.to_string()],
    };
    let flags = specs.iter().filter_map(|spec| {
        let group = spec.name.strip_suffix(".fitted").or_else(|| spec.name.strip_suffix(".drilled"))?;
        let of_part = specs.iter().filter(|other| {
            other.name.starts_with(&format!("{group}.")) && other.name != spec.name && !other.name.contains(".tube_")
        });
        Some((spec.name.to_string(), of_part.map(|other| (other.name.to_string(), values(other))).collect()))
    });
    flags.collect()
}

/// A part that is said not to be there has no other fact: whatever the record says of it besides holds the job, at every
/// hold point at which the part is asked about, whatever else is so.
#[test]
fn a_part_that_is_not_there_is_not_described() {
    let parts = parts();
    assert_eq!(parts.iter().map(|(_, facts)| facts.len()).collect::<Vec<_>>(), [2, 1, 2], "{parts:?}");
    let held = Cell::new(0);
    let outcome = TestRunner::new(super::config()).run(&(made(3), 0_usize..3, 0_usize..12), |(made, part, value)| {
        let (file, mut tree, point, at) = made.anywhere();
        let (flag, facts) = &parts[part];
        let first = tree.get_mut("assemblies").and_then(|all| all.get_mut(0)).filter(|first| first.is_mapping());
        // Nothing is drilled yet when air goes in.
        let is_asked = !flag.ends_with("drilled") || point > HoldPoint::BeforeAir;
        let Some(first) = first.filter(|_| is_asked) else { return Ok(()) };
        let (group_name, flag) = flag.split_once('.').unwrap();
        let all: Vec<(&str, &str)> = facts
            .iter()
            .flat_map(|(name, values)| values.iter().map(|value| (name.split_once('.').unwrap().1, value.as_str())))
            .collect();
        let (name, value) = all[value % all.len()];
        let of_part = group(first, group_name);
        of_part.insert(flag.into(), false.into());
        of_part.insert(name.into(), value.into());
        let Some(judged) = judged_then(&PACKS, &tree, point, at) else { return Ok(()) };
        let is_found = judged.holding().any(|(rule, _)| CONTRADICTED.contains(&rule.as_str()));
        prop_assert!(is_found, "{file} {}: {group_name}.{name} {value}", point.word());
        held.set(held.get() + 1);
        Ok(())
    });
    outcome.unwrap();
    assert!(held.get() > 50, "{} records", held.get());
}
