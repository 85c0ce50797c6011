//! What is told where work may go on: the cautions of the hold point and, for a fill, target and ceiling of each assembly.
//!
//! Must not know findings.

use super::summary::Target;
use super::words;
use crate::units::{Rounding, Unit};
use crate::vocabulary::HoldPoint;

/// What one stroke adds near the end, in the unit of the target. Common practice, no source.
const fn stroke(unit: Unit) -> &'static str {
    match unit {
        Unit::Kilopascal => "tens of kPa",
        Unit::Bar => "several tenths of a bar",
        Unit::Megapascal => "several hundredths of a MPa",
        Unit::Millibar => "hundreds of mbar",
        Unit::KilogramForcePerSquareCentimetre => "several tenths of a kgf/cm²",
        _ => "several psi",
    }
}

/// What is told where work may go on at a hold point, a sentence or a few each; with the targets of what is filled.
pub fn going_on(point: HoldPoint, targets: &[Target]) -> Vec<String> {
    let moment = point.moment();
    let of = |target: &Target| {
        let Target { assembly, target, ceiling, .. } = target;
        format!("{assembly}: stop at {target}, never above {}", words::rounded(*ceiling, Rounding::Down))
    };
    let slowly = targets.first().map(|target| {
        format!(
            "Read the pressure at the tyre with the flow stopped, and come to the target in single strokes: near the end \
             one stroke adds {}.",
            stroke(target.target.unit())
        )
    });
    let first = [moment.first, moment.stand].map(str::to_owned);
    first.into_iter().chain(targets.iter().map(of)).chain(slowly).chain([moment.stop.to_owned()]).collect()
}
