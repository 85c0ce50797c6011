//! The names in a record: each is one of what it names, and none is only another text of the same record.
//!
//! What a name is made of, `vocabulary` says by kind. This module must not know which rule asks for a name.

mod values;

use crate::document::{Code, Document, Fault, Path};
use crate::record::catalogue::{assembly, component, instruments, job, person, stages};
use crate::record::{Catalogue, Entity, FactKey, Job, Value};
use crate::units::Day;
use crate::vocabulary::{Misnomer, NameOf, ONE_LOT, PlainWords, TyrePlace, misnomer, shown};

/// Every fact that names something, with what it names; of two that are one, the first is refused.
const NAMES: &[(FactKey, NameOf)] = &[
    (job::NUMBER, NameOf::Job),
    (job::SITE, NameOf::Site),
    (job::PUMP_MARK, NameOf::Pump),
    (job::LIFTING_GEAR, NameOf::Gear),
    (job::CURE_PLACE, NameOf::Place),
    // Whoever is in the list of people is told of there.
    (person::NAME, NameOf::Person),
    (job::ORDER_SYSTEM, NameOf::Sheet),
    (job::SHEET, NameOf::Sheet),
    (job::ACCEPTED_BY, NameOf::Outsider),
    (assembly::MARK, NameOf::Tyre),
    (assembly::TYRE_PUBLISHED_IN, NameOf::Document),
    (assembly::CASING_INSPECTED_BY, NameOf::Person),
    (assembly::WHEEL_INSPECTED_BY, NameOf::Person),
    (job::CAGE_INSPECTED_BY, NameOf::Person),
    (stages::SEATED_BY, NameOf::Person),
    (component::LOT, NameOf::Lot),
    (component::SYSTEM, NameOf::Sheet),
    (instruments::gauge::MARK, NameOf::Instrument),
    (instruments::thermometer::MARK, NameOf::Instrument),
];

/// The facts by which a record names somebody who may stand in its list of people.
pub(in crate::record) fn of_people() -> impl Iterator<Item = FactKey> {
    let names = NAMES.iter().filter(|(key, of)| *of == NameOf::Person && *key != person::NAME);
    names.map(|(key, _)| *key)
}

/// The facts by which a record says which thing of its kind it means: where another name stands, it is another thing.
pub fn of_things() -> impl Iterator<Item = FactKey> {
    let is_thing = |key: FactKey, of: NameOf| match of {
        NameOf::Site | NameOf::Pump | NameOf::Sheet | NameOf::Lot | NameOf::Tyre | NameOf::Instrument => true,
        // Anyone in the list of people is whom the entry is about; elsewhere a name tells who looked.
        NameOf::Person => key == person::NAME,
        // Gear and a place for the cure are chosen late, and what they can do is read where it is asked.
        NameOf::Job | NameOf::Outsider | NameOf::Document | NameOf::Gear | NameOf::Place => false,
    };
    NAMES.iter().filter(move |(key, of)| is_thing(*key, *of)).map(|(key, _)| *key)
}

/// The texts with which a name is confused, and what they are.
const OTHERS: &[(FactKey, &str)] = &[
    (job::NUMBER, "the job"),
    (job::SITE, "the site"),
    (job::ORDER_SYSTEM, "the system that was ordered"),
    (job::SHEET, "the data sheet"),
    (job::PUMP_MARK, "the pump"),
    (job::LIFTING_GEAR, "the lifting gear"),
    (job::CURE_PLACE, "the place of the cure"),
    (assembly::MARK, "an assembly"),
    (assembly::TYRE_SIZE, "the size of a tyre"),
    (component::SYSTEM, "the system"),
    (component::LOT, "a lot"),
    (person::NAME, "a person"),
    (instruments::gauge::MARK, "a gauge"),
    (instruments::thermometer::MARK, "a thermometer"),
];

