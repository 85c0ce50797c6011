//! What every rule says of every subject, and the figures that the rules go by, as they stand in a signed file: named by
//! rule and place, with what decided.
//!
//! Nothing here is the program's own wording. A rule's title is the pack's data; rules that are met go by it, so that the
//! file can be read without the pack and stays small. This module must not know signatures.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::checklist::evidence::{Cited, Evidence, FIGURE, called, code, computed, met, place, subject, value};
use crate::checklist::jws::nullable;
use crate::checklist::permit::Permitted;
use crate::engine::{Finding, Judgement, Known, Outcome, Scene};
use crate::figures::{Figure, Lack};

/// Every finding, but of the rules that do not apply: those are all others of the packs that the hold point asks for.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Findings {
    /// Broken, or not shown.
    pub faults: Vec<FaultPart>,
    /// Met, gathered by what was seen.
    pub met: Met,
}

/// Rules that are met: by the first fact that met them with its values, `FACT VALUE`, then by their titles. A figure has its
/// value in [`Figures`]; a title is that of [`titled`]. Each has what was asked of that fact, and a whole line for each further one; it has nothing where nothing
/// was asked that the rule does not spell out in its own words.
pub type Met = BTreeMap<String, BTreeMap<String, Vec<String>>>;

/// A rule that is met.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct MetPart {
    /// The name by which it stands in [`Met`].
    pub title: String,
    /// What met it, a line for each fact.
    pub shown: Vec<String>,
}

/// Between the title of a rule and the places of the subjects for which it came out in one way, where others did not.
const OF: &str = " @ ";

/// The name of a rule among those that are met: its title, behind the name of its pack where that is not the first.
pub fn titled(packs: &[impl AsRef<str>], pack: usize, title: &str) -> String {
    match packs.get(pack).filter(|_| pack > 0) {
        Some(name) => format!("{}: {title}", name.as_ref()),
        None => title.to_owned(),
    }
}

impl MetPart {
    /// The name of the rule, and the places of its subjects where it is not met for all.
    pub fn parts(&self) -> (&str, Option<&str>) {
        match self.title.rsplit_once(OF) {
            Some((title, places)) => (title, Some(places)),
            None => (&self.title, None),
        }
    }
}

impl Findings {
    /// The rules that are met, by their titles, each with all of its lines. A title that stands twice is there twice.
    pub fn each_met(&self) -> Vec<MetPart> {
        let line = |seen: &str, asked: &str| if asked.is_empty() { seen.to_owned() } else { format!("{seen} {asked}") };
        let one = |seen: &str, (title, asked): (&String, &Vec<String>)| {
            let (first, more) = asked.split_first().map_or(("", &[][..]), |(first, more)| (first.as_str(), more));
            let whole = std::iter::once(line(seen, first)).chain(more.iter().cloned());
            MetPart { title: title.clone(), shown: whole.filter(|line| !line.is_empty()).collect() }
        };
        let mut found: Vec<MetPart> =
            self.met.iter().flat_map(|(seen, rules)| rules.iter().map(|rule| one(seen, rule))).collect();
        found.sort();
        found
    }

    fn add_met(&mut self, title: String, lines: Vec<(String, String)>) {
        let mut lines = lines.into_iter();
        let (seen, first) = lines.next().unwrap_or_default();
        let more: Vec<String> =
            lines.map(|(seen, asked)| if asked.is_empty() { seen } else { format!("{seen} {asked}") }).collect();
        let asked = if first.is_empty() && more.is_empty() { more } else { [vec![first], more].concat() };
        self.met.entry(seen).or_default().insert(title, asked);
    }
}

/// A finding that is broken or not shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FaultPart {
    /// What makes the rule apply, or leaves open whether it does.
    pub applies: Vec<String>,
    /// Whether it holds the job, or is advice.
    pub holds: bool,
    /// The name that the record gives the subject; null for the job, and where it gives none.
    #[serde(deserialize_with = "nullable")]
    pub mark: Option<String>,
    /// `broken` or `not shown`.
    pub outcome: String,
    /// Whether one of the permits sets it aside.
    pub permitted: bool,
    /// `pack/rule`.
    pub rule: String,
    /// What breaks the demand, or leaves it open.
    pub shown: Vec<String>,
    /// The place of the subject in the record; empty for the job as a whole.
    pub subject: String,
    /// The rule's title.
    pub title: String,
}

