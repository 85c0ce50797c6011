//! What an assembly is made of, and what that asks: laws that hold whatever else the record says. Common practice, no
//! source.

use std::cell::Cell;

use fillward::document::Document;
use fillward::explain;
use fillward::record::{FactKind, FactSpec};
use fillward::tyre::Designation;
use fillward::tyre::dimensions::{self, Recorded};
use fillward::units::{Dimension, Exact, Instant, Quantity};
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

/// What the model of the inside calls an impossible rim is found before the air goes in, listed or not: a figure that is
/// asked for before the fill would find it when the beads have had their air.
#[test]
fn an_impossible_rim_is_found_before_the_air() {
    const SIZES: [&str; 9] =
        ["11L-16", "19.5L-24", "405/70R20", "23x10.50-12", "28x9-15", "14.00-24 TG", "17.5-25", "11R22.5", "18x7-8"];
    const OF_WIDTH: [&str; 4] =
        ["rim-far-too-narrow", "rim-width-not-shown", "rim-as-wide-as-the-tyre", "listed-and-absurd"];
    let (mut impossible, (air, point, at)) = (0, carried("1-before-air"));
    for (size, width) in SIZES.into_iter().flat_map(|size| (4..=120).map(move |quarter| (size, 25 * quarter))) {
        let width = format!("{}.{:02} in", width / 100, width % 100);
        let recorded =
            Recorded { rim_width: Some(Quantity::parse(&width, Dimension::Length).unwrap()), ..Recorded::default() };
        if dimensions::resolve(&Designation::parse(size).unwrap(), &recorded).is_ok() {
            continue;
        }
        for is_listed in [false, true] {
            let mut tree = air.clone();
            let first = &mut tree["assemblies"][0];
            group(first, "tyre").insert("size".into(), size.into());
            let rim = group(first, "rim");
            rim.insert("width".into(), width.as_str().into());
            rim.remove("width_listed");
            if is_listed {
                rim.insert("width_listed".into(), true.into());
                rim.insert("listed_for".into(), size.into());
            }
            // What a reader refuses is found as well.
            let Some(judged) = judged_then(&PACKS, &tree, point, at) else { continue };
            let found = judged.holding().any(|(rule, _)| OF_WIDTH.contains(&rule.as_str()));
            assert!(found, "{size} on {width}, listed: {is_listed}");
            impossible += 1;
        }
    }
    assert!(impossible > 300, "{impossible}");
}

/// Whether the width is listed is asked of a tyre and a rim that somebody put together: a tick that was made for another
/// tyre lets none pass that would be held without it.
#[test]
fn a_tick_for_another_tyre_lets_nothing_pass() {
    // Wheels of one machine and tyres of the next; the rims that go with the sizes are MEMORY.
    let pairs = [
        ("17.5-25", "14 in", "20.5-25"),
        ("20.5R25", "17 in", "23.5R25"),
        ("26.5-25", "22 in", "29.5-25"),
        ("10-16.5", "8.25 in", "12-16.5"),
        ("17.5-25", "14 in", "15.5-25"),
    ];
    let (air, point, at) = carried("1-before-air");
    for (on_it_before, width, tyre) in pairs {
        let held = |listed_for: Option<&str>| {
            let mut tree = air.clone();
            let first = &mut tree["assemblies"][0];
            group(first, "tyre").insert("size".into(), tyre.into());
            let rim = group(first, "rim");
            rim.insert("width".into(), width.into());
            rim.insert("width_listed".into(), true.into());
            rim.insert("seat".into(), if tyre.ends_with("16.5") { "15 degree" } else { "5 degree" }.into());
            rim.remove("listed_for");
            if let Some(sizes) = listed_for {
                rim.insert("listed_for".into(), sizes.into());
            }
            let judged = judged_then(&PACKS, &tree, point, at).unwrap();
            judged.holding().any(|(rule, _)| ["rim-of-another-size", "rim-of-a-narrower-tyre"].contains(&rule.as_str()))
        };
        assert!(held(None), "{tyre} on {width}");
        assert!(held(Some(on_it_before)), "{tyre} on {width}, for {on_it_before}");
        let both = format!("{on_it_before}, {tyre}");
        assert!(!held(Some(&both)), "{tyre} on {width}, for {both}");
    }
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
