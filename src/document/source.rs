//! The text of a document, its display name, and byte spans into it.
//!
//! A document that is put together from several files has their texts laid end to end, so that one span says both which
//! file and where in it. Must not know YAML: any text with lines will do.

use std::borrow::Cow;
use std::sync::{Arc, OnceLock};

use miette::{MietteError, MietteSpanContents, SourceCode, SourceSpan, SpanContents};

use serde::{Deserialize, Serialize};

use super::harmless::harmless;
use super::places::Places;

/// A display name and the text that spans refer to; cheap to clone.
///
/// Of a document that was read, a byte order mark at the start is not part of the text, so that columns count
/// what is seen, and the last line has a line break even if the file has none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    inner: Arc<Inner>,
}

#[derive(Debug)]
struct Inner {
    name: Cow<'static, str>,
    text: Cow<'static, str>,
    /// What the file has before and after the text, or lacks, where its bytes are not those of the text.
    file: Option<String>,
    /// The text as it may be drawn, where that differs: what could steer a terminal is replaced, byte for byte.
    drawn: Option<String>,
    /// The files behind the first one, in their order: where each begins in the text, and its name. The text before each
    /// ends with a line break.
    further: Vec<(usize, String)>,
    /// Where lines and characters begin; of a text that nothing points into nobody asks.
    places: OnceLock<Box<Places>>,
}

impl PartialEq for Inner {
    fn eq(&self, other: &Inner) -> bool {
        // The rest is made of these.
        (&self.name, &self.text, &self.file, &self.further) == (&other.name, &other.text, &other.file, &other.further)
    }
}

impl Eq for Inner {}

