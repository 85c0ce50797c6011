//! A fault as it is drawn in a given width: of its lines what fits, and its words in the room that is left beside the place.
//!
//! A line that does not fit is cut, with a sign at each end that is not the line's own, and nothing of it is written
//! otherwise. Must not know what draws it.

use std::borrow::Cow;
use std::fmt;

use miette::{Diagnostic, LabeledSpan, MietteError, MietteSpanContents, SourceCode, SourceSpan, SpanContents};
use textwrap::core::display_width;

use super::fault::{Fault, Label};
use super::prose::laid_out;
use super::{Source, Span};

/// What stands to the left of a line, beside its number.
const GUTTER: usize = 4;
/// What words hang on below their place.
const HOOK: usize = 4;
/// Columns that words have at least, where they need as many; of a narrow terminal no more than half.
const WORDS: usize = 20;
/// Columns shown before a place whose line does not fit.
const LEAD_IN: usize = 8;
/// How wide a tab is drawn.
const TAB: usize = 4;
/// Where a line was cut.
const CUT: &str = "…";
/// Bytes that a sign takes at most: one less than its own, and a whole character behind them.
const MOST_SIGN: usize = 6;

/// A fault in a width.
#[derive(Debug)]
pub struct Framed<'f> {
    fault: &'f Fault,
    labels: Vec<LabeledSpan>,
    lines: Option<FramedLines<'f>>,
}

impl<'f> Framed<'f> {
    /// Lays a fault out in so many columns.
    pub fn new(fault: &'f Fault, width: usize) -> Self {
        let framed = fault.source().map(|source| FramedLines::of(source, fault.labels(), width));
        let (lines, labels) = framed.unzip();
        Self { fault, labels: labels.unwrap_or_default(), lines }
    }
}

impl fmt::Display for Framed<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.fault.fmt(f)
    }
}

impl std::error::Error for Framed<'_> {}

impl Diagnostic for Framed<'_> {
    fn code<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Diagnostic::code(self.fault)
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Diagnostic::help(self.fault)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.lines.as_ref().map(|lines| lines as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        (!self.labels.is_empty())
            .then(|| Box::new(self.labels.iter().cloned()) as Box<dyn Iterator<Item = LabeledSpan>>)
    }
}

/// Places that are drawn together, on one line.
#[derive(Debug)]
struct Frame {
    /// The places, each cut to what is shown, with the columns before its middle.
    places: Vec<(Span, usize)>,
    /// What is kept of the line.
    kept: Span,
    /// The same with the signs of what was cut.
    shown: Span,
    /// Whether that is all of it.
    whole: bool,
}

impl Frame {
    fn holds(&self, span: Span) -> bool {
        self.places.iter().any(|(place, _)| span.holds(*place))
    }
}

/// The text of a fault, and what of it is shown.
#[derive(Debug)]
struct FramedLines<'f> {
    source: &'f Source,
    /// The text as it is drawn, with the signs of what was cut.
    text: Cow<'f, str>,
    width: usize,
    frames: Vec<Frame>,
}

impl<'f> FramedLines<'f> {
    fn of(source: &'f Source, labels: &[Label], width: usize) -> (Self, Vec<LabeledSpan>) {
        let mut lines = Self { source, text: Cow::Borrowed(source.drawn()), width, frames: Vec::new() };
        let mut order: Vec<&Label> = labels.iter().collect();
        order.sort_by_key(|label| label.span.start);
        let mut rest = order.as_slice();
        while let Some((first, _)) = rest.split_first() {
            let line = lines.line_of(first.span);
            let on_it = rest.iter().take_while(|label| lines.line_of(label.span) == line).count();
            let (here, further) = rest.split_at(on_it);
            lines.frame(line, here);
            rest = further;
        }
        lines.sign();
        let drawn = labels.iter().enumerate().map(|(number, label)| {
            let (span, hang) = lines.drawn(label);
            let room = lines.columns(lines.line_of(label.span)).saturating_sub(hang + HOOK).max(1);
            let words = (!label.text.is_empty()).then(|| laid_out(&label.text, room, "", ""));
            if number == 0 {
                LabeledSpan::new_primary_with_span(words, span)
            } else {
                LabeledSpan::new_with_span(words, span)
            }
        });
        let drawn = drawn.collect();
        (lines, drawn)
    }

    /// The line on which a place begins, without its end.
    fn line_of(&self, span: Span) -> Span {
        let (line, start) = self.source.places().line_at(span.start);
        let (_, end) = self.source.places().line(self.source.text(), line).unwrap_or((start, start));
        let content = self.source.text().get(start..end).unwrap_or_default();
        Span::new(start, start + content.trim_end_matches(['\r', '\n']).len())
    }

    /// Columns that a line has, behind the number of the line after it.
    fn columns(&self, line: Span) -> usize {
        let (number, _) = self.source.line_and_column(line.start);
        self.width.saturating_sub((number + 1).to_string().len() + GUTTER).max(2 * LEAD_IN)
    }

