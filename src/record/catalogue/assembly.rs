//! Facts of one assembly: one tyre on one wheel.
//!
//! Must not know rules.

use super::{FactKey, FactKind, FactSpec, Subject, facts, log_row, words};
use crate::units::Dimension;
use crate::vocabulary::HoldPoint;

facts! {
    Subject::Assembly;
    MARK = "mark", FactKind::Text, "What the crew calls this assembly.", "loader 4, left front", Assembly, EACH, Wheel;
    TYRE_SIZE = "tyre.size", FactKind::TyreSize, "The size designation as printed on the sidewall, with the markings that follow it.", "17.5-25", Assembly, FROM_AIR, Wheel;
    TYRE_STATE = "tyre.state", FactKind::Choice(words!["new", "used"]), Whether "the tyre has been in service", "used", Assembly, FROM_AIR, Wheel;
    TYRE_CONSTRUCTION = "tyre.construction", FactKind::Choice(words!["bias", "radial"]), "How the casing is built.", "bias", Assembly, FROM_AIR, Wheel;
    TYRE_PLY_RATING = "tyre.ply_rating", FactKind::Count, "The ply rating on the sidewall; leave out where the sidewall gives a load range instead.", "16", Assembly, FROM_AIR, Wheel;
    TYRE_LOAD_RANGE = "tyre.load_range", FactKind::Choice(words!["A", "B", "C", "D", "E", "F", "G", "H", "J", "L", "M", "N"]), "The load range letter on the sidewall; the published table gives its ply rating.", "H", Assembly, FROM_AIR, Wheel;
    TYRE_BELTS = "tyre.belts", FactKind::Choice(words!["none", "textile", "steel"]), "What the belts are made of.", "textile", Assembly, FROM_AIR, Wheel;
    TYRE_BODY_CORDS = "tyre.body_cords", FactKind::Choice(words!["steel", "textile"]), "What the cords of the casing's body are made of, by the sidewall; asked of a radial that has run flat.", "steel", Assembly, FROM_AIR, Wheel;
    TYRE_BELTS_ON_SIDEWALL = "tyre.belts_on_sidewall", FactKind::Flag, Whether "the sidewall itself says what casing and belts are made of", "true", Assembly, FROM_AIR, Wheel;
    TYRE_SEAL = "tyre.seal", FactKind::Choice(words!["tubeless", "tube type"]), "How the tyre is made to hold air.", "tubeless", Assembly, FROM_AIR, Wheel;
    TYRE_SEAT = "tyre.seat", FactKind::Choice(words!["flat", "5 degree", "15 degree"]), "The taper of the bead seat that the tyre is made for, by its maker or the rim manual.", "5 degree", Assembly, FROM_AIR, Desk;
    TYRE_SIDEWALL_MAXIMUM = "tyre.sidewall_maximum", FactKind::Quantity(Dimension::Pressure), "The highest pressure printed on the sidewall.", "70 psi", Assembly, FROM_AIR, Wheel;
    TYRE_SEATING_MAXIMUM = "tyre.seating_maximum", FactKind::Quantity(Dimension::Pressure), "The highest pressure at which the beads may be seated, as the sidewall or the maker's data state it.", "40 psi", Assembly, AIR, Wheel;
    TYRE_PUBLISHED_MAXIMUM = "tyre.published_maximum", FactKind::Quantity(Dimension::Pressure), "The highest pressure that its maker or the load table gives, for a tyre that shows none on its sidewall.", "72 psi", Assembly, FROM_AIR, Desk;
    TYRE_LOAD_RATING = "tyre.load_rating", FactKind::Quantity(Dimension::Mass), "The load that the tyre may carry at its highest pressure, by its sidewall or the load table.", "10000 lb", Assembly, FROM_AIR, Wheel;
    TYRE_PUBLISHED_IN = "tyre.published_in", FactKind::Text, "The document that gives the highest pressure where the sidewall shows none, or a seating maximum as high as that of inflation, with its page.", "loader manual 2024, page 41", Assembly, FROM_AIR, Desk;
    TYRE_SECTION_WIDTH = "tyre.section_width", FactKind::Quantity(Dimension::Length), "The section width as measured or published for this tyre, inflated, without lettering.", "17 1/2 in", Assembly, FROM_AIR, Wheel;
    TYRE_OVERALL_DIAMETER = "tyre.overall_diameter", FactKind::Quantity(Dimension::Length), "The overall diameter as measured or published for this tyre, inflated.", "53 in", Assembly, FROM_AIR, Wheel;
    TYRE_INSIDE_VOLUME = "tyre.inside_volume", FactKind::Quantity(Dimension::Volume), "The volume inside as measured, or as the tyre's maker publishes it; it takes precedence over any estimate.", "84 gal", Assembly, FROM_AIR, Wheel;
    TYRE_MASS = "tyre.mass", FactKind::Quantity(Dimension::Mass), "The mass of the tyre alone.", "290 lb", Assembly, FROM_AIR, Wheel;
    TYRE_RAN_FLAT = "tyre.ran_flat", FactKind::Choice(words!["never", "once or more", "not known"]), Whether "a used tyre was ever driven flat, or at 80 % of its pressure or less", "never", Job, FROM_AIR, Wheel;
    CASING_DAMAGE = "tyre.casing.damage", FactKind::Choices(words!["cut to the cord", "bulge", "separation", "bead damage", "sidewall cracks", "open puncture", "plug without patch", "boot or large repair", "heat damage", "swollen by oil", "bare steel", "past its age", "other"]), "What the inspection of the casing found, and an empty list where it is sound; `sidewall cracks` are those in which a fingernail catches, `past its age` is more than ten years by the date code.", "[]", Day, FROM_AIR, Wheel;
    CASING_INSPECTED_AT = "tyre.casing.inspected.at", FactKind::Event, "When the casing was inspected.", "2026-03-04T07:50:00-06:00", Day, FROM_AIR, Wheel;
    CASING_INSPECTED_BY = "tyre.casing.inspected.by", FactKind::Text, "Who inspected it.", "Odile Varga", Day, FROM_AIR, Wheel;
    CASING_INSPECTED_OFF_RIM = "tyre.casing.inspected.off_rim", FactKind::Flag, Whether "the tyre was off the rim for the inspection, so that tyre, tube and rim could be seen from inside", "true", Day, FROM_AIR, Wheel;
    CASING_TEMPERATURE = "tyre.casing.temperature", FactKind::Reading(Dimension::Temperature), "How warm the casing is, where the workspace is cold or the tyre comes from the cold.", "{reading: 55 degF, at: 2026-03-04T08:50:00-06:00, uncertainty: 1 degF}", HoldPoint, FILL, Wheel;
    INTERIOR_DRY = "tyre.interior.dry", FactKind::Flag, Whether "the inside is dry", "true", Job, FROM_AIR, Wheel;
    INTERIOR_CONTAMINANTS = "tyre.interior.contaminants", FactKind::Choices(words!["water", "sealant", "glycol", "calcium chloride", "soap", "bead lubricant", "excess lubricant", "dirt", "other"]), "What was found inside that is not tyre; an empty list says it was looked at and is clean. A thin film near the beads, left from mounting, is bead lubricant; what has run inside or stands there wet is excess lubricant.", "[]", Job, FROM_AIR, Wheel;
    RIM_KIND = "rim.kind", FactKind::Choice(words!["single piece", "multi-piece", "bolt-together"]), "How the rim is made; multi-piece means with a side or lock ring.", "multi-piece", Assembly, FROM_AIR, Wheel;
    RIM_BEAD_DIAMETER = "rim.bead_diameter", FactKind::Quantity(Dimension::Length), "The bead seat diameter stamped on the rim.", "25 in", Assembly, FROM_AIR, Wheel;
    RIM_SEAT = "rim.seat", FactKind::Choice(words!["flat", "5 degree", "15 degree"]), "The taper of the rim's bead seats, by its stamp and the rim manual.", "5 degree", Assembly, FROM_AIR, Wheel;
    RIM_WIDTH = "rim.width", FactKind::Quantity(Dimension::Length), "The width between the flanges stamped on the rim.", "14 in", Assembly, FROM_AIR, Wheel;
    RIM_WIDTH_LISTED = "rim.width_listed", FactKind::Flag, Whether "the rim manual or the tyre maker's data list this rim width for this tyre size", "true", Assembly, FROM_AIR, Wheel;
    RIM_LISTED_FOR = "rim.listed_for", FactKind::TubeSizes, "The tyre sizes for which the rim manual or the tyre maker's data list this rim width; asked where the width is not one to expect for the tyre, so that a tick that was made for another tyre does not count.", "17.5-25", Assembly, FROM_AIR, Wheel;
    RIM_RATING = "rim.rating", FactKind::Quantity(Dimension::Pressure), "The highest pressure the rim's maker allows.", "75 psi", Assembly, FROM_AIR, Wheel;
    RIM_PARTS_IDENTIFIED = "rim.parts_identified", FactKind::Flag, Whether "every ring and rim part was identified by size and type", "true", Assembly, FROM_AIR, Wheel;
    RIM_PARTS_MATCH = "rim.parts_match", FactKind::Flag, Whether "the charts or the rim manual say that these parts go together", "true", Assembly, FROM_AIR, Wheel;
    RIM_NEEDS_FLAP = "rim.needs_flap", FactKind::Flag, Whether "this rim needs a flap under a tube (flat base, multi-piece, valve slot)", "false", Assembly, FROM_AIR, Wheel;
    RIM_LEAKS = "rim.leaks", FactKind::Flag, Whether "the rim is suspected of leaking", "false", Job, FROM_AIR, Wheel;
    RIM_LOCK_RING = "rim.lock_ring", FactKind::Choice(words!["split", "endless"]), Whether "the ring that locks a multi-piece rim is split or endless", "split", Assembly, FROM_AIR, Wheel;
    RIM_PIECES = "rim.pieces", FactKind::Choice(words!["two", "three", "four", "five"]), "Of how many pieces a multi-piece rim is made, by the rim manual; where nobody says, it is taken for one of two.", "three", Assembly, AIR, Wheel;
    RIM_RING_GAP = "rim.ring_gap", FactKind::Quantity(Dimension::Length), "The gap between the ends of the split ring as it lies in its gutter.", "1/2 in", Job, FROM_AIR, Wheel;
    RIM_SEAL_RING = "rim.seal_ring", FactKind::Choice(words!["new", "used"]), Whether "the rubber ring that seals a multi-piece rim without a tube is new", "new", Job, FROM_AIR, Wheel;
    WHEEL_RATING = "wheel.rating", FactKind::Quantity(Dimension::Pressure), "The highest pressure the wheel's maker allows.", "80 psi", Assembly, FROM_AIR, Wheel;
    WHEEL_LOAD_RATING = "wheel.load_rating", FactKind::Quantity(Dimension::Mass), "The highest load the wheel's maker allows.", "9000 lb", Assembly, FROM_AIR, Wheel;
    WHEEL_MASS = "wheel.mass", FactKind::Quantity(Dimension::Mass), "The mass of the wheel with its rim and rings.", "210 lb", Assembly, FROM_AIR, Wheel;
    WHEEL_FAULTS = "wheel.faults", FactKind::Choices(words!["crack", "bend", "corrosion", "fatigue", "broken part", "weld repair", "heat damage", "worn stud holes"]), "What the inspection of the wheel found, and an empty list where it is sound; `corrosion` is pits, since surface rust is cleaned off.", "[]", Day, FROM_AIR, Wheel;
    WHEEL_NUTS_TIGHT = "wheel.nuts_tight", FactKind::Flag, Whether "all nuts were tightened to the maker's figure with no air in: those that hold the halves of a bolt-together wheel, and those that hold a wheel on the vehicle", "true", Job, FROM_AIR, Wheel;
    WHEEL_HELD_BY = "wheel.held_by", FactKind::Choice(words!["nuts", "axle"]), "What holds the wheel on its machine, where that is not nuts: the axle alone, as of a wheelbarrow; before service no torque is asked then.", "nuts", Assembly, SERVICE, Wheel;
    WHEEL_NUT_TORQUE = "wheel.nut_torque", FactKind::Quantity(Dimension::Torque), "The torque of the wheel nuts by the manual of the machine.", "450 lbf.ft", Assembly, SERVICE, Desk;
    WHEEL_INSPECTED_AT = "wheel.inspected.at", FactKind::Event, "When the wheel was inspected.", "2026-03-04T07:45:00-06:00", Day, FROM_AIR, Wheel;
    WHEEL_INSPECTED_BY = "wheel.inspected.by", FactKind::Text, "Who inspected it.", "Odile Varga", Day, FROM_AIR, Wheel;
    TUBE_FITTED = "tube.fitted", FactKind::Flag, Whether "a tube is fitted", "false", Job, FROM_AIR, Wheel;
    TUBE_STATE = "tube.state", FactKind::Choice(words!["new", "used"]), Whether "the tube has been in service", "new", Job, FROM_AIR, Wheel;
    TUBE_SIZE = "tube.size", FactKind::TubeSizes, "The tyre sizes that the tube is marked for, as it shows them.", "17.5/18-25", Job, FROM_AIR, Wheel;
    FLAP_FITTED = "flap.fitted", FactKind::Flag, Whether "a flap is fitted", "true", Job, FROM_AIR, Wheel;
    FLAP_STATE = "flap.state", FactKind::Choice(words!["new", "used"]), Whether "the flap has been in service", "new", Job, FROM_AIR, Wheel;
    STANDS = "stands", FactKind::Choice(words!["stem low, vent high", "stem not low", "vent not high", "neither"]), "How the assembly stands for the fill: the valve stem at its lowest point and the vent at its highest, or not.", "stem low, vent high", HoldPoint, FILL, Wheel;
    VALVE_CONDITION = "valve.condition", FactKind::Choice(words!["sound", "damaged", "leaking", "blocked"]), "The state of the valve stem.", "sound", Job, FROM_AIR, Wheel;
    VENT_DRILLED = "vent_path.drilled", FactKind::Flag, Whether "a pilot hole is drilled for the vent needle", "true", Job, FILL, Wheel;
    VENT_PILOT_HOLE = "vent_path.pilot_hole", FactKind::Quantity(Dimension::Length), "The diameter of the pilot hole.", "1/8 in", Job, FILL, Wheel;
    VENT_THROUGH = "vent_path.through", FactKind::Choice(words!["crown", "shoulder", "sidewall"]), "Where the hole is: in the crown, between the lugs, or elsewhere.", "crown", Job, FILL, Wheel;
    VENT_TUBE_SAFEGUARD = "vent_path.tube_safeguard", FactKind::Choice(words!["drilled before mounting", "tube collapsed by vacuum and short bit", "patched after drilling", "none"]), "How the tube was protected from the drill.", "drilled before mounting", Job, FILL, Wheel;
    VENT_TUBE_REINFLATED = "vent_path.tube_reinflated", FactKind::Flag, Whether "a tube that was collapsed for drilling was inflated again and held air", "true", Job, FILL, Wheel;
    TARGET_PRESSURE = "target.pressure", FactKind::Quantity(Dimension::Pressure), "The pressure the fill is to end at.", "65 psi", Job, FROM_AIR, Desk;
    TARGET_OPERATING_PRESSURE = "target.operating_pressure", FactKind::Quantity(Dimension::Pressure), "The pressure that the load needs, by the load table or the machine's manual.", "60 psi", Job, FROM_AIR, Desk;
    TARGET_LOAD = "target.load", FactKind::Quantity(Dimension::Mass), "The load that this tyre must carry, by the machine's manual or the scales.", "9000 lb", Job, FROM_AIR, Desk;
    TARGET_LOCAL_LIMIT = "target.local_limit", FactKind::Quantity(Dimension::Pressure), "The highest pressure that the site or its code allows, where that is below the ratings.", "68 psi", Job, FROM_AIR, Desk;
    TARGET_FROM = "target.from", FactKind::Choice(words!["tyre maker", "machine manual", "load table", "customer in writing"]), "Where the target pressure comes from.", "machine manual", Job, FROM_AIR, Desk;
    TARGET_GAUGE = "target.gauge", FactKind::Text, "The mark of the gauge that will show it.", "G-2", Job, FROM_AIR, Pump;
    ACT_AIR = "acts.air", FactKind::Event, "When air first went in on this job.", "2026-03-02T15:40:00-06:00", Job, FILL, Wheel;
    ACT_FILL = "acts.fill", FactKind::Event, "When the pump started to fill it.", "2026-03-04T10:05:00-06:00", Job, AFTER, Wheel;
    ACT_OFF_STAND = "acts.off_stand", FactKind::Event, "When it left the stand after the fill; of one that was filled on its vehicle, when it was left to cure there.", "2026-03-04T11:00:00-06:00", Job, SERVICE, Wheel;
    PRE_STRETCH_GAUGE = "pre_stretch.gauge", FactKind::Text, "The mark of the gauge that read the pressures of the log.", "G-2", Job, FILL, Wheel;
    PRE_STRETCH_THERMOMETER = "pre_stretch.thermometer", FactKind::Text, "The mark of the thermometer that read the temperatures of the log.", "T-2", Job, FILL, Wheel;
    PRE_STRETCH_LOG = "pre_stretch.log", FactKind::Log(pre_stretch_row::TABLE), "The readings of the stretch, in the order of time.", "- {at: 2026-03-02T16:10:00-06:00, pressure: 66 psi, air: 73 degF}", Job, FILL, Wheel;
}

log_row! {
    pre_stretch_row, "One row of the pre-stretch log.", "2026-03-02T16:10:00-06:00";
    PRESSURE = "pressure", FactKind::Quantity(Dimension::Pressure), "The pressure read.", "66 psi";
    AIR = "air", FactKind::Quantity(Dimension::Temperature), "The air temperature beside the tyre.", "73 degF";
    LOWEST_AIR = "lowest_air", FactKind::Quantity(Dimension::Temperature), "The lowest air temperature since the row before, off a thermometer that keeps it; for a night without rows.", "72.5 degF";
}

/// The fact that says when the act of a hold point was done: what its checklist let happen.
pub const fn act_of(point: HoldPoint) -> Option<FactKey> {
    match point {
        HoldPoint::BeforeAir => Some(ACT_AIR),
        HoldPoint::BeforeFill => Some(ACT_FILL),
        HoldPoint::AfterFill => Some(ACT_OFF_STAND),
        HoldPoint::BeforeService => None,
    }
}
