//! Values of another kind that stand where a name belongs: a pressure for the mark of a pump, the net mass or a
//! substance number of a label for its lot.
//!
//! Told by their form alone. What could as well be a number that a maker or a shop gives is none of these. This module must
//! not know what else the record says.

use std::borrow::Cow;

use crate::tyre::Designation;
use crate::units::{Day, Dimension, Exact, Instant, Quantity, QuantityError, days_meant, times_meant};
use crate::vocabulary::NameOf;

/// Words on a label, or of the person who copies it, around a value.
const AROUND: &[&str] = &[
    "net",
    "gross",
    "tare",
    "about",
    "approx",
    "ca",
    "max",
    "min",
    "mass",
    "weight",
    "volume",
    "density",
    "ratio",
    "mix",
    "pressure",
    "temp",
    "temperature",
    "target",
    "keep",
    "store",
    "stored",
    "at",
    "by",
    "each",
    "no",
    "number",
    "nr",
];

/// One kind of value: what it is called, and whether a name is one, by what the name is of, its text, and that without the
/// words around.
type ValueKind = (&'static str, fn(NameOf, &str, &str) -> bool);

/// The kinds, in the order in which they are told.
const KINDS: [ValueKind; 7] = [
    ("a time", |_, _, core| is_time(core)),
    ("a ratio", |_, _, core| is_ratio(core)),
    // A shop without numbers of its own, and some makers, number by days.
    ("a day", |of, _, core| !matches!(of, NameOf::Lot) && is_day(core)),
    ("the size of a tyre", |_, _, core| is_size(core)),
    ("a quantity with its unit", |of, _, core| is_quantity(of, core)),
    ("the number of a substance or of its transport class", |_, text, _| is_substance(text)),
    ("a telephone number", |_, text, _| is_telephone(text)),
];

/// What kind of value a text is, with its article; `None` where it is none that another box of the record takes.
pub(super) fn kind_of_value(of: NameOf, text: &str) -> Option<&'static str> {
    let words: Vec<&str> = text.split_whitespace().map(|word| word.trim_end_matches([':', ',', ';'])).collect();
    let from = words.iter().position(|word| !is_around(word))?;
    let to = words.iter().rposition(|word| !is_around(word))?;
    let core = words.get(from..=to)?.join(" ");
    KINDS.into_iter().find_map(|(kind, is)| is(of, text, &core).then_some(kind))
}

fn is_around(word: &str) -> bool {
    let word = word.trim_end_matches('.');
    if word.is_ascii() {
        return AROUND.iter().any(|around| around.eq_ignore_ascii_case(word));
    }
    AROUND.contains(&word.to_lowercase().as_str())
}

fn digits(text: &str) -> usize {
    text.bytes().filter(u8::is_ascii_digit).count()
}

fn is_time(text: &str) -> bool {
    if text.contains(':') {
        return Instant::parse(text).is_ok() || !times_meant(text).is_empty();
    }
    ends_with_half(text) && !times_meant(text).is_empty()
}

/// Whether a text ends as a time of the clock of twelve hours does.
fn ends_with_half(text: &str) -> bool {
    let ends = |half: &str| {
        let tail = text.len().checked_sub(half.len()).and_then(|from| text.as_bytes().get(from..));
        tail.is_some_and(|tail| tail.eq_ignore_ascii_case(half.as_bytes()))
    };
    ["am", "pm", "a.m.", "p.m."].into_iter().any(ends)
}

/// `1:1`, `1 : 1.5`, `52 to 48`.
fn is_ratio(text: &str) -> bool {
    if digits(text) < 2 {
        return false;
    }
    let parts = text.split_once(':').or_else(|| text.split_once(" to "));
    parts.is_some_and(|(one, other)| [one, other].iter().all(|part| Exact::parse_decimal(part.trim()).is_some()))
}

fn is_day(text: &str) -> bool {
    if digits(text) < 2 {
        return false;
    }
    let groups = text.split(['-', '/', '.', ' ', ',']).filter(|group| !group.is_empty());
    let has_year = groups.clone().any(|group| group.len() == 4 && (group.starts_with("19") || group.starts_with("20")));
    Day::parse(text).is_ok() || has_year && groups.count() == 3 && !days_meant(text).is_empty()
}

/// A size with a decimal point, as few numbers of shops and makers have.
fn is_size(text: &str) -> bool {
    let mut around = text.split('.');
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    let before = digit(around.next().and_then(|before| before.chars().last()));
    before && digit(around.next().and_then(|after| after.chars().next())) && Designation::parse(text).is_ok()
}

