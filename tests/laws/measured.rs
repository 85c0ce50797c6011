//! Measured is inside named: what is measured narrows what the name of a tyre gives, and does nothing else. So the bounds
//! with a measurement lie inside those without it, and leaving it out clears nothing.
//!
//! A measurement that cannot be of the tyre is no bound but a contradiction; there the figure is an obstacle, and the law
//! says nothing.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;

use fillward::engine::Scene;
use fillward::figures::FigureId;
use fillward::record::Value;
use fillward::tyre::Designation;
use fillward::tyre::cavity::{self, CavityInputs};
use fillward::units::Interval;
use fillward::vocabulary::{Outcome, Subject};
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;
use serde_yaml::{Mapping, Value as Yaml};

use super::jobs::{PACKS, made, outcomes, read};
use super::stricter::several;
use crate::common;

/// Figures that rest on the size of a tyre, and what measurements of it are narrower in.
const FIGURES: &[(Subject, FigureId)] = &[
    (Subject::Assembly, FigureId::CavityVolume),
    (Subject::Assembly, FigureId::MixMass),
    (Subject::Assembly, FigureId::FilledMass),
    (Subject::Component, FigureId::ComponentNeeded),
    (Subject::Component, FigureId::ComponentLeft),
    (Subject::Job, FigureId::JobMixMass),
    (Subject::Job, FigureId::PumpCycles),
];

/// Rules that compare two sources of one thing, and the fact without which one of the two is not there.
const CROSS_CHECKS: &[(&str, &str)] = &[
    // The width on the rim against the one that the size names.
    ("rim-far-too-narrow", "width"),
    // The recorded volume against the model's.
    ("inside-volume-not-believed", "inside_volume"),
    // The maker's chart against the likeliest volume, which a measurement moves.
    ("need-below-the-volume", "section_width"),
    ("need-below-the-volume", "overall_diameter"),
    ("need-below-the-volume", "inside_volume"),
    ("need-below-the-volume", "width"),
    ("need-above-the-volume", "section_width"),
    ("need-above-the-volume", "overall_diameter"),
    ("need-above-the-volume", "inside_volume"),
    ("need-above-the-volume", "width"),
    // Without a volume on record the maker's chart decides, and it is always asked for. Where a measurement bounds the
    // recorded volume, that moves too.
    ("material-short-by-volume", "inside_volume"),
    ("material-short-by-volume", "section_width"),
    ("material-short-by-volume", "overall_diameter"),
    ("material-short-by-volume", "width"),
    // The stock on record against a share of the likeliest need.
    ("stock-below-the-likely", "inside_volume"),
    ("stock-below-the-likely", "section_width"),
    ("stock-below-the-likely", "overall_diameter"),
    ("stock-below-the-likely", "width"),
    // One tyre or rim of the job against another like it.
    ("tyres-not-alike", "overall_diameter"),
    ("tyres-not-alike", "inside_volume"),
    ("tyres-not-alike", "mass"),
    ("rims-not-alike", "width"),
    ("axle-rims-unlike", "width"),
    // What is measured against what the size names.
    ("width-not-of-the-size", "section_width"),
    ("rim-as-wide-as-the-tyre", "width"),
    ("rim-of-another-size", "width"),
    ("rim-of-another-size-known", "width"),
    // The sheet's pot life against the likely time of the fill.
    ("fill-longer-than-the-mix", "section_width"),
    ("fill-longer-than-the-mix", "overall_diameter"),
    ("fill-longer-than-the-mix", "inside_volume"),
    ("fill-longer-than-the-mix", "width"),
    // What went in against the likeliest volume, which a measurement moves.
    ("much-by-the-likely-volume", "section_width"),
    ("much-by-the-likely-volume", "overall_diameter"),
    ("much-by-the-likely-volume", "inside_volume"),
    ("much-by-the-likely-volume", "width"),
    // What went in against what the tyre holds; without the measurement the likeliest volume is a bound as well.
    ("too-little-went-in", "inside_volume"),
    ("too-little-went-in", "section_width"),
    ("too-little-went-in", "overall_diameter"),
    ("too-little-went-in", "width"),
    ("too-much-went-in", "inside_volume"),
    ("too-much-went-in", "section_width"),
    ("too-much-went-in", "overall_diameter"),
    ("too-much-went-in", "width"),
    ("little-by-the-likely-volume", "inside_volume"),
    ("little-by-the-likely-volume", "section_width"),
    ("little-by-the-likely-volume", "overall_diameter"),
    ("little-by-the-likely-volume", "width"),
    // What the gear is rated for against what was weighed and pumped in.
    ("too-heavy-as-filled", "mass"),
    // What the gear may lift against the likely mass, which every measurement moves.
    ("lifting-gear-too-weak", "section_width"),
    ("lifting-gear-too-weak", "overall_diameter"),
    ("lifting-gear-too-weak", "inside_volume"),
    ("lifting-gear-too-weak", "width"),
    ("lifting-gear-too-weak", "mass"),
    // What a scale showed against what the size lets it show.
    ("mass-implausible", "mass"),
    ("wheel-overloaded-by-fill", "section_width"),
    ("wheel-overloaded-by-fill", "overall_diameter"),
    ("wheel-overloaded-by-fill", "inside_volume"),
    ("wheel-overloaded-by-fill", "width"),
    ("wheel-overloaded-by-fill", "mass"),
    // What the width is compared with is worked out from the size.
    ("narrow-rim-known", "width"),
    ("listed-and-absurd", "width"),
    // What a wheel carries against the likely mass.
    ("load-below-the-filling", "section_width"),
    ("load-below-the-filling", "overall_diameter"),
    ("load-below-the-filling", "inside_volume"),
    ("load-below-the-filling", "width"),
    ("load-below-the-filling", "mass"),
];

