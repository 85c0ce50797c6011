//! What a cure does first, in the brief report: what must be so of the air, the steps up to the first that does something,
//! and how many more there are.
//!
//! Must not know how lines are drawn.

use std::collections::BTreeMap;

use crate::document::prose::whole;
use crate::explain::papers::{self, Cause};
use crate::explain::{Explained, air};
use crate::pack::{Air, Cure, CureStep, Does, first_deed};
use crate::vocabulary::{HoldPoint, Outcome};

/// What a cure does first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct FirstDeed {
    /// What is said before it: whether it is so, until when, and what must be so of the air.
    opening: String,
    /// Whether a sentence ends there, of the air.
    begins: bool,
    /// The steps, in the pack's own words; nothing where they stand before it in the same group.
    steps: Option<String>,
    /// Where the steps behind them are told.
    further: Option<String>,
}

/// Where steps were told, by their words: the code of the first of the faults.
pub(super) type ToldSteps = BTreeMap<String, String>;

impl FirstDeed {
    /// It as a line. What was told of another fault of the report is not told again, but what must be so of the air is.
    pub(super) fn line(&self, code: &str, told: &mut ToldSteps) -> String {
        let Self { opening, begins, steps, further } = self;
        let steps = steps.as_ref().map(|steps| {
            let known = told.get(steps).cloned();
            let same = if *begins { "The same" } else { "the same" };
            told.entry(steps.clone()).or_insert_with(|| code.to_owned());
            match known {
                None => format!("{opening}{steps}"),
                Some(known) if known == code => format!("{opening}{same} as above."),
                Some(known) => format!("{opening}{same} as for {}.", whole(&known)),
            }
        });
        steps.into_iter().chain(further.clone()).collect::<Vec<_>>().join(" ")
    }
}

/// The first deed of each finding of a group, once, and where the steps behind it are told.
pub(super) fn deeds(group: &[&Explained<'_>]) -> Vec<FirstDeed> {
    let mut deeds: Vec<FirstDeed> = Vec::new();
    let mut cures: Vec<(&Cure, String)> = Vec::new();
    for finding in group {
        // Where time alone clears it, what is to be done is to wait; of a filled tyre it is told how.
        if finding.scene.hold_point() < HoldPoint::AfterFill && finding.waits().is_some() {
            continue;
        }
        let cure = &finding.rule.told.put_right;
        let opening = if finding.outcome() == Outcome::NotShown { "if it is so: " } else { "do: " };
        let until = papers::pot_life(finding).map(|until| format!("{until}: ")).unwrap_or_default();
        let steps = finding.steps();
        let told = told(&steps);
        let opening = format!("{opening}{until}{}", air_first(finding));
        let line = format!("{opening}{}", told.join(" "));
        let further = further(finding, steps.len().saturating_sub(told.len()));
        if cures.contains(&(cure, line.clone())) {
            continue;
        }
        // Of cures that begin alike the beginning is told once.
        let is_known = cures.iter().any(|(_, known)| *known == line);
        cures.push((cure, line.clone()));
        match further {
            None if is_known => {}
            further => {
                deeds.push(FirstDeed {
                    opening,
                    begins: !air_first(finding).is_empty(),
                    steps: (!is_known).then(|| told.join(" ")),
                    further,
                });
            }
        }
    }
    deeds
}

/// What must be so of the air first.
fn air_first(finding: &Explained<'_>) -> &'static str {
    match &finding.rule.told.put_right.air {
        Some(Air::Out) if air::keeps_closed(finding) => {
            "let nothing out until it is settled whether it is filled; if it is not, air out first. "
        }
        Some(Air::Out) if papers::cause(finding) == Some(Cause::Written) => {
            "look at the entry; if it is right, air out first. "
        }
        Some(Air::Out) => "air out first. ",
        _ => "",
    }
}

/// The steps up to the first that does something about the fault, and up to the one that fills on while that is possible:
/// nobody counts while the pot life runs out, with the rest of the cure out of sight.
fn told<'s>(steps: &[&'s CureStep]) -> Vec<&'s str> {
    let first = first_deed(steps).count();
    let fills_on = steps.iter().rposition(|step| step.does == Does::FillsOn).map_or(0, |last| last + 1);
    steps.iter().take(first.max(fills_on)).map(|step| step.text.as_str()).collect()
}

/// How many steps are behind those that are told, and where they stand: of a cure of which some may not be taken now, in the
/// long report, which leaves them out as well, and not on the page of the rule.
fn further(finding: &Explained<'_>, more: usize) -> Option<String> {
    let steps = match more {
        0 => return None,
        1 => "1 more step".to_owned(),
        more => format!("{more} more steps"),
    };
    let are_all = finding.steps().len() == finding.rule.told.put_right.steps.len();
    let page = if are_all { finding.page() } else { "`fillward check --format long`".to_owned() };
    Some(format!("{}: {}", whole(&steps), whole(&page)))
}
