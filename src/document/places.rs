//! Where the lines and the characters of a text begin, so that no look-up of a place reads the text from its start.
//!
//! Must not know what a text is for. A report asks for several places a finding, and a record may be a single line of
//! the greatest length that is read: a look-up reads at most [`STRIDE`] bytes, wherever the place lies.

/// Bytes between two counts of characters: what one look-up reads at most.
const STRIDE: usize = 1024;

/// The places of one text; every call must be given that text.
#[derive(Debug)]
pub(super) struct Places {
    /// Offset of the first byte of each line; the first is zero.
    lines: Vec<usize>,
    /// Characters that begin before each [`STRIDE`] of bytes; `None` where each character is one byte.
    characters: Option<Vec<usize>>,
}

impl Places {
    pub(super) fn new(text: &str) -> Places {
        let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(offset, _)| offset + 1);
        let lines = std::iter::once(0).chain(ends).collect();
        let characters = (!text.is_ascii()).then(|| {
            let counts = text.as_bytes().chunks(STRIDE).scan(0, |before, chunk| {
                let here = *before;
                *before += chunk.iter().filter(|byte| begins_character(**byte)).count();
                Some(here)
            });
            counts.collect()
        });
        Places { lines, characters }
    }

    /// The line that the byte at `offset` stands on, counted from zero, and the offset of its first byte.
    pub(super) fn line_at(&self, offset: usize) -> (usize, usize) {
        let line = self.lines.partition_point(|start| *start <= offset).saturating_sub(1);
        (line, self.lines.get(line).copied().unwrap_or_default())
    }

    /// The bytes of a line counted from zero, its line break included; `None` where the text has no such line.
    pub(super) fn line(&self, text: &str, line: usize) -> Option<(usize, usize)> {
        let start = *self.lines.get(line)?;
        Some((start, self.lines.get(line + 1).copied().unwrap_or(text.len())))
    }

    /// Characters that begin before `offset`.
    pub(super) fn characters_before(&self, text: &str, offset: usize) -> usize {
        let offset = offset.min(text.len());
        let Some(characters) = &self.characters else { return offset };
        // The end of the text may be the end of the last stride.
        let stride = (offset / STRIDE).min(characters.len().saturating_sub(1));
        let read = text.as_bytes().get(stride * STRIDE..offset).unwrap_or_default();
        #[cfg(test)]
        tests::read(read.len());
        characters.get(stride).copied().unwrap_or_default()
            + read.iter().filter(|byte| begins_character(**byte)).count()
    }

    /// The offset of the character that has this many before it; the end of the text where it has no more.
    pub(super) fn character(&self, text: &str, before: usize) -> usize {
        let Some(characters) = &self.characters else { return before.min(text.len()) };
        let stride = characters.partition_point(|count| *count <= before).saturating_sub(1);
        let left = before - characters.get(stride).copied().unwrap_or_default().min(before);
        let start = stride * STRIDE;
        let rest = text.as_bytes().get(start..).unwrap_or_default().iter().enumerate();
        let found =
            rest.filter(|(_, byte)| begins_character(**byte)).nth(left).map_or(text.len(), |(at, _)| start + at);
        #[cfg(test)]
        tests::read(found - start);
        found
    }
}

/// Whether a byte of UTF-8 is the first of its character.
fn begins_character(byte: u8) -> bool {
    byte & 0b1100_0000 != 0b1000_0000
}

#[cfg(test)]
pub(super) mod tests {
    use std::cell::Cell;

    use proptest::prelude::*;

    use super::*;

    thread_local! {
        static READ: Cell<usize> = const { Cell::new(0) };
    }

    /// Notes that so many bytes were read for a look-up.
    pub(super) fn read(bytes: usize) {
        READ.set(READ.get() + bytes);
    }

    /// Bytes read for look-ups in this thread since it was asked last.
    pub(in crate::document) fn bytes_read() -> usize {
        READ.replace(0)
    }

    proptest! {
        #[test]
        fn places_are_those_of_a_walk_from_the_start(text in "([a-zé😀\r\n]{0,40}|[é😀]{1200}){0,4}") {
            let places = Places::new(&text);
            for (before, (offset, _)) in text.char_indices().chain([(text.len(), ' ')]).enumerate() {
                prop_assert_eq!(places.characters_before(&text, offset), before);
                prop_assert_eq!(places.character(&text, before), offset);
                let before = text.get(..offset).unwrap();
                let start = before.rfind('\n').map_or(0, |newline| newline + 1);
                prop_assert_eq!(places.line_at(offset), (before.matches('\n').count(), start));
            }
            let mut start = 0;
            for (line, content) in text.split_inclusive('\n').enumerate() {
                prop_assert_eq!(places.line(&text, line), Some((start, start + content.len())));
                start += content.len();
            }
        }
    }

    #[test]
    fn no_look_up_reads_more_than_a_stride() {
        let text = "é: x, ".repeat(100_000);
        let places = Places::new(&text);
        for offset in (0..text.len()).step_by(997) {
            bytes_read();
            let before = places.characters_before(&text, offset);
            assert!(bytes_read() <= STRIDE, "at byte {offset}");
            places.character(&text, before);
            assert!(bytes_read() <= STRIDE, "at character {before}");
        }
    }
}
