//! Tests of the table of units against published definitions and conversion factors.

use super::meant::{HABITS, PREFIXED, PREFIXES};
use super::*;
use std::collections::HashSet;

fn every_unit() -> impl Iterator<Item = Unit> {
    Dimension::ALL.into_iter().flat_map(|dimension| dimension.units().iter().copied())
}

/// What a publication gives as the size of a unit, in the SI unit of its quantity.
struct Published {
    unit: Unit,
    /// The factor to the SI unit, as printed.
    factor: &'static str,
    /// How many of our base units the SI unit holds.
    base_units: f64,
}

/// One row for every unit; a unit without one fails the test.
///
/// NIST Special Publication 811 (2008 edition), appendix B.8, for units outside the SI (the quart is the US liquid
/// one), to its seven digits (memory); the SI brochure of the BIPM (9th edition) for SI units, prefixes (table 7) and
/// units accepted beside them (table 8) (memory). Parts per million and billion by ISO 80000-1:2009, 6.5.5 (memory),
/// which advises against these words because `billion` is ambiguous; exposure limits are printed in them.
#[rustfmt::skip]
fn published() -> Vec<Published> {
    // Our base units: kelvin, pascal, millimetre, kilogram, litre, kilogram per litre, joule, newton metre, metre per
    // second, second, milligram per cubic metre; a share and a count of one.
    const MM: f64 = 1e3; // in a metre
    const L: f64 = 1e3; // in a cubic metre
    const KG_PER_L: f64 = 1e-3; // in a kilogram per cubic metre
    const MG_PER_M3: f64 = 1e6; // in a kilogram per cubic metre
    let row = |unit, factor, base_units| Published { unit, factor, base_units };
    vec![
        row(Unit::DegF, "0.5555556", 1.0), row(Unit::DegC, "1", 1.0), row(Unit::Kelvin, "1", 1.0),
        row(Unit::DegFDifference, "0.5555556", 1.0), row(Unit::DegCDifference, "1", 1.0), row(Unit::KelvinDifference, "1", 1.0),
        row(Unit::Psi, "6894.757", 1.0), row(Unit::Kilopascal, "1000", 1.0), row(Unit::Bar, "100000", 1.0),
        row(Unit::Megapascal, "1000000", 1.0), row(Unit::Millibar, "100", 1.0),
        // Conventional: mercury of 13 595.1 kg/m3, as by the standard gravity.
        row(Unit::InchOfMercury, "3386.389", 1.0), row(Unit::CentimetreOfMercury, "1333.224", 1.0),
        row(Unit::KilogramForcePerSquareCentimetre, "98066.5", 1.0),
        row(Unit::Inch, "0.0254", MM), row(Unit::Foot, "0.3048", MM), row(Unit::Millimetre, "0.001", MM),
        row(Unit::Centimetre, "0.01", MM), row(Unit::Metre, "1", MM),
        row(Unit::Pound, "0.4535924", 1.0), row(Unit::Kilogram, "1", 1.0), row(Unit::Tonne, "1000", 1.0),
        row(Unit::Gram, "0.001", 1.0), row(Unit::Quart, "0.0009463529", L),
        row(Unit::Gallon, "0.003785412", L), row(Unit::CubicInch, "0.00001638706", L), row(Unit::Litre, "0.001", L),
        row(Unit::CubicMetre, "1", L),
        row(Unit::PoundPerGallon, "119.8264", KG_PER_L), row(Unit::KilogramPerCubicMetre, "1", KG_PER_L),
        row(Unit::GramPerCubicCentimetre, "1000", KG_PER_L), row(Unit::KilogramPerLitre, "1000", KG_PER_L),
        row(Unit::FootPound, "1.355818", 1.0), row(Unit::Kilojoule, "1000", 1.0),
        row(Unit::PoundForceFoot, "1.355818", 1.0), row(Unit::NewtonMetre, "1", 1.0), row(Unit::KilogramForceMetre, "9.80665", 1.0),
        row(Unit::MilePerHour, "0.44704", 1.0), row(Unit::KilometrePerHour, "0.2777778", 1.0),
        row(Unit::Second, "1", 1.0), row(Unit::Minute, "60", 1.0), row(Unit::Hour, "3600", 1.0), row(Unit::Day, "86400", 1.0),
        row(Unit::Percent, "0.01", 1.0), row(Unit::PercentHumidity, "0.01", 1.0), row(Unit::One, "1", 1.0),
        row(Unit::MilligramPerCubicMetre, "0.000001", MG_PER_M3), row(Unit::MicrogramPerCubicMetre, "0.000000001", MG_PER_M3),
        row(Unit::PartPerMillion, "0.000001", 1.0), row(Unit::PartPerBillion, "0.000000001", 1.0),
    ]
}