/// A number with a unit, or two with one. One letter directly behind a number is a part of it, as in `728L`; so is a
/// nought in front. A letter behind the number of a machine is its side.
fn is_quantity(of: NameOf, text: &str) -> bool {
    let text = if text.contains(',') { Cow::Owned(text.replace(',', ".")) } else { Cow::Borrowed(text) };
    // The upper end of a range stands behind a lower one.
    let begins = text.trim_start().starts_with(|c: char| c.is_ascii_digit() || c == '-');
    let ranges =
        [" to ", "\u{2013}", "..", "-"].into_iter().filter(|_| begins).filter_map(|sign| text.split_once(sign));
    let of_range = ranges.filter(|(low, _)| Exact::parse_decimal(low.trim()).is_some()).map(|(_, high)| high.trim());
    of_range.chain([text.trim()]).any(|text| {
        let behind = text.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | '/' | ' '));
        let one_letter = behind.chars().count() == 1 && behind.chars().all(char::is_alphabetic);
        let noughts = text.starts_with('0') && text.chars().nth(1).is_some_and(|c| c.is_ascii_digit());
        let joined = one_letter && (!text.contains(' ') || of == NameOf::Tyre && behind == "L");
        !joined && !noughts && !behind.is_empty() && (has_unit(text) || is_unit(behind))
    })
}

/// Whether a text is a number with a unit of any dimension: a plain number, a unit that no count has, or a spelling
/// that means one.
fn has_unit(text: &str) -> bool {
    matches!(
        Quantity::parse(text, Dimension::Count),
        Ok(_) | Err(QuantityError::UnknownUnit { meant: Some(_), .. } | QuantityError::WrongDimension { .. })
    )
}

/// The bytes of the longest spelling of a unit.
const LONGEST_UNIT: usize = 9;

/// Whether a word is the spelling of a unit, in any case.
fn is_unit(word: &str) -> bool {
    let units = || Dimension::ALL.into_iter().flat_map(Dimension::units);
    let spelt = |spelling: &str| !spelling.is_empty() && spelling.eq_ignore_ascii_case(word);
    word.len() <= LONGEST_UNIT && units().any(|unit| unit.spellings().any(spelt))
}

/// A CAS Registry Number with its check digit, the sum of the digits before it, each times its place from the right, modulo
/// ten (CAS, Check Digit Verification of CAS Registry Numbers; from memory); or a number behind `CAS` or `UN`.
fn is_substance(text: &str) -> bool {
    if digits(text) < 4 {
        return false;
    }
    let plain: String = text.chars().filter(|c| !c.is_whitespace() && !matches!(c, '.' | ':' | '#')).collect();
    let plain = plain.to_lowercase().replace("no", "");
    let of_transport = |rest: &str| rest.len() == 4 && rest.bytes().all(|byte| byte.is_ascii_digit());
    if plain.strip_prefix("un").is_some_and(of_transport) {
        return true;
    }
    let number = plain.strip_prefix("cas").unwrap_or(&plain);
    let parts: Vec<&str> = number.split('-').collect();
    let [head, two, check] = parts.as_slice() else { return false };
    let digits = [head, two, check].iter().all(|part| part.bytes().all(|byte| byte.is_ascii_digit()));
    if !digits || !(2..=7).contains(&head.len()) || two.len() != 2 || check.len() != 1 {
        return false;
    }
    let sum: u32 =
        head.chars().chain(two.chars()).rev().zip(1..).filter_map(|(c, place)| Some(c.to_digit(10)? * place)).sum();
    number.len() < plain.len() || check.chars().next().and_then(|c| c.to_digit(10)) == Some(sum % 10)
}

/// A number behind a word for telephone; with the sign of the country; in groups of three, three and four; or of ten
/// digits or more in groups, of which the first begins with a nought (ITU-T E.164 and E.123, and the plan of North
/// America; from memory).
fn is_telephone(text: &str) -> bool {
    let digits = digits(text);
    if digits <= 4 {
        return false;
    }
    let small = text.to_lowercase();
    let named = small.split(|c: char| !c.is_alphabetic()).any(|word| {
        matches!(
            word,
            "tel" | "telephone" | "telefon" | "phone" | "fon" | "call" | "ring" | "emergency" | "hotline" | "fax"
        )
    });
    if named {
        return true;
    }
    if !text.chars().all(|c| c.is_ascii_digit() || matches!(c, '+' | ' ' | '-' | '.' | '(' | ')' | '/')) {
        return false;
    }
    let groups: Vec<usize> =
        text.split(|c: char| !c.is_ascii_digit()).map(str::len).filter(|length| *length > 0).collect();
    let local = text.trim_start_matches('(').starts_with('0') && groups.len() > 1 && (10..=13).contains(&digits);
    text.starts_with('+') && digits > 7 || matches!(groups.as_slice(), [3, 3, 4] | [1, 3, 3, 4]) || local
}

