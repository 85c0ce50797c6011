//! The reader that keeps places: an event parser's events become the tree.
//!
//! It is iterative and bounded, so that no input can exhaust the stack before the bounds are checked. What
//! YAML can do but a record must not (anchors, tags, several documents, ...) is refused here, each with its
//! own cure. Must not know the other reader.

use saphyr_parser::{Event, Parser, ScalarStyle};

use super::limits::{MAX_DEPTH, MAX_KEY_BYTES, MAX_NODES, MAX_NUMBER_BYTES, MAX_TEXT_BYTES};
use super::scalar::{self, OutOfRange, Plain};
use super::spans::Ruler;
use super::{Entry, Fault, Faults, Node, Source, Span, Value, scan_words, text};

/// Reads the whole text, or gives every reason found to refuse it.
pub(super) fn read(source: &Source) -> Result<Node, Faults> {
    let mut builder = Builder::new(source);
    for event in Parser::new_from_str(source.text()) {
        let outcome = match event {
            Ok((event, span)) => builder.take(event, span),
            Err(error) => Err(scan_words::fault(source, &builder.ruler, &error)),
        };
        // After such a fault the rest of the text has no meaning that could be relied on.
        if let Err(fault) = outcome {
            builder.faults.push(fault);
            break;
        }
    }
    builder.finish()
}

/// A list or mapping that is still open.
enum Open {
    List { span: Span, items: Vec<Node> },
    Map { span: Span, entries: Vec<Entry>, key: Option<Key> },
}

/// A key whose value is awaited; `text` is missing if the key was refused.
struct Key {
    text: Option<String>,
    span: Span,
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

    fn fault(&self, code: &'static str, message: impl Into<String>, span: Span, label: &str, help: &str) -> Fault {
        Fault::new(code, message).label(span, label).help(help).in_source(self.source)
    }

    fn take(&mut self, event: Event<'_>, mark: saphyr_parser::Span) -> Result<(), Fault> {
        let start = self.ruler.offset(mark.start);
        let end = self.ruler.offset(mark.end);
        match event {
            Event::Nothing | Event::StreamStart | Event::StreamEnd | Event::DocumentEnd => Ok(()),
            Event::DocumentStart(explicit) => self.document_start(explicit, start, end),
            Event::Alias(_) => {
                let span = Span::new(start, end);
                self.faults.push(self.fault(
                    "document/alias",
                    format!("`{}` stands for a value written elsewhere", self.source.slice(span)),
                    span,
                    "alias",
                    "write the value out here, so that each line can be read on its own",
                ));
                self.count(span)?;
                self.close(Node { span, value: Value::Null }, false);
                Ok(())
            }
            Event::Scalar(value, style, anchor, tag) => {
                let properties = anchor > 0 || tag.is_some();
                self.refuse_properties(anchor, tag.is_some(), start);
                self.scalar(&value, style, properties, start, end)
            }
            Event::SequenceStart(anchor, tag) => {
                self.refuse_properties(anchor, tag.is_some(), start);
                let span = Span::new(self.list_start(start), end);
                self.cursor = span.start + 1;
                self.push(span, Open::List { span, items: Vec::new() })
            }
            Event::MappingStart(anchor, tag) => {
                self.refuse_properties(anchor, tag.is_some(), start);
                let span = Span::new(start, end);
                self.push(span, Open::Map { span, entries: Vec::new(), key: None })
            }
            Event::SequenceEnd | Event::MappingEnd => {
                self.pop(start, end);
                Ok(())
            }
        }
    }

    fn document_start(&mut self, explicit: bool, start: usize, end: usize) -> Result<(), Fault> {
        self.documents += 1;
        let span = Span::new(start, end);
        if self.documents > 1 {
            return Err(self.fault(
                "document/several-documents",
                "a second document begins here",
                span,
                "begins here",
                "put each document in a file of its own",
            ));
        }
        let before = self.source.slice(Span::new(0, start));
        if let Some(line) = before.lines().find(|line| explicit && line.starts_with('%')) {
            let at = before.find(line).unwrap_or_default();
            self.faults.push(self.fault(
                "document/directive",
                format!("`{}` changes how the rest is read", line.trim_end()),
                Span::new(at, at + line.trim_end().len()),
                "directive",
                "delete this line",
            ));
        }
        if explicit {
            self.cursor = end;
        }
        Ok(())
    }

    fn count(&mut self, span: Span) -> Result<(), Fault> {
        self.nodes += 1;
        if self.nodes > MAX_NODES {
            return Err(self.fault(
                "document/too-many-values",
                format!("more than {MAX_NODES} keys and values"),
                span,
                "the first one too many",
                "check that this is the file you meant; a record or a pack has far fewer",
            ));
        }
        Ok(())
    }

