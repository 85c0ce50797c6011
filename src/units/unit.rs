//! Dimensions and units: which units a shop writes, how they are spelt, and what each is exactly.
//!
//! One table row per unit. Factors are the exact definitions, never rounded conversion factors. This module must not
//! know how numbers are written.

use serde::{Deserialize, Serialize};

use super::Exact;

/// What is measured.
///
/// Base units, in which values are compared: kelvin for temperatures and their differences, pascal, millimetre,
/// kilogram, litre, kilogram per litre (so that volume times density is mass without a factor), joule, second; a
/// percentage is its fraction (`2 %` is 1/50), a count is itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Dimension {
    /// How hot something is; has an offset between scales.
    Temperature,
    /// By how much two temperatures differ; scales without an offset.
    TemperatureDifference,
    /// Pressure; whether gauge or absolute is said by the name of the fact.
    Pressure,
    /// Length.
    Length,
    /// Mass.
    Mass,
    /// Volume.
    Volume,
    /// Mass per volume.
    Density,
    /// Work that something can do.
    Energy,
    /// How long something takes.
    Duration,
    /// A part of a hundred.
    Percent,
    /// A number of things, written without a unit.
    Count,
}

impl Dimension {
    /// Every dimension.
    pub const ALL: [Dimension; 11] = [
        Dimension::Temperature,
        Dimension::TemperatureDifference,
        Dimension::Pressure,
        Dimension::Length,
        Dimension::Mass,
        Dimension::Volume,
        Dimension::Density,
        Dimension::Energy,
        Dimension::Duration,
        Dimension::Percent,
        Dimension::Count,
    ];

    /// The noun for sentences; all of them go with the article "a".
    pub const fn name(self) -> &'static str {
        match self {
            Dimension::Temperature => "temperature",
            Dimension::TemperatureDifference => "temperature difference",
            Dimension::Pressure => "pressure",
            Dimension::Length => "length",
            Dimension::Mass => "mass",
            Dimension::Volume => "volume",
            Dimension::Density => "density",
            Dimension::Energy => "quantity of energy",
            Dimension::Duration => "duration",
            Dimension::Percent => "percentage",
            Dimension::Count => "count",
        }
    }

    /// The units in which it may be written, the commonest first.
    pub const fn units(self) -> &'static [Unit] {
        match self {
            Dimension::Temperature => &[Unit::DegF, Unit::DegC, Unit::Kelvin],
            Dimension::TemperatureDifference => &[Unit::DegFDifference, Unit::DegCDifference, Unit::KelvinDifference],
            Dimension::Pressure => &[Unit::Psi, Unit::Kilopascal, Unit::Bar, Unit::Megapascal],
            Dimension::Length => &[Unit::Inch, Unit::Millimetre, Unit::Centimetre, Unit::Metre, Unit::Foot],
            Dimension::Mass => &[Unit::Pound, Unit::Kilogram],
            Dimension::Volume => &[Unit::Gallon, Unit::Litre, Unit::CubicMetre, Unit::CubicInch],
            Dimension::Density => &[
                Unit::KilogramPerCubicMetre,
                Unit::GramPerCubicCentimetre,
                Unit::KilogramPerLitre,
                Unit::PoundPerGallon,
            ],
            Dimension::Energy => &[Unit::FootPound, Unit::Kilojoule],
            Dimension::Duration => &[Unit::Second, Unit::Minute, Unit::Hour, Unit::Day],
            Dimension::Percent => &[Unit::Percent],
            Dimension::Count => &[Unit::One],
        }
    }

    /// A quantity as a record would write it.
    pub const fn example(self) -> &'static str {
        match self {
            Dimension::Temperature => "72 degF",
            Dimension::TemperatureDifference => "5 degF",
            Dimension::Pressure => "105 psi",
            Dimension::Length => "16.5 in",
            Dimension::Mass => "55 lb",
            Dimension::Volume => "30 gal",
            Dimension::Density => "1030 kg/m3",
            Dimension::Energy => "100 kJ",
            Dimension::Duration => "24 h",
            Dimension::Percent => "2 %",
            Dimension::Count => "16",
        }
    }
}

