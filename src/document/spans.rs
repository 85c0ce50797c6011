//! Where a value begins and ends, in bytes.
//!
//! The event parser counts characters and lets a mark run on over blanks and comments, so that its marks
//! are taken as starting points only, and the text itself decides where a value ends.
//! Must not know what values mean.

use saphyr_parser::{Marker, ScalarStyle};

use super::{Source, Span};

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

    fn between(&self, start: usize, end: usize) -> &'a str {
        self.text.get(start..end).unwrap_or_default()
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
            let blank = rest.trim_start_matches(|c: char| c.is_ascii_whitespace() || also.contains(&c));
            at += rest.len() - blank.len();
            if !blank.starts_with('#') {
                return at;
            }
            at += blank.find('\n').unwrap_or(blank.len());
        }
    }

    /// The span of a scalar whose mark runs from `start` to `end`; `cursor` is the end of what came before.
    pub(super) fn scalar(&self, style: ScalarStyle, start: usize, end: usize, cursor: usize) -> Span {
        match style {
            ScalarStyle::Plain => Span::new(start, start + self.between(start, end).trim_end().len()),
            ScalarStyle::DoubleQuoted => Span::new(start, start + double_quoted_len(self.from(start))),
            ScalarStyle::SingleQuoted => Span::new(start, start + single_quoted_len(self.from(start))),
            ScalarStyle::Literal | ScalarStyle::Folded => {
                // The mark of a block text begins at its content. Between what came before and the header only
                // indicators and comments can stand.
                let header = self.skip(cursor, &['-', ':', '?']);
                let content_end = start + self.between(start, end).trim_end().len();
                let header_len = self.from(header).find(['\n', '#']).unwrap_or(usize::MAX);
                let header_len = self.from(header).get(..header_len).unwrap_or(self.from(header)).trim_end().len();
                Span::new(header, content_end.max(header + header_len))
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
