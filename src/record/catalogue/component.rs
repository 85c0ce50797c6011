//! Facts of one component: the isocyanate side or the polyol side.
//!
//! Must not know rules.

use super::{FactKind, FactSpec, Subject, facts, log_row, words};
use crate::units::Dimension;

facts! {
    Subject::Component;
    LOT = "lot", FactKind::Text, "The lot number on the container.", "PS-118", Job, FILL, Drums;
    EXPIRES = "expires", FactKind::Day, "The last day for which its maker guarantees it.", "2026-11-30", Job, FILL, Drums;
    ON_PUMP_SINCE = "on_pump_since", FactKind::Event, "When the pump first drew on this lot.", "2026-03-02T15:50:00-06:00", Job, FILL, Drums;
    CORE_TEMPERATURE = "core_temperature", FactKind::Reading(Dimension::Temperature), "The temperature of the material in the core of its container, not at the wall; where the fill opens several containers, of the one that is furthest from what the data sheet asks.", "{reading: 74 degF, at: 2026-03-04T08:55:00-06:00, thermometer: T-1}", HoldPoint, FILL, Drums;
    READ_AT = "read_at", FactKind::Choice(words!["core", "stirred", "wall"]), "Where that temperature was taken: in the core, in a container that is being stirred, or at the wall.", "core", HoldPoint, FILL, Drums;
    WARMING = "warming", FactKind::Log(warming_row::TABLE), "Earlier readings in the same place, in the order of time; they tell when a cold container will be warm.", "- {at: 2026-03-04T06:30:00-06:00, temperature: 65.1 degF}", Job, FILL, Drums;
    SYSTEM = "system", FactKind::Text, "The system, with its grade, that the label names.", "firm 55", Job, FILL, Drums;
    SHEET_LEAST = "sheet.least", FactKind::Quantity(Dimension::Temperature), "The least temperature at which it may be pumped, by the data sheet.", "65 degF", Job, FILL, Desk;
    SHEET_MOST = "sheet.most", FactKind::Quantity(Dimension::Temperature), "The greatest temperature to which it may be warmed, by the data sheet.", "95 degF", Job, FILL, Desk;
    SETTLES = "settles", FactKind::Flag, Whether "the data sheet says that this side settles and is to be stirred", "false", Job, FILL, Desk;
    DENSITY = "density", FactKind::Quantity(Dimension::Density), "The density by the maker's data sheet.", "1.03 kg/L", Job, FILL, Desk;
    DENSITY_AT = "density_at", FactKind::Quantity(Dimension::Temperature), "The temperature for which the density is given.", "77 degF", Job, FILL, Desk;
    EXPANSION = "expansion", FactKind::Quantity(Dimension::Percent), "By how much the volume grows for one kelvin, by the data sheet.", "0.07 %", Job, FILL, Desk;
    PARTS = "parts", FactKind::Count, "Its parts by weight in the mix, where the maker's data gives the ratio by weight.", "1", Job, FILL, Desk;
    PARTS_BY_VOLUME = "parts_by_volume", FactKind::Count, "Its parts by volume in the mix, where the maker's data gives the ratio by volume.", "1", Job, FILL, Desk;
    PRICE = "price", FactKind::Count, "The price of the amount that `price_for` says, in the shop's own currency.", "2.40", Job, FILL, Desk;
    PRICE_FOR = "price_for", FactKind::Quantity(Dimension::Mass), "The amount that the price buys.", "1 lb", Job, FILL, Desk;
    ON_HAND = "on_hand", FactKind::Reading(Dimension::Mass), "How much of it is there for this job, in all containers of the lot; with `at`, when it was weighed, and `uncertainty`, what the scale may be off, unless its place says that.", "420 lb", Job, FILL, Drums;
    NEEDED = "needed", FactKind::Quantity(Dimension::Mass), "How much of it the job takes by the maker's chart or a worked figure.", "362 lb", Job, FILL, Desk;
    CONTAINER_SIZE = "container_size", FactKind::Quantity(Dimension::Mass), "How much one full container of it holds.", "440 lb", Job, FILL, Desk;
    CONTAINER = "container", FactKind::Choice(words!["sound", "bulging", "leaking"]), "The state of the container; of several, of the worst.", "sound", Day, FILL, Drums;
    STIRRED = "stirred", FactKind::Flag, Whether "a side that settles was stirred through today, by the method of its data sheet", "true", Day, FILL, Drums;
    STORED = "stored", FactKind::Choice(words!["indoors", "outdoors"]), "Where it has been kept.", "indoors", Day, FILL, Drums;
    MOISTURE_GUARD_KIND = "moisture_guard.kind", FactKind::Choice(words!["desiccant breather", "dry gas", "sealed", "none"]), "What keeps moist air out while the pump draws on it.", "desiccant breather", Day, FILL, Drums;
    MOISTURE_GUARD_STATE = "moisture_guard.state", FactKind::Choice(words!["active", "spent"]), Whether "it still works: the desiccant's colour, the gas pressure, the seal", "active", Day, FILL, Drums;
}

log_row! {
    warming_row, "One row of the warming log.", "2026-03-04T06:30:00-06:00";
    TEMPERATURE = "temperature", FactKind::Quantity(Dimension::Temperature), "The temperature read.", "65.1 degF";
}