/// One measurement: the group and the name of the fact, and how many thousandths of the likely it is.
type Measurement = (&'static str, &'static str, u32);

fn measurements() -> impl Strategy<Value = Vec<Measurement>> {
    let lengths = prop::sample::select(vec![("tyre", "section_width"), ("tyre", "overall_diameter"), ("rim", "width")]);
    let others = prop::sample::select(vec![("tyre", "inside_volume"), ("tyre", "mass"), ("wheel", "mass")]);
    let one = prop_oneof![(lengths, 940..1_060_u32), (others, 700..1_400_u32)];
    prop::collection::vec(one.prop_map(|((group, name), share)| (group, name, share)), 1..4)
}

/// What is likely of a tyre by its name, times thousandths.
fn value(size: &str, (group, name, thousandths): Measurement) -> Option<String> {
    let tyre = Designation::parse(size).ok()?;
    let inside = cavity::estimate(&CavityInputs::by_name(&tyre)).ok()?;
    let share = f64::from(thousandths) / 1_000.0;
    // Mass and volume go about together: half a kilogram of rubber and cord, a third of steel, a litre.
    let litres = inside.point.base().to_f64();
    Some(match (group, name) {
        ("tyre", "section_width") => format!("{:.1} mm", inside.section_width.quantity.base().to_f64() * share),
        ("tyre", "overall_diameter") => format!("{:.1} mm", inside.overall_diameter.quantity.base().to_f64() * share),
        ("rim", _) => format!("{:.1} mm", inside.rim_width.quantity.base().to_f64() * share),
        ("tyre", "inside_volume") => format!("{:.1} L", litres * share),
        ("tyre", _) => format!("{:.1} kg", litres * 0.45 * share),
        _ => format!("{:.1} kg", litres * 0.3 * share),
    })
}

/// One group of facts of one assembly.
fn group<'t>(tree: &'t mut Yaml, place: Index, name: &str) -> Option<&'t mut Mapping> {
    let list = tree.get_mut("assemblies")?.as_sequence_mut().filter(|list| !list.is_empty())?;
    let index = place.index(list.len());
    let assembly = list.get_mut(index)?.as_mapping_mut()?;
    assembly.entry(name.into()).or_insert_with(|| Yaml::Mapping(Mapping::new())).as_mapping_mut()
}

