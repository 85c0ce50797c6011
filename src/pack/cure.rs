//! What a rule says is to be done about its fault: a list of steps, each safe to obey by itself, and what must be so of the
//! air in the assembly before the first of them.
//!
//! Must not know how a cure is drawn, nor the forms of YAML.

use serde::{Deserialize, Serialize};

use super::{Citation, DefinedAt, PackText};

/// The step that says how the air is let out and proved to be out. A report states it once.
pub const AIR_OUT: &str = "air-out";

/// A step that several cures of a pack share.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct SharedStep {
    /// Its name, by which rules call it.
    pub name: PackText,
    /// What is done, in the order in which it is done; there is at least one.
    pub texts: Vec<PackText>,
    /// What is done by it.
    pub does: Does,
    /// Where it comes from, for a step that states facts.
    pub source: Option<Citation>,
    /// Where it stands.
    pub place: DefinedAt,
}

/// What a step does, as far as it matters for what a report shows of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Does {
    /// It does something about the fault.
    Mends,
    /// It protects the person who takes the next step.
    Guards,
    /// It fills on. Whether that may still be done, other findings and the pot life decide.
    FillsOn,
    /// It leaves a filled assembly closed, with everybody away.
    LeavesClosed,
    /// It can be done only while what is in the tyre flows.
    WhileItFlows,
    /// It is what remains to be done when the filling has set.
    OnceSet,
}

impl Does {
    /// Each with the key under which a pack says it.
    pub const KEYS: [(&'static str, Self); 6] = [
        ("do", Self::Mends),
        ("guards", Self::Guards),
        ("fills_on", Self::FillsOn),
        ("leaves_closed", Self::LeavesClosed),
        ("while_it_flows", Self::WhileItFlows),
        ("once_set", Self::OnceSet),
    ];
}

/// One step of a cure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct CureStep {
    /// What is done.
    pub text: PackText,
    /// What is done by it.
    pub does: Does,
    /// Where it, and what follows it of the same shared step, comes from.
    pub source: Option<Citation>,
}

impl CureStep {
    /// A step of a rule's own, which has the source of the rule.
    pub const fn own(text: PackText, does: Does) -> Self {
        Self { text, does, source: None }
    }
}

/// What must be so of the air in the assembly before the first step of a cure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub enum Air {
    /// It is out, and a wire has proved it.
    Out,
    /// It may stay in.
    Stays {
        /// Why nothing that is done needs it out.
        because: PackText,
    },
}

/// What is to be done about a fault.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Cure {
    /// What must be so of the air first; `None` for a rule that asks nothing of an assembly and its cage.
    pub air: Option<Air>,
    /// The steps in the order in which they are done; there is at least one.
    pub steps: Vec<CureStep>,
}

impl Cure {
    /// Whether the air must be out before the first step.
    pub fn wants_air_out(&self) -> bool {
        self.air == Some(Air::Out)
    }

    /// What the steps say.
    pub fn texts(&self) -> impl Iterator<Item = &PackText> {
        self.steps.iter().map(|step| &step.text)
    }

    /// Whether one of its steps does this.
    pub fn has(&self, does: Does) -> bool {
        self.steps.iter().any(|step| step.does == does)
    }
}

/// The first of these steps, up to the first that does something about the fault: what only warns, or protects the
/// person who does it, comes with what is done.
pub fn first_deed<'s>(steps: &[&'s CureStep]) -> impl Iterator<Item = &'s str> {
    let mends = |step: &&CureStep| step.does != Does::Guards && does_something(&step.text);
    let first = steps.iter().position(mends).unwrap_or(steps.len());
    steps.iter().take(first + 1).map(|step| step.text.as_str()).collect::<Vec<_>>().into_iter()
}

/// Steps with their numbers, where there are several.
pub fn numbered<'s>(steps: impl Iterator<Item = &'s str>) -> Vec<String> {
    let steps: Vec<&str> = steps.collect();
    let several = steps.len() > 1;
    let numbered = |(position, step): (usize, &&str)| {
        if several { format!("{}. {step}", position + 1) } else { (*step).to_owned() }
    };
    steps.iter().enumerate().map(numbered).collect()
}

/// Whether a step has a sentence that does not only forbid.
fn does_something(step: &str) -> bool {
    step.split(". ").any(|sentence| !["Do not ", "Never "].iter().any(|opening| sentence.starts_with(opening)))
}

#[cfg(test)]
mod tests {
    use super::{CureStep, Does, first_deed};

    #[test]
    fn what_only_forbids_or_protects_comes_with_what_is_done() {
        for (steps, deed) in [
            (&["Shut the air off.", "Step back."][..], 1),
            (&["Never reach in.", "Do not strike it. Never lean on it.", "Shut the air off.", "Step back."], 3),
            (&["Do not strike it. Shut the air off.", "Step back."], 1),
            (&["Never reach in."], 1),
            (&["(guards) Put the gloves on.", "Shut the air off.", "Step back."], 2),
            (&["(guards) Put the gloves on."], 1),
        ] {
            let does = |text: &str| if text.starts_with("(guards)") { Does::Guards } else { Does::Mends };
            let all: Vec<CureStep> =
                steps.iter().map(|text| CureStep::own((*text).to_owned().into(), does(text))).collect();
            assert_eq!(first_deed(&all.iter().collect::<Vec<_>>()).collect::<Vec<_>>(), steps[..deed]);
        }
    }
}
