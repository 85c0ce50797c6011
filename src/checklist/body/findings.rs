//! What every rule says of every subject, and the figures that the rules go by, as they stand in a signed file: named by
//! rule and place, with what decided.
//!
//! Nothing here is the program's own wording. A rule's title is the pack's data. A rule that is met goes by it, or by what
//! was compared where that says the same, so that the file can be read without the pack and stays small. This module must
//! not know signatures.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::faults::{FaultGroup, FaultPart, gathered_faults};
use super::met::{MetName, SeenFact, Values, gathered, gathered_values, line};
use crate::checklist::evidence::{
    Beside, Cited, EvidenceLines, Met, MetLine, computed, met, met_one_by_one, place, subject, value,
};
use crate::checklist::permit::PermittedJudgement;
use crate::engine::{FactPlace, FactValue, Finding, Judgement, Scene};
use crate::figures::{Figure, Lack};
use crate::record::Value;
use crate::vocabulary::Outcome;

/// Every finding, but of the rules that do not apply: those are all others of the packs that the hold point asks for.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Findings {
    /// Broken, or not shown, gathered by subject and by what was shown.
    pub faults: Vec<FaultGroup>,
    /// Met, gathered by what was seen: by fact, and by the name of the rule.
    pub ruled_out: Vec<SeenFact>,
    /// Met, where what was compared says by itself what was looked for.
    #[serde(with = "super::joined")]
    pub values: Values,
}

impl Findings {
    /// What is broken or not shown one by one, by rule and place.
    pub fn each_fault(&self) -> Vec<FaultPart> {
        let mut faults: Vec<FaultPart> = self.faults.iter().flat_map(FaultGroup::each).collect();
        faults.sort_by(|one, other| one.in_order().cmp(&other.in_order()));
        faults
    }
}

/// The findings of a judgement with its permits, and the figures that they go by.
pub(in crate::checklist) fn findings(
    scene: &Scene<'_>,
    judgement: &Judgement,
    permitted: &PermittedJudgement,
) -> (Findings, Figures) {
    let mut cited = Cited::new();
    let mut faults = Vec::new();
    for (finding, permit) in judgement.findings.iter().zip(&permitted.by) {
        if matches!(finding.outcome, Outcome::Broken | Outcome::NotShown) {
            faults.push(fault(scene, finding, permit.is_some(), &mut cited));
        }
    }
    let met_rules = MetRules::of(scene, judgement);
    let told = met_rules.told();
    let judged_at = scene.at().to_record_text();
    let beside = Beside::new(&told, &judged_at);
    let lines = met_rules.titled.iter().map(|(name, rule)| (name.clone(), met(scene, rule, beside, &mut cited)));
    let ruled_out = gathered(lines.collect());
    let lines = met_rules.within.iter().map(|rule| (rule.of, met_one_by_one(scene, &rule.met, beside, &mut cited)));
    let values = gathered_values(lines.collect());
    let figures = figures(scene, &cited);
    (Findings { faults: gathered_faults(faults), ruled_out, values }, figures)
}

/// The rules that are met, by how they stand in a file.
struct MetRules<'s> {
    /// Those that stand by their names.
    titled: Vec<(String, Vec<Met<'s>>)>,
    /// Those that stand by what was compared.
    within: Vec<Within<'s>>,
}

/// A rule that stands by what was compared.
struct Within<'s> {
    /// Its name; it is of the first pack.
    name: &'s str,
    /// The word of what it speaks of.
    of: &'static str,
    met: Vec<Met<'s>>,
}

impl<'s> MetRules<'s> {
    fn of(scene: &'s Scene<'_>, judgement: &Judgement) -> Self {
        let mut found = Self { titled: Vec::new(), within: Vec::new() };
        let same_rule = |one: &Finding, other: &Finding| (one.pack, one.rule) == (other.pack, other.rule);
        for of_rule in judgement.findings.chunk_by(same_rule) {
            let with_met = || of_rule.iter().filter(|finding| finding.outcome == Outcome::Met);
            let Some((first, rule)) = with_met().next().and_then(|first| Some((first, scene.rule(first)?))) else {
                continue;
            };
            let pack = scene.packs().packs().get(first.pack).filter(|_| first.pack > 0).map(|pack| pack.name.as_str());
            let met: Vec<Met<'_>> = with_met().map(|finding| Met::of(scene, finding)).collect();
            let others = met.len() < of_rule.len();
            // A title says also of whom a rule was met, and by which pack it was asked.
            if pack.is_none() && !others && met.iter().all(Met::speaks_for_itself) {
                found.within.push(Within { name: &rule.name, of: rule.covers.word(), met });
            } else {
                let places = with_met().filter(|_| others).map(|finding| place(&scene.place(finding)));
                let name = MetName {
                    pack: pack.map(str::to_owned),
                    rule: rule.name.to_string(),
                    title: rule.title.to_string(),
                    of: places.collect(),
                };
                found.titled.push((name.to_string(), met));
            }
        }
        found
    }