/// Which fact takes what was found, where a name tells of it. Anyone who obeys must come to a record that says the
/// fault, or to another thing that has none.
const fn takes_state(of: NameOf) -> &'static str {
    match of {
        NameOf::Lot => {
            "write the lot alone; material that is spoilt or past its date is not pumped: a container that bulges or leaks goes into `container`, the date into `expires`, and for the rest take another container"
        }
        NameOf::Pump => {
            "write the mark alone; what is wrong with the mixer goes into `pump.mixer`, with the ratio into `pump.ratio_found`; a pump with another fault pumps nothing before it is put right"
        }
        NameOf::Tyre => {
            "write machine and place alone; what was found goes into `tyre.casing.damage`, `tyre.interior`, `rim`, `wheel.faults` or `valve.condition`; an assembly that was rejected is not filled"
        }
        NameOf::Instrument => {
            "write the mark alone; an instrument that is off or damaged reads nothing for this job: take readings again with one that is not"
        }
        NameOf::Gear => {
            "gear with a fault lifts nothing: put it out of use, and write another machine, with what that may lift in `handling.capacity`"
        }
        NameOf::Site => {
            "write the site alone; what is amiss there goes into `workspace`, such as `ventilated: false`, and is put right before the fill"
        }
        NameOf::Place => {
            "write the place alone; where it is not flat, or the wheels cannot be left in peace, that goes into `cure.flat`"
        }
        NameOf::Sheet | NameOf::Document => {
            "get the edition that is in force from its maker, take the numbers from that one, and write its title and edition"
        }
        NameOf::Job | NameOf::Person | NameOf::Outsider => {
            "write the number or the name alone; what is wrong is put right with whoever gave the order, before the fill"
        }
    }
}

/// What is done about a mark or a job number that is too long, or reads as two.
const ONE_EACH: &str = "write one number, or one machine and the place on it, in 80 characters or fewer and without a semicolon; \
                        each tyre has an entry and a mark of its own";

/// One fault for each name that cannot be one.
pub(super) fn misnamed(document: &Document, catalogue: &Catalogue, job: &Job) -> Vec<Fault> {
    let texts: Vec<OtherText<'_>> = OTHERS.iter().flat_map(|(key, what)| OtherText::all(job, *key, what)).collect();
    let days: Vec<PlainWords> = days(job).iter().map(|day| PlainWords::of(day)).collect();
    let mut faults = Vec::new();
    let mut told: Vec<(FactKey, &str)> = Vec::new();
    // A person looks at many things, and is that person at each of them.
    let mut people: Vec<&str> = Vec::new();
    let mut no_people: Vec<&str> = Vec::new();
    for (key, of) in NAMES {
        for entity in entities(job, *key) {
            let Some(text) = entity.facts.text(*key) else { continue };
            if *of == NameOf::Person && people.contains(&text) {
                continue;
            }
            // Of two that are one it is said once.
            if told.iter().any(|(of_other, other)| of_other == key && *other == text) {
                continue;
            }
            let (said, help) = match misnomer(*of, text) {
                Some(why @ Misnomer::State(_)) => (Some(format!("{why}")), takes_state(*of)),
                Some(Misnomer::Lots) => (Some(format!("{}", Misnomer::Lots)), ONE_LOT),
                Some(why @ (Misnomer::Long | Misnomer::InTwo)) => (Some(format!("{why}")), ONE_EACH),
                Some(why) => (Some(format!("{why}")), of.due()),
                None => (None, of.due()),
            };
            let by_itself = said.or_else(|| is_value(*of, text).map(|kind| format!("is {kind}")));
            let message = match by_itself {
                Some(why) => Some(format!("`{}` {why}, and cannot be the name of {}", shown(text), of.noun())),
                None => match of_another((*key, *of, text), &texts, &days) {
                    Some((message, other)) => {
                        told.extend(other.map(|other| (other.key, other.text)));
                        Some(message)
                    }
                    None => None,
                },
            };
            if message.is_none() && *of == NameOf::Person {
                people.push(text);
            }
            if let Some(message) = message {
                let place: Path = entity.path_of(catalogue, *key);
                let span = document.locate(&place).span;
                // A mark that stands for it is right: the name is put right where it is written.
                let stands_for = !document.source().slice(span).contains(text);
                if *of == NameOf::Person {
                    if stands_for && no_people.contains(&text) {
                        continue;
                    }
                    no_people.push(text);
                }
                let fault = Fault::new(Code::RecordMisnamed, message).apart_by(help);
                faults.push(fault.label(span, "here").help(help).in_source(document.source()));
            }
        }
    }
    faults
}

/// What kind of value a name is, where it is one. A person has no digit.
fn is_value(of: NameOf, text: &str) -> Option<&'static str> {
    let is_person = matches!(of, NameOf::Person | NameOf::Outsider);
    if is_person { None } else { values::kind_of_value(of, text) }
}

fn entities(job: &Job, key: FactKey) -> impl Iterator<Item = &Entity> {
    job.of(key.subject).unwrap_or(&[]).iter()
}

/// A text of the record with which a name is confused.
struct OtherText<'j> {
    key: FactKey,
    /// What it names, if anything.
    of: Option<NameOf>,
    text: &'j str,
    words: PlainWords,
    /// The words of the machine that a mark names; then those without its digits.
    machine: Option<[PlainWords; 2]>,
    /// What it is the name of.
    what: &'static str,
}

