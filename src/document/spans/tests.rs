//! Trees written as YAML in many ways: every span must slice out exactly what was written.

use proptest::prelude::*;

use super::super::{Document, Path, Step, Value};

/// What is written, before it is written.
#[derive(Debug, Clone)]
enum Tree {
    /// A scalar that can stand anywhere: as written, and its value.
    Word(&'static str, Value),
    /// Header and lines of a block text.
    Block(&'static str, Vec<&'static str>),
    List(Style, Vec<Tree>),
    Map(Style, Vec<(&'static str, Tree)>),
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Style {
    Block,
    /// A block list at the indentation of its key.
    Flush,
    Flow,
}

fn scalars() -> Vec<(&'static str, Value)> {
    let text = |text: &str| Value::Text(text.to_owned());
    let number = |literal: &str| Value::Number(literal.to_owned());
    vec![
        ("105 psi", text("105 psi")),
        ("12.5/80-18", text("12.5/80-18")),
        ("größe 😀 x", text("größe 😀 x")),
        ("a#b:c", text("a#b:c")),
        ("105\u{a0}psi\u{3000}", text("105\u{a0}psi\u{3000}")),
        ("2026-10-15T08:00+02:00", text("2026-10-15T08:00+02:00")),
        ("-12", number("-12")),
        ("+1.50e3", number("+1.50e3")),
        ("true", Value::Bool(true)),
        ("~", Value::Null),
        ("''", text("")),
        ("'it''s 😀 # no comment'", text("it's 😀 # no comment")),
        ("\"a \\\"b\\\" \\\\\"", text("a \"b\" \\")),
        ("\"\\u00e9\\ttab: {[\"", text("é\ttab: {[")),
        ("'é, ]'", text("é, ]")),
    ]
}

/// Keys as written; all different.
const KEYS: [&str; 6] = ["tyre", "'k''ey'", "\"😀 \\\" é\"", "größe-2", "two words", "x.y"];

fn style() -> impl Strategy<Value = Style> {
    prop_oneof![3 => Just(Style::Block), 2 => Just(Style::Flush), 1 => Just(Style::Flow)]
}

fn tree() -> impl Strategy<Value = Tree> {
    let word = proptest::sample::select(scalars()).prop_map(|(written, value)| Tree::Word(written, value));
    let header = proptest::sample::select(vec!["|", ">", "|-", ">-", "|+", "|  # why"]);
    let line =
        proptest::sample::select(vec!["text", "é 😀", "# not a comment", "- not: a list", "", "  deeper", "\"q"]);
    let block = (header, proptest::collection::vec(line, 1..4)).prop_map(|(header, mut lines)| {
        // The first and the last line have content, so that indentation and end are plain to see.
        lines.insert(0, "first");
        lines.push("last");
        Tree::Block(header, lines)
    });
    let leaf = prop_oneof![4 => word, 1 => block];
    leaf.prop_recursive(4, 24, 4, |inner| {
        let list =
            (style(), proptest::collection::vec(inner.clone(), 1..4)).prop_map(|(s, items)| Tree::List(s, items));
        let keys = proptest::sample::subsequence(KEYS.to_vec(), 1..=4).prop_shuffle();
        let map = (style(), keys, proptest::collection::vec(inner, 4))
            .prop_map(|(s, keys, values)| Tree::Map(s, keys.into_iter().zip(values).collect()));
        prop_oneof![list, map]
    })
}

/// Writes trees, noting what must be found where.
struct Writer {
    out: String,
    line_break: &'static str,
    /// What stands around values, taken in turn.
    noise: Vec<u8>,
    turn: usize,
    path: Path,
    values: Vec<(Path, std::ops::Range<usize>, Option<Value>)>,
    keys: Vec<(Path, std::ops::Range<usize>)>,
}

impl Writer {
    fn pick(&mut self, choices: &[&'static str]) -> &'static str {
        self.turn += 1;
        let noise = self.noise[self.turn % self.noise.len()];
        choices[usize::from(noise) % choices.len()]
    }

    fn end_line(&mut self) {
        let end = self.pick(&["", "", "  ", " # comment: é", "\t# tab", " #"]);
        let blank = self.pick(&["", "", "", "\n", "# whole line 😀\n", "    # indented\n\n"]);
        self.out.push_str(end);
        self.out.push_str(self.line_break);
        self.out.push_str(&blank.replace('\n', self.line_break));
    }

    fn note(&mut self, start: usize, end: usize, value: Option<Value>) {
        self.values.push((self.path.clone(), start..end, value));
    }

    fn key(&mut self, key: &'static str) {
        let start = self.out.len();
        self.out.push_str(key);
        self.path.push(plain_key(key).as_str());
        self.keys.push((self.path.clone(), start..self.out.len()));
        self.out.push(':');
    }

    /// Writes a value in brackets or on one line, without its line break; gives its start.
    fn inline(&mut self, tree: &Tree) -> usize {
        let start = self.out.len();
        match tree {
            Tree::Word(written, value) => {
                self.out.push_str(written);
                self.note(start, self.out.len(), Some(value.clone()));
            }
            // A block text cannot stand in brackets; its words can.
            Tree::Block(..) => {
                self.out.push_str("'block'");
                self.note(start, self.out.len(), Some(Value::Text("block".to_owned())));
            }
            Tree::List(_, items) => {
                self.out.push('[');
                for (index, item) in items.iter().enumerate() {
                    let before = self.pick(&["", " ", "  "]);
                    self.out.push_str(before);
                    self.path.push(index);
                    self.inline(item);
                    self.path.pop();
                    let after = self.pick(&[", ", " , ", ","]);
                    self.out.push_str(if index + 1 < items.len() { after } else { "" });
                }
                self.out.push(']');
                self.note(start, self.out.len(), None);
            }
            Tree::Map(_, entries) => {
                self.out.push('{');
                for (index, (key, value)) in entries.iter().enumerate() {
                    self.key(key);
                    self.out.push(' ');
                    self.inline(value);
                    self.path.pop();
                    self.out.push_str(if index + 1 < entries.len() { ", " } else { " " });
                }
                self.out.push('}');
                self.note(start, self.out.len(), None);
            }
        }
        start
    }

    /// Writes a value behind `- ` or `key:` and ends its line; gives where the value ends.
    fn value(&mut self, tree: &Tree, indent: usize, behind_key: bool) -> usize {
        match tree {
            Tree::List(Style::Block | Style::Flush, items) if behind_key => {
                let flush = matches!(tree, Tree::List(Style::Flush, _));
                self.end_line();
                self.list(items, if flush { indent } else { indent + 2 })
            }
            Tree::Map(Style::Block | Style::Flush, entries) if behind_key => {
                self.end_line();
                self.map(entries, indent + 2, false)
            }
            Tree::Map(Style::Block | Style::Flush, entries) => {
                self.out.push(' ');
                self.map(entries, indent + 2, true)
            }
            Tree::Block(header, lines) => self.block(header, lines, indent),
            _ => {
                // One reader takes a tab behind a dash and the other does not.
                let gap = self.pick(if behind_key { &[" ", "  ", " \t"] } else { &[" ", "  "] });
                self.out.push_str(gap);
                self.inline(tree);
                let end = self.out.len();
                self.end_line();
                end
            }
        }
    }

    fn block(&mut self, header: &str, lines: &[&str], indent: usize) -> usize {
        self.out.push(' ');
        let start = self.out.len();
        self.out.push_str(header);
        let mut end = 0;
        for line in lines {
            self.out.push_str(self.line_break);
            if !line.is_empty() {
                self.out.push_str(&" ".repeat(indent + 3));
                self.out.push_str(line);
            }
            end = self.out.len();
        }
        self.out.push_str(self.line_break);
        self.note(start, end, None);
        end
    }

    fn list(&mut self, items: &[Tree], indent: usize) -> usize {
        let mut start = None;
        let mut end = 0;
        for (index, item) in items.iter().enumerate() {
            self.out.push_str(&" ".repeat(indent));
            start.get_or_insert(self.out.len());
            self.out.push('-');
            self.path.push(index);
            end = match item {
                // A list behind a dash begins on the same line.
                Tree::List(Style::Block, inner) if inner.iter().all(|tree| matches!(tree, Tree::Word(..))) => {
                    self.nested(inner, indent + 2)
                }
                _ => self.value(item, indent, false),
            };
            self.path.pop();
        }
        self.note(start.unwrap(), end, None);
        end
    }

    fn nested(&mut self, items: &[Tree], indent: usize) -> usize {
        let mut start = None;
        let mut end = 0;
        for (index, item) in items.iter().enumerate() {
            self.out.push_str(&if index == 0 { " ".to_owned() } else { " ".repeat(indent) });
            start.get_or_insert(self.out.len());
            self.out.push('-');
            self.path.push(index);
            end = self.value(item, indent, false);
            self.path.pop();
        }
        self.note(start.unwrap(), end, None);
        end
    }

    fn map(&mut self, entries: &[(&'static str, Tree)], indent: usize, first_is_indented: bool) -> usize {
        let mut start = None;
        let mut end = 0;
        for (index, (key, value)) in entries.iter().enumerate() {
            if index > 0 || !first_is_indented {
                self.out.push_str(&" ".repeat(indent));
            }
            start.get_or_insert(self.out.len());
            self.key(key);
            end = self.value(value, indent, true);
            self.path.pop();
        }
        self.note(start.unwrap(), end, None);
        end
    }
}

fn plain_key(written: &str) -> String {
    match written {
        "'k''ey'" => "k'ey".to_owned(),
        "\"😀 \\\" é\"" => "😀 \" é".to_owned(),
        other => other.to_owned(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn every_span_slices_out_what_was_written(
        entries in proptest::collection::vec(tree(), 1..5),
        noise in proptest::collection::vec(any::<u8>(), 1..40),
        start in proptest::sample::select(vec!["", "\u{feff}", "---\n", "# head é\n", "\u{feff}--- # 😀\n"]),
        crlf in any::<bool>(),
    ) {
        let line_break = if crlf { "\r\n" } else { "\n" };
        let mut writer = Writer {
            out: start.trim_start_matches('\u{feff}').replace('\n', line_break),
            line_break,
            noise,
            turn: 0,
            path: Path::root(),
            values: Vec::new(),
            keys: Vec::new(),
        };
        let entries: Vec<(&'static str, Tree)> = KEYS.into_iter().zip(entries).collect();
        writer.map(&entries, 0, false);
        let mark = if start.starts_with('\u{feff}') { "\u{feff}" } else { "" };
        let written = format!("{mark}{}", writer.out);

        let document = match Document::read("t", written.as_bytes()) {
            Ok(document) => document,
            Err(faults) => return Err(TestCaseError::fail(format!("{written}\n{faults:#?}"))),
        };
        prop_assert_eq!(document.source().text(), writer.out.as_str());
        for (path, range, value) in &writer.values {
            let node = document.node(path).expect("what was written is there");
            prop_assert_eq!(node.span.start..node.span.end, range.clone(), "{} in\n{}", path, written);
            if let Some(value) = value {
                prop_assert_eq!(&node.value, value, "{} in\n{}", path, written);
            }
        }
        for (path, range) in &writer.keys {
            let entry = document.entry(path).expect("the key that was written is there");
            prop_assert_eq!(entry.key_span.start..entry.key_span.end, range.clone(), "{} in\n{}", path, written);
            prop_assert_eq!(path.steps().last(), Some(&Step::Key(entry.key.as_str().into())));
        }
    }

    /// Whatever is typed is read or refused with a place inside the text, never a panic.
    #[test]
    fn whatever_is_typed_is_answered(pieces in proptest::collection::vec(piece(), 0..32)) {
        let text = pieces.concat();
        match Document::read("t", text.as_bytes()) {
            Ok(document) => prop_assert!(in_order(document.root(), document.source().text())),
            Err(faults) => {
                for fault in &faults {
                    let (span, source) = (fault.span().unwrap_or_default(), fault.source().expect("a source"));
                    prop_assert!(source.text().get(span.start..span.end).is_some(), "{:?} {:?}", text, fault);
                }
            }
        }
    }
}

/// Scraps of YAML, joined at random.
fn piece() -> impl Strategy<Value = &'static str> {
    proptest::sample::select(vec![
        "a",
        "b: ",
        "c:",
        "- ",
        "-",
        "? ",
        ": ",
        "\n",
        "\n ",
        "\n  ",
        "\n    ",
        "\t",
        " ",
        "[",
        "]",
        "{",
        "}",
        ", ",
        ",",
        "\"",
        "'",
        "|",
        ">",
        "|-\n",
        ">+2\n",
        "# c\n",
        " #",
        "&x ",
        "*x",
        "!t ",
        "!!str ",
        "%YAML 1.2\n",
        "---\n",
        "...\n",
        "--- ",
        "\r\n",
        "\r",
        "\u{feff}",
        "é",
        "😀",
        "\\",
        "\\u00e9",
        "1",
        "010",
        "0x1",
        ".inf",
        "1e9",
        "~",
        "null",
        "<<: ",
        "@",
        "`",
        "%",
        "\u{85}",
        "\0",
        "=",
    ])
}

/// Whether the spans of a tree lie inside one another, in order, and on character boundaries.
fn in_order(node: &super::super::Node, text: &str) -> bool {
    let inside = |inner: super::super::Span| node.span.start <= inner.start && inner.end <= node.span.end;
    text.get(node.span.start..node.span.end).is_some()
        && match &node.value {
            Value::List(items) => {
                items.iter().all(|item| inside(item.span) && in_order(item, text))
                    && items.windows(2).all(|pair| pair[0].span.end <= pair[1].span.start)
            }
            Value::Map(entries) => {
                entries.iter().all(|entry| {
                    inside(entry.key_span)
                        && inside(entry.node.span)
                        && entry.key_span.end <= entry.node.span.start
                        && in_order(&entry.node, text)
                }) && entries.windows(2).all(|pair| pair[0].node.span.end <= pair[1].key_span.start)
            }
            _ => true,
        }
}
