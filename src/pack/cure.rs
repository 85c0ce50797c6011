//! What a rule says is to be done about its fault: a list of steps, each safe to obey by itself, and what must be so of the
//! air in the assembly before the first of them.
//!
//! Must not know how a cure is drawn, nor the forms of YAML.

use serde::{Deserialize, Serialize};

use super::Place;

/// The step that says how the air is let out and proved to be out. It is told once at the head of a report.
pub const AIR_OUT: &str = "air-out";

/// A step that several cures of a pack share.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Step {
    /// Its name, by which rules call it.
    pub name: String,
    /// What is done.
    pub text: String,
    /// Where it stands.
    pub place: Place,
}

/// What must be so of the air in the assembly before the first step of a cure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Air {
    /// It is out, and a wire has proved it.
    Out,
    /// It may stay in.
    Stays {
        /// Why nothing that is done needs it out.
        because: String,
    },
}

/// What is to be done about a fault.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cure {
    /// What must be so of the air first; `None` for a rule that asks nothing of an assembly and its cage.
    pub air: Option<Air>,
    /// The steps in the order in which they are done; there is at least one.
    pub steps: Vec<String>,
}

impl Cure {
    /// Whether the air must be out before the first step.
    pub fn wants_air_out(&self) -> bool {
        self.air == Some(Air::Out)
    }

    /// The steps with their numbers, where there are several.
    pub fn numbered(&self) -> impl Iterator<Item = String> + '_ {
        let several = self.steps.len() > 1;
        let numbered = move |(position, step): (usize, &String)| {
            if several { format!("{}. {step}", position + 1) } else { step.clone() }
        };
        self.steps.iter().enumerate().map(numbered)
    }
}