    fn wide(&self, span: Span) -> usize {
        let text = self.source.drawn().get(span.start..span.end).unwrap_or_default();
        text.split('\t').map(display_width).sum::<usize>() + TAB * text.matches('\t').count()
    }

    /// Columns that the words of a place need below it.
    fn need(columns: usize, label: &Label) -> usize {
        if label.text.is_empty() { 0 } else { display_width(&label.text).min(WORDS.min(columns / 2)) + HOOK }
    }

    /// Frames the places of one line: together where they fit, and else the first ones, then the rest.
    fn frame(&mut self, line: Span, mut places: &[&Label]) {
        let columns = self.columns(line);
        let mut behind = line.start;
        while let Some((first, _)) = places.split_first() {
            let whole = behind == line.start && self.wide(line) <= columns && {
                let middle = |label: &Label| self.middle(line.start, Self::on_line(line, label));
                places.iter().all(|label| middle(label) + Self::need(columns, label) <= columns)
            };
            let kept = if whole { line } else { self.kept(line, first.span.start, behind, columns) };
            let lead = if whole { 0 } else { self.sign_before(kept.start, behind).unwrap_or(0) };
            let ahead = Self::sign_wide(lead);
            let fits = |label: &&&Label| {
                let span = Self::on_line(line, label);
                span.end <= kept.end && ahead + self.middle(kept.start, span) + Self::need(columns, label) <= columns
            };
            let count = places.iter().take_while(fits).count().max(1);
            let (here, further) = places.split_at(count);
            // What is drawn for itself is not drawn here as well, and no sign stands in its place.
            let last = here.last().map_or(kept.start, |last| last.span.start);
            let next = further.first().map(|next| next.span.start.max(last)).filter(|next| *next < kept.end + LEAD_IN);
            let to = next.map_or(kept.end, |next| next.min(kept.end));
            let tail = if next.is_some() { 0 } else { self.sign_behind(to, line.end).unwrap_or(0) };
            let cut_to = |label: &&Label| {
                let span = Self::on_line(line, label);
                let before = ahead + self.wide(Span::new(kept.start, span.start));
                // The words hang below the middle: of a place that is too long for them its beginning is marked.
                let most = 2 * columns.saturating_sub(before + Self::need(columns, label));
                let end = self.along(span.start, span.end.min(to).max(span.start), most.max(1));
                let span = Span::new(span.start, end);
                (span, ahead + self.middle(kept.start, span))
            };
            let frame = Frame {
                places: here.iter().map(cut_to).collect(),
                kept: Span::new(kept.start, to),
                shown: Span::new(kept.start - lead, to + tail),
                whole,
            };
            self.frames.push(frame);
            behind = here.iter().map(|label| Self::on_line(line, label).end).max().unwrap_or(behind).max(to);
            places = further;
        }
    }

    /// What is kept of a line that does not fit, from shortly before a place, with room for the signs.
    fn kept(&self, line: Span, place: usize, behind: usize, columns: usize) -> Span {
        let from = self.back(place, behind, LEAD_IN);
        // Where a sign would take as much as what it stands for, that stays.
        let from = if from - line.start < CUT.len() && behind == line.start { line.start } else { from };
        let lead = Self::sign_wide(self.sign_before(from, behind).unwrap_or(0));
        let to = self.along(from, line.end, columns.saturating_sub(lead));
        if to == line.end {
            return Span::new(from, to);
        }
        let mut to = self.along(from, line.end, columns.saturating_sub(lead + Self::sign_wide(MOST_SIGN)));
        while line.end - to < CUT.len() && to > from {
            to = self.back(to, from, 1);
        }
        Span::new(from, to)
    }

    /// Bytes before a cut that the sign takes: as many as whole characters have, so that all others stay where they are.
    fn sign_before(&self, from: usize, behind: usize) -> Option<usize> {
        let text = self.source.text();
        (CUT.len()..=MOST_SIGN).find(|bytes| from >= behind + bytes && text.is_char_boundary(from - bytes))
    }

    /// The same behind a cut.
    fn sign_behind(&self, to: usize, end: usize) -> Option<usize> {
        let text = self.source.text();
        (CUT.len()..=MOST_SIGN).find(|bytes| to + bytes <= end && text.is_char_boundary(to + bytes))
    }

    /// Columns of a sign in the place of so many bytes.
    const fn sign_wide(bytes: usize) -> usize {
        bytes.saturating_sub(CUT.len() - 1)
    }

    /// The part of a place that lies on the line on which it begins.
    fn on_line(line: Span, label: &Label) -> Span {
        Span::new(label.span.start, label.span.end.min(line.end).max(label.span.start))
    }

    /// Columns from a byte of a line to the middle of a place on it.
    fn middle(&self, from: usize, span: Span) -> usize {
        self.wide(Span::new(from, span.start)) + self.wide(span) / 2
    }

