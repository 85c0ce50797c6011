//! The quick reader: most documents keep to a plain form of YAML, and a reader that knows nothing else reads that form in
//! a fifth of the time.
//!
//! It takes a text only where every sign of it has one meaning, and gives the very tree that the event reader gives, places
//! included; of any other text it says nothing, and the event reader has it. So it may take too little and never anything
//! else; a test holds the two against each other. It must not know faults, nor the other readers.

use super::harmless::STRETCH;
use super::limits::{MAX_DEPTH, MAX_KEY_BYTES, MAX_NODES, MAX_TEXT_BYTES};
use super::scalar::{self, Plain};
use super::{Content, Entry, Node, Span};

/// Keys of one mapping: whether one stands there twice is looked up one by one.
const MOST_KEYS: usize = 64;

/// Reads the whole text, if it is of the plain form: mappings and lists by indentation, lists and mappings in brackets on
/// one line, and texts on one line without an escape.
pub(super) fn read(text: &str) -> Option<Node> {
    // Seen by bytes, many at a time.
    let in_stretch = |bytes: &[u8]| bytes.iter().fold(false, |found, byte| found | matches!(byte, b'\t' | b'\r'));
    if text.as_bytes().chunks(STRETCH).any(in_stretch) {
        return None;
    }
    let mut reader = PlainReader { text, next: 0, line: None, nodes: 0, entries: Vec::new(), items: Vec::new() };
    reader.advance();
    let first = reader.line.filter(|line| line.column == 0)?;
    let root = reader.block(first, 1)?;
    reader.line.is_none().then_some(root)
}

/// A line with content, or the rest of one behind a dash.
#[derive(Clone, Copy)]
struct PlainLine {
    /// Blanks, or a dash and blanks, before the content.
    column: usize,
    /// Where the content begins.
    start: usize,
    /// Where the line ends, its break and the blanks before that left out.
    end: usize,
}

struct PlainReader<'t> {
    text: &'t str,
    /// Where the line behind the current one begins.
    next: usize,
    /// The current line; `None` behind the last one.
    line: Option<PlainLine>,
    nodes: usize,
    /// The entries of all mappings that are open, those of the innermost last: one that is closed takes as much room as it
    /// needs.
    entries: Vec<Entry>,
    /// The items of all lists that are open, those of the innermost last.
    items: Vec<Node>,
}

impl<'t> PlainReader<'t> {
    /// Goes on to the next line that is neither blank nor a comment.
    fn advance(&mut self) {
        self.line = None;
        while let Some(rest) = self.text.get(self.next..).filter(|rest| !rest.is_empty()) {
            let begin = self.next;
            // Lines are short: a search that is made for long texts takes twice as long.
            let length = rest.bytes().position(|byte| byte == b'\n').unwrap_or(rest.len());
            self.next = begin + length + 1;
            let written = rest.get(..length).unwrap_or_default().trim_end_matches(' ');
            let content = written.trim_start_matches(' ');
            if !content.is_empty() && !content.starts_with('#') {
                let column = written.len() - content.len();
                self.line = Some(PlainLine { column, start: begin + column, end: begin + written.len() });
                return;
            }
        }
    }

    fn byte(&self, at: usize) -> Option<u8> {
        self.text.as_bytes().get(at).copied()
    }

