//! What stops a fill that may start: the target of each assembly, its ceiling, and the signs at which nobody waits for either.

use super::summary::Target;
use super::words;
use crate::units::{Rounding, Unit};

/// Common practice, no source; makers' instructions take priority.
const SIGNS: &str = "Stop at once, and let nobody near, if somebody steps into the path of flying parts; if the tyre, a ring or a bead moves, \
     bulges or makes a noise; if liquid comes out anywhere but at the vent; if the gauge stands still or jumps; or if one \
     side of the mix falls behind.";

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

/// When to stop the pump, a sentence each.
pub fn stops(targets: &[Target]) -> Vec<String> {
    let of = |target: &Target| {
        let Target { assembly, target, ceiling, .. } = target;
        format!("{assembly}: stop at {target}, never above {}", words::rounded(*ceiling, Rounding::Down))
    };
    let unit = targets.first().map_or(Unit::Psi, |target| target.target.unit());
    let slowly = format!(
        "Read the pressure at the tyre with the flow stopped, and come to the target in single strokes: near the end one \
         stroke adds {}.",
        stroke(unit)
    );
    targets.iter().map(of).chain([slowly, SIGNS.to_owned()]).collect()
}
