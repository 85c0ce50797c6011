//! What two records of one job say differently of what does not change by itself.
//!
//! A hold point is passed by what was known there. What lasts for the job or longer must be so at the next one as well, or
//! it was another assembly that passed; what is looked at again each day or at each hold point may of course be otherwise.
//! This module must not know signatures.

use std::collections::BTreeSet;

use crate::checklist::evidence::{WrittenValue, written};
use crate::record::catalogue::{Asked, Catalogue, HoldsFor, assembly, instruments, person};
use crate::record::{Entity, FactKey, FactKind, FactSpec, Job, Measured, Value};
use crate::units::Instant;
use crate::vocabulary::{HoldPoint, Subject, names_one_thing};

/// Facts of an assembly that last as it does, and that a second measurement or another document may give otherwise.
const FOUND_AGAIN: &[FactKey] = &[
    assembly::TYRE_PUBLISHED_IN,
    assembly::TYRE_SECTION_WIDTH,
    assembly::TYRE_OVERALL_DIAMETER,
    assembly::TYRE_INSIDE_VOLUME,
    assembly::TYRE_MASS,
    assembly::WHEEL_MASS,
    assembly::WHEEL_NUT_TORQUE,
];

/// A fact that a later record gives otherwise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FactChange {
    /// What the crew calls the subject; nothing for the job as a whole.
    pub of: Option<String>,
    /// The fact, by its name in the record.
    pub fact: String,
    /// The value that was known before, as lines of evidence write it.
    pub before: String,
    /// The value of the later record; nothing where it has none.
    pub now: Option<String>,
    /// Whether nobody judges it any more: it is what the assembly is, or is asked only before. Then the later record is of
    /// something else than was let pass.
    pub parts: bool,
}

impl FactChange {
    /// Such as ``loader 7, right rear: `wheel.rating` was 80 psi before air and is 120 psi now``.
    pub fn sentence(&self, point: HoldPoint) -> String {
        let Self { of, fact, before, now, .. } = self;
        let of = of.as_ref().map(|of| format!("{of}: ")).unwrap_or_default();
        let (before, now) = told_apart(Some(before), now.as_ref());
        let now = now.map_or("is not in the record now".to_owned(), |now| format!("is {now} now"));
        format!("{of}`{fact}` was {} {} and {now}", before.unwrap_or_default(), point.word())
    }
}

/// A fact that two records of one job give otherwise, of which neither is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// What the crew calls the subject; nothing for the job as a whole.
    pub of: Option<String>,
    /// The fact, by its name in the record.
    pub fact: String,
    /// The value in the earlier record, as lines of evidence write it; nothing where it has none.
    pub before: Option<String>,
    /// The value in the later one.
    pub now: Option<String>,
}

impl Difference {
    /// Such as ``loader 7, right rear: `target.pressure`: 60 psi, then 62 psi``.
    pub fn both_values(&self) -> String {
        let Self { of, fact, before, now } = self;
        let of = of.as_ref().map(|of| format!("{of}: ")).unwrap_or_default();
        let (before, now) = told_apart(before.as_ref(), now.as_ref());
        let said = |value: Option<String>| value.unwrap_or_else(|| "not recorded".to_owned());
        format!("{of}`{fact}`: {}, then {}", said(before), said(now))
    }
}

/// Two values as people tell them: numbers without the ends of their doubt, unless these are all that differs.
fn told_apart(before: Option<&String>, now: Option<&String>) -> (Option<String>, Option<String>) {
    let (plain_before, plain_now) = (before.map(|value| plain(value)), now.map(|value| plain(value)));
    if plain_before == plain_now { (before.cloned(), now.cloned()) } else { (plain_before, plain_now) }
}

fn plain(value: &str) -> String {
    match WrittenValue::read(value) {
        Some(WrittenValue::Number { shown: Some(number), unit, .. }) if unit.is_empty() => number,
        Some(WrittenValue::Number { shown: Some(number), unit, .. }) => format!("{number} {unit}"),
        Some(WrittenValue::Moment(at)) => Instant::told(&at),
        _ => value.to_owned(),
    }
}

/// What two records of one job say differently, each as it was known at its instant.
pub fn differences(catalogue: &Catalogue, one: (&Job, Instant), other: (&Job, Instant)) -> Vec<Difference> {
    let there = changes(catalogue, one, other.0, None, Kept::Everything);
    let back = changes(catalogue, other, one.0, None, Kept::Everything);
    let there = there.into_iter().map(|FactChange { of, fact, before, now, .. }| {
        let before = Some(before);
        Difference { of, fact, before, now }
    });
    let added = back.into_iter().filter(|change| change.now.is_none());
    let added =
        added.map(|FactChange { of, fact, before, .. }| Difference { of, fact, before: None, now: Some(before) });
    there.chain(added).collect()
}

/// Which facts are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::checklist) enum Kept {
    /// Those that last for the job or longer, seen from the hold point at which the later record is judged.
    ForTheJob { seen_from: HoldPoint },
    /// All of them.
    Everything,
}