impl Source {
    /// Names a text.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Source {
        Source::of(name.into(), text.into(), None)
    }

    /// Names a text that is compiled in: it stays where it is, and is not looked through for what must not be drawn. Tests
    /// read every such text as one from outside is read.
    pub(crate) fn compiled_in(name: &'static str, text: &'static str) -> Source {
        let (name, text) = (Cow::Borrowed(name), Cow::Borrowed(text));
        let (file, drawn, further, places) = (None, None, Vec::new(), OnceLock::new());
        Source { inner: Arc::new(Inner { name, text, file, drawn, further, places }) }
    }

    /// Names the text of a file whose bytes are others than those of the text.
    pub(super) fn of_file(name: &str, text: String, file: &str) -> Source {
        let file = (text != file).then(|| file.to_owned());
        Source::of(name.to_owned(), text, file)
    }

    fn of(name: String, text: String, file: Option<String>) -> Source {
        let drawn = harmless(&text);
        // A name is drawn wherever the text is.
        let name = harmless(&name).unwrap_or(name).replace(['\n', '\r', '\t'], " ");
        let (name, text) = (Cow::Owned(name), Cow::Owned(text));
        let (further, places) = (Vec::new(), OnceLock::new());
        Source { inner: Arc::new(Inner { name, text, file, drawn, further, places }) }
    }

    /// This text with another one behind it. Spans of this one stay what they are, those of the other one move by the
    /// length of this one.
    #[must_use]
    pub fn followed_by(&self, other: &Source) -> Source {
        let start = self.text().len();
        let text = Cow::Owned([self.text(), other.text()].concat());
        let is_drawn_otherwise = self.inner.drawn.is_some() || other.inner.drawn.is_some();
        let drawn = is_drawn_otherwise.then(|| [self.drawn(), other.drawn()].concat());
        let mut further = self.inner.further.clone();
        further.push((start, other.inner.name.to_string()));
        further.extend(other.inner.further.iter().map(|(at, name)| (at + start, name.clone())));
        let (name, file) = (self.inner.name.clone(), self.inner.file.clone());
        Source { inner: Arc::new(Inner { name, text, file, drawn, further, places: OnceLock::new() }) }
    }

    /// The file in which a byte offset lies: where it begins, where it ends, and its name.
    pub(super) fn part(&self, offset: usize) -> (usize, usize, &str) {
        let further = &self.inner.further;
        let behind = self.file_of(offset);
        let end = further.get(behind).map_or(self.text().len(), |(start, _)| *start);
        match behind.checked_sub(1).and_then(|last| further.get(last)) {
            Some((start, name)) => (*start, end, name),
            None => (0, end, self.inner.name.as_ref()),
        }
    }

    /// What reports call the file in which a byte offset lies.
    pub fn name_at(&self, offset: usize) -> &str {
        self.part(offset).2
    }

    /// Which of the files a byte offset lies in, counted from 0.
    pub fn file_of(&self, offset: usize) -> usize {
        self.inner.further.partition_point(|(start, _)| *start <= offset)
    }

    /// What reports call the files of this document, the first one first.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.name()).chain(self.inner.further.iter().map(|(_, name)| name.as_str()))
    }

    /// How far into its own file a byte offset lies, in bytes.
    pub fn offset_in_file(&self, offset: usize) -> usize {
        offset - self.part(offset).0
    }

    /// The text of a byte's own file up to it.
    pub fn text_before(&self, offset: usize) -> &str {
        self.text().get(self.part(offset).0..offset).unwrap_or_default()
    }

    /// What reports call this document; of several files the first one.
    pub fn name(&self) -> &str {
        &self.inner.name
    }

    /// The bytes of the file as they are, with the byte order mark, if it has one, and without a line break at the end
    /// that it does not have: what a digest of the file is made of. Only for a document of one file.
    pub fn file_bytes(&self) -> &[u8] {
        self.inner.file.as_deref().unwrap_or(&self.inner.text).as_bytes()
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.inner.text
    }

    /// The text as it may be drawn on a terminal; the same length as [`Source::text`], place by place.
    pub fn drawn(&self) -> &str {
        self.inner.drawn.as_deref().unwrap_or(&self.inner.text)
    }

    /// The text of `span`; empty where the span does not lie in this text.
    pub fn slice(&self, span: Span) -> &str {
        self.text().get(span.start..span.end).unwrap_or_default()
    }

    pub(super) fn places(&self) -> &Places {
        self.inner.places.get_or_init(|| Box::new(Places::new(self.text())))
    }

    /// Line and column of a byte offset in its file, both counted from 1, the column in characters.
    ///
    /// An offset past the end or inside a character counts as the nearest character before it.
    pub fn line_and_column(&self, offset: usize) -> (usize, usize) {
        let mut end = offset.min(self.text().len());
        while !self.text().is_char_boundary(end) {
            end -= 1;
        }
        let (line, start) = self.places().line_at(end);
        let (first, _) = self.places().line_at(self.part(end).0);
        (line - first + 1, self.characters(Span::new(start, end)) + 1)
    }

    /// Characters that begin in a span.
    fn characters(&self, span: Span) -> usize {
        let before = |offset| self.places().characters_before(self.text(), offset);
        before(span.end).saturating_sub(before(span.start))
    }

    /// Where the character lies that is so many characters behind `start`, at most at the end of the line.
    fn along_line(&self, start: usize, characters: usize) -> usize {
        let text = self.text();
        let (line, line_start) = self.places().line_at(start);
        let (_, end) = self.places().line(text, line).unwrap_or((line_start, line_start));
        let content = text.get(start..end).unwrap_or_default();
        let due = self.places().character(text, self.places().characters_before(text, start) + characters);
        due.min(start + content.trim_end_matches(['\r', '\n']).len())
    }

    /// What a report shows of the line that `span` begins on, in at most `columns` characters: the whole line where it
    /// fits, otherwise a piece of it with the beginning of the span. The span is cut to what is shown.
    pub fn window(&self, span: Span, columns: usize) -> Excerpt {
        let (_, start) = self.places().line_at(span.start);
        let ahead = self.characters(Span::new(start, span.start));
        // Where the span does not fit behind the beginning of its line, the line is shown from shortly before it.
        let fits = ahead + self.characters(span).min(columns / 2) <= columns;
        let from = self.along_line(start, if fits { 0 } else { ahead.saturating_sub(LEAD_IN) });
        let to = self.along_line(from, columns);
        Excerpt { shown: Span::new(from, to), span: Span::new(span.start, span.end.min(to).max(span.start)) }
    }

    /// The byte offset of a line and a column, both counted from 1, the column in characters.
    ///
    /// A column past the end of its line counts as that end, a line past the end of the text as the end of the text.
    pub fn offset(&self, line: usize, column: usize) -> usize {
        match line.checked_sub(1).and_then(|line| self.places().line(self.text(), line)) {
            Some((start, _)) => self.along_line(start, column.saturating_sub(1)),
            None => self.text().len(),
        }
    }
}

