//! How the value of a fact comes about, and so what a cure may ask of it: only what people bring about by work or by choice
//! has a value to be reached. Of everything else a cure says what is to be done, and never what is to be written.
//!
//! Must not know rules.

use super::instruments::{gauge, thermometer};
use super::stages::SHOWN_BY_A_FILL;
use super::{Catalogue, GIVEN, READ_OFF, assembly, component, job, person, stages};
use crate::record::{FactKey, FactKind};
use crate::vocabulary::{HoldPoint, Subject, one_list};

/// How the value of a fact comes about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Comes {
    /// People set, supply, choose or wait for it.
    Made,
    /// It stands on a thing or in its papers: the thing can be exchanged, and what stands on it only read.
    Stamped(Thing),
    /// Somebody looked, measured, counted or asked.
    Found,
    /// Somebody has put a name under what was done or seen.
    Signed,
    /// It was done then.
    Done,
    /// It belongs to a fill that is over: nobody can change it.
    Past,
    /// Rows that were read one after the other.
    Logged,
}

/// A thing of which one can take another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thing {
    /// The tyre.
    Tyre,
    /// The rim.
    Rim,
    /// The wheel.
    Wheel,
    /// The containers of a side, with their data sheet.
    Container,
    /// The data sheet of the mix, that is, another mix.
    Mix,
    /// A pressure gauge.
    Gauge,
    /// A thermometer.
    Thermometer,
    /// The hygrometer.
    Hygrometer,
    /// The cage or barrier.
    Cage,
    /// What is lifted with.
    Gear,
    /// A person.
    Person,
}

impl Thing {
    /// Whether it holds the filling, or is part of it, once the pump has stopped.
    pub const fn is_filled(self) -> bool {
        matches!(self, Self::Tyre | Self::Rim | Self::Wheel | Self::Container | Self::Mix)
    }
}

/// What people bring about on this job: a cure may name the value to be reached. Nothing is among it whose value a
/// maker gives, such as a torque: nuts are tightened to what the manual says, and to no number of a report.
const MADE: &[FactKey] = &[
    job::PLANNED_START,
    job::PUMP_CYCLE_TIME,
    job::PUMP_STOPS_AT,
    job::STAND_OFF,
    job::HOSE_LENGTH,
    job::REGULATOR,
    job::WORKSPACE_TEMPERATURE,
    job::SOLVENT_ON_HAND,
    job::CURE_PLANNED,
    assembly::TARGET_PRESSURE,
    assembly::TARGET_GAUGE,
    component::CORE_TEMPERATURE,
    component::ON_HAND,
];

/// What belongs to a fill that is over.
const PAST: &[FactKey] = &one_list::<_, { WHEN_PAST.len() + SHOWN_BY_A_FILL.len() }>(&[WHEN_PAST, SHOWN_BY_A_FILL]);

/// When it happened.
const WHEN_PAST: &[FactKey] =
    &[assembly::ACT_AIR, assembly::ACT_FILL, assembly::ACT_OFF_STAND, stages::FILL_ENDED, job::SAMPLE_TAKEN];

/// What was looked up, weighed, worked out or asked, although it is given: looking again finds it.
const LOOKED_UP: &[FactKey] = &[
    assembly::TYRE_RAN_FLAT,
    assembly::TARGET_OPERATING_PRESSURE,
    assembly::TARGET_LOAD,
    assembly::WHEEL_MASS,
    assembly::WHEEL_NUT_TORQUE,
    assembly::TYRE_MASS,
    stages::MOUNTING_SEATING_PRESSURE,
    component::NEEDED,
    component::PRICE,
    component::PRICE_FOR,
    job::PUMP_MASS_PER_CYCLE,
    job::PUMP_PRIMING,
    job::ORDER_SYSTEM,
    person::NAME,
    job::SAMPLE_HARDNESS,
    gauge::MARK,
    thermometer::MARK,
];