impl FaultPart {
    /// What decided it, as a permit names it.
    pub fn evidence(&self) -> Evidence {
        Evidence { applies: self.applies.clone(), shown: self.shown.clone() }
    }

    /// The subject in words.
    pub fn subject_words(&self) -> String {
        called(self.mark.as_deref(), &self.subject)
    }
}

/// The findings of a judgement with its permits, and the figures that they go by.
pub(in crate::checklist) fn findings(
    scene: &Scene<'_>,
    judgement: &Judgement,
    permitted: &Permitted,
) -> (Findings, Figures) {
    let mut found = Findings::default();
    let mut cited = Cited::new();
    let packs: Vec<&str> = scene.packs().packs().iter().map(|pack| pack.name.as_str()).collect();
    let mut rest = judgement.findings.as_slice();
    let mut permits = permitted.by.iter();
    while let Some(first) = rest.first() {
        let same_rule = |finding: &&Finding| finding.pack == first.pack && finding.rule == first.rule;
        let (of_rule, later) = rest.split_at(rest.iter().take_while(same_rule).count());
        rest = later;
        let with_met = || of_rule.iter().filter(|finding| finding.outcome == Outcome::Met);
        if with_met().next().is_some() {
            let mut name = titled(&packs, first.pack, &title(scene, first));
            if with_met().count() < of_rule.len() {
                let places: Vec<String> = with_met().map(|finding| place(&scene.place(finding))).collect();
                name = format!("{name}{OF}{}", places.join(" "));
            }
            found.add_met(name, met(scene, with_met(), &mut cited));
        }
        for (finding, permit) in of_rule.iter().zip(permits.by_ref()) {
            if matches!(finding.outcome, Outcome::Broken | Outcome::NotShown) {
                found.faults.push(fault(scene, finding, permit.is_some(), &mut cited));
            }
        }
    }
    let figures = figures(scene, &cited);
    (found, figures)
}

fn title(scene: &Scene<'_>, finding: &Finding) -> String {
    scene.rule(finding).map(|rule| rule.title.clone()).unwrap_or_default()
}

/// A finding that is broken or not shown.
fn fault(scene: &Scene<'_>, finding: &Finding, permitted: bool, cited: &mut Cited) -> FaultPart {
    let (subject, mark) = subject(scene, finding);
    let Evidence { applies, shown } = Evidence::citing(scene, finding, cited);
    FaultPart {
        applies,
        holds: finding.holds(),
        mark,
        outcome: finding.outcome.word().to_owned(),
        permitted,
        rule: code(scene, finding),
        shown,
        subject,
        title: title(scene, finding),
    }
}

/// The computed quantities that the findings cite: by the place of their subject, which is empty for the job, then by name.
/// Each is its value as a line of evidence writes it; of one that could not be computed, what stands in the way, and the
/// facts that are missing or cannot be used.
pub type Figures = BTreeMap<String, BTreeMap<String, String>>;

/// The computed quantities that findings cite.
fn figures(scene: &Scene<'_>, cited: &BTreeSet<String>) -> Figures {
    let mut found = Figures::new();
    for id in scene.packs().figures() {
        let Some(spec) = id.spec() else { continue };
        for (index, entity) in scene.job().of(spec.subject).unwrap_or_default().iter().enumerate() {
            if let Some(figure) = scene.figure(*id, spec.subject, index)
                && cited.contains(&entity.path.child(FIGURE).child(spec.name).to_string())
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
        Err(lack @ Lack::Missing(_)) => (Known::NotRecorded, lack),
        Err(lack @ Lack::Obstacle { obstacle, .. }) => (Known::Obstacle(obstacle.clone()), lack),
    };
    let facts = lack.facts().iter().map(|key| scene.packs().catalogue().full_name(*key));
    std::iter::once(value(&found)).chain(facts).collect::<Vec<_>>().join(" ")
}
