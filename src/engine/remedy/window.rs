//! The window of a target: where it may lie, between what the load needs and what tyre, rim and wheel bear.
//!
//! A target outside it was misread or set wrong, so nothing else is fitted to it. This module must not know words or text.

use super::{Act, ActKind, Ground, Way, act, clears, is_reread, spoiled, values};
use crate::engine::{Finding, Scene};
use crate::figures::FigureId;
use crate::pack::Rule;
use crate::record::catalogue::{Comes, assembly};
use crate::record::{Entity, Measured, Value};
use crate::units::{Dimension, Exact, Quantity};
use crate::vocabulary::Subject;

/// Of ways that move the target and others, those that are safe to obey. A target inside the window is what was meant; one
/// outside would be fitted to what may have been misread or set wrong, and the load decides on the target: it is moved there
/// only where nothing else helps.
pub(super) fn fit_the_target(ways: &mut Vec<Way>) {
    let is_inside = |act: &Act| matches!(act.kind, ActKind::Between { .. });
    if ways.iter().any(|way| way.has(is_inside)) {
        ways.retain(|way| !way.has(is_reread));
    } else if ways.iter().any(|way| !way.has(moves_the_target)) {
        ways.retain(|way| !way.has(moves_the_target));
    }
}

/// Whether an act moves the target outside its window.
pub(super) fn moves_the_target(act: &Act) -> bool {
    act.key() == assembly::TARGET_PRESSURE && matches!(act.kind, ActKind::Number(_))
}

/// What is done to the target before a rule that looks at it is cleared: it is brought into its window. `None` where it lies
/// there, where there is no window, or where the rule looks at no target.
pub(super) fn first(scene: &Scene<'_>, rule: &Rule, finding: &Finding) -> Option<Act> {
    let entity = finding.entity.filter(|_| rule.covers == Subject::Assembly)?;
    if !spoiled::facts_of(rule).contains(&assembly::TARGET_PRESSURE) {
        return None;
    }
    let subject = scene.job.of(Subject::Assembly)?.get(entity)?;
    let present = subject.facts.measured(assembly::TARGET_PRESSURE)?.shown.base();
    let (floor, ceiling) = bounds(scene, subject)?;
    if present >= floor && present <= ceiling {
        return None;
    }
    let [near, _] = ends(scene, entity)?;
    Some(near)
}

/// Floor and ceiling of the target of an assembly, in base units.
fn bounds(scene: &Scene<'_>, subject: &Entity) -> Option<(Exact, Exact)> {
    let end = |id| match scene.compute(id, subject) {
        Ok(Value::Measured(measured)) => Some(measured.interval.lo()),
        _ => None,
    };
    Some((end(FigureId::PressureFloor)?, end(FigureId::PressureCeiling)?))
}

/// Whether an act sets another pressure for the job, which would follow the target.
pub(super) fn follows_the_target(scene: &Scene<'_>, act: &Act) -> bool {
    let is_set = matches!(act.kind, ActKind::Number(_) | ActKind::Between { .. } | ActKind::Along { .. });
    let is_pressure = matches!(&act.edit.value, Value::Measured(to) if to.shown.dimension() == Dimension::Pressure);
    let is_made = scene.packs.catalogue().comes_at(act.key(), scene.hold_point()) == Comes::Made;
    is_set && is_pressure && is_made && act.key() != assembly::TARGET_PRESSURE
}

/// A target that is moved is moved into the window of its assembly, where there is one and every target in it clears the
/// finding: one target then clears all that is the matter with it, and none is offered that the next rule refuses.
pub(super) fn within(on: &Ground<'_>, rule: &Rule, entity: usize, way: Way) -> Way {
    let is_target = |act: &Act| matches!(act.kind, ActKind::Number(_)) && act.key() == assembly::TARGET_PRESSURE;
    let Some(place) = way.acts.iter().position(is_target) else { return way };
    let Some(ends) = way.acts.get(place).and_then(|act| ends(on.scene, act.edit.entity)) else { return way };
    let [near, far] = ends.map(|end| {
        let mut acts = way.acts.clone();
        if let Some(act) = acts.get_mut(place) {
            *act = end;
        }
        acts
    });
    let clears = |acts: &[Act]| clears(on.scene, rule, entity, acts, on.trials);
    let both_clear = clears(&near) && clears(&far);
    if both_clear { Way { acts: near } } else { way }
}

/// The acts that bring the target to the ends of the window, the one next to it as it is recorded first. `None` where there
/// is no window.
fn ends(scene: &Scene<'_>, entity: usize) -> Option<[Act; 2]> {
    let key = assembly::TARGET_PRESSURE;
    let subject = scene.job.of(key.subject)?.get(entity)?;
    let (floor, ceiling) = bounds(scene, subject)?;
    let present = subject.facts.measured(key);
    // In the unit of the pressure that the load needs where the target is in one of the other system: a target far off
    // is often in the wrong one.
    let needed = subject.facts.measured(assembly::TARGET_OPERATING_PRESSURE)?.shown.unit();
    let unit = present.map(|present| present.shown.unit()).filter(|unit| unit.is_metric() == needed.is_metric());
    let unit = unit.unwrap_or(needed);
    let inside = |base, upward| values::on_the_safe_side(Quantity::from_base(base, unit)?, upward, true);
    let (low, high) = (inside(floor, true)?, inside(ceiling, false)?);
    if low.base() > high.base() {
        return None;
    }
    let is_above = present.is_some_and(|present: &Measured| present.shown.base() > high.base());
    let (near, far) = if is_above { (high, low) } else { (low, high) };
    let to = |end| {
        let value = values::reading(scene, key, present, end)?;
        Some(act(key, entity, value, ActKind::Between { low, high }))
    };
    Some([to(near)?, to(far)?])
}