/// What a report shows of a line, and of a span on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Excerpt {
    /// The part of the line.
    pub shown: Span,
    /// The part of the span that lies on it.
    pub span: Span,
}

/// Characters shown before a span that does not fit behind the beginning of its line.
const LEAD_IN: usize = 8;

/// Columns of a line that a fault shows where nobody says how wide the page is, see [`super::Framed`].
pub(super) const FAULT_COLUMNS: usize = 100;

impl SourceCode for Source {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        context_lines_before: usize,
        context_lines_after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let (start, end) = (span.offset(), span.offset() + span.len());
        let (from, to, name) = self.part(start);
        if end > to {
            // What lies between two places in two files is no place of either: they are drawn each for itself.
            return Err(MietteError::OutOfBounds);
        }
        let (before, _) = self.places().line_at(from);
        // An end behind a line break still belongs to the line before it.
        let (on, _) = self.places().line_at(start);
        let (last, _) = self.places().line_at(end.saturating_sub(1).max(start));
        let first = on.saturating_sub(context_lines_before).max(before);
        let within = |(start, end): (usize, usize)| (start < to || start == from).then_some((start, end));
        let lines = || {
            (first..=last + context_lines_after)
                .map_while(|line| self.places().line(self.text(), line).and_then(within))
        };
        let longest = lines().map(|(start, end)| (end - start).saturating_sub(1)).max().unwrap_or(0);
        let (shown, line, column, count) = if context_lines_before + context_lines_after == 0 {
            // Without context only the place itself is asked for, to head the snippet; its text is not drawn.
            (Span::new(start, end), on - before, self.line_and_column(start).1 - 1, last - on + 1)
        } else if longest > FAULT_COLUMNS {
            // A line of a hundred thousand columns helps nobody.
            let Excerpt { shown, .. } = self.window(Span::new(start, end), FAULT_COLUMNS);
            let (line, column) = self.line_and_column(shown.start);
            (shown, line - 1, column - 1, 1)
        } else {
            let from = lines().next().map_or(start, |(start, _)| start);
            let to = lines().last().map_or(end, |(_, end)| end);
            (Span::new(from, to), first - before, 0, lines().count())
        };
        let data = self.drawn().get(shown.start..shown.end).unwrap_or_default().as_bytes();
        Ok(Box::new(MietteSpanContents::new_named(name.to_owned(), data, shown.into(), line, column, count)))
    }
}

/// A range of bytes of a [`Source`]: `start` inclusive, `end` exclusive.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
pub struct Span {
    /// Offset of the first byte.
    pub start: usize,
    /// Offset after the last byte.
    pub end: usize,
}

impl Span {
    /// A span from `start` up to, not including, `end`.
    pub fn new(start: usize, end: usize) -> Span {
        Span { start, end }
    }

    /// The empty span at `offset`, for a value that is left out.
    pub fn empty(offset: usize) -> Span {
        Span::new(offset, offset)
    }

    /// Bytes covered.
    pub fn len(self) -> usize {
        self.end.saturating_sub(self.start)
    }

    /// Whether no byte is covered.
    pub fn is_empty(self) -> bool {
        self.len() == 0
    }

    /// Whether another span lies within this one, from end to end.
    pub const fn holds(self, inner: Span) -> bool {
        self.start <= inner.start && inner.end <= self.end
    }
}

impl From<Span> for SourceSpan {
    fn from(span: Span) -> SourceSpan {
        SourceSpan::from((span.start, span.len()))
    }
}

#[cfg(test)]
mod tests;
