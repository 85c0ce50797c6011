//! Further facts of one assembly: how it was mounted and seated, how its fill ended, and how it goes back on the machine.
//!
//! They stand behind those of `assembly` in the catalogue. This module must not know which rule asks for them.

use super::{FactKey, FactKind, Subject, facts, words};
use crate::units::Dimension;

facts! {
    Subject::Assembly, super::assembly::TABLE.len();
    MOUNTING_CLEAN = "mounting.clean", FactKind::Flag, Whether "flanges, gutters, rings, bead seats and the beads of the tyre are free of dirt, loose rust, scale and old rubber", "true", Job, FROM_AIR, Wheel;
    MOUNTING_STEM_OPEN = "mounting.stem_open", FactKind::Flag, Whether "a wire went right through the valve stem with its core out", "true", Job, FROM_AIR, Wheel;
    MOUNTING_SEATING_PRESSURE = "mounting.seating_pressure", FactKind::Quantity(Dimension::Pressure), "The pressure at which the beads are to be seated, and from then on that at which they were.", "35 psi", Job, FROM_AIR, Cage;
    SEATED_AT = "seated.at", FactKind::Event, "When somebody saw from outside the path of flying parts that the assembly is seated in its cage: beads, rings and guide lines even all round, and no fault on casing, wheel and valve.", "2026-03-04T08:20:00-06:00", Day, FILL, Wheel;
    SEATED_BY = "seated.by", FactKind::Text, "Who saw it.", "Odile Varga", Day, FILL, Wheel;
    FILL_ENDED = "fill.ended", FactKind::Event, "When the pump stopped for this assembly.", "2026-03-04T10:45:00-06:00", Job, AFTER, Pump;
    FILL_STROKES = "fill.strokes", FactKind::Count, "The pump cycles that this assembly took, by the counter, without priming.", "905", Job, AFTER, Pump;
    FILL_MASS = "fill.mass", FactKind::Quantity(Dimension::Mass), "The mass of mix that went in, where it was weighed; it takes precedence over the cycles.", "733 lb", Job, AFTER, Pump;
    FILL_PEAK = "fill.peak", FactKind::Quantity(Dimension::Pressure), "The highest pressure that the gauge of the target showed with the flow stopped.", "61 psi", Job, AFTER, Pump;
    FILL_FINAL = "fill.final", FactKind::Quantity(Dimension::Pressure), "The pressure that it showed at the end, with the flow stopped.", "60 psi", Job, AFTER, Pump;
    FILL_LONGEST_PAUSE = "fill.longest_pause", FactKind::Quantity(Dimension::Duration), "The longest time for which, while this tyre was filled, the pump stood still with mix in mixer and hose; a pause before which the mixer was flushed or changed is none.", "4 min", Job, AFTER, Pump;
    FILL_VENT_CLEAR = "fill.vent_clear", FactKind::Flag, Whether "liquid without froth ran from the vent before it was closed", "true", Job, AFTER, Wheel;
    FILL_NEEDLE = "fill.needle", FactKind::Choice(words!["out and whole", "none used", "broken", "missing"]), "What became of the vent needle.", "out and whole", Job, AFTER, Wheel;
    FILL_CLOSED = "fill.closed", FactKind::Flag, Whether "both valve stem and vent are closed, and nothing weeps", "true", Job, AFTER, Wheel;
    REFIT_MARKED = "refit.marked", FactKind::Flag, Whether "the wheel bears a lasting mark: filled" "do not inflate, cut, weld or heat", "true", Job, SERVICE, Wheel;
    REFIT_NUT_TORQUE = "refit.nut_torque", FactKind::Quantity(Dimension::Torque), "The torque to which the wheel nuts were tightened, by the wrench.", "450 lbf.ft", Job, SERVICE, Wheel;
    REFIT_HANDED_OVER = "refit.handed_over", FactKind::Flag, Whether "the wheel goes to its owner loose, with torque, order and retightening of its nuts in writing", "true", Job, SERVICE, Wheel;
}

/// What counter, scale, gauge, clock and needle show of one fill: it belongs to that tyre, and is over with the fill.
pub const SHOWN_BY_A_FILL: &[FactKey] =
    &[FILL_STROKES, FILL_MASS, FILL_PEAK, FILL_FINAL, FILL_LONGEST_PAUSE, FILL_NEEDLE];
