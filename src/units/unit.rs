//! Dimensions and units: which units a shop writes, how they are spelt, and what each is exactly.
//!
//! One table row per unit. Factors are the exact definitions, never rounded conversion factors. This module must not
//! know how numbers are written.

use serde::{Deserialize, Serialize};

use super::{Exact, Interval, Rounding};

mod meant;

/// Declares what can be measured and in which units it is written: of each dimension its name in sentences (all go with
/// the article "a") and a quantity as a record would write it; of each of its units, the commonest first, how it is spelt
/// in records and for people, further accepted spellings, base units in one of it as a fraction in lowest terms, the
/// customary unit of the other system, and the usual number of decimal places for people.
macro_rules! quantities {
    ($($(#[doc = $about:literal])+ $dimension:ident = $name:literal, $example:literal {
        $($unit:ident $spelt:tt, [$($also:literal),*], ($num:literal, $den:literal), $counterpart:ident, $places:literal;)+
    })+) => {
        /// What is measured.
        ///
        /// Base units, in which values are compared: kelvin for temperatures and their differences, pascal, millimetre,
        /// kilogram, litre, kilogram per litre (so that volume times density is mass without a factor), joule, newton
        /// metre, metre per second, second, milligram per cubic metre; a percentage is its fraction (`2 %` is 1/50), and so
        /// are a relative humidity and a volume concentration; a count is itself.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        pub enum Dimension {
            $($(#[doc = $about])+ $dimension),+
        }

        impl Dimension {
            /// Every dimension.
            pub const ALL: [Dimension; [$(Dimension::$dimension),+].len()] = [$(Dimension::$dimension),+];

            /// The noun for sentences; all of them go with the article "a".
            pub const fn name(self) -> &'static str {
                match self {
                    $(Dimension::$dimension => $name),+
                }
            }

            /// The units in which it may be written, the commonest first.
            pub const fn units(self) -> &'static [Unit] {
                match self {
                    $(Dimension::$dimension => &[$(Unit::$unit),+]),+
                }
            }

            /// A quantity as a record would write it.
            pub const fn example(self) -> &'static str {
                match self {
                    $(Dimension::$dimension => $example),+
                }
            }
        }

        /// A unit of one dimension. A degree of temperature and a degree of difference are two units with one spelling.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[expect(missing_docs, reason = "each name is the unit's own name; the table gives spelling and size")]
        pub enum Unit {
            $($($unit),+),+
        }

        impl Unit {
            const fn row(self) -> UnitRow {
                match self {
                    $($(Unit::$unit => {
                        let (symbol, pretty) = $spelt;
                        UnitRow {
                            dimension: Dimension::$dimension,
                            symbol,
                            pretty,
                            also: &[$($also),*],
                            scale: Exact::in_lowest_terms($num, $den),
                            counterpart: Unit::$counterpart,
                            places: $places,
                        }
                    }),+),+
                }
            }
        }
    };
}