    fn slice(&self, start: usize, end: usize) -> &'t str {
        self.text.get(start..end).unwrap_or_default()
    }

    /// The first byte from `at` on that is not a blank, before `end`.
    fn behind_blanks(&self, at: usize, end: usize) -> usize {
        let mut at = at;
        while at < end && self.byte(at) == Some(b' ') {
            at += 1;
        }
        at
    }

    fn count(&mut self) -> Option<()> {
        self.nodes += 1;
        (self.nodes <= MAX_NODES).then_some(())
    }

    /// Whether a line begins with a dash that marks an item with content.
    fn is_item(&self, line: PlainLine) -> bool {
        self.byte(line.start) == Some(b'-') && line.start + 1 < line.end && self.byte(line.start + 1) == Some(b' ')
    }

    /// The mapping or list that begins with the current line, which is the `depth`-th that is open.
    fn block(&mut self, line: PlainLine, depth: usize) -> Option<Node> {
        if depth > MAX_DEPTH {
            return None;
        }
        self.count()?;
        if self.is_item(line) { self.list(line, depth) } else { self.map(line, depth) }
    }

    fn map(&mut self, first: PlainLine, depth: usize) -> Option<Node> {
        let before = self.entries.len();
        let mut line = first;
        loop {
            let (key, key_span) = self.key(line.start, line.end)?;
            self.new_key(before, key)?;
            let node = self.value(line, key_span.end + 1, depth)?;
            self.entries.push(Entry { key: key.into(), key_span, node });
            match self.line {
                Some(next) if next.column > first.column => return None,
                Some(next) if next.column == first.column => line = next,
                _ => break,
            }
        }
        let entries: Vec<Entry> = self.entries.drain(before..).collect();
        let end = entries.last().map_or(first.start, |entry| entry.node.span.end);
        Some(Node { span: Span::new(first.start, end), value: Content::Map(entries) })
    }

    fn list(&mut self, first: PlainLine, depth: usize) -> Option<Node> {
        let before = self.items.len();
        let mut line = first;
        loop {
            let start = self.behind_blanks(line.start + 1, line.end);
            let rest = PlainLine { column: line.column + (start - line.start), start, end: line.end };
            let item = if self.key(start, line.end).is_some() {
                self.block(rest, depth + 1)?
            } else {
                self.rest_of_line(start, line.end, depth)?
            };
            self.items.push(item);
            match self.line {
                Some(next) if next.column > first.column => return None,
                Some(next) if next.column == first.column && self.is_item(next) => line = next,
                _ => break,
            }
        }
        let items: Vec<Node> = self.items.drain(before..).collect();
        let end = items.last().map_or(first.start, |item| item.span.end);
        Some(Node { span: Span::new(first.start, end), value: Content::List(items) })
    }

    /// The value of a key: behind its colon, or on the lines below.
    fn value(&mut self, line: PlainLine, behind_colon: usize, depth: usize) -> Option<Node> {
        let start = self.behind_blanks(behind_colon, line.end);
        if start < line.end && self.byte(start) != Some(b'#') {
            return self.rest_of_line(start, line.end, depth);
        }
        self.advance();
        match self.line {
            Some(next) if next.column > line.column || (next.column == line.column && self.is_item(next)) => {
                self.block(next, depth + 1)
            }
            _ => {
                self.count()?;
                Some(Node { span: Span::empty(behind_colon), value: Content::Null })
            }
        }
    }

    /// A value that ends with its line, but for a comment.
    fn rest_of_line(&mut self, start: usize, end: usize, depth: usize) -> Option<Node> {
        let node = match self.byte(start)? {
            b'"' | b'\'' | b'[' | b'{' => self.marked(start, end, depth)?,
            _ => {
                let word = self.slice(start, end);
                let (mut before, mut length) = (b' ', word.len());
                for (at, byte) in word.bytes().enumerate() {
                    match (before, byte) {
                        // A colon before a blank would make what stands ahead of it a key.
                        (b':', b' ') => return None,
                        (b' ', b'#') => {
                            length = at;
                            break;
                        }
                        _ => before = byte,
                    }
                }
                let word = word.get(..length)?.trim_end_matches(' ');
                if word.ends_with(':') {
                    return None;
                }
                self.word(start, word)?
            }
        };
        let behind = self.behind_blanks(node.span.end, end);
        let is_comment = behind > node.span.end && self.byte(behind) == Some(b'#');
        if behind < end && !is_comment {
            return None;
        }
        self.advance();
        Some(node)
    }

    /// A text in quotes, a list or a mapping in brackets.
    fn marked(&mut self, start: usize, end: usize, depth: usize) -> Option<Node> {
        match self.byte(start)? {
            b'[' => self.list_in_brackets(start, end, depth + 1),
            b'{' => self.map_in_brackets(start, end, depth + 1),
            quote => {
                self.count()?;
                let length = self.slice(start + 1, end).bytes().position(|byte| byte == quote)?;
                let (text, close) = (self.slice(start + 1, start + 1 + length), start + 1 + length);
                // What an escape means, or a quote that is doubled, the event reader says.
                if text.contains('\\') || self.byte(close + 1) == Some(quote) || text.len() > MAX_TEXT_BYTES {
                    return None;
                }
                Some(Node { span: Span::new(start, close + 1), value: Content::Text(text.into()) })
            }
        }
    }

    /// A value in brackets: up to the comma or bracket behind it.
    fn in_brackets(&mut self, start: usize, end: usize, depth: usize) -> Option<Node> {
        if matches!(self.byte(start)?, b'"' | b'\'' | b'[' | b'{') {
            return self.marked(start, end, depth);
        }
        let rest = self.slice(start, end);
        let length = rest.bytes().position(|byte| matches!(byte, b',' | b'[' | b']' | b'{' | b'}' | b'#'))?;
        let word = rest.get(..length)?.trim_end_matches(' ');
        // In brackets a dash, a colon or a question mark before a blank or a bracket may be more than a sign of the word.
        let is_mark = |byte| matches!(byte, b'-' | b':' | b'?');
        let mut signs = word.bytes().zip(word.bytes().skip(1).chain([b' ']));
        if signs.any(|(sign, behind)| is_mark(sign) && behind == b' ') {
            return None;
        }
        self.word(start, word)
    }

    fn list_in_brackets(&mut self, start: usize, end: usize, depth: usize) -> Option<Node> {
        if depth > MAX_DEPTH {
            return None;
        }
        self.count()?;
        let before = self.items.len();
        let mut at = self.behind_blanks(start + 1, end);
        if self.byte(at) != Some(b']') {
            loop {
                let item = self.in_brackets(at, end, depth)?;
                at = self.behind_blanks(item.span.end, end);
                self.items.push(item);
                match self.byte(at)? {
                    b']' => break,
                    // A comma between two figures may be that of a number, unless figures alone stand behind it.
                    b',' if self.may_be_torn(at + 1) => return None,
                    b',' => at = self.behind_blanks(at + 1, end),
                    _ => return None,
                }
            }
        }
        let items = self.items.drain(before..).collect();
        (at < end).then(|| Node { span: Span::new(start, at + 1), value: Content::List(items) })
    }

    /// Whether an item that begins right behind its comma begins with a figure and is more than a whole number.
    fn may_be_torn(&self, start: usize) -> bool {
        let rest = self.text.as_bytes().get(start..).unwrap_or_default();
        let figures = rest.iter().take_while(|byte| byte.is_ascii_digit()).count();
        figures > 0 && !matches!(rest.get(figures), Some(b',' | b']'))
    }

    fn map_in_brackets(&mut self, start: usize, end: usize, depth: usize) -> Option<Node> {
        if depth > MAX_DEPTH {
            return None;
        }
        self.count()?;
        let before = self.entries.len();
        let mut at = self.behind_blanks(start + 1, end);
        if self.byte(at) != Some(b'}') {
            loop {
                let (key, key_span) = self.key(at, end)?;
                self.new_key(before, key)?;
                let value = self.behind_blanks(key_span.end + 1, end);
                let node = self.in_brackets(value, end, depth)?;
                at = self.behind_blanks(node.span.end, end);
                self.entries.push(Entry { key: key.into(), key_span, node });
                match self.byte(at)? {
                    b'}' => break,
                    b',' => at = self.behind_blanks(at + 1, end),
                    _ => return None,
                }
            }
        }
        let entries = self.entries.drain(before..).collect();
        (at < end).then(|| Node { span: Span::new(start, at + 1), value: Content::Map(entries) })
    }

    /// Counts a key of the mapping whose entries begin at `before`, if it does not have it yet.
    fn new_key(&mut self, before: usize, key: &str) -> Option<()> {
        let entries = self.entries.get(before..)?;
        if entries.len() >= MOST_KEYS || entries.iter().any(|entry| entry.key == key) {
            return None;
        }
        self.count()
    }

    /// The key that begins at `start`: a word with a colon behind it, and behind that a blank or the end of the line.
    fn key(&self, start: usize, end: usize) -> Option<(&'t str, Span)> {
        let rest = self.slice(start, end).as_bytes();
        let is_sign = |byte: &u8| byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'-' | b'.' | b'/');
        let length = rest.iter().position(|byte| !is_sign(byte))?;
        if rest.get(length) != Some(&b':') || rest.get(length + 1).is_some_and(|byte| *byte != b' ') {
            return None;
        }
        let key = self.slice(start, start + length);
        let is_text = key.starts_with(|c: char| c.is_ascii_alphabetic()) && scalar::resolve(key) == Plain::Text;
        (is_text && key.len() <= MAX_KEY_BYTES).then(|| (key, Span::new(start, start + length)))
    }

    /// What an unquoted word says.
    fn word(&mut self, start: usize, word: &str) -> Option<Node> {
        self.count()?;
        let mut bytes = word.bytes();
        let is_word = match bytes.next()? {
            b'+' | b'-' | b'.' => bytes.next().is_some_and(|byte| byte.is_ascii_alphanumeric()),
            b'~' | b'/' | b'(' => true,
            first => first.is_ascii_alphanumeric() || !first.is_ascii(),
        };
        if !is_word || word.len() > MAX_TEXT_BYTES {
            return None;
        }
        let value = match scalar::resolve(word) {
            Plain::Null => Content::Null,
            Plain::Bool(truth) => Content::Bool(truth),
            Plain::Text => Content::Text(word.into()),
            Plain::Whole | Plain::Broken => {
                scalar::check_range(word).ok()?;
                Content::Number(word.into())
            }
            Plain::NotFinite | Plain::Octal | Plain::Hexadecimal => return None,
        };
        Some(Node { span: Span::new(start, start + word.len()), value })
    }
}

#[cfg(test)]
mod tests;
