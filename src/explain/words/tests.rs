use proptest::prelude::*;

use super::*;

/// Units whose zero is nothing at all, so that a share of a number says something.
fn unit() -> impl Strategy<Value = Unit> {
    let of = |dimension: &Dimension| {
        !matches!(
            dimension,
            Dimension::Temperature | Dimension::TemperatureDifference | Dimension::Duration | Dimension::Count
        )
    };
    let units: Vec<Unit> = Dimension::ALL
        .iter()
        .filter(|dimension| of(dimension))
        .flat_map(|dimension| dimension.units())
        .copied()
        .collect();
    prop::sample::select(units)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(1_000) })]

    /// The person who keeps to the number shown keeps to the one behind it, and it is never far off, whatever the unit.
    #[test]
    fn a_shown_bound_lies_on_the_safe_side_and_near(num in 1..1_000_000_000_i128, den in 1..1_000_000_i128, unit in unit()) {
        let quantity = Quantity::new(Exact::new(num, den).unwrap(), unit).unwrap();
        let read = |rounding| Exact::parse_decimal(&number_of(quantity, rounding)).unwrap();
        let (down, up, value) = (read(Rounding::Down), read(Rounding::Up), quantity.value());
        prop_assert!(down <= value && value <= up, "{down:?} {value:?} {up:?}");
        let thousandth = value.checked_div(Exact::from_int(1_000)).unwrap();
        for shown in [down, up] {
            prop_assert!(shown.checked_sub(value).unwrap().abs() <= thousandth, "{shown:?} for {value:?} {unit:?}");
        }
    }
}

/// 72.74 psi is 0.501 524... `MPa` (1 psi = 6894.757 293 Pa, NIST SP 811 table B.8, from memory): a ceiling of two
/// places would be 0.51 `MPa` rounded to the nearest, more than a psi too high.
#[test]
fn a_ceiling_in_megapascals_is_not_above_the_one_in_psi() {
    let psi = Quantity::parse("72.74 psi", Dimension::Pressure).unwrap();
    let other = psi.in_unit(Unit::Megapascal).unwrap();
    assert_eq!(rounded(other, Rounding::Down), "0.5015 MPa");
    assert_eq!(rounded(other, Rounding::Up), "0.5016 MPa");
}