/// What people still bring about when the tyre is full. All else that they set for the fill is past by then.
const STILL_MADE: &[FactKey] = &[job::CURE_PLANNED, job::SOLVENT_ON_HAND];

/// What is still seen to while a tyre that is full sets: who stands near it, what carries its machine, and how it lies.
const WHILE_IT_SETS: &[FactKey] = &[job::PEOPLE_CLEAR, job::CAGE_ON_SUPPORTS, job::CURE_FLAT];

/// What tells how much a cycle of the pump moves: after the fill a new calibration would change the count of what went in.
const COUNTS_THE_FILL: &[FactKey] = &[job::PUMP_MASS_PER_CYCLE, job::PUMP_PRIMING];

/// What nobody makes less to be rid of a finding: it keeps people away from what may burst, or gives a filling its time.
pub const NEVER_LESS: &[FactKey] = &[job::STAND_OFF, job::HOSE_LENGTH, job::CURE_PLANNED];

/// What nobody makes greater to be rid of a finding: a bead that is seated by more air than was planned may burst.
pub const NEVER_MORE: &[FactKey] = &[stages::MOUNTING_SEATING_PRESSURE];

impl Catalogue {
    /// Whether a fact says what a fill was to meet: its target, and the load behind it. Once the tyre is full nobody moves
    /// it to what came out.
    pub fn is_yardstick(&self, key: FactKey) -> bool {
        key.subject == Subject::Assembly && self.spec(key).is_some_and(|spec| spec.name.starts_with("target."))
    }

    /// Whether a fact says how the cycles of a fill are counted. Once the tyre is full nobody measures it again.
    pub fn counts_the_fill(&self, key: FactKey) -> bool {
        COUNTS_THE_FILL.contains(&key)
    }

    /// Whether a fact of an assembly that is on record says that it is, or is being, filled.
    pub fn tells_of_a_fill(&self, key: FactKey) -> bool {
        let of_a_stage = |name: &str| ["fill.", "refit."].iter().any(|stage| name.strip_prefix(stage).is_some());
        key == assembly::ACT_FILL
            || key == assembly::ACT_OFF_STAND
            || key.subject == Subject::Assembly && self.spec(key).is_some_and(|spec| of_a_stage(&spec.name))
    }

    /// How the value of a fact comes about at a hold point: what was set, seen or fitted for the fill is past once the tyre
    /// is full.
    pub fn comes_at(&self, key: FactKey, point: HoldPoint) -> Comes {
        match self.comes(key) {
            // Before air goes in it is planned, and from then on it was done.
            _ if key == stages::MOUNTING_SEATING_PRESSURE && point == HoldPoint::BeforeAir => Comes::Made,
            // Another hoist lifts what is full as well, and it can still be laid flat while it sets.
            Comes::Stamped(Thing::Gear) => Comes::Stamped(Thing::Gear),
            Comes::Found if point == HoldPoint::AfterFill && WHILE_IT_SETS.contains(&key) => Comes::Found,
            // Nobody plans a start that has been.
            Comes::Made if key == job::PLANNED_START && point >= HoldPoint::AfterFill => Comes::Past,
            // All else that was so before the tyre was full can only have been written wrong: nothing of it is done again.
            _ if point >= HoldPoint::AfterFill && self.is_over(key) && !STILL_MADE.contains(&key) => Comes::Past,
            comes => comes,
        }
    }

    /// Whether a fact is asked only before the fill is over.
    fn is_over(&self, key: FactKey) -> bool {
        self.spec(key).is_some_and(|spec| spec.asked.at.iter().all(|point| *point < HoldPoint::AfterFill))
    }

