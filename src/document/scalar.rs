//! What an unquoted word of YAML means, by the core schema of YAML 1.2.2, section 10.3.2.
//!
//! Written from the patterns of the specification and kept apart from the other reader on purpose: the two
//! must be able to disagree. Must not know documents or places.

use super::limits::{MAX_EXPONENT, MAX_NUMBER_BYTES};

/// The kinds of the core schema, numbers split by notation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Plain {
    Null,
    Bool(bool),
    /// Decimal digits with an optional sign.
    Whole,
    /// Decimal digits with a point, an exponent or both.
    Broken,
    Octal,
    Hexadecimal,
    /// Infinity or not-a-number.
    NotFinite,
    Text,
}

/// Why a decimal number is not taken although the schema allows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum OutOfRange {
    TooManyDigits,
    TooLarge,
    Exponent,
}

/// Resolves an unquoted scalar.
pub(super) fn resolve(word: &str) -> Plain {
    // Most words are seen to be text by their first letter, or by a blank in them: no pattern of the schema has one.
    let may_be_more =
        |first: u8| !first.is_ascii_alphabetic() || matches!(first, b'n' | b'N' | b't' | b'T' | b'f' | b'F');
    if word.bytes().next().is_some_and(|first| !may_be_more(first)) || word.contains(' ') {
        return Plain::Text;
    }
    match word {
        "" | "~" | "null" | "Null" | "NULL" => Plain::Null,
        "true" | "True" | "TRUE" => Plain::Bool(true),
        "false" | "False" | "FALSE" => Plain::Bool(false),
        ".nan" | ".NaN" | ".NAN" => Plain::NotFinite,
        _ => resolve_number(word),
    }
}

fn resolve_number(word: &str) -> Plain {
    if is_run(word.strip_prefix("0o"), |c| matches!(c, '0'..='7')) {
        return Plain::Octal;
    }
    if is_run(word.strip_prefix("0x"), |c| c.is_ascii_hexdigit()) {
        return Plain::Hexadecimal;
    }
    let unsigned = word.strip_prefix(['+', '-']).unwrap_or(word);
    if matches!(unsigned, ".inf" | ".Inf" | ".INF") {
        return Plain::NotFinite;
    }
    if is_digits(unsigned) {
        return Plain::Whole;
    }
    let (mantissa, exponent) = match unsigned.split_once(['e', 'E']) {
        Some((mantissa, exponent)) => (mantissa, Some(exponent)),
        None => (unsigned, None),
    };
    let mantissa_fits = match mantissa.split_once('.') {
        // `.5`: digits are due behind the point when none stand before it.
        Some(("", fraction)) => is_digits(fraction),
        Some((whole, fraction)) => is_digits(whole) && (fraction.is_empty() || is_digits(fraction)),
        None => is_digits(mantissa),
    };
    let exponent_fits =
        exponent.is_none_or(|exponent| is_digits(exponent.strip_prefix(['+', '-']).unwrap_or(exponent)));
    if mantissa_fits && exponent_fits { Plain::Broken } else { Plain::Text }
}

fn is_digits(text: &str) -> bool {
    is_run(Some(text), |c| c.is_ascii_digit())
}

fn is_run(text: Option<&str>, allowed: impl Fn(char) -> bool) -> bool {
    text.is_some_and(|text| !text.is_empty() && text.chars().all(allowed))
}

/// Holds a [`Plain::Whole`] or [`Plain::Broken`] literal against the bounds on numbers.
pub(super) fn check_range(literal: &str) -> Result<(), OutOfRange> {
    if literal.len() > MAX_NUMBER_BYTES {
        return Err(OutOfRange::TooManyDigits);
    }
    match literal.split_once(['e', 'E']) {
        Some((_, exponent)) => match exponent.parse::<i32>() {
            Ok(power) if power.unsigned_abs() <= MAX_EXPONENT => Ok(()),
            _ => Err(OutOfRange::Exponent),
        },
        // A whole number must fit in 64 bits with a sign, the widest that both readers and the schema keep exactly.
        None if !literal.contains('.') && literal.parse::<i64>().is_err() => Err(OutOfRange::TooLarge),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// YAML 1.2.2, section 10.3.2: words that its patterns take and words that just miss them, among them the values
    /// of its example of tag resolution (from memory).
    #[test]
    fn core_schema_of_yaml_1_2_2_section_10_3_2() {
        use Plain::{Bool, Broken, Hexadecimal, NotFinite, Null, Octal, Text, Whole};
        for (word, kind) in [
            ("null", Null),
            ("Null", Null),
            ("NULL", Null),
            ("~", Null),
            ("", Null),
            ("nULL", Text),
            ("nil", Text),
            ("true", Bool(true)),
            ("True", Bool(true)),
            ("TRUE", Bool(true)),
            ("tRUE", Text),
            ("false", Bool(false)),
            ("False", Bool(false)),
            ("FALSE", Bool(false)),
            ("yes", Text),
            ("No", Text),
            ("on", Text),
            ("off", Text),
            ("y", Text),
            ("0", Whole),
            ("-19", Whole),
            ("+7", Whole),
            ("010", Whole),
            ("00", Whole),
            ("-", Text),
            ("+", Text),
            ("--1", Text),
            ("1_000", Text),
            ("1,000", Text),
            ("1 000", Text),
            ("12:30", Text),
            ("190:20:30", Text),
            ("2026-10-15", Text),
            ("0o7", Octal),
            ("0o10", Octal),
            ("0o8", Text),
            ("0o", Text),
            ("-0o7", Text),
            ("0O7", Text),
            ("0x3A", Hexadecimal),
            ("0x1F", Hexadecimal),
            ("0xg", Text),
            ("0x", Text),
            ("+0x1", Text),
            ("0b1", Text),
            ("0.", Broken),
            ("-0.0", Broken),
            (".5", Broken),
            ("+12e03", Broken),
            ("-2E+05", Broken),
            ("+12.3", Broken),
            ("1e3", Broken),
            ("1.5e-7", Broken),
            ("1.e3", Broken),
            (".5e1", Broken),
            (".", Text),
            (".e1", Text),
            ("e3", Text),
            ("1e", Text),
            ("1e+", Text),
            ("1e3.0", Text),
            ("1.2.3", Text),
            ("5.psi", Text),
            ("١", Text),
            (".inf", NotFinite),
            ("-.Inf", NotFinite),
            ("+.INF", NotFinite),
            (".nan", NotFinite),
            (".NaN", NotFinite),
            (".NAN", NotFinite),
            ("-.nan", Text),
            (".iNF", Text),
            ("inf", Text),
            ("nan", Text),
            ("Infinity", Text),
        ] {
            assert_eq!(resolve(word), kind, "word {word:?}");
        }
    }

    #[test]
    fn numbers_are_bounded() {
        for (literal, outcome) in [
            ("9223372036854775807", Ok(())),
            ("-9223372036854775808", Ok(())),
            ("9223372036854775808", Err(OutOfRange::TooLarge)),
            ("+5", Ok(())),
            ("1e30", Ok(())),
            ("1e-30", Ok(())),
            ("1e31", Err(OutOfRange::Exponent)),
            ("0e999999999999", Err(OutOfRange::Exponent)),
            ("1E-31", Err(OutOfRange::Exponent)),
            ("0.1234567890123456789012345678901234567", Ok(())),
            ("0.123456789012345678901234567890123456789", Err(OutOfRange::TooManyDigits)),
        ] {
            assert_eq!(check_range(literal), outcome, "literal {literal}");
        }
    }
}
