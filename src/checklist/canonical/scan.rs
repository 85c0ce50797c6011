//! One pass over a file in exact form: every byte is either expected at its place or a fault, and the canonical bytes
//! are what is left when the white space between the tokens is passed over.
//!
//! Must not know what any member means.

use std::ops::Range;

use super::ExactText;
use super::text::is_nfc_escaped;
use crate::document::{Code, Fault, Source, Span};
use crate::vocabulary::{Unseen, unseen};

/// Bytes in a signed document. A checklist has about 10 kB; at 1 MiB reading still takes a few milliseconds.
pub const MAX_BYTES: usize = 1024 * 1024;
/// Lists and objects inside one another. Checklists use six; the scan recurses once a level.
pub const MAX_DEPTH: usize = 32;
/// The greatest whole number that every JSON reader keeps, 2^53 - 1 (RFC 8259, section 6; RFC 7493, section 2.2).
pub const MAX_SAFE_INTEGER: i64 = (1 << 53) - 1;

const SPACES: [u8; 2 * MAX_DEPTH] = [b' '; 2 * MAX_DEPTH];
/// Digits that a safe integer can have.
const MAX_DIGITS: usize = 16;

/// Where and why the scan stopped.
pub(super) struct ScanStop {
    at: usize,
    why: Why,
}

enum Why {
    NotJson,
    NotExact(&'static str),
    TwiceKey(String),
    OutOfOrder(String),
    Key,
    Number,
    Hidden(char),
    NotNfc,
    Deep,
}

impl ScanStop {
    pub(super) fn into_fault(self, source: &Source) -> Fault {
        let end = source.text().get(self.at..).and_then(|rest| rest.chars().next()).map_or(0, char::len_utf8);
        let (line, column) = source.line_and_column(self.at);
        let place = format!("line {line}, column {column}");
        let again = "fetch the file again from where it was signed; a program has changed it on the way";
        let (code, message, help) = match self.why {
            Why::NotJson => (Code::ChecklistNotJson, format!("{place} is not JSON"), again),
            Why::NotExact(due) => (Code::ChecklistNotExactForm, format!("{place} is not in exact form: {due}"), again),
            Why::TwiceKey(key) => (
                Code::ChecklistDuplicateKey,
                format!("{place} gives `{key}` a second time"),
                "do not trust this file: programs differ in which of the two they show",
            ),
            Why::OutOfOrder(key) => {
                (Code::ChecklistNotExactForm, format!("{place} is not in exact form: `{key}` is out of order"), again)
            }
            Why::Key => (
                Code::ChecklistKeyNotAscii,
                format!("{place} has a key with other characters than letters, digits and marks of ASCII"),
                "do not trust this file: no signed document has such a key",
            ),
            Why::Number => (
                Code::ChecklistNumberNotSafe,
                format!("{place} has a number that is not a whole number within 2^53 - 1"),
                "do not trust this file: programs read such a number differently",
            ),
            Why::Hidden(c) => (
                Code::ChecklistHiddenCharacter,
                format!(
                    "{place} has U+{:04X}, {}",
                    u32::from(c),
                    unseen(c).map_or("a break that is not escaped", Unseen::description)
                ),
                "take the character out of the record before it is signed",
            ),
            Why::NotNfc => (
                Code::ChecklistNotNfc,
                format!("{place} begins a text that is not in Unicode's form NFC"),
                "write the accented letters of the record as single characters before it is signed",
            ),
            Why::Deep => (Code::ChecklistTooDeep, format!("{place} is more than {MAX_DEPTH} levels deep"), again),
        };
        Fault::new(code, message).help(help).label(Span::new(self.at, self.at + end), "here").in_source(source)
    }
}

pub(super) fn run(text: &str) -> Result<ExactText, ScanStop> {
    let mut scan = Scan {
        text,
        bytes: text.as_bytes(),
        at: 0,
        out: Vec::with_capacity(text.len()),
        keys: Vec::new(),
        members: Vec::new(),
    };
    scan.value(0)?;
    scan.expect(b"\n", "one line feed ends the file")?;
    if scan.at != text.len() {
        return Err(scan.stop(Why::NotExact("nothing may follow the last line")));
    }
    Ok(ExactText { compact: scan.out, members: scan.members })
}

struct Scan<'t> {
    text: &'t str,
    bytes: &'t [u8],
    at: usize,
    out: Vec<u8>,
    /// The keys of all objects that are open, the innermost last.
    keys: Vec<&'t str>,
    members: Vec<(String, Range<usize>)>,
}

impl<'t> Scan<'t> {
    fn stop(&self, why: Why) -> ScanStop {
        ScanStop { at: self.at, why }
    }

    fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    fn rest(&self) -> &'t [u8] {
        self.bytes.get(self.at..).unwrap_or_default()
    }

    fn expect(&mut self, token: &[u8], due: &'static str) -> Result<(), ScanStop> {
        if !self.rest().starts_with(token) {
            return Err(self.stop(Why::NotExact(due)));
        }
        self.at += token.len();
        Ok(())
    }

    fn line(&mut self, depth: usize) -> Result<(), ScanStop> {
        self.expect(b"\n", "each item has a line of its own, ended by a line feed alone")?;
        self.expect(SPACES.get(..2 * depth).unwrap_or_default(), "two spaces a level")
    }

    fn value(&mut self, depth: usize) -> Result<(), ScanStop> {
        match self.peek() {
            Some(b'"') => self.text().map(|_| ()),
            Some(b'{') => self.object(depth),
            Some(b'[') => self.list(depth),
            Some(b'-' | b'0'..=b'9') => self.number(),
            Some(b' ' | b'\n' | b'\t' | b'\r') => Err(self.stop(Why::NotExact("no white space stands here"))),
            _ => {
                let word: &[u8] = [&b"true"[..], b"false", b"null"]
                    .into_iter()
                    .find(|word| self.rest().starts_with(word))
                    .ok_or_else(|| self.stop(Why::NotJson))?;
                self.take(word.len());
                Ok(())
            }
        }
    }

    /// Copies bytes to the canonical bytes.
    fn take(&mut self, count: usize) {
        self.out.extend_from_slice(self.bytes.get(self.at..self.at + count).unwrap_or_default());
        self.at += count;
    }

    fn open(&mut self, depth: usize) -> Result<(), ScanStop> {
        if depth >= MAX_DEPTH {
            return Err(self.stop(Why::Deep));
        }
        self.take(1);
        Ok(())
    }

    fn object(&mut self, depth: usize) -> Result<(), ScanStop> {
        self.open(depth)?;
        let first = self.keys.len();
        if self.peek() != Some(b'}') {
            loop {
                self.line(depth + 1)?;
                let key = self.key(first)?;
                self.keys.push(key);
                self.expect(b": ", "a colon and a space follow each key")?;
                self.out.push(b':');
                let start = self.out.len();
                self.value(depth + 1)?;
                if depth == 0 {
                    self.members.push((key.to_owned(), start..self.out.len()));
                }
                if self.peek() != Some(b',') {
                    break;
                }
                self.take(1);
            }
            self.line(depth)?;
        }
        self.keys.truncate(first);
        self.close(b'}')
    }

    fn list(&mut self, depth: usize) -> Result<(), ScanStop> {
        self.open(depth)?;
        if self.peek() != Some(b']') {
            loop {
                self.line(depth + 1)?;
                self.value(depth + 1)?;
                if self.peek() != Some(b',') {
                    break;
                }
                self.take(1);
            }
            self.line(depth)?;
        }
        self.close(b']')
    }

    fn close(&mut self, bracket: u8) -> Result<(), ScanStop> {
        if self.peek() != Some(bracket) {
            return Err(self.stop(Why::NotExact("the bracket closes here, or a comma follows")));
        }
        self.take(1);
        Ok(())
    }

    /// A key, which must be new to its object and come after those before it.
    fn key(&mut self, first: usize) -> Result<&'t str, ScanStop> {
        let start = self.at;
        if self.peek() != Some(b'"') {
            return Err(self.stop(Why::NotExact("a key stands here")));
        }
        let key = self.text()?;
        let plain = |byte: u8| matches!(byte, b' '..=b'~') && byte != b'\\' && byte != b'"';
        if !key.bytes().all(plain) {
            return Err(ScanStop { at: start, why: Why::Key });
        }
        // Ascending order of ASCII is the order that RFC 8785 asks for, and it leaves no room for a second one.
        let siblings = self.keys.get(first..).unwrap_or_default();
        if siblings.last().is_some_and(|last| *last >= key) {
            let twice = siblings.contains(&key);
            let why = if twice { Why::TwiceKey(key.to_owned()) } else { Why::OutOfOrder(key.to_owned()) };
            return Err(ScanStop { at: start, why });
        }
        Ok(key)
    }

    /// A text; gives what stands between the quotes, escapes and all.
    fn text(&mut self) -> Result<&'t str, ScanStop> {
        let start = self.at + 1;
        let mut at = start;
        let mut ascii = true;
        loop {
            match self.bytes.get(at) {
                Some(b'"') => break,
                Some(b'\\') => at += self.escape(at)?,
                Some(b' '..=b'~') => at += 1,
                Some(0x80..) => {
                    ascii = false;
                    at += 1;
                }
                Some(&control) => return Err(ScanStop { at, why: Why::Hidden(char::from(control)) }),
                None => return Err(ScanStop { at, why: Why::NotJson }),
            }
        }
        let raw = self.text.get(start..at).unwrap_or_default();
        if !ascii {
            if let Some((place, c)) = raw.char_indices().find(|(_, c)| unseen(*c).is_some()) {
                return Err(ScanStop { at: start + place, why: Why::Hidden(c) });
            }
            if !is_nfc_escaped(raw) {
                return Err(ScanStop { at: start, why: Why::NotNfc });
            }
        }
        self.take(raw.len() + 2);
        Ok(raw)
    }

    /// The length of an escape. Exact form writes only what must be escaped, and that in its shortest way; a carriage
    /// return is taken before a line feed only, as in the text of a record with such line ends.
    fn escape(&self, at: usize) -> Result<usize, ScanStop> {
        let rest = self.bytes.get(at + 1..).unwrap_or_default();
        match rest {
            [b'"' | b'\\' | b'n' | b't', ..] | [b'r', b'\\', b'n', ..] => Ok(2),
            [b'r', ..] => Err(ScanStop { at, why: Why::Hidden('\r') }),
            _ => Err(ScanStop { at, why: Why::NotExact("characters stand as themselves, without an escape") }),
        }
    }

    fn number(&mut self) -> Result<(), ScanStop> {
        let rest = self.rest();
        let sign = usize::from(rest.first() == Some(&b'-'));
        let digits = rest.iter().skip(sign).take_while(|byte| byte.is_ascii_digit()).count();
        let leading_zero = rest.get(sign) == Some(&b'0') && (digits > 1 || sign == 1);
        let goes_on = matches!(rest.get(sign + digits), Some(b'.' | b'e' | b'E'));
        if digits == 0 || digits > MAX_DIGITS || leading_zero || goes_on {
            return Err(self.stop(Why::Number));
        }
        let value = rest.iter().skip(sign).take(digits).fold(0_i64, |sum, digit| 10 * sum + i64::from(digit - b'0'));
        if value > MAX_SAFE_INTEGER {
            return Err(self.stop(Why::Number));
        }
        self.take(sign + digits);
        Ok(())
    }
}
