//! Which characters a text may show: what a person sees must be all there is.
//!
//! One table for every text: what is read, what is printed and what is signed. A text that names something (a mark, a job
//! number, a person) is held to more, because two names that look the same must be the same. Must not know where a text
//! stands.

use std::borrow::Cow;
use std::fmt::Write as _;

use unicode_normalization::char::is_public_assigned;

/// Why a character is not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unseen {
    /// It acts on a terminal or a reader instead of being shown.
    Control,
    /// It turns the direction of writing, so that the text shown is not the text read.
    Direction,
    /// It prints nothing, so that two different words look the same.
    Invisible,
    /// Some programs break the line here and others do not.
    LineBreak,
    /// Unicode keeps it out of texts.
    Noncharacter,
    /// Unicode gives it no meaning: each font draws what it likes, or nothing.
    Private,
    /// Unicode has given it to nobody yet: what it shows one day nobody has seen.
    Unassigned,
}

impl Unseen {
    /// What the character is, in words.
    pub const fn description(self) -> &'static str {
        match self {
            Self::Control => "a control character",
            Self::Direction => "a character that turns the direction of writing",
            Self::Invisible => "a character that cannot be seen",
            Self::LineBreak => "a line break that not every program honours",
            Self::Noncharacter => "a code that is no character",
            Self::Private => "a character that looks otherwise in every font",
            Self::Unassigned => "a code that is no character yet",
        }
    }
}

/// Judges one character of any text: `None` where it may be shown. Line feed and tab pass. A carriage return does not; who
/// takes one before a line feed looks at the two together.
pub fn unseen(c: char) -> Option<Unseen> {
    match c {
        ' '..='~' | '\n' | '\t' => None,
        // Next line, line separator, paragraph separator: breaks in YAML 1.1, plain characters in YAML 1.2.
        '\r' | '\u{85}' | '\u{2028}' | '\u{2029}' => Some(Unseen::LineBreak),
        c if c.is_control() => Some(Unseen::Control),
        // Unicode's Bidi_Control property, PropList.txt.
        '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
            Some(Unseen::Direction)
        }
        c if joins(c) => None,
        // Unicode's Default_Ignorable_Code_Point property, DerivedCoreProperties.txt, without what stands above; and what
        // is drawn as nothing all the same: the empty braille cell, the interlinear marks, what stands for an object that is
        // not there, the filler of Khitan and the note without a head.
        '\u{ad}'
        | '\u{34f}'
        | '\u{115f}'
        | '\u{1160}'
        | '\u{17b4}'
        | '\u{17b5}'
        | '\u{180e}'
        | '\u{200b}'
        | '\u{2060}'..='\u{206f}'
        | '\u{3164}'
        | '\u{feff}'
        | '\u{ffa0}'
        | '\u{fff0}'..='\u{fff8}'
        | '\u{1bca0}'..='\u{1bca3}'
        | '\u{1d173}'..='\u{1d17a}'
        | '\u{e0000}'..='\u{e0fff}'
        | '\u{2800}'
        | '\u{fff9}'..='\u{fffc}'
        | '\u{16fe4}'
        | '\u{1d159}' => Some(Unseen::Invisible),
        // The 66 noncharacters of the Unicode Standard, section 23.7.
        '\u{fdd0}'..='\u{fdef}' => Some(Unseen::Noncharacter),
        c if u32::from(c) & 0xfffe == 0xfffe => Some(Unseen::Noncharacter),
        // The three areas for private use of the Unicode Standard, section 23.5.
        '\u{e000}'..='\u{f8ff}' | '\u{f0000}'.. => Some(Unseen::Private),
        // By the tables of Unicode 17, the last of which ends at U+33479 in plane 3; later tables may have more there.
        '\u{3347a}'..='\u{3ffff}' => Some(Unseen::Unassigned),
        c if !is_public_assigned(c) => Some(Unseen::Unassigned),
        _ => None,
    }
}

/// Whether a character only joins, parts or picks the shape of its neighbours: the zero-width joiners and the variation
/// selectors. Several scripts and most emoji are written with them, so a text may hold them; by themselves they print
/// nothing.
const fn joins(c: char) -> bool {
    matches!(c, '\u{200c}' | '\u{200d}' | '\u{180b}'..='\u{180d}' | '\u{180f}' | '\u{fe00}'..='\u{fe0f}')
        || matches!(c, '\u{e0100}'..='\u{e01ef}')
}

/// Judges one character of a text that names something. Besides what no text may hold, a name has no joiners, no breaks
/// and no space but the plain one: with them, two names that look the same would be two.
pub fn unseen_in_name(c: char) -> Option<Unseen> {
    match c {
        ' ' => None,
        '\n' => Some(Unseen::LineBreak),
        c if joins(c) || c.is_whitespace() => Some(unseen(c).unwrap_or(Unseen::Invisible)),
        c => unseen(c),
    }
}

/// Whether a text prints nothing at all.
pub fn is_blank(text: &str) -> bool {
    text.chars().all(|c| c.is_whitespace() || joins(c) || unseen(c).is_some())
}

/// Whether a text says anything: it has a letter or a digit of some script. Strokes, marks and pictures give no reason.
pub fn has_words(text: &str) -> bool {
    text.chars().any(|c| c.is_alphanumeric() && unseen(c).is_none())
}

