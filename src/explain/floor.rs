//! What whoever signs holds against the floor: tyre, wheel, gauge, material and crew, as the record has them, a phrase each.
//!
//! This module must not know what was judged.

use super::words;
use crate::engine::Scene;
use crate::record::catalogue::{assembly, component, person};
use crate::record::{Entity, FactKey};
use crate::vocabulary::{HoldPoint, Subject};

/// The assemblies that go past the hold point, each by its mark, and what was read of it.
pub(super) fn assemblies(scene: &Scene<'_>) -> Vec<(String, String)> {
    scene.covered().map(|(_, entity)| (entity.label.clone(), of_assembly(entity))).collect()
}

/// The containers and the crew, where the hold point asks for them.
pub(super) fn phrases(scene: &Scene<'_>) -> Vec<String> {
    let mut said = Vec::new();
    if scene.hold_point() == HoldPoint::BeforeFill {
        let sides = scene.job().of(Subject::Component).unwrap_or(&[]);
        let sides: Vec<String> = sides.iter().map(of_component).collect();
        said.extend((!sides.is_empty()).then(|| format!("on hand: {}", sides.join(", "))));
    }
    if scene.hold_point() <= HoldPoint::BeforeFill {
        let people = scene.job().of(Subject::Person).unwrap_or(&[]);
        let people: Vec<String> = people.iter().map(of_person).collect();
        said.extend((!people.is_empty()).then(|| format!("crew: {}", people.join(", "))));
    }
    said
}

fn of_assembly(entity: &Entity) -> String {
    let fact = |key: FactKey| entity.facts.get(key).map(words::bare);
    let with = |key, opening: &str, closing: &str| fact(key).map(|value| format!("{opening}{value}{closing}"));
    let tyre = [fact(assembly::TYRE_SIZE), with(assembly::TYRE_PLY_RATING, "", " ply"), fact(assembly::TYRE_STATE)];
    let tyre = tyre.into_iter().flatten().collect::<Vec<_>>().join(" ");
    let parts = [
        Some(tyre).filter(|tyre| !tyre.is_empty()),
        with(assembly::RIM_KIND, "rim ", ""),
        with(assembly::WHEEL_RATING, "wheel ", ""),
        with(assembly::TARGET_OPERATING_PRESSURE, "the load needs ", ""),
        with(assembly::TARGET_GAUGE, "gauge ", ""),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn of_component(side: &Entity) -> String {
    let lot = side.facts.text(component::LOT).map(|lot| format!(" lot {lot}")).unwrap_or_default();
    let mass = side.facts.measured(component::ON_HAND).map(|mass| format!(" {}", mass.shown)).unwrap_or_default();
    format!("{}{lot}{mass}", side.label)
}

fn of_person(one: &Entity) -> String {
    let role = one.facts.text(person::ROLE).map(|role| format!(" ({role})")).unwrap_or_default();
    format!("{}{role}", one.label)
}
