//! Unicode's normalisation form C, in which signed texts stand.
//!
//! Must not know what a text says.

use unicode_normalization::{IsNormalized, UnicodeNormalization, is_nfc_quick};

/// Whether a text is in Unicode's normalisation form C.
pub fn is_nfc(text: &str) -> bool {
    match is_nfc_quick(text.chars()) {
        IsNormalized::Yes => true,
        IsNormalized::No => false,
        IsNormalized::Maybe => text.chars().eq(text.nfc()),
    }
}

/// As [`is_nfc`], for text whose escapes (`\n`, `\t`, `\r`, `\"`, `\\`) still stand.
pub(super) fn is_nfc_escaped(raw: &str) -> bool {
    // No escape is anything but a starter, so the quick answer "yes" holds for the text without escapes as well.
    if is_nfc_quick(raw.chars()) == IsNormalized::Yes {
        return true;
    }
    let mut text = String::with_capacity(raw.len());
    let mut rest = raw.chars();
    while let Some(c) = rest.next() {
        text.push(match c {
            '\\' => match rest.next() {
                Some('n') => '\n',
                Some('t') => '\t',
                Some('r') => '\r',
                Some(other) => other,
                None => '\\',
            },
            other => other,
        });
    }
    is_nfc(&text)
}
