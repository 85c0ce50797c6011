//! What of a record names entries of the shop file as a whole.
//!
//! Must not know what those say.

use crate::document::{Node, Span};
use crate::units::{Day, Instant};

/// What of a record names entries of the shop file as a whole.
pub(super) struct HeadMarks<'n> {
    pub(super) day: Option<(Day, Span)>,
    pub(super) place: Option<&'n str>,
    /// Whether it has a line for day or place, filled in or not: it is to draw on the shop file.
    pub(super) is_short: bool,
    /// What is there of the sheet of the day.
    pub(super) sheets: SheetMarks,
    /// When and with what the readings of the record were taken that do not say it.
    pub(super) stamp: Option<&'n Node>,
}

/// What is there of the sheet of a day.
pub(super) struct SheetMarks {
    /// Whether there is one.
    pub(super) is_there: bool,
    /// Whether a round is on it that somebody has walked.
    pub(super) has_round: bool,
    /// When its round is walked, where that is still to come.
    pub(super) round_to_come: Option<Instant>,
    /// When it was read, where that is after every fill of the job had begun.
    pub(super) read_later: Option<Instant>,
}