impl<'j> OtherText<'j> {
    fn all(job: &'j Job, key: FactKey, what: &'static str) -> impl Iterator<Item = Self> {
        let of = NAMES.iter().find(|(named, _)| *named == key).map(|(_, of)| *of);
        entities(job, key).filter_map(move |entity| {
            let text = entity.facts.text(key)?;
            let machine = (key == assembly::MARK).then(|| {
                let machine = TyrePlace::of(text).machine_text();
                [PlainWords::of(&machine), PlainWords::of(&without_digits(&machine))]
            });
            Some(Self { key, of, text, words: PlainWords::of(text), machine, what })
        })
    }
}

/// Whether one text may name a thing of both kinds: a hall is site and place of the cure, a paper is called by its
/// system, one device reads pressure and temperature, a machine with a tyre off lifts nothing but another of its name
/// may.
const fn may_share(one: NameOf, other: NameOf) -> bool {
    use NameOf::{Document, Gear, Instrument, Person, Place, Sheet, Site, Tyre};
    matches!(
        (one, other),
        (Site | Place, Site | Place)
            | (Sheet | Document, Sheet | Document)
            | (Instrument, Instrument)
            | (Tyre | Gear, Tyre | Gear)
            | (Site, Person)
    )
}

fn without_digits(text: &str) -> String {
    text.chars().filter(|c| !c.is_numeric()).collect()
}

/// What else of the record a name is, in words, and the other text where it is one that is judged as well.
fn of_another<'t, 'j>(
    (key, of, text): (FactKey, NameOf, &str),
    texts: &'t [OtherText<'j>],
    days: &[PlainWords],
) -> Option<(String, Option<&'t OtherText<'j>>)> {
    let words = PlainWords::of(text);
    let others = || texts.iter().filter(|other| other.key != key);
    let is = |what: &str| format!("`{}` is {what}, and cannot be the name of {}", shown(text), of.noun());
    match of {
        // A lot or a person is looked for in what everything else is called, not in the list of its own.
        NameOf::Lot | NameOf::Person => {
            // A size without its signs is a number like that of a lot.
            let mut others = others().filter(|other| match of {
                NameOf::Lot => other.key != assembly::TYRE_SIZE,
                _ => other.key != person::NAME,
            });
            let part = |other: &OtherText<'_>| {
                of == NameOf::Lot
                    && matches!(other.key, job::SHEET | job::SITE | job::ORDER_SYSTEM)
                    && words.are_part_of(of, &other.words)
            };
            if let Some(other) = others.find(|other| words.are_other(of, &other.words) || part(other)) {
                return Some((is(other.what), None));
            }
            if of == NameOf::Lot && days.iter().any(|day| words.are_other(of, day)) {
                return Some((is("a date of this record"), None));
            }
        }
        NameOf::Outsider => return None,
        _ => {
            // Only the name of a machine; of a document whichever of these machines.
            let told = (of == NameOf::Document).then(|| PlainWords::of(&without_digits(text)));
            let is_machine = |[machine, of_any]: &[PlainWords; 2]| match &told {
                Some(told) => told.are_other(of, of_any),
                None => words.are_other(of, machine),
            };
            let by_machine = matches!(of, NameOf::Document | NameOf::Pump | NameOf::Instrument | NameOf::Job);
            let names = |other: &&OtherText<'_>| {
                let shared = other.of.is_some_and(|kind| may_share(of, kind));
                let machine = || by_machine && other.machine.as_ref().is_some_and(is_machine);
                !shared && (words.are_other(of, &other.words) || machine())
            };
            let told_apart = words.tell_apart();
            if let Some(other) = others().find(|other| told_apart && names(other)) {
                let machine = !words.are_other(of, &other.words);
                return Some((is(if machine { "a machine of this record" } else { other.what }), Some(other)));
            }
        }
    }
    // `Ask Odile`, `as loader 4`; a sheet may begin with a word that points.
    let people = |other: &&OtherText<'_>| other.text != text && (of != NameOf::Person || other.key == person::NAME);
    let pointed = texts.iter().filter(people).filter(|_| !matches!(of, NameOf::Sheet | NameOf::Document));
    let other = pointed.into_iter().find(|other| words.point_at(&other.words))?;
    let names = if of == NameOf::Person { "nobody" } else { "nothing itself" };
    Some((format!("`{}` sends the reader to {}, and names {names}", shown(text), shown(other.text)), None))
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
