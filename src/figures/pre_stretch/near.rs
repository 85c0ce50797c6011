//! Arithmetic on the readings of a log: exact where the result fits, else less than it by no more than one part in a billion
//! billions, so that long decimals lose no figure. `None` stands beyond all range only, and for a division by zero. This
//! module must not know logs.

use crate::units::{Exact, Interval};

/// The sum.
pub(super) fn sum(a: Exact, b: Exact) -> Option<Exact> {
    a.checked_add(b).or_else(|| Some(Interval::point(a).checked_add(Interval::point(b))?.lo()))
}

/// The difference.
pub(super) fn difference(a: Exact, b: Exact) -> Option<Exact> {
    sum(a, b.neg())
}

/// The product.
pub(super) fn product(a: Exact, b: Exact) -> Option<Exact> {
    a.checked_mul(b).or_else(|| Some(Interval::point(a).checked_mul(Interval::point(b))?.lo()))
}

/// The quotient.
pub(super) fn quotient(a: Exact, b: Exact) -> Option<Exact> {
    let (a, b) = if b.is_negative() { (a.neg(), b.neg()) } else { (a, b) };
    a.checked_div(b).or_else(|| Some(Interval::point(a).checked_div(Interval::point(b))?.lo()))
}

#[cfg(test)]
mod tests {
    use num_rational::BigRational;
    use proptest::prelude::*;

    use super::*;

    fn big(number: Exact) -> BigRational {
        BigRational::new(number.numer().into(), number.denom().into())
    }

    /// Readings with all the decimals that a record may write, and what comes of them.
    fn number() -> impl Strategy<Value = Exact> {
        let part = prop_oneof![any::<i128>(), any::<i64>().prop_map(i128::from), -1_000_000_i128..1_000_000];
        (part.clone(), part).prop_filter_map("zero below the line", |(num, den)| Exact::new(num, den))
    }

    proptest! {
        /// The reference is the big rational of `num-rational`: the result is it, or less by one part in 2^61 at most.
        #[test]
        fn results_are_exact_or_just_below(a in number(), b in number()) {
            let check = |found: Option<Exact>, exact: BigRational| -> Result<(), TestCaseError> {
                let Some(found) = found else { return Ok(()) };
                let off = exact.clone() - big(found);
                let none = BigRational::from_integer(0.into());
                let most = exact * BigRational::new(1.into(), num_bigint::BigInt::from(1) << 61);
                let most = if most < none { -most } else { most };
                prop_assert!(off >= none && off <= most.max(BigRational::new(1.into(), num_bigint::BigInt::from(1) << 120)));
                Ok(())
            };
            check(sum(a, b), big(a) + big(b))?;
            check(difference(a, b), big(a) - big(b))?;
            check(product(a, b), big(a) * big(b))?;
            if !b.is_zero() {
                check(quotient(a, b), big(a) / big(b))?;
            }
        }
    }

    /// Long decimals of a pressure times a temperature, both in base units, do not fit as they are.
    #[test]
    fn what_does_not_fit_is_still_worked_out() {
        let long = |digits: i128| Exact::new(digits, 1_000_000_000_000_000_003).unwrap();
        let (a, b) = (long(123_456_789_012_345_678_901_234_567), long(299_792_458_123_456_789_012_345_679));
        assert!(a.checked_mul(b).is_none() && product(a, b).is_some());
        assert_eq!(product(Exact::from_int(6), Exact::from_int(7)), Some(Exact::from_int(42)));
        assert_eq!(quotient(Exact::ONE, Exact::ZERO), None);
    }
}
