//! The tree of values with their places, and how to find one's way in it.
//!
//! Must not know how a document is read or what its values mean.

use super::{Path, ShortText, Span, Step};

/// A value and where it stands.
///
/// The span of a quoted text includes its quotes, that of a block text (`|`, `>`) runs from its header
/// to its last line of content, that of a block mapping from its first key to the end of its last
/// value, that of a block list from its first dash. A value that is left out has an empty span.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Node {
    /// The bytes of the value.
    pub span: Span,
    /// What it says.
    pub value: Content,
}

/// What a node says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Content {
    /// Nothing: `null`, `~` or left out.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A decimal number exactly as written, within `[-+]?digits[.digits][e[-+]digits]`; digits may be missing
    /// on one side of the point. Its size is bounded, see [`super::limits`].
    Number(ShortText),
    /// Text, without its quotes and with its escapes resolved.
    Text(ShortText),
    /// Items in order.
    List(Vec<Node>),
    /// Entries in order; no key twice.
    Map(Vec<Entry>),
}

/// A key of a mapping with its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The key, without quotes.
    pub key: ShortText,
    /// The bytes of the key, quotes included.
    pub key_span: Span,
    /// The value.
    pub node: Node,
}

impl Node {
    /// The entry of `key`, if this is a mapping that has it.
    pub fn entry(&self, key: &str) -> Option<&Entry> {
        match &self.value {
            Content::Map(entries) => entries.iter().find(|entry| entry.key == key),
            _ => None,
        }
    }

    /// The item at `index`, if this is a list that has it.
    pub fn item(&self, index: usize) -> Option<&Node> {
        match &self.value {
            Content::List(items) => items.get(index),
            _ => None,
        }
    }

    /// The value that `steps` lead to from here.
    pub fn descend(&self, steps: &[Step]) -> Option<&Node> {
        steps.iter().try_fold(self, |node, step| node.step(step))
    }

    fn step(&self, step: &Step) -> Option<&Node> {
        match step {
            Step::Key(key) => self.entry(key).map(|entry| &entry.node),
            Step::Index(index) => self.item(*index),
        }
    }

    /// The place to point at when something inside this value is missing and no key leads to it: the
    /// first key of a mapping, else the whole value.
    pub(super) fn heading(&self) -> Span {
        match &self.value {
            Content::Map(entries) => entries.first().map_or(self.span, |entry| entry.key_span),
            _ => self.span,
        }
    }

    /// The values alone.
    pub(super) fn to_json(&self) -> serde_json::Value {
        match &self.value {
            Content::Null => serde_json::Value::Null,
            Content::Bool(truth) => (*truth).into(),
            Content::Number(literal) => json_number(literal),
            Content::Text(text) => text.as_str().into(),
            Content::List(items) => items.iter().map(Node::to_json).collect(),
            Content::Map(entries) => serde_json::Value::Object(
                entries.iter().map(|entry| (entry.key.to_string(), entry.node.to_json())).collect(),
            ),
        }
    }
}

/// Digits that fit are a whole number and everything else a broken one; what is no number at all, which
/// no document holds, is null.
fn json_number(literal: &str) -> serde_json::Value {
    match literal.parse::<i64>() {
        Ok(whole) => whole.into(),
        Err(_) => literal.parse::<f64>().map_or(serde_json::Value::Null, serde_json::Value::from),
    }
}

/// Where a path is in a document, or where it would have to be added.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Location {
    /// The best place to point at: the value if it is there and not left out, else its key, else the key of the
    /// nearest mapping or list above that is there, or the first key inside it if no key leads to it.
    pub span: Span,
    /// The value, if it is there.
    pub value: Option<Span>,
    /// The key that leads to the value, if it is there.
    pub key: Option<Span>,
    /// The steps that the document does not have; empty if the value is there.
    pub missing: Path,
}

impl Location {
    /// Whether the whole path is there.
    pub fn is_found(&self) -> bool {
        self.missing.is_root()
    }
}

/// Follows `path` from `root` as far as it goes.
pub(super) fn locate(root: &Node, path: &Path) -> Location {
    let mut node = root;
    let mut key = None;
    let mut steps = path.steps().iter();
    while let Some(step) = steps.clone().next() {
        let Some(next) = node.step(step) else { break };
        key = match step {
            Step::Key(name) => node.entry(name).map(|entry| entry.key_span),
            Step::Index(_) => None,
        };
        node = next;
        steps.next();
    }
    let missing: Path = steps.cloned().collect();
    if missing.is_root() {
        let span = match key {
            Some(key) if node.span.is_empty() => key,
            _ => node.span,
        };
        Location { span, value: Some(node.span), key, missing }
    } else {
        Location { span: key.unwrap_or_else(|| node.heading()), value: None, key: None, missing }
    }
}

#[cfg(test)]
mod tests {
    use super::super::path::from_pointer_in;
    use super::super::{Document, Path};

    fn at(pointer: &str) -> Path {
        from_pointer_in(pointer, |_| false).unwrap()
    }

    const TEXT: &str = "a: 1\nlist:\n  - x: 2\n    y:\n  - three\n";

    /// (pointer, text of the span, text of the key, missing steps)
    #[test]
    fn paths_are_located_or_their_nearest_ancestor_is() {
        let document = Document::read("t", TEXT.as_bytes()).unwrap();
        for (pointer, span, key, missing) in [
            ("/a", "1", Some("a"), ""),
            ("/list/0/x", "2", Some("x"), ""),
            ("/list/0/y", "y", Some("y"), ""),
            ("/list/1", "three", None, ""),
            ("/list/0/z", "x", None, "z"),
            ("/list/2/q", "list", None, "[2].q"),
            ("/b/c", "a", None, "b.c"),
            ("/a/b", "a", None, "b"),
        ] {
            let place = document.locate(&at(pointer));
            assert_eq!(document.source().slice(place.span), span, "{pointer}");
            assert_eq!(place.key.map(|key| document.source().slice(key)), key, "{pointer}");
            assert_eq!(place.is_found(), missing.is_empty(), "{pointer}");
            if !missing.is_empty() {
                assert_eq!(place.missing.to_string(), missing, "{pointer}");
            }
        }
    }

    #[test]
    fn nodes_are_found_by_path() {
        let document = Document::read("t", TEXT.as_bytes()).unwrap();
        let x = at("/list/0/x");
        assert_eq!(document.node(&x).unwrap().value, super::Content::Number("2".into()));
        assert_eq!(document.node(&Path::root()), Some(document.root()));
    }

    #[test]
    fn a_pointer_is_read_by_what_the_document_has() {
        let document = Document::read("t", b"'0': [x, {'1': y}]\n").unwrap();
        for (pointer, shown) in
            [("/0/1/1", "0[1].1"), ("/0/7", "0[7]"), ("/0/7/8", "0[7][8]"), ("nonsense", "the whole document")]
        {
            assert_eq!(document.path_of_pointer(pointer).to_string(), shown, "{pointer}");
        }
        let y = document.path_of_pointer("/0/1/1");
        assert_eq!(document.source().slice(document.locate(&y).span), "y");
    }

    #[test]
    fn json_keeps_whole_numbers_whole() {
        let document = Document::read("t", b"a: -5\nb: 1.50\nc: 1e3\nd: ~\ne: [true, 'x']\n").unwrap();
        assert_eq!(
            document.to_json(),
            serde_json::json!({"a": -5, "b": 1.5, "c": 1000.0, "d": null, "e": [true, "x"]})
        );
    }
}
