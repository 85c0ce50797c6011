//! The figures of a job, each worked out once, when it is first asked for.
//!
//! Must not know how a figure is computed.

use std::cell::OnceCell;

use crate::figures::{Figure, FigureId};
use crate::pack::PackSet;
use crate::record::{Entity, Job, Value};
use crate::units::Zone;
use crate::vocabulary::PerSubject;

/// The figures that rules ask for of one subject, each worked out when first asked for.
pub(super) type Worked = Vec<(FigureId, OnceCell<Figure>)>;

/// Room for the figures that rules ask for of each subject of a job.
pub(super) fn unworked(packs: &PackSet, job: &Job) -> PerSubject<Vec<Worked>> {
    PerSubject::from_fn(|subject| {
        let asked: Vec<FigureId> = packs.figures_of(subject).collect();
        let count = if asked.is_empty() { 0 } else { job.of(subject).map_or(0, <[Entity]>::len) };
        let of_one = |_| asked.iter().map(|id| (*id, OnceCell::new())).collect();
        (0..count).map(of_one).collect()
    })
}

/// A figure, an instant among them as the clock of the zone will show it.
pub(super) fn in_zone(mut figure: Figure, zone: &Zone) -> Figure {
    if let Ok(Value::Instant(at)) = &mut figure {
        *at = at.in_zone(zone);
    }
    figure
}
