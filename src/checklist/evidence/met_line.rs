//! Lines of what is met, in the parts by which they are gathered and put in order.
//!
//! Must not know the judgement of which they are made.

/// A line of what is met.
#[derive(Debug, Default)]
pub(in crate::checklist) struct MetLine {
    /// The fact by its place.
    pub(in crate::checklist) fact: String,
    /// The fact with its values.
    pub(in crate::checklist) seen: String,
    /// What was asked of it.
    pub(in crate::checklist) asked: AskedText,
    /// Whether it was to be one thing, and its only value is that.
    pub(in crate::checklist) is_that: bool,
}

/// What was asked of a fact, as a text, and what that is ordered by, whatever the values are.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::checklist) struct AskedText {
    /// Tests, limits and facts, without a value.
    order: String,
    /// The whole, without a blank in front.
    pub(in crate::checklist) text: String,
}

impl AskedText {
    /// Adds a word with a blank before it.
    pub(super) fn add(&mut self, word: &str) {
        self.add_value(word);
        self.order.push(' ');
        self.order.push_str(word);
    }

    /// Adds a value with a blank before it.
    pub(super) fn add_value(&mut self, value: &str) {
        if !self.text.is_empty() {
            self.text.push(' ');
        }
        self.text.push_str(value);
    }

    pub(super) fn join(&mut self, other: &Self) {
        if !other.text.is_empty() {
            self.add_value(&other.text);
            self.order.push_str(&other.order);
        }
    }
}
