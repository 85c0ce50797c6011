//! The offsets of a record's instants: all of one place.
//!
//! Whether something was done today goes by the offset of the planned start. An offset of the other side of the world
//! there would make yesterday's inspection one of today, so a record whose instants lie too far apart is refused.
//! Universal time is nobody's own and stands beside any offset: instruments that keep a log write it.

use crate::document::{Code, Document, Fault, Path};
use crate::record::catalogue::job::PLANNED_START;
use crate::record::{Catalogue, Job, Subject, Value};
use crate::units::Instant;

/// Summer time moves an offset by an hour; more is another place.
const MOST_APART_SECONDS: i32 = 3600;

/// One fault for each fact whose instant is written at an offset too far from that of the planned start.
pub(super) fn apart(document: &Document, catalogue: &Catalogue, job: &Job) -> Vec<Fault> {
    let planned = job.whole().and_then(|whole| whole.facts.get(PLANNED_START));
    let Some(Value::Instant(planned)) = planned else { return Vec::new() };
    let far = |at: &Instant| {
        at.offset_seconds() != 0 && (at.offset_seconds() - planned.offset_seconds()).abs() > MOST_APART_SECONDS
    };
    let mut faults = Vec::new();
    for subject in Subject::ALL {
        for entity in job.of(subject).unwrap_or(&[]) {
            for (index, value) in entity.facts.recorded() {
                let (Some(at), Some(spec)) = (instants(value).find(far), catalogue.of(subject).get(index)) else {
                    continue;
                };
                let path: Path = spec.name.split('.').fold(entity.path.clone(), |path, part| path.child(part));
                faults.push(
                    Fault::new(
                        Code::RecordOffsetsApart,
                        format!("{at} is not at the offset of the planned start, {planned}"),
                    )
                    .label(document.locate(&path).span, "here")
                    .help("write every instant of the record at the offset of the place where the fill is done")
                    .in_source(document.source()),
                );
            }
        }
    }
    faults
}

/// The instants that a value carries.
fn instants(value: &Value) -> impl Iterator<Item = Instant> {
    let (one, rows) = match value {
        Value::Instant(at) => (Some(*at), &[][..]),
        Value::Measured(measured) => (measured.at, &[][..]),
        Value::Log(rows) => (None, rows.as_slice()),
        _ => (None, &[][..]),
    };
    one.into_iter().chain(rows.iter().map(|row| row.at))
}
