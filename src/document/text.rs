//! From bytes to text that a person sees as it is: bounded, UTF-8, without invisible or controlling
//! characters.
//!
//! Must not know YAML.

use super::harmless::is_plain;
use super::limits::MAX_BYTES;
use super::{Code, Fault, Faults, Source, Span, form};
use crate::vocabulary::{Unseen, unseen};

/// The mark that some programs put before a text in UTF-8.
pub(crate) const BYTE_ORDER_MARK: char = '\u{feff}';

/// The bytes of a text without the byte order mark that some programs put before it: it is no part of what is read.
pub fn without_mark(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes)
}

/// Why a character is not taken, in the file or in a text of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unwelcome {
    /// No text may hold it.
    Unseen(Unseen),
    /// A carriage return without a line feed behind it.
    LoneReturn,
}

impl Unwelcome {
    fn code(self) -> Code {
        match self {
            Self::Unseen(Unseen::Control) => Code::DocumentControlCharacter,
            Self::Unseen(Unseen::LineBreak) | Self::LoneReturn => Code::DocumentOddLineBreak,
            Self::Unseen(
                Unseen::Direction | Unseen::Invisible | Unseen::Noncharacter | Unseen::Private | Unseen::Unassigned,
            ) => Code::DocumentHiddenCharacter,
        }
    }

    fn description(self) -> &'static str {
        match self {
            Self::Unseen(why) => why.description(),
            Self::LoneReturn => "a carriage return without a line feed",
        }
    }

    fn cure(self) -> &'static str {
        match self {
            Self::Unseen(Unseen::LineBreak) | Self::LoneReturn => {
                "end each line with a line feed, alone or after a carriage return"
            }
            Self::Unseen(_) => "delete the character and type the text again by hand",
        }
    }
}

/// The first character of a text value or key that must not be there, whichever way it was written: an
/// escape such as `\e` brings in what the file itself may not hold.
pub(super) fn first_unseen(text: &str) -> Option<(char, Unwelcome)> {
    text.chars().find_map(|c| match c {
        '\r' => Some((c, Unwelcome::LoneReturn)),
        c => unseen(c).map(|why| (c, Unwelcome::Unseen(why))),
    })
}

/// The fault of a character that must not be there.
pub(super) fn unseen_fault(c: char, why: Unwelcome, span: Span, more: usize) -> Fault {
    let others = match more {
        0 => String::new(),
        1 => ", and 1 more".to_owned(),
        more => format!(", and {more} more"),
    };
    let code_point = format!("U+{:04X}", u32::from(c));
    Fault::new(why.code(), format!("{} ({code_point}) stands in the text{others}", why.description()))
        .label(span, format!("{code_point} here"))
        .help(why.cure())
}

/// Decodes a document.
pub(super) fn decode(name: &str, bytes: &[u8]) -> Result<Source, Faults> {
    if let Some(fault) = form::key(name, bytes) {
        return Err(fault.into());
    }
    if bytes.len() > MAX_BYTES {
        let message = format!("the document has {} bytes; at most {MAX_BYTES} are read", bytes.len());
        return Err(Fault::new(Code::DocumentTooLarge, message)
            .help("check that this is the file you meant; a record or a pack is far smaller")
            .in_source(&Source::new(name, ""))
            .into());
    }
    let file = match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => return Err(not_utf8(name, bytes, error.valid_up_to()).into()),
    };
    let text = file.strip_prefix(BYTE_ORDER_MARK).unwrap_or(file);
    // A last line without its line break is read as if it had one: the readers would differ about a block text
    // there. A lone carriage return at the end stays as it is, to be refused.
    let last_break = if text.is_empty() || text.ends_with(['\n', '\r']) { "" } else { "\n" };
    let source = Source::of_file(name, format!("{text}{last_break}"), file);
    Faults::none_of(unseen_in_file(&source))?;
    Ok(source)
}

fn not_utf8(name: &str, bytes: &[u8], offset: usize) -> Fault {
    let lossy = String::from_utf8_lossy(bytes);
    let seen = lossy.strip_prefix(BYTE_ORDER_MARK).unwrap_or(&lossy);
    // The text before the first bad byte is the same in both, and the replacement character stands for the byte.
    let start = offset.saturating_sub(lossy.len() - seen.len());
    let source = Source::new(name, seen);
    let (line, _) = source.line_and_column(start);
    let byte = bytes.get(offset).copied().unwrap_or_default();
    let help = match bytes {
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => "save the file as UTF-8; it looks like UTF-16",
        _ => "save the file as UTF-8 and check the characters with accents",
    };
    Fault::new(Code::DocumentNotUtf8, format!("byte {offset} (0x{byte:02X}), in line {line}, is not UTF-8"))
        .label(Span::new(start, start + char::REPLACEMENT_CHARACTER.len_utf8()), "not a character")
        .help(help)
        .in_source(&source)
}

