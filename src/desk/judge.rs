//! The act of judging: a record, the packs that judge it, the instant at which they do, and the zone of the shop.
//!
//! Must not know signatures, or how a report is drawn.

use super::world::NamedBytes;
use super::{Refusal, Unfit, packs};
use crate::document::Document;
use crate::engine::Scene;
use crate::explain::{AtFrom, Report};
use crate::pack::PackSet;
use crate::record::shop::{self, Shop, UsedEntry};
use crate::record::{self, Job};
use crate::units::{Instant, Zone};
use crate::vocabulary::HoldPoint;

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
    /// At which hold point it is judged, and of which assemblies.
    pub passage: Passage,
}

/// What is to be judged of a job.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Passage {
    /// The hold point.
    pub point: HoldPoint,
    /// The assemblies that are to go past it, by their marks; empty is all of them.
    pub assemblies: Vec<String>,
}

impl Case {
    /// Takes the packs and the record.
    ///
    /// # Errors
    /// [`Unfit::ZoneOfAnotherShop`]; the faults of their texts, those of the packs first.
    pub fn new(
        record: &NamedBytes,
        shop: Option<&Shop>,
        local: &[NamedBytes],
        (at, at_from): (Instant, AtFrom),
        zone: Zone,
        passage: Passage,
    ) -> Result<Self, Refusal> {
        if let Some(shop) = shop.map(Shop::zone).filter(|of_shop| **of_shop != zone) {
            return Err(Unfit::ZoneOfAnotherShop { given: zone, shop: shop.clone() }.into());
        }
        // The record is read first, since what its readers need for a while then serves the packs, which stay.
        let written = record.document();
        let packs = packs(local)?;
        let written = written?;
        let shop::Expanded { document, used } = shop::expand(written, shop, &packs, &zone, at)?;
        let job = record::read(&document, packs.catalogue(), &zone)?;
        let case = Self { packs, document, used, job, at, at_from, zone, passage };
        if !case.passage.assemblies.is_empty() {
            case.try_scene()?;
        }
        Ok(case)
    }

    /// The scene for judging it.
    pub fn scene(&self) -> Scene<'_> {
        // Whether every assembly is there was seen when it was taken.
        self.try_scene().unwrap_or_else(|_| self.whole_scene())
    }

    fn whole_scene(&self) -> Scene<'_> {
        Scene::new(&self.packs, &self.job, self.at, &self.zone).at_hold_point(self.passage.point)
    }

    fn try_scene(&self) -> Result<Scene<'_>, Unfit> {
        let scene = self.whole_scene();
        if self.passage.assemblies.is_empty() {
            return Ok(scene);
        }
        scene.covering(&self.passage.assemblies).map_err(|mark| Unfit::NoSuchAssembly { mark })
    }

    /// Judges it, on a scene of its own.
    pub fn report<'a>(&'a self, scene: &'a Scene<'a>) -> Report<'a> {
        Report::new(scene, scene.judge(), &self.document, self.at_from)
    }
}
