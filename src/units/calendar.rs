//! Days and instants by the clock of a place: which day an instant belongs to in a zone, and when a day begins there.
//!
//! Must not know what time it is, nor how days, instants and zones are written.

use jiff::Timestamp;

use super::{Day, Instant, Zone, ZoneError};

impl Day {
    /// The first instant of the day in a zone: 00:00, or later where the clock leaves midnight out.
    pub fn start_in(self, zone: &Zone) -> Instant {
        // Days come from texts or instants within the years taken, so the conversion has thousands of years to spare.
        let start = self.date().to_zoned_datetime(zone.rules().clone()).and_then(|midnight| midnight.start_of_day());
        of_zone(start.map_or(Timestamp::MAX, |start| start.timestamp()), zone)
    }
}

impl Instant {
    /// The same point in time as the clock of a zone shows it.
    #[must_use]
    pub fn in_zone(self, zone: &Zone) -> Instant {
        of_zone(self.point(), zone)
    }

    /// The civil day in a zone.
    pub fn day_in(self, zone: &Zone) -> Day {
        self.in_zone(zone).day_as_written()
    }
}

impl Zone {
    /// Compares the offset with which an instant is written with that of the zone at that instant.
    pub fn check(&self, at: Instant) -> Result<(), ZoneError> {
        let due = at.in_zone(self);
        if at.offset() == due.offset() {
            return Ok(());
        }
        Err(ZoneError::OtherOffset { at, due, zone: self.name().to_owned() })
    }
}

/// A point in time at the offset that the zone has then.
fn of_zone(point: Timestamp, zone: &Zone) -> Instant {
    Instant::at_offset(point, zone.rules().to_offset(point))
}
