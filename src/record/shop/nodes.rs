//! Trees put together from trees: taking out, putting in, and laying one mapping over another.
//!
//! Values keep the places of the texts that they come from. This module must not know shops or records.

use crate::document::{Content, Entry, Node, Path, Span};
use crate::units::{Dimension, Instant, Quantity};

/// The same tree, its places moved by so many bytes.
pub(super) fn moved(node: &Node, by: usize) -> Node {
    let value = match &node.value {
        Content::List(items) => Content::List(items.iter().map(|item| moved(item, by)).collect()),
        Content::Map(entries) => Content::Map(entries.iter().map(|entry| moved_entry(entry, by)).collect()),
        plain => plain.clone(),
    };
    Node { span: further(node.span, by), value }
}

fn moved_entry(entry: &Entry, by: usize) -> Entry {
    Entry { key: entry.key.clone(), key_span: further(entry.key_span, by), node: moved(&entry.node, by) }
}

/// A place so many bytes further on.
pub(super) fn further(span: Span, by: usize) -> Span {
    Span::new(span.start + by, span.end + by)
}

/// A text, or a number as it is written; nothing for everything else.
pub(super) fn scalar(node: &Node) -> Option<&str> {
    match &node.value {
        Content::Text(text) | Content::Number(text) => Some(text),
        _ => None,
    }
}

/// The instant that a value says, once times are written out.
pub(super) fn instant(node: &Node) -> Option<Instant> {
    Instant::parse(scalar(node)?).ok()
}

/// The value of a key, if the node is a mapping that has it and says something there.
pub(super) fn said<'n>(node: &'n Node, key: &str) -> Option<&'n Node> {
    node.entry(key).map(|entry| &entry.node).filter(|node| node.value != Content::Null)
}

/// The mark of an entry, if it has one.
pub(super) fn mark_of(entry: &Node) -> Option<&str> {
    said(entry, "mark").and_then(scalar)
}

/// The keys of a dotted place. They are short, so that their bytes are looked at one by one: a search for a character
/// is made for long texts.
fn keys(place: &str) -> impl Iterator<Item = &str> {
    let mut rest = Some(place);
    std::iter::from_fn(move || {
        let whole = rest?;
        let dot = whole.bytes().position(|byte| byte == b'.');
        rest = dot.and_then(|dot| whole.get(dot + 1..));
        whole.get(..dot.unwrap_or(whole.len()))
    })
}

/// The value at a dotted place, if something is said there.
pub(super) fn said_at<'n>(node: &'n Node, place: &str) -> Option<&'n Node> {
    keys(place).try_fold(node, |node, key| said(node, key))
}

/// Whether there is a line at a dotted place, filled in or not.
pub(super) fn has_line(node: &Node, place: &str) -> bool {
    keys(place).try_fold(node, |node, key| node.entry(key).map(|entry| &entry.node)).is_some()
}

/// The value at a dotted place, to be changed, if there is one.
pub(super) fn at_mut<'n>(node: &'n mut Node, place: &str) -> Option<&'n mut Node> {
    keys(place).try_fold(node, |node, key| value_mut(node, key))
}

/// The value of a key, to be changed.
pub(super) fn value_mut<'n>(node: &'n mut Node, key: &str) -> Option<&'n mut Node> {
    let Content::Map(entries) = &mut node.value else { return None };
    entries.iter_mut().find(|entry| entry.key == key).map(|entry| &mut entry.node)
}

/// The items of the list at a key, to be changed.
pub(super) fn items_mut<'n>(node: &'n mut Node, key: &str) -> &'n mut [Node] {
    match value_mut(node, key).map(|node| &mut node.value) {
        Some(Content::List(items)) => items,
        _ => &mut [],
    }
}

/// The items of the list at a key.
pub(super) fn items<'n>(node: &'n Node, key: &str) -> &'n [Node] {
    match node.entry(key).map(|entry| &entry.node.value) {
        Some(Content::List(items)) => items,
        _ => &[],
    }
}

/// The entries of a mapping.
pub(super) fn entries(node: &Node) -> &[Entry] {
    match &node.value {
        Content::Map(entries) => entries,
        _ => &[],
    }
}

/// Takes a key out of a mapping; nothing where it is not there, and nothing but the key where it says nothing.
pub(super) fn take(node: &mut Node, key: &str) -> Option<Entry> {
    let Content::Map(entries) = &mut node.value else { return None };
    let at = entries.iter().position(|entry| entry.key == key)?;
    let entry = entries.remove(at);
    (entry.node.value != Content::Null).then_some(entry)
}

