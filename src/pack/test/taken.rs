//! What stands behind the word of a test, by its form: most of what looks at a test asks for this or for its relation, so
//! that nobody need look at a test of a form and relation that were there before.
//!
//! Must not know what a test asks.

use super::{Relation, Test};
use crate::pack::Operand;
use crate::pack::sides::Base;
use crate::record::Value;

/// What a test takes.
#[derive(Debug, Clone, Copy)]
pub enum Operands<'t> {
    /// One operand of the term's own class.
    One(&'t Operand),
    /// Two operands of the term's own class.
    Two(&'t Operand, &'t Operand),
    /// A list of values.
    Values(&'t [Value]),
    /// True or false.
    Flag(bool),
    /// A duration.
    Span(&'t Operand),
}

impl Test {
    /// What it takes.
    pub fn taken(&self) -> Operands<'_> {
        match self {
            Self::Is(a)
            | Self::IsNot(a)
            | Self::AtLeast(a)
            | Self::AtMost(a)
            | Self::Above(a)
            | Self::Below(a)
            | Self::Before(a)
            | Self::After(a) => Operands::One(a),
            Self::Between(both) => Operands::Two(&both.0, &both.1),
            Self::OneOf(values) | Self::NoneOf(values) => Operands::Values(values),
            Self::Recorded(so) => Operands::Flag(*so),
            Self::ReadWithin(span) => Operands::Span(span),
        }
    }

    /// The operands of the test.
    pub fn operands(&self) -> impl Iterator<Item = &Operand> {
        let (first, second) = match self.taken() {
            Operands::One(a) | Operands::Span(a) => (Some(a), None),
            Operands::Two(a, b) => (Some(a), Some(b)),
            Operands::Values(_) | Operands::Flag(_) => (None, None),
        };
        first.into_iter().chain(second)
    }

    /// The values of which its term must be one, or must be none; nothing where it does not ask that, or where what it asks
    /// is not written in the rule.
    pub fn listed(&self) -> Option<(bool, Vec<&Value>)> {
        let so = match self.row().relation {
            Relation::Equal(so) => so,
            Relation::Within(_) | Relation::Recorded | Relation::Fresh => return None,
        };
        match self.taken() {
            Operands::Values(values) => Some((so, values.iter().collect())),
            Operands::One(Operand { base: Base::Literal(value), times: None, plus: None }) => Some((so, vec![value])),
            Operands::One(_) | Operands::Two(..) | Operands::Flag(_) | Operands::Span(_) => None,
        }
    }

    /// Whether it asks that nothing be recorded.
    pub fn is_of_absence(&self) -> bool {
        matches!((self.row().relation, self.taken()), (Relation::Recorded, Operands::Flag(false)))
    }
}