/// What a record gives otherwise than the one that was judged at an instant: of what was known then, what is compared. Added
/// facts are no change. Of assemblies those with the marks given are compared, where any are given.
pub(in crate::checklist) fn changes(
    catalogue: &Catalogue,
    (before, at): (&Job, Instant),
    now: &Job,
    marks: Option<&[&str]>,
    kept: Kept,
) -> Vec<FactChange> {
    let known = before.as_known_at(at);
    let mut found = Vec::new();
    for subject in Subject::ALL {
        let (then, later) = (known.of(subject).unwrap_or_default(), now.of(subject).unwrap_or_default());
        for (place, entity) in then.iter().enumerate() {
            let name = name_of(subject, entity);
            let meant = subject != Subject::Assembly
                || marks
                    .is_none_or(|marks| name.is_some_and(|name| marks.iter().any(|mark| names_one_thing(mark, name))));
            if !meant {
                continue;
            }
            let same = match name {
                Some(name) => {
                    later.iter().find(|other| name_of(subject, other).is_some_and(|of| names_one_thing(of, name)))
                }
                None => later.get(place),
            };
            of_one(catalogue, subject, (entity, at), same, kept, &mut found);
        }
    }
    found
}

/// The fact that tells subjects of one kind apart; the job is one, and the two liquids are told apart by their places.
fn name_of(subject: Subject, entity: &Entity) -> Option<&str> {
    let key = match subject {
        Subject::Job | Subject::Component => return None,
        Subject::Assembly => assembly::MARK,
        Subject::Person => person::NAME,
        Subject::Gauge => instruments::gauge::MARK,
        Subject::Thermometer => instruments::thermometer::MARK,
    };
    entity.facts.text(key)
}

/// The changes of one subject, which the later record may lack altogether.
fn of_one(
    catalogue: &Catalogue,
    subject: Subject,
    (entity, at): (&Entity, Instant),
    now: Option<&Entity>,
    kept: Kept,
    found: &mut Vec<FactChange>,
) {
    for key in catalogue.keys_of(subject) {
        let (Some(spec), Some(before)) = (catalogue.spec(key), entity.facts.get(key)) else { continue };
        let value = now.and_then(|now| now.facts.get(key));
        let parts = match compared(spec, key, kept) {
            Some(parts) => parts,
            None if is_one_reading(spec, before, value) => false,
            None => continue,
        };
        // What is dated after the judgement was a plan and no knowledge.
        if matches!(before, Value::Instant(planned) if *planned > at) {
            continue;
        }
        if value.is_some_and(|value| keeps(before, value)) {
            continue;
        }
        let of = (subject != Subject::Job).then(|| entity.label.clone());
        let (before, now) = both_written(before, value);
        found.push(FactChange { of, fact: spec.name.to_string(), before, now, parts });
    }
}

/// Two values that differ, as lines of evidence write them; where only the reading differs, each with its reading.
fn both_written(before: &Value, now: Option<&Value>) -> (String, Option<String>) {
    let (text, text_now) = (written(before), now.map(written));
    match (before, now) {
        (Value::Measured(before), Some(Value::Measured(now))) if text_now.as_ref() == Some(&text) => {
            (with_reading(&text, before), Some(with_reading(&text, now)))
        }
        _ => (text, text_now),
    }
}

/// Such as `0.81 lb, read on 4 March 2026 08:30 (-06:00) with S-1`.
fn with_reading(text: &str, measured: &Measured) -> String {
    let at = measured.at.map_or_else(|| "at a time that is not recorded".to_owned(), |at| format!("on {at}"));
    let with = measured.instrument.as_ref().map(|mark| format!(" with {mark}")).unwrap_or_default();
    format!("{}, read {at}{with}", plain(text))
}

/// Whether two readings are of one instant: a thing had one value then, and another one was not read but written.
fn is_one_reading(spec: &FactSpec, before: &Value, now: Option<&Value>) -> bool {
    let (Value::Measured(before), Some(Value::Measured(now))) = (before, now) else { return false };
    matches!(spec.kind, FactKind::Reading(_)) && before.at.is_some() && before.at == now.at
}

/// Whether a fact is compared, and if so, whether a change of it parts the two records.
fn compared(spec: &FactSpec, key: FactKey, kept: Kept) -> Option<bool> {
    let Asked { holds_for, at, .. } = &spec.asked;
    let Kept::ForTheJob { seen_from } = kept else {
        return (spec.kind != FactKind::Planned).then_some(true);
    };
    // A reading is taken again, and a plan is changed.
    let lasts = *holds_for <= HoldsFor::Job && !matches!(spec.kind, FactKind::Reading(_) | FactKind::Planned);
    let judged_again = at.contains(&seen_from);
    let of_assembly = key.subject == Subject::Assembly;
    lasts.then_some(is_built_in(spec, key) || of_assembly && *holds_for == HoldsFor::Job && !judged_again)
}

/// Whether a fact is what an assembly is: another value there is another tyre, rim or wheel.
pub(in crate::checklist) fn is_built_in(spec: &FactSpec, key: FactKey) -> bool {
    key.subject == Subject::Assembly && spec.asked.holds_for == HoldsFor::Assembly && !FOUND_AGAIN.contains(&key)
}

/// Whether a value says what another said before: a log may have gone on, and what is written is compared by what it means.
fn keeps(before: &Value, now: &Value) -> bool {
    let set = |words: &[Box<str>]| words.iter().map(ToString::to_string).collect::<BTreeSet<_>>();
    match (before, now) {
        (Value::Text(before), Value::Text(now)) => names_one_thing(before, now),
        (Value::Words(before), Value::Words(now)) => set(before) == set(now),
        (Value::Log(before), Value::Log(now)) => before.iter().all(|row| now.contains(row)),
        (Value::Measured(before), Value::Measured(now)) => {
            (before.shown.base(), before.at, &before.instrument, before.stated)
                == (now.shown.base(), now.at, &now.instrument, now.stated)
        }
        (before, now) => before == now,
    }
}

#[cfg(test)]
mod tests;
