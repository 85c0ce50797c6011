//! The air in the assemblies: which of them must be without it before anybody works on them, in which it may stay, out of
//! which nothing is let since they may be filled, and how the air is let out, once for all cures.
//!
//! This module must not know which form of report draws it.

use super::papers::{self, Cause};
use super::{Explained, Report, flow};
use crate::document::prose::{laid_out, together};
use crate::engine::Scene;
use crate::pack::{Does, PackText, Rule, numbered};
use crate::record::Entity;
use crate::record::catalogue::{assembly, stages};
use crate::vocabulary::{HoldPoint, Subject};

/// Said of a cure that begins with the air out, where the assembly may be filled.
pub(super) const SETTLED_FIRST: &str =
    "Let nothing out and open nothing until it is settled whether it is filled. If it is not:";

/// What is said of the air once for all cures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Order<'a> {
    /// What the assemblies are called that may be filled: nothing is let out of them.
    closed: Vec<&'a str>,
    /// What those are called out of which the air is let, since a fault is there.
    whose: Vec<&'a str>,
    /// What those are called out of which it is let only if a look at what is written, or is not, does not clear it.
    perhaps: Vec<&'a str>,
    /// What all that asks for the air out of these may come from.
    cause: Cause,
    /// Whether they lie apart on the bench, as far as the record says.
    on_bench: bool,
    /// How it is let out, step by step; none where it is let out of nothing.
    pub(super) steps: &'a [PackText],
}

impl Order<'_> {
    /// Its first sentences, with the assemblies by their marks: what is kept closed, then what is let out.
    pub(super) fn openings(&self) -> Vec<String> {
        let closed = together(&self.closed);
        let it_is = if self.closed.len() == 1 { "it" } else { "they" };
        let keeps = (!self.closed.is_empty()).then(|| {
            format!("Let nothing out of {closed}: {it_is} may be filled. Open nothing until that is settled.")
        });
        let lets = (!self.whose.is_empty()).then(|| {
            let opening = if self.on_bench { "If air went in by now, air out first" } else { "Air out first" };
            format!("{opening}: {}.", together(&self.whose))
        });
        let may_let = (!self.perhaps.is_empty()).then(|| {
            let first = match self.cause {
                Cause::Written => {
                    "Look at the entry first: if it was written wrong, whoever wrote it corrects it, and the air stays in. \
                     If it is right"
                }
                Cause::NotWritten => {
                    "Find out first what is asked for, by asking and by a look from outside; touch no nut, ring or stem for \
                     it. Only if that is not possible, or the fault is there"
                }
                Cause::Either => {
                    "Look at the entries first, and find out what is asked for, by asking and by a look from outside; touch \
                     no nut, ring or stem for it. What was written wrong is corrected by whoever wrote it. Only if that is \
                     not possible, or the fault is there"
                }
            };
            let if_any = if self.on_bench { " and air went in by now" } else { "" };
            format!("{first}{if_any}, air out first: {}.", together(&self.perhaps))
        });
        keeps.into_iter().chain(lets).chain(may_let).collect()
    }

    /// The whole order in lines of a width.
    pub(super) fn draw(&self, out: &mut String, width: usize) {
        for opening in self.openings() {
            out.push('\n');
            out.push_str(&laid_out(&opening, width, "", ""));
            out.push('\n');
        }
        for step in numbered(self.steps.iter().map(PackText::as_str)) {
            out.push_str(&laid_out(&step, width, "  ", "     "));
            out.push('\n');
        }
    }
}