// Sizes follow from 1 in = 25.4 mm, 1 lb = 0.453 592 37 kg, g = 9.806 65 m/s2 (the conventional value, which makes psi an
// exact fraction), mercury of 13 595.1 kg/m3, 1 US gal = 231 in3 = 4 qt, 1 mile = 5280 ft.
quantities! {
    /// How hot something is; has an offset between scales.
    Temperature = "temperature", "72 degF" {
        DegF ("degF", "°F"), ["°F", "deg F"], (5, 9), DegC, 1;
        DegC ("degC", "°C"), ["°C", "deg C"], (1, 1), DegF, 1;
        Kelvin ("K", "K"), [], (1, 1), DegF, 1;
    }
    /// By how much two temperatures differ; scales without an offset.
    TemperatureDifference = "temperature difference", "5 degF" {
        DegFDifference ("degF", "°F"), ["°F", "deg F"], (5, 9), DegCDifference, 1;
        DegCDifference ("degC", "°C"), ["°C", "deg C"], (1, 1), DegFDifference, 1;
        KelvinDifference ("K", "K"), [], (1, 1), DegFDifference, 1;
    }
    /// Pressure; whether gauge or absolute is said by the name of the fact.
    Pressure = "pressure", "105 psi" {
        Psi ("psi", "psi"), [], (8_896_443_230_521, 1_290_320_000), Kilopascal, 1;
        Kilopascal ("kPa", "kPa"), [], (1000, 1), Psi, 1;
        Bar ("bar", "bar"), [], (100_000, 1), Psi, 2;
        Megapascal ("MPa", "MPa"), [], (1_000_000, 1), Psi, 3;
        Millibar ("mbar", "mbar"), [], (100, 1), Psi, 0;
        InchOfMercury ("inHg", "inHg"), [], (3_386_388_640_341, 1_000_000_000), Kilopascal, 1;
        CentimetreOfMercury ("cmHg", "cmHg"), [], (26_664_477_483, 20_000_000), Psi, 1;
        KilogramForcePerSquareCentimetre ("kgf/cm2", "kgf/cm²"), ["kgf/cm²", "kg/cm2", "kg/cm²"], (196_133, 2), Psi, 2;
    }
    /// Length.
    Length = "length", "16.5 in" {
        Inch ("in", "in"), ["\"", "″"], (127, 5), Millimetre, 2;
        Millimetre ("mm", "mm"), [], (1, 1), Inch, 1;
        Centimetre ("cm", "cm"), [], (10, 1), Inch, 1;
        Metre ("m", "m"), [], (1000, 1), Foot, 3;
        Foot ("ft", "ft"), [], (1524, 5), Metre, 2;
    }
    /// Mass.
    Mass = "mass", "55 lb" {
        Pound ("lb", "lb"), [], (45_359_237, 100_000_000), Kilogram, 1;
        Kilogram ("kg", "kg"), [], (1, 1), Pound, 1;
        Gram ("g", "g"), [], (1, 1000), Pound, 0;
        Tonne ("t", "t"), [], (1000, 1), Pound, 3;
    }
    /// Volume.
    Volume = "volume", "30 gal" {
        Gallon ("gal", "US gal"), ["US gal"], (473_176_473, 125_000_000), Litre, 2;
        Quart ("qt", "US qt"), ["US qt"], (473_176_473, 500_000_000), Litre, 2;
        Litre ("L", "L"), ["l"], (1, 1), Gallon, 1;
        CubicMetre ("m3", "m³"), ["m³"], (1000, 1), Gallon, 4;
        CubicInch ("in3", "in³"), ["in³"], (2_048_383, 125_000_000), Litre, 1;
    }
    /// Mass per volume.
    Density = "density", "1030 kg/m3" {
        KilogramPerCubicMetre ("kg/m3", "kg/m³"), ["kg/m³"], (1, 1000), PoundPerGallon, 0;
        GramPerCubicCentimetre ("g/cm3", "g/cm³"), ["g/cm³"], (1, 1), PoundPerGallon, 3;
        KilogramPerLitre ("kg/L", "kg/L"), ["kg/l"], (1, 1), PoundPerGallon, 3;
        PoundPerGallon ("lb/gal", "lb/US gal"), ["lb/US gal"], (2_945_405, 24_580_596), KilogramPerLitre, 2;
    }
    /// Work that something can do.
    Energy = "quantity of energy", "100 kJ" {
        FootPound ("ft.lbf", "ft·lbf"), ["ft·lbf"], (3_389_544_870_828_501, 2_500_000_000_000_000), Kilojoule, 0;
        Kilojoule ("kJ", "kJ"), [], (1000, 1), FootPound, 1;
    }
    /// How hard something is turned.
    Torque = "torque", "450 lbf.ft" {
        PoundForceFoot ("lbf.ft", "lbf·ft"), ["lbf·ft", "lbf-ft", "lbf ft", "ft lbf", "ft-lbf", "lb-ft", "lb ft", "ft-lb", "ft lb"], (3_389_544_870_828_501, 2_500_000_000_000_000), NewtonMetre, 0;
        NewtonMetre ("N.m", "N·m"), ["N·m", "Nm", "N m"], (1, 1), PoundForceFoot, 0;
        KilogramForceMetre ("kgf.m", "kgf·m"), ["kgf·m"], (196_133, 20_000), PoundForceFoot, 1;
    }
    /// How fast something moves.
    Speed = "speed", "15 mph" {
        MilePerHour ("mph", "mph"), [], (1397, 3125), KilometrePerHour, 0;
        KilometrePerHour ("km/h", "km/h"), [], (5, 18), MilePerHour, 0;
    }
    /// How long something takes.
    Duration = "duration", "24 h" {
        Second ("s", "s"), [], (1, 1), Second, 0;
        Minute ("min", "min"), [], (60, 1), Minute, 1;
        Hour ("h", "h"), [], (3600, 1), Hour, 1;
        Day ("d", "d"), [], (86_400, 1), Day, 1;
    }
    /// A part of a hundred.
    Percent = "percentage", "2 %" {
        Percent ("%", "%"), [], (1, 100), Percent, 1;
    }
    /// How much of the water vapour that air can hold it does hold.
    Humidity = "relative humidity", "60 %RH" {
        PercentHumidity ("%RH", "% RH"), ["% RH", "%"], (1, 100), PercentHumidity, 0;
    }
    /// The mass of a substance in a volume of air.
    MassConcentration = "mass concentration", "0.02 mg/m3" {
        MilligramPerCubicMetre ("mg/m3", "mg/m³"), ["mg/m³"], (1, 1), MilligramPerCubicMetre, 3;
        MicrogramPerCubicMetre ("ug/m3", "µg/m³"), ["µg/m³", "µg/m3", "μg/m³", "μg/m3"], (1, 1000), MicrogramPerCubicMetre, 1;
    }
    /// The volume of a vapour in a volume of air.
    VolumeConcentration = "volume concentration", "0.02 ppm" {
        PartPerMillion ("ppm", "ppm"), [], (1, 1_000_000), PartPerMillion, 3;
        PartPerBillion ("ppb", "ppb"), [], (1, 1_000_000_000), PartPerBillion, 1;
    }
    /// A number of things, written without a unit.
    Count = "count", "16" {
        One ("", ""), [], (1, 1), One, 1;
    }
}