    fn push(&mut self, span: Span, open: Open) -> Result<(), Fault> {
        self.count(span)?;
        if self.open.len() >= MAX_DEPTH {
            return Err(too_deep(self.source, span));
        }
        self.open.push(open);
        Ok(())
    }

    /// Where a list begins. A block list may stand at the indentation of its key; the mark of such a list is that
    /// of its first item, and the dash has to be looked for behind the key.
    fn list_start(&self, start: usize) -> usize {
        let is_value = matches!(self.open.last(), Some(Open::Map { key: Some(_), .. }));
        if self.ruler.has(start, b'[') || !is_value {
            return start;
        }
        let dash = self.ruler.skip(self.cursor, &[':']);
        if self.ruler.has(dash, b'-') { dash } else { start }
    }

    fn refuse_properties(&mut self, anchor: usize, tag: bool, start: usize) {
        let rest = self.source.text().get(start..).unwrap_or_default();
        let word_len = rest.find(|c: char| c.is_whitespace()).unwrap_or(rest.len());
        let span = Span::new(start, start + word_len);
        if anchor > 0 {
            self.faults.push(self.fault(
                "document/anchor",
                "a value is named here to be used elsewhere",
                span,
                "anchor",
                "delete the name behind `&` and write the value out wherever it is due",
            ));
        }
        if tag {
            self.faults.push(self.fault(
                "document/tag",
                "a tag says how the value is to be taken",
                span,
                "tag",
                "delete the tag; put quotes round the value if it is text",
            ));
        }
    }

    fn scalar(
        &mut self,
        value: &str,
        style: ScalarStyle,
        properties: bool,
        start: usize,
        end: usize,
    ) -> Result<(), Fault> {
        let plain = style == ScalarStyle::Plain;
        let span = if plain && value.is_empty() {
            self.left_out(start)
        } else if properties {
            Span::new(start, end)
        } else {
            self.ruler.scalar(style, start, end, self.cursor)
        };
        self.count(span)?;
        self.cursor = span.end;
        if let Some((c, why)) = text::first_unseen(value) {
            self.faults.push(text::unseen_fault(c, why, span, 0).in_source(self.source));
        }
        let value = if plain { self.plain(value, span) } else { self.text(value, span) };
        self.close(Node { span, value }, plain);
        Ok(())
    }

    /// The empty span of a value that is left out: behind its colon or dash.
    fn left_out(&self, start: usize) -> Span {
        if !matches!(self.open.last(), Some(Open::Map { key: Some(_), .. })) {
            return Span::empty(start);
        }
        let colon = self.ruler.skip(self.cursor, &[]);
        Span::empty(if self.ruler.has(colon, b':') { colon + 1 } else { self.cursor })
    }

    fn text(&mut self, value: &str, span: Span) -> Value {
        if value.len() > MAX_TEXT_BYTES {
            self.faults.push(self.fault(
                "document/too-long",
                format!("a text of {} bytes; at most {MAX_TEXT_BYTES} are read", value.len()),
                span,
                "too long",
                "shorten the text, or keep it in a file beside the record",
            ));
        }
        Value::Text(value.to_owned())
    }

    /// The value of an unquoted scalar.
    fn plain(&mut self, word: &str, span: Span) -> Value {
        match scalar::resolve(word) {
            Plain::Null => Value::Null,
            Plain::Bool(truth) => Value::Bool(truth),
            Plain::Text => self.text(word, span),
            Plain::Whole | Plain::Broken => {
                if let Err(why) = scalar::check_range(word) {
                    self.faults.push(self.out_of_range(word, why, span));
                }
                Value::Number(word.to_owned())
            }
            Plain::NotFinite => {
                self.faults.push(self.fault(
                    "document/not-finite",
                    format!("`{word}` is no number that can be measured"),
                    span,
                    "not a finite number",
                    "write the number that was read, or put quotes round the word if it is text",
                ));
                Value::Null
            }
            Plain::Octal | Plain::Hexadecimal => {
                self.faults.push(self.fault(
                    "document/not-decimal",
                    format!("`{word}` is read as a number, but not as a decimal one"),
                    span,
                    "not decimal",
                    &format!("quote it: `\"{word}\"`, or write the number in decimal digits"),
                ));
                Value::Null
            }
        }
    }

    fn out_of_range(&self, word: &str, why: OutOfRange, span: Span) -> Fault {
        let message = match why {
            OutOfRange::TooManyDigits => {
                format!("a number of {} characters; at most {MAX_NUMBER_BYTES} are read", word.len())
            }
            OutOfRange::TooLarge => {
                format!("`{word}` is too large to be kept exactly by every reader")
            }
            OutOfRange::Exponent => format!("`{word}` is far outside anything that is measured"),
        };
        self.fault(
            "document/number-out-of-range",
            message,
            span,
            "out of range",
            "put quotes round it if it is a serial number or other text, else check the digits",
        )
    }

