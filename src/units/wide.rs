//! Arithmetic on exact numbers where 128 bits do not hold what comes up on the way, or the result itself.
//!
//! Worked out in integers without bound. A result that fits in lowest terms is given as it is; one that does not is
//! rounded to a side, by far less than any instrument shows, so that the end of an interval moves outwards and the figure
//! stays. Only a magnitude beyond all range is lost. This module must not know units, nor the numbers that are
//! made of its results.

use num_bigint::{BigInt, Sign};
use num_integer::Integer as _;

/// Binary digits kept of a number that is rounded: one part in four billion billions.
const KEPT_BITS: i64 = 62;
/// The finest step that is rounded to, one over two to this power, which 128 bits still hold.
const FINEST_BITS: i64 = 126;

/// The side to which a number that does not fit is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RoundingSide {
    /// Not at all: there is no number then.
    Neither,
    /// Towards minus infinity.
    Below,
    /// Towards plus infinity.
    Above,
}

/// A number as the parts above and below its line: the second is positive, and neither is `i128::MIN`.
type Parts = (i128, i128);

/// The sum.
pub(super) fn sum(a: Parts, b: Parts, side: RoundingSide) -> Option<Parts> {
    let [(a, over_a), (b, over_b)] = [a, b].map(without_bound);
    fitted(a * &over_b + b * &over_a, over_a * over_b, side)
}

/// The product.
pub(super) fn product(a: Parts, b: Parts, side: RoundingSide) -> Option<Parts> {
    let [(a, over_a), (b, over_b)] = [a, b].map(without_bound);
    fitted(a * b, over_a * over_b, side)
}

fn without_bound((num, den): Parts) -> (BigInt, BigInt) {
    (num.into(), den.into())
}

/// `num / den`, with a positive `den`, as a number that fits.
fn fitted(num: BigInt, den: BigInt, side: RoundingSide) -> Option<Parts> {
    let common = num.gcd(&den);
    let (num, den) = (num / &common, den / &common);
    match (part(&num), part(&den)) {
        (Some(num), Some(den)) => Some((num, den)),
        _ => rounded(&num, &den, side),
    }
}

/// The integer where it may be a part of a number.
fn part(whole: &BigInt) -> Option<i128> {
    i128::try_from(whole).ok().filter(|part| *part != i128::MIN)
}

/// `num / den`, with a positive `den`, as the multiple of a power of two beside it. It need not be in lowest terms.
fn rounded(num: &BigInt, den: &BigInt, side: RoundingSide) -> Option<Parts> {
    let magnitude = i64::try_from(num.bits()).ok()? - i64::try_from(den.bits()).ok()?;
    let steps = usize::try_from((KEPT_BITS - magnitude).clamp(0, FINEST_BITS)).ok()?;
    // Rounding of the division is towards minus infinity, whatever the signs.
    let (floor, rest) = (num << steps).div_mod_floor(den);
    let whole = match side {
        RoundingSide::Neither => return None,
        RoundingSide::Below => floor,
        RoundingSide::Above if rest.sign() == Sign::NoSign => floor,
        RoundingSide::Above => floor + 1,
    };
    Some((part(&whole)?, 1_i128.checked_shl(u32::try_from(steps).ok()?)?))
}

#[cfg(test)]
mod tests {
    use num_rational::BigRational;
    use proptest::prelude::*;

    use super::*;
    use crate::units::{Exact, Interval};

    /// Numbers as records and packs bring them about, from a few digits to all that 128 bits hold.
    fn number() -> impl Strategy<Value = Exact> {
        let part = prop_oneof![any::<i128>(), any::<i64>().prop_map(i128::from), -1_000_000_i128..1_000_000];
        (part.clone(), part).prop_filter_map("zero below the line", |(num, den)| Exact::new(num, den))
    }

    fn big(number: Exact) -> BigRational {
        BigRational::new(number.numer().into(), number.denom().into())
    }

    /// The number if it fits in lowest terms. The reference is the big rational of `num-rational`.
    fn fits(number: &BigRational) -> Option<Exact> {
        Exact::new(i128::try_from(number.numer()).ok()?, i128::try_from(number.denom()).ok()?)
    }

    /// Whether a magnitude is far within what can be rounded to.
    fn in_range(number: &BigRational) -> bool {
        number.numer().bits() < number.denom().bits() + 125
    }

    proptest! {
        /// Plain arithmetic gives the number whenever it fits, and never another.
        #[test]
        fn a_result_that_fits_is_never_lost(a in number(), b in number()) {
            prop_assert_eq!(a.checked_add(b), fits(&(big(a) + big(b))));
            prop_assert_eq!(a.checked_sub(b), fits(&(big(a) - big(b))));
            prop_assert_eq!(a.checked_mul(b), fits(&(big(a) * big(b))));
            if !b.is_zero() {
                prop_assert_eq!(a.checked_div(b), fits(&(big(a) / big(b))));
            }
        }

        /// An interval is lost only where its magnitude is; otherwise it holds every result, and is wider than the exact
        /// one by less than a billionth of a billionth of its end.
        #[test]
        fn intervals_keep_what_they_hold(a in number(), b in number(), c in number(), d in number()) {
            let left = Interval::new(a.min(b), a.max(b)).unwrap();
            let right = Interval::new(c.min(d), c.max(d)).unwrap();
            let ends = |interval: Interval| [big(interval.lo()), big(interval.hi())];
            let ([a, b], [c, d]) = (ends(left), ends(right));
            let check = |found: Option<Interval>, exact: Vec<BigRational>| -> Result<(), TestCaseError> {
                let (lo, hi) = (exact.iter().min().unwrap(), exact.iter().max().unwrap());
                let Some(found) = found else {
                    prop_assert!(!in_range(lo) || !in_range(hi), "{lo} to {hi} is lost");
                    return Ok(());
                };
                let [low, high] = ends(found);
                prop_assert!(&low <= lo && hi <= &high, "{low} to {high} does not hold {lo} to {hi}");
                for (rounded, exact) in [(&low, lo), (&high, hi)] {
                    let off = if rounded > exact { rounded - exact } else { exact - rounded };
                    let size = if exact < &BigRational::from_integer(0.into()) { -exact } else { exact.clone() };
                    let finest = BigRational::new(1.into(), BigInt::from(1) << 126);
                    let allowed = (size / BigRational::from_integer(BigInt::from(10).pow(18))).max(finest);
                    prop_assert!(off <= allowed, "{rounded} for {exact}");
                }
                Ok(())
            };
            check(left.checked_add(right), vec![&a + &c, &b + &d])?;
            check(left.checked_sub(right), vec![&a - &d, &b - &c])?;
            check(left.checked_scale(right.lo()), vec![&a * &c, &b * &c])?;
            check(left.checked_mul(right), vec![&a * &c, &a * &d, &b * &c, &b * &d])?;
            if right.lo() > Exact::ZERO {
                check(left.checked_div(right), vec![&a / &c, &a / &d, &b / &c, &b / &d])?;
            } else {
                prop_assert_eq!(left.checked_div(right), None);
            }
        }
    }
}