    /// The byte so many columns behind another one, at most the end.
    fn along(&self, from: usize, end: usize, columns: usize) -> usize {
        let text = self.source.text().get(from..end).unwrap_or_default();
        let ends = text.char_indices().map(|(at, c)| from + at + c.len_utf8());
        ends.take_while(|at| self.wide(Span::new(from, *at)) <= columns).last().unwrap_or(from)
    }

    /// The byte so many characters before another one, at least the beginning.
    fn back(&self, at: usize, beginning: usize, characters: usize) -> usize {
        let text = self.source.text().get(beginning.min(at)..at).unwrap_or_default();
        text.char_indices().rev().take(characters).last().map_or(at, |(before, _)| beginning + before)
    }

    /// Puts the signs where lines were cut.
    fn sign(&mut self) {
        let of = |Frame { kept, shown, .. }: &Frame| [(shown.start, kept.start), (kept.end, shown.end)];
        let cuts: Vec<(usize, usize)> = self.frames.iter().flat_map(of).filter(|(from, to)| from < to).collect();
        for (from, to) in cuts {
            let sign = format!("{CUT:<wide$}", wide = Self::sign_wide(to - from));
            self.text.to_mut().replace_range(from..to, &sign);
        }
    }

    /// A place as it is drawn, and the columns before its middle.
    fn drawn(&self, label: &Label) -> (Span, usize) {
        let places = self.frames.iter().flat_map(|frame| &frame.places);
        let mut here = places.filter(|(place, _)| place.start == label.span.start);
        let longest = |(place, _): &&(Span, usize)| place.end <= label.span.end.max(label.span.start);
        here.clone().rfind(longest).or_else(|| here.next()).copied().unwrap_or((Span::empty(label.span.start), 0))
    }

    fn name(&self, at: usize) -> Cow<'_, str> {
        let name = self.source.name_at(at);
        let (line, column) = self.source.line_and_column(at);
        let room = self.width.saturating_sub(format!("  {line} ╭─[:{line}:{column}]").chars().count());
        if display_width(name) <= room {
            return Cow::Borrowed(name);
        }
        // The end of a path tells more of it than its beginning.
        let mut kept = name;
        while display_width(kept) + 1 > room.max(LEAD_IN) {
            let mut rest = kept.chars();
            rest.next();
            kept = rest.as_str();
        }
        Cow::Owned(format!("{CUT}{kept}"))
    }

    /// The lines next to a frame that is whole, as far as they fit too.
    fn with_neighbours(&self, shown: Span, before: usize, after: usize) -> Span {
        let (from, to, _) = self.source.part(shown.start);
        let mut shown = shown;
        if before > 0 && shown.start > from {
            let line = self.line_of(Span::empty(shown.start - 1));
            if line.start >= from && self.wide(line) <= self.columns(line) {
                shown.start = line.start;
            }
        }
        let next = self.source.places().line_at(shown.end).0 + 1;
        if after > 0
            && let Some((start, _)) = self.source.places().line(self.source.text(), next)
            && start < to
        {
            let line = self.line_of(Span::empty(start));
            if !line.is_empty() && self.wide(line) <= self.columns(line) {
                shown.end = line.end;
            }
        }
        shown
    }
}

impl SourceCode for FramedLines<'_> {
    fn read_span<'s>(
        &'s self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'s> + 's>, MietteError> {
        let wanted = Span::new(span.offset(), span.offset() + span.len());
        let (from, to, _) = self.source.part(wanted.start);
        let mut frames = self.frames.iter().filter(|frame| frame.holds(wanted));
        let Some(first) = frames.next() else { return Err(MietteError::OutOfBounds) };
        let mut shown = first.shown;
        for next in frames {
            // What does not lie close together, or not whole, is drawn each for itself.
            let between = self.source.text().get(shown.end..next.shown.start).unwrap_or_default();
            let lines_between = between.matches('\n').count();
            if !first.whole || !next.whole || lines_between > 3 || next.shown.start < from || next.shown.end > to {
                return Err(MietteError::OutOfBounds);
            }
            let fit = between.split('\n').all(|line| display_width(line) <= self.columns(next.shown));
            if !fit {
                return Err(MietteError::OutOfBounds);
            }
            shown.end = next.shown.end;
        }
        if first.whole {
            shown = self.with_neighbours(shown, before, after);
        }
        let (line, column) = if before + after == 0 {
            self.source.line_and_column(wanted.start)
        } else {
            self.source.line_and_column(shown.start)
        };
        // The end of a line belongs to it: something that is missing is pointed at there.
        let rest = self.source.text().get(shown.end..to).unwrap_or_default();
        let ends = ["\r\n", "\n"].into_iter().find(|end| rest.starts_with(end));
        shown.end += ends.map_or(0, str::len);
        let text = self.text.get(shown.start..shown.end).unwrap_or_default();
        let (data, count) = (text.as_bytes(), text.lines().count());
        let name = self.name(wanted.start).into_owned();
        Ok(Box::new(MietteSpanContents::new_named(name, data, shown.into(), line - 1, column - 1, count)))
    }
}

#[cfg(test)]
mod tests;
