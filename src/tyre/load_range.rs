//! Load range letters and the ply ratings they stand for.
//!
//! A ply rating is an index of strength, not a count of plies, and neither of the two fixes an inflation pressure: tyres
//! of one load range are rated at different pressures, so the pressure is read off the sidewall. This module must not
//! know sizes.
//!
//! Source of the table: the encyclopedia article on tyre codes as reprinted at <http://cjtire.com/load-range> (read in
//! that reprint only, not in the Tire and Rim Association's year book). That the letters run from A to N, and that the
//! ply rating is the older system, was read in the NHTSA letter 1985-01.37, <https://nhtsa.gov/es/node/50091>.

use std::fmt;

use thiserror::Error;

/// A load range: the letters A to N without I and K.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each name is the letter itself")]
pub enum LoadRange {
    A,
    B,
    C,
    D,
    E,
    F,
    G,
    H,
    J,
    L,
    M,
    N,
}

/// Why a text is not a load range.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum LoadRangeError {
    /// A letter that the series leaves out. One published list inserts a K and shifts what follows by two plies, so
    /// guessing could overrate a tyre.
    #[error("load range `{letter}` does not exist: the series runs A to H, J, L, M, N")]
    LeftOut {
        /// The letter as written.
        letter: char,
    },
    /// A letter after N.
    #[error("load range `{letter}` lies beyond N, the last of the series")]
    Beyond {
        /// The letter as written.
        letter: char,
    },
    /// Not a single letter.
    #[error("`{text}` is not a load range letter")]
    NotALetter {
        /// The beginning of the text.
        text: String,
    },
}

/// Longest piece of user text that an error repeats.
const MAX_ECHO_CHARS: usize = 20;

impl LoadRangeError {
    /// How to put it right, in one imperative sentence.
    pub fn help(&self) -> &'static str {
        match self {
            LoadRangeError::LeftOut { .. } | LoadRangeError::Beyond { .. } => {
                "read the letter on the sidewall again, or record the ply rating instead"
            }
            LoadRangeError::NotALetter { .. } => "write one letter, such as `G`, or record the ply rating instead",
        }
    }
}

impl LoadRange {
    /// Every load range, weakest first.
    pub const ALL: [LoadRange; 12] = [
        LoadRange::A,
        LoadRange::B,
        LoadRange::C,
        LoadRange::D,
        LoadRange::E,
        LoadRange::F,
        LoadRange::G,
        LoadRange::H,
        LoadRange::J,
        LoadRange::L,
        LoadRange::M,
        LoadRange::N,
    ];

    /// The load range of a letter, in either case; blanks around it are allowed.
    pub fn from_letter(text: &str) -> Result<LoadRange, LoadRangeError> {
        let mut letters = text.trim().chars();
        let (first, more) = (letters.next(), letters.next());
        let (Some(letter @ 'A'..='Z'), None) = (first.map(|letter| letter.to_ascii_uppercase()), more) else {
            return Err(LoadRangeError::NotALetter { text: text.trim().chars().take(MAX_ECHO_CHARS).collect() });
        };
        match LoadRange::ALL.into_iter().find(|range| range.letter() == letter) {
            Some(range) => Ok(range),
            // O lies beyond N as well, but is refused as the letter that is easily read for a zero.
            None if matches!(letter, 'I' | 'K' | 'O') => Err(LoadRangeError::LeftOut { letter }),
            None => Err(LoadRangeError::Beyond { letter }),
        }
    }

    /// The letter.
    pub const fn letter(self) -> char {
        match self {
            LoadRange::A => 'A',
            LoadRange::B => 'B',
            LoadRange::C => 'C',
            LoadRange::D => 'D',
            LoadRange::E => 'E',
            LoadRange::F => 'F',
            LoadRange::G => 'G',
            LoadRange::H => 'H',
            LoadRange::J => 'J',
            LoadRange::L => 'L',
            LoadRange::M => 'M',
            LoadRange::N => 'N',
        }
    }

    /// The ply rating that the letter stands for: 2 for A, two more for each letter.
    pub const fn ply_rating(self) -> u8 {
        // The variants are declared in the order of the table, so the position gives the rating.
        2 * (self as u8 + 1)
    }
}

impl fmt::Display for LoadRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.letter())
    }
}

/// The ply rating of a load range letter: `G` is 14.
pub fn ply_rating(letter: &str) -> Result<u8, LoadRangeError> {
    LoadRange::from_letter(letter).map(LoadRange::ply_rating)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_outside_the_series_are_refused_with_a_cure() {
        for letter in ["I", "K", "O", "k"] {
            let error = ply_rating(letter).unwrap_err();
            assert!(matches!(error, LoadRangeError::LeftOut { .. }), "{letter}");
            assert!(error.help().contains("ply rating"));
        }
        for letter in ["P", "Z"] {
            assert!(matches!(ply_rating(letter), Err(LoadRangeError::Beyond { .. })), "{letter}");
        }
        for text in ["", "GG", "14", "é", "G1"] {
            assert!(matches!(ply_rating(text), Err(LoadRangeError::NotALetter { .. })), "{text}");
        }
        let long = ply_rating(&"x".repeat(500)).unwrap_err().to_string();
        assert!(long.len() < 60, "{long}");
    }

    #[test]
    fn letters_round_trip() {
        for range in LoadRange::ALL {
            assert_eq!(LoadRange::from_letter(&range.to_string()), Ok(range));
        }
        assert_eq!(ply_rating(" g "), Ok(14));
    }
}