/// A text as it may be put on a terminal or into one line of a report: what would act instead of being seen, and what
/// breaks the line, is written as its code.
///
/// ```
/// use fillward::vocabulary::shown;
/// assert_eq!(shown("HT-0311"), "HT-0311");
/// assert_eq!(shown("HT\u{1b}[2K\u{202e}\n"), "HT\\u{1b}[2K\\u{202e}\\u{a}");
/// ```
pub fn shown(text: &str) -> Cow<'_, str> {
    let acts = |c: char| matches!(c, '\n' | '\t') || unseen(c).is_some();
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

/// What a file says, in quotation marks that it cannot close itself, so that none of it reads as words of the program's.
///
/// ```
/// use fillward::vocabulary::quoted;
/// assert_eq!(quoted("loader 4, left front"), "“loader 4, left front”");
/// assert_eq!(quoted("loader 4”, tyre size “17.5-25"), "“loader 4\", tyre size \"17.5-25”");
/// ```
pub fn quoted(text: &str) -> String {
    format!("“{}”", shown(&text.replace(['“', '”', '„', '‟'], "\"")))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `Default_Ignorable_Code_Point` of Unicode 14.0, as perl 5.36 lists it for `\p{DI}`.
    const DEFAULT_IGNORABLE: &[(u32, u32)] = &[
        (0xad, 0xad),
        (0x34f, 0x34f),
        (0x61c, 0x61c),
        (0x115f, 0x1160),
        (0x17b4, 0x17b5),
        (0x180b, 0x180f),
        (0x200b, 0x200f),
        (0x202a, 0x202e),
        (0x2060, 0x206f),
        (0x3164, 0x3164),
        (0xfe00, 0xfe0f),
        (0xfeff, 0xfeff),
        (0xffa0, 0xffa0),
        (0xfff0, 0xfff8),
        (0x1bca0, 0x1bca3),
        (0x1d173, 0x1d17a),
        (0xe0000, 0xe0fff),
    ];

    #[test]
    fn what_unicode_lets_programs_ignore_names_nothing_and_prints_nothing() {
        for &(from, to) in DEFAULT_IGNORABLE {
            for c in (from..=to).filter_map(char::from_u32) {
                assert!(unseen_in_name(c).is_some(), "U+{:04X}", u32::from(c));
                assert!(unseen(c).is_some() != joins(c), "U+{:04X}", u32::from(c));
                assert!(is_blank(&c.to_string()), "U+{:04X}", u32::from(c));
            }
        }
    }

    #[test]
    fn what_is_refused_in_any_text_is_refused_in_a_name_and_is_written_as_its_code() {
        for c in (0..=0x0010_ffff).filter_map(char::from_u32) {
            let text = c.to_string();
            if unseen(c).is_some() {
                assert!(unseen_in_name(c).is_some(), "U+{:04X}", u32::from(c));
                assert!(is_blank(&text), "U+{:04X}", u32::from(c));
            }
            assert!(shown(&text).chars().all(|c| unseen(c).is_none() && c != '\n'), "U+{:04X}", u32::from(c));
            if c.is_alphanumeric() && !is_blank(&text) {
                assert_eq!((unseen(c), unseen_in_name(c)), (None, None), "U+{:04X}", u32::from(c));
            }
        }
    }

    /// Blocks.txt of Unicode 17.0, from memory: in plane 3 nothing is given out behind CJK Unified Ideographs Extension J,
    /// which ends at U+33479.
    #[test]
    fn nothing_is_taken_that_no_table_has_yet() {
        for c in ('\u{3347a}'..='\u{dffff}').filter(|c| u32::from(*c) & 0xfffe != 0xfffe) {
            assert_eq!(unseen(c), Some(Unseen::Unassigned), "U+{:04X}", u32::from(c));
        }
        assert_eq!(unseen('\u{33479}'), None);
    }

    #[test]
    fn what_people_write_is_seen() {
        for text in ["Reifen größe 😀 👩\u{200d}🔧 مرحبا ☎\u{fe0f}", "می\u{200c}خواهم", "a\tb\nc", "105\u{a0}psi"]
        {
            assert_eq!(text.chars().find_map(unseen), None, "{text:?}");
            assert!(!is_blank(text), "{text:?}");
        }
        for name in ["HT-0311", "loader 4, left front", "Søren Ó Briain", "李 小龍"] {
            assert_eq!(name.chars().find_map(unseen_in_name), None, "{name:?}");
        }
    }

    #[test]
    fn blank_texts_are_blank_however_they_are_written() {
        for text in ["", " ", "\u{2800}", "\u{a0}\u{3000}", "\u{200d}", "\u{180e}\n", "\u{fe0f}"] {
            assert!(is_blank(text), "{text:?}");
        }
        assert!(!is_blank("\u{2801}"));
    }

    /// What fonts draw as nothing, or as they like (the names of the characters in the Unicode Standard, from memory).
    #[test]
    fn what_has_no_look_of_its_own_is_shown_nowhere_and_is_no_word() {
        for c in ['\u{1d159}', '\u{16fe4}', '\u{fffc}', '\u{e000}', '\u{f8ff}', '\u{f0000}', '\u{10fffd}'] {
            assert!(unseen(c).is_some() && unseen_in_name(c).is_some(), "U+{:04X}", u32::from(c));
            assert!(is_blank(&c.to_string()) && !has_words(&format!("{c} -")), "U+{:04X}", u32::from(c));
        }
        for text in ["", "-", "...", "\u{301}", "\u{2801}", "😀", "–––", "!"] {
            assert!(!has_words(text), "{text:?}");
        }
        for text in ["ok", "12", "因为", "ст", "a\u{301}"] {
            assert!(has_words(text), "{text:?}");
        }
    }
}
