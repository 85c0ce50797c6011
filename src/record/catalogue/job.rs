//! Facts of the job as a whole.
//!
//! Must not know rules.

use super::{FactKind, FactSpec, Subject, facts, log_row, words};
use crate::units::Dimension;

facts! {
    Subject::Job;
    NUMBER = "job", FactKind::Text, "The job number, as on the work order.", "HT-0311", Job, EACH, Desk;
    SITE = "site", FactKind::Text, "Where the fill is done.", "Hollow Tarn depot", Shop, EACH, Desk;
    PLANNED_START = "planned_start", FactKind::Planned, "When the pump is to start.", "2026-03-04T10:00:00-06:00", Job, EACH, Desk;
    PUMP_MARK = "pump.mark", FactKind::Text, "The shop's mark on the pump.", "P-1", Shop, FILL, Pump;
    PUMP_MIXER = "pump.mixer", FactKind::Choice(words!["new", "sound", "worn", "broken", "missing"]), "The state of the static mixer; worn is one whose maker allows no further fill of this size.", "new", Job, FILL, Pump;
    PUMP_EXERCISED = "pump.exercised", FactKind::Event, "When the pump last ran.", "2026-03-03T15:00:00-06:00", Job, FILL, Pump;
    PUMP_MASS_PER_CYCLE = "pump.mass_per_cycle", FactKind::Reading(Dimension::Mass), "How much mix one cycle gives, by the pump's own calibration, with its spread.", "{reading: 0.81 lb, at: 2026-03-02T16:20:00-06:00, uncertainty: 0.02 lb}", Shop, FILL, Pump;
    PUMP_PRIMING = "pump.priming", FactKind::Quantity(Dimension::Mass), "How much mix is pumped off before the first fill and lost in hoses and mixer.", "6 lb", Shop, FILL, Pump;
    PUMP_CYCLE_TIME = "pump.cycle_time", FactKind::Quantity(Dimension::Duration), "How long one cycle takes at the rate that the fill is to be pumped at.", "3 s", Shop, FILL, Pump;
    PUMP_STOPS_AT = "pump.stops_at", FactKind::Quantity(Dimension::Pressure), "The pressure at the tyre at which relief or cut-off stops the pump, as set for this job.", "66 psi", Job, FILL, Pump;
    PUMP_GAUGE_READS = "pump.gauge_reads", FactKind::Choice(words!["at the tyre, flow stopped", "at the pump"]), "Where the pressure of the fill is read.", "at the tyre, flow stopped", Shop, FILL, Pump;
    PUMP_STALLS_AT = "pump.stalls_at", FactKind::Quantity(Dimension::Pressure), "The highest pressure that the pump can put on its hoses when it stalls, as its relief or the regulator of its drive is set.", "20 MPa", Shop, FILL, Pump;
    PUMP_HOSE_RATING = "pump.hose_rating", FactKind::Quantity(Dimension::Pressure), "The lowest working pressure that hoses, fittings and mixer are marked for.", "25 MPa", Shop, FILL, Pump;
    PUMP_RATIO_CHECKED = "pump.ratio_checked", FactKind::Event, "When both sides were last caught and weighed against each other.", "2026-03-02T16:20:00-06:00", Shop, FILL, Pump;
    PUMP_RATIO_FOUND = "pump.ratio_found", FactKind::Choice(words!["within the data sheet", "off"]), "What that showed.", "within the data sheet", Shop, FILL, Pump;
    PUMP_LINES_RUN = "pump.lines_run", FactKind::Flag, Whether "both sides were run into waste today until no air and nothing old came from either", "true", Day, FILL, Pump;
    ORDER_SYSTEM = "order.system", FactKind::Text, "The system, with its grade, that the work order asks for, as the labels name it.", "firm 55", Job, FILL, Desk;
    SHEET = "mix.sheet", FactKind::Text, "The maker's data sheet that the mix goes by: its title and edition.", "Firm 55, sheet 3 of 2025", Job, FILL, Desk;
    POT_LIFE = "mix.pot_life", FactKind::Quantity(Dimension::Duration), "How long the mix can be pumped after the two sides have met, by the data sheet.", "45 min", Job, FILL, Desk;
    CURE_TIME = "mix.cure_time", FactKind::Quantity(Dimension::Duration), "How long the mix cures before it may carry load, by the data sheet.", "36 h", Job, FILL, Desk;
    CURE_TEMPERATURE = "mix.cure_temperature", FactKind::Quantity(Dimension::Temperature), "The least temperature at which it cures in that time, by the data sheet.", "60 degF", Job, FILL, Desk;
    SILENT_ON = "mix.sheet_silent_on", FactKind::Choices(words!["pot life", "cure time", "cure temperature", "hardness"]), "What the data sheet does not say, by whoever looked it through; these rules then decide alone.", "[]", Job, FILL, Desk;
    DIISOCYANATE = "mix.diisocyanate", FactKind::Choice(words!["MDI", "TDI", "HDI", "other"]), "Which diisocyanate its vapour is of, by the safety data sheet.", "MDI", Job, FILL, Desk;
    WEAR = "mix.wear", FactKind::Choices(words!["gloves", "eye protection", "coveralls", "safety shoes", "respirator", "face shield"]), "What the safety data sheets ask to be worn at the pump.", "[gloves, eye protection, coveralls]", Job, FILL, Desk;
    HUMIDITY_MOST = "mix.humidity_most", FactKind::Quantity(Dimension::Humidity), "The dampest air in which it may be worked with, where the data sheet says so.", "80 %RH", Job, FILL, Desk;
    SPEED_MOST = "mix.speed_most", FactKind::Quantity(Dimension::Speed), "The highest speed at which a tyre with this filling may run, where the data sheet says so.", "15 mph", Job, SERVICE, Desk;
    ROAD = "mix.public_road", FactKind::Flag, Whether "the data sheet allows a tyre with this filling on a public road", "false", Job, SERVICE, Desk;
    HARDNESS_LEAST = "mix.hardness_least", FactKind::Count, "The least Shore A hardness that the data sheet gives for this grade.", "52", Job, FILL, Desk;
    CAGE_KIND = "cage.kind", FactKind::Choice(words!["cage", "barrier", "bolted on vehicle", "none"]), "What holds the assembly or stops flying parts while it holds air: a cage, a barrier or a mounting on the vehicle.", "cage", Shop, FROM_AIR, Cage;
    CAGE_ON_SUPPORTS = "cage.on_supports", FactKind::Flag, "Of an assembly that is filled on its vehicle: whether the machine stands on supports that carry it, chocked, and the tyre is off the ground.", "true", Job, FROM_AIR, Cage;
    CAGE_RATING = "cage.rating", FactKind::Quantity(Dimension::Pressure), "The pressure the cage or barrier is rated for, for this type and size of wheel.", "160 psi", Job, FROM_AIR, Cage;
    CAGE_DAMAGE = "cage.damage", FactKind::Choices(words!["weld crack", "broken part", "bent part", "corrosion pitting", "other"]), "What the last look at the empty cage found; an empty list only where somebody looked and found nothing.", "[]", Day, FROM_AIR, Cage;
    CAGE_INSPECTED_AT = "cage.inspected.at", FactKind::Event, "When the cage was last looked at.", "2026-03-04T07:40:00-06:00", Day, FROM_AIR, Cage;
    CAGE_INSPECTED_BY = "cage.inspected.by", FactKind::Text, "Who looked at it.", "Odile Varga", Day, FROM_AIR, Cage;
    PEOPLE_CLEAR = "air_stage.people_clear", FactKind::Flag, Whether "everyone stays out of the path of flying parts while the assembly holds air", "true", HoldPoint, FROM_AIR, Cage;
    STAND_OFF = "air_stage.stand_off", FactKind::Quantity(Dimension::Length), "How far people stand from the cage while air goes in.", "10 ft", HoldPoint, FROM_AIR, Cage;
    CLIP_ON_CHUCK = "air_stage.clip_on_chuck", FactKind::Flag, Whether "the air line has a clip-on chuck", "true", Day, FROM_AIR, Cage;
    GAUGE_IN_LINE = "air_stage.gauge_in_line", FactKind::Flag, Whether "the air line has an in-line valve with a gauge, or a regulator set beforehand", "true", Day, FROM_AIR, Cage;
    HOSE_LENGTH = "air_stage.hose_length", FactKind::Quantity(Dimension::Length), "How long the hose is between the chuck and the in-line valve with its gauge.", "15 ft", Shop, AIR, Cage;
    LUBRICANT = "air_stage.lubricant", FactKind::Choice(words!["rubber lubricant", "none by the maker's word", "oil or grease", "flammable", "other"]), "What is put on beads and rims for mounting; a rubber lubricant is made for it and does not burn.", "rubber lubricant", Shop, FROM_AIR, Cage;
    REGULATOR = "air_stage.regulator", FactKind::Quantity(Dimension::Pressure), "What the regulator of the air line is set to.", "60 psi", Job, AIR, Cage;
    SURROUNDINGS_CLEAR = "air_stage.surroundings_clear", FactKind::Flag, Whether "nothing flat and solid is within 1 m (3 ft) of the outer sidewall, cage and barrier apart" "on the vehicle, nothing but the vehicle within 0.3 m (1 ft) of the inner one", "true", Day, AIR, Cage;
    AIR_DRY = "air_stage.air_dry", FactKind::Flag, Whether "the air comes through a dryer that works, and its receiver was drained", "true", Day, FROM_AIR, Cage;
    AIR_DEW_POINT = "air_stage.dew_point", FactKind::Reading(Dimension::Temperature), "The dew point of the compressed air behind its dryer, at the pressure there, where the dryer shows it.", "35 degF", Shop, AIR, Cage;
    WORKSPACE_TEMPERATURE = "workspace.temperature", FactKind::Reading(Dimension::Temperature), "The air temperature where the fill and the cure take place.", "{reading: 70 degF, at: 2026-03-04T08:50:00-06:00, thermometer: T-2}", HoldPoint, FILL, Bay;
    WORKSPACE_LOG = "workspace.log", FactKind::Log(workspace_row::TABLE), "Readings of the air temperature after the fill, in the order of time; a cold hour counts less towards the cure, and one colder than the data sheet allows counts nothing towards the time of the sheet.", "- {at: 2026-03-04T14:00:00-06:00, temperature: 68 degF}", Job, SERVICE, CurePlace;
    WORKSPACE_HUMIDITY = "workspace.humidity", FactKind::Reading(Dimension::Humidity), "The relative humidity of the air there, where the data sheet asks for it.", "{reading: 55 %RH, at: 2026-03-04T08:50:00-06:00, uncertainty: 3 %RH}", HoldPoint, FILL, Bay;
    AIR_NCO = "workspace.air.nco", FactKind::Reading(Dimension::MassConcentration), "What was found of all isocyanates together, as the mass of their NCO groups, over a shift.", "{reading: 0.004 mg/m3, at: 2026-01-14T15:30:00-06:00}", Shop, FILL, Desk;
    AIR_VAPOUR = "workspace.air.vapour", FactKind::Reading(Dimension::VolumeConcentration), "The most that was found of the vapour of the diisocyanate at any time.", "{reading: 0.005 ppm, at: 2026-01-14T15:30:00-06:00}", Shop, FILL, Desk;
    IGNITION_SOURCES = "workspace.ignition_sources", FactKind::Choices(words!["open flame", "hot work", "smoking", "open heater", "unbonded solvent transfer", "running engine", "heater on the drum", "other"]), "What could light solvent vapour; an empty list says someone looked and found none.", "[]", HoldPoint, FILL, Bay;
    NO_SMOKING_SIGNS = "workspace.no_smoking_signs", FactKind::Flag, Whether "no-smoking signs are up", "true", Shop, FILL, Bay;
    EXTINGUISHER_AT_HAND = "workspace.extinguisher.at_hand", FactKind::Flag, Whether "an extinguisher for liquid fires is within reach", "true", Day, FILL, Bay;
    EXTINGUISHER_CHECKED = "workspace.extinguisher.checked", FactKind::Day, "The day of its last monthly check.", "2026-02-20", Shop, FILL, Bay;
    EYEWASH_AT_HAND = "workspace.eyewash.at_hand", FactKind::Flag, Whether "an eyewash can be reached in seconds", "true", Day, FILL, Bay;
    EYEWASH_RUN = "workspace.eyewash.run", FactKind::Day, "The day it was last run to see that it works; a self-contained one is checked as its maker says.", "2026-03-02", Shop, FILL, Bay;
    DATA_SHEETS_AT_HAND = "workspace.data_sheets_at_hand", FactKind::Flag, Whether "the safety data sheets of both components and the solvent are at hand", "true", Job, FILL, Bay;
    RIM_CHARTS_AT_HAND = "workspace.rim_charts_at_hand", FactKind::Flag, Whether "current rim charts or rim manuals for this type of wheel are in the service area", "true", Job, FROM_AIR, Bay;
    SOLVENT_ON_HAND = "workspace.solvent_on_hand", FactKind::Quantity(Dimension::Volume), "How much flushing solvent is in the workspace outside a cabinet.", "2 gal", Day, FILL, Bay;
    SOLVENT_CLOSED = "workspace.solvent_closed", FactKind::Flag, Whether "solvent is kept in closed containers", "true", Day, FILL, Bay;
    SPILL_KIT = "workspace.spill_kit", FactKind::Flag, Whether "absorbent, neutraliser and a waste container that can breathe are at hand", "true", Day, FILL, Bay;
    FIRST_AID = "workspace.first_aid", FactKind::Flag, Whether "first aid things and a telephone that reaches help are at hand", "true", Day, FILL, Bay;
    SPECTATORS_KEPT_OUT = "workspace.spectators_kept_out", FactKind::Flag, Whether "bystanders are kept out", "true", HoldPoint, FILL, Bay;
    VENTILATED = "workspace.ventilated", FactKind::Flag, Whether "the workspace is ventilated as the data sheets ask", "true", HoldPoint, FILL, Bay;
    HYGROMETER_DUE = "hygrometer.calibration_due", FactKind::Day, "The last day of the calibration of the hygrometer on which the humidity there is read, where the data sheet asks for it.", "2026-09-30", Shop, FILL, Desk;
    LIFTING_GEAR = "handling.gear", FactKind::Text, "What the filled assemblies will be lifted and carried with.", "forklift 2", Job, FILL, Bay;
    LIFTING_CAPACITY = "handling.capacity", FactKind::Quantity(Dimension::Mass), "What that gear may lift.", "4000 lb", Job, FILL, Bay;
    SAMPLE_PREPARED = "sample.prepared", FactKind::Flag, Whether "the cup for the quality sample is ready and labelled", "true", Job, FILL, Pump;
    SAMPLE_TAKEN = "sample.taken", FactKind::Event, "When the cup was filled from the mix that went into the tyres, and labelled with job and lots.", "2026-03-04T10:40:00-06:00", Job, AFTER, Pump;
    SAMPLE_HARDNESS = "sample.hardness", FactKind::Count, "What the cured sample shows on the Shore A scale, by ISO 48-4 or ASTM D2240.", "57", Job, SERVICE, CurePlace;
    CURE_PLACE = "cure.place", FactKind::Text, "Where the filled assemblies will be while they cure.", "east bay floor", Job, FILL, Desk;
    CURE_FLAT = "cure.flat", FactKind::Flag, Whether "the assembly lies flat and undisturbed while it cures", "true", Job, FILL, CurePlace;
    CURE_PLANNED = "cure.planned", FactKind::Quantity(Dimension::Duration), "How long the assemblies of this job cure before they work again.", "48 h", Job, FILL, Desk;
    ACCEPTED_AT = "service.accepted.at", FactKind::Event, "When the owner accepted in writing what the assemblies weigh, how fast they may run and what for.", "2026-03-06T07:30:00-06:00", Job, SERVICE, Desk;
    ACCEPTED_BY = "service.accepted.by", FactKind::Text, "Who signed it for the owner: somebody who runs the machine and did not fill it.", "Hanne Okonjo, tipping floor", Job, SERVICE, Desk;
    ACCEPTED_SPEED = "service.accepted.speed", FactKind::Quantity(Dimension::Speed), "The highest speed at which the owner will run the machine.", "12 mph", Job, SERVICE, Desk;
    ACCEPTED_DUTY = "service.accepted.duty", FactKind::Choice(words!["off the road", "yard and floor", "public road"]), "Where the owner will run the machine.", "off the road", Job, SERVICE, Desk;
    MASS_ALLOWED = "service.mass_allowed", FactKind::Flag, Whether "the machine's maker or its manual allows the mass of the filled assemblies for axle, brakes, lifting and towing", "true", Job, SERVICE, Desk;
}

/// The kind of cage of a wheel that stays on its machine.
pub const BOLTED_ON_VEHICLE: &str = "bolted on vehicle";

log_row! {
    workspace_row, "One row of the workspace log.", "2026-03-04T14:00:00-06:00";
    TEMPERATURE = "temperature", FactKind::Quantity(Dimension::Temperature), "The temperature read.", "68 degF";
    LOWEST_AIR = "lowest_air", FactKind::Quantity(Dimension::Temperature), "The lowest air temperature since the row before, off a thermometer that keeps it; for a night without rows.", "62 degF";
}
