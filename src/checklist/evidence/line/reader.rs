//! The reader of lines of evidence: one pass over the text, which takes the first reading that there is.
//!
//! Whether that is the only one is asked by the caller, by writing it again. This module must not know what lines mean.

use super::{AskedOfFact, EvidenceLine, NotSo, STATED, VALUE_WORDS, WrittenBound, WrittenOrigin, WrittenValue, number};
use crate::pack::test::WasAsked;
use crate::units::{Dimension, Unit};

/// A text that is being read.
pub(super) struct LineReader<'l> {
    pub(super) rest: &'l str,
}

impl<'l> LineReader<'l> {
    pub(super) fn line(mut self) -> Option<EvidenceLine> {
        let fact = self.until(&[' ']).to_owned();
        let (mut values, mut asked) = (Vec::new(), Vec::new());
        if !self.rest.is_empty() && !self.test_is_next() {
            self.eat(" ").then_some(())?;
            values.push(self.value()?);
            while self.eat("; ") {
                values.push(self.value()?);
            }
        }
        while !self.rest.is_empty() {
            if !self.test_is_next() {
                return None;
            }
            self.eat(" ");
            asked.push(self.asked()?);
        }
        Some(EvidenceLine { fact, values, asked })
    }

    fn asked(&mut self) -> Option<AskedOfFact> {
        let test = WasAsked::find_signed(self.until(&[' ']))?;
        let mut bounds = Vec::new();
        if self.part_is_next() {
            self.eat(" ");
            bounds.push(self.bound()?);
            while self.eat(", ") {
                bounds.push(self.bound()?);
            }
        }
        let not_so = if self.eat(" = false") {
            Some(NotSo::False)
        } else if self.eat(" = unknown") {
            Some(NotSo::Unknown)
        } else {
            None
        };
        Some(AskedOfFact { test, bounds, not_so })
    }

    fn bound(&mut self) -> Option<WrittenBound> {
        let is_value = self.rest.starts_with(|c: char| matches!(c, '\'' | '[' | '-') || c.is_ascii_digit())
            || VALUE_WORDS.contains(&word(self.rest));
        let value = if is_value { Some(self.value()?) } else { None };
        let mut origins = Vec::new();
        if value.is_none() {
            origins.push(self.origin()?);
        }
        while self.part_is_next() {
            self.eat(" ");
            origins.push(self.origin()?);
        }
        Some(WrittenBound { value, origins })
    }

    fn origin(&mut self) -> Option<WrittenOrigin> {
        let text = self.until(&[' ', ',']);
        if let Some(limit) = text.strip_prefix('(') {
            return Some(WrittenOrigin::Limit(limit.strip_suffix(')')?.to_owned()));
        }
        let is_place = text.starts_with(|c: char| c == '.' || c.is_ascii_lowercase());
        (is_place && (STATED.contains(&text) || WasAsked::find_signed(text).is_none()))
            .then(|| WrittenOrigin::Place(text.to_owned()))
    }

    pub(super) fn value(&mut self) -> Option<WrittenValue> {
        if self.rest.starts_with('\'') {
            return self.text().map(WrittenValue::Text);
        }
        if self.eat("[]") {
            return Some(WrittenValue::Words(Vec::new()));
        }
        if self.rest.starts_with("['") {
            self.eat("[");
            let mut words = vec![self.text()?];
            while self.eat(", ") {
                words.push(self.text()?);
            }
            return self.eat("]").then_some(WrittenValue::Words(words));
        }
        if let Some(ends) = self.ends() {
            return Some(WrittenValue::Number { shown: None, ends: Some(ends), unit: self.unit() });
        }
        let first = self.until(&[' ', ';', ',']);
        let mut second = || if self.eat(" ") { Some(self.until(&[' ', ';', ',']).to_owned()) } else { None };
        match first {
            "null" => Some(WrittenValue::Null),
            "true" | "false" => Some(WrittenValue::Flag(first == "true")),
            "log" => second().map(WrittenValue::Log),
            "ahead" => second().map(WrittenValue::Ahead),
            "obstacle" => second().map(WrittenValue::Obstacle),
            _ if number(first).is_some() => {
                let (shown, unit) = (Some(first.to_owned()), self.unit());
                let before = self.rest;
                let ends = if self.eat(" ") { self.ends() } else { None };
                if ends.is_none() {
                    self.rest = before;
                }
                Some(WrittenValue::Number { shown, ends, unit })
            }
            _ => {
                let of_moments = |c: char| c.is_ascii_digit() || matches!(c, '-' | ':' | '+' | '.' | 'T' | 'Z');
                let is_moment = first.starts_with(|c: char| c.is_ascii_digit()) && first.chars().all(of_moments);
                is_moment.then(|| WrittenValue::Moment(first.to_owned()))
            }
        }
    }

    /// A text in single quotes, in which a single quote stands twice.
    fn text(&mut self) -> Option<String> {
        self.eat("'").then_some(())?;
        let mut text = String::new();
        loop {
            let (part, rest) = self.rest.split_once('\'')?;
            text.push_str(part);
            self.rest = rest;
            if !self.eat("'") {
                return Some(text);
            }
            text.push('\'');
        }
    }

    /// The two ends of an interval.
    fn ends(&mut self) -> Option<[String; 2]> {
        let inner = self.rest.strip_prefix('[')?;
        let (inside, rest) = inner.split_once(']')?;
        let (low, high) = inside.split_once(", ")?;
        number(low).zip(number(high))?;
        self.rest = rest;
        Some([low.to_owned(), high.to_owned()])
    }

    /// The unit that stands next; empty where none does.
    fn unit(&mut self) -> String {
        let of = |text: &'l str| text.strip_prefix(' ').map(word);
        let next = of(self.rest).filter(|next| Dimension::ALL.into_iter().any(|of| Unit::find(next, of).is_some()));
        let Some(unit) = next.filter(|next| !next.is_empty()) else { return String::new() };
        self.rest = self.rest.get(1 + unit.len()..).unwrap_or_default();
        unit.to_owned()
    }

    /// Whether a blank and the word of a test stand next.
    fn test_is_next(&self) -> bool {
        self.rest.strip_prefix(' ').is_some_and(|next| WasAsked::find_signed(word(next)).is_some())
    }

    /// Whether a blank and a part of a bound stand next.
    fn part_is_next(&self) -> bool {
        self.rest
            .strip_prefix(' ')
            .is_some_and(|next| WasAsked::find_signed(word(next)).is_none() && !next.starts_with("= "))
    }

    fn eat(&mut self, text: &str) -> bool {
        let rest = self.rest.strip_prefix(text);
        self.rest = rest.unwrap_or(self.rest);
        rest.is_some()
    }

    /// What stands before the first of these characters, or everything.
    fn until(&mut self, ends: &[char]) -> &'l str {
        let (found, rest) = self.rest.split_at(self.rest.find(ends).unwrap_or(self.rest.len()));
        self.rest = rest;
        found
    }
}

/// What stands before the first blank, comma or semicolon.
fn word(text: &str) -> &str {
    text.split([' ', ',', ';']).next().unwrap_or_default()
}
