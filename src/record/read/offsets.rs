//! The offsets of a record's instants: those of the shop's zone.
//!
//! Whether something was done today depends on the zone in which the shop lies. An instant that is written at another offset
//! was read off another clock, or is an hour off since the last change of the clocks, and nobody can tell which; so the
//! record is refused. Instruments that keep a log often write universal time, and there alone it may stand, in the whole of
//! the log: a row in another clock than the rest makes hours that never were. Must not know what an instant is of.

use crate::document::{Code, Document, Fault, Path};
use crate::record::{Catalogue, Job, LogRow, Value};
use crate::units::{Instant, Zone, ZoneError};
use crate::vocabulary::Subject;

/// One fault for each fact that has an instant written at an offset that the zone does not have then.
pub(super) fn of_another_zone(document: &Document, catalogue: &Catalogue, job: &Job, zone: &Zone) -> Vec<Fault> {
    let mut faults = Vec::new();
    for subject in Subject::ALL {
        for entity in job.of(subject).unwrap_or(&[]) {
            for (index, value) in entity.facts.recorded() {
                let Some(spec) = catalogue.of(subject).get(index) else { continue };
                let path = || spec.name.split('.').fold(entity.path.clone(), |path, part| path.child(part));
                let fault = match (first_fault(value, zone), value) {
                    (Some(error), _) => Fault::new(Code::RecordOffsetOfAnotherZone, error.to_string())
                        .label(document.locate(&path()).span, "here")
                        .help(error.help()),
                    (None, Value::Log(rows)) => match in_two_clocks(rows, zone) {
                        Some(rows) => of_two_clocks(document, &path(), rows),
                        None => continue,
                    },
                    (None, _) => continue,
                };
                faults.push(fault.in_source(document.source()));
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

/// The first row of a log in universal time, where that is not the shop's own then, and the first in the shop's; `None`
/// where all rows are in one clock.
fn in_two_clocks(rows: &[LogRow], zone: &Zone) -> Option<[usize; 2]> {
    let first = |such: &dyn Fn(&Instant) -> bool| rows.iter().position(|row| such(&row.at));
    let universal = first(&|at| at.is_universal() && zone.check(*at).is_err())?;
    Some([universal, first(&|at| !at.is_universal())?])
}

/// The fault of a log of which one row is in universal time and another by the shop's clock.
fn of_two_clocks(document: &Document, log: &Path, [universal, own]: [usize; 2]) -> Fault {
    let time = |row: usize| document.locate(&log.child(row).child("at")).span;
    Fault::new(
        Code::RecordLogInTwoClocks,
        "rows of one log are in universal time (`Z`) and by the shop's clock",
    )
    .label(time(universal), "in universal time")
    .label(time(own), "by the shop's clock")
    .help(
        "look up by which clock each row was read, and write all rows of the log by one of the two; a row that nobody can place is \
         left out only with all rows before it",
    )
}