#[cfg(test)]
mod tests {
    use super::*;

    /// UN 2489 is the transport number of MDI, 101-68-8 its CAS number (from memory). The telephone numbers are of the
    /// blocks that are kept for fiction.
    #[test]
    fn values_of_labels_and_papers_are_told_by_their_form() {
        for (text, kind) in [
            ("555 lb", "a quantity with its unit"),
            ("net 530 lb", "a quantity with its unit"),
            ("1.12 kg/L", "a quantity with its unit"),
            ("65-95 degF", "a quantity with its unit"),
            ("65 to 95 °F", "a quantity with its unit"),
            ("1/8 in", "a quantity with its unit"),
            ("200 L", "a quantity with its unit"),
            ("5 t", "a quantity with its unit"),
            ("60 PSI", "a quantity with its unit"),
            ("555 lbs", "a quantity with its unit"),
            ("10:00", "a time"),
            ("2026-03-04T09:30:00-06:00", "a time"),
            ("7:45 pm", "a time"),
            ("1:1", "a ratio"),
            ("ratio 1:1.5 by weight", "a ratio"),
            ("1 to 1", "a ratio"),
            ("17.5-25", "the size of a tyre"),
            ("10.00R20", "the size of a tyre"),
            ("UN 2489", "the number of a substance or of its transport class"),
            ("UN2489", "the number of a substance or of its transport class"),
            ("CAS 101-68-8", "the number of a substance or of its transport class"),
            ("101-68-8", "the number of a substance or of its transport class"),
            ("tel. 555-0142", "a telephone number"),
            ("+44 1632 960 001", "a telephone number"),
            ("1-800-555-0142", "a telephone number"),
            ("01632 960001", "a telephone number"),
        ] {
            assert_eq!(kind_of_value(NameOf::Lot, text), Some(kind), "{text}");
            assert_eq!(kind_of_value(NameOf::Pump, text), Some(kind), "{text}");
        }
        assert_eq!(kind_of_value(NameOf::Tyre, "3 L"), None, "the left one of machine 3");
        for day in ["2026-03-04", "04.03.2026", "3/4/2026", "4 Mar 2026"] {
            assert_eq!(kind_of_value(NameOf::Job, day), Some("a day"), "{day}");
        }
    }

    /// What is asked of all dimensions is asked of each.
    #[test]
    fn a_unit_of_any_dimension_is_one() {
        for dimension in Dimension::ALL {
            for unit in dimension.units() {
                for spelling in unit.spellings() {
                    let one_letter = spelling.chars().count() == 1 && spelling.chars().all(char::is_alphabetic);
                    assert!(spelling.len() <= LONGEST_UNIT, "{spelling}");
                    assert!(
                        has_unit(&format!("5 {spelling}")) && (spelling.is_empty() || is_unit(spelling)),
                        "{spelling}"
                    );
                    assert!(spelling.is_empty() || one_letter || is_quantity(NameOf::Pump, spelling), "{spelling}");
                }
            }
        }
        for none in ["", "5 apples", "apples", "five psi", "5 psi and more"] {
            assert!(!has_unit(none), "{none}");
            assert!(Dimension::ALL.into_iter().all(|due| Quantity::parse(none, due).is_err()), "{none}");
        }
    }

    #[test]
    fn numbers_of_shops_and_makers_are_none() {
        for text in [
            "PS-118",
            "26C04",
            "25W48",
            "0412-A",
            "A 118-2",
            "LOT 4471",
            "#4471",
            "Ch.-B. 260214",
            "20251130-2",
            "4471",
            "7A",
            "728L",
            "B/2026/118",
            "0042",
            "118-26-4",
            "26-0644 B",
            "20260304",
            "2025 118",
            "lot 4471 L",
            "G-2",
            "P-1",
            "HT-0311",
            "WO 118823",
            "R.O. 22-0031",
            "AUF-2026-0118",
            "26/0412",
            "2026-03-04/3",
            "2026-03-04 no 2",
            "4711",
            "loader 4, left front",
            "5 t gantry",
            "fleet 1107 pos. 3",
            "unit 22-118 RHR",
            "CAT 7 n° 3",
            "12",
            "A",
            "#3",
            "Firm 55 / 2024-11",
            "Firm 55, sheet 3 of 2025",
            "data book 2025 p. 61",
            "loader manual 2024, page 41",
            "pit 2",
            "maker table 12",
            "Werk 2, Halle 3",
            "rack 3",
            "0812 118 4",
        ] {
            for of in [NameOf::Lot, NameOf::Job, NameOf::Tyre, NameOf::Pump, NameOf::Site, NameOf::Document] {
                assert_eq!(kind_of_value(of, text), None, "{text}");
            }
        }
    }
}
