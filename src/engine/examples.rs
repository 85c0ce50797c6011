//! The examples of the rules, judged: the evidence that a rule means what its author meant.
//!
//! Must not know how a fault of an example is told.

use super::Scene;
use crate::pack::{Amendments, Example, Pack, PackSet, Rule};
use crate::units::Zone;
use crate::vocabulary::{HoldPoint, Outcome};

/// An example that does not come out as it says.
#[derive(Debug)]
pub struct ExampleFault<'a> {
    /// The pack.
    pub pack: &'a Pack,
    /// The rule.
    pub rule: &'a Rule,
    /// The example.
    pub example: &'a Example,
    /// What the rule finds instead.
    pub found: Outcome,
}

/// Judges every example of every rule: how many there are, and those that come out differently.
pub fn check_examples(packs: &PackSet) -> (usize, Vec<ExampleFault<'_>>) {
    let mut faults = Vec::new();
    let mut count = 0;
    for (position, pack) in packs.packs().iter().enumerate() {
        for rule in &pack.rules {
            for example in rule.passes().iter().chain(rule.holds()) {
                count += 1;
                let zone = Zone::of_example(example.at);
                // An example is a case of the gate before the pump where the rule is asked there.
                let at_gate = rule.asked_at.contains(HoldPoint::default());
                let first = rule.asked_at.first().filter(|_| !at_gate);
                let at = (example.at, first.unwrap_or_default());
                let scene = Scene::by(Amendments::UpTo(position), packs, &example.job, at, &zone);
                let found = scene.outcome(rule, 0);
                if example.expected != found {
                    faults.push(ExampleFault { pack, rule, example, found });
                }
            }
        }
    }
    (count, faults)
}
