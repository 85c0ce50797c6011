//! Intervals: a reading or a figure with its uncertainty, and what can be said when two of them are compared.
//!
//! The true value may lie anywhere within the bounds, so a comparison is true only if it holds for every pair of
//! values, false only if it holds for none, and otherwise unknown. A bound that 128 bits do not hold exactly is rounded
//! outwards; it is lost only where its magnitude leaves all range. This is how a guard band enters the judgement. This
//! module must not know units, limits or rules.

use serde::{Deserialize, Serialize};

use super::wide::RoundingSide;
use super::{Exact, Truth};

/// A closed interval of exact numbers, in the base unit of whatever is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(into = "(Exact, Exact)", try_from = "(Exact, Exact)")]
pub struct Interval {
    // INVARIANT: `lo <= hi`.
    lo: Exact,
    hi: Exact,
}

impl Interval {
    /// From `lo` to `hi`, both included; `None` when they are the wrong way round.
    pub fn new(lo: Exact, hi: Exact) -> Option<Interval> {
        (lo <= hi).then_some(Interval { lo, hi })
    }

    /// A value without uncertainty.
    pub const fn point(value: Exact) -> Interval {
        Interval { lo: value, hi: value }
    }

    /// The least value it may be.
    pub const fn lo(self) -> Exact {
        self.lo
    }

    /// The greatest value it may be.
    pub const fn hi(self) -> Exact {
        self.hi
    }

    /// Whether the value lies within, bounds included.
    pub fn contains(self, value: Exact) -> bool {
        self.lo <= value && value <= self.hi
    }

    /// The values that lie within both; `None` when there are none.
    pub fn intersect(self, other: Interval) -> Option<Interval> {
        Interval::new(self.lo.max(other.lo), self.hi.min(other.hi))
    }

    /// Whether it is a single value.
    pub fn is_point(self) -> bool {
        self.lo == self.hi
    }

    /// Every sum of a value of each; `None` when a bound is out of range.
    #[must_use]
    pub fn checked_add(self, other: Interval) -> Option<Interval> {
        if self.is_point()
            && other.is_point()
            && let Some(sum) = self.lo.checked_add(other.lo)
        {
            return Some(Interval::point(sum));
        }
        Interval::new(
            self.lo.add_toward(other.lo, RoundingSide::Below)?,
            self.hi.add_toward(other.hi, RoundingSide::Above)?,
        )
    }

    /// Every difference of a value of each; `None` when a bound is out of range.
    #[must_use]
    pub fn checked_sub(self, other: Interval) -> Option<Interval> {
        self.checked_add(Interval { lo: other.hi.neg(), hi: other.lo.neg() })
    }

    /// Every value times the factor; a negative factor turns the interval round. `None` when a bound is out of range.
    #[must_use]
    pub fn checked_scale(self, factor: Exact) -> Option<Interval> {
        if self.is_point()
            && let Some(product) = self.lo.checked_mul(factor)
        {
            return Some(Interval::point(product));
        }
        let (low, high) = if factor.is_negative() { (self.hi, self.lo) } else { (self.lo, self.hi) };
        Interval::new(low.mul_toward(factor, RoundingSide::Below)?, high.mul_toward(factor, RoundingSide::Above)?)
    }

    /// Every product of a value of each; `None` when a bound is out of range.
    #[must_use]
    pub fn checked_mul(self, other: Interval) -> Option<Interval> {
        if other.is_point() {
            return self.checked_scale(other.lo);
        }
        let (one, two) = (self.checked_scale(other.lo)?, self.checked_scale(other.hi)?);
        Some(Interval { lo: one.lo.min(two.lo), hi: one.hi.max(two.hi) })
    }

    /// Every quotient of a value of each; `None` when the divisor is not above zero throughout, or a bound is out of
    /// range.
    #[must_use]
    pub fn checked_div(self, other: Interval) -> Option<Interval> {
        if other.lo <= Exact::ZERO {
            return None;
        }
        let (below, above) = (RoundingSide::Below, RoundingSide::Above);
        let lo = if self.lo.is_negative() { other.lo } else { other.hi };
        let hi = if self.hi.is_negative() { other.hi } else { other.lo };
        Interval::new(self.lo.div_toward(lo, below)?, self.hi.div_toward(hi, above)?)
    }

    /// Moves both bounds outwards by an uncertainty. A negative `by` moves them inwards. `None` when a bound is out of
    /// range or the bounds would cross.
    #[must_use]
    pub fn widen(self, by: Exact) -> Option<Interval> {
        Interval::new(self.lo.add_toward(by.neg(), RoundingSide::Below)?, self.hi.add_toward(by, RoundingSide::Above)?)
    }

    /// What of it lies at `floor` or above; the floor itself where nothing does.
    #[must_use]
    pub fn cut_below(self, floor: Exact) -> Interval {
        Interval { lo: self.lo.max(floor), hi: self.hi.max(floor) }
    }

    /// The middle, or where it does not fit the number within the bounds just below it; `None` when it leaves all range.
    pub fn mid(self) -> Option<Exact> {
        let sum = self.lo.add_toward(self.hi, RoundingSide::Below)?;
        Some(sum.div_toward(Exact::from_int(2), RoundingSide::Below)?.max(self.lo))
    }

    /// Whether this is at least the other: true when even the least of this reaches the greatest of the other.
    pub fn at_least(self, other: Interval) -> Truth {
        // The second comparison is made only where the first leaves it open.
        if self.lo >= other.hi { Truth::True } else { decided(false, self.hi < other.lo) }
    }

    /// Whether this is at most the other.
    pub fn at_most(self, other: Interval) -> Truth {
        other.at_least(self)
    }

