//! What a test asks, stated once: equality, bounds, being recorded, being fresh; and which way a greater number moves it.
//!
//! Must not know the words of the language.

/// What a test asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relation {
    /// Equal to what it takes, or to one of it; or, where false, equal to none of it.
    Equal(bool),
    /// Within bounds, one for each operand.
    Within(&'static [Bound]),
    /// Recorded at all.
    Recorded,
    /// Taken or done no longer before the start than the operand.
    Fresh,
}

/// A bound that an operand sets on a term.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bound {
    /// Which end it bounds.
    pub end: End,
    /// Whether the bound itself is enough.
    pub inclusive: bool,
}

/// The end at which a bound stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The term is to be that much or more.
    Low,
    /// The term is to be that much or less.
    High,
}

impl Bound {
    /// That much or more.
    pub const LEAST: Self = Self { end: End::Low, inclusive: true };
    /// That much or less.
    pub const MOST: Self = Self { end: End::High, inclusive: true };
    pub(super) const ABOVE: Self = Self { end: End::Low, inclusive: false };
    pub(super) const BELOW: Self = Self { end: End::High, inclusive: false };

    /// The bound that holds exactly where this one does not.
    #[must_use]
    pub const fn opposite(self) -> Self {
        let end = match self.end {
            End::Low => End::High,
            End::High => End::Low,
        };
        Self { end, inclusive: !self.inclusive }
    }
}

/// What a greater number does to a statement, in the order false, unknown, true.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effect {
    /// Nothing.
    Nothing,
    /// It may make the statement truer, never less true.
    Helps,
    /// It may make the statement less true, never truer.
    Hurts,
    /// Either, as the numbers stand.
    Either,
}

impl Effect {
    /// The effect on the opposite statement; or that of a smaller number.
    #[must_use]
    pub const fn turned(self) -> Self {
        match self {
            Self::Helps => Self::Hurts,
            Self::Hurts => Self::Helps,
            same => same,
        }
    }
}
