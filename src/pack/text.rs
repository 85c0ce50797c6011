//! A text of a pack: of the base pack a piece of the program itself, of a local pack a text of its own.
//!
//! Must not know what a text says.

use std::borrow::Borrow;
use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::ops::Deref;

use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A text that is read where it lies, if it lies there as long as the program runs.
///
/// Of the texts of a pack a judgement shows few, so its bytes are held to be text where somebody looks at them. Bytes
/// that are none are an empty text; the test that holds the bytes against the texts they were made from looks at each.
#[derive(Clone)]
pub struct PackText(TextBytes);

#[derive(Clone)]
enum TextBytes {
    Lying(&'static [u8]),
    Own(Box<str>),
}

impl PackText {
    /// The text.
    pub fn as_str(&self) -> &str {
        match &self.0 {
            TextBytes::Lying(bytes) => std::str::from_utf8(bytes).unwrap_or_default(),
            TextBytes::Own(text) => text,
        }
    }

    /// The bytes of the text, by which texts are compared and ordered as by their characters.
    fn bytes(&self) -> &[u8] {
        match &self.0 {
            TextBytes::Lying(bytes) => bytes,
            TextBytes::Own(text) => text.as_bytes(),
        }
    }
}

impl Default for PackText {
    fn default() -> Self {
        Self(TextBytes::Lying(&[]))
    }
}

impl Deref for PackText {
    type Target = str;

    fn deref(&self) -> &str {
        self.as_str()
    }
}

impl AsRef<str> for PackText {
    fn as_ref(&self) -> &str {
        self
    }
}

impl Borrow<str> for PackText {
    fn borrow(&self) -> &str {
        self
    }
}

impl fmt::Debug for PackText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

impl fmt::Display for PackText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self)
    }
}

impl From<String> for PackText {
    fn from(text: String) -> Self {
        Self(TextBytes::Own(text.into()))
    }
}

impl From<PackText> for String {
    fn from(text: PackText) -> Self {
        match text.0 {
            TextBytes::Lying(_) => text.as_str().to_owned(),
            TextBytes::Own(text) => text.into(),
        }
    }
}

impl PartialEq for PackText {
    fn eq(&self, other: &Self) -> bool {
        self.bytes() == other.bytes()
    }
}

impl Eq for PackText {}

impl PartialOrd for PackText {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for PackText {
    fn cmp(&self, other: &Self) -> Ordering {
        self.bytes().cmp(other.bytes())
    }
}

impl Hash for PackText {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.as_str().hash(state);
    }
}

impl PartialEq<str> for PackText {
    fn eq(&self, other: &str) -> bool {
        self.bytes() == other.as_bytes()
    }
}

impl PartialEq<&str> for PackText {
    fn eq(&self, other: &&str) -> bool {
        self.bytes() == other.as_bytes()
    }
}

impl PartialEq<String> for PackText {
    fn eq(&self, other: &String) -> bool {
        self.bytes() == other.as_bytes()
    }
}

impl Serialize for PackText {
    fn serialize<S: Serializer>(&self, into: S) -> Result<S::Ok, S::Error> {
        into.serialize_str(self)
    }
}

/// Only bytes that outlive everything can be read without a copy, so nothing else is taken. In the bytes of a pack that was
/// read beforehand a text is its bytes.
impl<'de: 'static> Deserialize<'de> for PackText {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Borrowed;

        impl<'de: 'static> Visitor<'de> for Borrowed {
            type Value = PackText;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text")
            }

            fn visit_borrowed_bytes<E: Error>(self, bytes: &'de [u8]) -> Result<PackText, E> {
                Ok(PackText(TextBytes::Lying(bytes)))
            }
        }

        from.deserialize_bytes(Borrowed)
    }
}
