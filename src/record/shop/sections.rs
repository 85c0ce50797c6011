//! What a shop file may hold: its sections, and for each where in a record its entries go and which facts they may state.
//!
//! Which facts those are follows from the rows of the catalogue: an entry lasts, so it may state what holds at least as
//! long as the section says. The exceptions are listed by their keys, each with its reason. This module must not know how
//! entries are put into a record.

mod at_place;
mod home;
mod looks;
mod today;

pub use at_place::{READ_ON_WALL, UNCERTAINTY, UNLISTED, Unlisted, WALL, WALL_ABOUT, named_by_place};
pub use home::{DAY_SECTIONS, Home, ROUTINES, Routine, day_takes, mix_takes, round_takes};
pub use looks::{FOUND, Find, LOOKED, NOTHING_FOUND, OFF_RIM, SEATED, is_alike};
pub use today::{GOES_WITH, IDENTIFIES, OF_THIS_JOB, comes_days_later};

use crate::record::catalogue::{HoldsFor, assembly, component, job, person};
use crate::record::{FactKey, FactSpec};
use crate::vocabulary::Subject;

/// A list of entries of a shop file, each called by its mark.
#[derive(Debug, PartialEq, Eq)]
pub struct Section {
    /// The key in the shop file.
    pub key: &'static str,
    /// The word for one entry.
    pub one: &'static str,
    /// What it holds, for the schema and the template.
    pub about: &'static str,
    /// A mark as it would be written.
    pub example: &'static str,
    /// Whose facts its entries state.
    pub subject: Subject,
    /// The dotted place within the subject at which an entry begins, with its final dot; empty for the subject itself.
    pub base: &'static str,
    /// The places below it that an entry may state facts of; an empty word is all of them.
    groups: &'static [&'static str],
    /// A fact must hold at least as long as this.
    least: HoldsFor,
    /// Facts that may stand in an entry although their rows say that they hold for less.
    also: &'static [FactKey],
    /// Facts that may not stand in an entry although their rows say that they hold as long.
    but: &'static [FactKey],
    /// The name, below `base`, of the fact that the mark is; nothing where marks are of the shop file alone.
    pub mark_is: Option<&'static str>,
    /// The key by which a mapping in the record names an entry.
    pub named_by: &'static str,
}

impl Section {
    /// The name of a fact within an entry; nothing where it is of none.
    pub fn within<'n>(&self, name: &'n str) -> Option<&'n str> {
        // To compare nothing with nothing takes longer than anything else here.
        if self.base.is_empty() { Some(name) } else { name.strip_prefix(self.base) }
    }

    /// Whether an entry may state a fact.
    pub fn takes(&self, key: FactKey, spec: &FactSpec) -> bool {
        // Some thousands of times asked for one record, and mostly answered by what is looked at first.
        let lasts = spec.asked.holds_for <= self.least;
        if key.subject != self.subject || !(lasts || self.also.contains(&key)) {
            return false;
        }
        let Some(rest) = self.within(&spec.name) else {
            return lasts && spec.name.starts_with("local.");
        };
        self.mark_is != Some(rest)
            && !self.but.contains(&key)
            && (rest.starts_with("local.")
                || self.groups.iter().any(|group| group.is_empty() || rest.starts_with(group)))
    }
}

/// What the tables of sections share.
const PLAIN: Section = Section {
    key: "",
    one: "",
    about: "",
    example: "",
    subject: Subject::Job,
    base: "",
    groups: &[""],
    least: HoldsFor::Shop,
    also: &[],
    but: &[],
    mark_is: None,
    named_by: "mark",
};

/// The people of the shop.
pub const CREW: Section = Section {
    key: "crew",
    one: "person",
    about: "The people of the shop, with their training and fitness. Leave the role out for whoever has another one from job to job; the record then says it.",
    example: "OV",
    subject: Subject::Person,
    // Those who do the same on every job; where it changes, the record says it.
    also: &[person::ROLE],
    ..PLAIN
};

/// Where fills are done.
pub const PLACES: Section = Section {
    key: "places",
    one: "place",
    about: "The places in which fills are done, each with what does not change there, and the pump, cage, lifting gear and instruments that belong to it.",
    example: "EB",
    groups: &["site", "workspace.", "air_stage.", "cure.", "hygrometer."],
    // The floor on which assemblies cure, and for how long the shop leaves them there, come with the place.
    also: &[job::CURE_PLACE, job::CURE_FLAT, job::CURE_PLANNED],
    ..PLAIN
};

/// The pumps.
pub const PUMPS: Section = Section {
    key: "pumps",
    one: "pump",
    about: "The metering pumps, with what their own calibration says.",
    example: "P-1",
    base: "pump.",
    mark_is: Some("mark"),
    ..PLAIN
};

/// Cages and barriers.
pub const CAGES: Section = Section {
    key: "cages",
    one: "cage",
    about: "The cages and barriers; one that is rated otherwise for other wheels has an entry for each rating.",
    example: "C-1",
    base: "cage.",
    // The plate of a cage lasts as long as the cage; the wheels it is meant for tell its entries apart.
    also: &[job::CAGE_RATING],
    ..PLAIN
};

