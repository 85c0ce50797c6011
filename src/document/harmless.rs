//! A text made fit to be drawn on a terminal: what could steer one is replaced, place by place.
//!
//! Must not know where the text comes from, or what is refused for it.

use crate::vocabulary::unseen;

/// Bytes looked at without a branch: enough for the widest vectors, and few enough to stop early.
pub(super) const STRETCH: usize = 128;

/// The text with every character that must not be drawn replaced, byte for byte, so that places stay what they are;
/// `None` where there is nothing to replace.
pub(super) fn harmless(text: &str) -> Option<String> {
    // A carriage return that ends no line would let what follows be drawn over what was before it.
    let steers = |at: usize, c: char| match c {
        '\r' => !text.get(at + 1..).is_some_and(|rest| rest.starts_with('\n')),
        c => unseen(c).is_some(),
    };
    if is_plain(text) || !text.char_indices().any(|(at, c)| steers(at, c)) {
        return None;
    }
    let replaced = text.char_indices().map(|(at, c)| match (steers(at, c), c.len_utf8()) {
        (false, _) => c.to_string(),
        (true, 3) => '\u{fffd}'.to_string(),
        (true, length) => "?".repeat(length),
    });
    Some(replaced.collect())
}

/// Whether a text is printable ASCII, tabs and line feeds alone, as most are: seen by bytes, many at a time.
pub(super) fn is_plain(text: &str) -> bool {
    let plain = |byte: &u8| matches!(byte, b' '..=b'~' | b'\n' | b'\t');
    text.as_bytes().chunks(STRETCH).all(|bytes| bytes.iter().fold(true, |all, byte| all & plain(byte)))
}
