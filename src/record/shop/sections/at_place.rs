//! The instruments of a place: what those that stand on no list may be off, and the thermometer that hangs there.
//!
//! Gauges and thermometers go from place to place, and readings name them by mark. A scale and a hygrometer stay where they
//! are, and what is read on them names the place alone. Must not know how entries are put into a record.

use super::{BELONGS, Section, THERMOMETERS};
use crate::record::FactKey;
use crate::record::catalogue::{component, job};

/// An instrument of a place that no reading names: what it may be off stands with the place, in a group of its own.
#[derive(Debug)]
pub struct Unlisted {
    /// The group.
    pub group: &'static str,
    /// What is read on it.
    pub reads: FactKey,
    /// What its uncertainty is, for the schema and the template.
    pub about: &'static str,
    /// Its uncertainty as it would be written.
    pub example: &'static str,
}

/// Every such instrument.
pub const UNLISTED: &[Unlisted] = &[
    Unlisted {
        group: "scale",
        reads: component::ON_HAND,
        about: "How much the scale on which the containers are weighed here may be off.",
        example: "2 lb",
    },
    Unlisted {
        group: "hygrometer",
        reads: job::WORKSPACE_HUMIDITY,
        about: "How much the hygrometer that hangs here may be off, by its papers; where a data sheet asks for the humidity.",
        example: "3 %RH",
    },
];

/// The key of what an unlisted instrument may be off, in its group and in what is read on it.
pub const UNCERTAINTY: &str = "uncertainty";

/// The thermometer that hangs at a place: its section, and the key at the place and in a reading.
pub const WALL: (&Section, &str) = (&THERMOMETERS, "thermometer");

/// What is read on it where the reading names no other.
pub const READ_ON_WALL: FactKey = job::WORKSPACE_TEMPERATURE;

/// What that is, for the schema and the template.
pub const WALL_ABOUT: &str =
    "The mark of the thermometer that hangs here: the air was read on it where its reading names no other.";

/// Every entry that a place names by its mark, with the key under which it does.
pub fn named_by_place() -> impl Iterator<Item = (&'static Section, &'static str)> {
    BELONGS.iter().copied().chain([WALL])
}
