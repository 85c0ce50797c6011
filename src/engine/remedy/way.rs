//! Ways and their acts: what somebody does about a finding, as data.
//!
//! This module must not know how ways are found, nor words or text.

use crate::engine::reach::Reach;
use crate::record::{Edit, FactKey, Job};
use crate::units::Quantity;

/// Acts that clear a finding together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Way {
    /// The acts, each on another fact.
    pub acts: Vec<Act>,
}

impl Way {
    /// Whether it is the same way, or moves the same numbers: of two numbers to reach one is enough.
    pub(super) fn moves_the_same(&self, other: &Self) -> bool {
        let is_number =
            |act: &Act| matches!(act.kind, ActKind::Number(_) | ActKind::Between { .. } | ActKind::ReadAgain(_));
        // Done again later, and done again now.
        let is_again = |act: &Act| matches!(act.kind, ActKind::Again | ActKind::Moment { later: true });
        let same = |(one, other): (&Act, &Act)| {
            let alike = |such: fn(&Act) -> bool| such(one) && such(other);
            one == other || one.is_on_the_same(other) && (alike(is_number) || alike(is_again))
        };
        self.acts.len() == other.acts.len() && self.acts.iter().zip(&other.acts).all(same)
    }

    /// Whether its one number need not get as far as that of another one, which moves it the same way.
    pub(super) fn asks_less(&self, other: &Self) -> bool {
        let ([own], [other]) = (self.acts.as_slice(), other.acts.as_slice()) else { return false };
        own.is_on_the_same(other) && own.kind != other.kind && more_is_asked(other, own)
    }

    /// Whether one of its acts is such.
    pub(super) fn has(&self, such: impl Fn(&Act) -> bool) -> bool {
        self.acts.iter().any(such)
    }

    /// Whether part of it is to find out what the record does not say: what that is, nobody can choose.
    pub(super) fn finds_out(&self, recorded: &Job) -> bool {
        self.acts.iter().any(|act| {
            let subject = recorded.of(act.edit.key.subject).and_then(|entities| entities.get(act.edit.entity));
            subject.is_none_or(|subject| subject.facts.get(act.edit.key).is_none())
        })
    }
}

/// One thing to do, and what the record says of it afterwards.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Act {
    /// What stands in the record afterwards.
    pub edit: Edit,
    /// What kind of act it is.
    pub kind: ActKind,
}

impl Act {
    /// The fact that it changes.
    pub const fn key(&self) -> FactKey {
        self.edit.key
    }

    /// Whether something is done or read again now, or is said that was missing: the record is added to, and nothing in
    /// it changed.
    pub const fn is_done_again(&self) -> bool {
        matches!(
            self.kind,
            ActKind::Again | ActKind::Instrument | ActKind::Added | ActKind::WithWord(_) | ActKind::Recorded
        )
    }

    pub(super) fn is_on_the_same(&self, other: &Self) -> bool {
        (self.edit.key, self.edit.entity) == (other.edit.key, other.edit.entity)
    }
}

/// What is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ActKind {
    /// A number gets to the value of the edit, or beyond it.
    Number(Reach),
    /// A number gets to the value of the edit, or beyond it; the farther it goes, the farther must another fact.
    Along {
        /// Where it gets to.
        reach: Reach,
        /// The other fact.
        with: FactKey,
    },
    /// A number is chosen between two, of which the value of the edit is one.
    Between {
        /// The lower.
        low: Quantity,
        /// The upper.
        high: Quantity,
    },
    /// What a plate, a label or a thing itself shows is read again, there or on another one, and turns out to be the value
    /// of the edit or beyond it.
    ReadAgain(Reach),
    /// The same of a day or an instant.
    DateReadAgain {
        /// Whether later does as well; else earlier.
        later: bool,
    },
    /// The fact becomes the value of the edit.
    Becomes,
    /// The day or instant of the edit, or a later one, or an earlier one.
    Moment {
        /// Whether later does as well; else earlier.
        later: bool,
    },
    /// It is found out and recorded; the value of the edit is an example.
    Recorded,
    /// It is done, or read, again now.
    Again,
    /// A word is taken off a list because what it names was dealt with.
    WithoutWord(Box<str>),
    /// A word is put on a list.
    WithWord(Box<str>),
    /// A subject is added to its list.
    Added,
    /// The reading is taken with an instrument, or with a stated uncertainty.
    Instrument,
    /// A finer instrument takes the place of this one; the value of the edit is what its papers may say.
    Finer,
    /// It comes of another act of the way by itself.
    Follows,
}

/// Whether a number has to go further in the same direction for one act than for another.
pub(super) fn more_is_asked(known: &Act, other: &Act) -> bool {
    match (&known.kind, &other.kind) {
        (ActKind::Number(known) | ActKind::ReadAgain(known), ActKind::Number(other) | ActKind::ReadAgain(other))
            if known.upward == other.upward =>
        {
            if known.upward {
                known.to.base() >= other.to.base()
            } else {
                known.to.base() <= other.to.base()
            }
        }
        _ => false,
    }
}

/// Whether the act is only to read something again.
pub(super) const fn is_reread(act: &Act) -> bool {
    matches!(act.kind, ActKind::ReadAgain(_) | ActKind::DateReadAgain { .. })
}