/// The bounds of every figure for every subject; `None` where something is missing or in the way.
fn bounds(scene: &Scene<'_>) -> Vec<Option<Interval>> {
    let of = |(subject, id): &(Subject, FigureId)| {
        let entities = scene.job().of(*subject).unwrap_or(&[]);
        let bounds = entities.iter().map(|entity| match scene.compute(*id, entity) {
            Ok(Value::Measured(measured)) => Some(measured.interval),
            _ => None,
        });
        bounds.collect::<Vec<_>>()
    };
    FIGURES.iter().flat_map(of).collect()
}

#[test]
fn a_measurement_narrows_and_leaving_it_out_clears_nothing() {
    let (narrowed, compared) = (Cell::new(0_u32), Cell::new((0_u32, 0_u32)));
    let wrong = RefCell::new(BTreeMap::new());
    let strategy = (made(1), any::<Index>(), measurements(), any::<Index>(), prop::option::of(several()));
    let outcome = TestRunner::new(super::config()).run(&strategy, |(made, place, measurements, left_out, by)| {
        let by = by.map(|several| several.packs());
        let packs = by.as_ref().map_or(&*PACKS, |stricter| &stricter.packs);
        let (job, mut tree, point, at) = made.anywhere();
        let size = group(&mut tree, place, "tyre").and_then(|tyre| Some(tyre.get("size")?.as_str()?.to_owned()));
        let Some(size) = size else { return Ok(()) };
        for measurement in &measurements {
            let Some(value) = value(&size, *measurement) else { return Ok(()) };
            let Some(facts) = group(&mut tree, place, measurement.0) else { return Ok(()) };
            facts.insert(measurement.1.into(), value.into());
        }
        let (part, name, _) = left_out.get(&measurements);
        let mut fewer = tree.clone();
        group(&mut fewer, place, part).unwrap().remove(*name);
        let (Some(tree), Some(fewer)) = (read(packs, &tree), read(packs, &fewer)) else { return Ok(()) };
        let [measured, named] =
            [&tree, &fewer].map(|job| Scene::new(packs, job, at, &common::demo_zone()).at_hold_point(point));
        let (inner, outer) = (bounds(&measured), bounds(&named));
        // Of what is impossible beside the rest no figure is worked out; what asks for one is not shown then.
        let in_the_way = inner.iter().zip(&outer).any(|(inner, outer)| inner.is_none() && outer.is_some());
        compared.set((compared.get().0 + 1, compared.get().1 + u32::from(in_the_way)));
        for (inner, outer) in inner.iter().zip(&outer) {
            let (Some(inner), Some(outer)) = (inner, outer) else { continue };
            let inside = outer.lo() <= inner.lo() && inner.hi() <= outer.hi();
            prop_assert!(inside, "{job}, {size}: with {name} {inner:?}, without {outer:?} {measurements:?}");
            narrowed.set(narrowed.get() + u32::from(inner != outer));
        }
        let (before, after) = (outcomes(&measured), outcomes(&named));
        let mut cleared = before.cleared(&after);
        cleared.retain(|(rule, _)| !CROSS_CHECKS.contains(&(rule.as_str(), *name)));
        cleared.retain(|key| !in_the_way || before.outcomes.get(*key) == Some(&Outcome::Broken));
        for (rule, _) in cleared {
            let case = || format!("{job}, {size} {}: {measurements:?}", point.word());
            wrong.borrow_mut().entry((rule.clone(), *name)).or_insert_with(case);
        }
        Ok(())
    });
    outcome.unwrap();
    let wrong = wrong.into_inner();
    assert!(wrong.is_empty(), "cleared by what was left out: {wrong:#?}");
    assert!(narrowed.get() > 100, "{narrowed:?}: measuring narrows nothing");
    let (all, in_the_way) = compared.get();
    assert!(in_the_way * 4 < all, "{in_the_way} of {all} measurements are impossible beside the rest");
}
