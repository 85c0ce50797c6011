//! Facts of one component: the isocyanate side or the polyol side.

use super::{Kind, Subject, facts, words};
use crate::units::Dimension;

facts! {
    Subject::Component;
    LOT = "lot", Kind::Text, "The lot number on the container.", "PS-118";
    EXPIRES = "expires", Kind::Day, "The last day on which the maker vouches for it.", "2026-11-30";
    CORE_TEMPERATURE = "core_temperature", Kind::Reading(Dimension::Temperature), "The temperature of the material in the core of its container, not at the wall.", "{reading: 74 degF, at: 2026-03-04T08:55:00-06:00, thermometer: T-1}";
    ON_HAND = "on_hand", Kind::Reading(Dimension::Mass), "How much of it is there for this job.", "420 lb";
    NEEDED = "needed", Kind::Quantity(Dimension::Mass), "How much of it the job takes by the maker's chart or a worked figure.", "362 lb";
    CONTAINER = "container", Kind::Choice(words!["sound", "bulging", "leaking"]), "The state of the container.", "sound";
    STORED = "stored", Kind::Choice(words!["indoors", "outdoors"]), "Where it has been kept.", "indoors";
    MOISTURE_GUARD_KIND = "moisture_guard.kind", Kind::Choice(words!["desiccant breather", "dry gas", "sealed", "none"]), "What keeps moist air out.", "desiccant breather";
    MOISTURE_GUARD_STATE = "moisture_guard.state", Kind::Choice(words!["active", "spent"]), "Whether it still works: the desiccant's colour, the gas pressure, the seal.", "active";
}
