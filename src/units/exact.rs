//! Exact rational numbers, so that a limit is decided by the numbers written down and by nothing else.
//!
//! Arithmetic is checked: a result that does not fit in lowest terms is `None`, never a wrapped or a rounded number; what
//! comes up on the way may be longer. An [`Interval`](super::Interval) rounds its ends outwards instead. Floats enter only
//! through the outward-rounding constructors and leave only for display and drawing. This module must not know units.

mod whole;

use std::cmp::Ordering;
use std::fmt;
use std::ops::Neg;

use num_rational::Ratio;

use serde::{Deserialize, Serialize};

use whole::{gcd, increment, next_digit, over, pointed, product, rest_of, ten_to};

use super::wide::{self, RoundingSide};

/// Most digits before the decimal point of a decimal literal: enough for a square kilometre in square millimetres,
/// and few enough that a handful of multiplications stay within 128 bits.
pub(super) const MAX_WHOLE_DIGITS: usize = 15;
/// Most digits after the decimal point of a decimal literal: a billionth of any unit, far below any gauge.
pub(super) const MAX_DECIMAL_DIGITS: usize = 9;
/// Largest magnitude taken over from a computed float; above it, a billionth is far below the float's own step.
const MAX_COMPUTED: f64 = 1e15;
/// Computed figures are rounded outwards to multiples of one over this.
const COMPUTED_STEPS: i128 = 1_000_000_000;

/// An exact rational number.
///
/// Equality, order and hash are those of the number: `2/4` is `1/2`.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(into = "(i128, i128)", try_from = "(i128, i128)")]
pub struct Exact {
    // INVARIANT: lowest terms, `den > 0`, and neither part is `i128::MIN`, so that negation cannot overflow.
    num: i128,
    den: i128,
}

/// Which way a decimal text may depart from the exact number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Rounding {
    /// To the nearest; a tie goes away from zero.
    Nearest,
    /// Towards plus infinity.
    Up,
    /// Towards minus infinity.
    Down,
}

impl Exact {
    /// Zero.
    pub const ZERO: Exact = Exact { num: 0, den: 1 };
    /// One.
    pub const ONE: Exact = Exact { num: 1, den: 1 };

    /// The whole number.
    pub const fn from_int(whole: i64) -> Exact {
        // A widening cast; `i128::from` is not available in a constant.
        Exact { num: whole as i128, den: 1 }
    }

    /// `num / den`, in lowest terms; `None` when `den` is zero or a part is the one integer that has no negative.
    pub fn new(num: i128, den: i128) -> Option<Exact> {
        if den == 0 || num == i128::MIN || den == i128::MIN {
            return None;
        }
        Some(Exact::reduced(if den < 0 { -num } else { num }, den.abs()))
    }

    /// `num / den` brought to lowest terms, where the caller knows that `den` is positive and neither is `i128::MIN`.
    pub(super) fn reduced(num: i128, den: i128) -> Exact {
        let common = gcd(num, den);
        Exact { num: over(num, common), den: over(den, common) }
    }

    /// A constant already in lowest terms, for tables; the tables' tests check that it is.
    pub(super) const fn in_lowest_terms(num: i128, den: i128) -> Exact {
        Exact { num, den }
    }

