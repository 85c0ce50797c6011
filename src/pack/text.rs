//! A text of a pack: of the base pack a piece of the program itself, of a local pack a text of its own.
//!
//! Must not know what a text says.

use std::borrow::{Borrow, Cow};
use std::fmt;
use std::ops::Deref;

use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer, Serialize};

/// A text that is read where it lies, if it lies there as long as the program runs.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
pub struct PackText(Cow<'static, str>);

impl PackText {
    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Deref for PackText {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}

impl AsRef<str> for PackText {
    fn as_ref(&self) -> &str {
        &self.0
    }
}

impl Borrow<str> for PackText {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for PackText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl From<String> for PackText {
    fn from(text: String) -> Self {
        Self(Cow::Owned(text))
    }
}

impl From<PackText> for String {
    fn from(text: PackText) -> Self {
        text.0.into_owned()
    }
}

impl PartialEq<str> for PackText {
    fn eq(&self, other: &str) -> bool {
        self.0 == *other
    }
}

impl PartialEq<&str> for PackText {
    fn eq(&self, other: &&str) -> bool {
        self.0 == **other
    }
}

impl PartialEq<String> for PackText {
    fn eq(&self, other: &String) -> bool {
        self.0 == **other
    }
}

/// Only bytes that outlive everything can be read without a copy, so nothing else is taken.
impl<'de: 'static> Deserialize<'de> for PackText {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Borrowed;

        impl<'de: 'static> Visitor<'de> for Borrowed {
            type Value = PackText;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text")
            }

            fn visit_borrowed_str<E: Error>(self, text: &'de str) -> Result<PackText, E> {
                Ok(PackText(Cow::Borrowed(text)))
            }
        }

        from.deserialize_str(Borrowed)
    }
}
