//! What is read on the instruments of a place: the readings that do not say themselves with what they were taken, or what
//! that may be off.
//!
//! Must not know where a reading is written.

use super::expand::{Expander, SIDES};
use super::nodes::{at_mut, entries, moved, said, take, value_mut};
use super::sections::{PLACES, READ_ON_WALL, UNCERTAINTY, UNLISTED, WALL};
use super::sheets::read_with;
use crate::document::{Content, Node};
use crate::record::FactKey;
use crate::vocabulary::Subject;

/// What the instruments of a place may be off, each with what is read on it.
pub(super) type Doubts = Vec<(FactKey, Node)>;

/// Takes out of the entry of a place what its instruments may be off.
pub(super) fn doubts_of(place: &mut Node) -> Doubts {
    let of_group = UNLISTED.iter().filter_map(|instrument| {
        let group = value_mut(place, instrument.group)?;
        let doubt = take(group, UNCERTAINTY).map(|entry| entry.node);
        // What else is said of it are facts.
        if entries(group).is_empty() {
            take(place, instrument.group);
        }
        Some((instrument.reads, doubt.filter(|doubt| doubt.value != Content::Null)?))
    });
    of_group.collect()
}

impl Expander<'_> {
    /// The mark of the thermometer that hangs at a place.
    pub(super) fn hangs_at(&self, place: Option<&str>) -> Option<Node> {
        let (_, entry) = self.shop?.find_on(PLACES.key, place?, self.day)?;
        said(entry, WALL.1).map(|mark| moved(mark, self.base))
    }

    /// Says of the air that it was read on the thermometer that hangs at the place, where its reading names none.
    pub(super) fn read_on_wall(&self, of: &mut Node) {
        let Some((mark, spec)) = self.wall.as_ref().zip(self.catalogue.spec(READ_ON_WALL)) else { return };
        if let Some(reading) = at_mut(of, &spec.name) {
            read_with(reading, WALL.1, mark);
        }
    }

    /// Gives every reading that was taken on an instrument of the place, and does not say it itself, what that may be off.
    pub(super) fn read_at_place(&self, root: &mut Node, doubts: &Doubts) {
        self.read_on_wall(root);
        for (fact, doubt) in doubts {
            let Some(spec) = self.catalogue.spec(*fact) else { continue };
            let doubted = |holder: Option<&mut Node>| {
                if let Some(reading) = holder.and_then(|holder| at_mut(holder, &spec.name)) {
                    read_with(reading, UNCERTAINTY, doubt);
                }
            };
            if fact.subject == Subject::Component {
                for side in SIDES {
                    doubted(value_mut(root, "components").and_then(|sides| value_mut(sides, side)));
                }
            } else {
                doubted(Some(root));
            }
        }
    }
}