/// A mapping with one entry, in place of a value that stands for it.
pub(super) fn standing_for(key: &str, node: Node) -> Node {
    let span = node.span;
    Node { span, value: Content::Map(vec![Entry { key: key.into(), key_span: span, node }]) }
}

/// The value as it would stand at a dotted place.
pub(super) fn at_place(place: &str, node: Node) -> Node {
    place.rsplit('.').fold(node, |node, key| standing_for(key, node))
}

/// Two values for one place.
#[derive(Debug)]
pub(super) struct Twice {
    /// The place, below the mappings that were laid over one another.
    pub(super) path: Path,
    /// Where the value is that stays.
    pub(super) first: Span,
    /// The one that has no room.
    pub(super) second: Node,
    /// Whether one of them is a reading, which has an instant.
    pub(super) reading: bool,
}

/// Lays what `from` says over what `into` says, mapping by mapping; what both say is noted in `twice`, and stays as it is
/// in `into`.
pub(super) fn lay(into: &mut Node, from: Node, twice: &mut Vec<Twice>) {
    lay_at(into, from, &Trail::Start, twice);
}

/// The keys that led to a mapping; a path is made of them where it is told.
enum Trail<'t> {
    Start,
    Behind(&'t Trail<'t>, &'t str),
}

impl Trail<'_> {
    fn path(&self) -> Path {
        match self {
            Self::Start => Path::root(),
            Self::Behind(before, key) => before.path().child(*key),
        }
    }
}

fn lay_at(into: &mut Node, from: Node, trail: &Trail<'_>, twice: &mut Vec<Twice>) {
    match (&mut into.value, from.value) {
        (Content::Null, value) => *into = Node { span: from.span, value },
        (_, Content::Null) => {}
        (Content::Map(entries), Content::Map(more)) if !is_reading(entries) && !is_reading(&more) => {
            for entry in more {
                match entries.iter_mut().find(|known| known.key == entry.key) {
                    Some(known) => {
                        if known.node.value == Content::Null {
                            known.key_span = entry.key_span;
                        }
                        lay_at(&mut known.node, entry.node, &Trail::Behind(trail, &entry.key), twice);
                    }
                    None => entries.push(entry),
                }
            }
        }
        (_, value) => {
            let with_reading = |of: &Content| matches!(of, Content::Map(entries) if is_reading(entries));
            let reading = with_reading(&into.value) || with_reading(&value);
            let second = Node { span: from.span, value };
            twice.push(Twice { path: trail.path(), first: into.span, second, reading });
        }
    }
}

/// Whether two trees say the same, wherever they stand.
pub(super) fn says_same(one: &Node, other: &Node) -> bool {
    match (&one.value, &other.value) {
        (Content::List(one), Content::List(other)) => {
            one.len() == other.len() && one.iter().zip(other).all(|(one, other)| says_same(one, other))
        }
        (Content::Map(one), Content::Map(other)) => {
            let is_in =
                |entry: &Entry| other.iter().any(|known| known.key == entry.key && says_same(&known.node, &entry.node));
            one.len() == other.len() && one.iter().all(is_in)
        }
        (one, other) => one == other,
    }
}

/// Whether two trees say the same: a quantity in whichever unit, and an instant at whichever offset it is written.
pub(super) fn is_equal(one: &Node, other: &Node) -> bool {
    let in_any_unit = |(one, other): (&str, &str)| {
        Dimension::ALL.into_iter().any(|dimension| {
            let base = |text| Quantity::parse(text, dimension).ok().map(Quantity::base);
            base(one).is_some_and(|value| Some(value) == base(other))
        })
    };
    if let (Content::Map(one), Content::Map(other)) = (&one.value, &other.value) {
        let is_in =
            |entry: &Entry| other.iter().any(|known| known.key == entry.key && is_equal(&known.node, &entry.node));
        return one.len() == other.len() && one.iter().all(is_in);
    }
    let is_same_instant = instant(one).zip(instant(other)).is_some_and(|(one, other)| one == other);
    is_same_instant || says_same(one, other) || scalar(one).zip(scalar(other)).is_some_and(in_any_unit)
}

/// A reading with its time and instrument is one value.
fn is_reading(entries: &[Entry]) -> bool {
    entries.iter().any(|entry| entry.key == "reading")
}
