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

use crate::common;
use crate::common::tree::{Step, at, paths, with, without};

/// The base pack.
pub(super) static PACKS: LazyLock<PackSet> = LazyLock::new(|| PackSet::base().unwrap());

/// Every job of the demo shop: its file and its tree.
pub(super) static DEMO: LazyLock<Vec<(String, Value)>> = LazyLock::new(|| {
    let files = common::files("shared/demo/jobs", ".yaml").into_iter();
    files.map(|file| (file.clone(), serde_yaml::from_str(&common::read(&file)).unwrap())).collect()
});

/// A change of one value.
#[derive(Debug, Clone)]
pub(super) enum Change {
    /// Taken out of the record.
    Out,
    /// A number multiplied by thousandths; anything else is taken out.
    Scaled(u32),
    /// A flag turned round; anything else is left as it is.
    Turned,
}

/// A demo job and the changes made to it.
#[derive(Debug, Clone)]
pub(super) struct Made {
    job: Index,
    changes: Vec<(Index, Change)>,
}

/// Random records; with `most` changes at most.
pub(super) fn made(most: usize) -> impl Strategy<Value = Made> {
    let change = prop_oneof![
        1 => Just(Change::Out),
        4 => prop::sample::select(vec![100, 500, 900, 970, 995, 1_005, 1_030, 1_100, 1_500, 3_000]).prop_map(Change::Scaled),
        1 => Just(Change::Turned),
    ];
    let changes = prop::collection::vec((any::<Index>(), change), 0..=most);
    (any::<Index>(), changes).prop_map(|(job, changes)| Made { job, changes })
}

/// A record, the hold point whose rules judge it, and when.
pub(super) type Judgeable = (String, Value, HoldPoint, Instant);

/// Every job of the demo shop before the fill, and the carried job at each hold point.
static EVERY: LazyLock<Vec<Judgeable>> = LazyLock::new(|| {
    let demo = DEMO.iter().map(|(name, tree)| (name.clone(), tree.clone(), HoldPoint::BeforeFill, common::demo_at()));
    let carried = common::files("shared/demo/carried", ".yaml").into_iter().map(|file| {
        let (point, at) = crate::hold_points::judged(&file);
        (file.clone(), serde_yaml::from_str(&common::read(&file)).unwrap(), point, at)
    });
    // The carried records are few, and each stands for a hold point.
    let carried: Vec<Judgeable> = carried.collect();
    demo.chain(std::iter::repeat_n(carried, 4).flatten()).collect()
});

impl Made {
    /// The name of the demo job and the changed tree.
    pub(super) fn tree(&self) -> (&'static str, Value) {
        let (name, tree) = self.job.get(&DEMO);
        (name, self.changed(tree))
    }

    /// A record of any hold point, changed.
    pub(super) fn anywhere(&self) -> Judgeable {
        let (name, tree, point, at) = self.job.get(&EVERY);
        (name.clone(), self.changed(tree), *point, *at)
    }

    fn changed(&self, tree: &Value) -> Value {
        let mut tree = tree.clone();
        for (place, change) in &self.changes {
            let scalars = scalars(&tree);
            if !scalars.is_empty() {
                let path: &Vec<Step> = place.get(&scalars);
                tree = changed(&tree, path, change);
            }
        }
        tree
    }
}

/// The paths of all values that are neither lists nor mappings.
pub(super) fn scalars(tree: &Value) -> Vec<Vec<Step>> {
    let mut all = Vec::new();
    paths(tree, &[], &mut all);
    all.retain(|path| !matches!(at(tree, path), Some(Value::Mapping(_) | Value::Sequence(_)) | None));
    all
}

pub(super) fn changed(tree: &Value, path: &[Step], change: &Change) -> Value {
    let value = at(tree, path).unwrap();
    match change {
        Change::Turned => match value {
            Value::Bool(flag) => with(tree, path, Value::Bool(!flag)),
            _ => tree.clone(),
        },
        Change::Scaled(thousandths) => match scaled(value, *thousandths) {
            Some(new) => with(tree, path, new),
            None => without(tree, path),
        },
        Change::Out => without(tree, path),
    }
}

/// A number, with or without a unit, times thousandths, in four decimals.
pub(super) fn scaled(value: &Value, thousandths: u32) -> Option<Value> {
    let (number, unit) = match value {
        Value::Number(number) => (number.as_f64()?, ""),
        Value::String(text) => text.split_once(' ').and_then(|(number, unit)| Some((number.parse().ok()?, unit)))?,
        _ => return None,
    };
    let number = (number * f64::from(thousandths) * 10.0).round() / 10_000.0;
    Some(match unit {
        "" if number.fract() == 0.0 => serde_yaml::from_str(&format!("{number:.0}")).unwrap(),
        "" => serde_yaml::from_str(&format!("{number}")).unwrap(),
        unit => Value::String(format!("{number} {unit}")),
    })
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
