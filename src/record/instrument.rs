//! What an instrument's class or certificate says of the uncertainty of its readings.
//!
//! Classes follow EN 837-1 (maximum error as a share of the span) and grades ASME B40.100 (shares for the lower quarter,
//! the middle half and the upper quarter of the span; from memory). The maximum error is taken as a rectangular
//! distribution, so the expanded uncertainty with k = 2 is 2/sqrt(3) of it; 1.155 is that factor rounded up. Must not
//! know where a reading stands, or what asks for it.

use super::catalogue::{assembly, instruments};
use super::{Entity, FactKey, Measured};
use crate::units::{Dimension, Exact, Interval};
use crate::vocabulary::Subject;

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

/// The list of instruments of which a fact names one.
pub fn instrument_named(key: FactKey) -> Option<Subject> {
    NAMES.iter().find(|(name, _)| *name == key).map(|(_, list)| *list)
}

/// What an instrument's papers say of the uncertainty of one of its readings, in base units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Doubt {
    /// So much on either side.
    Known(Exact),
    /// Neither class nor certificate is recorded.
    NotRecorded,
    /// It is recorded, and the numbers leave the range that can be computed exactly.
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

/// The least that the class of a gauge lets its readings be off, as an expanded uncertainty in Pa; `None` where class
/// or scale is not recorded.
pub(super) fn finest_of_class(gauge: &Entity) -> Option<Exact> {
    let base = |key| Some(gauge.facts.measured(key)?.shown.base());
    let (from, to) = (base(instruments::gauge::RANGE_FROM)?, base(instruments::gauge::RANGE_TO)?);
    let middle = Interval::new(from, to)?.mid()?;
    by_class(gauge.facts.text(instruments::gauge::ACCURACY)?, from, to, middle)
}

/// The list in which the instrument of a reading stands; none where no instrument of a record reads such a thing.
pub(super) fn list_for(measured: &Measured) -> Option<Subject> {
    match measured.shown.dimension() {
        Dimension::Temperature => Some(Subject::Thermometer),
        Dimension::Pressure => Some(Subject::Gauge),
        _ => None,
    }
}

/// The instrument of a list that bears this mark.
pub(super) fn lookup<'i>(
    instruments: &'i [(Subject, Vec<Entity>); 2],
    list: Subject,
    mark: &str,
) -> Option<&'i Entity> {
    instruments.iter().find(|(s, _)| *s == list)?.1.iter().find(|entity| entity.label == mark)
}

/// The reading with the instrument's uncertainty; one that it states itself counts where it is the larger.
/// `None` where the uncertainty cannot be worked out exactly: such a reading must not be believed as it stands.
pub(super) fn graded(measured: &Measured, by: &Entity, list: Subject) -> Option<Measured> {
    match uncertainty(by, list, measured.shown.base()) {
        Doubt::NotRecorded => Some(measured.clone()),
        Doubt::OutOfRange => None,
        Doubt::Known(doubt) => {
            let larger = measured.stated.map_or(doubt, |stated| stated.max(doubt));
            measured.clone().with_uncertainty(larger)
        }
    }
}

/// The expanded uncertainty of a gauge at a pressure, both in Pa, by its certificate or class; `None` where neither tells.
pub fn pressure_doubt(gauge: &Entity, at: Exact) -> Option<Exact> {
    match uncertainty(gauge, Subject::Gauge, at) {
        Doubt::Known(doubt) => Some(doubt),
        Doubt::NotRecorded | Doubt::OutOfRange => None,
    }
}

fn by_class(class: &str, from: Exact, to: Exact, at: Exact) -> Option<Exact> {
    let span = Interval::point(to).checked_sub(Interval::point(from))?;
    let (num, den) = RECTANGULAR_K2;
    let doubt = span.checked_scale(share_of_span(class, from, span, at)?)?.checked_scale(Exact::new(num, den)?)?;
    // What does not fit is rounded up: a doubt is never taken for less.
    Some(doubt.hi())
}

/// The maximum error as a share of the span, for a reading at `at`.
fn share_of_span(class: &str, from: Exact, span: Interval, at: Exact) -> Option<Exact> {
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
        let quarter = span.checked_div(Interval::point(Exact::from_int(4)))?;
        let from = Interval::point(from);
        Some(at >= from.checked_add(quarter)?.hi() && at <= from.checked_add(span)?.checked_sub(quarter)?.lo())
    };
    let share = if outer == inner || is_in_middle()? { inner } else { outer };
    Exact::new(share, 10_000)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(text: &str) -> Exact {
        Exact::parse_decimal(text).unwrap()
    }

    /// ASME B40.100-2013, the table of accuracy grades (memory): grade A allows 2-1-2 per cent of the span in the lower
    /// quarter, the middle half and the upper quarter, B 3-2-3, C 4-3-4, D 5 throughout. A quarter ends where the middle
    /// half begins, so a gauge must keep both bounds there and the finer one says what it may be off.
    #[test]
    fn a_grade_is_finer_in_the_middle_half_its_ends_included() {
        for (class, outer, inner) in
            [("ASME A", 200, 100), ("ASME B", 300, 200), ("ASME C", 400, 300), ("ASME D", 500, 500)]
        {
            for (from, to) in [("0", "200"), ("-15", "185"), ("40", "240")] {
                let (from, to) = (exact(from), exact(to));
                let share = |above: &str| {
                    let at = from.checked_add(exact(above)).unwrap();
                    let share = share_of_span(class, from, Interval::point(to.checked_sub(from).unwrap()), at).unwrap();
                    share.checked_mul(Exact::from_int(10_000)).unwrap()
                };
                for (above, due) in [
                    ("0", outer),
                    ("49.999", outer),
                    ("50", inner),
                    ("100", inner),
                    ("150", inner),
                    ("150.001", outer),
                    ("200", outer),
                ] {
                    assert_eq!(share(above), Exact::from_int(due), "{class}, {above} of 200");
                }
            }
        }
    }

    /// A class of EN 837-1 and the finer grades of ASME B40.100 are one share of the span all over the dial.
    #[test]
    fn a_class_is_the_same_all_over_the_dial() {
        for (class, share) in
            [("EN 1.6", 160), ("EN 0.1", 10), ("ASME 1A", 100), ("ASME 2A", 50), ("ASME 3A", 25), ("ASME 4A", 10)]
        {
            for at in ["0", "50", "100", "150", "200"] {
                let found = share_of_span(class, Exact::ZERO, Interval::point(Exact::from_int(200)), exact(at));
                assert_eq!(found, Exact::new(share, 10_000), "{class} at {at}");
            }
        }
        assert_eq!(share_of_span("EN 9", Exact::ZERO, Interval::point(Exact::from_int(200)), Exact::ZERO), None);
    }

    /// JCGM 100 (GUM), 4.3.7: a rectangular distribution of half-width a has the standard uncertainty a/sqrt(3); with k = 2
    /// that is 1.1547 a, and 1.155 a is not below it.
    #[test]
    fn the_expanded_uncertainty_is_that_of_a_rectangle() {
        let doubt = by_class("EN 1", Exact::ZERO, Exact::from_int(100), Exact::from_int(60)).unwrap().to_f64();
        let due = 2.0 / 3.0_f64.sqrt();
        assert!(doubt >= due && doubt < due * 1.001, "{doubt} against {due}");
    }
}
