//! The points of the work at which it stops until somebody has looked.

/// A point of the work that nobody goes past before its questions are answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HoldPoint {
    /// Before air goes into the assembly: wheel, rim, cage, the people.
    BeforeAir,
    /// Before material is pumped.
    BeforeFill,
    /// When the pump has stopped: what went in, and how it ended.
    AfterFill,
    /// Before the assembly goes back to work: the cure.
    BeforeService,
}

impl HoldPoint {
    /// Every hold point, in the order of the work.
    pub const ALL: [Self; 4] = [Self::BeforeAir, Self::BeforeFill, Self::AfterFill, Self::BeforeService];

    /// The words in files and reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::BeforeAir => "before air",
            Self::BeforeFill => "before fill",
            Self::AfterFill => "after fill",
            Self::BeforeService => "before service",
        }
    }

    /// The hold point of these words.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|point| point.word() == word)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hold_points_follow_the_work_and_are_found_by_their_words() {
        assert!(HoldPoint::ALL.is_sorted());
        for point in HoldPoint::ALL {
            assert_eq!(HoldPoint::from_word(point.word()), Some(point));
        }
        assert_eq!(HoldPoint::from_word("before lunch"), None);
    }
}