    /// The facts whose values stand in lines.
    fn told(&self) -> BTreeSet<FactPlace<'s>> {
        let within = self.within.iter().map(|rule| &rule.met);
        self.titled.iter().map(|(_, met)| met).chain(within).flatten().flat_map(Met::told).collect()
    }
}

/// What a rule asked of a fact that stands among the values of a file, which do not name the rule.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct AskedByRule {
    /// The word of what the rule speaks of, under which the value stands.
    pub of: &'static str,
    /// The fact with what was asked of it, as a line: `FACT VALUE TEST BOUND ORIGIN...`.
    pub line: String,
    /// The name of the rule; it is of the first pack.
    pub rule: String,
}

/// Which rules asked for what stands among the values of a file that is made of this judgement.
pub fn asked_by_rules(scene: &Scene<'_>, judgement: &Judgement) -> Vec<AskedByRule> {
    let met_rules = MetRules::of(scene, judgement);
    let told = met_rules.told();
    let judged_at = scene.at().to_record_text();
    let beside = Beside::new(&told, &judged_at);
    let of_rule = |Within { name, of, met }: &Within<'_>| {
        let lines = met_one_by_one(scene, met, beside, &mut Cited::new());
        let one =
            |MetLine { seen, asked, .. }| AskedByRule { of, line: line(&seen, &asked.text), rule: (*name).to_owned() };
        lines.into_iter().map(one).collect::<Vec<_>>()
    };
    met_rules.within.iter().flat_map(of_rule).collect()
}

fn title(scene: &Scene<'_>, finding: &Finding) -> String {
    scene.rule(finding).map(|rule| rule.title.to_string()).unwrap_or_default()
}

/// A finding that is broken or not shown.
fn fault<'s>(scene: &'s Scene<'_>, finding: &Finding, permitted: bool, cited: &mut Cited<'s>) -> FaultPart {
    let (subject, mark) = subject(scene, finding);
    let EvidenceLines { applies, shown } = EvidenceLines::citing(scene, finding, cited);
    FaultPart {
        advice: !finding.holds(),
        applies,
        mark,
        outcome: finding.outcome,
        permitted,
        rule: scene.code_of(finding),
        shown,
        subject,
        title: title(scene, finding),
    }
}

/// The computed quantities that the findings cite: by the place of their subject, which is empty for the job, then by name.
/// Each is its value as a line of evidence writes it, where that is no yes or no, which stands in its line; of one that
/// could not be computed, what stands in the way, and the facts that are missing or cannot be used.
pub type Figures = BTreeMap<String, BTreeMap<String, String>>;

/// The computed quantities that findings cite.
fn figures(scene: &Scene<'_>, cited: &Cited<'_>) -> Figures {
    let mut found = Figures::new();
    for id in scene.packs().figures() {
        let Some(spec) = id.spec() else { continue };
        for (index, entity) in scene.job().of(spec.subject).unwrap_or_default().iter().enumerate() {
            if cited.contains(&FactPlace::of_figure(&entity.path, spec.name))
                && let Some(figure) = scene.figure(*id, spec.subject, index)
                && !matches!(figure, Ok(Value::Flag(_)))
            {
                let of_subject = found.entry(place(&entity.path)).or_default();
                of_subject.insert(spec.name.to_owned(), told(scene, figure));
            }
        }
    }
    found
}

fn told(scene: &Scene<'_>, figure: &Figure) -> String {
    let (found, lack) = match figure {
        Ok(value) => return computed(value),
        Err(lack @ Lack::Missing(_)) => (FactValue::NotRecorded, lack),
        Err(lack @ Lack::Obstacle { obstacle, .. }) => (FactValue::Obstacle(obstacle.clone()), lack),
    };
    let facts = lack.facts().iter().map(|key| scene.packs().catalogue().full_name(*key));
    std::iter::once(value(&found)).chain(facts).collect::<Vec<_>>().join(" ")
}
