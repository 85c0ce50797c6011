//! Tests of exact numbers against num-rational, the standard library's float printing and arithmetic laws.

use std::collections::HashSet;

use super::*;
use num_integer::Integer;
use proptest::prelude::*;

fn dec(text: &str) -> Exact {
    Exact::parse_decimal(text).unwrap()
}

fn ratio(num: i128, den: i128) -> Exact {
    Exact::new(num, den).unwrap()
}

#[test]
fn parts_are_in_lowest_terms_with_the_sign_above_the_line() {
    assert_eq!((ratio(6, -4).numer(), ratio(6, -4).denom()), (-3, 2));
    assert_eq!(ratio(0, -7), Exact::ZERO);
    assert_eq!(HashSet::from([ratio(1, 2), ratio(2, 4), ratio(-1, -2)]).len(), 1);
    assert_eq!(Exact::new(1, 0), None);
    assert_eq!(Exact::new(i128::MIN, 1), None);
    assert_eq!(Exact::new(1, i128::MIN), None);
}

#[test]
fn decimal_literals_are_read_exactly_and_strictly() {
    assert_eq!(dec("-12.50"), ratio(-25, 2));
    assert_eq!(dec("0.1").checked_add(dec("0.2")), Some(dec("0.3")));
    assert_eq!(dec("999999999999999.999999999"), ratio(999_999_999_999_999_999_999_999, 1_000_000_000));
    for bad in ["", "-", ".5", "5.", "+5", "1e3", "1,5", " 1", "1 ", "--1", "1.2.3", "0x10", "inf", "NaN", "\u{662}"] {
        assert_eq!(Exact::parse_decimal(bad), None, "{bad}");
    }
    assert_eq!(Exact::parse_decimal("1000000000000000"), None, "sixteen digits before the point");
    assert_eq!(Exact::parse_decimal("0.0000000001"), None, "ten digits after the point");
}

#[test]
fn decimals_are_written_with_the_rounding_asked_for() {
    use Rounding::{Down, Nearest, Up};
    let third = ratio(1, 3);
    assert_eq!([Nearest, Up, Down].map(|way| third.to_decimal(2, way)), ["0.33", "0.34", "0.33"]);
    assert_eq!([Nearest, Up, Down].map(|way| third.neg().to_decimal(2, way)), ["-0.33", "-0.33", "-0.34"]);
    assert_eq!([Nearest, Up, Down].map(|way| ratio(5, 2).to_decimal(0, way)), ["3", "3", "2"]);
    assert_eq!([Nearest, Up, Down].map(|way| ratio(-5, 2).to_decimal(0, way)), ["-3", "-2", "-3"]);
    assert_eq!(ratio(1999, 2000).to_decimal(3, Nearest), "1.000");
    assert_eq!(ratio(-1, 1000).to_decimal(1, Nearest), "0.0");
    assert_eq!(dec("157.5").to_decimal(3, Up), "157.500");
    // 1/7 repeats 142857 (any table of recurring decimals).
    assert_eq!(ratio(1, 7).to_decimal(12, Down), "0.142857142857");
    assert_eq!(ratio(i128::MAX - 1, i128::MAX).to_decimal(3, Down), "0.999");
}

#[test]
fn exact_decimals_are_written_only_when_they_terminate_in_time() {
    assert_eq!(ratio(1, 8).to_decimal_exact(3).as_deref(), Some("0.125"));
    assert_eq!(ratio(1, 8).to_decimal_exact(2), None);
    assert_eq!(ratio(1, 3).to_decimal_exact(38), None);
    assert_eq!(dec("105.00").to_decimal_exact(4).as_deref(), Some("105"));
    assert_eq!(ratio(1, 3).to_string(), "1/3");
    assert_eq!(format!("{:?}", dec("-2.5")), "Exact(-2.5)");
}

#[test]
fn computed_floats_are_rounded_outwards() {
    // One tenth as a binary float is 0.1000000000000000055511151231257827... (IEEE 754 double precision).
    assert_eq!(Exact::from_f64_down(0.1), Some(dec("0.1")));
    assert_eq!(Exact::from_f64_up(0.1), Some(dec("0.100000001")));
    assert_eq!(Exact::from_f64_down(-0.1), Some(dec("-0.100000001")));
    assert_eq!(Exact::from_f64_down(0.5), Exact::from_f64_up(0.5));
    assert_eq!(Exact::from_f64_down(1e15), Some(Exact::from_int(1_000_000_000_000_000)));
    assert_eq!(Exact::from_f64_down(f64::MIN_POSITIVE), Some(Exact::ZERO));
    assert_eq!(Exact::from_f64_up(5e-324), Some(dec("0.000000001")));
    assert_eq!(Exact::from_f64_down(-5e-324), Some(dec("-0.000000001")));
    assert_eq!(Exact::from_f64_down(-0.0), Some(Exact::ZERO));
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1.1e15, -1.1e15] {
        assert_eq!(Exact::from_f64_down(bad), None);
        assert_eq!(Exact::from_f64_up(bad), None);
    }
}

#[test]
fn results_that_do_not_fit_are_none() {
    let huge = ratio(i128::MAX, 1);
    assert_eq!(huge.checked_add(Exact::ONE), None);
    assert_eq!(huge.neg().checked_sub(Exact::ONE), None, "the integer without a negative");
    assert_eq!(huge.checked_mul(Exact::from_int(2)), None);
    assert_eq!(Exact::ONE.checked_div(Exact::ZERO), None);
    assert_eq!(ratio(1, i128::MAX).checked_add(ratio(1, i128::MAX - 1)), None);
}

