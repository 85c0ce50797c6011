//! The offsets of a record's instants: those of the shop's zone.
//!
//! Whether something was done today depends on the zone in which the shop lies. An instant that is written at another offset
//! was read off another clock, or is an hour off since the last change of the clocks, and nobody can tell which; so the
//! record is refused. Instruments that keep a log often write universal time, and there alone it may stand. Must not
//! know what an instant is of.

use crate::document::{Code, Document, Fault, Path};
use crate::record::{Catalogue, Job, Value};
use crate::units::{Instant, Zone, ZoneError};
use crate::vocabulary::Subject;

/// One fault for each fact that has an instant written at an offset that the zone does not have then.
pub(super) fn of_another_zone(document: &Document, catalogue: &Catalogue, job: &Job, zone: &Zone) -> Vec<Fault> {
    let mut faults = Vec::new();
    for subject in Subject::ALL {
        for entity in job.of(subject).unwrap_or(&[]) {
            for (index, value) in entity.facts.recorded() {
                let (Some(error), Some(spec)) = (first_fault(value, zone), catalogue.of(subject).get(index)) else {
                    continue;
                };
                let path: Path = spec.name.split('.').fold(entity.path.clone(), |path, part| path.child(part));
                faults.push(
                    Fault::new(Code::RecordOffsetOfAnotherZone, error.to_string())
                        .label(document.locate(&path).span, "here")
                        .help(error.help())
                        .in_source(document.source()),
                );
            }
        }
    }
    faults
}

/// What is wrong with the first instant of a value that is not of the zone.
fn first_fault(value: &Value, zone: &Zone) -> Option<ZoneError> {
    let of_the_shop = |at: &Instant| zone.check(*at).err();
    match value {
        Value::Instant(at) => of_the_shop(at),
        Value::Measured(measured) => measured.at.as_ref().and_then(of_the_shop),
        Value::Log(rows) => rows.iter().map(|row| &row.at).filter(|at| !at.is_universal()).find_map(of_the_shop),
        _ => None,
    }
}
