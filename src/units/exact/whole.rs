//! The arithmetic of whole numbers that exact rationals rest on, quick where machine words are enough.
//!
//! Must not know rationals.

use num_integer::Integer;

/// Ten to the power, `None` above 10^38.
pub(super) fn ten_to(power: u32) -> Option<i128> {
    10_i128.checked_pow(power)
}

/// The greatest common divisor of any number but `i128::MIN` and a positive one; always positive.
pub(super) fn gcd(any: i128, positive: i128) -> i128 {
    if positive == 1 {
        return 1;
    }
    // The common divisor of two numbers is that of one and the rest that it leaves of the other: a few divisions bring
    // both down to machine words, where the binary method is several times faster.
    let (mut large, mut small) = (any.unsigned_abs(), positive.unsigned_abs());
    loop {
        if let (Ok(large), Ok(small)) = (u64::try_from(large), u64::try_from(small)) {
            return i128::from(gcd_of_words(large, small));
        }
        if small == 0 {
            return large.cast_signed();
        }
        (large, small) = (small, large % small);
    }
}

/// `part / divisor`. Most often the divisor is one or both are machine words, and a division of 128 bits costs more than
/// all the rest.
pub(super) fn over(part: i128, divisor: i128) -> i128 {
    if divisor == 1 {
        return part;
    }
    match (i64::try_from(part), i64::try_from(divisor)) {
        (Ok(part), Ok(divisor)) => i128::from(part / divisor),
        _ => part / divisor,
    }
}

/// `part % divisor`, most often of machine words.
pub(super) fn rest_of(part: i128, divisor: i128) -> i128 {
    match (i64::try_from(part), i64::try_from(divisor)) {
        (Ok(part), Ok(divisor)) => i128::from(part % divisor),
        _ => part % divisor,
    }
}

/// A whole number of units of the last of so many decimal places, as a decimal text; zero is never written with a sign.
pub(super) fn pointed(whole: i128, places: u32) -> String {
    let magnitude = whole.unsigned_abs();
    let digits = u64::try_from(magnitude).map_or_else(|_| magnitude.to_string(), |small| small.to_string());
    let places = places as usize;
    let mut text = String::with_capacity(digits.len() + places + 3);
    if whole < 0 {
        text.push('-');
    }
    let (before, behind) = digits.split_at(digits.len().saturating_sub(places));
    text.push_str(if before.is_empty() { "0" } else { before });
    if places > 0 {
        text.push('.');
        text.extend(std::iter::repeat_n('0', places - behind.len()));
        text.push_str(behind);
    }
    text
}

/// The product, `None` when it does not fit; that of two machine words always does.
pub(super) fn product(a: i128, b: i128) -> Option<i128> {
    match (i64::try_from(a), i64::try_from(b)) {
        (Ok(a), Ok(b)) => Some(i128::from(a) * i128::from(b)),
        _ => a.checked_mul(b),
    }
}

/// The common divisor of two machine words. One division first brings the larger below the smaller: factors are small
/// and base values large, and the binary method would walk down the difference bit by bit.
fn gcd_of_words(a: u64, b: u64) -> u64 {
    let (small, large) = if a < b { (a, b) } else { (b, a) };
    if small == 0 { large } else { small.gcd(&(large % small)) }
}

/// One step of long division: the next decimal digit of `rest / den` and what is left. Adds ten times instead of
/// multiplying, because ten times the rest may not fit.
pub(super) fn next_digit(rest: u128, den: u128) -> (u8, u128) {
    let (mut digit, mut left) = (0, 0);
    for _ in 0..10 {
        left += rest;
        if left >= den {
            left -= den;
            digit += 1;
        }
    }
    (digit, left)
}

/// Adds one to the last of a row of decimal digits, with carry.
pub(super) fn increment(digits: &mut Vec<u8>) {
    for digit in digits.iter_mut().rev() {
        if *digit < 9 {
            *digit += 1;
            return;
        }
        *digit = 0;
    }
    digits.insert(0, 1);
}