    /// Reads a decimal literal such as `-12.50`: no plus sign, no exponent, at most 15 digits before and 9 after the
    /// point, digits on both sides of the point.
    pub fn parse_decimal(text: &str) -> Option<Exact> {
        let (negative, digits) = match text.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, text),
        };
        let (whole, decimals) = match digits.split_once('.') {
            Some((_, "")) => return None,
            Some(parts) => parts,
            None => (digits, ""),
        };
        let all_digits = whole.bytes().chain(decimals.bytes()).all(|byte| byte.is_ascii_digit());
        if whole.is_empty() || whole.len() > MAX_WHOLE_DIGITS || decimals.len() > MAX_DECIMAL_DIGITS || !all_digits {
            return None;
        }
        let scale = ten_to(u32::try_from(decimals.len()).ok()?)?;
        // Fifteen digits and nine are each within a machine word.
        let read = |digits: &str| digits.bytes().fold(0_i64, |sum, digit| sum * 10 + i64::from(digit - b'0'));
        let magnitude = i128::from(read(whole)).checked_mul(scale)?.checked_add(i128::from(read(decimals)))?;
        Exact::new(if negative { -magnitude } else { magnitude }, scale)
    }

    /// The part above the line, in lowest terms; it carries the sign.
    pub const fn numer(self) -> i128 {
        self.num
    }

    /// The part below the line, in lowest terms; always positive.
    pub const fn denom(self) -> i128 {
        self.den
    }

    const fn parts(self) -> (i128, i128) {
        (self.num, self.den)
    }

    /// The sum; `None` when it does not fit.
    #[must_use]
    pub fn checked_add(self, other: Exact) -> Option<Exact> {
        self.add_toward(other, RoundingSide::Neither)
    }

    /// The sum, or where it does not fit a number just beside it.
    pub(super) fn add_toward(self, other: Exact, side: RoundingSide) -> Option<Exact> {
        self.short_sum(other).or_else(|| {
            let (num, den) = wide::sum(self.parts(), other.parts(), side)?;
            Exact::new(num, den)
        })
    }

    /// The sum where nothing on the way leaves 128 bits.
    fn short_sum(self, other: Exact) -> Option<Exact> {
        if self.den == other.den {
            return Exact::new(self.num.checked_add(other.num)?, self.den);
        }
        if self.num == 0 || other.num == 0 {
            return Some(if self.num == 0 { other } else { self });
        }
        // Knuth, "The Art of Computer Programming" volume 2, 4.5.1: with the common divisor taken out first, the
        // intermediate numbers stay small and the result needs one further, small, common divisor.
        let common = gcd(self.den, other.den);
        let (left, right) = (over(self.den, common), over(other.den, common));
        let num = product(self.num, right)?.checked_add(product(other.num, left)?)?;
        let again = gcd(num, common);
        let den = product(left, over(other.den, again))?;
        (num != i128::MIN).then_some(Exact { num: over(num, again), den })
    }

    /// The difference; `None` when it does not fit.
    #[must_use]
    pub fn checked_sub(self, other: Exact) -> Option<Exact> {
        self.checked_add(other.neg())
    }

    /// The product; `None` when it does not fit.
    #[must_use]
    pub fn checked_mul(self, other: Exact) -> Option<Exact> {
        self.mul_toward(other, RoundingSide::Neither)
    }

    /// The product, or where it does not fit a number just beside it.
    pub(super) fn mul_toward(self, other: Exact, side: RoundingSide) -> Option<Exact> {
        self.short_product(other).or_else(|| {
            let (num, den) = wide::product(self.parts(), other.parts(), side)?;
            Exact::new(num, den)
        })
    }

    /// The product where it fits. Nothing on the way is longer than the product itself.
    fn short_product(self, other: Exact) -> Option<Exact> {
        if self.den == 1 && other.den == 1 {
            return product(self.num, other.num).filter(|num| *num != i128::MIN).map(|num| Exact { num, den: 1 });
        }
        // Common divisors are taken out crosswise beforehand, so the product is already in lowest terms.
        let (first, second) = (gcd(self.num, other.den), gcd(other.num, self.den));
        let num = product(over(self.num, first), over(other.num, second))?;
        let den = product(over(self.den, second), over(other.den, first))?;
        (num != i128::MIN).then_some(Exact { num, den })
    }

    /// The quotient; `None` when the divisor is zero or the quotient does not fit.
    #[must_use]
    pub fn checked_div(self, other: Exact) -> Option<Exact> {
        self.div_toward(other, RoundingSide::Neither)
    }

    /// The quotient, or where it does not fit a number just beside it; `None` when the divisor is zero.
    pub(super) fn div_toward(self, other: Exact, side: RoundingSide) -> Option<Exact> {
        match other.num.signum() {
            0 => None,
            1 => self.mul_toward(Exact { num: other.den, den: other.num }, side),
            _ => self.mul_toward(Exact { num: -other.den, den: -other.num }, side),
        }
    }

    /// The number with the opposite sign.
    #[must_use]
    pub const fn neg(self) -> Exact {
        Exact { num: -self.num, den: self.den }
    }

    /// The magnitude.
    #[must_use]
    pub const fn abs(self) -> Exact {
        Exact { num: self.num.abs(), den: self.den }
    }

    /// Whether it is below zero.
    pub const fn is_negative(self) -> bool {
        self.num < 0
    }

    /// Whether it is zero.
    pub const fn is_zero(self) -> bool {
        self.num == 0
    }

    /// The nearest float, or one beside it. For display and drawing only: nothing judged may depend on it.
    #[expect(clippy::cast_precision_loss, reason = "the loss is the documented meaning of this function")]
    pub fn to_f64(self) -> f64 {
        self.num as f64 / self.den as f64
    }

    /// The largest multiple of a billionth that is not above a computed float: the lower end of a figure.
    ///
    /// `None` when the float is not finite or its magnitude is above 10^15.
    pub fn from_f64_down(computed: f64) -> Option<Exact> {
        if !computed.is_finite() || computed.abs() > MAX_COMPUTED {
            return None;
        }
        // The float is taken apart and floored in integers, because a float product would itself be rounded.
        let bits = computed.to_bits();
        let exponent = (bits >> 52) & 0x7ff;
        let fraction = i128::from(bits & ((1 << 52) - 1));
        let mantissa = if exponent == 0 { fraction } else { fraction | (1 << 52) };
        let signed = if computed.is_sign_negative() { -mantissa } else { mantissa };
        // The value is `signed / 2^halvings`; a magnitude of at most 10^15 always leaves some halvings. A shift to the
        // right rounds towards minus infinity, and 127 places leave only the sign.
        let halvings = 1075_u64.checked_sub(exponent.max(1))?.min(127);
        Exact::new((signed * COMPUTED_STEPS) >> halvings, COMPUTED_STEPS)
    }

    /// The smallest multiple of a billionth that is not below a computed float: the upper end of a figure.
    ///
    /// `None` when the float is not finite or its magnitude is above 10^15.
    pub fn from_f64_up(computed: f64) -> Option<Exact> {
        Exact::from_f64_down(-computed).map(Exact::neg)
    }

    /// The decimal text without any rounding, as short as it goes; `None` when more than `max_places` would be needed.
    pub fn to_decimal_exact(self, max_places: u32) -> Option<String> {
        // A fraction terminates where its denominator divides a power of ten; 38 is the largest that 128 bits hold.
        let mut ten = 1_i128;
        for places in 0..=max_places.min(38) {
            if rest_of(ten, self.den) == 0 {
                let whole = product(self.num, over(ten, self.den));
                return Some(
                    whole.map_or_else(|| self.to_decimal(places, Rounding::Nearest), |whole| pointed(whole, places)),
                );
            }
            ten = ten.checked_mul(10)?;
        }
        None
    }

    /// The decimal text with exactly `places` digits after the point; zero is never written with a sign.
    pub fn to_decimal(self, places: u32, rounding: Rounding) -> String {
        let (num, den) = (self.num.unsigned_abs(), self.den.unsigned_abs());
        let whole = (num / den).to_string();
        let mut digits: Vec<u8> = whole.bytes().map(|digit| digit - b'0').collect();
        let mut rest = num % den;
        for _ in 0..places {
            let (digit, left) = next_digit(rest, den);
            digits.push(digit);
            rest = left;
        }
        let away_from_zero = match rounding {
            Rounding::Nearest => rest >= den - rest,
            Rounding::Up => rest != 0 && !self.is_negative(),
            Rounding::Down => rest != 0 && self.is_negative(),
        };
        if away_from_zero {
            increment(&mut digits);
        }
        let point = digits.len().saturating_sub(places as usize);
        let mut text = String::with_capacity(digits.len() + 2);
        if self.is_negative() && digits.iter().any(|&digit| digit != 0) {
            text.push('-');
        }
        for (index, digit) in digits.into_iter().enumerate() {
            if index == point {
                text.push('.');
            }
            text.push(char::from(b'0' + digit));
        }
        text
    }

    /// The parts as 64-bit integers, when they are that small; nearly all are, and their arithmetic is several times
    /// faster.
    fn small(self) -> Option<(i64, i64)> {
        Some((i64::try_from(self.num).ok()?, i64::try_from(self.den).ok()?))
    }
}

impl Neg for Exact {
    type Output = Exact;

    fn neg(self) -> Exact {
        Exact::neg(self)
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Exact) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Exact) -> Ordering {
        if self.den == other.den {
            return self.num.cmp(&other.num);
        }
        if let (Some((num, den)), Some((other_num, other_den))) = (self.small(), other.small()) {
            // The product of two 64-bit integers always fits into 128 bits.
            return (i128::from(num) * i128::from(other_den)).cmp(&(i128::from(other_num) * i128::from(den)));
        }
        match (self.num.checked_mul(other.den), other.num.checked_mul(self.den)) {
            (Some(left), Some(right)) => left.cmp(&right),
            // Ratio compares by continued fractions, which cannot overflow.
            _ => Ratio::new_raw(self.num, self.den).cmp(&Ratio::new_raw(other.num, other.den)),
        }
    }
}

impl fmt::Display for Exact {
    /// The exact decimal when nine places hold it, otherwise the fraction `n/d`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.to_decimal_exact(9) {
            Some(decimal) => f.pad(&decimal),
            None => f.pad(&format!("{}/{}", self.num, self.den)),
        }
    }
}

impl fmt::Debug for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Exact({self})")
    }
}

#[cfg(test)]
mod tests;