#[test]
fn every_unit_has_the_size_that_is_published() {
    let published = published();
    for unit in every_unit() {
        let rows: Vec<&Published> = published.iter().filter(|row| row.unit == unit).collect();
        let [row] = rows[..] else { panic!("{unit:?} has {} rows of figures from outside", rows.len()) };
        let listed: f64 = row.factor.parse().unwrap();
        let ours = unit.row().scale.to_f64() / row.base_units;
        assert!((ours / listed - 1.0).abs() < 5e-7, "{unit:?}: {ours} against {listed}");
    }
}

#[test]
fn psi_gallon_and_quart_follow_exactly_from_their_definitions() {
    // Pound-force per square inch with the conventional g of the 3rd CGPM (1901), 9.806 65 m/s2; pound and inch of
    // the 1959 international yard and pound agreement; US gallon of 231 cubic inches.
    let exact = |text: &str| Exact::parse_decimal(text).unwrap();
    let force = exact("0.45359237").checked_mul(exact("9.80665")).unwrap();
    let area = exact("0.0254").checked_mul(exact("0.0254")).unwrap();
    assert_eq!(Some(Unit::Psi.row().scale), force.checked_div(area));
    let inch = exact("0.254");
    let litres = inch.checked_mul(inch).and_then(|square| square.checked_mul(inch));
    let gallon = litres.and_then(|cubic_inch| cubic_inch.checked_mul(Exact::from_int(231)));
    assert_eq!((Some(Unit::CubicInch.row().scale), Some(Unit::Gallon.row().scale)), (litres, gallon));
    // A liquid quart of 57.75 cubic inches, a quarter of the gallon (NIST Handbook 44, appendix C, memory).
    let quart = litres.and_then(|cubic_inch| cubic_inch.checked_mul(exact("57.75")));
    assert_eq!(Some(Unit::Quart.row().scale), quart);
    assert_eq!(Unit::PoundPerGallon.row().scale, exact("0.45359237").checked_div(Unit::Gallon.row().scale).unwrap());
}

#[test]
fn temperature_scales_meet_at_their_fixed_points() {
    // Definition of the Celsius scale (BIPM SI brochure: t = T - 273.15 K) and t/degF = 1.8 t/degC + 32; both scales
    // read -40 at the same temperature.
    let pairs =
        [("32", "0", "273.15"), ("212", "100", "373.15"), ("-40", "-40", "233.15"), ("-459.67", "-273.15", "0")];
    for (fahrenheit, celsius, kelvin) in pairs {
        let exact = |text: &str| Exact::parse_decimal(text).unwrap();
        let base = Some(exact(kelvin));
        assert_eq!(Unit::DegF.to_base(exact(fahrenheit)), base);
        assert_eq!(Unit::DegC.to_base(exact(celsius)), base);
        assert_eq!(Unit::DegF.from_base(exact(kelvin)), Some(exact(fahrenheit)));
    }
}