/// The order for the findings whose cures begin with the air out, and for those that leave an assembly closed, if there are
/// any. An assembly that may be filled is let alone, whatever another finding asks of it.
pub(super) fn order<'a>(report: &Report<'a>, findings: &[&Explained<'a>]) -> Option<Order<'a>> {
    let scene = report.scene;
    let wanted: Vec<&Explained<'a>> =
        findings.iter().copied().filter(|finding| finding.rule.told.put_right.wants_air_out()).collect();
    let kept: Vec<&Explained<'a>> = findings.iter().copied().filter(|finding| leaves_closed(finding.rule)).collect();
    let is_fault = |finding: &Explained<'a>| papers::cause(finding).is_none();
    let (mut closed, mut whose, mut perhaps): (Vec<&str>, Vec<&str>, Vec<&str>) = Default::default();
    let mut causes: Vec<&Explained<'a>> = Vec::new();
    // In the order of the record; each stands in one list, and no two have one mark.
    for (index, entity) in scene.covered() {
        let label = entity.label.as_str();
        let asking: Vec<&Explained<'a>> = wanted.iter().copied().filter(|of| concerns(of, index)).collect();
        let is_kept = scene.hold_point() < HoldPoint::AfterFill && kept.iter().any(|of| concerns(of, index));
        if flow::may_be_filled(scene, index) && (is_kept || !asking.is_empty()) {
            closed.push(label);
        } else if asking.iter().copied().any(is_fault) {
            whose.push(label);
        } else if !asking.is_empty() {
            perhaps.push(label);
            causes.extend(asking);
        }
    }
    if !wanted.is_empty() && closed.is_empty() && whose.is_empty() && perhaps.is_empty() {
        let whose = if wanted.iter().copied().any(is_fault) { &mut whose } else { &mut perhaps };
        whose.push("every tyre of the job");
        causes.extend(&wanted);
    }
    let lets_none = whose.is_empty() && perhaps.is_empty();
    let steps = if lets_none { &[] } else { scene.packs().air_out()? };
    let cause = Cause::of_all(causes.iter().filter_map(|finding| papers::cause(finding)));
    let on_bench =
        scene.hold_point() == HoldPoint::BeforeAir && !scene.covered().any(|(_, entity)| tells_of_air(entity));
    (!closed.is_empty() || !lets_none).then_some(Order { closed, whose, perhaps, cause, on_bench, steps })
}

/// Whether the record says of an assembly that air went in.
fn tells_of_air(entity: &Entity) -> bool {
    let told = [assembly::ACT_AIR, stages::SEATED_AT, stages::SEATED_BY, assembly::PRE_STRETCH_LOG];
    told.into_iter().any(|key| entity.facts.get(key).is_some())
}

/// Whether a finding is about an assembly: what is the matter with the cage is the matter with whatever is in it.
fn concerns(finding: &Explained<'_>, assembly: usize) -> bool {
    finding.own().is_none_or(|(subject, entity)| subject != Subject::Assembly || entity == assembly)
}

/// Whether the first step of a cure is to leave a filled assembly closed.
fn leaves_closed(rule: &Rule) -> bool {
    rule.told.put_right.steps.first().is_some_and(|step| step.does == Does::LeavesClosed)
}

/// Whether what a finding is about, or any of it, may be filled, so that nothing is let out of it.
pub(super) fn keeps_closed(finding: &Explained<'_>) -> bool {
    let scene = finding.scene;
    scene.hold_point() >= HoldPoint::AfterFill
        || scene.covered().any(|(index, _)| concerns(finding, index) && flow::may_be_filled(scene, index))
}

/// Whether any assembly of a job may be filled.
pub(super) fn some_may_be_filled(scene: &Scene<'_>) -> bool {
    scene.hold_point() >= HoldPoint::AfterFill || scene.covered().any(|(index, _)| flow::may_be_filled(scene, index))
}

/// That nothing is let out, where a fault says so and nothing that holds the job asks for it, in doubt or not.
pub(super) fn may_stay(faults: &[&Explained<'_>], holding: &[Explained<'_>]) -> Option<&'static str> {
    let scene = faults.first()?.scene;
    let wants = |finding: &Explained<'_>| scene.packs().lets_air_out(&finding.rule.told.put_right);
    let says_so = faults.iter().any(|finding| finding.rule.told.put_right.air.is_some()) && !holding.iter().any(wants);
    says_so.then(|| if some_may_be_filled(scene) { "Let nothing out." } else { "The air may stay in." })
}

/// That nothing is let out, and why: of what may be filled it is an order.
pub(super) fn stays(may_be_filled: bool, because: &str) -> String {
    let said = if may_be_filled { "Let nothing out" } else { "The air may stay in" };
    format!("{said}: {because}.")
}

/// The same on the page of a rule, which knows no job: from the fill on a tyre holds pressure, and no air.
pub(super) fn stays_by_rule(rule: &Rule, because: &str) -> String {
    let filled = |point: HoldPoint| point >= HoldPoint::AfterFill;
    let before = rule.asked_at.iter().any(|point| !filled(point));
    if before && rule.asked_at.iter().any(filled) {
        return format!("The air may stay in; once it is filled, let nothing out: {because}.");
    }
    stays(!before, because)
}
