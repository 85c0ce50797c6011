//! What stops a fill that may start: the target of each assembly, its ceiling, and the signs at which nobody waits for either.

use super::summary::Target;
use super::words;
use crate::units::Rounding;

/// Common practice, no source; makers' instructions take priority.
const SIGNS: [&str; 2] = [
    "Read the pressure at the tyre with the flow stopped, and come to the target in single strokes: near the end one stroke \
     adds several psi (tens of kPa).",
    "Stop at once, and let nobody near, if somebody steps into the path of flying parts; if the tyre, a ring or a bead moves, \
     bulges or makes a noise; if liquid comes out anywhere but at the vent; if the gauge stands still or jumps; or if one \
     side of the mix falls behind.",
];

/// When to stop the pump, a sentence each.
pub fn stops(targets: &[Target]) -> Vec<String> {
    let of = |target: &Target| {
        let Target { assembly, target, ceiling, .. } = target;
        format!("{assembly}: stop at {target}, never above {}", words::rounded(*ceiling, Rounding::Down))
    };
    targets.iter().map(of).chain(SIGNS.map(str::to_owned)).collect()
}
