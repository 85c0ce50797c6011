//! Why a sidewall text cannot be read, what was understood before that, and the cure.
//!
//! This module must not know how the text is taken apart.

use thiserror::Error;

use crate::tyre::load_range::{LoadRange, LoadRangeError};

/// A size text that cannot be read without guessing.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("size `{text}` {fault} (byte {at}); understood so far: {understood}")]
pub struct DesignationError {
    /// The text as written, its beginning if it is long.
    pub text: String,
    /// What had been read when the reading stopped, in words; `nothing` when nothing had.
    pub understood: String,
    /// Where the reading stopped, in bytes from the beginning of the text.
    pub at: usize,
    /// What is wrong there.
    pub fault: DesignationFault,
}

/// What keeps a text from being a size designation.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum DesignationFault {
    /// Nothing is written.
    #[error("is empty")]
    Empty,
    /// More text than any sidewall carries for its size.
    #[error("is longer than a size designation can be")]
    TooLong,
    /// Letters before the first number that are no known prefix.
    #[error("begins with `{found}`, which is no known prefix")]
    UnknownPrefix {
        /// The letters.
        found: String,
    },
    /// No number where one is due.
    #[error("has no {due} here")]
    NoNumber {
        /// Which number is due.
        due: &'static str,
    },
    /// A number written in a way that leaves room for a second reading.
    #[error("has a {what} in the {due}")]
    BadNumber {
        /// Which number it is.
        due: &'static str,
        /// What is wrong with it.
        what: &'static str,
    },
    /// A number that no tyre has.
    #[error("gives {found} as the {due}, outside {lowest} to {highest}")]
    OutOfRange {
        /// Which number it is.
        due: &'static str,
        /// The number as written.
        found: String,
        /// Least value taken.
        lowest: i64,
        /// Greatest value taken.
        highest: i64,
    },
    /// Two numbers with an `x` and nothing else.
    #[error("has only two numbers with an `x` between them, which may be width and rim or diameter and width")]
    OnlyTwoNumbers,
    /// Three numbers with an `x` between each two.
    #[error("has `x` before the rim as well, which may stand for `-` or mark a press-on tyre of solid rubber")]
    ThreeNumbers,
    /// A whole width that may be in millimetres or in inches without its point.
    #[error("gives a width that may be {code} in without its point or {width} mm")]
    WidthUnit {
        /// The width as written.
        width: String,
        /// The width in inches.
        code: String,
    },
    /// A second size on another rim.
    #[error("is followed by the size `{found}`, which is on another rim")]
    OtherRim {
        /// The second size.
        found: String,
    },
    /// No sign of the construction between width and rim.
    #[error("has {found} where `-` (diagonal), `R` (radial) or `B` (bias-belted) is expected")]
    NoConstruction {
        /// What stands there, quoted, or `nothing`.
        found: String,
    },
    /// The rim leaves no room for a tyre.
    #[error("names an overall diameter that is not above the rim diameter")]
    NoHeight,
    /// Text after the size that means nothing known.
    #[error("is followed by `{found}`, which is no known marking")]
    UnknownMarking {
        /// The marking as written.
        found: String,
    },
    /// A letter on its own, which may be a load range or a speed symbol.
    #[error("is followed by the letter `{found}` on its own, which may be a load range or a speed symbol")]
    LoneLetter {
        /// The letter.
        found: String,
    },
    /// A number on its own, which may be a load index or a ply rating.
    #[error("is followed by the number `{found}` on its own, which may be a load index or a ply rating")]
    LoneNumber {
        /// The number.
        found: String,
    },
    /// A count of plies, which is not a ply rating.
    #[error("gives a count of plies, `{found}`, which is not a ply rating")]
    PlyCount {
        /// The marking as written.
        found: String,
    },
    /// A ply rating that the system does not have.
    #[error("gives the ply rating `{found}`; ply ratings are even numbers from 2 to 80")]
    BadPlyRating {
        /// The number as written.
        found: String,
    },
    /// A load range that the system does not have.
    #[error("cannot be read: {0}")]
    LoadRange(LoadRangeError),
    /// Load range and ply rating that contradict each other.
    #[error("gives load range {range}, which is ply rating {}, and ply rating {ply_rating}", range.ply_rating())]
    Contradiction {
        /// The load range.
        range: LoadRange,
        /// The ply rating as written.
        ply_rating: u8,
    },
    /// The same kind of marking twice.
    #[error("repeats a marking with `{found}`")]
    Repeated {
        /// The second marking.
        found: String,
    },
}