    /// Hands a finished value to the list or mapping it belongs to. `plain` says that it was an unquoted scalar.
    fn close(&mut self, node: Node, plain: bool) {
        match self.open.last_mut() {
            None => self.root = Some(node),
            Some(Open::List { items, .. }) => items.push(node),
            Some(Open::Map { key, entries, .. }) => match key.take() {
                Some(Key { text: Some(text), span }) => entries.push(Entry { key: text, key_span: span, node }),
                // The value of a refused key; the document is refused anyway.
                Some(Key { text: None, .. }) => {}
                None => {
                    let span = node.span;
                    let taken = self.key(node, plain);
                    if let Some(Open::Map { key, .. }) = self.open.last_mut() {
                        *key = Some(Key { text: taken, span });
                    }
                }
            },
        }
    }

    /// Judges a key: a text, short, not a merge key, and not there already.
    fn key(&mut self, node: Node, plain: bool) -> Option<String> {
        let span = node.span;
        let Value::Text(text) = node.value else {
            self.faults.push(self.not_text(span));
            return None;
        };
        if plain && text == "<<" {
            self.faults.push(self.fault(
                "document/merge-key",
                "`<<` brings in keys written elsewhere",
                span,
                "merge key",
                "write the keys out here, so that each line can be read on its own",
            ));
            return None;
        }
        if text.len() > MAX_KEY_BYTES || text.contains(['\n', '\t']) {
            self.faults.push(self.fault(
                "document/odd-key",
                format!("a key of {} bytes; a key is one line of at most {MAX_KEY_BYTES}", text.len()),
                span,
                "this key",
                "look for a `:` that belongs to the value, and put quotes round the value",
            ));
            return None;
        }
        let first = match self.open.last() {
            Some(Open::Map { entries, .. }) => entries.iter().find(|entry| entry.key == text),
            _ => None,
        };
        if let Some(first) = first {
            let fault = self
                .fault(
                    "document/duplicate-key",
                    format!("the key `{text}` stands here twice"),
                    span,
                    "again here",
                    "keep the one that is right and delete the other",
                )
                .label(first.key_span, "first here");
            self.faults.push(fault);
            return None;
        }
        Some(text)
    }

    fn not_text(&self, span: Span) -> Fault {
        let slice = self.source.slice(span);
        let scalar = !slice.starts_with(['{', '[', '-']) && !slice.contains('\n') && !slice.is_empty();
        let (message, help) = if scalar {
            (format!("the key `{slice}` is not read as text"), format!("quote it: `\"{slice}\"`"))
        } else {
            ("a key must be a text".to_owned(), "write a word before the `:`".to_owned())
        };
        self.fault("document/key-not-text", message, span, "this key", &help)
    }

    /// Closes the innermost list or mapping, whose end mark runs from `start` to `end`.
    fn pop(&mut self, start: usize, end: usize) {
        let node = match self.open.pop() {
            Some(Open::List { span, items }) => {
                let flow = self.ruler.has(span.start, b'[') && self.ruler.has(start, b']');
                let last = items.last().map_or(span.end, |item| item.span.end);
                let end = if flow { end } else { last.max(span.start) };
                Node { span: Span::new(span.start, end), value: Value::List(items) }
            }
            Some(Open::Map { span, entries, .. }) => {
                let flow = self.ruler.has(span.start, b'{') && self.ruler.has(start, b'}');
                let first = entries.first().map_or(span.start, |entry| entry.key_span.start);
                let last = entries.last().map_or(span.end, |entry| entry.node.span.end);
                let span = if flow { Span::new(span.start, end) } else { Span::new(first, last.max(first)) };
                Node { span, value: Value::Map(entries) }
            }
            // The parser closes only what it has opened.
            None => return,
        };
        self.cursor = node.span.end.max(self.cursor);
        self.close(node, false);
    }

    fn finish(self) -> Result<Node, Faults> {
        Faults::none_of(self.faults)?;
        match self.root {
            Some(root) if root.value != Value::Null => Ok(root),
            _ => Err(Fault::new("document/empty", "the document says nothing")
                .label(Span::empty(self.source.text().len()), "the document ends here")
                .help("check that this is the file you meant")
                .in_source(self.source)
                .into()),
        }
    }
}

/// The fault of a list or mapping that is one level too deep.
pub(super) fn too_deep(source: &Source, span: Span) -> Fault {
    Fault::new("document/too-deep", format!("more than {MAX_DEPTH} lists and mappings inside one another"))
        .label(span, "one level too deep")
        .help("look for brackets that are never closed, or indentation that keeps growing")
        .in_source(source)
}
