//! The chain of checklists: that of a hold point names the one of the hold point before it, for the same assemblies.
//!
//! A link counts when what it let happen happened while it was in force; what becomes of it later changes nothing any more,
//! but that a key was stolen: then the link counts as its checklist does, where somebody else bears it out.
//! This module must not know where the files come from.

use super::body::ChecklistBody;
use super::jws::{Envelope, instant};
use super::packs::{Packs, sha256_hex};
use super::permit::Filled;
use super::reason::Reason;
use super::verify::{Question, Records, verify};
use crate::checklist::kind::Kind;
use crate::document::Path;
use crate::engine::Scene;
use crate::record::catalogue::assembly;
use crate::record::{Entity, Value};
use crate::units::{Instant, Truth};
use crate::vocabulary::{HoldPoint, Subject};

/// A signed checklist of an earlier hold point, as it is given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Earlier {
    /// What reports call the file.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// The digest by which the next checklist names this one: SHA-256 of what is signed, in hexadecimal. Further signatures
/// leave it as it is.
pub fn digest(envelope: &Envelope) -> String {
    sha256_hex(envelope.payload())
}

/// Whether the packs ask that the checklist of the scene's hold point follows one of the hold point before.
pub fn is_required(scene: &Scene<'_>) -> bool {
    let follows = scene.packs().packs().iter().flat_map(|pack| &pack.follows);
    let mut here = follows.filter(|follows| follows.at == scene.hold_point());
    here.any(|follows| match &follows.applies {
        None => true,
        Some(condition) => scene.covered().any(|(assembly, _)| {
            let here = scene.here(Subject::Assembly, Some(assembly));
            scene.truth(condition, &here) != Truth::False
        }),
    })
}

/// Everything that speaks against the link of a checklist, judged by the packs and of the job given: first what makes it
/// doubtful, then what bars a start.
pub fn check(
    body: &ChecklistBody,
    scene: &Scene<'_>,
    packs: Packs<'_>,
    question: &Question<'_>,
) -> (Option<Reason>, Option<Reason>) {
    let Some(before) = scene.hold_point().previous() else {
        let named = body.before.is_some();
        return (named.then(|| broken("nothing comes before the first hold point")), None);
    };
    let Some(due) = &body.before else {
        // What is held starts nothing, with or without what came before.
        let left_out = body.passes() && is_required(scene);
        return (left_out.then_some(Reason::LinkLeftOut { point: before }), None);
    };
    let named = |earlier: &&Earlier| {
        let envelope = Envelope::read(Kind::Checklist, &earlier.name, &earlier.bytes);
        envelope.is_ok_and(|envelope| digest(&envelope) == *due)
    };
    let Some(earlier) = question.earlier.iter().find(named) else {
        return (None, Some(Reason::LinkNotGiven { point: before }));
    };
    let acts = match acts(scene, before) {
        Ok(acts) => acts,
        Err(place) => return (Some(broken(&format!("`{place}` does not say when that was acted on"))), None),
    };
    match held_against(body, earlier, before, &acts, packs, question) {
        Ok(()) => (None, None),
        Err(what) => (Some(broken(&what)), None),
    }
}

fn broken(what: &str) -> Reason {
    Reason::LinkBroken { what: what.to_owned() }
}

/// When what the hold point let happen was done, of each assembly.
///
/// # Errors
/// The place where that is missing.
fn acts(scene: &Scene<'_>, point: HoldPoint) -> Result<Vec<Instant>, Path> {
    // Nothing follows the last one.
    let Some(key) = assembly::act_of(point) else { return Ok(Vec::new()) };
    let of_one = |entity: &Entity| match entity.facts.get(key) {
        Some(Value::Instant(at)) => Ok(*at),
        _ => Err(entity.path_of(scene.packs().catalogue(), key)),
    };
    scene.covered().map(|(_, entity)| of_one(entity)).collect()
}

/// Holds the earlier checklist against what the later one says was done by it.
fn held_against(
    body: &ChecklistBody,
    earlier: &Earlier,
    point: HoldPoint,
    acts: &[Instant],
    packs: Packs<'_>,
    question: &Question<'_>,
) -> Result<(), String> {
    let (Some(first), Some(last)) = (acts.iter().min(), acts.iter().max()) else {
        return Err("it covers no assembly".to_owned());
    };
    // Looked at as of when it was acted on: who had signed by then, and whether it was in force.
    let then = Question {
        at: *first,
        job: Some(&body.job),
        records: Records::None,
        shop: None,
        old_edition: false,
        packs: Some(packs),
        rejudge: true,
        ..*question
    };
    let verified = verify(&earlier.name, &earlier.bytes, &then);
    if let Some(fault) = verified.faults.first() {
        return Err(format!("of the checklist of {}: {fault}", point.word()));
    }
    let Some(found) = verified.body else { return Err("it cannot be read".to_owned()) };
    if found.point() != Some(point) {
        return Err(format!("the checklist that it names is of {}", found.hold_point));
    }
    // What bars every start by this trust file is said of the checklist itself.
    let of_the_question = |bar: &Reason| {
        matches!(bar, Reason::NotNow { .. } | Reason::RecordNotGiven { .. })
            || bar.is_borne_out_theft_after(*first)
            || then.trust.bars().any(|known| known == *bar)
    };
    let open = verified.bars.iter().find(|bar| !of_the_question(bar));
    if let Some(bar) = open {
        return Err(format!(
            "by the checklist of {}, {} did not hold when it was done: {bar}",
            point.word(),
            point.may()
        ));
    }
    let until = found.valid_until.as_deref().and_then(instant);
    if until.is_none_or(|until| *last > until) {
        return Err(format!("what the checklist of {} let happen was done after it had lapsed", point.word()));
    }
    let same = |one: &Filled, other: &Filled| (&one.mark, &one.tyre_size) == (&other.mark, &other.tyre_size);
    match body.assemblies.iter().find(|filled| !found.assemblies.iter().any(|other| same(filled, other))) {
        Some(filled) => {
            let mark = filled.mark.as_deref().unwrap_or("an assembly without a mark");
            Err(format!("the checklist of {} does not cover {mark}", point.word()))
        }
        None => Ok(()),
    }
}
