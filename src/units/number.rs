//! The number at the beginning of a written quantity: which forms are taken, and what is wrong with the others.
//!
//! Taken: digits with an optional decimal part (`15.5`), a fraction (`1/8`), a whole number and a fraction
//! (`16 1/2`), each with an optional leading `-`. This module must not know units.

use super::exact::{MAX_DECIMAL_DIGITS, MAX_WHOLE_DIGITS};
use super::{Exact, NumberFault};

/// Why the beginning of a text is not a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NotANumber {
    /// A fault of form.
    Fault(NumberFault),
    /// Too many digits.
    TooLong,
}

impl From<NumberFault> for NotANumber {
    fn from(fault: NumberFault) -> NotANumber {
        NotANumber::Fault(fault)
    }
}

/// Splits a trimmed text into its number, as written and as a value, and whatever follows.
pub(super) fn split(text: &str) -> Result<(&str, Exact, &str), NotANumber> {
    let unsigned = text.strip_prefix('-').unwrap_or(text);
    check_beginning(text, unsigned)?;
    let (first, after) = take_run(unsigned);
    check_after(first, after)?;
    let (number, value, rest) = match whole_and_fraction(text, first, after)? {
        Some(mixed) => mixed,
        None => (before(text, after), one_number(first)?, after),
    };
    let value = if unsigned.len() < text.len() { value.neg() } else { value };
    Ok((number, value, rest))
}

/// Names what stands where the first digit belongs.
fn check_beginning(text: &str, unsigned: &str) -> Result<(), NumberFault> {
    let Some(first) = unsigned.chars().next() else {
        return Err(if text.is_empty() { NumberFault::Empty } else { NumberFault::Word });
    };
    match first {
        '0'..='9' => Ok(()),
        '\u{2010}'..='\u{2015}' | '\u{2212}' | '\u{fe63}' | '\u{ff0d}' => Err(NumberFault::TypographicMinus),
        '+' => Err(NumberFault::PlusSign),
        '∞' => Err(NumberFault::NotFinite),
        '.' if second_is_digit(unsigned) => Err(NumberFault::LonePoint),
        ',' if second_is_digit(unsigned) => Err(NumberFault::DecimalComma),
        other if other.is_numeric() => Err(NumberFault::OtherDigit),
        _ => {
            let word: String = unsigned.chars().filter(|c| *c != '.').take_while(|c| c.is_alphabetic()).collect();
            let not_finite = ["nan", "inf", "infinity"].iter().any(|name| word.eq_ignore_ascii_case(name));
            Err(if not_finite { NumberFault::NotFinite } else { NumberFault::Word })
        }
    }
}

fn second_is_digit(text: &str) -> bool {
    text.chars().nth(1).is_some_and(|c| c.is_ascii_digit())
}

/// The longest beginning that could belong to a number, and what follows.
fn take_run(text: &str) -> (&str, &str) {
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '_' | '/'))).unwrap_or(text.len());
    text.split_at(end)
}

/// What precedes the given tail of a text, without the blanks between them.
fn before<'t>(text: &'t str, tail: &str) -> &'t str {
    text.strip_suffix(tail).unwrap_or(text).trim_end()
}

/// Refuses what directly follows a run of digits and would change its meaning.
fn check_after(first: &str, after: &str) -> Result<(), NumberFault> {
    let mut following = after.chars();
    let (next, then) = (following.next(), following.next());
    let then_digit = then.is_some_and(|c| c.is_ascii_digit());
    match next {
        Some('e' | 'E') if then_digit || matches!(then, Some('+' | '-')) => Err(NumberFault::Exponent),
        Some('\'' | '\u{2019}') if then_digit => Err(NumberFault::Grouped),
        Some('-' | '\u{2013}') if then_digit && after.contains('/') && !first.contains('/') => {
            Err(NumberFault::BadFraction)
        }
        Some('-' | '\u{2013}') if then_digit => Err(NumberFault::TwoNumbers),
        Some(other) if other.is_numeric() => Err(NumberFault::OtherDigit),
        _ => Ok(()),
    }
}

/// Reads `16 1/2`: a whole number, blanks, a proper fraction. `None` when no second number follows.
fn whole_and_fraction<'t>(
    text: &'t str,
    first: &str,
    after: &'t str,
) -> Result<Option<(&'t str, Exact, &'t str)>, NotANumber> {
    let second = after.trim_start();
    let (run, rest) = take_run(second);
    if !run.starts_with(|c: char| c.is_ascii_digit()) {
        return match second.chars().next() {
            Some(vulgar) if vulgar.is_numeric() => Err(NumberFault::OtherDigit.into()),
            _ => Ok(None),
        };
    }
    if !run.contains('/') {
        let grouped = run.len() == 3 && first.len() <= 3;
        return Err(if grouped { NumberFault::Grouped } else { NumberFault::TwoNumbers }.into());
    }
    check_after(run, rest)?;
    if first.contains(['.', ',', '/', '_']) {
        return Err(NumberFault::BadFraction.into());
    }
    let (whole, part) = (one_number(first)?, one_number(run)?);
    if part >= Exact::ONE {
        return Err(NumberFault::BadFraction.into());
    }
    let value = whole.checked_add(part).ok_or(NotANumber::TooLong)?;
    Ok(Some((before(text, rest), value, rest)))
}