/// A unit of one dimension. A degree of temperature and a degree of difference are two units with one spelling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[expect(missing_docs, reason = "each name is the unit's own name; the table below gives spelling and size")]
pub enum Unit {
    DegF,
    DegC,
    Kelvin,
    DegFDifference,
    DegCDifference,
    KelvinDifference,
    Psi,
    Kilopascal,
    Bar,
    Megapascal,
    Inch,
    Millimetre,
    Centimetre,
    Metre,
    Foot,
    Pound,
    Kilogram,
    Gallon,
    Litre,
    CubicMetre,
    CubicInch,
    KilogramPerCubicMetre,
    GramPerCubicCentimetre,
    KilogramPerLitre,
    PoundPerGallon,
    FootPound,
    Kilojoule,
    Second,
    Minute,
    Hour,
    Day,
    Percent,
    One,
}

/// One row of the table.
struct Row {
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

/// Builds a row; `scale` is a fraction in lowest terms.
const fn row(
    dimension: Dimension,
    (symbol, pretty): (&'static str, &'static str),
    also: &'static [&'static str],
    (num, den): (i128, i128),
    counterpart: Unit,
    places: u32,
) -> Row {
    Row { dimension, symbol, pretty, also, scale: Exact::in_lowest_terms(num, den), counterpart, places }
}

impl Unit {
    /// The table: spelling, further spellings, exact size in base units, counterpart, usual places.
    ///
    /// Sizes follow from 1 in = 25.4 mm, 1 lb = 0.453 592 37 kg, g = 9.806 65 m/s2 (the conventional value, which
    /// makes psi an exact fraction), 1 US gal = 231 in3.
    #[rustfmt::skip]
    const fn row(self) -> Row {
        use Dimension as D;
        match self {
            Unit::DegF => row(D::Temperature, ("degF", "°F"), &["°F", "deg F"], (5, 9), Unit::DegC, 1),
            Unit::DegC => row(D::Temperature, ("degC", "°C"), &["°C", "deg C"], (1, 1), Unit::DegF, 1),
            Unit::Kelvin => row(D::Temperature, ("K", "K"), &[], (1, 1), Unit::DegF, 1),
            Unit::DegFDifference => row(D::TemperatureDifference, ("degF", "°F"), &["°F", "deg F"], (5, 9), Unit::DegCDifference, 1),
            Unit::DegCDifference => row(D::TemperatureDifference, ("degC", "°C"), &["°C", "deg C"], (1, 1), Unit::DegFDifference, 1),
            Unit::KelvinDifference => row(D::TemperatureDifference, ("K", "K"), &[], (1, 1), Unit::DegFDifference, 1),
            Unit::Psi => row(D::Pressure, ("psi", "psi"), &[], (8_896_443_230_521, 1_290_320_000), Unit::Kilopascal, 1),
            Unit::Kilopascal => row(D::Pressure, ("kPa", "kPa"), &[], (1000, 1), Unit::Psi, 1),
            Unit::Bar => row(D::Pressure, ("bar", "bar"), &[], (100_000, 1), Unit::Psi, 2),
            Unit::Megapascal => row(D::Pressure, ("MPa", "MPa"), &[], (1_000_000, 1), Unit::Psi, 3),
            Unit::Inch => row(D::Length, ("in", "in"), &["\"", "″"], (127, 5), Unit::Millimetre, 2),
            Unit::Millimetre => row(D::Length, ("mm", "mm"), &[], (1, 1), Unit::Inch, 1),
            Unit::Centimetre => row(D::Length, ("cm", "cm"), &[], (10, 1), Unit::Inch, 1),
            Unit::Metre => row(D::Length, ("m", "m"), &[], (1000, 1), Unit::Foot, 3),
            Unit::Foot => row(D::Length, ("ft", "ft"), &[], (1524, 5), Unit::Metre, 2),
            Unit::Pound => row(D::Mass, ("lb", "lb"), &[], (45_359_237, 100_000_000), Unit::Kilogram, 1),
            Unit::Kilogram => row(D::Mass, ("kg", "kg"), &[], (1, 1), Unit::Pound, 1),
            Unit::Gallon => row(D::Volume, ("gal", "US gal"), &["US gal"], (473_176_473, 125_000_000), Unit::Litre, 2),
            Unit::Litre => row(D::Volume, ("L", "L"), &["l"], (1, 1), Unit::Gallon, 1),
            Unit::CubicMetre => row(D::Volume, ("m3", "m³"), &["m³"], (1000, 1), Unit::Gallon, 4),
            Unit::CubicInch => row(D::Volume, ("in3", "in³"), &["in³"], (2_048_383, 125_000_000), Unit::Litre, 1),
            Unit::KilogramPerCubicMetre => row(D::Density, ("kg/m3", "kg/m³"), &["kg/m³"], (1, 1000), Unit::PoundPerGallon, 0),
            Unit::GramPerCubicCentimetre => row(D::Density, ("g/cm3", "g/cm³"), &["g/cm³"], (1, 1), Unit::PoundPerGallon, 3),
            Unit::KilogramPerLitre => row(D::Density, ("kg/L", "kg/L"), &["kg/l"], (1, 1), Unit::PoundPerGallon, 3),
            Unit::PoundPerGallon => row(D::Density, ("lb/gal", "lb/US gal"), &["lb/US gal"], (2_945_405, 24_580_596), Unit::KilogramPerLitre, 2),
            Unit::FootPound => row(D::Energy, ("ft.lbf", "ft·lbf"), &["ft·lbf"], (3_389_544_870_828_501, 2_500_000_000_000_000), Unit::Kilojoule, 0),
            Unit::Kilojoule => row(D::Energy, ("kJ", "kJ"), &[], (1000, 1), Unit::FootPound, 1),
            Unit::Second => row(D::Duration, ("s", "s"), &[], (1, 1), Unit::Second, 0),
            Unit::Minute => row(D::Duration, ("min", "min"), &[], (60, 1), Unit::Minute, 1),
            Unit::Hour => row(D::Duration, ("h", "h"), &[], (3600, 1), Unit::Hour, 1),
            Unit::Day => row(D::Duration, ("d", "d"), &[], (86_400, 1), Unit::Day, 1),
            Unit::Percent => row(D::Percent, ("%", "%"), &[], (1, 100), Unit::Percent, 1),
            Unit::One => row(D::Count, ("", ""), &[], (1, 1), Unit::One, 1),
        }
    }

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

