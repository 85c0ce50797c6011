//! Tests of written quantities: forms, conversions, texts for people, errors with their cures.

use super::*;
use crate::units::NumberFault;
use proptest::prelude::*;

fn read(text: &str, due: Dimension) -> Quantity {
    Quantity::parse(text, due).unwrap_or_else(|error| panic!("{error}"))
}

fn psi(text: &str) -> Quantity {
    read(text, Dimension::Pressure)
}

fn refused(text: &str, due: Dimension) -> (String, String) {
    let error = Quantity::parse(text, due).unwrap_err();
    (error.to_string(), error.help())
}

#[test]
fn one_and_a_half_times_105_psi_is_157_and_a_half_psi_in_any_unit() {
    let ceiling = psi("105 psi").scaled(Exact::new(3, 2).unwrap()).unwrap();
    let limit = psi("157.5 psi");
    assert_eq!(ceiling.base(), limit.base());
    for &unit in Dimension::Pressure.units() {
        let converted = psi("105 psi").in_unit(unit).unwrap().scaled(Exact::new(3, 2).unwrap()).unwrap();
        assert_eq!(converted.base(), limit.base(), "{unit:?}");
        assert_eq!(Some(converted), limit.in_unit(unit), "{unit:?}");
        assert_eq!(converted.in_unit(Unit::Psi), Some(limit), "{unit:?}");
    }
}

#[test]
fn blanks_may_vary_and_spellings_on_the_list_are_one_unit() {
    for text in ["105 psi", "105psi", "  105   psi ", "105\u{a0}psi", "105\u{202f}psi"] {
        assert_eq!(psi(text), psi("105 psi"), "{text}");
    }
    for text in ["72 degF", "72 °F", "72°F", "72 deg F"] {
        assert_eq!(read(text, Dimension::Temperature).to_record_text(), "72 degF", "{text}");
    }
    for text in ["30 gal", "30 US gal", "30 US  gal"] {
        assert_eq!(read(text, Dimension::Volume).unit(), Unit::Gallon, "{text}");
    }
    assert_eq!(read("16 1/2\"", Dimension::Length), read("16.5 in", Dimension::Length));
    assert_eq!(read("16", Dimension::Count).value(), Exact::from_int(16));
    assert_eq!(read("2%", Dimension::Percent).base(), Exact::new(1, 50).unwrap());
    assert!(psi("-5 psi").base().is_negative());
}

/// A quantity with its value in the unit of the other system, where that is another unit.
fn both_systems(quantity: Quantity) -> String {
    let other = quantity.unit().counterpart();
    match quantity.in_unit(other) {
        Some(converted) if other != quantity.unit() => format!("{quantity} ({converted})"),
        _ => quantity.to_string(),
    }
}

#[test]
fn temperatures_convert_as_the_nist_formula_says() {
    // NIST SP 811, B.8: T/K = (t/degF + 459.67)/1.8 and t/degC = (t/degF - 32)/1.8; 72 degF is 22.2 degC to one place.
    let room = read("72 degF", Dimension::Temperature);
    assert_eq!(both_systems(room), "72 °F (22.2 °C)");
    assert_eq!(room.in_unit(Unit::DegC).unwrap().value(), Exact::new(200, 9).unwrap());
    let step = read("30 degC", Dimension::Temperature).difference(read("68 degF", Dimension::Temperature)).unwrap();
    assert_eq!((step.to_record_text().as_str(), step.dimension()), ("10 degC", Dimension::TemperatureDifference));
    assert_eq!(step.in_unit(Unit::DegFDifference).unwrap().value(), Exact::from_int(18));
    assert_eq!(step.in_unit(Unit::DegF), None, "a difference is not a temperature");
    assert_eq!(room.scaled(Exact::from_int(2)), None);
    assert_eq!(room.difference(psi("5 psi")), None);
}

#[test]
fn volume_times_density_is_mass_in_base_units() {
    // 1 L of water at 1000 kg/m3 weighs 1 kg, by the definition of the litre as a cubic decimetre (12th CGPM, 1964).
    let density = read("1000 kg/m3", Dimension::Density);
    assert_eq!(read("1 L", Dimension::Volume).base().checked_mul(density.base()), Some(Exact::ONE));
    assert_eq!(density.base(), read("1 g/cm3", Dimension::Density).base());
    // 231 in3 is the US gallon (NIST Handbook 44, appendix C, from memory).
    assert_eq!(read("231 in3", Dimension::Volume).base(), read("1 gal", Dimension::Volume).base());
}

