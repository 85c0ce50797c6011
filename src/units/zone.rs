//! The time zone of a shop: its name and its rules, by which an instant belongs to a day there.
//!
//! An offset from UTC is not enough: it is one person's word, it changes twice a year in many places, and a wrong one
//! moves the day. The rules of every place are those of the IANA time zone database as it is compiled in, so that a
//! judgement comes out alike on every machine; the database of the machine is never read. This module must not know
//! what time it is, nor where the machine stands.

use std::fmt;
use std::sync::LazyLock;

use jiff::tz::{TimeZone, TimeZoneDatabase};
use thiserror::Error;

use super::Instant;
use super::error::echo;

static DATABASE: LazyLock<TimeZoneDatabase> = LazyLock::new(TimeZoneDatabase::bundled);

/// The clock of a place, with its changes, by the IANA time zone database.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Zone {
    rules: TimeZone,
}

impl Zone {
    /// The zone of a name in the form `Area/Place`, such as `America/Chicago`; capitals do not matter.
    pub fn find(name: &str) -> Result<Zone, ZoneError> {
        let unknown = || ZoneError::Unknown { text: echo(name) };
        let rules = DATABASE.get(name.trim()).map_err(|_| unknown())?;
        let zone = Zone { rules };
        match zone.name().split_once('/') {
            Some(("Etc", _)) | None => Err(ZoneError::NoPlace { text: echo(name) }),
            Some(_) => Ok(zone),
        }
    }

    /// Universal time, for what judges no job.
    pub const fn universal() -> Zone {
        Zone { rules: TimeZone::UTC }
    }

    /// A clock that always shows the offset of this instant, for the examples of rules, which are of no place.
    pub(crate) const fn of_example(at: Instant) -> Zone {
        Zone { rules: TimeZone::fixed(at.offset()) }
    }

    /// The name in the database, `America/Chicago`.
    pub fn name(&self) -> &str {
        self.rules.iana_name().unwrap_or("UTC")
    }

    pub(super) const fn rules(&self) -> &TimeZone {
        &self.rules
    }
}

impl fmt::Display for Zone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

/// Why a zone, or an instant in it, cannot be taken.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum ZoneError {
    /// No zone of the database has the name.
    #[error("`{text}` is not a time zone of the IANA database")]
    Unknown {
        /// The name as given.
        text: String,
    },
    /// A zone of the database that is an offset by another name.
    #[error("`{text}` is a bare offset from UTC and not the time zone of a place")]
    NoPlace {
        /// The name as given.
        text: String,
    },
    /// The instant is written at an offset that the zone does not have then.
    #[error("{} is written at {}, and {zone} is at {} then", .at.to_record_text(), .at.offset_text(), .due.offset_text())]
    OtherOffset {
        /// The instant as written.
        at: Instant,
        /// The same instant at the offset of the zone.
        due: Instant,
        /// The name of the zone.
        zone: String,
    },
}

impl ZoneError {
    /// How to put it right, in one imperative sentence.
    pub fn help(&self) -> String {
        match self {
            ZoneError::Unknown { .. } | ZoneError::NoPlace { .. } => {
                "name the zone of the shop as the IANA database does, Area/Place, such as `America/Chicago`".to_owned()
            }
            ZoneError::OtherOffset { due, .. } => format!(
                "if the shop lies there, look up which clock was read: the same instant there is `{}`",
                due.to_record_text()
            ),
        }
    }
}

#[cfg(test)]
mod tests;