    /// The unit that a spelling from outside the accepted list most likely means, whatever its dimension.
    pub(super) fn meant_by(spelling: &str) -> Option<Unit> {
        HABITS.iter().find(|(habit, _)| habit.eq_ignore_ascii_case(spelling)).map(|&(_, unit)| unit)
    }

    /// The one unit of the dimension whose spelling is closest; `None` when none is close or two are equally close.
    pub(super) fn like(spelling: &str, dimension: Dimension) -> Option<Unit> {
        let written = spelling.to_lowercase();
        let mut ranked: Vec<(usize, Unit)> = dimension
            .units()
            .iter()
            .map(|&unit| (strsim::osa_distance(&written, &unit.symbol().to_lowercase()), unit))
            // A letter before a symbol is a prefix, and another power of ten: `mbar` is not `bar`.
            .filter(|(_, unit)| {
                !(written.len() > unit.symbol().len() && written.ends_with(&unit.symbol().to_lowercase()))
            })
            .filter(|&(distance, unit)| distance * 2 <= unit.symbol().len())
            .collect();
        ranked.sort_unstable();
        match *ranked.as_slice() {
            [(_, unit)] => Some(unit),
            [(best, unit), (next, _), ..] if best < next => Some(unit),
            _ => None,
        }
    }
}

/// Spellings from workshop habit that are refused with the right one named: a record should leave no room for a second
/// reading, and `C` and `F` are also load ranges.
const HABITS: [(&str, Unit); 35] = [
    ("F", Unit::DegF),
    ("C", Unit::DegC),
    ("degrees F", Unit::DegF),
    ("degrees C", Unit::DegC),
    ("fahrenheit", Unit::DegF),
    ("celsius", Unit::DegC),
    ("kelvin", Unit::Kelvin),
    ("psig", Unit::Psi),
    ("lb/in2", Unit::Psi),
    ("bars", Unit::Bar),
    ("inch", Unit::Inch),
    ("inches", Unit::Inch),
    ("feet", Unit::Foot),
    ("foot", Unit::Foot),
    ("'", Unit::Foot),
    ("lbs", Unit::Pound),
    ("pounds", Unit::Pound),
    ("kgs", Unit::Kilogram),
    ("kilo", Unit::Kilogram),
    ("gallon", Unit::Gallon),
    ("gallons", Unit::Gallon),
    ("gals", Unit::Gallon),
    ("litre", Unit::Litre),
    ("litres", Unit::Litre),
    ("liter", Unit::Litre),
    ("liters", Unit::Litre),
    ("cu in", Unit::CubicInch),
    ("sec", Unit::Second),
    ("minutes", Unit::Minute),
    ("mins", Unit::Minute),
    ("hr", Unit::Hour),
    ("hrs", Unit::Hour),
    ("hours", Unit::Hour),
    ("days", Unit::Day),
    ("percent", Unit::Percent),
];

#[cfg(test)]
mod tests;