#[test]
fn people_see_exact_decimals_shop_fractions_or_usual_places() {
    let cases = [
        ("105 psi", Dimension::Pressure, "105 psi (723.9 kPa)"),
        ("8.27 bar", Dimension::Pressure, "8.27 bar (119.9 psi)"),
        ("5 5/32 in", Dimension::Length, "5 5/32 in (131.0 mm)"),
        ("1/8 in", Dimension::Length, "1/8 in (3.175 mm)"),
        ("-1/8 in", Dimension::Length, "-1/8 in (-3.175 mm)"),
        ("16 1/2 in", Dimension::Length, "16.5 in (419.1 mm)"),
        ("1 gal", Dimension::Volume, "1 US gal (3.79 L)"),
        ("0.02 lb", Dimension::Mass, "0.02 lb (0.00907 kg)"),
        ("24 h", Dimension::Duration, "24 h"),
        ("2 %", Dimension::Percent, "2 %"),
        ("16", Dimension::Count, "16"),
    ];
    for (text, due, shown) in cases {
        assert_eq!(both_systems(read(text, due)), shown, "{text}");
    }
    assert_eq!(psi("157.46 psi").show(1, Rounding::Down), "157.4 psi");
    assert_eq!(psi("157.46 psi").show(1, Rounding::Up), "157.5 psi");
    assert_eq!(read("72 degF", Dimension::Temperature).show(1, Rounding::Nearest), "72.0 °F");
    assert_eq!(format!("{:>8}", read("16", Dimension::Count)), "      16");
}

#[test]
fn record_text_is_exact() {
    assert_eq!(read("1/8 in", Dimension::Length).to_record_text(), "0.125 in");
    assert_eq!(read("1/3 in", Dimension::Length).to_record_text(), "1/3 in");
    assert_eq!(psi("105.0 psi").to_record_text(), "105 psi");
    let huge = Quantity::new(Exact::from_int(1_000_000_000_000_000), Unit::One).unwrap();
    assert_eq!(read(&huge.to_record_text(), Dimension::Count), huge);
}

#[test]
fn a_bare_number_is_refused_with_the_units_that_fit() {
    // The example has a number of its own: no unit is guessed onto the one that was read.
    let (message, help) = refused("72", Dimension::Pressure);
    assert_eq!(message, "`72` has no unit where a pressure is expected");
    assert_eq!(
        help,
        "write the unit that it was read in behind the number, as in `105 psi`; a pressure takes psi, kPa, bar, MPa, mbar, inHg, cmHg or kgf/cm2"
    );
}

#[test]
fn another_kind_of_quantity_is_refused_with_both_kinds_named() {
    let (message, help) = refused("72 degF", Dimension::Pressure);
    assert_eq!(message, "`72 degF` is a temperature where a pressure is expected");
    assert_eq!(
        help,
        "write a pressure such as `105 psi`; a pressure takes psi, kPa, bar, MPa, mbar, inHg, cmHg or kgf/cm2"
    );
    assert_eq!(refused("72 F", Dimension::Pressure).0, "`72 F` is a temperature where a pressure is expected");
    assert_eq!(refused("2 %", Dimension::Count).1, "write a count such as `16`; a count takes no unit");
    assert_eq!(refused("5 psi", Dimension::Percent).1, "write a percentage such as `2 %`; a percentage takes %");
}

#[test]
fn an_unknown_unit_is_refused_with_the_likely_one() {
    let cases = [
        ("72 F", Dimension::Temperature, "write `72 degF` if that is what was meant"),
        ("22 C", Dimension::Temperature, "write `22 degC` if that is what was meant"),
        ("5 F", Dimension::TemperatureDifference, "write `5 degF` if that is what was meant"),
        ("105 PSI", Dimension::Pressure, "write `105 psi` if that is what was meant"),
        ("700 kpa", Dimension::Pressure, "write `700 kPa` if that is what was meant"),
        ("16 1/2 inches", Dimension::Length, "write `16 1/2 in` if that is what was meant"),
        ("48 hours", Dimension::Duration, "write `48 h` if that is what was meant"),
        ("13 ft 6 in", Dimension::Length, "write it in one unit: `162 in`"),
        ("13' 6\"", Dimension::Length, "write it in one unit: `162 in`"),
        ("5 furlongs", Dimension::Length, "write a length such as `16.5 in`; a length takes in, mm, cm, m or ft"),
        ("16 plies", Dimension::Count, "write a count such as `16`; a count takes no unit"),
    ];
    for (text, due, cure) in cases {
        let error = Quantity::parse(text, due).unwrap_err();
        assert!(matches!(error, QuantityError::UnknownUnit { .. }), "{text}: {error:?}");
        assert_eq!(error.help(), cure, "{text}");
    }
    assert_eq!(
        refused("5 furlongs", Dimension::Length).0,
        "`5 furlongs` has `furlongs` after the number, which is not a unit of length"
    );
    assert_eq!(
        refused("16 plies", Dimension::Count).0,
        "`16 plies` has `plies` after the number where a plain count is expected"
    );
}

