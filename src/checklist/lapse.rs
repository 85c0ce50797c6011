//! How long a PASS holds: until the first instant at which judging the same record would no longer pass.
//!
//! Readings grow old, inspections belong to a day, permits end. The judgement itself is asked, so no rule about time is
//! written twice.

use super::packs::Packs;
use super::permit::{Bound, apply};
use crate::engine::{Scene, Verdict};
use crate::record::Job;
use crate::units::{Exact, Instant, Zone};

/// Seconds between two looks ahead: no rule asks for readings fresher than this.
const STEP: i128 = 15 * 60;
/// The end is given to the minute.
const GRAIN: i128 = 60;
/// A checklist never holds longer than a working day, whatever the rules say.
pub const LONGEST: i128 = 12 * 60 * 60;

/// The last whole minute after `at`, twelve hours at most, up to which the job passes with these permits; `None` where it
/// does not pass at `at`.
pub fn holds_until(packs: Packs<'_>, job: &Job, at: Instant, zone: &Zone, permits: &[Bound<'_>]) -> Option<Instant> {
    let holds = |scene: &Scene<'_>| apply(scene, packs.parts, &scene.judge(), permits).verdict == Verdict::Pass;
    let now = Scene::new(packs.set, job, at, zone);
    if !holds(&now) {
        return None;
    }
    let later = |seconds: i128| now.at().checked_add_seconds(Exact::new(seconds, 1)?).map(|at| at.in_zone(zone));
    let passes = |seconds: i128| later(seconds).is_some_and(|at| holds(&Scene::new(packs.set, job, at, zone)));
    let mut good = 0;
    while good < LONGEST && passes(good + STEP) {
        good += STEP;
    }
    if good >= LONGEST {
        return later(LONGEST);
    }
    let mut bad = good + STEP;
    while bad - good > GRAIN {
        let middle = good + (bad - good) / GRAIN / 2 * GRAIN;
        if passes(middle) { good = middle } else { bad = middle }
    }
    later(good)
}
