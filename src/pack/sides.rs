//! What a comparison is made of: the term that is looked at, and what it is compared with.
//!
//! Must not know tests or conditions.

use serde::{Deserialize, Serialize};

use super::LimitId;
use crate::figures::FigureId;
use crate::record::{FactKey, Value};
use crate::units::{Exact, Quantity};

/// Something that has a value for a subject.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Term {
    /// A recorded fact.
    Fact(FactKey),
    /// The instant of a reading.
    ReadAt(FactKey),
    /// The mark of the instrument of a reading.
    ReadWith(FactKey),
    /// The uncertainty of a reading.
    ReadDoubt(FactKey),
    /// A computed figure.
    Figure(FigureId),
    /// The current word, inside a quantifier over a list.
    Item,
}

/// What a term is compared with: a base value, times a factor, plus an offset.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Operand {
    /// The base.
    pub base: Base,
    /// The factor; boxed, as few have one.
    pub times: Option<Box<Factor>>,
    /// The offset; boxed, as few have one.
    pub plus: Option<Box<Offset>>,
}

impl Operand {
    /// The factor, if it has one.
    pub fn factor(&self) -> Option<Factor> {
        self.times.as_deref().copied()
    }

    /// The offset, if it has one.
    pub fn offset(&self) -> Option<Offset> {
        self.plus.as_deref().copied()
    }
}

/// The base of an operand.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub enum Base {
    /// A value written in the rule.
    Literal(Value),
    /// A named limit.
    Limit(LimitId),
    /// Another fact or figure.
    Term(Term),
    /// The instant of the judgement, for a plan.
    Judgement,
    /// The start of the fill: the planned one, or the instant of the judgement where that is later.
    Start,
    /// The start of the day of the fill in the zone of the shop.
    Today,
}

impl Base {
    /// Whether it goes with the clock. The start of the day goes by whole days.
    pub const fn moves(&self) -> bool {
        matches!(self, Self::Judgement | Self::Start)
    }
}

/// A plain factor.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
pub enum Factor {
    /// Written in the rule.
    Literal(Exact),
    /// A named limit: a plain number or a percentage.
    Limit(LimitId),
}

/// An offset in the unit family of the comparison; a duration where instants are compared.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
pub enum Offset {
    /// Written in the rule.
    Literal(Quantity),
    /// A named limit.
    Limit(LimitId),
    /// A named limit taken away.
    LessLimit(LimitId),
}
