//! A part of a pack that is made of its bytes when somebody first asks for it: most of a pack decides nothing about the job
//! at hand.
//!
//! Must not know what the parts are.

use std::ops::Deref;
use std::sync::OnceLock;

use serde::ser::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A part that is there, or that lies in bytes of the program until it is asked for.
///
/// A part that cannot be made of its bytes is its default, which each type chooses so that nothing passes by it. The test
/// that holds the bytes against the texts makes every part.
#[derive(Debug, Clone)]
pub struct Later<T> {
    bytes: &'static [u8],
    made: OnceLock<Box<T>>,
}

impl<T> From<T> for Later<T> {
    fn from(part: T) -> Self {
        Self { bytes: &[], made: OnceLock::from(Box::new(part)) }
    }
}

impl<T: Default + Deserialize<'static>> Deref for Later<T> {
    type Target = T;

    fn deref(&self) -> &T {
        self.made.get_or_init(|| Box::new(postcard::from_bytes(self.bytes).unwrap_or_default()))
    }
}

impl<T: Default + Serialize + Deserialize<'static>> Serialize for Later<T> {
    fn serialize<S: Serializer>(&self, into: S) -> Result<S::Ok, S::Error> {
        into.serialize_bytes(&postcard::to_allocvec(&**self).map_err(S::Error::custom)?)
    }
}

impl<'de: 'static, T> Deserialize<'de> for Later<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        Ok(Self { bytes: <&'static [u8]>::deserialize(from)?, made: OnceLock::new() })
    }
}