    /// Whether this is strictly above the other.
    pub fn above(self, other: Interval) -> Truth {
        self.at_most(other).not()
    }

    /// Whether this equals the other: true only for two equal points, false when they have no value in common.
    pub fn equals(self, other: Interval) -> Truth {
        decided(self.is_point() && other.is_point() && self.lo == other.lo, self.hi < other.lo || other.hi < self.lo)
    }
}

/// True when it holds for every pair, false when it holds for none, otherwise unknown.
fn decided(for_every_pair: bool, for_no_pair: bool) -> Truth {
    match (for_every_pair, for_no_pair) {
        (true, _) => Truth::True,
        (false, true) => Truth::False,
        (false, false) => Truth::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn int(whole: i64) -> Exact {
        Exact::from_int(whole)
    }

    fn dec(text: &str) -> Exact {
        Exact::parse_decimal(text).unwrap()
    }

    #[test]
    fn guard_bands_put_the_acceptance_limit_where_ilac_g8_puts_it() {
        // ILAC-G8:09/2019, table under 4.2.3, guard band w for decision rules with an upper tolerance limit TL
        // (acceptance limit AL = TL - w), from memory: six sigma 3 U, three sigma 1.5 U, the rule of ILAC-G8:2009 1 U,
        // ISO 14253-1 0.83 U, simple acceptance 0. Here TL = 100 and U = 2.
        let limit = Interval::point(int(100));
        let hair = dec("0.000000001");
        for (factor, acceptance) in [("3", "94"), ("1.5", "97"), ("1", "98"), ("0.83", "98.34"), ("0", "100")] {
            let guard = dec(factor).checked_mul(int(2)).unwrap();
            let judge = |reading: Exact| Interval::point(reading).widen(guard).unwrap().at_most(limit);
            let acceptance = dec(acceptance);
            let rejection = int(100).checked_add(guard).unwrap();
            assert_eq!(judge(acceptance), Truth::True, "w = {factor} U, at AL");
            assert_ne!(judge(acceptance.checked_add(hair).unwrap()), Truth::True, "w = {factor} U, above AL");
            assert_ne!(judge(rejection), Truth::False, "w = {factor} U, at TL + w");
            assert_eq!(judge(rejection.checked_add(hair).unwrap()), Truth::False, "w = {factor} U, above TL + w");
        }
        // The table's "uncritical" rule, w = -U, accepts beyond the limit; a point cannot be widened by less than
        // nothing, so that rule cannot be expressed.
        assert_eq!(Interval::point(int(100)).widen(int(-2)), None);
    }

    #[test]
    fn bounds_the_wrong_way_round_are_refused() {
        assert_eq!(Interval::new(int(2), int(1)), None);
        assert!(Interval::new(int(1), int(1)).is_some_and(Interval::is_point));
    }

    #[test]
    fn touching_intervals_decide_at_least_but_not_above() {
        let low = Interval::new(int(1), int(2)).unwrap();
        let high = Interval::new(int(2), int(3)).unwrap();
        assert_eq!(high.at_least(low), Truth::True);
        assert_eq!(high.above(low), Truth::Unknown);
        assert_eq!(low.above(high), Truth::False);
        assert_eq!(low.at_most(high), Truth::True);
        assert_eq!(low.equals(high), Truth::Unknown);
        assert_eq!(low.equals(low), Truth::Unknown);
        assert_eq!(Interval::point(int(2)).equals(Interval::point(int(2))), Truth::True);
        assert_eq!(Interval::point(int(2)).equals(Interval::point(int(3))), Truth::False);
    }

    #[test]
    fn arithmetic_agrees_with_textbook_interval_arithmetic() {
        // Moore, "Interval Analysis" (1966), definitions: [a,b] - [c,d] = [a-d, b-c]; a negative factor swaps bounds.
        let left = Interval::new(int(1), int(3)).unwrap();
        let right = Interval::new(int(10), int(20)).unwrap();
        assert_eq!(left.checked_sub(right), Interval::new(int(-19), int(-7)));
        assert_eq!(left.checked_add(right), Interval::new(int(11), int(23)));
        assert_eq!(left.checked_scale(int(-2)), Interval::new(int(-6), int(-2)));
        assert_eq!(left.widen(Exact::ONE), Interval::new(int(0), int(4)));
        assert_eq!(left.mid(), Some(int(2)));
        assert!(left.contains(int(3)) && !left.contains(int(4)));
    }

    /// A comparison of intervals and the same comparison of plain integers.
    type Compare = (fn(Interval, Interval) -> Truth, fn(&i64, &i64) -> bool);

    proptest! {
        /// Whatever a comparison decides holds for the values within, as plain integers compare.
        #[test]
        fn decided_comparisons_hold_for_every_value(
            a in -20_i64..20, width_a in 0_i64..6, b in -20_i64..20, width_b in 0_i64..6,
        ) {
            let left = Interval::new(int(a), int(a + width_a)).unwrap();
            let right = Interval::new(int(b), int(b + width_b)).unwrap();
            let comparisons: [Compare; 4] = [
                (Interval::at_least, i64::ge), (Interval::at_most, i64::le),
                (Interval::above, i64::gt), (Interval::equals, i64::eq),
            ];
            for (judged, plain) in comparisons {
                let pairs: Vec<bool> = (a..=a + width_a)
                    .flat_map(|x| (b..=b + width_b).map(move |y| plain(&x, &y)))
                    .collect();
                let expected = match (pairs.iter().all(|&holds| holds), pairs.iter().any(|&holds| holds)) {
                    (true, _) => Truth::True,
                    (_, false) => Truth::False,
                    // Between whole numbers lie others, so a mixture is never decided.
                    _ => Truth::Unknown,
                };
                prop_assert_eq!(judged(left, right), expected);
            }
        }
    }
}
