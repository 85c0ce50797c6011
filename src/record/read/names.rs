//! The names in a record: each is one of what it names, and none is only another text of the same record.
//!
//! What a name is made of, `vocabulary` says by kind. This module must not know which rule asks for a name.

use crate::document::{Code, Document, Fault, Path};
use crate::record::catalogue::{assembly, component, instruments, job, person, stages};
use crate::record::{Catalogue, Entity, FactKey, Job, Value};
use crate::units::Day;
use crate::vocabulary::{NameOf, PlainWords, misnomer, shown};

/// Every fact that names something, with what it names.
const NAMES: &[(FactKey, NameOf)] = &[
    (job::NUMBER, NameOf::Job),
    (job::PUMP_MARK, NameOf::Pump),
    (job::LIFTING_GEAR, NameOf::Gear),
    (job::CAGE_INSPECTED_BY, NameOf::Person),
    (job::ACCEPTED_BY, NameOf::Outsider),
    (assembly::MARK, NameOf::Tyre),
    (assembly::CASING_INSPECTED_BY, NameOf::Person),
    (assembly::WHEEL_INSPECTED_BY, NameOf::Person),
    (stages::SEATED_BY, NameOf::Person),
    (component::LOT, NameOf::Lot),
    (person::NAME, NameOf::Person),
    (instruments::gauge::MARK, NameOf::Instrument),
    (instruments::thermometer::MARK, NameOf::Instrument),
];

/// The texts with which a lot or a person is confused, and what they are.
const OTHERS: &[(FactKey, &str)] = &[
    (job::NUMBER, "the job"),
    (job::SITE, "the site"),
    (job::ORDER_SYSTEM, "the system that was ordered"),
    (job::SHEET, "the data sheet"),
    (job::PUMP_MARK, "the pump"),
    (job::LIFTING_GEAR, "the lifting gear"),
    (job::CURE_PLACE, "the place of the cure"),
    (assembly::MARK, "an assembly"),
    (component::SYSTEM, "the system"),
    (component::LOT, "a lot"),
    (person::NAME, "a person"),
    (instruments::gauge::MARK, "a gauge"),
    (instruments::thermometer::MARK, "a thermometer"),
];

/// One fault for each name that cannot be one.
pub(super) fn misnamed(document: &Document, catalogue: &Catalogue, job: &Job) -> Vec<Fault> {
    let texts: Vec<OtherText<'_>> = OTHERS
        .iter()
        .flat_map(|(key, what)| {
            entities(job, *key).filter_map(move |entity| {
                let text = entity.facts.text(*key)?;
                Some(OtherText { key: *key, text, words: PlainWords::of(text), what })
            })
        })
        .collect();
    let days: Vec<PlainWords> = days(job).iter().map(|day| PlainWords::of(day)).collect();
    let mut faults = Vec::new();
    for (key, of) in NAMES {
        for entity in entities(job, *key) {
            let Some(text) = entity.facts.text(*key) else { continue };
            let said = match misnomer(*of, text) {
                Some(why) => Some(format!("`{}` {why}, and cannot be the name of {}", shown(text), of.noun())),
                None => of_another((*key, *of, text), &texts, &days),
            };
            if let Some(message) = said {
                let place: Path = entity.path_of(catalogue, *key);
                let fault = Fault::new(Code::RecordMisnamed, message);
                faults.push(
                    fault.label(document.locate(&place).span, "here").help(of.due()).in_source(document.source()),
                );
            }
        }
    }
    faults
}

fn entities(job: &Job, key: FactKey) -> impl Iterator<Item = &Entity> {
    job.of(key.subject).unwrap_or(&[]).iter()
}

/// A text of the record with which a name is confused.
struct OtherText<'j> {
    key: FactKey,
    text: &'j str,
    words: PlainWords,
    /// What it is the name of.
    what: &'static str,
}

/// What else of the record a name is, in words.
fn of_another(
    (key, of, text): (FactKey, NameOf, &str),
    texts: &[OtherText<'_>],
    days: &[PlainWords],
) -> Option<String> {
    if !matches!(of, NameOf::Lot | NameOf::Person) {
        return None;
    }
    let words = PlainWords::of(text);
    // A lot or a person is looked for in what everything else is called, not in the list of its own.
    let mut others = texts.iter().filter(|other| other.key != key && (of == NameOf::Lot || other.key != person::NAME));
    if let Some(other) = others.find(|other| words.are_other(of, &other.words)) {
        return Some(format!("`{}` is {}, and cannot be the name of {}", shown(text), other.what, of.noun()));
    }
    if of == NameOf::Lot && days.iter().any(|day| words.are_other(of, day)) {
        return Some(format!("`{}` is a date of this record, and cannot be the name of a lot", shown(text)));
    }
    let mut people = texts.iter().filter(|other| of == NameOf::Person && other.key == person::NAME);
    let other = people.find(|other| words.point_at(&other.words))?;
    Some(format!("`{}` sends the reader to {}, and names nobody", shown(text), shown(other.text)))
}

/// The days of a record as labels have them, by which a lot may not be called: until when a container is good, and the day
/// of the job.
fn days(job: &Job) -> Vec<String> {
    let expires = entities(job, component::EXPIRES).filter_map(|entity| match entity.facts.get(component::EXPIRES) {
        Some(Value::Day(day)) => Some(*day),
        _ => None,
    });
    let start = job.whole().and_then(|whole| match whole.facts.get(job::PLANNED_START) {
        Some(Value::Instant(at)) => Some(at.day_as_written()),
        _ => None,
    });
    expires.chain(start).flat_map(written).collect()
}

/// A day in the orders in which it is printed, and its month.
fn written(day: Day) -> Vec<String> {
    let text = day.to_record_text();
    let mut parts = text.split('-');
    let (Some(year), Some(month), Some(of_month)) = (parts.next(), parts.next(), parts.next()) else {
        return vec![text];
    };
    vec![
        format!("{year} {month} {of_month}"),
        format!("{of_month} {month} {year}"),
        format!("{month} {of_month} {year}"),
        format!("{month} {year}"),
        format!("{year} {month}"),
        year.to_owned(),
    ]
}
