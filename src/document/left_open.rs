//! What a document that is put together of several texts was not told.
//!
//! Must not know how it is asked for: whoever draws a worklist has the words.

use super::{Path, Span};
use crate::units::{Day, Instant};

/// What is to be named, by which values come to a document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOpen {
    /// What it is.
    pub what: Unnamed,
    /// Where in the texts as they are written that stands.
    pub written_at: Path,
    /// Where it should stand.
    pub span: Span,
    /// The places of the values that come with it.
    pub places: Vec<Path>,
}

impl LeftOpen {
    /// Whether a value at this place comes with it.
    pub fn brings(&self, place: &Path) -> bool {
        self.places.iter().any(|known| place.steps().starts_with(known.steps()))
    }
}

/// What a text that draws on another one does not name of it. Sections and keys are those of the texts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unnamed {
    /// The people who take part, by their marks.
    People {
        /// The mark of one of the people of the shop, as an example.
        such_as: String,
    },
    /// What a person does on the job.
    Role {
        /// Who that is.
        of: String,
    },
    /// An entry, by its mark.
    Entry {
        /// What the section calls one of its entries.
        one: &'static str,
        /// The marks of those that fit.
        fit: Vec<String>,
        /// Whether it is named only once its stamping was read and is the same.
        is_stamped: bool,
    },
    /// The day of the job.
    Day,
    /// The day on which it is judged: the sheet of the day that is named is still to come.
    DayOfJudgement {
        /// That day.
        today: Day,
        /// The sheet that is named.
        sheet: SheetOfDay,
    },
    /// The sheet of the day.
    Sheet(SheetOfDay),
    /// The round on the sheet of the day.
    Round {
        /// The sheet.
        sheet: SheetOfDay,
        /// When the round is down for, where that is after the judgement.
        to_come: Option<Instant>,
    },
    /// The readings of the sheet as they were before the job began.
    ReadBefore {
        /// The sheet.
        sheet: SheetOfDay,
        /// When it was read again.
        again: Instant,
    },
    /// The instrument with which the readings were taken, by its mark.
    Instrument {
        /// What the section calls one of its entries.
        one: &'static str,
        /// The first marks of those that there are.
        marks: Vec<String>,
        /// How many more there are.
        more: usize,
    },
    /// Readings with the instrument that is named.
    Readings {
        /// What the section calls one of its entries.
        one: &'static str,
    },
    /// What an instrument of the place may be off.
    Doubt {
        /// What the entry of the place calls the instrument.
        of: &'static str,
        /// The mark of the place.
        place: String,
        /// The line that would say it there.
        such_as: String,
    },
    /// A row of the log, as it would be written without its time.
    Row(String),
}

/// The sheet of a day, at a place where there are several.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetOfDay {
    /// The day.
    pub day: Day,
    /// The mark of the place.
    pub place: Option<String>,
    /// The mark of the round that is walked there, where there is one only.
    pub round: Option<String>,
}
