//! What a comparison asked, as evidence names it: a test of the language, or something of all elements of a list.
//!
//! Must not know what came out.

use std::fmt;

use super::Row;

/// What was asked of a fact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WasAsked {
    /// A test of the language.
    Test(&'static Row),
    /// That every element of a list meets something.
    Each,
    /// That some element of a list meets something.
    Some,
}

/// The word of a condition that every element of a list must meet.
pub const FOR_EACH: &str = "for_each";
/// The word of a condition that some element of a list must meet.
pub const FOR_SOME: &str = "for_some";

impl WasAsked {
    /// What a word asks, for texts that come from outside.
    pub fn find(word: &str) -> Option<Self> {
        match word {
            FOR_EACH => Some(Self::Each),
            FOR_SOME => Some(Self::Some),
            word => Row::find(word).map(Self::Test),
        }
    }

    /// What a test asks as signed lines write it: by its sign, or by its word where it has none.
    pub fn find_signed(text: &str) -> Option<Self> {
        let signed = super::ROWS.iter().copied().find(|row| row.sign == Some(text)).map(Self::Test);
        signed.or_else(|| Self::find(text).filter(|asked| asked.signed() == text))
    }

    /// How signed lines write it.
    pub fn signed(self) -> &'static str {
        match self {
            Self::Test(Row { sign: Some(sign), .. }) => sign,
            asked => asked.word(),
        }
    }

    /// Its word in packs.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Test(row) => row.word,
            Self::Each => FOR_EACH,
            Self::Some => FOR_SOME,
        }
    }

    /// Whether a rule's own words say what was asked, so that nothing is lost where it is met and left out.
    pub const fn is_spelt_out(self) -> bool {
        match self {
            Self::Test(row) => row.is_spelt_out(),
            Self::Each | Self::Some => true,
        }
    }
}

impl fmt::Display for WasAsked {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
