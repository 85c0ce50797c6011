//! Which characters a signed text may hold: what a person sees must be all there is.

use std::borrow::Cow;
use std::fmt::Write as _;

use unicode_normalization::{IsNormalized, UnicodeNormalization, is_nfc_quick};

/// Why a character is not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hidden {
    /// It acts on a terminal or a reader instead of being shown.
    Control,
    /// It turns the direction of writing.
    Direction,
    /// It takes no room or breaks the line in some programs only.
    Invisible,
    /// Unicode keeps it out of texts.
    Noncharacter,
}

impl Hidden {
    /// What the character is, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Control => "a control character",
            Self::Direction => "a character that turns the direction of writing",
            Self::Invisible => "a character that cannot be seen",
            Self::Noncharacter => "a code that is no character",
        }
    }
}

/// Judges one character of a text; line feed and tab pass, a carriage return is judged by what follows it.
pub fn hidden(c: char) -> Option<Hidden> {
    match c {
        ' '..='~' | '\n' | '\t' => None,
        c if c.is_control() => Some(Hidden::Control),
        // Unicode's Bidi_Control property, PropList.txt.
        '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
            Some(Hidden::Direction)
        }
        // Soft hyphen, fillers, zero-width space, line and paragraph separators, invisible operators, byte order mark,
        // tag characters. The zero-width joiners stay: several scripts are written with them.
        '\u{ad}'
        | '\u{34f}'
        | '\u{115f}'
        | '\u{1160}'
        | '\u{17b4}'
        | '\u{17b5}'
        | '\u{180e}'
        | '\u{200b}'
        | '\u{2028}'
        | '\u{2029}'
        | '\u{2060}'..='\u{2064}'
        | '\u{206a}'..='\u{206f}'
        | '\u{3164}'
        | '\u{feff}'
        | '\u{ffa0}'
        | '\u{fff9}'..='\u{fffb}'
        | '\u{e0000}'..='\u{e007f}' => Some(Hidden::Invisible),
        // The 66 noncharacters of the Unicode Standard, section 23.7.
        '\u{fdd0}'..='\u{fdef}' => Some(Hidden::Noncharacter),
        c if u32::from(c) & 0xfffe == 0xfffe => Some(Hidden::Noncharacter),
        _ => None,
    }
}

/// A text as it may be put on a terminal or into one line of a report: what would act instead of being seen, and what
/// breaks the line, is written as its code.
///
/// ```
/// use fillward::checklist::canonical::shown;
/// assert_eq!(shown("HT-0311"), "HT-0311");
/// assert_eq!(shown("HT\u{1b}[2K\u{202e}\n"), "HT\\u{1b}[2K\\u{202e}\\u{a}");
/// ```
pub fn shown(text: &str) -> Cow<'_, str> {
    let acts = |c: char| matches!(c, '\n' | '\t') || hidden(c).is_some();
    if !text.contains(acts) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if acts(c) {
            let _ = write!(out, "\\u{{{:x}}}", u32::from(c));
        } else {
            out.push(c);
        }
    }
    Cow::Owned(out)
}

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
