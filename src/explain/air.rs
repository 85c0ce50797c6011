//! The air in the assemblies: which of them must be without it before anybody works on them, in which it may stay, and how it
//! is let out, once for all cures.
//!
//! This module must not know which form of report draws it.

use super::{Explained, Report, papers};
use crate::document::prose::laid_out;
use crate::pack::{Air, PackText, Rule, numbered};
use crate::vocabulary::{HoldPoint, Subject};

/// The order to let the air out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Order<'a> {
    /// What the assemblies are called.
    pub(super) whose: Vec<&'a str>,
    /// Whether all that asks for it is on paper, and may be a slip of the pen: then the entry is looked at first.
    pub(super) on_paper: bool,
    /// How it is let out, step by step.
    pub(super) steps: &'a [PackText],
}

impl Order<'_> {
    /// Its first words, with the assemblies by their marks.
    pub(super) fn opening(&self) -> String {
        let whose = self.whose.join(" and ");
        if self.on_paper {
            format!(
                "Look at the entry first: if it was written wrong, whoever wrote it corrects it, and the air stays in. \
                 If it stands, air out first: {whose}."
            )
        } else {
            format!("Air out first: {whose}.")
        }
    }

    /// The whole order in lines of a width.
    pub(super) fn draw(&self, out: &mut String, width: usize) {
        out.push('\n');
        out.push_str(&laid_out(&self.opening(), width, "", ""));
        out.push('\n');
        for step in numbered(self.steps.iter().map(PackText::as_str)) {
            out.push_str(&laid_out(&step, width, "  ", "     "));
            out.push('\n');
        }
    }
}

/// The order for the findings whose cures begin with the air out, if there are any.
pub(super) fn order<'a>(report: &Report<'a>, findings: &[&Explained<'a>]) -> Option<Order<'a>> {
    let wanted = || findings.iter().filter(|finding| finding.rule.told.put_right.wants_air_out());
    let mut whose: Vec<&str> = Vec::new();
    for finding in wanted() {
        let own = match (finding.rule.covers, report.scene.entity(&finding.finding)) {
            (Subject::Assembly, Some(entity)) => vec![entity.label.as_str()],
            // What is the matter with the cage is the matter with whatever is in it.
            _ => report.scene.covered().map(|(_, entity)| entity.label.as_str()).collect(),
        };
        whose.extend(own);
    }
    // In the order of the record, each once.
    let in_order = report.scene.covered().map(|(_, entity)| entity.label.as_str());
    let mut named: Vec<&str> = in_order.filter(|label| whose.contains(label)).collect();
    named.dedup();
    if named.is_empty() {
        named.push("every tyre of the job");
    }
    let on_paper = wanted().all(|finding| papers::is_on_paper(finding));
    let steps = report.scene.packs().air_out().filter(|_| wanted().next().is_some())?;
    Some(Order { whose: named, on_paper, steps })
}

/// That nothing is let out, where no finding asks for it and one says so.
pub(super) fn may_stay(findings: &[&Explained<'_>]) -> Option<&'static str> {
    let mut airs =
        findings.iter().filter_map(|finding| finding.rule.told.put_right.air.as_ref().map(|air| (*finding, air)));
    let first = airs.next()?;
    let all_stay = std::iter::once(first).chain(airs).all(|(_, air)| matches!(air, Air::Stays { .. }));
    all_stay.then(|| keeps(first.0.rule)).map(|filled| if filled { "Let nothing out." } else { "The air may stay in." })
}

/// Whether a rule is asked of what is filled: that holds pressure, and no air.
fn keeps(rule: &Rule) -> bool {
    rule.asked_at.iter().all(|point| *point >= HoldPoint::AfterFill)
}

/// That nothing is let out, and why.
pub(super) fn stays(rule: &Rule, because: &str) -> String {
    let said = if keeps(rule) { "Let nothing out" } else { "The air may stay in" };
    format!("{said}: {because}.")
}