impl DesignationError {
    /// How to put it right, in one imperative sentence.
    pub fn help(&self) -> String {
        match &self.fault {
            DesignationFault::OnlyTwoNumbers => {
                let (first, second) = self.text.split_once(['x', 'X', '×']).unwrap_or((&self.text, ""));
                format!(
                    "write `{}-{}` if the second number is the rim, or add `-` and the rim if the first is the diameter",
                    first.trim(),
                    second.trim()
                )
            }
            DesignationFault::WidthUnit { width, code } => {
                let rim = self.text.rsplit_once(['-', 'x', 'X', '×']).map_or("", |(_, rim)| rim.trim());
                format!(
                    "write `{code}-{rim}` if the width is in inches, or add the aspect, as in `{width}/80-{rim}`, if it is in millimetres"
                )
            }
            DesignationFault::LoneLetter { found } => {
                format!("write `LR {found}` for a load range, or put the load index before a speed symbol")
            }
            DesignationFault::LoneNumber { found } => {
                format!("write `{found}PR` for a ply rating, or put the speed symbol after a load index")
            }
            other => other.help().to_owned(),
        }
    }
}

impl DesignationFault {
    /// The cure where it does not depend on the text.
    fn help(&self) -> &'static str {
        match self {
            DesignationFault::Empty => "write the size as the sidewall shows it, such as `17.5-25`",
            DesignationFault::TooLong => "leave out everything that is not size, ply rating, load index or tread code",
            DesignationFault::UnknownPrefix { .. } => {
                "leave out maker and model, and begin with P, LT, ST, IF, VF, IN, AT or the width"
            }
            DesignationFault::BadNumber { .. } => "write digits with a decimal point, or a fraction such as `4 1/2`",
            DesignationFault::OutOfRange { due: "aspect", .. } => {
                "put an `x` between overall diameter and width if the first number is a diameter, write one of the two where the sidewall shows two sizes, or correct the aspect"
            }
            DesignationFault::ThreeNumbers => {
                "put `-` or `R` before the rim if the tyre is made for air; a solid press-on tyre has no inside to fill"
            }
            DesignationFault::OtherRim { .. } => {
                "compare both sizes with the sidewall, and write those that it shows on the wheel's rim"
            }
            DesignationFault::OutOfRange { due: "rim diameter", .. } => {
                "put the point where the sidewall has it, as in `22.5`, or compare the number with the sidewall"
            }
            DesignationFault::NoNumber { .. } | DesignationFault::OutOfRange { .. } | DesignationFault::NoHeight => {
                "compare the number with the sidewall and write the size as it shows there"
            }
            DesignationFault::NoConstruction { .. } => {
                "put `-` for diagonal or `R` for radial between width and rim, as in `17.5-25`"
            }
            DesignationFault::UnknownMarking { .. } => {
                "leave it out: what is no size, strength, service or tread code, such as the name of a tread, tells the fill nothing"
            }
            DesignationFault::PlyCount { .. } => {
                "write the ply rating with `PR`, such as `16PR`, if the sidewall shows one"
            }
            DesignationFault::BadPlyRating { .. } => "read the ply rating on the sidewall again",
            DesignationFault::LoadRange(error) => error.help(),
            DesignationFault::Contradiction { .. } => {
                "read both on the sidewall again and leave out the one that is not there"
            }
            DesignationFault::Repeated { .. } => "write each kind of marking once",
            DesignationFault::OnlyTwoNumbers
            | DesignationFault::WidthUnit { .. }
            | DesignationFault::LoneLetter { .. }
            | DesignationFault::LoneNumber { .. } => "write the size as the sidewall shows it",
        }
    }
}
