//! What comes of a fact that belongs to a fill that is over: mostly nothing but that it was misread, and now and then
//! a deed.
//!
//! Must not know how the act was found.

use crate::engine::{Act, ActKind, Scene};
use crate::explain::flow;
use crate::explain::ways::Deed;
use crate::record::catalogue::choices::RimKind;
use crate::record::catalogue::{WHILE_IT_FLOWS, assembly};
use crate::vocabulary::{HoldPoint, Subject};

/// What is done about the torque of the nuts: a wrench that clicks at once has measured nothing.
pub(super) fn tightened(act: &Act) -> Deed {
    Deed::Told(
        if act.key() == assembly::WHEEL_NUT_TORQUE {
            "the torque is looked up again in that manual"
        } else {
            "this is done, and the torque to which the nuts are tightened then is recorded"
        }
        .to_owned(),
    )
}

/// What is done about what is past.
pub(super) fn past(scene: &Scene<'_>, act: &Act) -> Deed {
    let (key, entity) = (act.key(), act.edit.entity);
    let told = match key {
        assembly::WHEEL_NUTS_TIGHT if holds_the_wheel(scene, entity) => {
            "once the cure is over, the nuts that hold the wheel on the machine are tightened as told, and that is recorded"
        }
        assembly::TYRE_MASS | assembly::WHEEL_MASS => {
            "it is looked up with its maker, or left out, and is estimated then"
        }
        _ if goes_on(act) && flow::may_fill_on(scene, Some((key.subject, entity))) => return Deed::FilledOn,
        // A tyre in which nothing is but air is not left as it is.
        _ if scene.hold_point() < HoldPoint::AfterFill && !is_filled(scene, act) => {
            "this is done as told, and the job is checked again"
        }
        // What is full cannot be exchanged any more.
        _ => return Deed::StaysClosed,
    };
    Deed::Told(told.to_owned())
}

/// Whether filling on brings it about.
fn goes_on(act: &Act) -> bool {
    let upward = match &act.kind {
        ActKind::Number(reach) | ActKind::ReadAgain(reach) => reach.upward,
        _ => false,
    };
    upward && WHILE_IT_FLOWS.contains(&act.key())
}

/// Whether the assembly of an act, or one of those of the job, may be filled.
fn is_filled(scene: &Scene<'_>, act: &Act) -> bool {
    if act.key().subject == Subject::Assembly {
        flow::may_be_filled(scene, act.edit.entity)
    } else {
        scene.covered().any(|(assembly, _)| flow::may_be_filled(scene, assembly))
    }
}

/// Whether the only nuts of a wheel are those that hold it on its machine: those between the halves of a wheel are
/// touched by nobody once it is full.
fn holds_the_wheel(scene: &Scene<'_>, entity: usize) -> bool {
    let wheel = scene.job().of(Subject::Assembly).and_then(|entities| entities.get(entity));
    let kind = wheel.and_then(|wheel| wheel.facts.choice());
    scene.stays_on_vehicle() && kind.is_some_and(|kind: RimKind| kind != RimKind::BoltTogether)
}
