//! Canonical bytes: the one form of a document that signatures are made over, and the one form of its file.
//!
//! Signed documents keep to a narrow profile of JSON: ASCII keys in ascending order, whole numbers that a double holds
//! exactly, text in NFC without hidden characters. The file is the indented print of the canonical bytes and nothing
//! else, so a reader sees exactly what was signed and an auditor needs no special library: inside the profile RFC 8785,
//! `jq -cS` and the `json` module of Python write the same bytes. The normative path is a published implementation of
//! RFC 8785; the fast path, the file without its white space, is used only after both agreed on a sample.
//! This module must not know what any document means.

mod base64url;
mod scan;
mod text;

use std::ops::Range;
use std::sync::LazyLock;

use serde::{Deserialize, Deserializer, Serialize};
use serde_json::Value;

use crate::document::{Code, Fault, Source, without_mark};

pub use base64url::base64url;
pub use scan::{MAX_BYTES, MAX_DEPTH, MAX_SAFE_INTEGER};
pub use text::is_nfc;

/// A file in exact form, read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExactText {
    compact: Vec<u8>,
    members: Vec<(String, Range<usize>)>,
}

impl ExactText {
    /// The canonical bytes of the whole document.
    pub fn bytes(&self) -> &[u8] {
        &self.compact
    }

    /// The names of the outermost members, in their order.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.members.iter().map(|(name, _)| name.as_str())
    }

    /// The canonical bytes of an outermost member.
    pub fn member(&self, name: &str) -> Option<&[u8]> {
        let (_, range) = self.members.iter().find(|(known, _)| known == name)?;
        self.compact.get(range.clone())
    }
}

/// Reads a file that must be in exact form.
///
/// # Errors
/// The first deviation, with its place: codes `checklist/too-large`, `checklist/not-utf8`, `checklist/not-json`,
/// `checklist/not-exact-form`, `checklist/duplicate-key`, `checklist/key-not-ascii`, `checklist/number-not-safe`,
/// `checklist/hidden-character`, `checklist/not-nfc`, `checklist/too-deep`.
pub fn read(name: &str, bytes: &[u8]) -> Result<ExactText, Fault> {
    if !*PATHS_AGREE {
        return Err(broken_program());
    }
    scan(name, bytes)
}

fn scan(name: &str, bytes: &[u8]) -> Result<ExactText, Fault> {
    if bytes.len() > MAX_BYTES {
        return Err(Fault::new(Code::ChecklistTooLarge, format!("the file has more than {MAX_BYTES} bytes"))
            .help("check that this is the file you mean; no signed document is so large"));
    }
    if without_mark(bytes).len() < bytes.len() {
        let message = "the file begins with a byte order mark (U+FEFF), which no signed file has";
        let help = "fetch the file again from where it was signed; a program has put the mark there, so open signed files in no editor";
        return Err(Fault::new(Code::ChecklistHiddenCharacter, message).help(help));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        Fault::new(Code::ChecklistNotUtf8, format!("byte {} is not UTF-8", error.valid_up_to()))
            .help("fetch the file again from where it was signed")
    })?;
    scan::run(text).map_err(|stop| stop.into_fault(&Source::new(name, text)))
}

/// The canonical bytes of a value by RFC 8785.
///
/// # Errors
/// `checklist/not-json` where the value has no JSON form.
pub fn bytes(value: &impl Serialize) -> Result<Vec<u8>, Fault> {
    serde_json_canonicalizer::to_vec(value)
        .map_err(|error| Fault::new(Code::ChecklistNotJson, format!("the document has no JSON form: {error}")))
}

/// The exact file form of a value; the file is read again, so whatever it holds keeps to the profile.
///
/// # Errors
/// Where the value leaves the profile, as [`read`]; `checklist/broken-program` if the two paths to canonical bytes differ.
pub fn file(name: &str, value: &impl Serialize) -> Result<(Vec<u8>, ExactText), Fault> {
    print(name, &bytes(value)?)
}

/// The exact file form of canonical bytes, as [`file()`].
///
/// # Errors
/// As [`file()`].
pub fn print(name: &str, compact: &[u8]) -> Result<(Vec<u8>, ExactText), Fault> {
    let file = indent(compact);
    let exact = read(name, &file)?;
    if exact.compact == compact { Ok((file, exact)) } else { Err(broken_program()) }
}

/// Canonical bytes broken into lines: two spaces a level, a space behind each colon, one line feed at the end.
pub fn indent(compact: &[u8]) -> Vec<u8> {
    let mut out = Vec::with_capacity(compact.len() * 5 / 4);
    let mut depth = 0_usize;
    let (mut in_text, mut escaped, mut opened) = (false, false, false);
    let line = |out: &mut Vec<u8>, depth: usize| {
        out.push(b'\n');
        out.extend(std::iter::repeat_n(b' ', 2 * depth));
    };
    for &byte in compact {
        if in_text {
            out.push(byte);
            in_text = escaped || byte != b'"';
            escaped = !escaped && byte == b'\\';
            continue;
        }
        let closes = matches!(byte, b'}' | b']');
        if closes {
            depth = depth.saturating_sub(1);
        }
        // An empty list or object stays on its line.
        if opened != closes {
            line(&mut out, depth);
        }
        opened = false;
        out.push(byte);
        match byte {
            b'"' => in_text = true,
            b'{' | b'[' => {
                depth += 1;
                opened = true;
            }
            b',' => line(&mut out, depth),
            b':' => out.push(b' '),
            _ => {}
        }
    }
    out.push(b'\n');
    out
}

/// Whether the fast path and the normative path give the same bytes for a sample of everything the profile allows.
static PATHS_AGREE: LazyLock<bool> = LazyLock::new(|| {
    let sample = serde_json::json!({
        "z": [], "a": {}, "B": [1, -1, 0, MAX_SAFE_INTEGER, -MAX_SAFE_INTEGER], "_": [true, false, null],
        "text": "a \"quoted\" back\\slash\n\ttab é ß 中 \u{1f6de} / <>&'",
        "deep": {"er": [{"b": "", "a": [[]]}, {}]}
    });
    let Ok(normative) = bytes(&sample) else { return false };
    let file = indent(&normative);
    let fast = scan("sample", &file).map(|exact| exact.compact);
    let reread = serde_json::from_slice::<Value>(&file).ok().and_then(|value| bytes(&value).ok());
    fast.as_deref() == Ok(normative.as_slice()) && reread.as_deref() == Some(normative.as_slice())
});

fn broken_program() -> Fault {
    Fault::new(Code::ChecklistBrokenProgram, "two ways to the canonical bytes give different bytes")
        .help("report this: the program is at fault, not the file; nothing was signed or accepted")
}

/// Reads a member that may be null but never left out: a reader that does not know of it must not take it for null.
pub(super) fn nullable<'de, D, T>(deserializer: D) -> Result<Option<T>, D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de>,
{
    Option::deserialize(deserializer)
}

#[cfg(test)]
mod tests;
