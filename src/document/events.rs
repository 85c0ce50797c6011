//! The reader that keeps places: an event parser's events become the tree.
//!
//! It is iterative and bounded, so that no input can exhaust the stack before the bounds are checked. What
//! YAML can do and an input document must not is refused here. Must not know the other reader.

use std::collections::BTreeMap;

use saphyr_parser::{Event, Parser, ScalarStyle};

use super::limits::{MAX_DEPTH, MAX_KEY_BYTES, MAX_NODES, MAX_TEXT_BYTES};
use super::scalar::{self, Plain};
use super::spans::Ruler;
use super::{Content, Entry, Fault, Faults, Node, ShortText, Source, Span, refusals, scan_words, text};

/// Reads the whole text, or gives every reason found to refuse it.
pub(super) fn read(source: &Source) -> Result<Node, Faults> {
    if let Some(span) = directive(source) {
        return Err(refusals::directive(source, span).in_source(source).into());
    }
    let mut builder = Builder::new(source);
    for event in Parser::new_from_str(source.text()) {
        let outcome = match event {
            Ok((event, mark)) => builder.take(event, mark),
            Err(error) => Err(scan_words::fault(source, &builder.ruler, &error)),
        };
        // After such a fault the rest of the text has no meaning that could be relied on.
        if let Err(fault) = outcome {
            builder.refuse(fault);
            break;
        }
    }
    builder.finish()
}

/// The first line that is neither blank nor a comment, if it is a directive (YAML 1.2.2, section 6.8). No value can
/// begin with a percent sign.
fn directive(source: &Source) -> Option<Span> {
    let mut start = 0;
    for line in source.text().split_inclusive('\n') {
        let content = line.trim_end();
        if content.starts_with('%') {
            return Some(Span::new(start, start + content.len()));
        }
        if !content.is_empty() && !content.trim_start().starts_with('#') {
            return None;
        }
        start += line.len();
    }
    None
}

/// A list or mapping that is still open.
enum Open {
    List {
        span: Span,
        items: Vec<Node>,
    },
    Map {
        span: Span,
        entries: Vec<Entry>,
        /// Where each key stands that the mapping has so far.
        seen: BTreeMap<ShortText, Span>,
        key: Option<AwaitedKey>,
    },
}

/// A key whose value is awaited; `text` is missing if the key was refused.
struct AwaitedKey {
    text: Option<ShortText>,
    span: Span,
}

/// What kind of node is handed to the list or mapping it belongs to.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Form {
    Unquoted,
    Quoted,
    Collection,
}

struct Builder<'a> {
    source: &'a Source,
    ruler: Ruler<'a>,
    open: Vec<Open>,
    root: Option<Node>,
    documents: usize,
    nodes: usize,
    /// End of the last key, value or indicator that was read.
    cursor: usize,
    faults: Vec<Fault>,
}