/// Reads a run without sign: a decimal number or a fraction.
fn one_number(run: &str) -> Result<Exact, NotANumber> {
    if run.len() <= MAX_WHOLE_DIGITS && run.bytes().all(|byte| byte.is_ascii_digit()) {
        return Exact::parse_decimal(run).ok_or(NotANumber::Fault(NumberFault::Word));
    }
    if let Some((num, den)) = run.split_once('/') {
        return fraction(num, den);
    }
    if run.contains('_') {
        return Err(NumberFault::Grouped.into());
    }
    if run.contains(',') {
        // `1,500` may be either, and `1.500,00` is both; the help for groups holds both cures.
        let mut groups = run.split(',');
        let point_first = groups.next().is_some_and(|whole| whole.contains('.'));
        let grouped = point_first || groups.all(|group| digits_before_point(group) == 3);
        return Err(if grouped { NumberFault::Grouped } else { NumberFault::DecimalComma }.into());
    }
    let (whole, decimals) = match run.split_once('.') {
        Some((whole, decimals)) if decimals.contains('.') => {
            let grouped = decimals.split('.').all(|group| group.len() == 3) && !whole.is_empty();
            return Err(if grouped { NumberFault::Grouped } else { NumberFault::LonePoint }.into());
        }
        Some((_, "")) => return Err(NumberFault::LonePoint.into()),
        Some(parts) => parts,
        None => (run, ""),
    };
    if whole.len() > MAX_WHOLE_DIGITS || decimals.len() > MAX_DECIMAL_DIGITS {
        return Err(NotANumber::TooLong);
    }
    Exact::parse_decimal(run).ok_or(NotANumber::Fault(NumberFault::Word))
}

fn digits_before_point(group: &str) -> usize {
    group.split('.').next().map_or(0, str::len)
}

/// Reads a fraction. Its parts may have as many digits as fit, because a converted quantity is written as a fraction
/// when no decimal text is exact, and must be read back unchanged.
fn fraction(num: &str, den: &str) -> Result<Exact, NotANumber> {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(num) || !digits(den) || den.bytes().all(|byte| byte == b'0') {
        return Err(NumberFault::BadFraction.into());
    }
    let parts = num.parse::<i128>().ok().zip(den.parse::<i128>().ok());
    parts.and_then(|(num, den)| Exact::new(num, den)).ok_or(NotANumber::TooLong)
}

#[cfg(test)]
mod tests {
    use super::NumberFault as Fault;
    use super::*;

    #[test]
    fn the_documented_forms_are_read() {
        let cases = [
            ("105 psi", "105", "105", " psi"),
            ("105psi", "105", "105", "psi"),
            ("-3.50 kPa", "-3.50", "-3.5", " kPa"),
            ("1/8 in", "1/8", "0.125", " in"),
            ("16 1/2 in", "16 1/2", "16.5", " in"),
            ("-16  1/2\"", "-16  1/2", "-16.5", "\""),
            ("0.000000001 m", "0.000000001", "0.000000001", " m"),
            ("5 e", "5", "5", " e"),
        ];
        for (text, number, value, rest) in cases {
            assert_eq!(split(text), Ok((number, Exact::parse_decimal(value).unwrap(), rest)), "{text}");
        }
    }

    #[test]
    fn every_other_form_is_refused_by_its_name() {
        let cases = [
            ("", Fault::Empty),
            ("-", Fault::Word),
            ("psi", Fault::Word),
            ("about 5", Fault::Word),
            ("- 5", Fault::Word),
            ("\u{2212}5 degC", Fault::TypographicMinus),
            ("\u{2013}5 degC", Fault::TypographicMinus),
            ("+5 psi", Fault::PlusSign),
            (".5 in", Fault::LonePoint),
            ("5. in", Fault::LonePoint),
            ("1.2.3 in", Fault::LonePoint),
            ("12,5 psi", Fault::DecimalComma),
            (",5 psi", Fault::DecimalComma),
            ("1,500 psi", Fault::Grouped),
            ("1,500,000.5 Pa", Fault::Grouped),
            ("1.500,00 psi", Fault::Grouped),
            ("1.500.000 psi", Fault::Grouped),
            ("1_500 psi", Fault::Grouped),
            ("1'500 psi", Fault::Grouped),
            ("1 500 psi", Fault::Grouped),
            ("1\u{a0}500 psi", Fault::Grouped),
            ("1.5e3 psi", Fault::Exponent),
            ("1E-3 psi", Fault::Exponent),
            ("nan psi", Fault::NotFinite),
            (".inf psi", Fault::NotFinite),
            ("-Infinity", Fault::NotFinite),
            ("\u{221e} psi", Fault::NotFinite),
            ("16\u{bd} in", Fault::OtherDigit),
            ("16 \u{bd} in", Fault::OtherDigit),
            ("\u{665} psi", Fault::OtherDigit),
            ("1/0 in", Fault::BadFraction),
            ("1/ in", Fault::BadFraction),
            ("1/2/3 in", Fault::BadFraction),
            ("1.5/2 in", Fault::BadFraction),
            ("16-1/2 in", Fault::BadFraction),
            ("16 3/2 in", Fault::BadFraction),
            ("1.5 1/2 in", Fault::BadFraction),
            ("90-105 psi", Fault::TwoNumbers),
            ("90 95 psi", Fault::TwoNumbers),
        ];
        for (text, fault) in cases {
            assert_eq!(split(text), Err(NotANumber::Fault(fault)), "{text}");
        }
    }

    #[test]
    fn digits_beyond_the_bounds_are_too_long() {
        let beyond = format!("1/{}", "9".repeat(40));
        for text in ["1000000000000000 psi", "0.0000000001 psi", "1000000000000000 1/2 in", &beyond] {
            assert_eq!(split(text), Err(NotANumber::TooLong), "{text}");
        }
    }
}
