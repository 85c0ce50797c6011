//! What a short record does not name of its shop file, in trade words.
//!
//! Must not know how it was found.

use std::fmt;

use crate::document::prose::in_quotes;
use crate::document::{SheetOfDay, Unnamed};
use crate::vocabulary::shown;

/// What is to be named, as a line of a worklist has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::explain) struct NotNamed<'d>(pub(super) &'d Unnamed);

impl fmt::Display for NotNamed<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Unnamed::People { such_as } => write!(f, "people by their marks, such as `{such_as}`"),
            Unnamed::Role { of } => write!(f, "role of {} on this job", shown(of)),
            Unnamed::Entry { one, fit, is_stamped } => {
                write!(f, "{one} by its mark")?;
                if fit.is_empty() {
                    return Ok(());
                }
                write!(f, ", such as {}", in_quotes(fit))?;
                f.write_str(if *is_stamped { ", once its stamping was read and is the same" } else { "" })
            }
            Unnamed::Day => f.write_str("day of the job"),
            Unnamed::DayOfJudgement { today, sheet } => {
                let today = today.to_record_text();
                write!(
                    f,
                    "day on which this is checked, `day: {today}`; the sheet of {} is still to come",
                    DayAndPlace(sheet)
                )
            }
            Unnamed::Sheet(sheet) => {
                write!(f, "sheet of {}, in the shop file, such as `{}`", DayAndPlace(sheet), sheet_line(sheet))
            }
            Unnamed::Round { sheet, to_come: Some(at) } => {
                write!(f, "round of {}: it is down for {at}, after this check", DayAndPlace(sheet))
            }
            Unnamed::Round { sheet, to_come: None } => {
                let line = round_line(sheet);
                write!(f, "round on the sheet of {}, in the shop file, such as `{line}`", DayAndPlace(sheet))
            }
            Unnamed::ReadBefore { sheet, again } => write!(
                f,
                "readings from before the fill: the sheet of {} was read again at {again}, after it had begun",
                DayAndPlace(sheet)
            ),
            Unnamed::Instrument { one, marks, more } => {
                write!(f, "{one} under `read` at the head, by its mark: {}", in_quotes(marks))?;
                if *more > 0 { write!(f, " and {more} more") } else { Ok(()) }
            }
            Unnamed::Readings { one } => write!(f, "readings with the {one} that `read` names"),
            Unnamed::Doubt { of, place, such_as } => {
                write!(f, "what the {of} of {} may be off, in the shop file, such as `{such_as}`", shown(place))
            }
            Unnamed::Row(row) => write!(f, "row of the log `{row}`"),
        }
    }
}

/// A sheet as it is begun; its round says at which place it was walked.
fn sheet_line(sheet: &SheetOfDay) -> String {
    let day = sheet.day.to_record_text();
    let place = sheet.place.as_ref().filter(|_| sheet.round.is_none());
    let place = place.map(|place| format!("place: {}, ", shown(place))).unwrap_or_default();
    format!("- {{day: {day}, {place}{}, read: {{at: , thermometer: }}}}", round_line(sheet))
}

/// A round as it stands on a sheet.
fn round_line(sheet: &SheetOfDay) -> String {
    let mark = sheet.round.as_ref().map(|mark| format!("mark: {}, ", shown(mark))).unwrap_or_default();
    format!("round: {{{mark}at: , by: }}")
}

/// The day of a sheet, and its place where there are several.
struct DayAndPlace<'s>(&'s SheetOfDay);

impl fmt::Display for DayAndPlace<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0.day)?;
        self.0.place.as_ref().map_or(Ok(()), |place| write!(f, " at {place}"))
    }
}
