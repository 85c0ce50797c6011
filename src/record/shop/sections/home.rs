//! Where a shop that has a shop file states a fact: in the record, in an entry, in the log of routines, or on a sheet.
//!
//! Must not know how entries are put into a record.

use super::{CREW, GAUGES, LOTS, MATERIALS, PLACES, PUMPS, SECTIONS, Section, THERMOMETERS};
use crate::record::catalogue::instruments::{gauge, thermometer};
use crate::record::catalogue::{HoldsFor, component, job, person};
use crate::record::{Catalogue, FactKey, FactKind, FactSpec};

/// Something that is done from time to time and written into the log of routines.
#[derive(Debug, PartialEq, Eq)]
pub struct Routine {
    /// What was done, in the words of the log.
    pub did: &'static str,
    /// What it was done to.
    pub section: &'static Section,
    /// The fact that the latest row states.
    pub fact: FactKey,
    /// Whether the row states the fact under `due`; else the fact is when it was done.
    pub states_due: bool,
    /// What the row states under `found`: the fact that is what the check showed.
    pub found: Option<FactKey>,
}

/// Every routine.
pub const ROUTINES: &[Routine] = &[
    Routine::of("eyewash run", &PLACES, job::EYEWASH_RUN),
    Routine::of("extinguisher checked", &PLACES, job::EXTINGUISHER_CHECKED),
    Routine::of("pump exercised", &PUMPS, job::PUMP_EXERCISED),
    Routine { found: Some(job::PUMP_RATIO_FOUND), ..Routine::of("ratio checked", &PUMPS, job::PUMP_RATIO_CHECKED) },
    Routine::of("training reviewed", &CREW, person::TRAINING_REVIEWED),
    Routine { states_due: true, ..Routine::of("hygrometer calibrated", &PLACES, job::HYGROMETER_DUE) },
    Routine { states_due: true, ..Routine::of("gauge calibrated", &GAUGES, gauge::CALIBRATION_DUE) },
    Routine { states_due: true, ..Routine::of("thermometer calibrated", &THERMOMETERS, thermometer::CALIBRATION_DUE) },
];

impl Routine {
    const fn of(did: &'static str, section: &'static Section, fact: FactKey) -> Self {
        Self { did, section, fact, states_due: false, found: None }
    }

    /// A row of the log as it would be written, for an entry and a time.
    pub fn row(&self, mark: &str, at: &str) -> String {
        let due = if self.states_due { ", due: " } else { "" };
        let found = if self.found.is_some() { ", found: " } else { "" };
        format!("- {{did: {}, of: {mark}, at: {at}, by: {due}{found}}}", self.did)
    }

    /// Whether the row of this routine is the place of a fact, which no entry need state.
    pub fn is_of(key: FactKey) -> bool {
        ROUTINES.iter().any(|routine| routine.fact == key || routine.found == Some(key))
    }
}

/// Where a shop that has a shop file states a fact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Home {
    /// In the record: it is of this job.
    Record,
    /// In the entry that the record names.
    Entry(&'static Section),
    /// In a row of the log of routines, on the entry that the record names: the latest one counts.
    Routine(&'static Routine),
    /// On the sheet of the day, or on the round that it names.
    Day,
}

impl Home {
    /// Where a fact is stated.
    pub fn of(catalogue: &Catalogue, key: FactKey) -> Self {
        if let Some(routine) = ROUTINES.iter().find(|routine| routine.fact == key || routine.found == Some(key)) {
            return Self::Routine(routine);
        }
        let Some(spec) = catalogue.spec(key) else { return Self::Record };
        // What a material says, its lots say not.
        let mut sections = SECTIONS.iter().copied().filter(|section| section.subject == key.subject);
        match sections.find(|section| section.takes(key, spec)) {
            Some(section) => Self::Entry(section),
            None if mix_takes(key, spec) => Self::Entry(&MATERIALS),
            None if day_takes(key, spec) => Self::Day,
            None => Self::Record,
        }
    }
}

/// Facts that a round may state although they hold for the job: the person who walks round in the morning sees the
/// papers lie there, the cups for the samples stand ready, and where the long probe stands in the drum.
const SEEN_ON_ROUNDS: &[FactKey] =
    &[job::DATA_SHEETS_AT_HAND, job::RIM_CHARTS_AT_HAND, job::SAMPLE_PREPARED, component::READ_AT];

/// Whether a round may state a fact: what holds for the day.
pub fn round_takes(key: FactKey, spec: &FactSpec) -> bool {
    let inspected = [job::CAGE_INSPECTED_AT, job::CAGE_INSPECTED_BY].contains(&key);
    !inspected && (spec.asked.holds_for == HoldsFor::Day || SEEN_ON_ROUNDS.contains(&key))
}

/// Whether the sheet of a day may state a fact: what holds for the day, and readings, which carry their own time and age by
/// the rules.
pub fn day_takes(key: FactKey, spec: &FactSpec) -> bool {
    let reading = matches!(spec.kind, FactKind::Reading(_)) && spec.asked.holds_for == HoldsFor::HoldPoint;
    spec.asked.holds_for == HoldsFor::Day || reading || SEEN_ON_ROUNDS.contains(&key)
}

/// Whether the entry of a material may state a fact of the mix.
pub fn mix_takes(_: FactKey, spec: &FactSpec) -> bool {
    spec.name.starts_with("mix.")
}

/// The sections of which the sheet of a day may state facts by mark, with the key there.
pub const DAY_SECTIONS: &[&Section] = &[&CREW, &LOTS];
