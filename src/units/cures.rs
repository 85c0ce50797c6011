//! How to put a written day or instant right that cannot be taken: what it may mean is offered, and never taken.
//!
//! Must not know where the text stood: the caller adds file and position.

use super::{Day, FIRST_YEAR, InstantError, LAST_YEAR, days_meant, month_meant};

impl InstantError {
    /// How to put it right, in one imperative sentence.
    pub fn help(&self) -> String {
        match self {
            InstantError::NotAnInstant { .. } => {
                "write year, month, day, a `T`, the time and the offset from UTC, such as `2026-03-04T09:30:00-06:00`"
                    .to_owned()
            }
            InstantError::NotADay { text } => match days_meant(text).as_slice() {
                [] => month_meant(text).map_or_else(
                    || "write year, month and day, such as `2027-01-31`".to_owned(),
                    |first| format!("add the day; of a paper that names only the month take its first, `{first}`, unless its maker says that the whole month counts"),
                ),
                days => {
                    let days = days.iter().map(|day| match Day::parse(day) {
                        Ok(of) => format!("`{day}` for {of}"),
                        Err(_) => format!("`{day}`"),
                    });
                    format!("write {}", days.collect::<Vec<_>>().join(" or "))
                }
            },
            InstantError::NoTime { text } => {
                format!("add the time of day and the offset from UTC, such as `{text}T09:30-06:00`")
            }
            InstantError::NoOffset { text } => {
                format!("add the offset from UTC, such as `{text}-06:00`, or `Z` for UTC itself")
            }
            InstantError::BadOffset { .. } => {
                "write the offset as sign, two digits, colon, two digits, such as `-06:00`, or as `Z` for UTC itself"
                    .to_owned()
            }
            InstantError::OutOfRange { part: "year", .. } => {
                format!("write the year with four digits, from {FIRST_YEAR} to {LAST_YEAR}")
            }
            InstantError::OutOfRange { part, .. } => format!("put the {part} right"),
        }
    }
}
