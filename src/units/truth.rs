//! Three-valued truth, after the strong logic of Kleene (1938): a statement holds, does not hold, or is not known.
//!
//! Missing evidence is `Unknown`, and `Unknown` never becomes `True` by way of the connectives unless the other side
//! decides the matter alone. This module must not know what the statements are about.

use std::fmt;

/// What is known of a statement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Truth {
    /// The statement holds.
    True,
    /// The statement does not hold.
    False,
    /// The evidence does not decide it.
    Unknown,
}

impl Truth {
    /// Both hold. One `False` decides; otherwise one `Unknown` leaves it open.
    #[must_use]
    pub const fn and(self, other: Truth) -> Truth {
        match (self, other) {
            (Truth::False, _) | (_, Truth::False) => Truth::False,
            (Truth::True, Truth::True) => Truth::True,
            _ => Truth::Unknown,
        }
    }

    /// At least one holds. One `True` decides; otherwise one `Unknown` leaves it open.
    #[must_use]
    pub const fn or(self, other: Truth) -> Truth {
        match (self, other) {
            (Truth::True, _) | (_, Truth::True) => Truth::True,
            (Truth::False, Truth::False) => Truth::False,
            _ => Truth::Unknown,
        }
    }

    /// The opposite; what is unknown stays unknown.
    #[must_use]
    pub const fn not(self) -> Truth {
        match self {
            Truth::True => Truth::False,
            Truth::False => Truth::True,
            Truth::Unknown => Truth::Unknown,
        }
    }
}

impl From<bool> for Truth {
    fn from(known: bool) -> Truth {
        if known { Truth::True } else { Truth::False }
    }
}

impl fmt::Display for Truth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Truth::True => "true",
            Truth::False => "false",
            Truth::Unknown => "unknown",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::Truth::{self, False, True, Unknown};

    const ALL: [Truth; 3] = [True, False, Unknown];

    // The nine conjunctions, nine disjunctions and three negations of FEEL's ternary logic, OMG DMN 1.3 table 50;
    // the DMN Technology Compatibility Kit asks for them in its cases 0106 and 0107. `Unknown` stands for `null`.
    // Written down from memory of the tables.
    const AND: [[Truth; 3]; 3] = [[True, False, Unknown], [False, False, False], [Unknown, False, Unknown]];
    const OR: [[Truth; 3]; 3] = [[True, True, True], [True, False, Unknown], [True, Unknown, Unknown]];
    const NOT: [Truth; 3] = [False, True, Unknown];

    #[test]
    fn connectives_agree_with_the_published_tables() {
        for (row, left) in ALL.into_iter().enumerate() {
            assert_eq!(left.not(), NOT[row], "not {left}");
            for (column, right) in ALL.into_iter().enumerate() {
                assert_eq!(left.and(right), AND[row][column], "{left} and {right}");
                assert_eq!(left.or(right), OR[row][column], "{left} or {right}");
            }
        }
    }

    #[test]
    fn connectives_are_the_minimum_and_maximum_of_kleenes_order() {
        // Kleene, "On notation for ordinal numbers" (1938) and "Introduction to Metamathematics" (1952), section 64:
        // with false < unknown < true, "and" is the minimum and "or" is the maximum.
        let rank = |truth| match truth {
            False => 0,
            Unknown => 1,
            True => 2,
        };
        for left in ALL {
            for right in ALL {
                assert_eq!(rank(left.and(right)), rank(left).min(rank(right)));
                assert_eq!(rank(left.or(right)), rank(left).max(rank(right)));
            }
        }
    }
}
