//! Where a later reading is written, of what the sheet of the day says: the finding that asks for one names the way.
//!
//! Must not know the form in which it is given.

use std::fmt;

use super::places::PlaceNote;
use super::{Explained, Place};
use crate::pack::Term;
use crate::record::FactKey;
use crate::record::shop;
use crate::vocabulary::Subject;

/// The line of a record by which it says a later reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct LaterReading {
    line: String,
    is_of_a_side: bool,
}

impl fmt::Display for LaterReading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let below = if self.is_of_a_side { ", below its side" } else { "" };
        write!(
            f,
            "read again, it is written in the record{below}: `{}`; or on one more sheet of that day. The later reading counts",
            self.line
        )
    }
}

impl Explained<'_> {
    /// Where a later reading is written, if it is held by one of the shop file.
    pub(super) fn later_reading(&self) -> Option<LaterReading> {
        let source = self.document.source();
        let places = self.places();
        let of_sheet = places.iter().filter(|place| source.file_of(place.span.start) > 0);
        of_sheet.filter_map(read).find_map(|key| {
            let line = shop::later_reading(self.scene.packs().catalogue(), key)?;
            Some(LaterReading { line, is_of_a_side: key.subject == Subject::Component })
        })
    }
}

/// The fact that is compared at a place.
fn read(place: &Place<'_>) -> Option<FactKey> {
    place.notes.iter().find_map(|note| match note {
        PlaceNote::Compared { leaf, .. } => match leaf.leaf.term {
            Term::Fact(key) => Some(key),
            _ => None,
        },
        _ => None,
    })
}
