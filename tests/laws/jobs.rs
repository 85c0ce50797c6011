//! Random records: a job of the demo shop with a few of its values changed, and what the base pack says of it.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use fillward::document::Document;
use fillward::engine::Scene;
use fillward::pack::{OnFault, PackSet};
use fillward::record::{self, Job};
use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, Outcome, Verdict};
use proptest::prelude::*;
use proptest::sample::Index;
use serde_yaml::Value;

use super::changes::{Change, change};
use crate::common;
use crate::common::tree::{Step, at, paths};

/// The base pack.
pub(super) static PACKS: LazyLock<PackSet> = LazyLock::new(|| PackSet::base().unwrap());

/// Every job of the demo shop: its file and its tree.
pub(super) static DEMO: LazyLock<Vec<(String, Value)>> = LazyLock::new(|| {
    let files = common::files("shared/demo/jobs", ".yaml").into_iter();
    files.map(|file| (file.clone(), serde_yaml::from_str(&common::read(&file)).unwrap())).collect()
});

/// A demo job and the changes made to it.
#[derive(Debug, Clone)]
pub(super) struct Made {
    job: Index,
    changes: Vec<(Index, Change)>,
}

/// Random records; with `most` changes at most.
pub(super) fn made(most: usize) -> impl Strategy<Value = Made> {
    let changes = prop::collection::vec((any::<Index>(), change()), 0..=most);
    (any::<Index>(), changes).prop_map(|(job, changes)| Made { job, changes })
}

/// A record, the hold point whose rules judge it, and when.
pub(super) type Judgeable = (String, Value, HoldPoint, Instant);

/// Every job of the demo shop before the fill, the carried job at each hold point, and of every rule and hold point a record
/// with which it finds fault, most of them alone.
pub(super) static EVERY: LazyLock<Vec<Judgeable>> = LazyLock::new(|| {
    let demo = DEMO.iter().map(|(name, tree)| (name.clone(), tree.clone(), HoldPoint::BeforeFill, common::demo_at()));
    let carried = common::files("shared/demo/carried", ".yaml").into_iter().map(|file| {
        let (point, at) = crate::hold_points::judged(&file);
        (file.clone(), serde_yaml::from_str(&common::read(&file)).unwrap(), point, at)
    });
    // The carried records are few, and each stands for a hold point.
    let carried: Vec<Judgeable> = carried.collect();
    demo.chain(std::iter::repeat_n(carried, 4).flatten()).chain(crate::sole::records()).collect()
});

/// Those of them that are judged before the fill at the instant of the demo.
static BEFORE_FILL: LazyLock<Vec<&Judgeable>> = LazyLock::new(|| {
    let of = |(_, _, point, at): &&Judgeable| (*point, *at) == (HoldPoint::BeforeFill, common::demo_at());
    EVERY.iter().filter(of).collect()
});

impl Made {
    /// A record before the fill, changed, and its name.
    pub(super) fn tree(&self) -> (&'static str, Value) {
        let (name, tree, ..) = *self.job.get(BEFORE_FILL.as_slice());
        (name, self.changed(tree))
    }

    /// A job of the demo shop, changed, and its name.
    pub(super) fn demo(&self) -> (&'static str, Value) {
        let (name, tree) = self.job.get(DEMO.as_slice());
        (name, self.changed(tree))
    }

    /// A record of any hold point, changed.
    pub(super) fn anywhere(&self) -> Judgeable {
        let (name, tree, point, at) = self.job.get(EVERY.as_slice());
        (name.clone(), self.changed(tree), *point, *at)
    }

    fn changed(&self, tree: &Value) -> Value {
        self.changes.iter().fold(tree.clone(), |tree, (place, change)| change.made(&tree, *place))
    }
}

/// The paths of all values that are neither lists nor mappings.
pub(super) fn scalars(tree: &Value) -> Vec<Vec<Step>> {
    let mut all = Vec::new();
    paths(tree, &[], &mut all);
    all.retain(|path| !matches!(at(tree, path), Some(Value::Mapping(_) | Value::Sequence(_)) | None));
    all
}

/// What a judgement said: the verdict, and the outcome of every holding rule for each subject.
pub(crate) struct Judged {
    pub(crate) verdict: Verdict,
    pub(crate) outcomes: BTreeMap<(String, String), Outcome>,
}

impl Judged {
    /// The rules that hold here and are in order there, each with its subject.
    pub(super) fn cleared<'j>(&'j self, after: &Judged) -> Vec<&'j (String, String)> {
        let in_order = |key: &&_| matches!(after.outcomes.get(*key), Some(Outcome::Met | Outcome::DoesNotApply));
        self.holding().filter(in_order).collect()
    }

    /// The rules that hold, each with its subject.
    pub(super) fn holding(&self) -> impl Iterator<Item = &(String, String)> {
        self.outcomes
            .iter()
            .filter(|(_, outcome)| matches!(outcome, Outcome::Broken | Outcome::NotShown))
            .map(|(key, _)| key)
    }
}

/// The job of a tree; `None` where it is refused.
pub(super) fn read(packs: &PackSet, tree: &Value) -> Option<Job> {
    let text = serde_yaml::to_string(tree).unwrap();
    let document = Document::read("job.yaml", text.as_bytes()).ok()?;
    record::read(&document, packs.catalogue(), &common::demo_zone()).ok()
}

/// Judges a tree by `packs` on the demo morning; `None` where it is refused.
pub(crate) fn judged(packs: &PackSet, tree: &Value) -> Option<Judged> {
    judged_at(packs, tree, HoldPoint::BeforeFill)
}

/// What a record gives at a hold point; nothing where it is refused.
pub(crate) fn judged_at(packs: &PackSet, tree: &Value, point: HoldPoint) -> Option<Judged> {
    judged_then(packs, tree, point, common::demo_at())
}

/// What a record gives at a hold point and at an instant.
pub(super) fn judged_then(packs: &PackSet, tree: &Value, point: HoldPoint, at: Instant) -> Option<Judged> {
    let job = read(packs, tree)?;
    let scene = Scene::new(packs, &job, at, &common::demo_zone()).at_hold_point(point);
    Some(outcomes(&scene))
}

/// What a scene says.
pub(super) fn outcomes(scene: &Scene<'_>) -> Judged {
    let judgement = scene.judge();
    let outcomes = judgement.findings.iter().filter(|finding| finding.on_fault == OnFault::Hold).map(|finding| {
        let rule = scene.rule(finding).unwrap().name.to_string();
        let subject = scene.entity(finding).map_or_else(String::new, |entity| entity.label.clone());
        ((rule, subject), finding.outcome)
    });
    Judged { verdict: judgement.verdict, outcomes: outcomes.collect() }
}