/// The first character of each kind that must not be there; further ones are counted, not listed.
fn unseen_in_file(source: &Source) -> Vec<Fault> {
    if is_plain(source.text()) {
        return Vec::new();
    }
    let mut found: Vec<(Unwelcome, char, Span, usize)> = Vec::new();
    let mut characters = source.text().char_indices().peekable();
    while let Some((start, c)) = characters.next() {
        let why = match c {
            '\r' if characters.peek().is_none_or(|(_, next)| *next != '\n') => Unwelcome::LoneReturn,
            '\r' => continue,
            c => match unseen(c) {
                Some(why) => Unwelcome::Unseen(why),
                None => continue,
            },
        };
        match found.iter_mut().find(|(kind, ..)| *kind == why) {
            Some((.., more)) => *more += 1,
            None => found.push((why, c, Span::new(start, start + c.len_utf8()), 0)),
        }
    }
    let faults = found.into_iter();
    faults.map(|(why, c, span, more)| unseen_fault(c, why, span, more).in_source(source)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(bytes: &[u8]) -> Fault {
        let faults = decode("t", bytes).unwrap_err().into_vec();
        assert_eq!(faults.len(), 1, "{faults:?}");
        faults.into_iter().next().unwrap()
    }

    /// (input, code, offset and length of the label)
    #[test]
    fn characters_that_must_not_be_there() {
        for (text, code, start, len) in [
            ("a: \0", "document/control-character", 3, 1),
            ("é: \u{1b}[31m", "document/control-character", 4, 1),
            ("a: \u{7f}", "document/control-character", 3, 1),
            ("a: \u{9b}", "document/control-character", 3, 2),
            ("a: \u{202e}x", "document/hidden-character", 3, 3),
            ("a: \u{2067}x", "document/hidden-character", 3, 3),
            ("a: \u{200b}x", "document/hidden-character", 3, 3),
            ("a: \u{e0041}", "document/hidden-character", 3, 4),
            // What the table of signed texts had and this one had not, and the other way round.
            ("a: \u{180e}x", "document/hidden-character", 3, 3),
            ("a: \u{17b4}", "document/hidden-character", 3, 3),
            ("a: \u{2800}", "document/hidden-character", 3, 3),
            ("a: \u{fdd0}", "document/hidden-character", 3, 3),
            ("a: x\u{feff}", "document/hidden-character", 4, 3),
            ("a: 1\rb: 2", "document/odd-line-break", 4, 1),
            ("a: 1\r", "document/odd-line-break", 4, 1),
            ("a: 1\r\r\n", "document/odd-line-break", 4, 1),
            ("a: \u{85}", "document/odd-line-break", 3, 2),
            ("a: \u{2028}", "document/odd-line-break", 3, 3),
        ] {
            let fault = refused(text.as_bytes());
            assert_eq!(fault.code().word(), code, "{text:?}");
            assert_eq!(fault.span(), Some(Span::new(start, start + len)), "{text:?}");
        }
    }

    #[test]
    fn what_people_write_is_taken() {
        for text in ["", "a:\tb\r\nc\n", "Reifen größe 😀 👩‍🔧 مرحبا", "\u{feff}a: 1"] {
            let source = decode("t", text.as_bytes()).unwrap();
            assert_eq!(source.text().trim_end(), text.trim_start_matches('\u{feff}').trim_end(), "{text:?}");
        }
    }

    #[test]
    fn the_last_line_always_ends() {
        for (text, read) in [("a: 1", "a: 1\n"), ("a: 1\n", "a: 1\n"), ("a\r\n", "a\r\n"), ("", "")] {
            assert_eq!(decode("t", text.as_bytes()).unwrap().text(), read, "{text:?}");
        }
    }

    #[test]
    fn several_of_a_kind_are_counted_in_one_fault() {
        let fault = refused(b"a\0\0\0");
        assert_eq!(fault.message(), "a control character (U+0000) stands in the text, and 2 more");
        assert_eq!(decode("t", "\0\u{202e}".as_bytes()).unwrap_err().iter().count(), 2);
    }

    /// (bytes, message, label start)
    #[test]
    fn bytes_that_are_no_text() {
        for (bytes, message, start) in [
            (&b"a: 1\nb: caf\xe9\n"[..], "byte 11 (0xE9), in line 2, is not UTF-8", 11),
            (b"\xef\xbb\xbfa: \xff", "byte 6 (0xFF), in line 1, is not UTF-8", 3),
            (b"a: \xe2\x82", "byte 3 (0xE2), in line 1, is not UTF-8", 3),
            (b"\xff\xfea\0:\0", "byte 0 (0xFF), in line 1, is not UTF-8", 0),
            // An overlong slash and a surrogate: RFC 3629, section 3 and section 10.
            (b"\xc0\xaf", "byte 0 (0xC0), in line 1, is not UTF-8", 0),
            (b"\xed\xa0\x80", "byte 0 (0xED), in line 1, is not UTF-8", 0),
        ] {
            let fault = refused(bytes);
            assert_eq!((fault.code(), fault.message()), (Code::DocumentNotUtf8, message));
            assert_eq!(fault.span(), Some(Span::new(start, start + 3)));
            assert_eq!(fault.source().unwrap().slice(fault.span().unwrap()), "\u{fffd}");
        }
        assert!(refused(b"\xff\xfea\0").cure().unwrap().contains("UTF-16"));
    }

    #[test]
    fn a_huge_file_is_refused_unread() {
        let fault = refused(&vec![b'a'; 50_000_000]);
        assert_eq!(fault.code(), Code::DocumentTooLarge);
        assert_eq!(fault.message(), "the document has 50000000 bytes; at most 1048576 are read");
        assert!(decode("t", &vec![b'a'; MAX_BYTES]).is_ok());
    }
}
