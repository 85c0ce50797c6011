//! What an instrument's class or certificate says of the uncertainty of its readings.
//!
//! Classes follow EN 837-1 (maximum error as a share of the span) and grades ASME B40.100 (shares for the lower quarter,
//! the middle half and the upper quarter of the span; from memory). The maximum error is taken as a rectangular
//! distribution, so the expanded uncertainty with k = 2 is 2/sqrt(3) of it; 1.155 is that factor rounded up.

use super::catalogue::{assembly, instruments};
use super::{Entity, FactKey, Subject};
use crate::units::Exact;

/// 1.155 as a fraction: 2/sqrt(3) = 1.1547..., rounded to the safe side.
const RECTANGULAR_K2: (i128, i128) = (231, 200);

/// Facts whose readings are taken with the instrument that another fact names.
pub(super) const NAMED_BY: &[(FactKey, FactKey)] = &[(assembly::TARGET_PRESSURE, assembly::TARGET_GAUGE)];

/// Logs whose rows are read with the instruments that other facts name: the log, and for each reading of a row the fact.
pub(super) const LOG_NAMED_BY: &[(FactKey, &[FactKey])] = &[(
    assembly::PRE_STRETCH_LOG,
    &[assembly::PRE_STRETCH_GAUGE, assembly::PRE_STRETCH_THERMOMETER, assembly::PRE_STRETCH_THERMOMETER],
)];

/// The facts that name the instruments of a reading or a log.
pub fn named_by(key: FactKey) -> &'static [FactKey] {
    let one = NAMED_BY.iter().find(|(fact, _)| *fact == key).map(|(_, by)| std::slice::from_ref(by));
    let log = || LOG_NAMED_BY.iter().find(|(log, _)| *log == key).map(|(_, columns)| *columns);
    one.or_else(log).unwrap_or(&[])
}

/// Facts that name an instrument, with the list it must stand in.
pub(super) const NAMES: &[(FactKey, Subject)] = &[
    (assembly::TARGET_GAUGE, Subject::Gauge),
    (assembly::PRE_STRETCH_GAUGE, Subject::Gauge),
    (assembly::PRE_STRETCH_THERMOMETER, Subject::Thermometer),
];

/// What an instrument's papers say of the uncertainty of one of its readings, in base units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Doubt {
    /// So much on either side.
    Known(Exact),
    /// Neither class nor certificate is recorded.
    NotRecorded,
    /// It is recorded, and the numbers leave the range that can be reckoned exactly.
    OutOfRange,
}

/// The expanded uncertainty of a reading `at` (base units) of this gauge or thermometer.
pub(super) fn uncertainty(instrument: &Entity, subject: Subject, at: Exact) -> Doubt {
    let facts = &instrument.facts;
    let certificate = match subject {
        Subject::Thermometer => instruments::thermometer::UNCERTAINTY,
        _ => instruments::gauge::UNCERTAINTY,
    };
    if let Some(certified) = facts.measured(certificate) {
        return Doubt::Known(certified.shown.base());
    }
    let papers = (
        facts.measured(instruments::gauge::RANGE_FROM),
        facts.measured(instruments::gauge::RANGE_TO),
        facts.text(instruments::gauge::ACCURACY),
    );
    let (Some(from), Some(to), Some(class), Subject::Gauge) = (papers.0, papers.1, papers.2, subject) else {
        return Doubt::NotRecorded;
    };
    by_class(class, from.shown.base(), to.shown.base(), at).map_or(Doubt::OutOfRange, Doubt::Known)
}

/// The expanded uncertainty of a gauge at a pressure, both in Pa, by its certificate or class; `None` where neither tells.
pub fn pressure_doubt(gauge: &Entity, at: Exact) -> Option<Exact> {
    match uncertainty(gauge, Subject::Gauge, at) {
        Doubt::Known(doubt) => Some(doubt),
        Doubt::NotRecorded | Doubt::OutOfRange => None,
    }
}

fn by_class(class: &str, from: Exact, to: Exact, at: Exact) -> Option<Exact> {
    let span = to.checked_sub(from)?;
    let (num, den) = RECTANGULAR_K2;
    span.checked_mul(share_of_span(class, from, span, at)?)?.checked_mul(Exact::new(num, den)?)
}

/// The maximum error as a share of the span, for a reading at `at`.
fn share_of_span(class: &str, from: Exact, span: Exact, at: Exact) -> Option<Exact> {
    // In hundredths of a per cent of the span.
    let (outer, inner) = match class {
        "EN 0.1" | "ASME 4A" => (10, 10),
        "EN 0.25" | "ASME 3A" => (25, 25),
        "ASME 2A" => (50, 50),
        "EN 0.6" => (60, 60),
        "EN 1" | "ASME 1A" => (100, 100),
        "EN 1.6" => (160, 160),
        "EN 2.5" => (250, 250),
        "EN 4" => (400, 400),
        "ASME A" => (200, 100),
        "ASME B" => (300, 200),
        "ASME C" => (400, 300),
        "ASME D" => (500, 500),
        _ => return None,
    };
    let is_in_middle = || {
        let quarter = span.checked_div(Exact::from_int(4))?;
        Some(at >= from.checked_add(quarter)? && at <= from.checked_add(span)?.checked_sub(quarter)?)
    };
    let share = if outer == inner || is_in_middle()? { inner } else { outer };
    Exact::new(share, 10_000)
}
