//! Commas that belong to a value in braces or brackets, where YAML ends the value at them: `{pressure: 4,1 bar}`.
//!
//! Read as YAML, that is a pressure of 4 and a key `1 bar` of which nothing is said. No document of ours has a key without
//! its colon, so such a key is refused here, once, before anything is made of the split value. Must not know what is due.

use super::super::{Content, Entry, Fault, Node, Source, Span, refusals};
use crate::units::{Dimension, Unit};

/// The fault of a key in braces that has no colon; nothing where the comma before it was refused already.
pub(super) fn no_value(source: &Source, before: &[Entry], key: Span) -> Option<Fault> {
    let word = source.slice(key);
    if let Some((name, value)) = word.split_once(':').filter(|(name, _)| name.starts_with(char::is_alphabetic)) {
        return Some(refusals::no_blank(name, value.trim(), key));
    }
    let Some(last) = before.last() else { return Some(refusals::comma_in_value(word, None, key)) };
    // A further part of a value that is split in several places.
    let is_torn =
        last.node.value == Content::Null && last.node.span.is_empty() && last.node.span.start <= last.key_span.end;
    if is_torn && !source.slice(Span::new(last.key_span.end, key.start)).contains(':') {
        return None;
    }
    let is_plain = matches!(last.node.value, Content::Text(_) | Content::Number(_) | Content::Bool(_))
        && !source.slice(last.node.span).starts_with(['"', '\'']);
    let written = is_plain.then(|| whole(source, last.node.span.start, key.end));
    Some(refusals::comma_in_value(word, written, key))
}

/// The whole of a split value: up to the next comma behind which a key with its colon stands, or to the end of the braces.
fn whole(source: &Source, start: usize, end: usize) -> &str {
    let text = source.text();
    let rest = text.get(end..).unwrap_or_default();
    let close = rest.find(['}', '\n']).unwrap_or(rest.len());
    let more = rest.get(..close).unwrap_or_default();
    let mut length = 0;
    for part in more.split_inclusive(',').skip(1) {
        let word = part.trim_end_matches(',');
        if word.contains(':') {
            break;
        }
        length += part.len();
    }
    let first = more.find(',').filter(|_| length > 0).map_or(0, |comma| comma + 1);
    source.slice(Span::new(start, end + first + length)).trim_end_matches([',', ' '])
}

/// The fault of an item in brackets that is the rest of the number before it: `[4,1 bar]`.
pub(super) fn torn(source: &Source, last: &Node, node: &Node) -> Option<Fault> {
    let (one, other) = (source.slice(last.span), source.slice(node.span));
    let touches = last.span.end + 1 == node.span.start;
    let figures = other.bytes().take_while(u8::is_ascii_digit).count();
    let unit = other.get(figures..)?.split_whitespace().next()?;
    let is_unit = Dimension::ALL.into_iter().any(|dimension| Unit::find(unit, dimension).is_some());
    let from = one.rfind(' ').map_or(0, |blank| blank + 1);
    let is_whole =
        one.get(from..).is_some_and(|word| !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_digit()));
    if !touches || figures == 0 || !is_unit || !is_whole {
        return None;
    }
    let to = figures + other.get(figures..)?.find(unit)? + unit.len();
    let whole = source.slice(Span::new(last.span.start + from, node.span.start + to));
    Some(refusals::comma_in_value(other, Some(whole), node.span))
}