impl<'a> Builder<'a> {
    fn new(source: &'a Source) -> Builder<'a> {
        Builder {
            source,
            ruler: Ruler::new(source),
            open: Vec::new(),
            root: None,
            documents: 0,
            nodes: 0,
            cursor: 0,
            faults: Vec::new(),
        }
    }

    /// Notes a fault; reading goes on, so that one run shows as many as it can.
    fn refuse(&mut self, fault: Fault) {
        self.faults.push(fault.in_source(self.source));
    }

    /// Takes one event; an error ends the reading.
    fn take(&mut self, event: Event<'_>, mark: saphyr_parser::Span) -> Result<(), Fault> {
        let span = Span::new(self.ruler.offset(mark.start), self.ruler.offset(mark.end));
        match event {
            Event::Nothing | Event::StreamStart | Event::StreamEnd | Event::DocumentEnd => {}
            Event::DocumentStart(explicit) => {
                self.documents += 1;
                if self.documents > 1 {
                    return Err(refusals::several_documents(span));
                }
                if explicit {
                    self.cursor = span.end;
                }
            }
            Event::Alias(_) => {
                self.refuse(refusals::alias(self.source, span));
                self.count(span)?;
                self.cursor = span.end;
                self.hand_over(Node { span, value: Content::Null }, Form::Collection);
            }
            Event::Scalar(value, style, anchor, tag) => {
                self.refuse_properties(anchor > 0, tag.is_some(), span.start);
                self.scalar(&value, style, span)?;
            }
            Event::SequenceStart(anchor, tag) => {
                self.refuse_properties(anchor > 0, tag.is_some(), span.start);
                let span = Span::new(self.list_start(span), span.end);
                self.cursor = span.start + 1;
                self.push(span, Open::List { span, items: Vec::new() })?;
            }
            Event::MappingStart(anchor, tag) => {
                self.refuse_properties(anchor > 0, tag.is_some(), span.start);
                let (entries, seen) = (Vec::new(), BTreeMap::new());
                self.push(span, Open::Map { span, entries, seen, key: None })?;
            }
            Event::SequenceEnd | Event::MappingEnd => self.pop(span),
        }
        Ok(())
    }

    fn count(&mut self, span: Span) -> Result<(), Fault> {
        self.nodes += 1;
        if self.nodes > MAX_NODES {
            return Err(refusals::too_many_values(span));
        }
        Ok(())
    }

    fn push(&mut self, span: Span, open: Open) -> Result<(), Fault> {
        self.count(span)?;
        if self.open.len() >= MAX_DEPTH {
            return Err(refusals::too_deep(span));
        }
        self.open.push(open);
        Ok(())
    }

    /// Whether the next node is the value of a key.
    fn is_value(&self) -> bool {
        matches!(self.open.last(), Some(Open::Map { key: Some(_), .. }))
    }

    /// Where a list begins. The mark of a list in brackets is its bracket; other marks are empty, and that of a list
    /// at the indentation of its key lies behind the first dash, which has to be looked for behind the key.
    fn list_start(&self, mark: Span) -> usize {
        if !mark.is_empty() || !self.is_value() {
            return mark.start;
        }
        self.ruler.skip(self.cursor, &[':'])
    }

    /// Refuses anchor and tag of a node, whose mark begins at the first of them.
    fn refuse_properties(&mut self, anchor: bool, tag: bool, start: usize) {
        if !anchor && !tag {
            return;
        }
        let span = self.ruler.word(start);
        if anchor {
            self.refuse(refusals::anchor(span));
        }
        if tag {
            self.refuse(refusals::tag(span));
        }
    }

    fn scalar(&mut self, value: &str, style: ScalarStyle, mark: Span) -> Result<(), Fault> {
        let plain = style == ScalarStyle::Plain;
        let span = if plain && value.is_empty() {
            self.left_out(mark.start)
        } else {
            self.ruler.scalar(style, mark, self.cursor)
        };
        self.count(span)?;
        self.cursor = span.end.max(self.cursor);
        if let Some((c, why)) = text::first_unseen(value) {
            self.refuse(text::unseen_fault(c, why, span, 0));
        }
        if value.len() > MAX_TEXT_BYTES {
            self.refuse(refusals::too_long(value, span));
        }
        let (value, form) =
            if plain { (self.plain(value, span), Form::Unquoted) } else { (Content::Text(value.into()), Form::Quoted) };
        self.hand_over(Node { span, value }, form);
        Ok(())
    }

    /// The empty span of a value that is left out: behind its colon or dash.
    fn left_out(&self, start: usize) -> Span {
        if !self.is_value() {
            return Span::empty(start);
        }
        let colon = self.ruler.skip(self.cursor, &[]);
        Span::empty(if self.ruler.has(colon, b':') { colon + 1 } else { self.cursor })
    }

    /// The value of an unquoted scalar.
    fn plain(&mut self, word: &str, span: Span) -> Content {
        match scalar::resolve(word) {
            Plain::Null => return Content::Null,
            Plain::Bool(truth) => return Content::Bool(truth),
            Plain::Text => return Content::Text(word.into()),
            Plain::Whole | Plain::Broken => {
                if let Err(why) = scalar::check_range(word) {
                    self.refuse(refusals::out_of_range(word, why, span));
                }
            }
            Plain::NotFinite => self.refuse(refusals::not_finite(word, span)),
            Plain::Octal | Plain::Hexadecimal => self.refuse(refusals::not_decimal(word, span)),
        }
        Content::Number(word.into())
    }

    /// Hands a finished node to the list or mapping it belongs to.
    fn hand_over(&mut self, node: Node, form: Form) {
        match self.open.last_mut() {
            None => self.root = Some(node),
            Some(Open::List { items, span }) => {
                let in_brackets = self.ruler.has(span.start, b'[');
                let torn = items.last().filter(|_| in_brackets).and_then(|last| commas::torn(self.source, last, &node));
                items.push(node);
                if let Some(fault) = torn {
                    self.refuse(fault);
                }
            }
            Some(Open::Map { key, entries, span, .. }) => match key.take() {
                Some(AwaitedKey { text: Some(text), span: key_span }) => {
                    let in_braces = self.ruler.has(span.start, b'{');
                    let colon = self.ruler.skip(key_span.end, &[]);
                    let torn = in_braces
                        && node.value == Content::Null
                        && !self.ruler.has(colon, b':')
                        && form == Form::Unquoted;
                    let fault = torn.then(|| commas::no_value(self.source, entries, key_span)).flatten();
                    entries.push(Entry { key: text, key_span, node });
                    if let Some(fault) = fault {
                        self.refuse(fault);
                    }
                }
                // The value of a refused key goes; the document is refused anyway.
                Some(AwaitedKey { text: None, .. }) => {}
                None => {
                    let span = node.span;
                    let text = self.key(node, form);
                    if let Some(Open::Map { key, .. }) = self.open.last_mut() {
                        *key = Some(AwaitedKey { text, span });
                    }
                }
            },
        }
    }

    /// Judges a key: a text, short, not a merge key, and not there already.
    fn key(&mut self, node: Node, form: Form) -> Option<ShortText> {
        let span = node.span;
        let Content::Text(text) = node.value else {
            let colon = self.ruler.skip(span.end, &[]);
            if let Some(Open::Map { entries, span: map, .. }) = self.open.last()
                && self.ruler.has(map.start, b'{')
                && !self.ruler.has(colon, b':')
                && form == Form::Unquoted
            {
                if let Some(fault) = commas::no_value(self.source, entries, span) {
                    self.refuse(fault);
                }
                return None;
            }
            self.refuse(refusals::key_not_text(self.source, span, form != Form::Collection));
            return None;
        };
        if form == Form::Unquoted && text == "<<" {
            self.refuse(refusals::merge_key(span));
            return None;
        }
        if text.len() > MAX_KEY_BYTES || text.contains(['\n', '\t']) {
            self.refuse(refusals::odd_key(&text, span));
            return None;
        }
        let before = match self.open.last_mut() {
            Some(Open::Map { seen, .. }) => seen.insert(text.clone(), span),
            _ => None,
        };
        match before {
            Some(before) => {
                let first = match self.open.last() {
                    Some(Open::Map { entries, .. }) => entries.iter().find(|entry| entry.key == text),
                    _ => None,
                };
                let holds_more =
                    matches!(first.map(|entry| &entry.node.value), Some(Content::Map(_) | Content::List(_)));
                self.refuse(refusals::duplicate_key(&text, span, before, holds_more));
                None
            }
            None => Some(text),
        }
    }

    /// Closes the innermost list or mapping; `mark` begins at its closing bracket, if it has one.
    fn pop(&mut self, mark: Span) {
        let node = match self.open.pop() {
            Some(Open::List { span, items }) => {
                let bracket = self.ruler.has(span.start, b'[') && self.ruler.has(mark.start, b']');
                let last = items.last().map_or(span.end, |item| item.span.end);
                let end = if bracket { mark.start + 1 } else { last.max(span.start) };
                Node { span: Span::new(span.start, end), value: Content::List(items) }
            }
            Some(Open::Map { span, entries, .. }) => {
                let bracket = self.ruler.has(span.start, b'{') && self.ruler.has(mark.start, b'}');
                let first = entries.first().map_or(span.start, |entry| entry.key_span.start);
                let last = entries.last().map_or(span.end, |entry| entry.node.span.end);
                let span =
                    if bracket { Span::new(span.start, mark.start + 1) } else { Span::new(first, last.max(first)) };
                Node { span, value: Content::Map(entries) }
            }
            // The parser closes only what it has opened.
            None => return,
        };
        self.cursor = node.span.end.max(self.cursor);
        self.hand_over(node, Form::Collection);
    }

    fn finish(self) -> Result<Node, Faults> {
        Faults::none_of(self.faults)?;
        match self.root {
            Some(root) if root.value != Content::Null => Ok(root),
            _ => Err(refusals::empty(self.source).in_source(self.source).into()),
        }
    }
}

mod commas;

#[cfg(test)]
mod tests;
