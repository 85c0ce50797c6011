//! Which things a fault is about, by what a record says that they are: a permit for one lot is none for another, one for a
//! casing of 16 plies none for one of 20, and what was allowed in one bay is not allowed in the next.
//!
//! This module must not know what a permit is.

use crate::checklist::changes::is_built_in;
use crate::checklist::evidence::written;
use crate::engine::{BoundOrigin, Comparison, Decided, FactPlace, Finding, Scene};
use crate::record::{Entity, names_of_things};
use crate::vocabulary::Subject;

/// What a finding is about: the site, the pump and whatever else the whole job names, its own subject, and every other
/// subject of which something decided it; of an assembly what is stamped and moulded on it. Each line is a place in the
/// record, and what stands there as lines of evidence write it.
pub fn things(scene: &Scene<'_>, finding: &Finding) -> Vec<String> {
    let Decided { applies, demands } = scene.evidence(finding);
    let decided: Vec<FactPlace<'_>> = applies.iter().chain(&demands).flat_map(places).collect();
    let own = scene.entity(finding);
    // What is worked out for the whole job is worked out of what goes into the pump.
    let of_whole = |entity: &Entity| entity.path.is_root();
    let figured =
        scene.job().whole().is_some_and(|whole| decided.iter().any(|at| at.is_figure() && at.is_of(&whole.path)));
    let is_meant = |subject: Subject, entity: &Entity| {
        of_whole(entity)
            || own.is_some_and(|own| own.path == entity.path)
            || figured && subject == Subject::Component
            || decided.iter().any(|at| at.is_of(&entity.path))
    };
    let catalogue = scene.packs().catalogue();
    let mut lines: Vec<String> = Vec::new();
    for key in names_of_things() {
        let entities = scene.job().of(key.subject).unwrap_or_default();
        for entity in entities.iter().filter(|entity| is_meant(key.subject, entity)) {
            if let Some(name) = entity.facts.get(key) {
                lines.push(format!("{} {}", entity.path_of(catalogue, key), written(name)));
            }
        }
    }
    let assembly = own.filter(|_| scene.rule(finding).is_some_and(|rule| rule.covers == Subject::Assembly));
    let built = catalogue.keys_of(Subject::Assembly).filter_map(|key| {
        let spec = catalogue.spec(key).filter(|spec| is_built_in(spec, key))?;
        Some(format!(".{} {}", spec.name, written(assembly?.facts.get(key)?)))
    });
    lines.extend(built);
    lines
}

/// The facts that a comparison is made of.
fn places<'s>(comparison: &Comparison<'s>) -> Vec<FactPlace<'s>> {
    let origins = comparison.bounds.iter().flat_map(|bound| &bound.origins);
    let facts = origins.filter_map(|origin| match origin {
        BoundOrigin::Fact(place) => Some(*place),
        _ => None,
    });
    std::iter::once(comparison.fact).chain(facts).collect()
}