/// One row of the table.
struct UnitRow {
    dimension: Dimension,
    symbol: &'static str,
    pretty: &'static str,
    /// Further accepted spellings.
    also: &'static [&'static str],
    /// Base units in one of this unit.
    scale: Exact,
    counterpart: Unit,
    /// Usual number of decimal places for people.
    places: u32,
}

impl Unit {
    /// What the unit measures.
    pub const fn dimension(self) -> Dimension {
        self.row().dimension
    }

    /// The spelling in records and packs, such as `degF`; empty for a count.
    pub const fn symbol(self) -> &'static str {
        self.row().symbol
    }

    /// Every spelling that is read, the one of [`Unit::symbol`] first.
    pub fn spellings(self) -> impl Iterator<Item = &'static str> {
        let row = self.row();
        std::iter::once(row.symbol).chain(row.also.iter().copied())
    }

    /// The spelling for people, such as `°F`; empty for a count.
    pub const fn pretty(self) -> &'static str {
        self.row().pretty
    }

    /// The customary unit of the other system, or the unit itself where both systems share it.
    #[must_use]
    pub const fn counterpart(self) -> Unit {
        self.row().counterpart
    }

    /// Whether it is of the metric system, or of both.
    pub const fn is_metric(self) -> bool {
        !matches!(
            self,
            Unit::DegF
                | Unit::DegFDifference
                | Unit::Psi
                | Unit::InchOfMercury
                | Unit::Inch
                | Unit::Foot
                | Unit::Pound
                | Unit::Gallon
                | Unit::Quart
                | Unit::CubicInch
                | Unit::PoundPerGallon
                | Unit::FootPound
                | Unit::PoundForceFoot
                | Unit::MilePerHour
        )
    }

    /// How many decimal places people expect of the unit.
    pub(super) const fn places(self) -> u32 {
        self.row().places
    }

    /// The value in base units of a value in this unit; `None` when it does not fit.
    pub fn to_base(self, value: Exact) -> Option<Exact> {
        value.checked_mul(self.row().scale)?.checked_add(self.base_at_zero())
    }

    /// The value in this unit of a value in base units; `None` when it does not fit.
    pub fn from_base(self, base: Exact) -> Option<Exact> {
        base.checked_sub(self.base_at_zero())?.checked_div(self.row().scale)
    }

    /// The same where it does not fit, rounded to so many decimal places; `None` when it leaves all range.
    pub(super) fn near_from_base(self, base: Exact, places: usize) -> Option<Exact> {
        let zero = Interval::point(self.base_at_zero());
        let value = Interval::point(base).checked_sub(zero)?.checked_div(Interval::point(self.row().scale))?;
        Exact::parse_decimal(&value.lo().to_decimal(u32::try_from(places).ok()?, Rounding::Nearest))
    }

    /// The base value where this unit's scale reads zero: 459.67 degrees below for Fahrenheit, 273.15 for Celsius.
    const fn base_at_zero(self) -> Exact {
        match self {
            Unit::DegF => Exact::in_lowest_terms(45_967, 180),
            Unit::DegC => Exact::in_lowest_terms(5463, 20),
            _ => Exact::ZERO,
        }
    }

    /// For temperatures, the unit of a difference on the same scale; any other unit measures its own differences.
    #[must_use]
    pub const fn of_difference(self) -> Unit {
        match self {
            Unit::DegF => Unit::DegFDifference,
            Unit::DegC => Unit::DegCDifference,
            Unit::Kelvin => Unit::KelvinDifference,
            other => other,
        }
    }

    /// The unit of the dimension that is spelt so, letter case included (`MPa` is not `mPa`).
    pub fn find(spelling: &str, dimension: Dimension) -> Option<Unit> {
        dimension.units().iter().copied().find(|unit| {
            let row = unit.row();
            row.symbol == spelling || row.also.contains(&spelling)
        })
    }
}

impl Dimension {
    /// Whether nothing of it lies below zero. Temperatures, differences and spans of time can; a gauge shows none either,
    /// since what it reads is the pressure above that of the air.
    pub const fn is_never_negative(self) -> bool {
        match self {
            Self::Pressure
            | Self::Length
            | Self::Mass
            | Self::Volume
            | Self::Density
            | Self::Energy
            | Self::Torque
            | Self::Speed
            | Self::Percent
            | Self::Humidity
            | Self::MassConcentration
            | Self::VolumeConcentration
            | Self::Count => true,
            Self::Temperature | Self::TemperatureDifference | Self::Duration => false,
        }
    }
}

#[cfg(test)]
mod tests;
