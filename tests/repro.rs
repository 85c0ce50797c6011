//! Records that an earlier edition judged wrongly, each with what it must give now and why.

use fillward::engine::{Scene, Verdict};
use fillward::pack::PackSet;
use fillward::record;

use crate::common;

/// What a record must come to.
enum Due {
    /// It is not judged at all: by these codes of faults.
    Refused(&'static [&'static str]),
}

/// The file in `tests/repro`, without its ending, and what is due.
const RECORDS: &[(&str, Due)] = &[
    // Yesterday's inspections are of "today" by the clock of the other side of the world.
    ("due-hold-day-moved-by-offset", Due::Refused(&["record/offset-of-another-zone"])),
    // An offset of summer, kept in winter.
    ("due-hold-offset-an-hour-off", Due::Refused(&["record/offset-of-another-zone"])),
];

#[test]
fn records_that_were_judged_wrongly_are_judged_right() {
    let packs = PackSet::base().unwrap();
    for (name, due) in RECORDS {
        let read = record::read(
            &common::document(&format!("tests/repro/{name}.yaml")),
            packs.catalogue(),
            &common::demo_zone(),
        );
        match (due, read) {
            (Due::Refused(codes), Err(faults)) => {
                let found: Vec<&str> = faults.iter().map(|fault| fault.code().word()).collect();
                assert!(codes.iter().all(|code| found.contains(code)), "{name}: {found:?}");
            }
            (Due::Refused(_), Ok(job)) => {
                let verdict = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone()).judge().verdict;
                panic!("{name}: judged, {}", if verdict == Verdict::Pass { "PASS" } else { "HOLD" });
            }
        }
    }
    let listed: Vec<String> = RECORDS.iter().map(|(name, _)| format!("tests/repro/{name}.yaml")).collect();
    for path in common::files("tests/repro", ".yaml") {
        assert!(listed.contains(&path), "{path} is judged by no test");
    }
}
