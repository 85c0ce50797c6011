//! What a rule says is to be done about its fault: a list of steps, each safe to obey by itself, and what must be so of the
//! air in the assembly before the first of them.
//!
//! Must not know how a cure is drawn, nor the forms of YAML.

use serde::{Deserialize, Serialize};

use super::{DefinedAt, PackText};

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
    /// Where it stands.
    pub place: DefinedAt,
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
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Cure {
    /// What must be so of the air first; `None` for a rule that asks nothing of an assembly and its cage.
    pub air: Option<Air>,
    /// The steps in the order in which they are done; there is at least one.
    pub steps: Vec<PackText>,
}

impl Cure {
    /// Whether the air must be out before the first step.
    pub fn wants_air_out(&self) -> bool {
        self.air == Some(Air::Out)
    }

    /// The steps with their numbers, where there are several.
    pub fn numbered(&self) -> impl Iterator<Item = String> + '_ {
        numbered(&self.steps)
    }

    /// The first steps, up to the first that does something: what only warns comes with what is done.
    pub fn first_deed(&self) -> impl Iterator<Item = &str> {
        let first = self.steps.iter().position(|step| does_something(step)).unwrap_or_default();
        self.steps.iter().take(first + 1).map(PackText::as_str)
    }
}

/// Steps with their numbers, where there are several.
pub fn numbered(steps: &[PackText]) -> impl Iterator<Item = String> + '_ {
    let several = steps.len() > 1;
    let numbered = move |(position, step): (usize, &PackText)| {
        if several { format!("{}. {step}", position + 1) } else { step.to_string() }
    };
    steps.iter().enumerate().map(numbered)
}

/// Whether a step has a sentence that does not only forbid.
fn does_something(step: &str) -> bool {
    step.split(". ").any(|sentence| !["Do not ", "Never "].iter().any(|opening| sentence.starts_with(opening)))
}

#[cfg(test)]
mod tests {
    use super::Cure;

    #[test]
    fn what_only_forbids_comes_with_what_is_done() {
        for (steps, deed) in [
            (&["Shut the air off.", "Step back."][..], 1),
            (&["Never reach in.", "Do not strike it. Never lean on it.", "Shut the air off.", "Step back."], 3),
            (&["Do not strike it. Shut the air off.", "Step back."], 1),
            (&["Never reach in."], 1),
        ] {
            let cure = Cure { air: None, steps: steps.iter().map(|step| (*step).to_owned().into()).collect() };
            assert_eq!(cure.first_deed().collect::<Vec<_>>(), steps[..deed]);
        }
    }
}
