//! The figures of a job, each worked out once, when it is first asked for.
//!
//! Must not know how a figure is computed.

use std::cell::OnceCell;
use std::rc::Rc;

use super::Scene;
use crate::figures::{self, Figure, FigureId, Parameters, Reads, Shared, Workings};
use crate::pack::{LimitId, PackSet};
use crate::record::{Entity, Job, Value};
use crate::units::Zone;
use crate::vocabulary::{PerSubject, Subject};

/// The figures that rules ask for of one subject, each worked out when first asked for.
type Worked = Vec<(FigureId, OnceCell<Figure>)>;

/// Room for the figures of every subject of a job, taken when a subject is first asked: of most days to come few are.
#[derive(Debug, Clone)]
pub(super) struct Room(PerSubject<Vec<OnceCell<Worked>>>);

impl Room {
    pub(super) fn of(job: &Job) -> Self {
        Self(PerSubject::from_fn(|subject| vec![OnceCell::new(); job.of(subject).map_or(0, <[Entity]>::len)]))
    }

    /// The place of a figure of one subject, if some rule asks for it.
    pub(super) fn place(
        &self,
        packs: &PackSet,
        id: FigureId,
        (subject, entity): (Subject, usize),
    ) -> Option<&OnceCell<Figure>> {
        let unworked = || packs.figures_of(subject).map(|id| (id, OnceCell::new())).collect();
        let of_one = self.0.get(subject).get(entity)?.get_or_init(unworked);
        of_one.iter().find(|(asked, _)| *asked == id).map(|(_, figure)| figure)
    }
}

impl Scene<'_> {
    /// A figure of the current subject, one that some rule asks for.
    pub fn figure(&self, id: FigureId, subject: Subject, entity: usize) -> Option<&Figure> {
        let figure = self.figures.get_or_init(|| Room::of(self.job)).place(self.packs, id, (subject, entity))?;
        // The subject in the job that was cut down stands at the same place.
        let of = self.known().of(subject)?.get(entity)?;
        Some(figure.get_or_init(|| self.compute(id, of)))
    }

    /// The numbers that the packs set for figures, in force on the day.
    pub(super) fn parameters(&self) -> &Parameters {
        let value = |id: LimitId| {
            let dated = self.packs.limit_in_force(id, self.amendments, self.day);
            dated.map(|dated| dated.value.base())
        };
        let make = || Rc::new(Parameters::from_limits(|parameter| self.packs.parameter(parameter).and_then(value)));
        self.parameters.get_or_init(make)
    }

    /// What the figures of the job share.
    pub(super) fn shared(&self) -> &Shared {
        self.shared.get_or_init(|| Shared::of(self.known()))
    }

    /// Computes a figure of any subject of the job, whether a rule asks for it or not.
    pub fn compute(&self, id: FigureId, entity: &Entity) -> Figure {
        let workings = Workings::new(self.known(), self.as_known(entity), self.parameters(), self.shared());
        in_zone(workings.compute(id), &self.zone)
    }

    /// Computes all figures of one subject of the job, in the order of the catalogue, each with the facts it was made from.
    pub fn figures_of(&self, subject: Subject, entity: &Entity) -> Vec<(&'static figures::FigureSpec, Figure, Reads)> {
        let (job, entity) = (self.known(), self.as_known(entity));
        let of_subject = figures::TABLE.iter().filter(|spec| spec.subject == subject);
        let compute = |spec: &'static figures::FigureSpec| {
            let (shared, reads) = (Shared::of(job), Reads::default());
            let figure = Workings::watched(job, entity, self.parameters(), &shared, &reads).compute(spec.id);
            (spec, in_zone(figure, &self.zone), reads)
        };
        of_subject.map(compute).collect()
    }

    /// A subject of the job as far as it is known at the instant.
    fn as_known<'s>(&'s self, entity: &'s Entity) -> &'s Entity {
        let known = self.known();
        if std::ptr::eq(known, self.job) {
            return entity;
        }
        let all = || Subject::ALL.iter().flat_map(|subject| known.of(*subject).unwrap_or(&[]));
        if all().any(|one| std::ptr::eq(one, entity)) {
            return entity;
        }
        all().find(|one| one.path == entity.path).unwrap_or(entity)
    }
}

/// A figure, an instant among them as the clock of the zone will show it.
fn in_zone(mut figure: Figure, zone: &Zone) -> Figure {
    if let Ok(Value::Instant(at)) = &mut figure {
        *at = at.in_zone(zone);
    }
    figure
}
