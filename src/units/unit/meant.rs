//! Which unit is meant by a spelling that is none: what a cure may offer. A cure never changes an amount.
//!
//! Must not know what is measured.

use super::{Dimension, Unit};

impl Unit {
    /// The unit that a spelling from outside the accepted list most likely means, whatever its dimension.
    pub(in crate::units) fn meant_by(spelling: &str) -> Option<Unit> {
        HABITS.iter().find(|(habit, _)| habit.eq_ignore_ascii_case(spelling)).map(|&(_, unit)| unit)
    }

    /// The unit of the dimension whose spelling differs by nothing but the case of its letters: another spelling may be
    /// a unit of another size, and a cure never changes an amount. `None` where the case decides by itself, as of `mPa`
    /// and `MPa`.
    pub(in crate::units) fn like(spelling: &str, dimension: Dimension) -> Option<Unit> {
        let same = |unit: &Unit| unit.spellings().any(|own| own.eq_ignore_ascii_case(spelling));
        let milli_for_mega = |unit: &Unit| {
            let own = unit.symbol();
            let of_prefix = |text: &str| text.starts_with(['m', 'M']);
            let measured = own.get(1..).and_then(|rest| rest.split(['/', '.']).next()).unwrap_or("");
            of_prefix(own) && own.get(..1) != spelling.get(..1) && PREFIXED.contains(&measured)
        };
        let unit = dimension.units().iter().copied().find(same)?;
        (!is_prefixed(spelling) && !milli_for_mega(&unit)).then_some(unit)
    }
}

/// Symbols that take the prefixes of powers of ten (SI Brochure, 9th edition, tables 2, 4 and 8).
pub(super) const PREFIXED: [&str; 11] = ["m", "g", "s", "Pa", "bar", "L", "l", "J", "N", "K", "t"];
/// Prefixes of powers of ten (SI Brochure, 9th edition, table 7), but for those of no workshop.
pub(super) const PREFIXES: [&str; 11] = ["n", "u", "\u{b5}", "\u{3bc}", "m", "c", "d", "h", "k", "M", "G"];

/// Whether a spelling is, letter by letter, a prefix with a symbol, and so says its own size.
fn is_prefixed(spelling: &str) -> bool {
    PREFIXES.iter().any(|prefix| spelling.strip_prefix(prefix).is_some_and(|rest| PREFIXED.contains(&rest)))
}

/// Spellings from workshop habit that are refused with the right one named: a record should leave no room for a second
/// reading, and `C` and `F` are also load ranges.
pub(super) const HABITS: &[(&str, Unit)] = &[
    ("F", Unit::DegF),
    ("C", Unit::DegC),
    ("degrees F", Unit::DegF),
    ("degrees C", Unit::DegC),
    ("fahrenheit", Unit::DegF),
    ("celsius", Unit::DegC),
    ("kelvin", Unit::Kelvin),
    ("\u{ba}F", Unit::DegF),
    ("\u{ba}C", Unit::DegC),
    ("psig", Unit::Psi),
    ("lb/in2", Unit::Psi),
    ("lbf/in2", Unit::Psi),
    ("bars", Unit::Bar),
    ("ksc", Unit::KilogramForcePerSquareCentimetre),
    ("kgf", Unit::KilogramForcePerSquareCentimetre),
    ("kg/sq cm", Unit::KilogramForcePerSquareCentimetre),
    ("inch", Unit::Inch),
    ("inches", Unit::Inch),
    ("metre", Unit::Metre),
    ("metres", Unit::Metre),
    ("meter", Unit::Metre),
    ("meters", Unit::Metre),
    ("feet", Unit::Foot),
    ("foot", Unit::Foot),
    ("'", Unit::Foot),
    ("lbs", Unit::Pound),
    ("pounds", Unit::Pound),
    ("kgs", Unit::Kilogram),
    ("kilo", Unit::Kilogram),
    ("gram", Unit::Gram),
    ("grams", Unit::Gram),
    ("tonne", Unit::Tonne),
    ("tonnes", Unit::Tonne),
    ("ft-lbs", Unit::PoundForceFoot),
    ("foot-pounds", Unit::PoundForceFoot),
    ("foot pounds", Unit::PoundForceFoot),
    ("kg.m", Unit::KilogramForceMetre),
    ("kg m", Unit::KilogramForceMetre),
    ("kgm", Unit::KilogramForceMetre),
    ("kph", Unit::KilometrePerHour),
    ("kmh", Unit::KilometrePerHour),
    ("RH", Unit::PercentHumidity),
    ("gallon", Unit::Gallon),
    ("gallons", Unit::Gallon),
    ("gals", Unit::Gallon),
    ("quart", Unit::Quart),
    ("quarts", Unit::Quart),
    ("qts", Unit::Quart),
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
