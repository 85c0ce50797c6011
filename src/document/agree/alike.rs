//! The values of the second reader, compared as they arrive with those that are expected.
//!
//! Must not know places: it says whether two readings are alike, and not where they differ.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};

use super::same_number;
use crate::document::pieces::Expected;
use crate::document::{Content, Node};

/// Whether the second reader takes the text and gives the values that are expected, one by one and in their order. Nothing
/// is taken for alike that the comparison of two trees would not take.
pub(in crate::document) fn alike(text: &str, expected: &Expected<'_>) -> bool {
    // A tag may make of a text what it is not.
    let tagged = text.as_bytes().contains(&b'!');
    Alike { ours: expected, tagged }.deserialize(serde_yaml::Deserializer::from_str(text)).is_ok()
}

/// A value that the next value of the second reader is to be equal to.
#[derive(Clone, Copy)]
struct Alike<'e, 'n> {
    ours: &'e Expected<'n>,
    /// Whether there may be tags in the text.
    tagged: bool,
}

/// A node of the tree that the next value of the second reader is to be equal to.
#[derive(Clone, Copy)]
struct AlikeNode<'n> {
    ours: &'n Node,
    tagged: bool,
}

/// A key of the tree that the next key of the second reader is to be equal to.
struct AlikeKey<'n> {
    ours: &'n str,
    tagged: bool,
}

/// Whether the two are equal; why they are not nobody reads.
fn equal<E: Error>(equal: bool) -> Result<(), E> {
    if equal { Ok(()) } else { Err(E::custom("another value")) }
}

/// Whether a word that stands without quotes is a text in every version of YAML, so that the second reader need not try it
/// as a number or a truth value: it has a blank within, as no number has, or it begins with a letter and is longer than
/// `false`, the longest of the words that are none.
fn is_surely_text(word: &str) -> bool {
    word.trim().contains(' ') || word.len() > "false".len() && word.starts_with(|c: char| c.is_ascii_alphabetic())
}

/// Holds each further item of the second reader against the next of ours, until neither has one.
fn items<'de, A: SeqAccess<'de>>(
    mut theirs: A,
    ours: impl Iterator<Item = impl DeserializeSeed<'de, Value = ()>>,
) -> Result<(), A::Error> {
    for item in ours {
        equal(theirs.next_element_seed(item)?.is_some())?;
    }
    // Whatever a further one is, it is one too many.
    equal(theirs.next_element_seed(AlikeKey { ours: "", tagged: true })?.is_none())
}

/// Holds each further key and value of the second reader against the next of ours, until neither has one.
fn entries<'de, 'n, A: MapAccess<'de>>(
    mut theirs: A,
    ours: impl Iterator<Item = (&'n str, impl DeserializeSeed<'de, Value = ()>)>,
    tagged: bool,
) -> Result<(), A::Error> {
    for (key, value) in ours {
        equal(theirs.next_key_seed(AlikeKey { ours: key, tagged })?.is_some())?;
        theirs.next_value_seed(value)?;
    }
    equal(theirs.next_key_seed(AlikeKey { ours: "", tagged: true })?.is_none())
}

impl<'de> DeserializeSeed<'de> for Alike<'_, '_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, other: D) -> Result<(), D::Error> {
        match self.ours {
            Expected::Node(ours) => AlikeNode { ours, tagged: self.tagged }.deserialize(other),
            Expected::Nothing | Expected::Map(_) | Expected::List(_) => other.deserialize_any(self),
        }
    }
}

impl<'de> Visitor<'de> for Alike<'_, '_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the value of the first reader")
    }

    fn visit_unit<E: Error>(self) -> Result<(), E> {
        equal(matches!(self.ours, Expected::Nothing))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, theirs: A) -> Result<(), A::Error> {
        let Expected::List(ours) = self.ours else { return equal(false) };
        items(theirs, ours.iter().map(|ours| AlikeNode { ours, tagged: self.tagged }))
    }

    fn visit_map<A: MapAccess<'de>>(self, theirs: A) -> Result<(), A::Error> {
        let Expected::Map(ours) = self.ours else { return equal(false) };
        entries(theirs, ours.iter().map(|(key, ours)| (*key, Self { ours, ..self })), self.tagged)
    }
}

impl<'de> DeserializeSeed<'de> for AlikeNode<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, other: D) -> Result<(), D::Error> {
        match &self.ours.value {
            Content::Text(text) if !self.tagged && is_surely_text(text) => other.deserialize_str(self),
            _ => other.deserialize_any(self),
        }
    }
}

impl<'de> Visitor<'de> for AlikeNode<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the value of the first reader")
    }

    fn visit_bool<E: Error>(self, theirs: bool) -> Result<(), E> {
        equal(matches!(self.ours.value, Content::Bool(ours) if ours == theirs))
    }

    fn visit_i64<E: Error>(self, theirs: i64) -> Result<(), E> {
        equal(matches!(&self.ours.value, Content::Number(ours) if same_number(ours, &theirs.into())))
    }

    fn visit_u64<E: Error>(self, theirs: u64) -> Result<(), E> {
        equal(matches!(&self.ours.value, Content::Number(ours) if same_number(ours, &theirs.into())))
    }

    fn visit_f64<E: Error>(self, theirs: f64) -> Result<(), E> {
        equal(matches!(&self.ours.value, Content::Number(ours) if same_number(ours, &theirs.into())))
    }

    fn visit_str<E: Error>(self, theirs: &str) -> Result<(), E> {
        equal(matches!(&self.ours.value, Content::Text(ours) if ours == theirs))
    }

    fn visit_unit<E: Error>(self) -> Result<(), E> {
        equal(self.ours.value == Content::Null)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, theirs: A) -> Result<(), A::Error> {
        let Content::List(ours) = &self.ours.value else { return equal(false) };
        items(theirs, ours.iter().map(|ours| AlikeNode { ours, ..self }))
    }

    fn visit_map<A: MapAccess<'de>>(self, theirs: A) -> Result<(), A::Error> {
        let Content::Map(ours) = &self.ours.value else { return equal(false) };
        let ours = ours.iter().map(|entry| (entry.key.as_str(), Self { ours: &entry.node, ..self }));
        entries(theirs, ours, self.tagged)
    }
}

impl<'de> DeserializeSeed<'de> for AlikeKey<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, other: D) -> Result<(), D::Error> {
        if !self.tagged && is_surely_text(self.ours) {
            other.deserialize_str(self)
        } else {
            other.deserialize_any(self)
        }
    }
}

impl Visitor<'_> for AlikeKey<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the key of the first reader")
    }

    fn visit_str<E: Error>(self, theirs: &str) -> Result<(), E> {
        equal(self.ours == theirs)
    }
}
