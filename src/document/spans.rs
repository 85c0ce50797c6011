//! Where a value begins and ends, in bytes.
//!
//! The event parser counts characters and lets a mark run on over blanks and comments, so that its marks
//! are taken as starting points only, and the text itself decides where a value ends.
//! Must not know what values mean.

use saphyr_parser::{Marker, ScalarStyle};

use super::{Source, Span};

/// What separates values in YAML; other blanks, such as a no-break space, are part of the text they stand in.
const BLANKS: [char; 4] = [' ', '\t', '\r', '\n'];

/// The text of a document with the byte offset of each of its characters.
pub(super) struct Ruler<'a> {
    text: &'a str,
    /// Byte offset by character index; `None` where every character is one byte.
    offsets: Option<Vec<usize>>,
}

impl<'a> Ruler<'a> {
    pub(super) fn new(source: &'a Source) -> Ruler<'a> {
        let text = source.text();
        let offsets = (!text.is_ascii()).then(|| text.char_indices().map(|(offset, _)| offset).collect());
        Ruler { text, offsets }
    }

    /// The byte offset of a mark.
    pub(super) fn offset(&self, mark: Marker) -> usize {
        let end = self.text.len();
        match &self.offsets {
            Some(offsets) => offsets.get(mark.index()).copied().unwrap_or(end),
            None => mark.index().min(end),
        }
    }

    fn from(&self, offset: usize) -> &'a str {
        self.text.get(offset..).unwrap_or_default()
    }

    /// Whether the byte at `offset` is this one.
    pub(super) fn has(&self, offset: usize, byte: u8) -> bool {
        self.text.as_bytes().get(offset) == Some(&byte)
    }

    /// The first byte from `offset` on that is not blank, not in a comment and not one of `also`.
    pub(super) fn skip(&self, offset: usize, also: &[char]) -> usize {
        let mut at = offset;
        loop {
            let rest = self.from(at);
            let blank = rest.trim_start_matches(|c| BLANKS.contains(&c) || also.contains(&c));
            at += rest.len() - blank.len();
            if !blank.starts_with('#') {
                return at;
            }
            at += blank.find('\n').unwrap_or(blank.len());
        }
    }

    /// The word that begins at `start`, up to the next blank.
    pub(super) fn word(&self, start: usize) -> Span {
        let rest = self.from(start);
        Span::new(start, start + rest.find(BLANKS).unwrap_or(rest.len()))
    }

    /// The span of a scalar; `cursor` is the end of what came before it.
    pub(super) fn scalar(&self, style: ScalarStyle, mark: Span, cursor: usize) -> Span {
        let start = mark.start;
        let written = self.text.get(start..mark.end).unwrap_or_default().trim_end_matches(BLANKS);
        match style {
            ScalarStyle::Plain => Span::new(start, start + written.len()),
            ScalarStyle::DoubleQuoted => Span::new(start, start + double_quoted_len(self.from(start))),
            ScalarStyle::SingleQuoted => Span::new(start, start + single_quoted_len(self.from(start))),
            ScalarStyle::Literal | ScalarStyle::Folded => {
                // The mark of a block text begins at its content. Between what came before and the header only
                // indicators and comments can stand.
                let header = self.skip(cursor, &['-', ':', '?']);
                let header_end = self.word(header).end;
                Span::new(header, header_end.max(start + written.len()))
            }
        }
    }
}

/// Bytes up to and including the closing quote; an escaped quote does not close.
fn double_quoted_len(text: &str) -> usize {
    let mut bytes = text.bytes().enumerate().skip(1);
    while let Some((index, byte)) = bytes.next() {
        match byte {
            b'\\' => {
                bytes.next();
            }
            b'"' => return index + 1,
            _ => {}
        }
    }
    text.len()
}

/// Bytes up to and including the closing quote; a doubled quote does not close.
fn single_quoted_len(text: &str) -> usize {
    let mut bytes = text.bytes().enumerate().skip(1).peekable();
    while let Some((index, byte)) = bytes.next() {
        if byte == b'\'' && bytes.next_if(|(_, next)| *next == b'\'').is_none() {
            return index + 1;
        }
    }
    text.len()
}

#[cfg(test)]
mod tests;