#[test]
fn the_table_is_consistent() {
    for unit in every_unit() {
        let row = unit.row();
        let (num, den) = (row.scale.numer(), row.scale.denom());
        assert!(Exact::new(num, den) == Some(row.scale) && num > 0, "{unit:?} is not in lowest terms");
        assert_eq!(Exact::new(unit.base_at_zero().numer(), unit.base_at_zero().denom()), Some(unit.base_at_zero()));
        assert_eq!(unit.counterpart().dimension(), unit.dimension(), "{unit:?}");
        for spelling in row.also.iter().copied().chain([row.symbol, row.pretty]) {
            assert_eq!(Unit::find(spelling, row.dimension), Some(unit), "`{spelling}`");
        }
    }
    for dimension in Dimension::ALL {
        assert!(dimension.units().iter().all(|unit| unit.dimension() == dimension), "{dimension:?}");
        let symbols: HashSet<&str> = dimension.units().iter().map(|unit| unit.symbol()).collect();
        assert_eq!(symbols.len(), dimension.units().len(), "{dimension:?}");
    }
    // A unit stands in one dimension; in two, one of its rows would never be found.
    assert_eq!(every_unit().collect::<HashSet<_>>().len(), every_unit().count());
}

#[test]
fn habits_are_never_accepted_spellings() {
    for (habit, _) in HABITS {
        assert!(Dimension::ALL.into_iter().all(|dimension| Unit::find(habit, dimension).is_none()), "`{habit}`");
    }
}

#[test]
fn a_spelling_in_other_letters_is_suggested_where_their_case_says_nothing() {
    for (spelling, unit) in [
        ("PSI", Unit::Psi),
        ("KPA", Unit::Kilopascal),
        ("Mpa", Unit::Megapascal),
        ("BAR", Unit::Bar),
        ("Lb", Unit::Pound),
        ("KG", Unit::Kilogram),
        ("IN", Unit::Inch),
        ("MIN", Unit::Minute),
        ("MPH", Unit::MilePerHour),
        ("G/CM3", Unit::GramPerCubicCentimetre),
    ] {
        assert_eq!(Unit::like(spelling, unit.dimension()), Some(unit), "`{spelling}`");
    }
    for other in ["mPa", "mpa", "nm", "MBAR", "MM", "MG/M3", "pis", "degG", "furlong"] {
        assert!(Dimension::ALL.into_iter().all(|dimension| Unit::like(other, dimension).is_none()), "`{other}`");
    }
}

/// Spellings of other sizes, with what is measured by them: prefixes by the SI Brochure, 9th edition, table 7; the others by
/// NIST SP 811, appendix B.
const OTHER_SIZES: &[&str] = &[
    "lbf.in", "in.lbf", "lbf.in2", "ksi", "oz", "mg", "ml", "mL", "cl", "dL", "kN", "N.cm", "kN.m", "N.mm", "lb/ft3",
    "lb/in3", "g/L", "mg/L", "kg/mL", "kgf/mm2", "m/s", "ft/s", "mi", "km", "dm", "yd", "pt", "ton", "ms", "us", "Pa",
    "hPa", "GPa", "mPa", "kbar", "J", "MJ", "mmHg", "inH2O", "oz/gal", "ppt", "ng/m3", "atm", "torr", "lbf", "N",
];

#[test]
fn no_cure_changes_an_amount() {
    let told = |spelling: &str, dimension: Dimension| {
        Unit::meant_by(spelling)
            .filter(|unit| unit.dimension() == dimension)
            .or_else(|| Unit::like(spelling, dimension))
    };
    for dimension in Dimension::ALL {
        for spelling in OTHER_SIZES {
            assert_eq!(told(spelling, dimension), None, "`{spelling}` as a {}", dimension.name());
        }
        for prefix in PREFIXES {
            for unit in every_unit().filter(|unit| PREFIXED.contains(&unit.symbol())) {
                let prefixed = format!("{prefix}{}", unit.symbol());
                assert_eq!(told(&prefixed, dimension), None, "`{prefixed}` as a {}", dimension.name());
            }
        }
        // Whatever else is told is the spelling itself in other letters.
        for unit in dimension.units() {
            for spelling in unit.spellings() {
                for text in
                    [spelling.to_uppercase(), spelling.to_lowercase(), format!("{spelling}s"), format!("x{spelling}")]
                {
                    let meant = Unit::like(&text, dimension);
                    assert!(
                        meant.is_none_or(|meant| meant.spellings().any(|own| own.eq_ignore_ascii_case(&text))),
                        "`{text}`"
                    );
                }
            }
        }
    }
}