/// What assemblies are lifted with.
pub const LIFTING: Section = Section {
    key: "lifting",
    one: "lifting gear",
    about: "What filled assemblies are lifted and carried with.",
    example: "FL-2",
    base: "handling.",
    // A job chooses its gear; what the gear is and may lift lasts.
    also: &[job::LIFTING_GEAR, job::LIFTING_CAPACITY],
    ..PLAIN
};

/// Pressure gauges.
pub const GAUGES: Section = Section {
    key: "gauges",
    one: "gauge",
    about: "The pressure gauges, with scale, class and calibration.",
    example: "G-2",
    subject: Subject::Gauge,
    mark_is: Some("mark"),
    ..PLAIN
};

/// Thermometers.
pub const THERMOMETERS: Section = Section {
    key: "thermometers",
    one: "thermometer",
    about: "The thermometers, with scale, uncertainty and calibration.",
    example: "T-1",
    subject: Subject::Thermometer,
    mark_is: Some("mark"),
    ..PLAIN
};

/// Two-part systems by their data sheets.
pub const MATERIALS: Section = Section {
    key: "materials",
    one: "material",
    about: "The two-part systems, each side with what its data sheet and price list say.",
    example: "firm 55",
    subject: Subject::Component,
    // What a data sheet and a price list say is copied once, not for every job.
    also: &[
        component::SHEET_LEAST,
        component::SHEET_MOST,
        component::SETTLES,
        component::DENSITY,
        component::DENSITY_AT,
        component::EXPANSION,
        component::PARTS,
        component::PARTS_BY_VOLUME,
        component::PRICE,
        component::PRICE_FOR,
    ],
    ..PLAIN
};

/// Containers as received.
pub const LOTS: Section = Section {
    key: "lots",
    one: "lot",
    about: "The lots as they were received: which side of which material, until when it is good, and how its container is kept.",
    example: "PS-118",
    subject: Subject::Component,
    // What the label says, how much a full container holds, and what was fitted when the container was opened; its
    // state is looked at each day.
    also: &[
        component::SYSTEM,
        component::EXPIRES,
        component::ON_PUMP_SINCE,
        component::CONTAINER_SIZE,
        component::MOISTURE_GUARD_KIND,
    ],
    mark_is: Some("lot"),
    named_by: "lot",
    ..PLAIN
};

/// Cards of tyres.
pub const TYRES: Section = Section {
    key: "tyres",
    one: "tyre card",
    about: "Cards of tyres that come again, by make and type: what is moulded into the sidewall. Whoever names one has read the sidewall and found it the same.",
    example: "tip floor 17.5-25",
    subject: Subject::Assembly,
    base: "tyre.",
    least: HoldsFor::Assembly,
    but: &[assembly::TYRE_STATE],
    named_by: "card",
    ..PLAIN
};

/// Cards of wheels.
pub const WHEELS: Section = Section {
    key: "wheels",
    one: "wheel card",
    about: "Cards of wheels that come again: rim, rings and disc with their ratings. Whoever names one has found the stamping the same.",
    example: "L4 front",
    subject: Subject::Assembly,
    groups: &["rim.", "wheel.", "flap."],
    least: HoldsFor::Assembly,
    named_by: "card",
    ..PLAIN
};

/// Cards of machines.
pub const MACHINES: Section = Section {
    key: "machines",
    one: "machine card",
    about: "Cards of places on machines: the load, the pressure that it needs there, and who says so.",
    example: "loader 4 front",
    subject: Subject::Assembly,
    groups: &["target."],
    // What a manual says of a machine is the same on every job.
    also: &[
        assembly::TARGET_OPERATING_PRESSURE,
        assembly::TARGET_LOAD,
        assembly::TARGET_LOCAL_LIMIT,
        assembly::TARGET_FROM,
    ],
    named_by: "card",
    ..PLAIN
};

/// The key under which the card of a machine says for which further machines it is good.
pub const MACHINES_OF: &str = "of";

/// Every section whose entries are called by mark, in the order of the template.
pub const SECTIONS: &[&Section] =
    &[&CREW, &PLACES, &PUMPS, &CAGES, &LIFTING, &GAUGES, &THERMOMETERS, &MATERIALS, &LOTS, &TYRES, &WHEELS, &MACHINES];

/// What a place may name besides its facts: the entries that belong to it.
pub const BELONGS: &[(&Section, &str)] = &[(&PUMPS, "pump"), (&CAGES, "cage"), (&LIFTING, "handling")];

/// The instruments that readings name, with the key by which they do.
pub const INSTRUMENTS: &[(&Section, &str)] =
    &[(&GAUGES, Subject::Gauge.word()), (&THERMOMETERS, Subject::Thermometer.word())];

/// Where a material says what its data sheet says of the mix: a group of facts of the job.
pub const MIX: &str = "mix";