    /// How the value of a fact comes about. What no list names is found: of it no cure says a value.
    pub fn comes(&self, key: FactKey) -> Comes {
        let Some(spec) = self.spec(key) else { return Comes::Found };
        if MADE.contains(&key) {
            return Comes::Made;
        }
        if PAST.contains(&key) {
            return Comes::Past;
        }
        let is_given = (GIVEN.contains(&key) || READ_OFF.contains(&key)) && !LOOKED_UP.contains(&key);
        if let Some(thing) = thing(key, &spec.name).filter(|_| is_given) {
            return Comes::Stamped(thing);
        }
        match spec.kind {
            FactKind::Log(_) => Comes::Logged,
            FactKind::Event | FactKind::Planned | FactKind::Day => Comes::Done,
            FactKind::Text if spec.name.ends_with(".by") => Comes::Signed,
            _ => Comes::Found,
        }
    }
}

/// The thing on which a fact stands.
fn thing(key: FactKey, name: &str) -> Option<Thing> {
    match key.subject {
        Subject::Assembly => {
            let group = name.split('.').next()?;
            [("tyre", Thing::Tyre), ("rim", Thing::Rim), ("wheel", Thing::Wheel)]
                .into_iter()
                .find_map(|(word, thing)| (word == group).then_some(thing))
        }
        Subject::Component => Some(Thing::Container),
        Subject::Gauge => Some(Thing::Gauge),
        Subject::Thermometer => Some(Thing::Thermometer),
        Subject::Person => Some(Thing::Person),
        Subject::Job if key == job::CAGE_RATING => Some(Thing::Cage),
        Subject::Job if key == job::LIFTING_CAPACITY => Some(Thing::Gear),
        Subject::Job if key == job::HYGROMETER_DUE => Some(Thing::Hygrometer),
        Subject::Job => name.starts_with("mix.").then_some(Thing::Mix),
    }
}

/// What has spoilt a thing for good: another one takes its place, and nobody goes to look at it again.
pub fn spoils(key: FactKey) -> Option<Thing> {
    match key {
        component::CONTAINER | component::STORED | component::ON_PUMP_SINCE => Some(Thing::Container),
        assembly::VENT_THROUGH => Some(Thing::Tyre),
        _ => None,
    }
}

/// What runs away while somebody reads: what is open or leaks, who stands in the path, what burns. It is dealt with before
/// everything else.
pub const RUNS_AWAY: &[FactKey] =
    &[stages::FILL_CLOSED, job::PEOPLE_CLEAR, job::IGNITION_SOURCES, job::SOLVENT_CLOSED, component::CONTAINER];

/// What can be put right only while what is in the tyre still flows.
pub const WHILE_IT_FLOWS: &[FactKey] = &[
    stages::FILL_STROKES,
    stages::FILL_MASS,
    stages::FILL_FINAL,
    stages::FILL_VENT_CLEAR,
    stages::FILL_CLOSED,
    job::SAMPLE_TAKEN,
];

#[cfg(test)]
mod tests {
    use super::*;

    /// What a plate, a label, a look, a person or the past has said has no value to be reached; the lists name no fact
    /// twice.
    #[test]
    fn only_what_people_bring_about_has_a_value_to_be_reached() {
        let catalogue = Catalogue::default();
        for key in catalogue.keys() {
            let lists = [MADE, PAST, LOOKED_UP].iter().filter(|list| list.contains(&key)).count();
            assert!(lists <= 1, "{}", catalogue.full_name(key));
            let is_given = GIVEN.contains(&key) || READ_OFF.contains(&key);
            assert!(!(is_given && catalogue.comes(key) == Comes::Made), "{}", catalogue.full_name(key));
        }
        assert_eq!(catalogue.comes(assembly::RIM_BEAD_DIAMETER), Comes::Stamped(Thing::Rim));
        assert_eq!(catalogue.comes(component::CONTAINER), Comes::Found);
        assert_eq!(catalogue.comes(assembly::CASING_INSPECTED_BY), Comes::Signed);
        assert_eq!(catalogue.comes(assembly::CASING_INSPECTED_AT), Comes::Done);
        assert_eq!(catalogue.comes(component::CORE_TEMPERATURE), Comes::Made);
    }
}
