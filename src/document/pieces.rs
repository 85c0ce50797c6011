//! A text of the plain form, cut where one entry ends and the next begins: the second reader keeps all that it reads of one
//! text in memory, and of pieces it needs that of the longest only.
//!
//! Each piece is a text of its own: whole lines, from the line of a key without indentation, or of a dash, up to the next
//! one. Nothing of the plain form goes on past such a line, so whoever reads every piece as its values reads the whole as
//! theirs, one behind the other. Where a piece is read otherwise, nothing is said, and the whole text is read.
//! Must not know any reader.

use std::ops::Range;

use super::{Content, Entry, Node};

/// A piece is no longer made longer from this size on, in bytes: to begin with a text costs the second reader as much as
/// to read some dozens of bytes.
const ENOUGH: usize = 1024;

/// The values that a text is to be read as.
#[derive(Debug)]
pub(crate) enum Expected<'n> {
    /// Those of a node.
    Node(&'n Node),
    /// Entries in order.
    Map(Vec<(&'n str, Expected<'n>)>),
    /// Items in order.
    List(Vec<&'n Node>),
    /// Nothing.
    Nothing,
}

/// Some lines of a text, and what they are to be read as.
#[derive(Debug)]
pub(crate) struct Piece<'n> {
    pub(crate) bytes: Range<usize>,
    pub(crate) expected: Expected<'n>,
}

/// The pieces of a text of the plain form with these values: they lie end to end, from its beginning to its end.
pub(super) fn of<'n>(text: &str, root: &'n Node) -> Vec<Piece<'n>> {
    let Content::Map(entries) = &root.value else {
        return vec![Piece { bytes: 0..text.len(), expected: Expected::Node(root) }];
    };
    let mut cut = Cut { pieces: Vec::new(), begun: 0, open: Vec::new() };
    for (entry, next) in entries.iter().zip(followed(entries, |entry| entry.key_span.start, text.len())) {
        let starts = dashes(text, entry);
        let Some(first) = starts.first().filter(|_| next - entry.key_span.start > ENOUGH) else {
            cut.open.push((&entry.key, Expected::Node(&entry.node)));
            cut.end_if_enough(next);
            continue;
        };
        cut.open.push((&entry.key, Expected::Nothing));
        cut.end(*first);
        let Content::List(items) = &entry.node.value else { continue };
        let mut of_piece = Vec::new();
        for (item, next) in items.iter().zip(followed(&starts, |start| *start, next)) {
            of_piece.push(item);
            if next - cut.begun >= ENOUGH {
                cut.end_with(next, Expected::List(std::mem::take(&mut of_piece)));
            }
        }
        if !of_piece.is_empty() {
            cut.end_with(next, Expected::List(of_piece));
        }
    }
    cut.end(text.len());
    cut.pieces
}

/// Where the next of each begins; of the last one, the end.
fn followed<T>(all: &[T], start: impl Fn(&T) -> usize, end: usize) -> impl Iterator<Item = usize> {
    all.iter().skip(1).map(start).chain([end])
}

/// Where the lines of the items of a list begin; none where its value is no list with a line for each item.
fn dashes(text: &str, entry: &Entry) -> Vec<usize> {
    let Content::List(items) = &entry.node.value else { return Vec::new() };
    let line_of = |item: &Node| {
        let ahead = text.get(..item.span.start)?;
        let line = ahead.rfind('\n').map_or(0, |end| end + 1);
        (ahead.get(line..)?.trim_matches(' ') == "-").then_some(line)
    };
    items.iter().map(line_of).collect::<Option<_>>().unwrap_or_default()
}

/// The pieces so far, and the entries of the one that is open.
struct Cut<'n> {
    pieces: Vec<Piece<'n>>,
    /// Where the open piece begins.
    begun: usize,
    open: Vec<(&'n str, Expected<'n>)>,
}

impl<'n> Cut<'n> {
    fn end_if_enough(&mut self, at: usize) {
        if at - self.begun >= ENOUGH {
            self.end(at);
        }
    }

    fn end(&mut self, at: usize) {
        if !self.open.is_empty() {
            let entries = std::mem::take(&mut self.open);
            self.end_with(at, Expected::Map(entries));
        }
    }

    fn end_with(&mut self, at: usize, expected: Expected<'n>) {
        self.pieces.push(Piece { bytes: self.begun..at, expected });
        self.begun = at;
    }
}

#[cfg(test)]
mod tests;