#[test]
fn faults_of_the_number_are_said_with_their_cure() {
    let cases = [
        ("", "is empty", "write a pressure such as `105 psi`"),
        ("high", "does not begin with a number", "write a pressure such as `105 psi`"),
        ("\u{2212}5 psi", "begins with a typographic minus or dash", "hyphen `-`"),
        ("+5 psi", "begins with a plus sign", "leave out the plus sign"),
        (".5 psi", "has a decimal point without a digit on each side", "`0.5`"),
        ("12,5 psi", "has a decimal comma", "`12.5`"),
        ("1,500 psi", "has separators between groups of digits", "leave out the separators"),
        ("1.5e2 psi", "has an exponent", "in full"),
        ("nan psi", "is not a finite number", "leave the entry out"),
        ("½ psi", "has a digit that is not one of 0 to 9", "`1/2`"),
        ("1/0 psi", "has a fraction that cannot be read", "`16 1/2`"),
        ("90-105 psi", "holds two numbers", "write one number"),
    ];
    for (text, message, cure) in cases {
        let (said, help) = refused(text, Dimension::Pressure);
        assert_eq!(said, format!("`{text}` {message}"));
        assert!(help.contains(cure), "{text}: {help}");
    }
    let wrong = Quantity::parse("1e5 psi", Dimension::Pressure).unwrap_err();
    assert!(matches!(wrong, QuantityError::NotANumber { fault: NumberFault::Exponent, .. }));
}

#[test]
fn long_texts_are_refused_and_echoed_in_part() {
    let (message, help) = refused("1.0000000001 psi", Dimension::Pressure);
    assert_eq!(message, "`1.0000000001 psi` has more digits than a quantity may have");
    assert_eq!(help, "round the number to at most 15 digits before and 9 digits after the point");
    let (message, _) = refused(&"9".repeat(500), Dimension::Pressure);
    assert_eq!(message, format!("`{}…` has more digits than a quantity may have", "9".repeat(40)));
}

#[test]
fn every_example_is_a_quantity_of_its_dimension() {
    for due in Dimension::ALL {
        assert_eq!(read(due.example(), due).to_record_text(), due.example());
    }
}

fn units() -> impl Strategy<Value = Unit> {
    let all: Vec<Unit> = Dimension::ALL.iter().flat_map(|dimension| dimension.units()).copied().collect();
    proptest::sample::select(all)
}

proptest! {
    #[test]
    fn record_text_reads_back_as_the_same_quantity(
        num in any::<i64>(), den in 1_i64..1_000_000, unit in units(),
    ) {
        let value = Exact::new(i128::from(num), i128::from(den)).unwrap();
        let quantity = Quantity::new(value, unit).unwrap();
        prop_assert_eq!(read(&quantity.to_record_text(), unit.dimension()), quantity);
        let other = quantity.in_unit(unit.counterpart()).unwrap();
        prop_assert_eq!(read(&other.to_record_text(), unit.dimension()), other);
        prop_assert_eq!(other.in_unit(unit), Some(quantity));
    }

    #[test]
    fn what_people_see_is_within_half_a_last_place(num in -9_000_000_i64..9_000_000, den in 1_i64..5_000, unit in units()) {
        let value = Exact::new(i128::from(num), i128::from(den)).unwrap();
        let text = Quantity::new(value, unit).unwrap().number_for_people();
        if !text.contains('/') {
            let places = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
            let half = Exact::new(1, 2 * 10_i128.pow(u32::try_from(places).unwrap())).unwrap();
            // The numbers tried are large enough to be shown with at most nine places, which is what the reader takes.
            let shown = Exact::parse_decimal(&text).unwrap();
            prop_assert!(shown.checked_sub(value).unwrap().abs() <= half);
            prop_assert_eq!(shown.is_zero(), value.is_zero());
        }
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "[-+]?[0-9.,/ ½e'\u{a0}]{0,24} ?(psi|kPa|in|\")?") {
        if let Ok(quantity) = Quantity::parse(&text, Dimension::Pressure) {
            prop_assert_eq!(read(&quantity.to_record_text(), Dimension::Pressure), quantity);
        }
    }
}
