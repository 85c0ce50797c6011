//! How long a PASS with permits holds: until the first instant at which judging the same record would no longer pass.
//!
//! The judgements to come are the engine's, so no rule about time is written twice; a permit that begins or ends changes
//! what they come to. Must not know signatures.

use super::packs::Packs;
use super::permit::{BoundPermit, apply};
use crate::engine::{self, Judgement, Scene};
use crate::units::Instant;
use crate::vocabulary::Verdict;

/// The latest start that a judgement with these permits allows; `None` where they leave the job held.
pub fn holds_until(
    packs: Packs<'_>,
    scene: &Scene<'_>,
    judgement: &Judgement,
    permits: &[BoundPermit<'_>],
) -> Option<Instant> {
    let ends: Vec<Instant> = permits.iter().flat_map(BoundPermit::span).collect();
    engine::lasts(scene, judgement, &ends, |scene, judgement| {
        apply(scene, packs.parts, judgement, permits).verdict == Verdict::Pass
    })
}
