//! Facts of one person of the crew.
//!
//! Must not know rules.

use super::{FactKind, Subject, facts, words};

facts! {
    Subject::Person;
    NAME = "name", FactKind::Text, "The person's name.", "Odile Varga", Shop, EACH, Desk;
    ROLE = "role", FactKind::Choice(words!["operator", "helper", "supervisor", "inspector"]), "What the person does on this job; an inspector looks at parts on the bench, and touches neither pump nor material.", "operator", Job, EACH, Desk;
    TRAINED_IN = "trained_in", FactKind::Choices(words!["rim wheels", "isocyanates", "filling pump"]), "What the person has been trained in and shown able to do.", "[rim wheels, isocyanates, filling pump]", Shop, EACH, Desk;
    TRAINING_REVIEWED = "training_reviewed", FactKind::Day, "The day the training was last given or reviewed.", "2025-06-12", Shop, EACH, Desk;
    FIT_UNTIL = "fit_until", FactKind::Day, "The last day on which the person's note says `fit for work with isocyanates`; no illness is ever named.", "2026-12-31", Shop, EACH, Desk;
    RESPIRATOR_FITTED = "respirator_fitted", FactKind::Day, "The day on which the fit of the person's respirator was last tested or, of a loose hood with an air supply, its air flow last checked.", "2025-11-03", Shop, EACH, Desk;
    PROTECTION = "protection", FactKind::Choices(words!["gloves", "eye protection", "coveralls", "safety shoes", "respirator", "face shield"]), "The protective equipment the person has and wears.", "[gloves, eye protection, coveralls]", Day, FROM_AIR, Crew;
}
