//! One thermometer that is told to have been in two places within one minute, or to have shown two airs: one of the two
//! readings was never taken, or was written down for another.
//!
//! Which places those are follows from the catalogue: every reading that names an instrument is one, and so is the air
//! beside a tyre. This module must not know what the readings are judged by.

use super::Contradiction;
use crate::record::catalogue::assembly::{self, pre_stretch_row};
use crate::record::catalogue::{component, job as whole};
use crate::record::{Entity, FactKey, FactKind, Job, Measured};
use crate::units::{Dimension, Exact, Instant};
use crate::vocabulary::Subject;

/// Seconds within which nobody takes a thermometer out of one place and reads it in another: it takes minutes to settle
/// (common practice, no source).
const ONE_MINUTE: i64 = 60;
/// Kelvin by which the air beside two tyres may differ for one thermometer within a minute: a hall is as much warmer
/// under its roof than at its floor (common practice, no source).
const ONE_AIR: i64 = 4;

/// A reading with the thermometer that took it.
struct Taken<'j> {
    entity: &'j Entity,
    key: FactKey,
    thermometer: &'j str,
    at: Instant,
    reading: &'j Measured,
    /// Whether it is of air, which is the same in several places.
    of_air: bool,
}

/// Refuses each first pair of readings of one thermometer that were not both taken.
pub(super) fn one_thermometer_in_two(found: &mut Contradiction<'_>, job: &Job) {
    let mut taken: Vec<Taken<'_>> = single(found, job);
    taken.extend(rows(job));
    taken.sort_by(|one, other| (one.thermometer, one.at).cmp(&(other.thermometer, other.at)));
    let mut told: Vec<(&str, FactKey, &str)> = Vec::new();
    for (index, this) in taken.iter().enumerate() {
        let later = taken.iter().skip(index + 1);
        let near = later.take_while(|other| {
            other.thermometer == this.thermometer && other.at.seconds_since(this.at) < Exact::from_int(ONE_MINUTE)
        });
        let near: Vec<&Taken<'_>> =
            near.filter(|other| clash(this, other) && !of_one_round(found, this, other)).collect();
        for other in near {
            // Two logs of a night have many rows of one minute; one pair says it.
            let pair = |one: &Taken<'_>, other: &Taken<'_>| {
                told.iter().any(|(mark, key, label)| {
                    *mark == this.thermometer && *key == one.key && *label == other.entity.label.as_str()
                })
            };
            if pair(this, other) || pair(other, this) {
                continue;
            }
            refuse(found, this, other);
            told.push((this.thermometer, this.key, other.entity.label.as_str()));
        }
    }
}

/// Whether the time of both is written once, for a round: two drums that one stamp dates were read one after the other. What
/// was in a drum was in no air all the same.
fn of_one_round(found: &Contradiction<'_>, one: &Taken<'_>, other: &Taken<'_>) -> bool {
    let written = |taken: &Taken<'_>| {
        let at = taken.entity.path_of(found.catalogue, taken.key).child("at");
        found.document.locate(&at).span
    };
    let single = one.key != assembly::PRE_STRETCH_LOG && other.key != assembly::PRE_STRETCH_LOG;
    let of_drum = |taken: &Taken<'_>| taken.key == component::CORE_TEMPERATURE;
    single && written(one) == written(other) && !(of_drum(one) && other.of_air || of_drum(other) && one.of_air)
}

/// Whether two readings of one thermometer within a minute cannot both be.
fn clash(one: &Taken<'_>, other: &Taken<'_>) -> bool {
    let same_place = one.key == other.key && std::ptr::eq(one.entity, other.entity);
    if same_place {
        return false;
    }
    let apart = one.reading.shown.base().checked_sub(other.reading.shown.base()).map(Exact::abs);
    let differs = apart.is_none_or(|apart| apart > Exact::from_int(ONE_AIR));
    if one.of_air && other.of_air {
        return differs;
    }
    // Two drums, or two casings, are read one after the other and written with one minute, and stood in one room: that
    // they are alike is no sign of a number that was copied.
    one.key != other.key
}

fn refuse(found: &mut Contradiction<'_>, one: &Taken<'_>, other: &Taken<'_>) {
    let labels = [
        (found.place(one.entity, one.key), "by this thermometer here"),
        (found.place(other.entity, other.key), "and here within the same minute"),
    ];
    let message = if one.of_air && other.of_air {
        "one thermometer showed two airs at once"
    } else {
        "one thermometer was in two places at once"
    };
    found.refuse(
        message.to_owned(),
        labels,
        "write for each reading when it was taken and with which thermometer, or at the place in the shop file which one hangs there; what nobody read, read now",
    );
}

/// The readings that name their thermometer.
fn single<'j>(found: &Contradiction<'_>, job: &'j Job) -> Vec<Taken<'j>> {
    let mut taken = Vec::new();
    for subject in [Subject::Job, Subject::Component, Subject::Assembly] {
        for key in found.catalogue.keys_of(subject) {
            // What no thermometer reads was in no place with one.
            let of_thermometer = |kind: &FactKind| matches!(kind, FactKind::Reading(Dimension::Temperature));
            if !found.catalogue.spec(key).is_some_and(|spec| of_thermometer(&spec.kind)) {
                continue;
            }
            for entity in job.of(subject).unwrap_or(&[]) {
                let reading = entity.facts.measured(key);
                let by = reading.and_then(|reading| Some((reading, reading.instrument.as_deref()?, reading.at?)));
                let of_thermometer =
                    |mark: &str| job.of(Subject::Thermometer).unwrap_or(&[]).iter().any(|one| one.label == mark);
                if let Some((reading, thermometer, at)) = by.filter(|(_, mark, _)| of_thermometer(mark)) {
                    let of_air = key == whole::WORKSPACE_TEMPERATURE;
                    taken.push(Taken { entity, key, thermometer, at, reading, of_air });
                }
            }
        }
    }
    taken
}

/// The rows of the logs of air beside the tyres.
fn rows(job: &Job) -> impl Iterator<Item = Taken<'_>> {
    job.of(Subject::Assembly).unwrap_or(&[]).iter().flat_map(|entity| {
        let thermometer = entity.facts.text(assembly::PRE_STRETCH_THERMOMETER);
        let log = entity.facts.log(assembly::PRE_STRETCH_LOG).unwrap_or(&[]);
        log.iter().filter_map(move |row| {
            let reading = row.get(pre_stretch_row::AIR)?;
            let key = assembly::PRE_STRETCH_LOG;
            Some(Taken { entity, key, thermometer: thermometer?, at: row.at, reading, of_air: true })
        })
    })
}
