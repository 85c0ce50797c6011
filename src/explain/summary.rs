//! The counts and figures of a judgement in a few phrases: what the person who signs wants to see.
//!
//! It holds data of its own, so that it may be kept beyond the judgement, and is worded where a form asks for its
//! phrases. Must not know signatures, or what is permitted by whom.

use super::floor::FloorSeen;
use super::words;
use crate::document::prose::together;
use crate::engine::{Aim, Finding, Judgement, Scene};
use crate::figures::FigureId;
use crate::record::catalogue::job;
use crate::record::{Entity, Measured, Value};
use crate::units::{Instant, Quantity, Rounding};
use crate::vocabulary::{HoldPoint, Outcome, Verdict};

/// Counts and figures of a judgement.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// PASS or HOLD.
    pub verdict: Verdict,
    /// Findings that are broken and hold the job.
    pub broken: usize,
    /// Findings that are broken and permitted; without permits there are none.
    pub permitted: usize,
    /// Findings that are not shown and hold the job.
    pub not_shown: usize,
    /// Findings that are met.
    pub met: usize,
    /// Findings of rules that do not apply.
    pub not_applying: usize,
    /// Findings that hold nothing.
    pub advice: usize,
    /// What each assembly is brought to, where target and window are known.
    pub aims: Vec<Aim>,
    /// The mass of mixed material that the job takes, where it is known.
    pub material: Option<Measured>,
    /// The mass that is pumped off before the first fill, where it is recorded.
    pub priming: Option<Quantity>,
    /// When the job is ready to serve, where that is known.
    pub ready: Option<Instant>,
    /// Whether that is counted from the end of the fill; else from its planned start, and it may be later.
    pub filled: bool,
    /// What the record says of the assemblies, the containers and the crew.
    pub floor: FloorSeen,
}

impl Summary {
    /// The summary of a judgement of the scene; of the assemblies those that are to go past the hold point.
    pub fn new(scene: &Scene<'_>, judgement: &Judgement) -> Self {
        let count =
            |wanted: &dyn Fn(&Finding) -> bool| judgement.findings.iter().filter(|finding| wanted(finding)).count();
        let whole = scene.job().whole();
        // Once it is known when each fill ended, the cure counts from there.
        let filled = scene.hold_point() >= HoldPoint::AfterFill;
        let is_fill = scene.hold_point() == HoldPoint::BeforeFill;
        let instant = |id, of: &Entity| match scene.compute(id, of) {
            Ok(Value::Instant(at)) => Some(at),
            _ => None,
        };
        let ready = if filled {
            let cured = scene.covered().map(|(_, assembly)| instant(FigureId::CuredAt, assembly));
            cured.collect::<Option<Vec<_>>>().and_then(|cured| cured.into_iter().max())
        } else {
            whole.filter(|_| is_fill).and_then(|whole| instant(FigureId::ReadyToServe, whole))
        };
        let material = whole.filter(|_| is_fill).and_then(|whole| measured(scene, FigureId::JobMixMass, whole));
        Self {
            verdict: judgement.verdict,
            broken: count(&|finding| finding.holds() && finding.outcome == Outcome::Broken),
            permitted: 0,
            not_shown: count(&|finding| finding.holds() && finding.outcome == Outcome::NotShown),
            met: count(&|finding| finding.outcome == Outcome::Met),
            not_applying: count(&|finding| finding.outcome == Outcome::DoesNotApply),
            advice: count(&Finding::advises),
            aims: scene.aims().each,
            material,
            priming: whole.and_then(|whole| whole.facts.measured(job::PUMP_PRIMING)).map(|priming| priming.shown),
            ready,
            filled,
            floor: FloorSeen::of(scene),
        }
    }

    /// The same with so many of the broken findings permitted: they stay broken, and nobody is to put them right first.
    #[must_use]
    pub fn with_permitted(mut self, permitted: usize) -> Self {
        self.broken = self.broken.saturating_sub(permitted);
        self.permitted = permitted;
        self
    }

    /// The counts of the findings as one phrase.
    pub fn counts_phrase(&self) -> String {
        let mut parts = Vec::new();
        // A job that passes by its permits has nothing left to do.
        if self.verdict == Verdict::Hold && (self.permitted == 0 || self.broken + self.not_shown > 0) {
            parts.push(format!("{} broken", self.broken));
            parts.push(format!("{} not shown", self.not_shown));
        }
        if self.permitted > 0 {
            parts.push(format!("{} broken, permitted", self.permitted));
        }
        parts.push(self.rest_of_counts());
        parts.join(" · ")
    }

    /// The counts of what holds nothing.
    pub(super) fn rest_of_counts(&self) -> String {
        let advice = if self.advice > 0 { format!(" · {} for advice", self.advice) } else { String::new() };
        format!("{} in order · {} do not apply{advice}", self.met, self.not_applying)
    }

    /// The figures, a phrase each.
    pub fn phrases(&self) -> Vec<String> {
        let mut all = self.phrases_of_assemblies();
        all.extend(self.further_phrases());
        all
    }

    /// What each assembly is brought to, and what was read of it.
    pub fn phrases_of_assemblies(&self) -> Vec<String> {
        // Of assemblies of which the same is said it is said once.
        let mut said: Vec<(Vec<&str>, String)> = Vec::new();
        for assembly in &self.floor.assemblies {
            let (name, read) = (assembly.entity.label.as_str(), self.floor.phrase_of(assembly));
            let aim = self.aims.iter().find(|aim| aim.index == assembly.index).filter(|_| !self.filled);
            let phrase = match aim {
                Some(aim) => format!("{}; {read}", target(aim)),
                None => read,
            };
            match said.iter_mut().find(|(_, known)| *known == phrase) {
                Some((names, _)) => names.push(name),
                None => said.push((vec![name], phrase)),
            }
        }
        said.into_iter().map(|(names, phrase)| format!("{}: {phrase}", together(&names))).collect()
    }

    /// What there is to have ready, and from when it serves.
    pub fn further_phrases(&self) -> Vec<String> {
        let priming = self.priming.map(|priming| format!(", {priming} of priming in it")).unwrap_or_default();
        let material = self.material.iter().map(|mass| {
            format!("mix to have ready: {}{priming}", words::figure(mass, mass.shown.unit(), Rounding::Nearest))
        });
        let ready = self.ready.iter().map(|ready| {
            if self.filled {
                format!("ready to serve from {ready}")
            } else {
                format!(
                    "ready to serve not before {ready}; it counts from the end of the fill, and needs a log of the \
                     room where that shortens it"
                )
            }
        });
        material.chain(self.floor.phrases()).chain(ready).collect()
    }
}

/// The target of an assembly and its window.
fn target(aim: &Aim) -> String {
    let (low, high) = (words::number_of(aim.floor, Rounding::Up), words::rounded(aim.ceiling, Rounding::Down));
    format!("target {} (pressure window {low} to {high})", aim.target.as_written())
}

fn measured(scene: &Scene<'_>, id: FigureId, of: &Entity) -> Option<Measured> {
    match scene.compute(id, of) {
        Ok(Value::Measured(measured)) => Some(*measured),
        _ => None,
    }
}
