//! A writer of YAML that notes where it wrote what.
//!
//! Must not know how text is read.

use super::{Style, Tree};
use crate::document::{Content, Path};

/// Writes trees, noting what must be found where.
pub(super) struct Writer {
    pub(super) out: String,
    pub(super) line_break: &'static str,
    /// What stands around values, taken in turn.
    pub(super) noise: Vec<u8>,
    pub(super) turn: usize,
    pub(super) path: Path,
    pub(super) values: Vec<(Path, std::ops::Range<usize>, Option<Content>)>,
    pub(super) keys: Vec<(Path, std::ops::Range<usize>)>,
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

    fn note(&mut self, start: usize, end: usize, value: Option<Content>) {
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
                self.note(start, self.out.len(), Some(Content::Text("block".into())));
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

    pub(super) fn map(&mut self, entries: &[(&'static str, Tree)], indent: usize, first_is_indented: bool) -> usize {
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
