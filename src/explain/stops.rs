//! What is told where work may go on: the cautions of the hold point and, for air and fill, the pressures of each assembly.
//!
//! Must not know findings.

use super::words;
use crate::engine::{Aim, Aims};
use crate::units::{Exact, Quantity, Rounding, Unit};
use crate::vocabulary::HoldPoint;

/// Psi that one stroke may add near the end. Common practice, no source.
const STROKE: i64 = 5;

/// What one stroke adds near the end, as an order of magnitude in the unit of the target.
fn stroke(unit: Unit) -> String {
    let added = Quantity::new(Exact::from_int(STROKE), Unit::Psi).and_then(|added| added.in_unit(unit));
    let (added, unit) = added.map_or((Exact::from_int(STROKE), "psi"), |added| (added.value(), unit.pretty()));
    let is = |most: i64| added >= Exact::from_int(most);
    let tenths = added.checked_mul(Exact::from_int(10));
    match tenths {
        _ if is(100) => format!("hundreds of {unit}"),
        _ if is(10) => format!("tens of {unit}"),
        _ if is(1) => format!("several {unit}"),
        Some(tenths) if tenths >= Exact::ONE => format!("several tenths of a {unit}"),
        _ => format!("several hundredths of a {unit}"),
    }
}

/// To what air is let in: first the seating, by itself, and then the target.
fn air(Aim { assembly, seating, target, ceiling, .. }: &Aim) -> String {
    let most = words::rounded(*ceiling, Rounding::Down);
    let seat = match seating {
        Some(seating) => format!("seat the beads with the regulator at {}", seating.as_written()),
        None => {
            "no seating pressure is on record: find the makers' before air goes in, and set the regulator no higher \
                 for the seating"
                .to_owned()
        }
    };
    let target_text = target.as_written();
    // Small tyres of low pressure are seated with more than they are run at.
    let then = if seating.is_some_and(|seating| seating.base() > target.base()) {
        format!("let it down to {target_text} as soon as the beads are seen seated")
    } else {
        format!("once the beads are seen seated, up to {target_text}, never above {most}")
    };
    format!("{assembly}: {seat}; {then}")
}

/// At what the pump is stopped, and what stops it where nobody does.
fn fill(Aim { assembly, target, ceiling, stops_at, .. }: &Aim) -> String {
    let (target, most) = (target.as_written(), words::rounded(*ceiling, Rounding::Down));
    match stops_at {
        // One pressure only is named as the highest: at that the pump is shut off by hand, whatever it is set to.
        Some(stops_at) if ceiling.base() < stops_at.base() => format!(
            "{assembly}: stop at {target}; never above {most}: shut the pump off there, it does not stop by itself in time"
        ),
        Some(stops_at) => {
            let itself = stops_at.as_written();
            format!(
                "{assembly}: stop at {target}; never above {itself}, where the pump stops by itself: if it does not, shut it off"
            )
        }
        None => format!("{assembly}: stop at {target}; never above {most}"),
    }
}

/// What is told where work may go on at a hold point, a sentence or a few each; with what each assembly is brought to.
pub fn going_on(point: HoldPoint, aims: &Aims) -> Vec<String> {
    let (before, after) = of_each(point, aims);
    before.into_iter().chain(brought_to(point, aims)).chain(after).collect()
}

/// What is told of every job alike, of several of which each is told what it is brought to.
pub fn going_on_with_each(point: HoldPoint, aims: &Aims) -> Vec<String> {
    let (before, after) = of_each(point, aims);
    before.into_iter().chain(after).collect()
}

/// What each assembly is brought to.
pub fn brought_to(point: HoldPoint, Aims { each, .. }: &Aims) -> Vec<String> {
    match point {
        HoldPoint::BeforeAir => each.iter().map(air).collect(),
        HoldPoint::BeforeFill => each.iter().map(fill).collect(),
        HoldPoint::AfterFill | HoldPoint::BeforeService => Vec::new(),
    }
}

/// What is told of every job alike: before and after what each assembly is brought to.
fn of_each(point: HoldPoint, Aims { each, on_vehicle }: &Aims) -> ([String; 2], Vec<String>) {
    let moment = if *on_vehicle { point.moment_on_vehicle() } else { point.moment() };
    let filled = each.first().filter(|_| point == HoldPoint::BeforeFill);
    let slowly = filled.map(|aim| {
        format!(
            "Read the pressure at the tyre with the flow stopped, and come to the target in single strokes: near the end \
             one stroke adds {}.",
            stroke(aim.target.unit())
        )
    });
    let first = [moment.first, moment.stand].map(str::to_owned);
    (first, slowly.into_iter().chain([moment.stop.to_owned()]).collect())
}
