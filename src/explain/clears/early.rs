//! What stands in the record before its time has come, and is found fault with for that alone.
//!
//! Must not know what else would clear it.

use crate::engine::{Scene, Trace};
use crate::explain::words;
use crate::pack::Term;
use crate::record::FactKey;
use crate::units::Truth;
use crate::vocabulary::HoldPoint;

/// Where a rule is content as long as a fact is not recorded that is asked later: that it stands where it was measured, and
/// here when its time has come. Before the tyre is full what is planned may stand there.
pub(super) fn early(scene: &Scene<'_>, trace: &Trace<'_>) -> Option<String> {
    if scene.hold_point() < HoldPoint::AfterFill {
        return None;
    }
    let of_part = |part: &Trace<'_>| match part {
        Trace::Leaf(leaf) if leaf.truth == Truth::False && leaf.leaf.test.is_of_absence() => match leaf.leaf.term {
            Term::Fact(key) => Some(key),
            _ => None,
        },
        _ => None,
    };
    match trace {
        Trace::Any(_, parts) => {
            let lies_ahead = |key: &FactKey| {
                let asked = scene.packs().catalogue().spec(*key).map(|spec| &spec.asked.at);
                asked.is_some_and(|at| at.iter().all(|point| *point > scene.hold_point()))
            };
            let key = parts.iter().filter_map(of_part).find(lies_ahead)?;
            let name = words::term(scene, Term::Fact(key));
            Some(format!(
                "{name} is recorded where it was measured, and taken out here until the cure is over and it is done as told"
            ))
        }
        Trace::All(_, parts) => match parts.as_slice() {
            [only] => early(scene, only),
            _ => None,
        },
        _ => None,
    }
}
