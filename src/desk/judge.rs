//! The act of judging: a record, the packs that judge it, the instant at which they do, and the zone of the shop.

use super::world::Source;
use super::{Refusal, packs};
use crate::document::Document;
use crate::engine::{Judgement, Scene};
use crate::explain::{AtFrom, Report};
use crate::pack::PackSet;
use crate::record::shop::{self, Shop, UsedEntry};
use crate::record::{self, Job};
use crate::units::{Instant, Zone};

/// A record that can be judged: everything that a judgement, its report and its figures are made of.
#[derive(Debug)]
pub struct Case {
    /// The packs in force.
    pub packs: PackSet,
    /// The record with what it names of the shop file: its places lie in the two texts laid end to end.
    pub document: Document,
    /// The entries of the shop file that it names.
    pub used: Vec<UsedEntry>,
    /// The record as it is understood.
    pub job: Job,
    /// The instant.
    pub at: Instant,
    /// Where the instant came from.
    pub at_from: AtFrom,
    /// Where the shop lies.
    pub zone: Zone,
}

impl Case {
    /// Takes the packs and the record.
    ///
    /// # Errors
    /// The faults of their texts, those of the packs first.
    pub fn new(
        record: &Source,
        shop: Option<&Shop>,
        local: &[Source],
        (at, at_from): (Instant, AtFrom),
        zone: Zone,
    ) -> Result<Self, Refusal> {
        let packs = packs(local)?;
        let written = record.document()?;
        let shop::Expanded { document, used } = shop::expand(written, shop, packs.catalogue(), &zone, at)?;
        let job = record::read(&document, packs.catalogue(), &zone)?;
        Ok(Self { packs, document, used, job, at, at_from, zone })
    }

    /// The scene for judging it.
    pub fn scene(&self) -> Scene<'_> {
        Scene::new(&self.packs, &self.job, self.at, &self.zone)
    }

    /// Judges it.
    pub fn judge(&self) -> (Judgement, Report) {
        let scene = self.scene();
        let judgement = scene.judge();
        let report = Report::new(&scene, &judgement, &self.document, self.at_from);
        (judgement, report)
    }
}
