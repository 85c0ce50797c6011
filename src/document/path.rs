//! The route from the root of a document to one of its values.
//!
//! Must not know any document: a path may lead to a value that is not there.

use std::fmt;

/// A key or a value as it is written. Nearly all of them are short, and a short one lies in its place in the tree.
pub type ShortText = smol_str::SmolStr;

/// One step down: to the value of a key, or to an item of a list counted from 0.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// The value of this key of a mapping.
    Key(ShortText),
    /// The item at this place of a list.
    Index(usize),
}

impl From<&str> for Step {
    fn from(key: &str) -> Step {
        Step::Key(key.into())
    }
}

impl From<usize> for Step {
    fn from(index: usize) -> Step {
        Step::Index(index)
    }
}

/// A route through a document; the empty path is the whole document.
///
/// Shown as `assemblies[0].tyre.size`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Path(Vec<Step>);

impl Path {
    /// The path of the whole document.
    pub fn root() -> Path {
        Path::default()
    }

    /// The steps from the root downwards.
    pub fn steps(&self) -> &[Step] {
        &self.0
    }

    /// Whether this is the path of the whole document.
    pub fn is_root(&self) -> bool {
        self.0.is_empty()
    }

    /// Goes one step further down, in place.
    pub fn push(&mut self, step: impl Into<Step>) {
        self.0.push(step.into());
    }

    /// Goes one step back up, in place.
    #[cfg(test)]
    pub(super) fn pop(&mut self) {
        self.0.pop();
    }

    /// The path one step further down.
    #[must_use]
    pub fn child(&self, step: impl Into<Step>) -> Path {
        let mut steps = Vec::with_capacity(self.0.len() + 1);
        steps.extend_from_slice(&self.0);
        steps.push(step.into());
        Path(steps)
    }
}

/// Reads a JSON Pointer (RFC 6901); `None` if it is not one. A pointer does not say whether `0` is a key or a place in a
/// list: digits without a leading zero are a place, unless `is_map` says that the steps so far lead to a mapping.
pub(super) fn from_pointer_in(pointer: &str, is_map: impl Fn(&[Step]) -> bool) -> Option<Path> {
    let mut path = Path::root();
    if pointer.is_empty() {
        return Some(path);
    }
    for token in pointer.strip_prefix('/')?.split('/') {
        // RFC 6901, section 4: a place in a list has no leading zeros.
        let is_place = token == "0" || (!token.starts_with('0') && token.bytes().all(|byte| byte.is_ascii_digit()));
        let step = match token.parse() {
            Ok(index) if is_place && !is_map(path.steps()) => Step::Index(index),
            _ => Step::Key(unescape(token)?.into()),
        };
        path.push(step);
    }
    Some(path)
}

impl FromIterator<Step> for Path {
    fn from_iter<I: IntoIterator<Item = Step>>(steps: I) -> Path {
        Path(steps.into_iter().collect())
    }
}

/// Undoes the escapes of RFC 6901, section 3: `~1` is a slash and `~0` a tilde; any other tilde is an error.
fn unescape(token: &str) -> Option<String> {
    let mut key = String::with_capacity(token.len());
    let mut rest = token.chars();
    while let Some(c) = rest.next() {
        key.push(match c {
            '~' => match rest.next()? {
                '0' => '~',
                '1' => '/',
                _ => return None,
            },
            other => other,
        });
    }
    Some(key)
}

impl fmt::Display for Path {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_empty() {
            return f.write_str("the whole document");
        }
        for (depth, step) in self.0.iter().enumerate() {
            match step {
                Step::Index(index) => write!(f, "[{index}]")?,
                Step::Key(key) if is_word(key) => {
                    if depth > 0 {
                        f.write_str(".")?;
                    }
                    f.write_str(key)?;
                }
                // A key with a dot or a bracket in it would read as several steps.
                Step::Key(key) => write!(f, "[{key:?}]")?,
            }
        }
        Ok(())
    }
}

fn is_word(key: &str) -> bool {
    !key.is_empty() && key.chars().all(|c| c.is_alphanumeric() || c == '_' || c == '-')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_read_as_a_person_would_say_them() {
        let size = Path::root().child("assemblies").child(0).child("tyre").child("size");
        assert_eq!(size.to_string(), "assemblies[0].tyre.size");
        assert_eq!(Path::root().to_string(), "the whole document");
        assert_eq!(Path::root().child(2).child("a.b").child("c").to_string(), "[2][\"a.b\"].c");
    }

    /// The pointers and the keys they name are the example of RFC 6901, section 5.
    #[test]
    fn json_pointers_of_rfc_6901_section_5() {
        for (pointer, steps) in [
            ("", vec![]),
            ("/foo", vec![Step::from("foo")]),
            ("/foo/0", vec![Step::from("foo"), Step::from(0)]),
            ("/", vec![Step::from("")]),
            ("/a~1b", vec![Step::from("a/b")]),
            ("/c%d", vec![Step::from("c%d")]),
            ("/e^f", vec![Step::from("e^f")]),
            ("/g|h", vec![Step::from("g|h")]),
            ("/i\\j", vec![Step::from("i\\j")]),
            ("/k\"l", vec![Step::from("k\"l")]),
            ("/ ", vec![Step::from(" ")]),
            ("/m~0n", vec![Step::from("m~n")]),
        ] {
            let path = from_pointer_in(pointer, |_| false).unwrap();
            assert_eq!(path.steps(), steps, "pointer {pointer:?}");
        }
    }

    #[test]
    fn what_is_no_pointer_is_refused_and_leading_zeros_are_keys() {
        for wrong in ["foo", "/a~", "/a~2"] {
            assert_eq!(from_pointer_in(wrong, |_| false), None, "{wrong:?}");
        }
        // RFC 6901, section 4: a place in a list has no leading zeros.
        assert_eq!(from_pointer_in("/01", |_| false).unwrap().steps(), [Step::from("01")]);
    }
}