#[test]
fn order_survives_products_that_do_not_fit() {
    let (smaller, greater) = (ratio(i128::MAX - 2, i128::MAX - 1), ratio(i128::MAX - 1, i128::MAX));
    assert!(smaller < greater && greater < Exact::ONE);
    assert!(greater.neg() < smaller.neg());
    assert!(ratio(i128::MAX, 2) > ratio(i128::MAX, 3));
}

/// Parts of every size class, so that the fast and the slow paths both run.
fn parts() -> impl Strategy<Value = i128> {
    prop_oneof![-1000_i128..1000, any::<i64>().prop_map(i128::from), -(1_i128 << 100)..(1_i128 << 100),]
}

fn exacts() -> impl Strategy<Value = Exact> {
    (parts(), parts()).prop_filter_map("zero below the line", |(num, den)| Exact::new(num, den))
}

proptest! {
    /// The reference is long division, digit by digit, which writes any number of places.
    #[test]
    fn an_exact_decimal_is_that_of_long_division_and_as_short_as_it_goes(
        num in parts(), twos in 0..12_u32, fives in 0..8_u32, three in prop::bool::weighted(0.1), most in 0..20_u32,
    ) {
        let den = 2_i128.pow(twos) * 5_i128.pow(fives) * if three { 3 } else { 1 };
        let number = ratio(num, den);
        let exact = |places: &u32| ten_to(*places).unwrap() % number.denom() == 0;
        let due = (0..=most).find(exact).map(|places| number.to_decimal(places, Rounding::Nearest));
        prop_assert_eq!(number.to_decimal_exact(most), due);
    }

    /// The reference is num-rational's own checked arithmetic; it may give up earlier on large numbers, never disagree.
    #[test]
    fn arithmetic_agrees_with_num_rational(left in exacts(), right in exacts()) {
        use num_rational::Ratio;
        let pair = (Ratio::new(left.num, left.den), Ratio::new(right.num, right.den));
        let (reference_left, reference_right) = &pair;
        let same = |ours: Option<Exact>, theirs: Option<Ratio<i128>>| match (ours, theirs) {
            (Some(ours), Some(theirs)) => ours.num == *theirs.numer() && ours.den == *theirs.denom(),
            (None, Some(_)) => false,
            (_, None) => true,
        };
        let small = left.small().is_some() && right.small().is_some();
        if small {
            let sum = reference_left + reference_right;
            prop_assert!(same(left.checked_add(right), Some(sum)));
            prop_assert!(same(left.checked_sub(right), Some(reference_left - reference_right)));
            prop_assert!(same(left.checked_mul(right), Some(reference_left * reference_right)));
            if !right.is_zero() {
                prop_assert!(same(left.checked_div(right), Some(reference_left / reference_right)));
            }
        }
        prop_assert_eq!(left.cmp(&right), reference_left.cmp(reference_right));
    }

    #[test]
    fn results_stay_in_lowest_terms_and_undo_each_other(left in exacts(), right in exacts()) {
        for result in [left.checked_add(right), left.checked_mul(right)].into_iter().flatten() {
            prop_assert!(result.den > 0);
            prop_assert_eq!(Exact::new(result.num, result.den), Some(result));
            prop_assert_eq!(result.num.gcd(&result.den), 1);
        }
        if let Some(sum) = left.checked_add(right) {
            prop_assert!(sum.checked_sub(right).is_none_or(|back| back == left));
            prop_assert_eq!(right.checked_add(left), Some(sum));
        }
        if let Some(product) = left.checked_mul(right).filter(|_| !right.is_zero()) {
            prop_assert!(product.checked_div(right).is_none_or(|back| back == left));
        }
    }

    #[test]
    fn order_agrees_with_floats_that_are_far_apart(left in exacts(), right in exacts()) {
        let (a, b) = (left.to_f64(), right.to_f64());
        let far = (a - b).abs() > 1e-9 * (a.abs() + b.abs());
        prop_assert!(!far || Some(left.cmp(&right)) == a.partial_cmp(&b));
    }

    #[test]
    fn outward_rounding_encloses_the_float_within_a_billionth(computed in -1e15_f64..1e15) {
        let (down, up) = (Exact::from_f64_down(computed).unwrap(), Exact::from_f64_up(computed).unwrap());
        // The standard library writes a float's exact value when asked for enough decimals (a double has at most 1074).
        let exact = format!("{computed:.1074}");
        let (cut, tail) = exact.split_at(exact.find('.').unwrap() + 10);
        let toward_zero = if computed < 0.0 { up } else { down };
        prop_assert_eq!(toward_zero, dec(cut));
        prop_assert_eq!(down == up, tail.bytes().all(|digit| digit == b'0'));
        prop_assert!(up.checked_sub(down).unwrap() <= dec("0.000000001"));
    }

    #[test]
    fn decimal_text_encloses_the_number(value in exacts(), places in 0_u32..9) {
        let (down, up) = (value.to_decimal(places, Rounding::Down), value.to_decimal(places, Rounding::Up));
        if let (Some(down), Some(up)) = (Exact::parse_decimal(&down), Exact::parse_decimal(&up)) {
            prop_assert!(down <= value && value <= up);
        }
    }
}
