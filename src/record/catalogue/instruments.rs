//! Facts of the instruments: pressure gauges and thermometers.
//!
//! Must not know rules.

/// Facts of one pressure gauge.
pub mod gauge {
    use crate::record::catalogue::{FactKind, Subject, facts, words};
    use crate::units::Dimension;

    facts! {
        Subject::Gauge;
        MARK = "mark", FactKind::Text, "The shop's mark on the gauge.", "G-2", Shop, FROM_AIR, Desk;
        RANGE_FROM = "range.from", FactKind::ScaleBottom(Dimension::Pressure), "The bottom of its scale; with a minus where the scale also shows a vacuum, as in `-30 inHg`.", "0 psi", Shop, FROM_AIR, Desk;
        RANGE_TO = "range.to", FactKind::Quantity(Dimension::Pressure), "The top of its scale.", "160 psi", Shop, FROM_AIR, Desk;
        ACCURACY = "accuracy", FactKind::Choice(words!["EN 0.1", "EN 0.25", "EN 0.6", "EN 1", "EN 1.6", "EN 2.5", "EN 4", "ASME 4A", "ASME 3A", "ASME 2A", "ASME 1A", "ASME A", "ASME B", "ASME C", "ASME D"]), "Its accuracy class (EN 837-1) or grade (ASME B40.100), as printed on the dial.", "EN 1.6", Shop, FROM_AIR, Desk;
        UNCERTAINTY = "uncertainty", FactKind::Quantity(Dimension::Pressure), "The expanded uncertainty of its calibration certificate; it takes precedence over the class.", "1 psi", Shop, FROM_AIR, Desk;
        CALIBRATION_DUE = "calibration_due", FactKind::Day, "The last day of its calibration.", "2026-09-30", Shop, FROM_AIR, Desk;
    }
}

/// Facts of one thermometer.
pub mod thermometer {
    use crate::record::catalogue::{FactKind, Subject, facts};
    use crate::units::Dimension;

    facts! {
        Subject::Thermometer;
        MARK = "mark", FactKind::Text, "The shop's mark on the thermometer.", "T-1", Shop, FROM_AIR, Desk;
        RANGE_FROM = "range.from", FactKind::Quantity(Dimension::Temperature), "The bottom of its scale.", "0 degF", Shop, FROM_AIR, Desk;
        RANGE_TO = "range.to", FactKind::Quantity(Dimension::Temperature), "The top of its scale.", "220 degF", Shop, FROM_AIR, Desk;
        UNCERTAINTY = "uncertainty", FactKind::Quantity(Dimension::TemperatureDifference), "The expanded uncertainty of its readings.", "0.5 degF", Shop, FROM_AIR, Desk;
        CALIBRATION_DUE = "calibration_due", FactKind::Day, "The last day of its calibration.", "2026-09-30", Shop, FROM_AIR, Desk;
    }
}
